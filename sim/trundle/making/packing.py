"""Pieces sawn from bars: which bars to buy and what comes out of each, with the least length bought.

Cutting stock in one dimension: every way to fill a bar is a pattern, and HiGHS (through scipy) finds how often each is
sawn so that the length bought is least. Where there are too many patterns the longest pieces go first, each into the
first bar that has room (first-fit decreasing), and how far that can be from the least is told.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np

from trundle.errors import InputError, Problem

TINY_MM = 1e-6
"""Lengths that differ by less are the same: sums of decimal fractions are not exact."""

MOST_PATTERNS = 4_000
"""Ways to fill a bar up to which the solver is asked: a second."""

MOST_LENGTHS = 40
"""Different lengths up to which patterns are looked for: more have too many."""

MOST_NODES = 200
"""Of its search; a limit of time would give another answer on a slower computer."""


@dataclass(frozen=True)
class Piece:
    """Pieces that are alike. mark: what they are called."""

    mark: str
    length_mm: float
    count: int


@dataclass(frozen=True)
class Bar:
    """Bars that are sawn alike. pieces: from the end where the first cut is measured; of each mark how many."""

    sold_mm: float
    count: int
    pieces: tuple[Piece, ...]
    kerf_mm: float

    @property
    def many(self) -> int:
        """Pieces out of one."""
        return sum(p.count for p in self.pieces)

    @property
    def left_mm(self) -> float:
        """Off-cut of one: what stays beyond the last saw cut [mm]."""
        left = self.sold_mm - sum(p.count * (p.length_mm + self.kerf_mm) for p in self.pieces)
        return 0.0 if left < TINY_MM else left

    @property
    def sawdust_mm(self) -> float:
        """Length of one that goes into saw cuts [mm]."""
        return self.sold_mm - self.left_mm - sum(p.count * p.length_mm for p in self.pieces)


@dataclass(frozen=True)
class Packed:
    """All bars of one stock. by: "solver" where it has proven that no less length does, "bound" where longest first
    already needs no more than pieces and cuts do, "not proven" where less may do. least_mm: below which no sum of bars
    has room for the pieces and their cuts."""

    bars: tuple[Bar, ...]
    by: Literal["solver", "bound", "not proven"]
    least_mm: float

    @property
    def bought_mm(self) -> float:
        """Length of all bars [mm]."""
        return sum(b.count * b.sold_mm for b in self.bars)

    @property
    def pieces_mm(self) -> float:
        """Length of all pieces [mm]."""
        return sum(b.count * p.count * p.length_mm for b in self.bars for p in b.pieces)

    @property
    def left_mm(self) -> float:
        """All off-cuts [mm]."""
        return sum(b.count * b.left_mm for b in self.bars)

    @property
    def sawdust_mm(self) -> float:
        """All saw cuts [mm]."""
        return sum(b.count * b.sawdust_mm for b in self.bars)

    @property
    def waste(self) -> float:
        """Share of the length bought that is no piece."""
        return 1.0 - self.pieces_mm / self.bought_mm if self.bars else 0.0


def check_kerf(kerf_mm: float) -> None:
    """Raises InputError, naming the argument, for a kerf that no saw has [mm]."""
    if not 0.0 <= kerf_mm <= MOST_KERF_MM:
        raise InputError(Problem(f"{kerf_mm:g} mm is no width of a saw cut", argument="kerf_mm", allowed=_KERFS))


MOST_KERF_MM = 20.0
_KERFS = f"0 to {MOST_KERF_MM:g} mm: 1 to 1.5 of a bandsaw, 2 to 3 of a grinder's disc or a chop saw"


def pack(pieces: Sequence[Piece], sold_mm: Sequence[float], kerf_mm: float) -> Packed:
    """Bars to buy of the lengths that are sold [mm], and what to saw from each.

    A bar is used from one of its own ends. Each piece costs its length and a saw cut, but for the last where it ends at
    the bar's other end. Least total length. Raises InputError where a piece is longer than all bars,
    or the kerf none.
    """
    check_kerf(kerf_mm)
    sold = sorted(set(sold_mm))
    if not sold or not all(math.isfinite(s) and s > 0.0 for s in sold):
        raise InputError(Problem("a bar's length is a number above 0", argument="stock_mm", allowed="mm, as sold"))
    wanted = [p for p in pieces if p.count > 0]
    if not wanted:
        return Packed((), "bound", 0.0)
    longest = max(wanted, key=lambda p: p.length_mm)
    if longest.length_mm > sold[-1] + TINY_MM:
        raise InputError(
            Problem(
                f"{longest.mark} is {longest.length_mm:g} mm long and does not come out of {sold[-1]:g} mm",
                argument="stock_mm",
                allowed=f"{math.ceil(longest.length_mm - TINY_MM):g} mm or more",
            )
        )
    # By length, the longest first: whose piece it is does not matter to the saw.
    lengths = sorted({p.length_mm for p in wanted}, reverse=True)
    counts = [sum(p.count for p in wanted if p.length_mm == n) for n in lengths]
    needed = sum(n * (length + kerf_mm) for n, length in zip(counts, lengths, strict=True))
    quick = min((_first_fit(lengths, counts, sold[: i + 1], kerf_mm) for i in _openers(sold, lengths[0])), key=_cost)
    least = _least_mm(needed, sold, kerf_mm)
    by: Literal["solver", "bound", "not proven"] = "not proven"
    best = quick
    if sum(s for s, _ in quick) <= least + TINY_MM:
        by = "bound"
    elif (solved := _solved(lengths, counts, sold, kerf_mm)) is not None:
        found, proven = solved
        best = min(found, quick, key=_cost)
        by = "solver" if proven else "not proven"
    return Packed(tuple(_named(best, lengths, wanted, kerf_mm)), by, least)


Filled = tuple[float, tuple[int, ...]]
"""A bar's length and how many pieces of each length come out of it."""


def _openers(sold: Sequence[float], longest_mm: float) -> Iterator[int]:
    return (i for i, s in enumerate(sold) if s >= longest_mm - TINY_MM)


def _cost(bars: Sequence[Filled]) -> tuple[float, int]:
    return sum(s for s, _ in bars), len(bars)


def _least_mm(needed_mm: float, sold: Sequence[float], kerf_mm: float) -> float:
    """Below this no sum of bars has room for so much, however it is cut [mm]: a bar holds its length and a kerf, and
    any sum of bars is a multiple of what their lengths have in common."""
    bound = needed_mm * min(s / (s + kerf_mm) for s in sold)
    common = _common_mm(sold)
    return math.ceil((bound - TINY_MM) / common) * common


def _common_mm(sold: Sequence[float]) -> float:
    """The longest length of which all bars are whole multiples [mm]."""
    return math.gcd(*(round(s / PARTS_MM) for s in sold)) * PARTS_MM


PARTS_MM = 0.001
"""What bars' lengths are whole multiples of."""


def _first_fit(lengths: Sequence[float], counts: Sequence[int], sold: Sequence[float], kerf_mm: float) -> list[Filled]:
    """Longest pieces first, each into the first bar with room; every bar then as short as is sold."""
    room: list[float] = []
    content: list[list[int]] = []
    for i, (length, count) in enumerate(zip(lengths, counts, strict=True)):
        left, takes = count, length + kerf_mm
        for b in range(len(room)):
            n = min(left, math.floor((room[b] + TINY_MM) / takes))
            room[b], content[b][i], left = room[b] - n * takes, content[b][i] + n, left - n
        while left:
            n = min(left, math.floor((sold[-1] + kerf_mm + TINY_MM) / takes))
            room.append(sold[-1] + kerf_mm - n * takes)
            content.append([0] * i + [n] + [0] * (len(lengths) - i - 1))
            left -= n
    return [(_shortest(tuple(c), lengths, sold, kerf_mm), tuple(c)) for c in content]


def _shortest(content: tuple[int, ...], lengths: Sequence[float], sold: Sequence[float], kerf_mm: float) -> float:
    """The shortest bar sold that it comes out of [mm]."""
    takes = _takes(content, lengths, kerf_mm)
    return next(s for s in sold if s >= takes - TINY_MM)


def _takes(content: tuple[int, ...], lengths: Sequence[float], kerf_mm: float) -> float:
    """Length of bar that pieces take with the cuts between them [mm]."""
    return sum(n * (length + kerf_mm) for n, length in zip(content, lengths, strict=True)) - kerf_mm


def _solved(
    lengths: Sequence[float], counts: Sequence[int], sold: Sequence[float], kerf_mm: float
) -> tuple[list[Filled], bool] | None:
    """The bars by the solver, and whether it has proven that no less length does; None where there are too many
    patterns or it found nothing."""
    if len(lengths) > MOST_LENGTHS:
        return None
    patterns: dict[tuple[int, ...], float] = {}
    visited = 0
    for s in sold:
        for content in _patterns(lengths, counts, s + kerf_mm, kerf_mm):
            visited += 1
            if visited > MOST_PATTERNS:
                return None
            patterns.setdefault(content, _shortest(content, lengths, sold, kerf_mm))
    from scipy.optimize import Bounds, LinearConstraint, milp

    table = np.array(list(patterns)).T
    # In whole multiples of what all bars have in common: the solver then ends at the first whole number below it.
    # Fewest bars as a second wish would take it a hundred times as long.
    common = _common_mm(sold)
    cost = np.array([round(s / common) for s in patterns.values()], dtype=float)
    wanted = np.array(counts, dtype=float)
    answer = milp(
        cost,
        constraints=LinearConstraint(table, wanted, np.inf),
        integrality=np.ones(len(cost), dtype=int),
        bounds=Bounds(0.0, float(wanted.max())),
        options={"node_limit": MOST_NODES, "mip_rel_gap": 0.0},
    )
    if answer.x is None:
        return None
    bars = _trimmed(list(patterns), [round(x) for x in answer.x], lengths, counts, sold, kerf_mm)
    return _joined(bars, lengths, sold, kerf_mm), answer.status == 0


def _joined(bars: list[Filled], lengths: Sequence[float], sold: Sequence[float], kerf_mm: float) -> list[Filled]:
    """Two bars as one of their length together, where that is sold and both cuttings go into it."""
    found: list[Filled] = []
    for length, content in sorted(bars):
        for i, (other, has) in enumerate(found):
            both = tuple(a + b for a, b in zip(content, has, strict=True))
            room = length + other
            if any(abs(room - s) < TINY_MM for s in sold) and _takes(both, lengths, kerf_mm) <= room + TINY_MM:
                found.pop(i)
                found.append((room, both))
                break
        else:
            found.append((length, content))
    return found


def _patterns(
    lengths: Sequence[float], counts: Sequence[int], room_mm: float, kerf_mm: float
) -> Iterator[tuple[int, ...]]:
    """Every filling of a bar that has no room for one more piece of those wanted."""
    last = len(lengths) - 1
    content = [0] * len(lengths)

    def fill(i: int, room: float) -> Iterator[tuple[int, ...]]:
        takes = lengths[i] + kerf_mm
        most = min(counts[i], math.floor((room + TINY_MM) / takes))
        for n in range(most, -1 if i < last else most - 1, -1):
            content[i] = n
            left = room - n * takes
            if i < last:
                yield from fill(i + 1, left)
            elif any(content) and not any(
                c < w and length + kerf_mm <= left + TINY_MM
                for c, w, length in zip(content, counts, lengths, strict=True)
            ):
                yield tuple(content)
        content[i] = 0

    return fill(0, room_mm)


def _trimmed(
    patterns: Sequence[tuple[int, ...]], times: Sequence[int], lengths: Sequence[float], counts: Sequence[int],
    sold: Sequence[float], kerf_mm: float,
) -> list[Filled]:  # fmt: skip
    """The bars, without the pieces that the patterns have more than are wanted."""
    bars = [p for p, n in zip(patterns, times, strict=True) for _ in range(n)]
    over = [sum(b[i] for b in bars) - n for i, n in enumerate(counts)]
    found = []
    # From the last bar: its off-cut is then the long one.
    for bar in reversed(bars):
        less = [min(o, n) for o, n in zip(over, bar, strict=True)]
        over = [o - x for o, x in zip(over, less, strict=True)]
        kept = tuple(n - x for n, x in zip(bar, less, strict=True))
        if any(kept):
            found.append((_shortest(kept, lengths, sold, kerf_mm), kept))
    return found[::-1]


def _named(bars: Iterable[Filled], lengths: Sequence[float], pieces: Sequence[Piece], kerf_mm: float) -> Iterator[Bar]:
    """The bars with the pieces' marks, those sawn alike as one, fullest first."""
    left = {length: [p for p in pieces if p.length_mm == length] for length in lengths}
    found: dict[tuple[float, tuple[Piece, ...]], int] = {}
    for sold, content in sorted(bars, key=lambda b: (-b[0], [-n for n in b[1]])):
        sawn: list[Piece] = []
        for length, many in zip(lengths, content, strict=True):
            n, queue = many, left[length]
            while n:
                first = queue.pop(0)
                take = min(n, first.count)
                sawn.append(replace(first, count=take))
                n -= take
                if take < first.count:
                    queue.insert(0, replace(first, count=first.count - take))
        found[sold, tuple(sawn)] = found.get((sold, tuple(sawn)), 0) + 1
    return (Bar(sold, n, sawn, kerf_mm) for (sold, sawn), n in found.items())
