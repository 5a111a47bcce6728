"""The buying list: bars with what is sawn from each, plate, bolts with nuts and washers, what is bought ready."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from trundle.errors import InputError, Problem
from trundle.making.bolted import Bolted
from trundle.making.made import bolted, made
from trundle.making.marks import marks
from trundle.making.nesting import Blank, Sheet, Size, nest
from trundle.making.packing import Packed, Piece, check_kerf, pack
from trundle.making.part import Made
from trundle.making.ready import Ready, ready
from trundle.making.sold import LENGTHS_MM, SHEETS_MM, bought_as
from trundle.making.spacers import piled
from trundle.making.stock import Stock
from trundle.spec.vehicle import Vehicle
from trundle.steel.fasteners import bolt_kg, nut_kg, shim_kg, washer_kg
from trundle.units import MM

KERF_MM = 2.0
"""Width of a saw cut that nobody says: between a bandsaw's and a grinder's disc (common practice, no source)."""

LONGEST_MM = 100_000.0
"""No bar and no side of a sheet is so long."""

NUT_CLASS = {
    "4.6": "5", "5.6": "5", "8.8": "8", "10.9": "10", "12.9": "12", "grade 5": "grade 5", "grade 8": "grade 8",
}  # fmt: skip
"""Class of the nut that bears what its bolt does, by the bolt's (ISO 898-2, SAE J995, from memory)."""


@dataclass(frozen=True)
class BarOrder:
    """Bars of one stock. to_length: some are longer than a merchant keeps."""

    stock: Stock
    parts: tuple[Made, ...]
    packed: Packed
    to_length: bool = False

    @property
    def kg(self) -> float:
        """Of all bars as they are bought [kg]."""
        return self.stock.kg_per_m * self.packed.bought_mm * MM


@dataclass(frozen=True)
class PlateOrder:
    """Sheets of one plate."""

    stock: Stock
    parts: tuple[Made, ...]
    sheets: tuple[Sheet, ...]
    to_size: bool = False

    @property
    def area_m2(self) -> float:
        """Of all sheets [m2]."""
        return sum(s.area_mm2 for s in self.sheets) * MM**2

    @property
    def waste(self) -> float:
        """Share of them that is no piece."""
        return 1.0 - sum(s.used_mm2 for s in self.sheets) * MM**2 / self.area_m2

    @property
    def kg(self) -> float:
        """Of all sheets as they are bought [kg]."""
        return self.stock.kg_per_m * self.area_m2


@dataclass(frozen=True)
class Fastener:
    """Bolts, nuts or washers that are alike. length_mm: of a bolt; how thick a shim ring is. count: that go on the
    vehicle; spare: to have besides. more: what its length still lacks, in words."""

    what: str
    thread: str
    grade: str
    count: int
    spare: int
    kg_each: float
    length_mm: float | None = None
    more: str = ""


@dataclass(frozen=True)
class Buying:
    """All that is bought for a vehicle's running gear."""

    bars: tuple[BarOrder, ...]
    plates: tuple[PlateOrder, ...]
    fasteners: tuple[Fastener, ...]
    ready: tuple[Ready, ...]
    parts: tuple[Made, ...]
    kerf_mm: float

    @property
    def steel_kg(self) -> float:
        """Bars and plate as they are bought [kg]."""
        return sum(b.kg for b in self.bars) + sum(p.kg for p in self.plates)


def buying(
    vehicle: Vehicle, kerf_mm: float = KERF_MM, stock_mm: Sequence[float] = (), sheet_mm: Sequence[Size] = ()
) -> Buying:
    """What to buy. kerf_mm: width of a saw cut. stock_mm: lengths in which all bars are had; none: those that merchants
    sell (`sold`). sheet_mm: sizes of sheets of plate, likewise.

    Raises InputError where a piece does not come out of what is given, an argument is no such size, or a spring or stop
    of the vehicle cannot work.
    """
    check_kerf(kerf_mm)
    for given, argument in ((stock_mm, "stock_mm"), ([n for s in sheet_mm for n in s], "sheet_mm")):
        for n in given:
            if not 0.0 < n <= LONGEST_MM:
                raise InputError(Problem(f"{n:g} mm is no size of stock", argument=argument, allowed="above 0, in mm"))
    parts = made(vehicle)
    groups: dict[Stock, list[Made]] = {}
    for part in parts:
        groups.setdefault(bought_as(part), []).append(part)
    return Buying(
        tuple(_bars(s, p, kerf_mm, stock_mm) for s, p in groups.items() if s.form != "plate"),
        tuple(_plates(s, p, kerf_mm, sheet_mm) for s, p in groups.items() if s.form == "plate"),
        tuple(_fasteners(bolted(vehicle))),
        ready(vehicle),
        parts,
        kerf_mm,
    )


def _bars(stock: Stock, parts: Sequence[Made], kerf_mm: float, stock_mm: Sequence[float]) -> BarOrder:
    # Leaves of one length are one kind of piece to the saw, whatever they are bent to.
    alike: dict[tuple[str, float], list[Made]] = {}
    for p in parts:
        alike.setdefault(("leaf" if p.what == "leaf" else p.mark, p.length_mm), []).append(p)
    wanted = [Piece(marks([p.mark for p in g]), n, sum(p.count for p in g)) for (_, n), g in alike.items()]
    sold, to_length = list(stock_mm) or list(LENGTHS_MM[stock.form]), False
    longest = max(p.length_mm for p in parts)
    if not stock_mm and longest > max(sold):
        to_length = True
        sold.append(1000.0 * math.ceil(longest / 1000.0))
    return BarOrder(stock, tuple(parts), pack(wanted, sold, kerf_mm), to_length)


def _plates(stock: Stock, parts: Sequence[Made], kerf_mm: float, sheet_mm: Sequence[Size]) -> PlateOrder:
    wanted = [Blank(p.mark, p.length_mm, p.height_mm, p.count) for p in parts]
    sold, to_size = list(sheet_mm) or list(SHEETS_MM), False
    if not sheet_mm:
        for b in wanted:
            long, short = max(b.length_mm, b.height_mm), min(b.length_mm, b.height_mm)
            if not any(long <= max(s) and short <= min(s) for s in sold):
                to_size = True
                sold.append((100.0 * math.ceil(long / 100.0), 100.0 * math.ceil(short / 100.0)))
    return PlateOrder(stock, tuple(parts), nest(wanted, sold, kerf_mm), to_size)


def _fasteners(found: Sequence[Bolted]) -> Iterator[Fastener]:
    """Bolts by thread, class and length, then nuts by thread and class, then washers and shim rings."""
    all_of: dict[tuple[object, ...], Fastener] = {}

    def add(f: Fastener) -> None:
        key = f.what, f.thread, f.grade, f.length_mm, f.more
        all_of[key] = replace(all_of[key], count=all_of[key].count + f.count) if key in all_of else f

    for b in found:
        length = b.length_mm
        what = "bolt" if b.sold else "threaded rod"
        add(Fastener(what, b.thread, b.grade, b.count, 0, bolt_kg(b.thread, length), length, _lacks(b)))
    for b in found:
        add(Fastener("nut", b.thread, NUT_CLASS.get(b.grade, "to suit"), b.count, 0, nut_kg(b.thread)))
    for b in found:
        for p in piled(b):
            if p.washers:
                add(Fastener("washer", b.thread, "", b.count * p.washers, 0, washer_kg(b.thread)))
            if p.shim_mm > 0.0:
                add(Fastener("shim ring", b.thread, "", b.count, 0, shim_kg(b.thread, p.shim_mm), p.shim_mm))
    order = ("bolt", "threaded rod", "nut", "washer", "shim ring")
    for f in sorted(all_of.values(), key=lambda f: order.index(f.what)):
        yield replace(f, spare=_spare(f))


def _lacks(bolt: Bolted) -> str:
    """What its length does not have yet, since the file does not say it."""
    if bolt.what == "hull bolt":
        return "and the hull's plate"
    return "and the fork's two plates" if any(n.what == "fork plate" for n in bolt.layers) else ""


def _spare(f: Fastener) -> int:
    """One in ten to have besides; of self-locking nuts, which hold once, one in five (common practice, no source)."""
    return max(1, math.ceil(f.count / (5 if f.what == "nut" else 10)))
