"""Random courses: always finite, joined up, as long as written, and the same ground on every grid."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st
from terrain_parts import make

from trundle.terrain import KINDS, Obstacle
from trundle.terrain.ground import course_length_m, lay


def whole(low: int, high: int) -> st.SearchStrategy[float]:
    """Sizes as builders write them: mm to one decimal, on or off the grid."""
    return st.one_of(
        st.integers(low, high).map(float), st.floats(low, high).map(lambda v: max(round(v, 1), float(low)))
    )


def kind(name: str, **fields: st.SearchStrategy[Any]) -> st.SearchStrategy[Obstacle]:
    """Obstacles of one kind with random sizes, gap and (sometimes) speed."""
    shared = {"gap_mm": whole(0, 2000), "speed_m_s": st.one_of(st.none(), st.floats(0.1, 5))}
    return st.fixed_dictionaries({**shared, **fields}).map(lambda f: make(name, **f))


HIGH, LONG, COUNT = whole(1, 400), whole(20, 3000), st.integers(1, 6)
FACE = st.one_of(st.just(0.0), whole(1, 300))
OBSTACLES = {
    "flat": kind("flat", length_mm=LONG),
    "kerb up": kind("kerb up", height_mm=HIGH, batter_mm=FACE, stone_mm=whole(20, 300)),
    "kerb down": st.tuples(HIGH, st.floats(0, 1), whole(0, 900)).map(
        lambda v: make("kerb down", height_mm=v[0], edge_radius_mm=v[0] * v[1], gap_mm=v[2])
    ),
    "step up": kind("step up", height_mm=HIGH, going_mm=whole(20, 500), count=COUNT),
    "step down": kind("step down", height_mm=HIGH, going_mm=whole(20, 500), count=COUNT),
    "ramp up": kind("ramp up", height_mm=HIGH, slope_deg=st.floats(1, 60)),
    "ramp down": kind("ramp down", height_mm=HIGH, length_mm=LONG),
    "half-round": kind("half-round", radius_mm=whole(10, 400)),
    "round-top hump": st.tuples(LONG, st.floats(0.001, 0.5)).map(
        lambda v: make("round-top hump", length_mm=v[0], height_mm=v[0] * v[1])
    ),
    "sinusoidal hump": kind("sinusoidal hump", height_mm=HIGH, length_mm=LONG),
    "flat-top hump": kind("flat-top hump", height_mm=HIGH, top_mm=LONG, ramp_mm=FACE),
    "trench": kind("trench", depth_mm=HIGH, bottom_mm=LONG, side_mm=FACE),
    "dip": kind("dip", depth_mm=HIGH, length_mm=LONG),
    "ripples": kind("ripples", height_mm=HIGH, wavelength_mm=LONG, count=COUNT),
    "sleepers": kind("sleepers", height_mm=HIGH, width_mm=whole(20, 300), pitch_mm=whole(320, 900), count=COUNT),
    "log": st.tuples(whole(20, 600), st.floats(0, 0.99)).map(
        lambda v: make("log", diameter_mm=v[0], sunk_mm=v[0] * v[1])
    ),
    "rough ground": kind(
        "rough ground",
        iso_class=st.sampled_from("ABCDEFGH"),
        length_mm=whole(1000, 5000),
        seed=st.integers(0, 2**32 - 1),
        fade_mm=whole(100, 500),
    ),
}
COURSES = st.builds(
    lambda parts, up, out: SimpleNamespace(driver=(), obstacle=parts, run_up_mm=up, run_out_mm=out, speed_m_s=None),
    st.lists(st.one_of(list(OBSTACLES.values())), min_size=1, max_size=6),
    whole(0, 3000),
    whole(0, 3000),
)


def test_no_kind_is_forgotten() -> None:
    """All but the surveyed profile, which needs a file (see test_terrain_survey)."""
    names = {k.model_fields["kind"].annotation.__args__[0] for k in KINDS}
    assert names - set(OBSTACLES) == {"surveyed profile"}


@settings(max_examples=120, deadline=None)
@given(COURSES)
def test_random_courses(course: Any) -> None:
    """Finite heights; level ground between obstacles; lengths add up; coarse grid = every nth fine point."""
    ground = lay(course, 0.0025)
    assert np.isfinite(ground.height_m).all()

    written = (course.run_up_mm + course.run_out_mm + sum(p.gap_mm for p in course.obstacle)) / 1e3
    written += sum(p.length_m() for p in course.obstacle)
    # Each start and the end of the course may move up to one 10 mm step further on.
    assert -1e-6 <= ground.length_m - written <= 0.010 * (len(course.obstacle) + 1) + 1e-6
    assert abs(ground.length_m - course_length_m(course)) < 1e-9

    level, behind = 0.0, 0.0
    for part, (_, start, end) in zip(course.obstacle, ground.spans, strict=True):
        assert start >= behind - 1e-9
        assert abs(end - start - part.length_m()) < 1e-9
        x = np.arange(behind + 0.0025, start - 0.0025, 0.0025)  # faces take an interval at either end
        assert np.abs(ground.height_at(x) - level).max(initial=0.0) < 1e-9
        level, behind = level + part.rise_m(), end
    assert np.abs(ground.height_at(np.arange(behind + 0.005, ground.length_m, 0.01)) - level).max(initial=0) < 1e-9

    for dx, every in ((0.010, 4), (0.005, 2)):
        coarse = lay(course, dx)
        assert coarse.spans == ground.spans
        np.testing.assert_allclose(coarse.height_m, ground.height_m[::every], rtol=0, atol=1e-9)


@settings(max_examples=60, deadline=None)
@given(st.one_of(list(OBSTACLES.values())))
def test_heights_start_and_end_where_the_ground_does(part: Obstacle) -> None:
    """At 0 the height is 0 or an upper edge; at the end the rise or an upper edge; never nan between."""
    length = part.length_m()
    heights = part.heights_m(np.linspace(0.0, length, 501))
    assert np.isfinite(heights).all()
    # The root at the foot of a circle turns rounding of 1e-16 m^2 into 1e-8 m.
    assert heights[0] >= -1e-7
    assert heights[-1] >= part.rise_m() - 1e-7
