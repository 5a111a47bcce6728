"""The buying list as rows for other programs: CSV, or a spreadsheet with a sheet for each list."""

from __future__ import annotations

import csv
from collections.abc import Iterator
from dataclasses import dataclass, fields
from pathlib import Path

from trundle.making.buying import Buying
from trundle.making.sold import made_from
from trundle.papers.buying import size_words
from trundle.papers.parts import names
from trundle.record.cells import harmless
from trundle.record.files import written

LISTS = {"cut": "cut list", "bar": "bars", "plate": "plate", "fastener": "bolts", "ready": "ready"}
"""Lists by the word in their rows, and what their sheets are called."""


@dataclass(frozen=True)
class Row:
    """A row of any list. list: which. of a bar or sheet length_mm, height_mm are as it is sold; pieces: what is sawn
    from one. spare: to have besides count. kg: of count."""

    list: str
    mark: str = ""
    what: str = ""
    size: str = ""
    steel_or_class: str = ""
    length_mm: float | None = None
    height_mm: float | None = None
    count: int = 0
    spare: int = 0
    kg_each: float | None = None
    kg: float | None = None
    pieces: str = ""
    where: str = ""


COLUMNS = tuple(f.name for f in fields(Row))


def rows(found: Buying) -> Iterator[Row]:
    """Everything of the buying list, the cut list first."""
    for p in found.parts:
        height = p.height_mm if p.what == "bracket plate" else None
        yield Row(
            "cut", p.mark, p.name, made_from(p), p.stock.steel, p.length_mm, height, p.count, 0, p.mass_kg,
            p.count * p.mass_kg, where=names(p.bogies),
        )  # fmt: skip
    for o in found.bars:
        for bar in o.packed.bars:
            kg = o.stock.kg_per_m * bar.sold_mm * 1e-3
            sawn = "; ".join(f"{p.count} x {p.mark} {p.length_mm:g}" for p in bar.pieces)
            yield Row(
                "bar", "", o.stock.form, o.stock.words, o.stock.steel, bar.sold_mm, None, bar.count, 0, kg,
                bar.count * kg, sawn,
            )  # fmt: skip
    for plate in found.plates:
        for sheet in plate.sheets:
            kg = plate.stock.kg_per_m * sheet.area_mm2 * 1e-6
            counts: dict[str, int] = {}
            for put in sheet.put:
                counts[put.mark] = counts.get(put.mark, 0) + 1
            cut = "; ".join(f"{n} x {mark}" for mark, n in counts.items())
            yield Row(
                "plate", "", "plate", plate.stock.words, plate.stock.steel, *sheet.sold_mm, 1, 0, kg, kg, cut
            )  # fmt: skip
    for f in found.fasteners:
        yield Row(
            "fastener", "", f.what, size_words(f), f.grade, f.length_mm, None, f.count, f.spare, f.kg_each,
            f.count * f.kg_each,
        )  # fmt: skip
    for r in found.ready:
        kg_all = None if r.mass_kg is None else r.count * r.mass_kg
        yield Row("ready", "", r.what, r.words, "", None, None, r.count, 0, r.mass_kg, kg_all, where=names(r.where))


def _cells(row: Row) -> list[str | float | int | None]:
    """Words that a spreadsheet would take for a formula are made harmless; lengths and masses to a thousandth."""
    found: list[str | float | int | None] = []
    for name in COLUMNS:
        value: str | float | int | None = getattr(row, name)
        if isinstance(value, str):
            value = harmless(value)
        elif isinstance(value, float):
            value = round(value, 4)
        found.append(value)
    return found


def write_csv(found: Buying, file: Path) -> Path:
    """All lists below each other, whole or not at all. Raises InputError if it cannot be written."""
    with written(file, "--csv") as temporary, temporary.open("w", newline="", encoding="utf-8") as out:
        writer = csv.writer(out)
        writer.writerow(COLUMNS)
        writer.writerows(_cells(row) for row in rows(found))
    return file


def write_xlsx(found: Buying, file: Path) -> Path:
    """A spreadsheet, a sheet for each list that has something. Raises InputError if it cannot be written."""
    from openpyxl import Workbook

    book = Workbook(write_only=True)
    everything = list(rows(found))
    for word, title in LISTS.items():
        own = [r for r in everything if r.list == word]
        if own:
            sheet = book.create_sheet(title)
            sheet.append(list(COLUMNS))
            for row in own:
                sheet.append(_cells(row))
    if not book.worksheets:
        book.create_sheet("nothing to buy")
    with written(file, "--xlsx") as temporary:
        book.save(temporary)
    return file
