"""What a vehicle is doing at a moment, told from the timeline's columns: each question is answered here alone.

Every function takes one moment (numbers) or a whole run (arrays of one shape), and answers for each.
"""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import ArrayLike

from trundle.law.state import ASKED_M_S

LOOSE_N = 5.0
"""Pull in one track below which its slack side counts as loose [N]."""

ALL_GRIP = 0.999
"""Share of the grip from which it counts as used up."""

ALL_PUSH = 0.999
"""Share of the motor's most push from which it counts as at its limit."""

STILL_M_S = 0.02
"""A vehicle stands still if it is slower than this though its driver asks for ASKED_M_S or more [m/s]; if he asks for
less, slower than that share of this."""

LEAST_ASKED_M_S = 0.01
"""A driver who asks for less than this is about to stand, or to start [m/s]."""

LEDGER_LIMIT = 0.005
"""Share of motor work and change of height and motion that may stay unaccounted for before a run says it is not to be
trusted."""


def track_is_loose(slack_N: ArrayLike, spare_mm: ArrayLike) -> Any:
    """Whether the track hangs loose: no pull to speak of on its slack side, or more of it than its path takes.

    slack_N: column track.slack_N, pull in one track [N]; spare_mm: column track.spare_mm [mm].
    """
    return np.less(slack_N, LOOSE_N) | np.greater(spare_mm, 0.0)


def wheel_is_off(load_N: ArrayLike) -> Any:
    """Whether a wheel carries nothing (column wheel.NAME.load_N [N])."""
    return np.less_equal(load_N, 0.0)


def belly_is_down(load_N: ArrayLike) -> Any:
    """Whether the belly stands on the ground (column belly.load_N [N])."""
    return np.greater(load_N, 0.0)


def grip_is_used_up(grip_used: ArrayLike) -> Any:
    """Whether track or wheels can pull or brake no harder on this ground (column drive.grip_used, -1 to 1)."""
    return np.greater_equal(np.abs(grip_used), ALL_GRIP)


def motor_is_at_limit(push_N: ArrayLike, most_N: ArrayLike) -> Any:
    """Whether the motor gives all the torque that the file allows, as push (drive.push_N, its most `most_N` [N], of a
    motor by its curve that at its speed)."""
    return np.greater_equal(push_N, ALL_PUSH * np.asarray(most_N))


def motor_share(push: ArrayLike, target_m_s: ArrayLike, held: ArrayLike) -> Any:
    """What of the push (or torque) at the sprocket is the motor's: above 0 it drives, whichever way, below 0 it brakes;
    what the brake holds while standing is none of it. target_m_s, held: drive.target_m_s [m/s], drive.brake_holds."""
    way = np.where(backs_up(target_m_s), -1.0, 1.0)
    return np.where(brake_holds(held), 0.0, way * np.asarray(push))


def stands_still(target_m_s: ArrayLike, speed_m_s: ArrayLike) -> Any:
    """Whether the vehicle stands though it should move (drive.target_m_s, hull.speed_m_s [m/s])."""
    asked = np.abs(target_m_s)
    slow = STILL_M_S * np.minimum(1.0, asked / ASKED_M_S)
    return np.greater(asked, LEAST_ASKED_M_S) & np.less(np.abs(speed_m_s), slow)


def waits(target_m_s: ArrayLike) -> Any:
    """Whether the driver is told to stand (drive.target_m_s [m/s])."""
    return np.equal(target_m_s, 0.0)


def backs_up(target_m_s: ArrayLike) -> Any:
    """Whether the driver backs up (drive.target_m_s [m/s])."""
    return np.less(target_m_s, 0.0)


def brake_holds(held: ArrayLike) -> Any:
    """Whether the brake is on and holds the vehicle where it stands (drive.brake_holds, 0 or 1)."""
    return np.greater(held, 0.5)


def doing_words(target_m_s: float, held: float) -> str:
    """What the driver is doing beside driving forward: `waits, held by the brake`, `waits`, `backs up`, or nothing."""
    if waits(target_m_s):
        return "waits, held by the brake" if brake_holds(held) else "waits"
    return "backs up" if backs_up(target_m_s) else ""


def ledger_closes(energy_error: ArrayLike) -> Any:
    """Whether a run is to be trusted (figure energy_error): if not, its other figures are not to be relied on."""
    return np.less_equal(energy_error, LEDGER_LIMIT)
