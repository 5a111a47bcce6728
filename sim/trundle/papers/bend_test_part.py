"""A bend test as a part of a sheet: modulus and yield with their ranges, and the lines to paste into the file."""

from __future__ import annotations

import math
from collections.abc import Sequence

from trundle.papers.parts import Part, Table, number
from trundle.steel.bend_test import MOST_BENT, Errors, Piece, Range, Reading, Tested
from trundle.steel.materials import E_STEEL, STEELS
from trundle.units import MM, MPA

GPA = 1e9

STEEL_RANGE_GPA = (200.0, 210.0)
"""Where the modulus of any steel lies (materials)."""

ANY_GPA = (20.0, 250.0)
LEAST_YIELD_PA = 100e6
"""What a file takes as modulus and as yield of a leaf (springs.leaf_stack)."""

HARDLY = 0.15
"""Half a range of the modulus, as a share, above which it says little."""


def bend_test_part(
    piece: Piece, readings: Sequence[Reading], errors: Errors, of: Tested, headers: Sequence[str]
) -> Part:
    """headers: of the spring's tables in the file that the lines are to stand in; empty: not known."""
    rows = [
        (
            number(r.load_N),
            number(r.down_m / MM, 2),
            "not looked at" if r.left_m is None else number(r.left_m / MM, 2),
            number(piece.stress_Pa(r.load_N) / MPA),
        )
        for r in readings
    ]
    loud, lines = _modulus(piece, of, errors)
    more_loud, more = _yield(of)
    held = f"on two supports {piece.span_m / MM:g} mm apart, loaded in the middle"
    if piece.held == "one end":
        held = f"clamped at one end, loaded {piece.span_m / MM:g} mm from the clamp"
    paste = _paste(of, headers)
    return Part(
        "Bend test",
        f"{piece.width_m / MM:g} x {piece.thickness_m / MM:g} mm {held}. Read to {errors.read_m / MM:g} mm, loads to "
        f"{100.0 * errors.load:g} %, thickness to {errors.thickness_m / MM:g} mm.",
        (Table(("load, N", "gave, mm", "stayed, mm", "stress of its skin, MPa"), tuple(rows)),),
        (*lines, *more, *paste),
        (*loud, *more_loud),
    )


def _said(of: Range, unit: float, digits: int) -> str:
    low, value, high = (number(x / unit, digits) for x in (of.low, of.value, of.high))
    return f"{value} ({low} to {high})"


def _modulus(piece: Piece, of: Tested, errors: Errors) -> tuple[list[str], list[str]]:
    loud, modulus = [], of.modulus
    lines = [f"Modulus {_said(modulus, GPA, 0)} GPa; of any steel 200 to 210."]
    low, high = (g * GPA for g in STEEL_RANGE_GPA)
    if modulus.high < low or modulus.low > high:
        thick = piece.thickness_m * (modulus.value / E_STEEL) ** (1.0 / 3.0)
        loud.append(
            f"no steel has a modulus of {number(modulus.value / GPA)} GPa: if it is steel, it would be "
            f"{thick / MM:.2f} mm thick (the thinnest place counts), or a load or the distance is wrong"
        )
    elif modulus.high > (1.0 + HARDLY) * modulus.value:
        lines.append(
            "That range is wide: larger deflections (more load, supports further apart) and a thickness read to 0.02 "
            "mm make it narrower."
        )
    if of.worst_m > 2.0 * errors.read_m:
        lines.append(
            f"Reading {of.worst + 1} lies {of.worst_m / MM:.1f} mm off the line of the others: is it written down "
            "right?"
        )
    if of.bent > MOST_BENT[piece.held]:
        lines.append(
            f"It was bent by {of.bent:.0%} of the span: past {MOST_BENT[piece.held]:.0%} beam theory is more than 3 % "
            "off; the modulus is better taken from smaller loads."
        )
    return loud, lines


def _yield(of: Tested) -> tuple[list[str], list[str]]:
    if of.yields is None:
        return [], [
            "Where it yields is not known: take each load off again and read what stays (LOAD:MM:LEFT), further each "
            "time."
        ]
    low = of.yields.low / MPA
    lines = []
    if math.isinf(of.yields.high):
        lines.append(
            f"It came back from {number(of.came_back_N)} N: it yields above {number(low)} MPa, by how much is not "
            "known (a larger load would say)."
        )
    else:
        lines.append(
            f"It stayed bent after {number(of.set_N)} N: it yields at {_said(of.yields, MPA, 0)} MPa; the low end "
            "counts."
        )
    lines.append(
        f"Safe stress: {number(0.6 * low)} MPa for a load that stands, {number(0.75 * low)} at full bump (0.6 and "
        "0.75 of yield, first-design rules, from memory)."
    )
    weaker = [s for s in STEELS.values() if s.spring and s.yield_Pa <= of.yields.low]
    if weaker:
        best = max(weaker, key=lambda s: s.yield_Pa)
        lines.append(f"Of the steels here it bears as much as {best.name} ({number(best.yield_Pa / MPA)} MPa).")
        return [], lines
    if math.isinf(of.yields.high):
        return [], lines
    return [f"it yields at {number(low)} MPa already: it has lost its temper, or never was a spring"], lines


def _paste(of: Tested, headers: Sequence[str]) -> tuple[str, ...]:
    """What to write into the file, and where."""
    if not ANY_GPA[0] <= of.modulus.value / GPA <= ANY_GPA[1]:
        return ("Nothing to write into the file before that is cleared up.",)
    found = []
    if of.yields is not None and of.yields.low >= LEAST_YIELD_PA:
        found.append(f"yield_MPa = {math.floor(of.yields.low / MPA / 10.0) * 10}")
    if not of.modulus.holds(E_STEEL):
        found.append(f"modulus_GPa = {of.modulus.value / GPA:.0f}")
    if not found:
        return ("Nothing to write into the file: 206 GPa, which is taken of every steel, lies in the range.",)
    where = f"in {' and '.join(headers)}" if headers else "in the table of the spring"
    without = "" if len(found) > 1 else "; 206 GPa, which is taken of every steel, lies in the range of the modulus"
    without = without if of.modulus.holds(E_STEEL) else ""
    return (f"To write {where}: {' and '.join(found)}{without}.",)
