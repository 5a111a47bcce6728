"""Refused files are drawn all the same: each fault with its flag at its place, what is not the file's said."""

from __future__ import annotations

import math
from pathlib import Path

import pytest
from draw_parts import read_back, scale_on, words_that_meet, written

from trundle.cli.draw import plan_of
from trundle.elevation.plan import Plan
from trundle.elevation.subject import Subject
from trundle.fields.sketch import XY
from trundle.spec.shipped import find

TEASEL = find("vehicles", "teasel").read_text()
MOLE = find("vehicles", "mole").read_text()


def drawn(folder: Path, text: str) -> tuple[Plan, Subject]:
    return plan_of(written(folder, text))


def flags(plan: Plan) -> list[tuple[float, float]]:
    """Where flags' dots are on the first page: filled red, and no wider than a dot."""
    return [(x, y) for x, y, r in read_back(plan.pages[0].svg()).circles if r == pytest.approx(0.7)]


def at(plan: Plan, place: XY) -> bool:
    """Whether a flag's dot is at a place in the hull [mm], by the tapes' circles: the lowest's x, one upright's y."""
    svg = plan.pages[0].svg()
    back, scale = read_back(svg), scale_on(svg)
    zeros = [(x, y) for x, y, r in back.circles if r == pytest.approx(0.8)]
    across = max(zeros, key=lambda z: z[1])[0]
    up = {z[1] for z in zeros if z[0] != across}
    return any(
        math.dist(dot, (across + place[0] * scale, y - place[1] * scale)) < 0.1 for dot in flags(plan) for y in up
    )


def test_a_wheel_inside_another(tmp_path: Path) -> None:
    """Found by the checks of the whole vehicle: all its values are drawn, the flag is at the bogie that is named."""
    plan, subject = drawn(tmp_path, TEASEL.replace("at_mm = [880, 0]", "at_mm = [1250, 0]"))
    (fault,) = plan.faults
    assert "overlap" in fault.problem.problem
    (place,) = fault.at
    assert abs(place[0] - 1250.0) < 60.0
    assert len(flags(plan)) == 1
    assert at(plan, place)
    assert not subject.reading.supplied
    assert any("bogie.middle.at_mm  1250" in t for t in read_back(plan.pages[0].svg()).texts)


def test_a_missing_field(tmp_path: Path) -> None:
    """Drawn with the like bogie's arm, which is said; the flag is at the arm that has none."""
    plan, subject = drawn(tmp_path, MOLE.replace("arm_mm = 160\n", "", 1))
    (fault,) = plan.faults
    assert fault.problem.field == "bogie.front.arm_mm"
    (place,) = fault.at
    assert abs(place[0] - 880.0) < 160.0
    assert at(plan, place)
    texts = read_back(plan.pages[0].svg()).texts
    assert any("arm_mm drawn as 160" in t for t in texts)
    assert any("not in the file" in t for t in texts)
    assert any("Not standing" in t for t in texts)
    assert subject.standing is None


def test_one_fault_in_equal_bogies(tmp_path: Path) -> None:
    """Told once, with a flag of its number at each."""
    plan, _ = drawn(tmp_path, TEASEL.replace("arm_mm = 200", "arm_mm = 0.2"))
    (fault,) = plan.faults
    assert fault.problem.field == "bogie.*.arm_mm (front, middle, rear)"
    assert len(fault.at) == len(flags(plan)) == 3
    assert all(at(plan, place) for place in fault.at)
    pivots = (236.0, 880.0, 1524.0)
    assert all(abs(x - pivot) < 200.0 for (x, _), pivot in zip(sorted(fault.at), pivots, strict=True))


def test_a_negative_length_and_a_wrong_unit(tmp_path: Path) -> None:
    """Two faults, each with its own flag; a radius of 0.095 (metres, taken for mm) is out of range."""
    text = TEASEL.replace("radius_mm = 95", "radius_mm = 0.095").replace(
        "seat_mm = [770, 330]", "seat_mm = [770, 33000]"
    )
    plan, _ = drawn(tmp_path, text)
    by_field = {f.problem.field.partition("[")[0]: f for f in plan.faults}
    assert set(by_field) == {"wheel.road.radius_mm", "hull.seat_mm"}
    assert [f.number for f in plan.faults] == [1, 2]
    assert len(flags(plan)) == 2
    for fault in plan.faults:
        assert at(plan, *fault.at)
    texts = read_back(plan.pages[0].svg()).texts
    assert texts.count("1") == 2  # its flag and its line in the list
    assert texts.count("2") == 2


def test_what_is_found_only_when_it_is_stood(tmp_path: Path) -> None:
    """A track of too few links: the file reads well, the drawing is of a vehicle that does not stand."""
    plan, subject = drawn(tmp_path, TEASEL.replace("links = 82", "links = 70"))
    (fault,) = plan.faults
    assert fault.problem.field == "track.links"
    assert "too short" in fault.problem.problem
    assert fault.problem.line == TEASEL.split("\n").index("links = 82") + 1
    assert at(plan, *fault.at)
    assert subject.standing is None
    assert not subject.reading.supplied


def test_springs_that_carry_nothing(tmp_path: Path) -> None:
    """It stands on its bump stops: refused by the sheet, so by the drawing; a fault of no one place is in the list."""
    plan, _ = drawn(tmp_path, TEASEL.replace("full_leaves = 9", "full_leaves = 1"))
    (fault,) = plan.faults
    assert "cannot carry" in fault.problem.problem
    assert fault.at == ()
    assert flags(plan) == []
    assert any("cannot carry" in t for t in read_back(plan.pages[0].svg()).texts)


def test_a_spring_that_cannot_work_is_drawn(tmp_path: Path) -> None:
    """Its seats meet: the law has no answer, the coil has a look."""
    plan, subject = drawn(tmp_path, MOLE.replace("anchor_mm = [67.5, 118]", "anchor_mm = [110, -17]", 1))
    assert plan.faults
    assert plan.faults[0].problem.field.startswith("bogie.front.spring")
    assert len(plan.faults[0].at) == 1
    assert any(s.bogie == "front" for s in subject.parts.springs)


@pytest.mark.parametrize(
    "text",
    [
        "name = 'nothing yet'\n",
        TEASEL.replace("[hull]", "[hul]"),
        TEASEL.replace("stops = {", "stop = {"),
        TEASEL.replace("bump_below_level_deg = 1", "bump_below_level_deg = 60"),
        TEASEL.replace("teeth = 10", "teeth = 0"),
        TEASEL.replace("com_mm = [870, 250]", "com_mm = [870 250]"),
        TEASEL.replace('wheel = "road"', 'wheel = "rood"'),
        MOLE.replace("wire_mm = 6.5", "wire_mm = 65"),
        MOLE.replace("at_mm = [882, 10]", "at_mm = [-8820, 10]"),
        MOLE.replace("belly_mm = [[0, 130], [90, 0], [1100, 0], [1210, 140]]", "belly_mm = [[0, 130]]"),
        TEASEL.split("[track]")[0],
        TEASEL[: len(TEASEL) // 2],
    ],
    ids=lambda t: t[-18:],
)
def test_any_fault_leaves_a_drawing(tmp_path: Path, text: str) -> None:
    """Whole pages, no words on others on the first, the faults told."""
    plan, subject = drawn(tmp_path, text)
    assert subject.reading.refused
    assert len(plan.faults) == len(subject.reading.problems)
    assert any("This file is refused" in t for t in read_back(plan.pages[0].svg()).texts)
    assert words_that_meet(plan.pages[0]) == []
    assert plan.pdf().startswith(b"%PDF")
