"""Where a heave comes from, against the same vehicle stood again with that source changed."""

from __future__ import annotations

from pathlib import Path
from types import SimpleNamespace
from typing import Any, cast

import numpy as np
import pytest

import trundle
from trundle.papers.ground import stand_level
from trundle.papers.standing import StandingSheet, standing_sheet
from trundle.papers.swing import FELT_HZ, HARD_HZ, SOFT_HZ, Swing, swing_of, swinging_notices

CART = {
    "bogie.*.spring": {"kind": "pivot rate", "rate_Nm_per_deg": 8.0, "free_angle_deg": 35.0},
    "bogie.*.damper.bump_N_s_per_mm": 0.1,
}
"""Four wheels without a track, with springs of which the rate is all there is, and dampers of one rate."""
LOW_BELLY, LOW_NOSE = (Path(__file__).parents[1] / "vehicles" / f"{name}.toml" for name in ("low-belly", "low-nose"))
"""The cart, and a vehicle on a track with its idler bolted: tightened, its track gives nothing."""


def swing(vehicle: trundle.Vehicle) -> Swing:
    """Of a vehicle that stands."""
    found = swing_of(vehicle, stand_level(vehicle))
    assert found is not None
    return found


def stiffer(times: float) -> trundle.Vehicle:
    """The cart with springs so many times as stiff, and their free angles so that it stands as before."""
    now = trundle.load_vehicle(LOW_BELLY, CART)
    at = stand_level(now)
    settings: dict[str, Any] = dict(CART)
    for j, name in enumerate(now.bogie):
        angle = float(np.degrees(at.q[3 + j]))
        settings[f"bogie.{name}.spring"] = {
            "kind": "pivot rate", "rate_Nm_per_deg": 8.0 * times, "free_angle_deg": angle + (35.0 - angle) / times,
        }  # fmt: skip
    del settings["bogie.*.spring"]
    return trundle.load_vehicle(LOW_BELLY, settings)


def test_the_share_of_the_springs_is_a_derivative() -> None:
    """d ln(f2) = share x d ln(rate): the energy that a spring takes of a swing (Rayleigh's quotient)."""
    low, high, now = swing(stiffer(0.99)), swing(stiffer(1.01)), swing(stiffer(1.0))
    slope = 2.0 * np.log(high.heave_Hz / low.heave_Hz) / np.log(1.01 / 0.99)
    assert now.springs == pytest.approx(slope, rel=0.01)
    assert now.springs + now.tyres + now.track == pytest.approx(1.0)
    assert now.track == 0.0
    assert now.without_track_Hz is None


def test_springs_half_and_twice_as_stiff() -> None:
    """Heave of the same vehicle stood again with such springs; the pull of gravity on the arms goes with its place."""
    now = swing(stiffer(1.0))
    assert now.springs_half_Hz == pytest.approx(swing(stiffer(0.5)).heave_Hz, rel=0.005)
    assert now.springs_twice_Hz == pytest.approx(swing(stiffer(2.0)).heave_Hz, rel=0.005)


def test_a_track_that_gives_freely_is_one_that_hangs() -> None:
    """The heave without the track's stiffness is what a slacker and slacker track comes to."""
    tight = swing(trundle.load_vehicle(LOW_NOSE, {"track.sag_mm": 3.0}))
    slack = swing(trundle.load_vehicle(LOW_NOSE, {"track.sag_mm": 60.0}))
    assert tight.without_track_Hz is not None
    assert tight.heave_Hz > 1.3 * slack.heave_Hz
    assert tight.without_track_Hz == pytest.approx(slack.heave_Hz, rel=0.03)
    assert slack.track < 0.02
    assert tight.track > 0.4
    (first, at_first), (then, at_then) = tight.others
    assert (first, then) == ("6 mm sag", "15 mm sag")
    assert tight.heave_Hz > at_first > at_then > slack.heave_Hz
    again = swing(trundle.load_vehicle(LOW_NOSE, {"track.sag_mm": 6.0}))
    assert at_first == pytest.approx(again.heave_Hz, rel=1e-3)


def test_dampers_and_tyres_share_the_damping() -> None:
    """Without dampers all of it is the tyres'; with them theirs grows in proportion."""
    one = swing(trundle.load_vehicle(LOW_BELLY, CART))
    none = swing(trundle.load_vehicle(LOW_BELLY, {**CART, "bogie.*.damper.bump_N_s_per_mm": 0.0}))
    two = swing(trundle.load_vehicle(LOW_BELLY, {**CART, "bogie.*.damper.bump_N_s_per_mm": 0.2}))
    assert none.dampers == 0.0
    assert two.dampers == pytest.approx(2.0 * one.dampers, rel=0.02)
    assert one.tyre_damping == pytest.approx(none.tyre_damping, rel=0.02)


def _notices(heave_Hz: float, of: Swing | None, damping: float = 0.3) -> list[str]:
    mode = SimpleNamespace(kind="heave", frequency_Hz=heave_Hz, damping=damping, friction_damping=0.0)
    sheet = cast("StandingSheet", SimpleNamespace(modes=(mode,)))
    return [n.text for n in swinging_notices(sheet, of)]


@pytest.mark.parametrize("heave_Hz", [4.01, 6.0, 8.0, 8.01, 9.8, 12.4, 30.0])
def test_every_hard_ride_is_told(heave_Hz: float) -> None:
    """Above 4 Hz there is no end to it."""
    (text,) = _notices(heave_Hz, None)
    assert f"heave at {heave_Hz:.1f} Hz is a hard ride" in text
    assert ("ISO 2631-1" in text) == (heave_Hz <= FELT_HZ)


@pytest.mark.parametrize("heave_Hz", [SOFT_HZ, 2.0, 3.0, HARD_HZ])
def test_a_good_ride_is_not(heave_Hz: float) -> None:
    """From 1 to 4 Hz nothing is said."""
    assert _notices(heave_Hz, None) == []


def test_a_soft_ride_is_told() -> None:
    """Below 1 Hz, with what the weight takes of the travel: g / (2 pi f)2, 388 mm at 0.8 Hz."""
    (text,) = _notices(0.8, None)
    assert "heave at 0.8 Hz is a soft ride" in text
    assert "388 mm" in text


def test_the_cause_of_a_tight_track() -> None:
    """The largest source comes first, with what a looser track gives."""
    vehicle = trundle.load_vehicle(LOW_NOSE, {"track.sag_mm": 3.0})
    found = swing(vehicle)
    text = next(n.text for n in swinging_notices(standing_sheet(vehicle, adjusters=False), found) if "hard" in n.text)
    assert f": {100.0 * found.track:.0f} % of it is the track's stiffness" in text
    assert f"The track is tight: with 6 mm sag {found.others[0][1]:.1f} Hz" in text


def test_no_damping_says_what_there_is() -> None:
    """Each source by itself."""
    vehicle = trundle.load_vehicle(
        LOW_BELLY, {**CART, "bogie.*.damper.bump_N_s_per_mm": 0.0, "wheel.*.rubber_loss": 0.02}
    )
    told = [n.text for n in swinging_notices(standing_sheet(vehicle, adjusters=False), swing(vehicle))]
    assert any("goes on bouncing (dampers 0.00, tyres 0.0" in t for t in told)


def test_too_much_damping_is_told() -> None:
    """Beyond 0.8 of critical from the dampers alone."""
    vehicle = trundle.load_vehicle(LOW_BELLY, {**CART, "bogie.*.damper.bump_N_s_per_mm": 20.0})
    told = [n.text for n in swinging_notices(standing_sheet(vehicle, adjusters=False), swing(vehicle))]
    assert any("the dampers brake heave" in t for t in told)
