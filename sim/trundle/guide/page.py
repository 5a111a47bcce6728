"""The whole guide as one HTML page, to read, search and print without a network.

The same program gives the same bytes: no date, no path is in it.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass

from trundle.drawing.layout import laid_out
from trundle.drawing.sheet import Drawing
from trundle.guide.entries import Entry
from trundle.guide.find import Family
from trundle.guide.picture import alone, sketches_of, values_of
from trundle.guide.tables import Table, families, tables

TABLE_MM = (200.0, 130.0)
"""Most that a table's picture takes."""

FIELD_MM = (125.0, 78.0)
"""Most that a field's picture takes."""


@dataclass(frozen=True)
class FieldPart:
    """A field with its pictures as SVG."""

    entry: Entry
    pictures: tuple[str, ...]


@dataclass(frozen=True)
class TablePart:
    """A table with its pictures as SVG, and its fields."""

    table: Table
    pictures: tuple[str, ...]
    fields: tuple[FieldPart, ...]


def guide_html(tell: Callable[[float], None] = lambda share: None) -> str:
    """The page as text; tell: called with the share that is done."""
    from jinja2 import Environment, PackageLoader, StrictUndefined
    from markupsafe import Markup

    page = Environment(
        loader=PackageLoader("trundle.guide"),
        autoescape=True,
        trim_blocks=True,
        lstrip_blocks=True,
        undefined=StrictUndefined,
    )
    page.filters["drawn"] = Markup
    parts = []
    for k, table in enumerate(tables()):
        tell(k / len(tables()))
        parts.append(table_part(table))
    files = {file: [p for p in parts if p.table.file == file] for file in dict.fromkeys(p.table.file for p in parts)}
    kinds = {name: Family(name) for name in families()}
    count = sum(len(p.fields) for p in parts)
    return page.get_template("guide.html").render(files=files, families=kinds, count=count)


def table_part(table: Table) -> TablePart:
    """A table with all that the page shows of it."""
    try:
        values = values_of(table)
        sketches_of(table)
    except NotImplementedError:
        return TablePart(table, (), tuple(FieldPart(Entry(table, n), ()) for n in table.kind.model_fields))
    pictures = [compact(laid_out([s], values, None, TABLE_MM)) for s in sketches_of(table)]
    fields = []
    for name in table.kind.model_fields:
        shown = [compact(laid_out([s], values, name, FIELD_MM)) for s in alone(table, name)]
        fields.append(FieldPart(Entry(table, name), tuple(shown[:1])))
    return TablePart(table, tuple(pictures), tuple(fields))


_LONG = re.compile(r"(\d+\.\d{2})\d+")
_ZEROS = re.compile(r"(\.\d*?)0+(?=[\s\"',)])")


def compact(drawing: Drawing) -> str:
    """A drawing as SVG within a page: hundredths of a mm will do, and the page sets the font."""
    text = drawing.svg()
    text = re.sub(r'<svg xmlns="[^"]*" width="([\d.]+)mm" height="[\d.]+mm"', r'<svg style="max-width:\1mm"', text)
    text = text.replace(' font-family="Helvetica, Arial, sans-serif"', "")
    text = re.sub(r"<title>.*?</title>\n", f"<title>{drawing.title}</title>", text)
    text = _LONG.sub(r"\1", text)
    text = _ZEROS.sub(lambda m: "" if m[1] == "." else m[1], text)
    return text.replace("\n", "")
