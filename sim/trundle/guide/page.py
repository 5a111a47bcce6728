"""The whole guide as one HTML page, to read, search and print without a network.

The same program gives the same bytes: no date, no path is in it.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from trundle.drawing.layout import laid_out
from trundle.drawing.sheet import Drawing
from trundle.guide.entries import Entry, entries_of
from trundle.guide.find import Family
from trundle.guide.picture import alone, sketches_of, values_of
from trundle.guide.tables import Table, families, tables
from trundle.guide.words import WORDS

WIDE_MM, HALF_MM, FIELD_MM = (200.0, 130.0), (128.0, 92.0), (118.0, 76.0)
"""Most that a picture takes: a table's with many fields in it; with few (two stand side by side); a field's."""

MANY_MARKS = 8


@dataclass(frozen=True)
class FieldPart:
    """A field with its pictures as SVG."""

    entry: Entry
    pictures: tuple[str, ...]


@dataclass(frozen=True)
class TablePart:
    """A table with its pictures as SVG, each with whether it is a wide one, and its fields."""

    table: Table
    pictures: tuple[tuple[str, bool], ...]
    fields: tuple[FieldPart, ...]


def guide_html(tell: Callable[[float], None] = lambda share: None, only: Sequence[Table] | None = None) -> str:
    """The page as text; tell: called with the share that is done; only: these tables in place of all."""
    from jinja2 import Environment, PackageLoader, StrictUndefined
    from markupsafe import Markup, escape

    page = Environment(
        loader=PackageLoader("trundle.guide"),
        autoescape=True,
        trim_blocks=True,
        lstrip_blocks=True,
        undefined=StrictUndefined,
    )
    page.filters["drawn"] = Markup
    page.filters["worded"] = lambda text: Markup(re.sub(r"`([^`]+)`", r"<code>\1</code>", str(escape(text))))
    parts = []
    wanted = tables() if only is None else only
    for k, table in enumerate(wanted):
        tell(k / len(wanted))
        parts.append(table_part(table))
    files = {file: [p for p in parts if p.table.file == file] for file in dict.fromkeys(p.table.file for p in parts)}
    kinds = {name: Family(name) for name in families()}
    count = sum(len(p.fields) for p in parts)
    return page.get_template("guide.html").render(files=files, families=kinds, words=WORDS, count=count)


def table_part(table: Table) -> TablePart:
    """A table with all that the page shows of it."""
    values = values_of(table)
    pictures = []
    found = sketches_of(table)
    for sketch in found:
        wide = len(found) == 1 or len(sketch.marks) >= MANY_MARKS
        pictures.append((compact(laid_out([sketch], values, None, WIDE_MM if wide else HALF_MM)), wide))
    fields = []
    for entry in entries_of(table):
        shown = [compact(laid_out([s], values, entry.name, FIELD_MM)) for s in alone(table, entry.name)[:1]]
        fields.append(FieldPart(entry, tuple(shown)))
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
