"""Every table of the builder's file says what it is and shows each of its fields, where it is measured."""

from __future__ import annotations

import math
import tomllib
from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from test_steps import ALL, _is_chosen, _is_dimension, _models

from trundle.bogies import PairedArms, WalkingBeam
from trundle.bogies.base import ArmParts
from trundle.fields.base import Spec
from trundle.fields.docs import field_doc, table_doc
from trundle.fields.kind import Kind
from trundle.fields.sketch import Around, Mark, Round, Sketch, Span, Turn
from trundle.papers.ground import stand_level
from trundle.spec.shipped import find
from trundle.spec.vehicle import Vehicle, load_vehicle, vehicle_from

TABLES: list[type[Spec]] = [t for t in dict.fromkeys(ALL) if issubclass(t, Spec)]

DRAWN = [t for t in TABLES if not getattr(t, "__abstractmethods__", ())]


OTHERWISE = ("left out", "in place of", "this or", "same given as", "only", 'of a "')
"""Words of a field that may be left out: what then is."""


def example(table: type[Spec]) -> Spec:
    """As its own example has it."""
    return table.model_validate(tomllib.loads(table.EXAMPLE))


def length_mm(mark: Span) -> float:
    """How long a span is, along its axis."""
    dx, dy = mark.b[0] - mark.a[0], mark.b[1] - mark.a[1]
    return {"x": abs(dx), "y": abs(dy), "line": math.hypot(dx, dy)}[mark.along]


def shown(mark: Mark) -> float | None:
    """The size that a mark is drawn with; None where it is a leader."""
    if isinstance(mark, Span):
        return length_mm(mark)
    if isinstance(mark, Round):
        return mark.radius_mm if mark.what == "radius" else 2.0 * mark.radius_mm
    return abs(mark.to_deg - mark.from_deg) if isinstance(mark, Turn) else None


def stated(value: Any, mark: Mark) -> list[float]:
    """The sizes that a mark of this field may have: of a point or a line of points those of its part."""
    if isinstance(value, (int, float)) and not isinstance(value, bool):
        return [abs(float(value))]
    if isinstance(value, tuple) and isinstance(mark, Span):
        points = value if isinstance(value[0], tuple) else (value,)
        return [abs(p[0] if mark.part == "forward" else p[1]) for p in points]
    return []


@pytest.mark.parametrize("table", DRAWN, ids=lambda t: t.__name__)
def test_every_field_is_marked_where_it_is(table: type[Spec]) -> None:
    """Each field in one of its table's sketches, none that it has not; what is drawn to scale has the field's size."""
    spec = example(table)
    sketches = spec.sketches(Around())
    marks = [m for s in sketches for m in s.marks]
    assert {m.field for m in marks} == set(table.model_fields)
    assert all(s.title and s.shapes for s in sketches)
    for mark in marks:
        size, sizes = shown(mark), stated(getattr(spec, mark.field), mark)
        if size is not None and sizes:
            assert any(size == pytest.approx(s, abs=0.05) for s in sizes), mark


def test_the_example_of_a_vehicle_stands() -> None:
    """It is more than a table that can be read: it passes the checks between tables and finds its stand, hull level
    within half a degree."""
    vehicle = vehicle_from(tomllib.loads(Vehicle.EXAMPLE))
    assert abs(stand_level(vehicle).q[2]) < math.radians(0.5)


def is_table(annotation: Any) -> bool:
    """Whether a field holds tables: one, several by name, a list."""
    return any(True for _ in _models(annotation))


@pytest.mark.parametrize("table", DRAWN, ids=lambda t: t.__name__)
def test_every_field_is_explained(table: type[Spec]) -> None:
    """All say what they are. What is measured or bought says what is usual, how to find it, what goes wrong if it is
    wrong; what is chosen from words the last; tables and names are explained in their own place."""
    assert table_doc(table).what
    for name, field in table.model_fields.items():
        if name == "kind" and issubclass(table, Kind):
            continue  # what a kind is stands at its table
        said = field_doc(table, name)
        assert said.what, f"{table.__name__}.{name} does not say what it is"
        if is_table(field.annotation) or name in ("name", "note", "wheel"):
            continue
        assert said.if_wrong, f"{table.__name__}.{name} does not say what goes wrong"
        if _is_dimension(field.annotation) or _is_chosen(table, name):
            assert said.usual, f"{table.__name__}.{name} does not say what is usual"
            assert said.measure, f"{table.__name__}.{name} does not say how to measure it"


@pytest.mark.parametrize("table", DRAWN, ids=lambda t: t.__name__)
def test_what_is_left_out_is_said_first(table: type[Spec]) -> None:
    """A field that may be left out, and then is None, says in its first part what is taken, what it is given in place
    of, or of what alone it is."""
    for name, field in table.model_fields.items():
        if field.default is None:
            what = field_doc(table, name).what.lower()
            assert any(word in what for word in OTHERWISE), name


def outlines(sketch: Sketch) -> set[tuple[float, ...]]:
    """Every filled outline of steel, as its numbers."""
    areas = (s for s in sketch.shapes if s.form == "area" and s.material == "steel")
    return {tuple(float(v) for v in np.round(s.points, 3).ravel()) for s in areas}


@pytest.mark.parametrize("stem", ["teasel", "mole", "otter", "barrow"])
def test_stops_are_drawn_on_the_arm_of_their_bogie(stem: str) -> None:
    """What a bogie says of what lies about its tables: its arm, at a stated angle and at mid-travel, is the one that
    its stops are drawn on."""
    vehicle = load_vehicle(find("vehicles", stem))
    for name, bogie in vehicle.bogie.items():
        around = vehicle.around_bogie(name)
        on_beam = isinstance(bogie, WalkingBeam)
        inner = bogie.inside(around) if on_beam else around
        holder = bogie.arm if isinstance(bogie, WalkingBeam) else bogie
        assert isinstance(holder, ArmParts)
        swing = {PairedArms: f"{name}.fore", WalkingBeam: f"{name}.arm"}.get(type(bogie), name)
        for seen in (inner, replace(inner, arms_deg={swing: 11.0})):
            (whole,) = holder.sketches(seen)
            (stops,) = holder.stops.sketches(holder.inside(seen))
            assert stops.in_hull
            assert outlines(stops)
            assert outlines(stops) <= outlines(whole)


def test_the_stock_of_a_beam_has_its_pivot_between_two_axles() -> None:
    """Holes as far apart as the wheels, the pivot half-way; nothing lies over the ends of the piece."""
    vehicle = load_vehicle(find("vehicles", "otter"))
    beam = vehicle.bogie["one"]
    assert isinstance(beam, WalkingBeam)
    assert beam.build is not None
    assert beam.build.arm is not None
    side = beam.build.arm.sketches(beam.inside(vehicle.around_bogie("one"), "build"))[0]
    holes = sorted(float(s.points[0, 0]) for s in side.shapes if s.material == "hole")
    assert holes[2] - holes[0] == pytest.approx(beam.wheels_apart_mm)
    assert holes[1] == pytest.approx(beam.build.arm.pivot_from_end_mm)
    assert holes[1] - holes[0] == pytest.approx(holes[2] - holes[1])
    piece = np.concatenate([s.points for s in side.shapes if s.form == "area"])
    assert piece[:, 0].min() < holes[0]
    assert piece[:, 0].max() > holes[2]
