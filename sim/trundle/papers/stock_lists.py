"""Bars and plate to buy, and how to saw them."""

from __future__ import annotations

from collections.abc import Sequence

from trundle.making.buying import BarOrder, Buying, PlateOrder
from trundle.making.nesting import Sheet, Size
from trundle.making.packing import Bar, Packed
from trundle.papers.cut_list import ANY_STEEL
from trundle.papers.parts import Part, Table, names, number


def bars(found: Buying) -> Part | None:
    """Lengths to buy, and what to saw from each; None where nothing is sawn."""
    if not found.bars:
        return None
    heads = ("stock", "steel", "buy", "pieces", "off-cuts, mm", "waste", "kg")
    rows = tuple(
        (
            o.stock.words, o.stock.steel or ANY_STEEL, _bought(o.packed), str(sum(p.count for p in o.parts)),
            _off_cuts(o.packed), f"{number(100.0 * o.packed.waste)} %", number(o.kg, 1),
        )
        for o in found.bars
    )  # fmt: skip
    sawn = tuple((o.stock.words, *row) for o in found.bars for row in _sawn(o))
    return Part(
        "Buy: bars",
        f"Each piece with a saw cut of {found.kerf_mm:g} mm to the next; bars used from their own end. Lengths that "
        "merchants sell: common practice, ask yours (--stock-mm).",
        (Table(heads, rows), Table(("stock", "bars", "of, mm", "saw from each, mm", "off-cut, mm"), sawn)),
        tuple(_packing_words(found.bars)),
    )


def _bought(packed: Packed) -> str:
    by_length: dict[float, int] = {}
    for b in packed.bars:
        by_length[b.sold_mm] = by_length.get(b.sold_mm, 0) + b.count
    return " + ".join(f"{n} x {length / 1000.0:g} m" for length, n in sorted(by_length.items(), reverse=True))


MOST_OFF_CUTS = 4


def _off_cuts(packed: Packed) -> str:
    """The longest ones; what is thinner than a saw cut is dust."""
    left = sorted((b.left_mm for b in packed.bars for _ in range(b.count) if b.left_mm > 0.0), reverse=True)
    words = ", ".join(number(n) for n in left[:MOST_OFF_CUTS])
    return f"{words}, ..." if len(left) > MOST_OFF_CUTS else words or "none"


def _sawn(order: BarOrder) -> list[tuple[str, ...]]:
    return [(str(bar.count), number(bar.sold_mm), _pieces(bar), number(bar.left_mm, 1)) for bar in order.packed.bars]


def _pieces(bar: Bar) -> str:
    return ", ".join(f"{p.count} x {round(p.length_mm, 1):g} ({p.mark})" for p in bar.pieces)


def _packing_words(orders: Sequence[BarOrder]) -> list[str]:
    """How sure it is that no less length does, and what is not sold so long."""
    told = {
        "solver": "no less length does (proven by a solver, HiGHS)",
        "bound": "no less length does: pieces and saw cuts alone need as much",
    }
    lines = []
    for by, words in told.items():
        who = [o.stock.words for o in orders if o.packed.by == by]
        if who:
            lines.append(f"{names(who)}: {words}")
    for o in orders:
        if o.packed.by == "not proven":
            over = (o.packed.bought_mm - o.packed.least_mm) / 1000.0
            lines.append(
                f"{o.stock.words}: too many mixes of pieces for the solver, packed longest first; at most {over:.3g} m "
                "less could do"
            )
        if o.to_length:
            lines.append(f"{o.stock.words}: a piece is longer than bars are usually sold, order it to length")
    return lines


def plates(found: Buying) -> Part | None:
    """Sheets to buy, and what to cut from each; None where nothing is cut."""
    if not found.plates:
        return None
    rows, cut = [], []
    for o in found.plates:
        sizes: dict[Size, int] = {}
        for s in o.sheets:
            sizes[s.sold_mm] = sizes.get(s.sold_mm, 0) + 1
        buy = " + ".join(f"{n} x {_size(s)}" for s, n in sizes.items())
        pieces = str(sum(p.count for p in o.parts))
        rows.append(
            (o.stock.words, o.stock.steel or ANY_STEEL, buy, pieces, f"{number(100.0 * o.waste)} %", number(o.kg, 1))
        )
        cut += [(o.stock.words, *row) for row in _cut(o)]
    lines = [
        f"{o.stock.words}: a piece is larger than sheets are usually sold, order it to size"
        for o in found.plates
        if o.to_size
    ]
    lines.append(
        "A good plan, not proven the least: a merchant with a guillotine or laser cuts to size for little more."
    )
    return Part(
        "Buy: plate",
        f"Cut in rows right across the sheet, {found.kerf_mm:g} mm to the next. Sizes sold: common practice, ask yours "
        "(--sheet-mm).",
        (
            Table(("plate", "steel", "buy, mm", "pieces", "waste", "kg"), tuple(rows)),
            Table(("plate", "sheets", "of, mm", "cut from each, mm"), tuple(cut)),
        ),
        tuple(lines),
    )


def _size(size: Size) -> str:
    return f"{size[0]:g} x {size[1]:g}"


def _cut(order: PlateOrder) -> list[tuple[str, ...]]:
    """Sheets cut alike once, each with its rows."""
    found: dict[tuple[str, str], int] = {}
    for sheet in order.sheets:
        key = _size(sheet.sold_mm), _rows(sheet)
        found[key] = found.get(key, 0) + 1
    return [(str(n), size, rows) for (size, rows), n in found.items()]


def _rows(sheet: Sheet) -> str:
    """ "3 rows of 4 x P1 110 x 150": along the sheet, then across it."""
    along = len({round(p.y_mm, 3) for p in sheet.put}) == sheet.rows
    rows: dict[float, dict[tuple[str, float, float], int]] = {}
    for p in sheet.put:
        row = rows.setdefault(round(p.y_mm if along else p.x_mm, 3), {})
        kind = p.mark, round(p.length_mm, 1), round(p.height_mm, 1)
        row[kind] = row.get(kind, 0) + 1
    words: dict[str, int] = {}
    for row in rows.values():
        text = " and ".join(f"{n} x {mark} ({x:g} x {y:g})" for (mark, x, y), n in row.items())
        words[text] = words.get(text, 0) + 1
    which = "along" if along else "across"
    told = [f"{n} row{'s' if n > 1 else ''} of {text}" for text, n in words.items()]
    return f"{which} it {', then '.join(told)}"
