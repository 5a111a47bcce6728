"""The shipped vehicles' sheets are full, and what they say to buy adds up."""

from __future__ import annotations

import pytest

from trundle.papers.bolt_list import bolt_list
from trundle.papers.cut_list import cut_list
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


def counts(part: Part | None) -> dict[str, int]:
    """How many of each that its first table has, by the words in front of its count."""
    assert part is not None
    table = part.tables[0]
    column = table.heads.index("count")
    found: dict[str, int] = {}
    for row in table.rows:
        found[row[column - 1]] = found.get(row[column - 1], 0) + int(row[column])
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
    got, who = counts(bolt_list(otter)), "one, two, three and four"
    assert got == {f"axle bolt: {who}": 16, f"pivot bolt: {who}": 8 + 8, f"hull bolt: {who}": 8 * 2 * 2}
    cut = counts(cut_list(otter))
    assert cut[f"pivot sleeve: {who}"] == cut[f"axle sleeve: {who}"] == 16
    # Two plates for each arm on the hull, and two at each arm's end for the beam.
    assert cut[f"bracket plate: {who}"] == 8 * 2 + 8 * 2
    cut, who = counts(cut_list(teasel)), "front, middle and rear"
    assert cut[f"arm: {who}"] == cut[f"pivot sleeve: {who}"] == counts(bolt_list(teasel))[f"pivot bolt: {who}"] == 12
    assert cut[f"leaf, 9 in each: {who}"] == 2 * 3 * 9


def test_even_ground_pressure_is_weight_over_area() -> None:
    """W / (2 b l) by hand for Teasel: b = 150 mm, l between the outermost axles."""
    at = stand_level(vehicle("teasel"))
    sheet = standing_sheet(at.assembly.vehicle)
    p = sheet.pressure
    assert p is not None
    assert p.width_mm == 150.0
    assert p.nominal_kPa == pytest.approx(at.assembly.mass_kg * G / (2 * 0.150 * p.length_mm * 1e-3) * 1e-3)
    # Axles at 1524 + 25 + 200 cos a and 236 - 25 - 200 cos a from the tail, arms some 5 to 14 deg down.
    assert 1338 + 400 * 0.97 < p.length_mm < 1338 + 400 * 0.997


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
