"""The guide has an entry for every field of every table, made from the field itself, with a picture."""

from __future__ import annotations

from typing import Annotated

import pytest
from pydantic import Field
from test_steps import tables as walked

from trundle.fields.base import PointMm, Spec
from trundle.fields.step import By
from trundle.guide.entries import Entry, entries, entry_for
from trundle.guide.picture import alone
from trundle.guide.tables import FAMILIES, families, tables
from trundle.spec.course import Course
from trundle.spec.short import Row
from trundle.spec.vehicle import Vehicle


def test_every_field_of_every_table_has_an_entry() -> None:
    """Counted against a walk of its own (of all classes that a file may hold)."""
    roots = (Vehicle, Course, Row)
    classes = [t for t in dict.fromkeys(t for r in roots for t in walked(r, set())) if issubclass(t, Spec)]
    assert {t.kind for t in tables()} == set(classes)
    assert len(entries()) == sum(len(t.model_fields) for t in classes) > 350
    assert len({e.anchor for e in entries()}) == len(entries())
    assert len({t.anchor for t in tables()}) == len(tables())
    assert set(FAMILIES) == set(families())


@pytest.mark.parametrize("entry", entries(), ids=lambda e: e.anchor)
def test_every_entry_has_a_picture(entry: Entry) -> None:
    """A sketch of its table's example marks it."""
    assert any(m.field == entry.name for s in alone(entry.table, entry.name) for m in s.marks)


def test_an_entry_says_what_its_type_says() -> None:
    """Bounds, default, choices, steps: read off, in words."""
    com = entry_for("hull.com_mm")
    assert com is not None
    assert com.allowed == "two numbers [forward, up], each -20,000 to 20,000 mm"
    assert com.left_out == "must be given"
    assert com.change == "by 50 mm forward or back and 30 mm up or down"
    steel = entry_for("hull.belly_steel")
    assert steel is not None
    assert '"S355"' in steel.allowed
    assert steel.left_out == 'may be left out: "S235"'
    seat = entry_for("hull.at_seat")
    assert seat is not None
    assert seat.allowed == '"rider", "load", "mast"'
    wide = entry_for("bogie.front.spring.width_mm", "leaf across")
    assert wide is not None
    assert wide.table.name == "leaf across"
    assert wide.allowed == "above 0 to 500 mm"
    assert wide.change.startswith("to the next size sold: 20, 25")
    assert {t.name for t in entry_for("bogie.front.spring").holds} >= {"coil", "torsion bar"}  # type: ignore[union-attr]


def test_bounds_of_any_type_are_found() -> None:
    """Also within `| None`, of whole numbers, of bare numbers."""
    from trundle.guide.allowed import allowed, change, left_out

    class Odd(Spec):
        a: Annotated[float, Field(gt=0, lt=5), By(2)] | None = None
        b: Annotated[int, Field(ge=2)] = 3
        c: Annotated[PointMm, By(1)] = (0.0, 0.0)
        d: float = 1.5
        e: bool = False

    said = {n: (allowed(f, "mm"), left_out(f), change(f, "mm")) for n, f in Odd.model_fields.items()}
    assert said["a"] == ("above 0 to below 5 mm", "may be left out", "by 2 mm")
    assert said["b"] == ("a whole number, from 2 mm", "may be left out: 3", "")
    assert said["c"][0] == "two numbers [forward, up], each -20,000 to 20,000 mm"
    assert said["d"][:2] == ("mm", "may be left out: 1.5")
    assert said["e"][:2] == ("true or false", "may be left out: false")


@pytest.mark.parametrize(
    ("path", "found"),
    [
        ("hull.com_mm", "hull.com_mm"),
        ("bogie.front.arm_mm", "bogie.*.arm_mm"),
        ("bogie.rear left.stops.pad_loss", "bogie.*.stops.pad_loss"),
        ("bogie.front.arm.stops.pad_loss", "bogie.*.stops.pad_loss"),
        ("track.roller[1].at_mm", "track.roller.*.at_mm"),
        ("obstacle.2.gap_mm", "obstacle.*.gap_mm"),
        ("obstacle[2].gap_mm", "obstacle.*.gap_mm"),
        ("wheel.road.radius_mm", "wheel.*.radius_mm"),
        ("run_up_mm", "run_up_mm"),
        ("hull.no_such", None),
        ("hull", "hull"),
        ("", None),
    ],
)
def test_a_path_from_an_error_finds_its_entry(path: str, found: str | None) -> None:
    entry = entry_for(path)
    assert (entry.path if entry else None) == found
