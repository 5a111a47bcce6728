"""Every obstacle kind: heights where a tape measure would find them, sizes refused that cannot be built."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
from pydantic import ValidationError
from terrain_parts import course, make

from trundle.errors import InputError
from trundle.model.ground import course_arrays
from trundle.terrain import KINDS, Obstacle
from trundle.terrain.ground import Ground, course_length_m, lay


def heights_mm(part: Obstacle, *x_mm: float) -> list[float]:
    """Its heights at places measured from its start, to the nearest thousandth of a mm."""
    return [round(float(h) * 1e3, 3) for h in part.heights_m(np.array(x_mm, dtype=float) / 1e3)]


def mm_at(ground: Ground, *x_mm: float) -> list[float]:
    """Ground heights in mm."""
    return [round(float(h) * 1e3, 3) for h in ground.height_at(np.array(x_mm) / 1e3)]


PROFILES = [
    (make("flat", length_mm=500), {0: 0, 500: 0}, 0, "flat 0.5 m"),
    (make("kerb up", height_mm=100), {0: 100, 125: 100}, 100, "kerb 100 mm"),
    # Bullnose of 30 mm: 70 mm of face, the quarter circle's 45 degree point at r (1 - 1/sqrt 2) = 8.787 mm.
    (
        make("kerb up", height_mm=100, edge_radius_mm=30),
        {0: 70, 8.787: 91.213, 30: 100, 125: 100},
        100,
        "kerb 100 mm",
    ),
    (make("kerb up", height_mm=100, batter_mm=50), {0: 0, 25: 50, 50: 100}, 100, "kerb 100 mm"),
    (make("kerb down", height_mm=75), {0: 0, 125: 0}, -75, "kerb down 75 mm"),
    (make("kerb down", height_mm=75, batter_mm=50), {75: 0, 100: -37.5, 125: -75}, -75, "kerb down 75 mm"),
    (
        make("step up", height_mm=150, count=3),
        {0: 150, 279: 150, 280: 300, 560: 450, 840: 450},
        450,
        "steps 3 x 150 mm",
    ),
    (
        make("step down", height_mm=150, count=2),
        {0: 0, 280: 0, 281: -150, 560: -150},
        -300,
        "steps down 2 x 150 mm",
    ),
    (
        make("ramp up", height_mm=300, slope_deg=45),
        {0: 0, 150: 150, 300: 300},
        300,
        "ramp up 300 mm at 45 deg",
    ),
    (
        make("ramp down", height_mm=300, length_mm=1000),
        {500: -150, 1000: -300},
        -300,
        "ramp down 300 mm at 16.7 deg",
    ),
    (make("half-round", radius_mm=100), {0: 0, 100: 100, 40: 80, 200: 0}, 0, "half-round 100 mm"),
    (
        make("round-top hump", height_mm=100, length_mm=3700),
        {0: 0, 925: 75.055, 1850: 100, 3700: 0},
        0,
        "round-top hump 100 mm x 3700 mm",
    ),
    (
        make("sinusoidal hump", height_mm=80, length_mm=1000),
        {0: 0, 250: 40, 500: 80, 1000: 0},
        0,
        "sinusoidal hump 80 mm x 1000 mm",
    ),
    (
        make("flat-top hump", height_mm=75, ramp_mm=750, top_mm=500),
        {375: 37.5, 750: 75, 1250: 75, 2000: 0},
        0,
        "flat-top hump 75 mm",
    ),
    (make("flat-top hump", height_mm=75, ramp_mm=0, top_mm=500), {0: 75, 500: 75}, 0, "flat-top hump 75 mm"),
    (
        make("trench", depth_mm=120, bottom_mm=300),
        {0: 0, 1: -120, 299: -120, 300: 0},
        0,
        "trench 300 mm x 120 mm",
    ),
    (
        make("trench", depth_mm=120, bottom_mm=300, side_mm=100),
        {50: -60, 100: -120, 500: 0},
        0,
        "trench 500 mm x 120 mm",
    ),
    (make("dip", depth_mm=80, length_mm=1000), {0: 0, 250: -40, 500: -80}, 0, "dip 80 mm x 1000 mm"),
    (
        make("ripples", height_mm=40, wavelength_mm=500, count=3),
        {0: 0, 125: 20, 250: 40, 500: 0, 1250: 40, 1500: 0},
        0,
        "ripples 3 x 40 mm",
    ),
    (
        make("sleepers", height_mm=125, width_mm=250, pitch_mm=600, count=2),
        {0: 125, 250: 125, 251: 0, 599: 0, 600: 125, 850: 125},
        0,
        "sleepers 2 x 125 mm",
    ),
    (make("log", diameter_mm=150), {0: 75, 75: 150, 30: 135, 150: 75}, 0, "log 150 mm"),
    # Sunk past its middle: a cap 50 mm high, chord 2 sqrt(75^2 - 25^2) = 141.42 mm.
    (make("log", diameter_mm=150, sunk_mm=100), {0: 0, 70.711: 50, 141.421: 0}, 0, "log 150 mm sunk 100 mm"),
]


@pytest.mark.parametrize(("part", "expected", "rise", "title"), PROFILES, ids=lambda v: str(v)[:40])
def test_heights_rise_and_title(part: Obstacle, expected: dict[float, float], rise: float, title: str) -> None:
    """Heights at marked places by plane geometry; at an upright face the upper edge counts."""
    assert heights_mm(part, *expected) == pytest.approx(list(expected.values()), abs=0.002)
    assert part.rise_m() * 1e3 == pytest.approx(rise)
    assert part.title() == title
    assert max(expected) <= part.length_m() * 1e3 + 0.01


def test_every_kind_is_in_the_table_once() -> None:
    """No two kinds share a name, and each names itself in one literal."""
    names = [k.model_fields["kind"].annotation.__args__[0] for k in KINDS]
    assert len(names) == len(set(names)) == len(KINDS)


@pytest.mark.parametrize(
    ("kind", "fields", "says"),
    [
        ("kerb up", {"height_mm": 50, "edge_radius_mm": 60}, "more than the height"),
        ("kerb up", {"height_mm": 50, "edge_radius_mm": 10, "batter_mm": 10}, "one or the other"),
        ("kerb up", {"height_mm": 0}, "greater than 0"),
        ("ramp up", {"height_mm": 50}, "length_mm or slope_deg"),
        ("ramp up", {"height_mm": 50, "slope_deg": 5, "length_mm": 500}, "one of the two"),
        ("round-top hump", {"height_mm": 600, "length_mm": 1000}, "more than half the length"),
        ("sleepers", {"height_mm": 90, "width_mm": 250, "pitch_mm": 260, "count": 3}, "270 mm or more"),
        ("log", {"diameter_mm": 100, "sunk_mm": 100}, "less than the diameter"),
        ("rough ground", {"iso_class": "E", "seed": 1, "length_mm": 1500}, "more than half the length"),
        ("rough ground", {"iso_class": "J", "seed": 1, "length_mm": 9000}, "'A', 'B'"),
        ("ripples", {"height_mm": 40, "wavelength_mm": 500, "count": 2.5}, "integer"),
        ("half-round", {"radius_mm": "100"}, "number"),
    ],
)
def test_sizes_that_cannot_be_built_are_refused(kind: str, fields: dict[str, Any], says: str) -> None:
    """The message names what is allowed."""
    with pytest.raises(ValidationError, match=says):
        make(kind, **fields)


def test_level_is_carried_from_obstacle_to_obstacle() -> None:
    """Up 100, down a ramp of 40: 60 mm from there to the end."""
    ground = lay(course(make("kerb up", height_mm=100), make("ramp down", height_mm=40, length_mm=500)))
    assert mm_at(ground, 2490, 2500, 3000, 4124, 4130) == [0, 100, 100, 100, 100]
    assert mm_at(ground, 4130 + 250, 4630, 5600, 9e9) == [80, 60, 60, 60]


@pytest.mark.parametrize("dx_mm", [10, 5, 2.5, 2, 1])
def test_upright_faces_take_one_interval_of_the_heights_on_the_lower_side(dx_mm: float) -> None:
    """The corner stays at 2500 mm (up) and 2625 mm (down) whatever the grid."""
    parts = make("kerb up", height_mm=100), make("kerb down", height_mm=100, gap_mm=375, stone_mm=130)
    ground = lay(course(*parts), dx_mm / 1e3)
    assert mm_at(ground, 2500 - dx_mm, 2500) == [0, 100]
    assert mm_at(ground, 3130, 3130 + dx_mm) == [100, 0]


def corners_mm(ground: Ground, begin_mm: float, end_mm: float) -> list[tuple[float, float]]:
    """Corners of the surface that the law has, between two places, to a thousandth of a mm."""
    found = course_arrays(ground).lines
    return [(round(1e3 * c.x, 3), round(1e3 * c.y, 3)) for c in found if begin_mm <= 1e3 * c.x <= end_mm]


@pytest.mark.parametrize("dx_mm", [10, 5, 2])
def test_the_law_has_edges_where_they_are_and_faces_upright(dx_mm: float) -> None:
    """Sleepers of 143 mm, 381 mm apart, and a ditch of 217 mm: no size fits any grid. Every corner is where the tape
    has it; each face is two corners at one place. With sides of 33 mm the surface is off there by no more than twice
    0.8 / m times the grid's square, square to the side (0.04 mm on 5 mm)."""
    bars = make("sleepers", height_mm=90, width_mm=143, pitch_mm=381, count=3)
    found = corners_mm(lay(course(bars), dx_mm / 1e3), 2400, 3500)
    assert found == [p for x in (2500, 2881, 3262) for p in ((x, 0), (x, 90), (x + 143, 90), (x + 143, 0))]
    upright = make("trench", depth_mm=120, bottom_mm=217)
    assert corners_mm(lay(course(upright), dx_mm / 1e3), 2400, 2800) == [
        (2500, 0),
        (2500, -120),
        (2717, -120),
        (2717, 0),
    ]
    sloping = make("trench", depth_mm=120, bottom_mm=217, side_mm=33)
    ground = lay(course(sloping), dx_mm / 1e3)
    found_y = np.interp([2.500, 2.533, 2.750, 2.783], ground.outline_x_m, ground.outline_y_m)
    assert np.abs(found_y - [0.0, -0.120, -0.120, 0.0]).max() * math.cos(math.atan2(120, 33)) < 2 * 0.8e-6 * dx_mm**2


@pytest.mark.parametrize("dx_mm", [10, 5, 2.5])
@pytest.mark.parametrize("radius_mm", [23, 100, 400])
def test_a_round_is_followed_by_chords(radius_mm: float, dx_mm: float) -> None:
    """Between its corners a half-round's outline lies inside the circle, by no more than 1 / m times the grid's
    square (0.025 mm on 5 mm), from foot to foot; so it does whatever its radius."""
    ground = lay(course(make("half-round", radius_mm=radius_mm)), dx_mm / 1e3)
    x, y = ground.outline_x_m - 2.5 - radius_mm / 1e3, ground.outline_y_m
    on = np.hypot(x, y) < radius_mm / 1e3 + 1e-9
    assert on.sum() > 6
    x, y = x[on], y[on]
    assert x[0] == pytest.approx(-radius_mm / 1e3, abs=1e-9)
    assert x[-1] == pytest.approx(radius_mm / 1e3, abs=1e-9)
    middle = np.hypot(0.5 * (x[1:] + x[:-1]), 0.5 * (y[1:] + y[:-1]))
    assert (radius_mm / 1e3 - middle).max() < 1e-6 * dx_mm**2
    assert (radius_mm / 1e3 - middle).min() > -1e-9


@pytest.mark.parametrize("dx_m", [0.003, 0.02, 0.0005, 0.0, -0.005, float("nan"), float("inf")])
def test_a_grid_that_does_not_fit_is_refused(dx_m: float) -> None:
    """Only spacings that divide 10 mm keep every obstacle's place."""
    with pytest.raises(InputError, match=r"does not fit.*10, 5, 2\.5"):
        lay(course(make("flat", length_mm=500)), dx_m)


@pytest.mark.parametrize("pitch", [300, 350, 600, 610, 700, 1005])
def test_every_bar_of_a_long_train_stands_where_it_should(pitch: int) -> None:
    """Sums of mm in floats must not lose a bar's first or last point, nor add one."""
    count = 60
    ground = lay(course(make("sleepers", height_mm=90, width_mm=200, pitch_mm=pitch, count=count)))
    fronts = 2500 + pitch * np.arange(count)
    for off, height in ((-5, 0), (0, 90), (200, 90), (205, 0)):
        assert mm_at(ground, *(fronts + off)) == [height] * count


def test_touching_obstacles_keep_the_higher_edge() -> None:
    """A kerb down right against a kerb up leaves no slit between them: the ground is one straight line."""
    ground = lay(
        course(
            make("kerb down", height_mm=100, stone_mm=120),
            make("kerb up", height_mm=100, gap_mm=0),
        )
    )
    assert set(ground.height_m.tolist()) == {0.0}
    assert len(course_arrays(ground).lines) == 1


def test_speed_changes_at_the_start_of_a_gap() -> None:
    """nan (the vehicle's own) until the second obstacle's gap, then 0.8 to the end."""
    ground = lay(course(make("flat", length_mm=500), make("flat", length_mm=500, speed_m_s=0.8)))
    assert ground.speed_from_m.tolist() == [0, 3.0]
    assert np.isnan(ground.speed_m_s[0])
    assert ground.speed_m_s.tolist()[1:] == [0.8]
    assert lay(course(make("flat", length_mm=500), speed_m_s=1.5)).speed_m_s.tolist() == [1.5]


def test_equal_titles_are_told_apart() -> None:
    """Two plain kerbs and one that was named like the second."""
    kerb = make("kerb up", height_mm=50)
    ground = lay(course(kerb, kerb, make("kerb up", height_mm=50, name="kerb 50 mm (2)"), kerb))
    names = [name for name, _, _ in ground.spans]
    assert names[0] == "kerb 50 mm"
    assert len(set(names)) == 4


def test_ground_cannot_be_changed_by_accident() -> None:
    """Arrays are read-only: a study shares one ground among its runs."""
    ground = lay(course(make("flat", length_mm=500)))
    with pytest.raises(ValueError, match="read-only"):
        ground.height_m[0] = 1.0
    assert ground.length_m == pytest.approx(course_length_m(course(make("flat", length_mm=500)))) == 4.0
