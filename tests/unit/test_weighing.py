"""What is made, weighed: against section tables and hand computation, and beside the file's masses."""

from __future__ import annotations

import math

import pytest
from hand_parts import by_hand
from sheet_parts import built

from trundle.making.made import made
from trundle.making.stock import Stock
from trundle.making.weighing import Lump, pieces, running_gear, together, weighed
from trundle.papers.weights import weights
from trundle.result.inputs import vehicle_input
from trundle.spec.moving import parts_of
from trundle.spec.shipped import names
from trundle.spec.vehicle import Vehicle
from trundle.steel.coil import mass_kg
from trundle.units import MM

STEEL = 7850e-9
"""kg in a cubic millimetre."""


def shipped(name: str) -> Vehicle:
    return vehicle_input(name).vehicle


@pytest.mark.parametrize(
    ("side", "wall", "kg_per_m"), [(40.0, 3.0, 3.30), (50.0, 5.0, 6.56), (50.0, 4.0, 5.45), (60.0, 4.0, 6.71)]
)
def test_tube_by_the_standards_table(side: float, wall: float, kg_per_m: float) -> None:
    """Mass of a metre of square tube (EN 10219-2 table B.2, from memory, to its last figure)."""
    assert Stock("square tube", (side, wall)).kg_per_m == pytest.approx(kg_per_m, abs=0.005)


def test_bars_and_strip_by_hand() -> None:
    """Round 20: 2.466 kg/m; flat 40 x 2: 0.628; tube 25 x 4: 2.072 (any handbook); 8 mm plate: 62.8."""
    assert Stock("round bar", (20.0,)).kg_per_m == pytest.approx(2.466, abs=0.0005)
    assert Stock("spring strip", (40.0, 2.0)).kg_per_m == pytest.approx(0.628)
    assert Stock("round tube", (25.0, 4.0)).kg_per_m == pytest.approx(2.072, abs=0.0005)
    assert Stock("plate", (8.0,)).kg_per_m == pytest.approx(62.8)


def test_a_coil_by_the_length_of_its_wire() -> None:
    """12 turns of 50 mm mean diameter are 12 pi 50 = 1885 mm of wire, and by its rise of 150 mm 1891."""
    wire = math.hypot(12 * math.pi * 50.0, 150.0)
    assert mass_kg(0.0065, 0.050, 12.0, 0.150) == pytest.approx(STEEL * math.pi / 4 * 6.5**2 * wire)
    assert wire == pytest.approx(1891.0, abs=0.5)


def test_an_arm_by_hand() -> None:
    """Tube 40 x 40 x 3 (420.8 mm2), 196 long, two holes of 24 through two walls; sleeves 24 with bores 16.3 and 14.3;
    axle bolt M14 x 150 with head 21 across and 8.8 high, nut 17 high, two washers 28/15 x 2.5, two shim rings 20/14 x
    2. Moments about the pivot, 22 from the arm's end, the axle 150 on."""
    [w] = weighed(by_hand())
    hole = STEEL * math.pi / 4 * 24.0**2 * 6.0
    bar = STEEL * 420.8 * 196.0
    arm = bar - 2.0 * hole
    pivot_sleeve = STEEL * math.pi / 4 * (24.0**2 - 16.3**2) * 42.0
    axle_sleeve = STEEL * math.pi / 4 * (24.0**2 - 14.3**2) * 40.0
    hexagon = math.sqrt(3.0) / 2.0 * 21.0**2
    shank = math.pi / 4 * 14.0**2
    washers = math.pi / 4 * ((28.0**2 - 15.0**2) * 2 * 2.5 + (20.0**2 - 14.0**2) * 2 * 2.0)
    bolt = shank * 150.0 + hexagon * 8.8 + (hexagon - shank) * 17.0
    on_axle = STEEL * (bolt + washers) + axle_sleeve
    total = arm + pivot_sleeve + on_axle
    assert w.made.kg == pytest.approx(total, rel=1e-4)
    moment = bar * (98.0 - 22.0) - hole * (0.0 + 150.0) + on_axle * 150.0
    assert w.made.x_mm == pytest.approx(moment / total, rel=1e-4)
    assert w.made.y_mm == pytest.approx(0.0, abs=1e-9)
    assert w.filed == Lump(1.5, 75.0, 0.0)
    assert w.share == pytest.approx(total / 1.5 - 1.0, rel=1e-3)


@pytest.mark.parametrize("name", names("vehicles"))
def test_all_that_is_made_is_weighed_once(name: str) -> None:
    """Both sides' pieces weigh what the cut list adds up to; bolts come on top."""
    vehicle = shipped(name)
    ours = {p.name if p.what != "leaf" else "leaf" for p in made(vehicle)}
    weighed_kg = 2.0 * sum(p.lump.kg for p in pieces(vehicle) if p.what in ours)
    assert weighed_kg == pytest.approx(sum(p.count * p.mass_kg for p in made(vehicle)))


@pytest.mark.parametrize("name", names("vehicles"))
def test_the_filed_masses_are_those_of_the_run(name: str) -> None:
    """One side's arms and wheels add up to what the model carries unsprung; their centre by its own placing."""
    vehicle = shipped(name)
    gear, parts = running_gear(vehicle), parts_of(vehicle)
    assert gear.filed.kg == pytest.approx(sum(p.mass for p in parts.swings))
    wheel = {k: w.mass_kg * w.abreast for k, w in vehicle.wheel.items()}
    assert gear.wheels.kg == pytest.approx(sum(wheel[w.kind] for p in parts.swings for w in p.wheels))
    x = 0.0
    for p in parts.swings:
        base = p.pivot_x if p.parent == 0 else parts.swings[p.parent - 1].pivot_x + p.pivot_x
        x += p.mass * (base + p.com_x) / MM
    assert gear.filed.x_mm == pytest.approx(x / gear.filed.kg)
    own = [gear.made, gear.wheels, gear.brackets, gear.springs]
    assert gear.whole == together(n for n in own if n is not None)


def test_a_mirrored_vehicle_has_its_middle_in_the_middle() -> None:
    """Teasel's bogies lie at 236, 880 and 1524: all of its running gear is about 880."""
    gear = running_gear(shipped("teasel"))
    for lump in (gear.made, gear.filed, gear.wheels, gear.brackets, gear.springs):
        assert lump is not None
        assert lump.x_mm == pytest.approx(880.0)


def test_shipped_masses_are_told_and_none_is_loud() -> None:
    """What is lighter by up to what welds and lugs add is a row of the table."""
    for name in names("vehicles"):
        part = weights(shipped(name))
        assert part.loud == ()
        assert len(part.tables) == 2


def test_a_mass_that_cannot_be_is_loud_and_names_its_field() -> None:
    """As made more than a tenth heavier than the file says, or less than six tenths of it."""
    light = weights(by_hand(**{"bogie__*__arm_mass_kg": 0.5}))
    assert len(light.loud) == 1
    assert "% more than the file's 0.5: change bogie.front.arm_mass_kg" in light.loud[0]
    heavy = weights(by_hand(**{"bogie__*__arm_mass_kg": 5.0}))
    assert "% less than the file's 5: change bogie.front.arm_mass_kg" in heavy.loud[0]
    # Parts that are not given may well be what is missing.
    assert weights(built(**{"bogie__*__arm_mass_kg": 5.0})).loud == ()


def test_what_cannot_be_made_weighs_nothing_and_never_less() -> None:
    """A sleeve bored wider than it is, a hole larger than its arm: checks tell of them; no mass is below zero."""
    for field, value in (("pivot__sleeve_outside_mm", 10.0), ("arm__pivot_hole_mm", 150.0)):
        vehicle = by_hand(**{f"bogie__*__build__{field}": value})
        assert all(p.mass_kg >= 0.0 for p in made(vehicle))
        assert all(p.lump.kg >= 0.0 for p in pieces(vehicle))
