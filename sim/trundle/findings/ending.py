"""Why a run ended, and what held a vehicle that stood still at its end."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import Enum, StrEnum
from typing import TYPE_CHECKING

import numpy as np

from trundle.model.arrays import SIDES
from trundle.record.long import Timeline
from trundle.spec.pull import pull_of

if TYPE_CHECKING:
    import pandas as pd

    from trundle.model.assembly import Assembly

LAST_S = 0.5
"""What holds a vehicle is read from the last part of its run, of this length [s]."""

ALL_OF_IT = 0.95
"""Mean share of grip or torque from which it counts as all used, at the end of a run."""

SPINS_M_S = 0.1
"""Mean speed over the ground from which track or wheels slip for good, at the end of a run [m/s]: bouncing, they leave
some of the grip unused, and still get nowhere."""

HELD = 0.05
"""Share of the weight from which belly, sprocket or idler count as held by the ground."""


class Ending(StrEnum):
    """Why a run ended: the words in `ended_because`."""

    COURSE_END = "course end"
    OVERTURNED = "overturned"
    BLEW_UP = "numbers blew up"
    TIME_UP = "out of time"
    ROLLED_BACK = "rolled back off the start"
    ON_BELLY = "stuck on the belly"
    TRACK_SLIPS = "stalled: the grip is used up, the track slips"
    WHEELS_SPIN = "stalled: the grip is used up, the wheels spin"
    SPROCKET_HELD = "stalled: the sprocket has run against the ground"
    IDLER_HELD = "stalled: the idler has run against the ground"
    MOTOR_AT_LIMIT = "stalled: the motor is at its limit"
    STALLED = "stalled"


class Cause(Enum):
    """What can hold a vehicle, in the order of how much it explains."""

    BELLY, GRIP, SPROCKET, IDLER, MOTOR = range(5)


@dataclass(frozen=True)
class Evidence:
    """The last half second of a run. belly: share of the weight that it carries; ends: the same of sprocket and idler,
    both sides; grip, push: mean share of the grip and of the motor's most push in use; slip_m_s: mean speed of track or
    wheels over the ground [m/s]; pitch_deg: mean, nose up [deg]; tracked: has a track."""

    belly: float
    ends: Mapping[Cause, float]
    grip: float
    push: float
    slip_m_s: float
    pitch_deg: float
    tracked: bool

    @property
    def causes(self) -> tuple[Cause, ...]:
        """All that hold it, in the order of Cause. The motor is not to blame for what the ground does not take."""
        found = {Cause.BELLY: self.belly > HELD, Cause.GRIP: self.grip > ALL_OF_IT or self.slip_m_s > SPINS_M_S}
        found |= {end: share > HELD for end, share in self.ends.items()}
        found[Cause.MOTOR] = self.push > ALL_OF_IT and not found[Cause.GRIP]
        return tuple(cause for cause in Cause if found.get(cause, False))

    @property
    def why_stalled(self) -> Ending:
        """Why a vehicle that stands still against its target does so."""
        first = next(iter(self.causes), None)
        if first is None:
            return Ending.STALLED
        return {
            Cause.BELLY: Ending.ON_BELLY,
            Cause.GRIP: Ending.TRACK_SLIPS if self.tracked else Ending.WHEELS_SPIN,
            Cause.SPROCKET: Ending.SPROCKET_HELD,
            Cause.IDLER: Ending.IDLER_HELD,
            Cause.MOTOR: Ending.MOTOR_AT_LIMIT,
        }[first]


def evidence(timeline: Timeline, assembly: Assembly) -> Evidence:
    """What the end of a run shows, however fine its step."""
    time = timeline["time_s"].to_numpy()
    begin = int(np.searchsorted(time, time[-1] - LAST_S, side="right"))

    def last(name: str) -> pd.Series[float]:
        return timeline[name].iloc[begin:]

    weight = assembly.weight_N
    tracked = assembly.vehicle.track is not None
    ends = {Cause.SPROCKET: "sprocket", Cause.IDLER: "idler"} if tracked else {}
    most_N = float(pull_of(assembly.vehicle).both_N(last("drive.running_m_s").abs().to_numpy()).mean())
    return Evidence(
        belly=float(last("belly.load_N").mean()) / weight,
        # Their loads are one side's.
        ends={cause: SIDES * float(last(f"{name}.load_N").mean()) / weight for cause, name in ends.items()},
        grip=float(last("drive.grip_used").abs().mean()),
        push=float(last("drive.push_N").abs().mean()) / max(most_N, 1e-9),
        slip_m_s=abs(float((last("drive.running_m_s") - last("hull.speed_m_s")).mean())),
        pitch_deg=float(last("hull.pitch_deg").mean()),
        tracked=tracked,
    )


def ending(code: int, timeline: Timeline, assembly: Assembly) -> Ending:
    """Why a run ended, from the step loop's code (trundle.engine.loop) and, of a stall, from its record.

    Raises KeyError on a code that ends no run.
    """
    found = plain_ending(code)
    return evidence(timeline, assembly).why_stalled if found is Ending.STALLED else found


def plain_ending(code: int) -> Ending:
    """As `ending`, of a run that has no record yet: a stall without its reason."""
    from trundle.engine import loop

    return {
        loop.COURSE_END: Ending.COURSE_END,
        loop.STALLED: Ending.STALLED,
        loop.OVERTURNED: Ending.OVERTURNED,
        loop.DIVERGED: Ending.BLEW_UP,
        loop.TIME_UP: Ending.TIME_UP,
        loop.ROLLED_BACK: Ending.ROLLED_BACK,
    }[code]
