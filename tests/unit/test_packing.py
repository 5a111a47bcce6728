"""Pieces packed into bars: least length against brute force and published cases, saw cuts, large lists, bad input."""

from __future__ import annotations

import itertools
import math
import random
import time
from collections import Counter

import pytest

from trundle.errors import InputError
from trundle.making.packing import Packed, Piece, pack


def checked(packed: Packed, pieces: list[Piece], sold: list[float], kerf: float) -> Packed:
    """Every piece once, no bar fuller than it is long, lengths add up."""
    out = Counter[str]()
    for bar in packed.bars:
        assert bar.sold_mm in sold
        takes = sum(p.count * p.length_mm for p in bar.pieces) + kerf * (bar.many - 1)
        assert takes <= bar.sold_mm + 1e-6
        for p in bar.pieces:
            out[p.mark] += bar.count * p.count
    assert out == Counter({p.mark: p.count for p in pieces if p.count})
    assert packed.pieces_mm == pytest.approx(sum(p.length_mm * p.count for p in pieces))
    assert packed.pieces_mm + packed.left_mm + packed.sawdust_mm == pytest.approx(packed.bought_mm)
    assert packed.bought_mm >= packed.least_mm - 1e-6
    return packed


def brute(lengths: list[float], sold: list[float], kerf: float) -> float:
    """The least length of bars by trying every partition of the pieces."""
    best = math.inf

    def place(i: int, bars: list[float]) -> None:
        nonlocal best
        if i == len(lengths):
            best = min(best, sum(min(s for s in sold if s >= used - kerf - 1e-9) for used in bars))
            return
        for b in range(len(bars)):
            if bars[b] + lengths[i] <= max(sold) + 1e-9:
                place(i + 1, [*bars[:b], bars[b] + lengths[i] + kerf, *bars[b + 1 :]])
        place(i + 1, [*bars, lengths[i] + kerf])

    place(0, [])
    return best


@pytest.mark.parametrize("seed", range(25))
def test_as_little_as_brute_force(seed: int) -> None:
    """Seven pieces of four lengths into bars of one to three lengths: no partition of them needs less."""
    rng = random.Random(seed)
    sold = [float(s) for s in rng.sample([600, 1000, 1500, 2000], rng.randint(1, 3))]
    kerf = rng.choice([0.0, 2.0, 3.5])
    sizes = [float(rng.randint(90, min(590, int(max(sold))))) for _ in range(4)]
    pieces = [Piece(f"A{i}", size, n) for i, (size, n) in enumerate(zip(sizes, (3, 2, 1, 1), strict=True))]
    found = checked(pack(pieces, sold, kerf), pieces, sold, kerf)
    each = [p.length_mm for p in pieces for _ in range(p.count)]
    assert found.bought_mm == pytest.approx(brute(each, sold, kerf))
    assert found.by in ("solver", "bound")


def test_paper_rolls() -> None:
    """Thirteen widths from rolls of 5600 mm: 73 rolls, 0.401 % waste (the example of a public encyclopaedia's article
    on the cutting stock problem, from memory)."""
    widths = (1380, 1520, 1560, 1710, 1820, 1880, 1930, 2000, 2050, 2100, 2140, 2150, 2200)
    wanted = (22, 25, 12, 14, 18, 18, 20, 10, 12, 14, 16, 18, 20)
    pieces = [Piece(str(w), float(w), n) for w, n in zip(widths, wanted, strict=True)]
    found = checked(pack(pieces, [5600.0], 0.0), pieces, [5600.0], 0.0)
    assert sum(b.count for b in found.bars) == 73
    assert found.by == "solver"
    assert found.waste == pytest.approx(0.00401, abs=5e-6)


def test_rolls_of_a_hundred_inches() -> None:
    """97 of 45, 610 of 36, 395 of 31 and 211 of 14 in from 100 in: 452.25 by the linear program, so 453 rolls at least
    (Chvatal, Linear Programming, ch. 13, from memory)."""
    pieces = [Piece(str(w), float(w), n) for w, n in ((45, 97), (36, 610), (31, 395), (14, 211))]
    found = checked(pack(pieces, [100.0], 0.0), pieces, [100.0], 0.0)
    assert sum(b.count for b in found.bars) == 453


def test_a_cut_between_pieces_and_none_at_an_end_that_is_reached() -> None:
    """Three of 332 and two cuts of 2 are 1000: they go; three of 332.1 do not."""
    [bar] = pack([Piece("A1", 332.0, 3)], [1000.0], 2.0).bars
    assert (bar.count, bar.left_mm) == (1, 0.0)
    assert bar.sawdust_mm == pytest.approx(4.0)
    assert pack([Piece("A1", 332.1, 3)], [1000.0], 2.0).bought_mm == 2000.0
    # A whole bar needs no cut.
    assert pack([Piece("A1", 1000.0, 2)], [1000.0], 3.0).bought_mm == 2000.0


def test_an_off_cut_costs_a_cut() -> None:
    """Two of 300 with cuts of 2.5, the off-cut sawn off: 1000 - 2 (300 + 2.5) = 395. What is thinner than the cut is
    sawdust: 1000 - 998 with a cut of 3."""
    [bar] = pack([Piece("A1", 300.0, 2)], [1000.0], 2.5).bars
    assert bar.left_mm == pytest.approx(395.0)
    assert bar.sawdust_mm == pytest.approx(5.0)
    [bar] = pack([Piece("A1", 998.0, 1)], [1000.0], 3.0).bars
    assert (bar.left_mm, bar.sawdust_mm) == (0.0, pytest.approx(2.0))


def test_the_shortest_bars_that_do() -> None:
    """Three of 600 in 2 m and not 6 m; two halves that are one bar are bought as one."""
    sold = [1000.0, 2000.0, 3000.0, 6000.0]
    assert [b.sold_mm for b in pack([Piece("A1", 600.0, 3)], sold, 2.0).bars] == [2000.0]
    assert [b.sold_mm for b in pack([Piece("A1", 900.0, 6)], sold, 2.0).bars] == [6000.0]


@pytest.mark.parametrize("kinds", [3, 25, 1250])
def test_ten_thousand_pieces(kinds: int) -> None:
    """Any mix of 10,000 pieces is packed, within 2 % of what they need, in seconds."""
    rng = random.Random(kinds)
    lengths = rng.sample(range(200, 9000), kinds)
    pieces = [Piece(f"A{i}", n / 10.0, 10_000 // kinds) for i, n in enumerate(lengths)]
    sold = [1000.0, 3000.0, 6000.0]
    started = time.process_time()
    found = checked(pack(pieces, sold, 2.0), pieces, sold, 2.0)
    assert time.process_time() - started < 30.0
    assert found.bought_mm <= 1.02 * found.least_mm


def test_nothing_wanted_nothing_bought() -> None:
    """No piece, or none of it."""
    assert pack([], [6000.0], 2.0).bars == ()
    assert pack([Piece("A1", 100.0, 0)], [6000.0], 2.0).bought_mm == 0.0


@pytest.mark.parametrize(
    ("piece_mm", "sold", "kerf", "argument", "words"),
    [
        (300.0, [6000.0], -1.0, "kerf_mm", "no width of a saw cut"),
        (300.0, [6000.0], math.nan, "kerf_mm", "no width of a saw cut"),
        (300.0, [6000.0], 25.0, "kerf_mm", "no width of a saw cut"),
        (700.0, [300.0, 600.0], 2.0, "stock_mm", "A1 is 700 mm long and does not come out of 600 mm"),
        (300.0, [0.0], 2.0, "stock_mm", "above 0"),
        (300.0, [math.inf], 2.0, "stock_mm", "above 0"),
        (300.0, [], 2.0, "stock_mm", "above 0"),
    ],
)
def test_bad_input(piece_mm: float, sold: list[float], kerf: float, argument: str, words: str) -> None:
    """One problem that names the argument and what would be right."""
    with pytest.raises(InputError) as error:
        pack([Piece("A1", piece_mm, 2)], sold, kerf)
    [problem] = error.value.problems
    assert problem.argument == argument
    assert words in problem.problem
    assert problem.allowed


def test_alike_in_any_order() -> None:
    """The order in which pieces are listed changes no bar."""
    pieces = [Piece("A1", 400.0, 3), Piece("A2", 333.0, 4), Piece("A3", 120.0, 5), Piece("A4", 85.0, 2)]
    bought = {pack(list(p), [1000.0, 2000.0], 2.0).bought_mm for p in itertools.permutations(pieces)}
    assert len(bought) == 1
