"""Docstrings of fields taken apart."""

from __future__ import annotations

import pytest

from trundle.fields.docs import field_doc, table_doc, taken_apart
from trundle.fields.sketch import Around, Round, Span
from trundle.spec.track_ends import Roller


def test_a_fields_docstring_is_taken_apart() -> None:
    """Each part by its label; what is on several lines becomes one."""
    said = field_doc(Roller, "radius_mm")
    assert said.what.startswith("Of the face that the track runs on, mm")
    assert said.usual == "25 to 40."
    assert said.measure.startswith("calliper")
    assert said.if_wrong.endswith("sag.")
    assert table_doc(Roller).also_called == ("top roller", "carrier roller")
    assert taken_apart("One: two.\n\nUsual: a\n  b.\n").usual == "a b."
    with pytest.raises(KeyError):
        field_doc(Roller, "no_such")


def test_a_sketch_marks_every_field() -> None:
    """A point's two lengths, a radius, where they are."""
    (sketch,) = Roller(at_mm=(700.0, 210.0), radius_mm=30.0).sketches(Around())
    assert {m.field for m in sketch.marks} == set(Roller.model_fields)
    along, up, radius = sketch.marks
    assert isinstance(along, Span)
    assert along.b[0] - along.a[0] == 700.0
    assert isinstance(up, Span)
    assert up.b[1] - up.a[1] == 210.0
    assert isinstance(radius, Round)
    assert radius.radius_mm == 30.0
