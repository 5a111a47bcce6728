"""The general arrangement: each dimension, read back from the SVG, is what file and standing give by plain geometry."""

from __future__ import annotations

import math
import re

import numpy as np
import pytest
from scipy.optimize import brentq

from tests.unit.assembly_parts import Ring, axles, measured, on_tape, rings, sheets, standing, subject
from trundle.engine.standing import Standing
from trundle.plans.general import pages
from trundle.plans.subject import subject_of

NAMES = ("wren", "otter", "barrow")
MM = 0.05


def turned(at: Standing, x: float, y: float) -> tuple[float, float]:
    """A place in the hull [mm] seen with the ground level: along it, and how high."""
    px, py, pitch = (float(v) for v in at.q[:3])
    cx, cy = at.assembly.com
    c, s = math.cos(pitch), math.sin(pitch)
    dx, dy = x * 1e-3 - cx, y * 1e-3 - cy
    return (px + c * dx - s * dy) * 1e3, (py + s * dx + c * dy) * 1e3


@pytest.mark.parametrize("name", NAMES)
def test_overall_dimensions(name: str) -> None:
    at, found = standing(name), measured(name, "general")
    hull = at.assembly.vehicle.hull
    wheels, ends = rings(at)
    xs = [x + s * r for x, _, r in (*wheels, *ends) for s in (-1.0, 1.0)] + [p[0] for p in hull.belly_mm]
    assert found["general.length"].length == pytest.approx(max(xs) - min(xs), abs=MM)
    assert found["plan.length"].length == pytest.approx(max(xs) - min(xs), abs=MM)
    assert found["general.wheelbase"].length == pytest.approx(wheels[0][0] - wheels[-1][0], abs=MM)
    top = max(turned(at, p[0], hull.height_mm)[1] for p in (hull.belly_mm[0], hull.belly_mm[-1]))
    assert found["general.height"].length == pytest.approx(top, abs=MM)
    low = min(turned(at, *p)[1] for p in hull.belly_mm)
    assert found["general.clearance"].length == pytest.approx(low, abs=MM)


@pytest.mark.parametrize("name", NAMES)
def test_approach_and_departure(name: str) -> None:
    """The line under the last wheel that nothing beyond it goes below, found by turning it until something does."""
    at, found = standing(name), measured(name, "general")
    hull = at.assembly.vehicle.hull
    wheels, ends = rings(at)
    corners = [*hull.belly_mm, (hull.belly_mm[0][0], hull.height_mm), (hull.belly_mm[-1][0], hull.height_mm)]
    others = [*ends, *((x, y, 0.0) for x, y in corners)]
    for which, wheel, sign in (("approach", wheels[0], 1.0), ("departure", wheels[-1], -1.0)):
        beyond = [r for r in others if sign * (r[0] - wheel[0]) > 0.0]

        def below(a: float, of: Ring = wheel, way: float = sign, others: list[Ring] = beyond) -> float:
            n = np.array([way * math.sin(a), -math.cos(a)])
            own = float(np.dot(turned(at, of[0], of[1]), n)) + of[2]
            return max(float(np.dot(turned(at, x, y), n)) + r - own for x, y, r in others)

        if below(1.55) < 0.0:  # nothing stands out beyond the wheel
            assert f"general.{which}" not in found
            continue
        a = math.degrees(brentq(below, 0.01, 1.55, xtol=1e-9))
        assert found[f"general.{which}"].angle == pytest.approx(a, abs=0.05), which
        assert found[f"general.{which}"].words == [f"{a:.1f}°"]


@pytest.mark.parametrize("name", NAMES)
def test_places_from_the_datums(name: str) -> None:
    at, found = standing(name), measured(name, "general")
    vehicle = at.assembly.vehicle
    places = {f"{n} axle": x for n, (x, _) in axles(at).items()}
    for bogie_name, bogie in vehicle.bogie.items():
        held = [p for p in at.assembly.parts.swings if p.bogie == bogie_name and p.parent == 0]
        for p in held:
            places[f"{p.name} pivot"] = 1e3 * p.pivot_x
        assert bogie.at_mm[0] == pytest.approx(sum(1e3 * p.pivot_x for p in held) / len(held))
    for what, x in places.items():
        # What lies on the datum itself has no arrowhead.
        if abs(x) > 15.0:
            assert on_tape(found, f"forward.{what}", "tail datum, below", 0) == pytest.approx(x, abs=MM), what
    com = vehicle.hull.com_mm
    assert on_tape(found, "forward.com", "tail datum, above", 0) == pytest.approx(com[0], abs=MM)
    ups = [on_tape(found, "up.com", d, 1) for d in ("belly datum, left", "belly datum, right") if d in found]
    assert any(u == pytest.approx(com[1], abs=MM) for u in ups)
    if vehicle.track is not None:
        sprocket = vehicle.track.sprocket.at_mm
        assert on_tape(found, "forward.sprocket", "tail datum, above", 0) == pytest.approx(sprocket[0], abs=MM)
        _, ends = rings(at)
        assert on_tape(found, "forward.idler", "tail datum, above", 0) == pytest.approx(ends[1][0], abs=MM)


@pytest.mark.parametrize("name", NAMES)
def test_across(name: str) -> None:
    found, vehicle = measured(name, "general"), standing(name).assembly.vehicle
    assert vehicle.hull.gauge_mm is not None
    one = next(iter(vehicle.wheel.values()))
    wide = vehicle.track.width_mm if vehicle.track is not None else one.abreast * one.width_mm
    for view in ("plan", "front"):
        assert found[f"{view}.gauge"].length == pytest.approx(vehicle.hull.gauge_mm, abs=MM)
        assert found[f"{view}.width"].length == pytest.approx(vehicle.hull.gauge_mm + wide, abs=MM)
    if vehicle.track is not None:
        assert found["plan.track width"].length == pytest.approx(wide, abs=MM)


@pytest.mark.parametrize("name", NAMES)
def test_every_part_has_its_number_in_a_circle(name: str) -> None:
    found = measured(name, "general")
    marks = {m.mark for m in subject(name).made if m.what != "leaf"}
    assert marks <= {n.removeprefix("item.") for n in found if n.startswith("item.")}
    leaves = [m.mark for m in subject(name).made if m.what == "leaf"]
    if leaves:
        assert f"item.{leaves[0]}-{leaves[-1][1:]}" in found


def test_without_a_gauge_one_side_is_drawn_and_the_field_is_named() -> None:
    at = standing("wren")
    vehicle = at.assembly.vehicle
    bare = vehicle.model_copy(update={"hull": vehicle.hull.model_copy(update={"gauge_mm": None})})
    assembly = at.assembly.__class__(**{**at.assembly.__dict__, "vehicle": bare})
    stood = at.__class__(assembly, at.q, at.state, at.scratch, at.residual_N)
    of = subject("wren")
    drawn = list(pages(subject_of(bare, stood, of.source, of.date, of.paper)))
    words = " ".join(t for p in drawn for t in _texts(p.drawing("T", "t.toml", "", 1, 1).svg()))
    assert "hull.gauge_mm" in words
    assert "one side" in words
    assert "From the front" not in words


def _texts(svg: str) -> list[str]:
    return re.findall(r"<text [^>]*>([^<]*)</text>", svg)


def test_of_a_vehicle_that_does_not_stand_there_is_none() -> None:
    of = subject("teasel")
    assert list(pages(subject_of(of.vehicle, None, of.source, of.date, of.paper))) == []


SLOW = [pytest.param(p, marks=pytest.mark.slow) for p in ("Letter", "Tabloid")]


@pytest.mark.parametrize("paper", ["A4", *SLOW])
def test_other_papers_have_the_same_dimensions(paper: str) -> None:
    found, wanted = measured("wren", "general", paper), measured("wren", "general")
    for name, group in wanted.items():
        if len(group.tips) == 2 and not group.words[0].endswith("°"):
            assert found[name].length == pytest.approx(group.length, abs=2.0 * MM), name
    assert all(p.paper.name == paper for p in sheets("wren", "general", paper))
