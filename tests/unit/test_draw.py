"""Drawings of the shipped vehicles: true to scale, whole, to be read."""

from __future__ import annotations

import math
import tomllib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from draw_parts import ReadBack, plan, read_back, scale_on, subject, words_that_meet

from trundle.elevation.pose import resting_on, taut
from trundle.model.loop import tangent
from trundle.papers.document import whole_sheet
from trundle.papers.files import write_html
from trundle.spec.shipped import find, names
from trundle.units import MM

VEHICLES = names("vehicles")
NEAR_MM = 0.05
"""Of the vehicle's millimetres."""


def leaves(tables: dict[str, Any], path: str = "") -> Iterator[tuple[str, Any]]:
    """Every field that is written in a file, with its path; entries of a list of tables by number."""
    for name, value in tables.items():
        at = f"{path}.{name}" if path else name
        if isinstance(value, dict):
            yield from leaves(value, at)
        elif isinstance(value, list) and value and isinstance(value[0], dict):
            for k, entry in enumerate(value, 1):
                yield from leaves(entry, f"{at}[{k}]")
        else:
            yield at, value


def first_page(name: str) -> tuple[ReadBack, float]:
    svg = plan(name).pages[0].svg()
    return read_back(svg), scale_on(svg)


def on_tape(page: ReadBack, axis: int, level: float, zero: float, mm: float, scale: float) -> bool:
    """Whether an arrowhead points at so many mm from the datum on a tape at that level; y is down in SVG."""
    at = zero + (mm if axis == 0 else -mm) * scale
    return any(abs(t[1 - axis] - level) < 1e-3 and abs(t[axis] - at) < NEAR_MM * scale for t in page.tips)


@pytest.mark.parametrize("name", VEHICLES)
def test_tapes_are_true_to_scale(name: str) -> None:
    """Each place in the file, read back as distance on paper from a tape's circle to an arrowhead."""
    page, scale = first_page(name)
    tables = tomllib.loads(find("vehicles", name).read_text())
    hull, track = tables["hull"], tables.get("track", {})
    circles = [c for c in page.circles if c[2] == pytest.approx(0.8)]
    points = [hull["com_mm"], hull["seat_mm"], *hull["belly_mm"]]
    points += [b["at_mm"] for b in tables["bogie"].values()]
    points += [track[part]["at_mm"] for part in ("sprocket", "idler") if track]
    points += [r["at_mm"] for r in track.get("roller", [])]
    points.append([hull["length_mm"], hull["height_mm"]])
    for point in points:
        for axis, mm in enumerate(point):
            if abs(mm) * scale < 1.2:
                continue  # too close to the circle for an arrowhead
            assert any(on_tape(page, axis, c[1 - axis], c[axis], mm, scale) for c in circles), (point, axis)


@pytest.mark.parametrize("name", VEHICLES)
def test_wheels_and_arms_are_true_to_scale(name: str) -> None:
    """Radii, and from each pivot's sleeve to its wheel the arm's length."""
    page, scale = first_page(name)
    found = subject(name)
    wheel = wheel_mm(name)
    pivots = [(x, y) for x, y, r in page.circles if abs(r / scale - 20.0) < NEAR_MM]
    axles = [(x, y) for x, y, r in page.circles if abs(r / scale - wheel) < NEAR_MM]
    assert len(axles) >= len(found.pose.wheels)
    for part in found.parts.swings:
        if part.what == "arm" and part.wheels:
            long = [math.dist(p, a) / scale for p in pivots for a in axles]
            assert min(abs(length - part.radius / MM) for length in long) < NEAR_MM, part.name


def wheel_mm(name: str) -> float:
    return next(iter(subject(name).vehicle.wheel.values())).radius_mm


@pytest.mark.parametrize("name", VEHICLES)
def test_every_field_of_the_file_is_on_a_page(name: str) -> None:
    """By its name, and a number with its value beside it."""
    texts = [" ".join(t.split()) for page in plan(name).pages for t in read_back(page.svg()).texts]
    tables = tomllib.loads(find("vehicles", name).read_text())
    for path, value in leaves(tables):
        field = path.rpartition(".")[2]
        told = [t for t in texts if field in t.replace("[", " ").replace(".", " ").split()]
        assert told, path
        if isinstance(value, (int, float)) and not isinstance(value, bool):
            assert any(f"{field} {value:.6g}" in t for t in told), path


@pytest.mark.parametrize("name", VEHICLES)
def test_no_words_lie_on_others(name: str) -> None:
    for page in plan(name).pages:
        assert words_that_meet(page) == []


@pytest.mark.parametrize("name", VEHICLES)
def test_all_of_it_is_on_the_paper(name: str) -> None:
    for page in plan(name).pages:
        back = read_back(page.svg())
        xs, ys = [c[0] for c in back.circles] + [t[0] for t in back.tips], [c[1] for c in back.circles]
        assert not xs or (min(xs) > 8.0 and max(xs) < page.width - 8.0)
        assert not ys or (min(ys) > 8.0 and max(ys) < page.height - 8.0)


@pytest.mark.parametrize("name", VEHICLES)
def test_standing_heights_and_loads_are_those_of_the_sheet(name: str) -> None:
    from trundle.papers.standing import standing_sheet

    sheet = standing_sheet(subject(name).vehicle, adjusters=False, at=subject(name).standing)
    texts = read_back(plan(name).pages[0].svg()).texts
    for height in sheet.heights:
        assert f"belly {height.height_mm:.0f} up" in texts
    for wheel in sheet.wheels:
        assert f"{wheel.load_N:.0f} N" in texts


def test_the_sheet_has_the_same_view_with_loads(tmp_path: Path) -> None:
    """One drawing of the vehicle, not two: wheels at the same places to scale, loads and heights in words."""
    made = whole_sheet(subject("teasel").vehicle, "teasel")
    page = write_html(made, tmp_path / "s.html").read_text()
    picture = read_back(page)
    times = float(next(t for t in picture.texts if "Load of one wheel" in t).split(".")[0].partition(":")[2])
    large, scale = first_page("teasel")
    for back, one in ((picture, 1.0 / times), (large, scale)):
        xs = sorted(x / one for x, _, r in back.circles if r / one == pytest.approx(95.0, abs=NEAR_MM))
        assert len(xs) == 6
        axles = sorted(w.x for w in subject("teasel").pose.wheels)
        assert np.diff(xs) == pytest.approx(np.diff(axles), abs=0.2)  # 0.1 deg of pitch turns 1500 mm by 0.003
    for wheel in made.standing.wheels:
        assert f"{wheel.load_N:.0f} N" in picture.texts


def test_alike_bogies_are_dimensioned_once() -> None:
    texts = read_back(plan("teasel").pages[0].svg()).texts
    assert sum(t.startswith("pivots_apart_mm") for t in texts) == 1
    assert any("bogie.front = middle = rear" in t for t in texts)
    assert sum(t.startswith("bogie.") and ".at_mm  0" in t for t in texts) == 0  # on the datum itself: no length


def test_at_full_bump_and_droop_the_hull_is_where_the_stops_put_it() -> None:
    """Teasel's bogies are alike and its pivots at the belly datum: height by the file's angles alone."""
    bump, droop = subject("teasel").positions[1:]
    vehicle = subject("teasel").vehicle
    assert vehicle.track is not None
    foot = vehicle.wheel["road"].radius_mm + vehicle.track.thickness_mm
    for position, deg in ((bump, 1.0), (droop, 32.0)):
        assert position.pose.on_ground(0.0, 0.0)[1] == pytest.approx(
            200.0 * math.sin(math.radians(deg)) + foot, abs=1e-6
        )
        assert position.pose.pitch_rad == pytest.approx(0.0, abs=1e-9)


def test_the_track_touches_what_it_runs_round() -> None:
    """Its inner face is nowhere inside a wheel, sprocket or idler by more than the chord of a fine arc; its sag is the
    file's."""
    for name in ("teasel", "otter", "mole", "wren"):
        pose, vehicle = subject(name).pose, subject(name).vehicle
        assert pose.inner is not None
        assert pose.sag is not None
        assert vehicle.track is not None
        for ring in (*pose.wheels, *pose.ends):
            near = float(np.hypot(*(pose.inner - np.array([ring.x, ring.y])).T).min())
            squash = 3.0  # a loaded tyre, and the pitch line of a sprocket's corner
            assert near > ring.radius - squash, (name, ring)
        if vehicle.track.sag_mm is not None:
            assert math.dist(*pose.sag) == pytest.approx(vehicle.track.sag_mm, rel=0.02)


def test_a_taut_line_round_circles_is_as_long_as_a_belt() -> None:
    """Two circles: 2 tangents and two arcs (open belt drive, any handbook of machine elements)."""
    a, b = (0.0, 0.0, 80.0), (1000.0, 50.0, 120.0)
    line = taut([a, b])
    length = float(np.hypot(*(np.roll(line, -1, axis=0) - line).T).sum())
    gap = math.dist(a[:2], b[:2])
    turn = math.asin(40.0 / gap)
    belt = 2.0 * tangent(a, b)[2] + (math.pi - 2.0 * turn) * 80.0 + (math.pi + 2.0 * turn) * 120.0
    assert length == pytest.approx(belt, rel=1e-4)


def test_a_hull_rests_on_the_two_wheels_about_its_mass() -> None:
    """Three wheels, the middle one high: between the outer two; one circle alone: level on it."""
    height, pitch = resting_on([(0.0, -50.0, 100.0), (500.0, 0.0, 100.0), (1000.0, -60.0, 100.0)], 400.0)
    assert pitch == pytest.approx(math.atan(10.0 / 1000.0))
    assert height == pytest.approx(50.0 * math.cos(pitch) + 100.0)
    assert resting_on([(0.0, -50.0, 100.0)], 0.0) == (150.0, 0.0)
