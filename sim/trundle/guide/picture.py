"""A table's sketches with its example's values, all of them or with one field meant."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from trundle.drawing.layout import A5, laid_out
from trundle.drawing.placed import Style
from trundle.drawing.sheet import Drawing
from trundle.fields.sketch import Around, Sketch
from trundle.guide.tables import Table


def sketches_of(table: Table) -> tuple[Sketch, ...]:
    """Of its example. Raises NotImplementedError of a table that has no example or sketches."""
    return table.object.sketches(Around())


def values_of(table: Table) -> Mapping[str, object]:
    """The example's, by field."""
    return {name: getattr(table.object, name) for name in table.kind.model_fields}


def picture(
    table: Table, field: str | None = None, size: tuple[float, float] = A5, style: Style | None = None
) -> Drawing:
    """Its sketches on a sheet, or those that show `field` with that alone told. Raises KeyError if none does,
    NotImplementedError as above."""
    title = table.name if field is None else f"{table.name}: {field}"
    found = sketches_of(table)
    if field is None and len(found) > 1:
        size = (size[0], size[1] * len(found) / 2 + 0.25 * size[1])
    return laid_out(found, values_of(table), field, size, style, title)


def alone(table: Table, field: str) -> tuple[Sketch, ...]:
    """The sketches that show a field, without the marks of others."""
    found = []
    for sketch in sketches_of(table):
        marks = tuple(m for m in sketch.marks if m.field == field)
        if marks:
            found.append(replace(sketch, marks=marks))
    return tuple(found)
