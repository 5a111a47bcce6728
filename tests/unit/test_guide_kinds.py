"""Springs, pads, obstacles, instructions and courses explain every field, and show it where it is measured."""

from __future__ import annotations

import math
import tomllib

import numpy as np
import pytest
from test_guide_fields import shown, stated

from trundle.fields.base import Spec
from trundle.fields.docs import field_doc, table_doc
from trundle.fields.sketch import Around, Sketch, Span
from trundle.spec.course import Course
from trundle.springs import KINDS as SPRINGS
from trundle.springs import Arm, CurvePad, Mount, RubberPad, Spring, TablePad
from trundle.springs.leaf_across import LeafAcross
from trundle.terrain import KINDS as OBSTACLES
from trundle.terrain import Obstacle
from trundle.terrain.instructions import KINDS as INSTRUCTIONS
from trundle.terrain.outline import OFF_PER_GRID2
from trundle.terrain.profile import STEPS, surface_mm

PADS: tuple[type[Spec], ...] = (CurvePad, TablePad, RubberPad)
GROUND: tuple[type[Spec], ...] = (*OBSTACLES, *INSTRUCTIONS, Course)
TABLES: tuple[type[Spec], ...] = (*SPRINGS, *PADS, *GROUND)
SAID_ELSEWHERE = {"kind"}
"""The kind is told by its table."""


@pytest.mark.parametrize("table", TABLES, ids=lambda t: t.__name__)
def test_every_field_is_explained(table: type[Spec]) -> None:
    """All four parts; first of all from where to where or of what it is, in a comment's length."""
    assert table_doc(table).what
    for name in set(table.model_fields) - SAID_ELSEWHERE:
        said = field_doc(table, name)
        assert all((said.what, said.usual, said.measure, said.if_wrong)), name


@pytest.mark.parametrize("kind", SPRINGS, ids=lambda t: t.__name__)
@pytest.mark.parametrize("sign", [1.0, -1.0])
@pytest.mark.parametrize("arm_deg", [None, 5.0])
def test_a_spring_is_drawn_where_its_arm_is(kind: type[Spec], sign: float, arm_deg: float | None) -> None:
    """One view lies in the hull: elsewhere it is the same, moved; an arm that points back mirrors what hangs on it."""
    spring = kind.model_validate(tomllib.loads(kind.EXAMPLE))
    here, there = (
        in_hull(spring.sketches(Around(at_mm=at, sign=sign, arm_deg=arm_deg))) for at in ((100, 0), (1000, 40))
    )
    assert [m.field for m in here.marks] == [m.field for m in there.marks]
    for a, b in zip(here.marks, there.marks, strict=True):
        if isinstance(a, Span) and isinstance(b, Span):
            assert (b.a[0] - a.a[0], b.a[1] - a.a[1]) == pytest.approx((900, 40))
            assert (b.b[0] - a.b[0], b.b[1] - a.b[1]) == pytest.approx((900, 40))
            if a.part == "forward":
                assert (a.b[0] - a.a[0]) * sign > 0.0


def in_hull(sketches: tuple[Sketch, ...]) -> Sketch:
    """The one that does."""
    (found,) = [s for s in sketches if s.in_hull]
    return found


@pytest.mark.parametrize("seat", ["point", "pair", "clamp"])
def test_a_leaf_shows_its_own_seat_and_the_other_two(seat: str) -> None:
    """What a seat of another kind would be measured by is drawn too; of its own with its own size."""
    own = {"pair": {"seat_apart_mm": 90.0}, "clamp": {"clamp_mm": 90.0, "clamp_fit": "curved"}}.get(seat, {})
    leaf = LeafAcross.model_validate(tomllib.loads(LeafAcross.EXAMPLE) | {"seat": seat} | own)
    marks = [m for s in leaf.sketches(Around()) for m in s.marks]
    assert {m.field for m in marks} == set(LeafAcross.model_fields)
    for field in set(own) - {"clamp_fit"}:
        (span,) = [m for m in marks if m.field == field]
        assert isinstance(span, Span)
        assert span.b[0] - span.a[0] == pytest.approx(90.0)


def test_a_scrap_leaf_is_told_by_a_bend_test() -> None:
    """Load times distance over four, over the section's modulus: three-point bending (any handbook of beams)."""
    said = field_doc(LeafAcross, "steel").measure
    assert "1.5 x load x distance of the supports / (width x thickness^2)" in said
    load, apart, wide, thick = 2160.0, 200.0, 40.0, 3.0
    moment, modulus = load * apart / 4.0, wide * thick**2 / 6.0
    assert 1.5 * load * apart / (wide * thick**2) == pytest.approx(moment / modulus)


@pytest.mark.parametrize("table", GROUND, ids=lambda t: t.__name__)
def test_every_field_is_marked_where_it_is(table: type[Spec]) -> None:
    """Each field in one of its table's sketches, none that it has not; what is drawn to scale has the field's size."""
    spec = table.model_validate(tomllib.loads(table.EXAMPLE))
    sketches = spec.sketches(Around())
    marks = [m for s in sketches for m in s.marks]
    assert {m.field for m in marks} == set(table.model_fields)
    assert all(s.title and s.shapes for s in sketches)
    for mark in marks:
        size, sizes = shown(mark), stated(getattr(spec, mark.field), mark)
        if size is not None and sizes:
            assert any(size == pytest.approx(s, abs=0.05) for s in sizes), mark


@pytest.mark.parametrize("kind", OBSTACLES, ids=lambda t: t.__name__)
def test_an_obstacle_is_drawn_as_it_is_driven_over(kind: type[Obstacle]) -> None:
    """The upper edge of what is filled is its heights, as near as an outline on that grid is (trundle.terrain.outline),
    and behind it the level that it leaves."""
    part = kind.model_validate(tomllib.loads(kind.EXAMPLE))
    drawn = surface_mm(part)
    x, y = drawn.T / 1e3
    at = np.linspace(0.0, part.length_m(), 57)[1:-1]
    k = np.searchsorted(x, at)
    # Where it is steep, a little along is a lot up.
    gentle = np.abs(y[k] - y[k - 1]) < x[k] - x[k - 1]
    near = OFF_PER_GRID2 * (part.length_m() / (STEPS - 1)) ** 2
    assert gentle.sum() > 20
    assert np.interp(at, x, y)[gentle] == pytest.approx(part.heights_m(at)[gentle], abs=1.5 * near + 1e-9)
    assert drawn[-1] / 1e3 == pytest.approx((part.length_m(), part.rise_m()))


@pytest.mark.parametrize("kind", SPRINGS, ids=lambda t: t.__name__)
def test_a_spring_as_in_its_example_carries_a_wheel(kind: type[Spring]) -> None:
    """On a small ride-on's arm of 200 mm between 2 and 30 deg below level: who copies it begins with one that works.

    Six to eight such wheels carry 150 to 600 kg; its steel holds a load that stands and the bump.
    """
    spring = kind.model_validate(tomllib.loads(kind.EXAMPLE))
    arm = Arm(0.2, math.radians(2.0 - 15.0), math.radians(30.0 + 15.0), math.radians(15.0))
    mount = Mount(arm, 0.05)
    spring.mounted(mount)
    angles = np.radians(np.linspace(2.0, 30.0, 57))
    figures = [spring.at((float(a),) * spring.arms, mount) for a in angles]
    loads = np.array([f.torques_Nm[0] / (0.2 * math.cos(a)) for a, f in zip(angles, figures, strict=True)])
    assert np.all(np.diff(loads) <= 1e-9)
    assert loads[0] > 350.0
    assert loads[-1] < 350.0
    if spring.made_of().steel is not None:
        assert 0.0 < figures[0].stress_Pa < figures[0].yield_Pa
