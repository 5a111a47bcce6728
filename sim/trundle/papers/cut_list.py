"""The cut list: every part that is made, and what is bought ready for its springs."""

from __future__ import annotations

from collections.abc import Sequence

from trundle.making.buying import KERF_MM
from trundle.making.made import left_out, made
from trundle.making.marks import marks
from trundle.making.part import Made
from trundle.making.ready import springs_ready
from trundle.making.sold import bought_as, made_from
from trundle.making.stock import Stock
from trundle.papers.fit_parts import alike_named
from trundle.papers.parts import Part, Table, names, number
from trundle.spec.vehicle import Vehicle
from trundle.units import MM

ANY_STEEL = "any"
"""Steel of a piece that bears nothing, or of which nothing is said."""


def cut_list(vehicle: Vehicle, kerf_mm: float = KERF_MM) -> Part:
    """What to cut: mark, stock, length, count, mass; and how much of each stock with a saw cut of kerf_mm a piece [mm].

    Raises InputError where a spring or stop cannot work.
    """
    found = made(vehicle)
    tables = []
    if found:
        heads = ("mark", "piece", "count", "stock", "steel", "cut to, mm", "kg each", "kg")
        tables += [Table(heads, tuple(_row(group) for group in _alike(found))), _stocks(found, kerf_mm)]
    if ready := springs_ready(vehicle):
        rows = tuple((f"{r.what}: {names(r.where)}", str(r.count), r.words, r.kg_words) for r in ready)
        tables.append(Table(("bought or wound ready", "count", "as it is asked for", "kg each"), rows))
    return Part(
        "Cut list",
        "For the whole vehicle, both sides. Marks are those of the drawings.",
        tuple(tables),
        (*_notes(found), *alike_named(left_out(vehicle))),
    )


def _notes(found: Sequence[Made]) -> tuple[str, ...]:
    """What has to be known of lengths: the estimates."""
    told: dict[str, list[str]] = {}
    for part in found:
        if part.what in ("leaf", "torsion bar"):
            for note in part.notes:
                told.setdefault(note, []).append(part.mark)
    return tuple(f"{marks(who)}: {note}" for note, who in told.items())


def _alike(found: Sequence[Made]) -> list[list[Made]]:
    """Parts cut alike: leaves of one length are one row, whatever they are bent to."""
    groups: dict[tuple[object, ...], list[Made]] = {}
    for part in found:
        key = (part.what, part.stock, part.length_mm, part.height_mm, part.bogies) if part.what == "leaf" else part.mark
        groups.setdefault((key,), []).append(part)
    return list(groups.values())


def _row(group: Sequence[Made]) -> tuple[str, ...]:
    first, count = group[0], sum(p.count for p in group)
    size = number(first.length_mm, 1)
    if first.what == "bracket plate":
        size += f" x {number(first.height_mm, 1)}"
    what = first.name if len(group) == 1 else f"{first.what}, {len(group)} in each"
    kg = first.mass_kg
    return (
        marks([p.mark for p in group]), f"{what}: {names(first.bogies)}", str(count), made_from(first),
        first.stock.steel or ANY_STEEL, size, number(kg, 3), number(kg * count, 2),
    )  # fmt: skip


def _stocks(found: Sequence[Made], kerf_mm: float) -> Table:
    """Each stock with all that is cut from it, saw cuts counted in."""
    groups: dict[Stock, list[Made]] = {}
    for part in found:
        groups.setdefault(bought_as(part), []).append(part)
    rows = []
    for stock, parts in groups.items():
        pieces = sum(p.count for p in parts)
        if stock.form == "plate":
            area = sum(p.count * (p.length_mm + kerf_mm) * (p.height_mm + kerf_mm) for p in parts) * MM**2
            needed, kg = f"{number(area, 3)} m2", area * stock.kg_per_m
        else:
            length = sum(p.count * (p.length_mm + kerf_mm) for p in parts) * MM
            needed, kg = f"{number(length, 2)} m", length * stock.kg_per_m
        rows.append((stock.words, stock.steel or ANY_STEEL, str(pieces), needed, number(kg, 1)))
    return Table(("stock in all", "steel", "pieces", f"with saw cuts of {kerf_mm:g} mm", "kg"), tuple(rows))
