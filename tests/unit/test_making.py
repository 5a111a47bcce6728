"""Parts to make and bolts with their layers, from a file: counts, holes, masses, marks, what is left out."""

from __future__ import annotations

import math

import pytest
from sheet_parts import built, teasel_data

from trundle.making.made import bolted, left_out, made
from trundle.making.part import Made
from trundle.result.inputs import vehicle_input
from trundle.spec.shipped import names
from trundle.spec.vehicle import Vehicle, vehicle_from
from trundle.steel.bolts import THREADS
from trundle.steel.fasteners import FASTENERS, length_mm, thread_mm


def shipped(name: str) -> Vehicle:
    return vehicle_input(name).vehicle


def by_what(vehicle: Vehicle) -> dict[str, Made]:
    return {p.what: p for p in made(vehicle)}


def test_every_thread_has_its_fasteners() -> None:
    """A thread that a file may name can be bought with its washers and nut."""
    assert set(FASTENERS) == set(THREADS)
    for name, f in FASTENERS.items():
        d = THREADS[name].diameter_m * 1e3
        assert d < f.washer_in_mm < f.washer_out_mm
        assert d < f.clear_mm < f.across_mm <= f.washer_out_mm


def test_a_bolt_reaches_through_its_nut() -> None:
    """M16 over 66 mm: nut 19.1 and two threads of 2 mm make 89.1, sold is 90; of that 2 d + 6 = 38 mm are thread
    (ISO 4014, ISO 7040, from memory)."""
    assert length_mm("M16", 66.0) == 90.0
    assert thread_mm("M16", 90.0) == 38.0
    assert thread_mm("M16", 130.0) == 44.0
    assert length_mm("UNC 1/2", 50.0) == pytest.approx(
        25.4 * math.ceil((50.0 + 25.4 * (0.594 + 2 / 13)) / 25.4 * 4) / 4
    )


def test_holes_are_those_of_the_sleeves() -> None:
    """Where a sleeve passes the arm its hole is as wide as the sleeve, else as the bolt; what the file says wins."""
    arm = by_what(built())["arm"]
    assert {h.name: (h.diameter_mm, h.passes) for h in arm.holes} == {
        "pivot": (14.0, "pivot bolt"),
        "axle": (18.0, "axle sleeve"),
    }
    wide = by_what(built(**{"bogie__*__build__pivot__sleeve_outside_mm": 22.0}))
    assert wide["arm"].holes[0].diameter_mm == 22.0
    assert wide["pivot sleeve"].stock.sizes_mm == pytest.approx((22.0, 0.5 * (22.0 - 14.3)))
    own = by_what(built(**{"bogie__*__build__arm__axle_hole_mm": 20.0}))
    assert own["arm"].holes[1].diameter_mm == 20.0


def test_marks_differ_and_places_are_counted() -> None:
    """One mark for each drawing; as many places on one side as half of the pieces."""
    for name in names("vehicles"):
        found = made(shipped(name))
        assert len({p.mark for p in found}) == len(found)
        for part in found:
            assert 2 * len(part.places) == part.count, (name, part.mark)
            assert part.mass_kg > 0.0
            assert not part.outside, (name, part.mark)


def test_mass_of_a_plate_by_hand() -> None:
    """Teasel's bracket: 150 x 110 x 8 mm of 7850 kg/m3 less two holes of 16 and two of 11 mm; its middle by moments."""
    plate = by_what(shipped("teasel"))["bracket plate"]
    small, large = math.pi / 4.0 * 11.0**2, math.pi / 4.0 * 16.0**2
    area = 150.0 * 110.0 - 2.0 * (small + large)
    assert plate.mass_kg == pytest.approx(7850e-9 * 8.0 * area)
    up = (150.0 * 110.0 * 55.0 - 2.0 * large * 26.0 - 2.0 * small * 92.0) / area
    assert plate.com_mm == pytest.approx((75.0, up))


def test_layers_fill_the_grip() -> None:
    """Between wheels: what lies between the two hubs' inner faces is what the file says they are apart."""
    for name in ("teasel", "mole", "otter", "wren"):
        vehicle = shipped(name)
        [bolt] = [b for b in bolted(vehicle) if b.what == "axle bolt"]
        inside = [layer.thick_mm for layer in bolt.layers]
        first, last = (k for k, layer in enumerate(bolt.layers) if layer.what == "hub")
        axle = next(iter(vehicle.bogie.values())).build
        assert axle is not None
        assert axle.axle is not None
        wheel = vehicle.wheel["road"]
        apart = axle.axle.wheels_apart_mm + wheel.width_mm - wheel.hub_mm
        assert sum(inside[first + 1 : last]) == pytest.approx(apart)
        assert bolt.bent_mm[0] == inside[0]
        assert bolt.length_mm > bolt.grip_mm


def test_wider_hubs_lengthen_the_bolt() -> None:
    """Hubs 6 mm wider: each sticks out by 3 more on both sides, so the grip grows by 6 in all."""
    wheel = shipped("teasel").wheel["road"]
    vehicle = shipped("teasel")
    more = vehicle.model_copy(update={"wheel": {"road": wheel.model_copy(update={"hub_width_mm": wheel.hub_mm + 6})}})
    [was], [now] = ([b for b in bolted(v) if b.what == "axle bolt"] for v in (vehicle, more))
    assert now.grip_mm - was.grip_mm == pytest.approx(6.0)


def test_what_is_left_out_names_its_field() -> None:
    """A vehicle without sleeves, and one without any build."""
    told = " ".join(left_out(built()))
    assert "bogie.front.build.pivot.sleeve_outside_mm" in told
    data = teasel_data()
    del data["bogie"]["front"]["build"]
    bare = vehicle_from(data)
    assert {b for p in made(bare) if p.what == "arm" for b in p.bogies} == {"middle", "rear"}
    assert "[bogie.front.build]" in " ".join(left_out(bare))
