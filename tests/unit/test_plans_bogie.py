"""Bogies put together: each dimension, read back from the SVG, is the file's, or follows from it by plain geometry."""

from __future__ import annotations

import math
import re

import pytest

from tests.unit.assembly_parts import Group, groups, measured, sheets, standing, subject
from tests.unit.draw_parts import words_that_meet
from trundle.bogies.paired_arms import PairedArms
from trundle.bogies.single_arm import SingleArm
from trundle.bogies.walking_beam import WalkingBeam
from trundle.errors import InputError
from trundle.plans.bogie_views import Bogie, side
from trundle.plans.composed import Composition
from trundle.plans.composed import sheets as composed
from trundle.plans.paper import Paper
from trundle.plans.stood import stood_of

NAMES = ("teasel", "otter", "barrow")
MM = 0.05


@pytest.mark.parametrize("name", ["wren", "otter"])
def test_what_is_said_is_what_is_drawn(name: str) -> None:
    """Every length with two arrowheads and every angle with two legs is what its words say, to the last digit."""
    checked = 0
    for what, group in (measured(name, "bogie") | measured(name, "run") | measured(name, "general")).items():
        number = next((m for w in group.words for m in re.findall(r"-?\d+(?:\.\d+)?", w.replace("M", " "))), None)
        if number is None or len(group.tips) != 2 or what.endswith(".bolt"):
            continue
        drawn = group.angle if any("°" in w for w in group.words) else group.length
        rounding = 0.5 if what.endswith("wrap") else 0.05
        assert drawn == pytest.approx(abs(float(number)), abs=rounding + 0.03), (what, group)
        checked += 1
    assert checked > 15


@pytest.mark.parametrize("name", NAMES)
def test_arms_pivots_and_axles_standing(name: str) -> None:
    at, found = standing(name), measured(name, "bogie")
    swings = at.assembly.parts.swings
    for names in stood_of(subject(name)).bogies:  # type: ignore[union-attr]
        bogie = at.assembly.vehicle.bogie[names[0]]
        of = names[0]
        arms = [p for p in swings if p.bogie == of and p.what == "arm"]
        first = arms[0]
        angle = float(at.q[3 + swings.index(first)])
        assert found[f"{of}.{first.name} angle"].angle == pytest.approx(abs(math.degrees(angle)), abs=0.05)
        match bogie:
            case PairedArms():
                assert found[f"{of}.pivots apart"].length == pytest.approx(bogie.pivots_apart_mm, abs=MM)
                assert found[f"{of}.{first.name} arm"].length == pytest.approx(bogie.arm_mm, abs=MM)
                for p in arms:
                    down = bogie.arm_mm * math.sin(float(at.q[3 + swings.index(p)]))
                    assert found[f"{of}.{p.wheels[0].name} axle down"].length == pytest.approx(abs(down), abs=MM)
            case SingleArm():
                assert found[f"{of}.{first.name} arm"].length == pytest.approx(bogie.arm_mm, abs=MM)
                assert found[f"{of}.axle from pivot"].length == pytest.approx(bogie.arm_mm * math.cos(angle), abs=MM)
            case WalkingBeam():
                assert bogie.arm is not None
                assert found[f"{of}.{first.name} arm"].length == pytest.approx(bogie.arm.arm_mm, abs=MM)
        radius = at.assembly.vehicle.wheel[bogie.wheel].radius_mm
        assert found[f"{of}.wheel"].length == pytest.approx(2.0 * radius, abs=MM)


@pytest.mark.parametrize("name", ["teasel", "barrow"])
def test_at_the_stops_arms_have_the_files_angles(name: str) -> None:
    found, vehicle = measured(name, "bogie"), standing(name).assembly.vehicle
    for names in stood_of(subject(name)).bogies:  # type: ignore[union-attr]
        of = names[0]
        bogie = vehicle.bogie[of]
        assert isinstance(bogie, PairedArms | SingleArm)
        arm = next(p for p in standing(name).assembly.parts.swings if p.bogie == of)
        for how, rad in (("bump", arm.bump), ("droop", arm.droop)):
            if abs(math.degrees(rad)) > 0.1:
                got = found[f"{of}.{how}.{arm.name} angle"]
                assert got.angle == pytest.approx(abs(math.degrees(rad)), abs=0.05)
                assert ("above level" in got.words) == (rad < 0.0)
            high = found[f"{of}.{how}.{arm.wheels[0].name} axle"].length
            assert high == pytest.approx(abs(bogie.arm_mm * math.sin(rad)), abs=MM)
        told = bogie.stops.droop_below_level_deg
        assert told is None or math.degrees(arm.droop) == pytest.approx(told)


@pytest.mark.parametrize("name", NAMES)
def test_the_cut_has_every_layer_of_its_bolts(name: str) -> None:
    found = measured(name, "bogie")
    for bolt in subject(name).bolted:
        if bolt.what == "hull bolt":
            continue
        kind = bolt.what.split()[0]
        grips = [g.length for n, g in found.items() if n.endswith(f"{kind}.grip")]
        assert grips
        whole = sum(layer.thick_mm for layer in bolt.layers)
        wanted = [sum(o.thick_mm for o in b.layers) for b in subject(name).bolted if b.what == bolt.what]
        assert all(any(g == pytest.approx(w, abs=MM) for w in wanted) for g in grips)
        assert whole in wanted
    first, bogie = next(iter(standing(name).assembly.vehicle.bogie.items()))
    what, build = next((m.what, m.build) for m in bogie.members(first))
    assert build is not None
    assert build.pivot is not None
    sleeve = found[f"{first}.{what} section.pivot.sleeve"].length
    assert sleeve == pytest.approx(build.pivot.sleeve_mm, abs=MM)
    if build.pivot.held == "both sides":
        between = found[f"{first}.{what} section.pivot.between plates"].length
        assert between == pytest.approx(build.pivot.sleeve_mm + 2.0 * build.pivot.gap_mm, abs=MM)
    if build.arm is not None:
        assert found[f"{first}.{what} section.wide"].length == pytest.approx(build.arm.width_mm, abs=MM)


def test_what_sets_the_spring_has_its_own_dimension() -> None:
    found = measured("teasel", "bogie")
    spring = standing("teasel").assembly.vehicle.bogie["front"].sprung("front").spring  # type: ignore[union-attr]
    seat = found["front.spring.seat_above_pivots_mm"]
    assert seat.length == pytest.approx(spring.seat_above_pivots_mm, abs=MM)  # type: ignore[attr-defined]
    free = measured("wren", "bogie")["one.spring.free_angle_deg"]
    assert free.angle == pytest.approx(42.0, abs=0.05)


@pytest.mark.parametrize("name", ["teasel", "otter"])
def test_no_words_lie_on_others(name: str) -> None:
    for kind in ("bogie", "run"):
        for page in sheets(name, kind):
            drawing = page.drawing(name, f"{name}.toml", "2026-01-02", 1, 9)
            assert words_that_meet(drawing) == [], page.title


@pytest.mark.parametrize("name", ["otter", "barrow"])
def test_everything_lies_inside_the_frame(name: str) -> None:
    """Marks of all sheets, read from their SVG as lines and circles."""
    for kind in ("general", "bogie", "run"):
        for page in sheets(name, kind):
            left, low, right, high = page.paper.frame
            svg = page.drawing(name, f"{name}.toml", "2026-01-02", 1, 9).svg()
            marks = svg[: svg.index('stroke-width="0.7"')]  # before the frame itself
            for x, y in re.findall(r'x[12]="([-\d.]+)" y[12]="([-\d.]+)"', marks):
                assert left <= float(x) <= right, page.title
                assert low <= page.paper.height - float(y) <= high, page.title


def test_a_paper_that_is_too_small_is_refused_with_one_that_does() -> None:
    stood = stood_of(subject("teasel"))
    assert stood is not None
    one = side(Bogie(stood, "front"), stood.pose, "Standing", True)
    stamp = Paper("Stamp", 100.0, 120.0)
    with pytest.raises(InputError, match=r"Stamp is too small for bogie.*Letter at least"):
        list(composed("BG1", [Composition((((one,),),), ("Bogie",))], [], stamp, 0.2))


def test_a_group_is_measured_as_it_is_drawn() -> None:
    """The ruler itself: two arrowheads 50 mm apart on paper at 1:2 are 100 mm."""
    assert Group(0.5, tips=[(0.0, 0.0), (100.0, 0.0)]).length == 100.0
    assert Group(0.5, legs=[((0.0, 0.0), (1.0, 0.0)), ((0.0, 0.0), (0.0, 2.0))]).angle == pytest.approx(90.0)
    assert groups(sheets("teasel", "bogie")[0])
