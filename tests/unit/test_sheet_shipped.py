"""The shipped vehicles' sheets are full, and what they say to buy adds up."""

from __future__ import annotations

import pytest

from trundle.making.made import made
from trundle.papers.build_parts import bolts, cut_list
from trundle.papers.ground import stand_level
from trundle.papers.loads import by_factor
from trundle.papers.parts import Part
from trundle.papers.standing import standing_sheet
from trundle.papers.standing_parts import wheels
from trundle.papers.strength import strength
from trundle.spec.shipped import find, names
from trundle.spec.vehicle import Vehicle, load_vehicle
from trundle.strength.missing import missing
from trundle.units import G


def vehicle(name: str) -> Vehicle:
    """A shipped one."""
    return load_vehicle(find("vehicles", name))


def counts(part: Part | None, column: int) -> dict[str, int]:
    """Count of each row by its first two cells' first words; `column` holds the number."""
    assert part is not None
    found: dict[str, int] = {}
    for row in part.tables[0].rows:
        key = f"{row[0].split(':')[0]} {row[1]}" if column == 2 else row[0].split(":")[0]
        found[key] = found.get(key, 0) + int(row[column])
    return found


@pytest.mark.parametrize("name", names("vehicles"))
def test_every_part_of_every_shipped_vehicle_is_checked_and_holds(name: str) -> None:
    """Nothing is left out for want of a size. At three times the standing load (the sheet's own guess of a worst
    load) every part has a margin of 2 or more, the trade's least for shock loads (common practice, no source)."""
    at = stand_level(vehicle(name))
    checks = strength(at.assembly, by_factor(standing_sheet(at.assembly.vehicle, False, at=at), 3.0))
    assert all("only a rate is given" in line for line in missing(at.assembly))
    assert len(checks) >= 5
    for check in checks:
        assert check.margin >= 2.0, check
        assert check.stress_MPa > 1.0, check


def test_a_pivot_bolt_and_a_sleeve_for_every_arm() -> None:
    """Otter: 4 beams and 4 sprung arms a side, 8 axles a side, arm brackets of two plates with two hull bolts each.
    Teasel: 3 bogies a side of 2 arms each, so 12 of everything that an arm has."""
    otter, teasel = vehicle("otter"), vehicle("teasel")
    got = counts(bolts(otter), 2)
    assert got["one, two, three and four axle"] == 16
    assert got["one, two, three and four pivot"] == 8
    assert got["one.arm, two.arm, three.arm and four.arm pivot"] == 8
    assert got["one.arm, two.arm, three.arm and four.arm bracket to hull"] == 8 * 2 * 2
    assert counts(cut_list(otter, made(otter)), 1)["pivot sleeve"] == 16
    cut = counts(cut_list(teasel, made(teasel)), 1)
    assert cut["arm"] == cut["pivot sleeve"] == counts(bolts(teasel), 2)["front, middle and rear pivot"] == 12


def test_even_ground_pressure_is_weight_over_area() -> None:
    """W / (2 b l) by hand for Teasel: b = 150 mm, l between the outermost axles."""
    at = stand_level(vehicle("teasel"))
    sheet = standing_sheet(at.assembly.vehicle)
    p = sheet.pressure
    assert p is not None
    assert p.width_mm == 150.0
    assert p.nominal_kPa == pytest.approx(at.assembly.mass_kg * G / (2 * 0.150 * p.length_mm * 1e-3) * 1e-3)
    # Axles at 1520 + 25 + 200 cos a and 240 - 25 - 200 cos a from the tail, arms some 5 to 14 deg down.
    assert 1330 + 400 * 0.97 < p.length_mm < 1330 + 400 * 0.997


def test_the_arm_under_a_beam_goes_by_its_own_name() -> None:
    """Beam and arm are checked at the same wheel; two rows of one name could not be told apart."""
    at = stand_level(vehicle("otter"))
    sheet = standing_sheet(at.assembly.vehicle, False, at=at)
    checks = strength(at.assembly, by_factor(sheet, 3.0))
    keys = [(c.name, " ".join(c.title.split()[:2])) for c in checks]
    assert len(set(keys)) == len(keys)
    assert {name.partition(".")[2] for name, _ in keys} == {"fore", "aft", "beam", "arm"}
    # Wheels on beams have no arm of their own: no empty columns for it.
    assert all(all(row) for row in wheels(sheet).tables[0].rows)
