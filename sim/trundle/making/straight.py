"""Springs that are cut from straight stock and stay straight: torsion bars, leaves clamped to the hull."""

from __future__ import annotations

from collections.abc import Iterator

from trundle.bogies.parts import Parts, SpringPart
from trundle.making.members import SIDE_COUNT
from trundle.making.part import Made, Place
from trundle.making.stock import Stock
from trundle.spec.vehicle import Vehicle
from trundle.springs.answers import StockRow
from trundle.units import MM


def straight(vehicle: Vehicle, parts: Parts) -> Iterator[Made]:
    """Every piece of a spring that is cut to length and not bent; marks still empty."""
    for name, bogie in vehicle.bogie.items():
        sprung = bogie.sprung(name)
        if sprung is None or sprung.spring.bending(0.0) is not None:
            continue
        own = [s for s in parts.springs if s.bogie == name]
        for row in sprung.spring.stock():
            if row.form is not None:
                each = sprung.count * row.count * SIDE_COUNT
                yield _piece(
                    name, f"{sprung.path}.spring", row, Stock(row.form, row.sizes_mm, row.steel), each, own, parts
                )


def _piece(name: str, path: str, row: StockRow, stock: Stock, count: int, own: list[SpringPart], parts: Parts) -> Made:
    assert row.what in ("leaf", "torsion bar")
    what = "leaf" if row.what == "leaf" else "torsion bar"
    width, thick = (row.sizes_mm[0], row.sizes_mm[-1]) if what == "leaf" else (row.sizes_mm[0], row.sizes_mm[0])
    notes: tuple[str, ...] = ()
    if row.held_mm > 0.0:
        notes = (f"{row.length_mm:g} mm work; {row.held_mm:g} mm more for {row.held} are an estimate: measure yours",)
    return Made(
        "", "leaf" if what == "leaf" else "torsion bar", (name,), path, count, stock, row.cut_mm, thick, width,
        stock.kg_per_m * row.cut_mm * MM, (0.5 * row.cut_mm, 0.5 * thick),
        bore_mm=row.sizes_mm[0] - 2.0 * row.sizes_mm[1] if stock.form == "round tube" else None,
        places=tuple(_place(s, row, parts) for s in own for _ in range(row.count)), notes=notes, title=row.title,
    )  # fmt: skip


def _place(spring: SpringPart, row: StockRow, parts: Parts) -> Place:
    """Where its middle lies; its height is the pivot's, near enough for its share of the mass."""
    x, y = parts.middle_mm(spring)
    return Place("hull", x + spring.sign * row.middle_mm, y)
