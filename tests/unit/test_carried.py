"""Whether the springs carry the hull: one answer for the run and for the sheet."""

from __future__ import annotations

import math

import pytest

from trundle.engine.carry import not_carried
from trundle.engine.simulate import simulate
from trundle.errors import StandingError
from trundle.papers.document import whole_sheet
from trundle.papers.ground import stand_level
from trundle.spec.course import load_course
from trundle.spec.shipped import find
from trundle.spec.vehicle import load_vehicle
from trundle.terrain.ground import lay
from trundle.units import G

HEAVY = [("teasel", 1500.0), ("otter", 4000.0), ("wren", 1500.0), ("barrow", 900.0), ("mole", 900.0)]
"""Every shipped vehicle, with far more mass than its springs can hold [kg]."""


def _said(call: object) -> str:
    with pytest.raises(StandingError) as e:
        call()  # type: ignore[operator]
    return str(e.value)


@pytest.mark.parametrize(("name", "mass_kg"), HEAVY)
def test_the_run_and_the_sheet_say_the_same(name: str, mass_kg: float) -> None:
    """To the letter, numbers included."""
    vehicle = load_vehicle(find("vehicles", name), {"hull.mass_kg": mass_kg})
    ground = lay(load_course(find("courses", "kerb-50")))
    from_run = _said(lambda: simulate(vehicle, ground))
    assert "the springs cannot carry the hull" in from_run
    assert from_run == _said(lambda: whole_sheet(vehicle, name))


def test_what_it_takes_is_the_weight_on_the_arms() -> None:
    """Statics: all of Barrow but its arms and wheels hangs on level ground from its four pivots; the moment that
    takes about each is half of one axle's load times r cos(angle), and springs and stops give it together."""
    vehicle = load_vehicle(find("vehicles", "barrow"), {"hull.mass_kg": 900.0})
    at = stand_level(vehicle)
    radius, part = 0.200, at.assembly.parts.swings
    angles = [float(a) for a in at.q[3:]]
    weight = vehicle.hull.mass_kg * G
    # Half of each arm's mass hangs from its pivot, half stands on its axle.
    hanging = weight + sum(2.0 * 0.5 * p.mass * G for p in part)
    load = hanging / (2 * len(part))
    taken = load * radius * sum(math.cos(a) for a in angles) / len(angles)
    words = _said(lambda: simulate(vehicle, lay(load_course(find("courses", "kerb-50")))))
    wanted = float(words.split(" N.m at each pivot")[0].rsplit(" ", 1)[1])
    assert wanted == pytest.approx(taken, rel=0.01)


@pytest.mark.parametrize(
    ("springs", "stops", "said"),
    [
        ([50.0, 50.0], [200.0, 0.0], None),
        ([], [], None),
        ([50.0, 30.0], [200.0, 400.0], "they give 40% of what it takes (40 of 100 N.m at each pivot)"),
        ([0.0, 0.0], [500.0, 500.0], "they give 0% of what it takes"),
    ],
)
def test_it_takes_every_arm_on_its_stop(springs: list[float], stops: list[float], said: str | None) -> None:
    """80 N.m of springs and 600 N on stops at 0.2 m: 40 % of 200 N.m."""
    problem = not_carried(springs, stops, [0.2] * len(springs))
    assert (problem is None) == (said is None)
    if problem is not None and said is not None:
        assert said in problem.problem
