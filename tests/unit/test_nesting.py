"""Rectangles cut from sheets: none over another, a cut between, right across the sheet, smallest sizes, bad input."""

from __future__ import annotations

import math
import random
import time
from collections import Counter

import pytest

from trundle.errors import InputError
from trundle.making.nesting import Blank, Put, Sheet, Size, nest
from trundle.making.sold import SHEETS_MM


def cut_across(put: list[Put], kerf: float) -> bool:
    """Whether straight cuts right across part these pieces, one after the other (a guillotine's cuts), a kerf apart."""
    if len(put) == 1:
        return True
    for low, high in (
        (lambda p: p.x_mm, lambda p: p.x_mm + p.length_mm),
        (lambda p: p.y_mm, lambda p: p.y_mm + p.height_mm),
    ):
        ordered = sorted(put, key=low)
        for i in range(1, len(ordered)):
            if max(high(p) for p in ordered[:i]) + kerf <= low(ordered[i]) + 1e-6:
                return cut_across(ordered[:i], kerf) and cut_across(ordered[i:], kerf)
    return False


def checked(sheets: tuple[Sheet, ...], blanks: list[Blank], sold: tuple[Size, ...], kerf: float) -> tuple[Sheet, ...]:
    """Every piece once, of its size either way up, inside its sheet, to be parted by straight cuts."""
    out = Counter[tuple[str, frozenset[float]]]()
    for sheet in sheets:
        assert sheet.sold_mm in {(max(s), min(s)) for s in sold}
        for p in sheet.put:
            out[p.mark, frozenset((p.length_mm, p.height_mm))] += 1
            assert min(p.x_mm, p.y_mm) >= 0.0
            assert p.x_mm + p.length_mm <= sheet.sold_mm[0] + 1e-6
            assert p.y_mm + p.height_mm <= sheet.sold_mm[1] + 1e-6
        assert cut_across(list(sheet.put), kerf)
        assert 0.0 <= sheet.waste < 1.0
    assert out == Counter({(b.mark, frozenset((b.length_mm, b.height_mm))): b.count for b in blanks})
    return sheets


@pytest.mark.parametrize("seed", range(30))
def test_random_plates_can_be_cut(seed: int) -> None:
    """Five kinds of plate, a few of each."""
    rng = random.Random(seed)
    blanks = [
        Blank(f"P{i}", float(rng.randint(30, 400)), float(rng.randint(30, 240)), rng.randint(1, 9)) for i in range(5)
    ]
    kerf = rng.choice([0.0, 2.0, 3.0])
    sheets = checked(nest(blanks, SHEETS_MM, kerf), blanks, SHEETS_MM, kerf)
    used, bought = sum(s.used_mm2 for s in sheets), sum(s.area_mm2 for s in sheets)
    assert used / bought > 0.4


def test_a_grid_fills_its_sheet() -> None:
    """Alike rectangles by hand: 249 x 123 with cuts of 2 go 4 x 4 into 1002 x 498, with nothing to spare; a quarter of
    them needs the smaller sheet."""
    [sheet] = nest([Blank("P1", 249.0, 123.0, 16)], ((1002.0, 498.0),), 2.0)
    assert sheet.sold_mm == (1002.0, 498.0)
    assert sheet.rows == 4
    [sheet] = nest([Blank("P1", 123.0, 249.0, 4)], ((1002.0, 498.0), (500.0, 247.9), (500.0, 248.0)), 2.0)
    assert sheet.sold_mm == (500.0, 248.0)


def test_a_whole_sheet_needs_no_cut() -> None:
    """A plate as large as what is sold."""
    [sheet] = nest([Blank("P1", 250.0, 250.0, 1)], SHEETS_MM, 3.0)
    assert (sheet.sold_mm, sheet.waste) == ((250.0, 250.0), 0.0)


def test_no_more_than_brute_force_on_rows() -> None:
    """Two to five plates of one height in one row: the sheets are as few as the best split of their lengths."""
    lengths = (240.0, 200.0, 160.0, 130.0, 90.0)
    blanks = [Blank(f"P{i}", n, 100.0, 1) for i, n in enumerate(lengths)]
    sheets = checked(nest(blanks, ((450.0, 100.0),), 2.0), blanks, ((450.0, 100.0),), 2.0)
    # 240 + 200 + 2, and 160 + 130 + 90 + 4: two strips hold them, one (820 + 8) cannot.
    assert len(sheets) == 2


def test_sheets_of_mixed_sizes() -> None:
    """A piece that only the long narrow sheet holds, and one for the square one."""
    sold = ((900.0, 100.0), (300.0, 300.0))
    blanks = [Blank("P1", 800.0, 90.0, 1), Blank("P2", 280.0, 280.0, 1)]
    assert len(checked(nest(blanks, sold, 2.0), blanks, sold, 2.0)) == 2


def test_ten_thousand_plates() -> None:
    """Twenty kinds, 500 of each, in seconds; four fifths of the steel is used."""
    rng = random.Random(3)
    blanks = [Blank(f"P{i}", float(rng.randint(40, 400)), float(rng.randint(40, 300)), 500) for i in range(20)]
    started = time.process_time()
    sheets = nest(blanks, SHEETS_MM, 2.0)
    assert time.process_time() - started < 60.0
    assert sum(len(s.put) for s in sheets) == 10_000
    assert sum(s.used_mm2 for s in sheets) > 0.8 * sum(s.area_mm2 for s in sheets)


@pytest.mark.parametrize(
    ("sold", "kerf", "argument", "words"),
    [
        (((500.0, 250.0),), -1.0, "kerf_mm", "no width of a saw cut"),
        (((500.0, 250.0),), 2.0, "sheet_mm", "P1 is 300 x 260 mm and does not come out of 500 x 250 mm"),
        (((500.0, 0.0),), 2.0, "sheet_mm", "above 0"),
        (((math.inf, 100.0),), 2.0, "sheet_mm", "above 0"),
        ((), 2.0, "sheet_mm", "above 0"),
    ],
)
def test_bad_input(sold: tuple[Size, ...], kerf: float, argument: str, words: str) -> None:
    """One problem that names the argument and what would be right."""
    with pytest.raises(InputError) as error:
        nest([Blank("P1", 300.0, 260.0, 1)], sold, kerf)
    [problem] = error.value.problems
    assert problem.argument == argument
    assert words in problem.problem
    assert problem.allowed
