"""Whatever table can be read can be drawn: sketches of tables with a field at the end of what is allowed."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator
from typing import Any

import annotated_types
import numpy as np
import pytest
from pydantic import ValidationError
from pydantic.fields import FieldInfo
from test_guide_fields import DRAWN

from trundle.fields.base import Spec
from trundle.fields.sketch import Around, Note, Round, Sketch, Span, Turn
from trundle.spec.vehicle import Vehicle
from trundle.springs.leaf_across import LeafAcross


def ends_of(field: FieldInfo) -> Iterator[Any]:
    """The lowest and highest number that a field may have (just within where the bound itself is not allowed), and
    every word that it may be."""
    schema = field.annotation
    for mark in [*field.metadata, *_inside(schema)]:
        match mark:
            case annotated_types.Ge(bound) | annotated_types.Le(bound):
                yield bound
            case annotated_types.Gt(bound) | annotated_types.Lt(bound):
                yield float(bound) + (1e-3 if isinstance(mark, annotated_types.Gt) else -1e-3)  # type: ignore[arg-type]
            case FieldInfo():
                yield from ends_of(mark)
            case str():
                yield mark


def _inside(annotation: Any) -> Iterator[Any]:
    """Marks and words inside of a union, a literal, an annotated type."""
    yield from getattr(annotation, "__metadata__", ())
    for arg in getattr(annotation, "__args__", ()):
        if isinstance(arg, str):
            yield arg
        else:
            yield from _inside(arg)
    if hasattr(annotation, "__origin__") and hasattr(annotation, "__metadata__"):
        yield from _inside(annotation.__origin__)


def odd(table: type[Spec]) -> Iterator[tuple[str, Any, Spec]]:
    """The example, and the example with each word that it may have, with one field at one of its ends, where that can
    be read: as it is, or with another field left out that says the same."""
    data = tomllib.loads(table.EXAMPLE)
    words = [(n, w) for n, f in table.model_fields.items() for w in ends_of(f) if isinstance(w, str)]
    for base in [data, *({**data, n: w} for n, w in words)]:
        for name, field in table.model_fields.items():
            for value in ends_of(field):
                made = _first_read(table, base, name, value)
                if made is not None:
                    yield name, value, made


def _first_read(table: type[Spec], base: dict[str, Any], name: str, value: Any) -> Spec | None:
    for left_out in ("", *(n for n in base if n != name)):
        rest = {n: v for n, v in base.items() if n != left_out}
        for put in (value, [value, value], int(value) if isinstance(value, (int, float)) else value):
            try:
                return table.model_validate({**rest, name: put})
            except ValidationError:
                continue
    return None


def check(sketches: tuple[Sketch, ...], fields: set[str]) -> None:
    """Every field marked, every number a number, no disc or line of less than nothing."""
    assert {m.field for s in sketches for m in s.marks} == fields
    for sketch in sketches:
        for shape in sketch.shapes:
            assert np.isfinite(shape.points).all()
            assert shape.size_mm >= 0.0
        for mark in sketch.marks:
            match mark:
                case Span(a=a, b=b):
                    numbers = [*a, *b]
                case Round(centre=at, radius_mm=radius):
                    numbers = [*at, radius]
                case Turn(centre=at, reach_mm=reach, from_deg=start, to_deg=end):
                    numbers = [*at, reach, start, end]
                case Note(at=at):
                    numbers = [*at]
            assert np.isfinite(numbers).all(), mark


@pytest.mark.parametrize("table", DRAWN, ids=lambda t: t.__name__)
def test_a_table_at_the_end_of_what_is_allowed_is_drawn(table: type[Spec]) -> None:
    """One field after the other at its lowest and highest."""
    check(table.model_validate(tomllib.loads(table.EXAMPLE)).sketches(Around()), set(table.model_fields))
    for name, value, spec in odd(table):
        try:
            check(spec.sketches(Around()), set(table.model_fields))
        except Exception as e:
            raise AssertionError(f"{table.__name__}.{name} = {value}: {e!r}") from e


def test_odd_tables_are_many() -> None:
    """The question above is asked of most fields that have ends."""
    tried = {(t, name) for t in DRAWN if t not in (LeafAcross, Vehicle) for name, _, _ in odd(t)}
    wanted = {(t, n) for t in DRAWN for n, f in t.model_fields.items() if list(ends_of(f))}
    assert len(tried) > 0.8 * len(wanted)
