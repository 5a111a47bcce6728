"""How leaves are pressed to shape, as a part of a sheet: former, supports, presses, strokes, what press it takes."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence

from trundle.papers.parts import Part, Table, merged, number
from trundle.springs.answers import Bending
from trundle.steel.press import Press
from trundle.steel.press_plan import LeafToPress, Plan, Shop, plan
from trundle.steel.rebend import HEAT_CAUTION, minimum_radius
from trundle.units import MM, MPA, G

HEADS = (
    "leaf", "radius, mm", "former's face, mm", "bends at, N m", "supports apart, mm", "presses", "one every, mm",
    "stroke, mm", "stays, mm", "force, kN",
)  # fmt: skip


def to_press(shop: Bending) -> tuple[LeafToPress, ...]:
    """The leaves of a spring that is bent to shape, from the main leaf up."""
    return tuple(
        LeafToPress(
            leaf.name, shop.width_mm * MM, shop.thickness_mm * MM, leaf.length_mm * MM, leaf.radius_mm * MM,
            min(shop.flat_mm, 0.9 * leaf.length_mm) * MM, shop.metal,
        )
        for leaf in shop.leaves
    )  # fmt: skip


def press_part(title: str, leaves: Sequence[LeafToPress], shop: Shop) -> Part:
    """One by one: what former, which supports, how many presses of what stroke and force; if the press does it."""
    plans = [plan(leaf, shop) for leaf in leaves]
    of = leaves[0].steel
    least, most = (number(y / MPA) for y in (of.yield_Pa, of.strongest_Pa))
    loud, lines = _verdict(plans, shop)
    loud += _cracks(plans)
    return Part(
        title,
        f"{leaves[0].width_m / MM:g} x {leaves[0].thickness_m / MM:g} {of.name}, flat before, each leaf for itself. "
        f"Two figures: for a yield of {least} MPa, which it is held to have, and of {most}, which it may well have; "
        "press by less at first, let go, measure, press again.",
        (Table(HEADS, merged([_row(p) for p in plans])),),
        (*lines, *_places(plans[0]), HEAT_CAUTION),
        tuple(loud),
    )


def short_table(leaves: Sequence[LeafToPress]) -> Table:
    """For the sheet, beside radius and former: supports, presses, stroke and force on a former made for the leaf."""
    rows = [_row(plan(leaf, Shop())) for leaf in leaves]
    return Table((HEADS[0], *HEADS[3:]), merged([(r[0], *r[3:]) for r in rows]))


def _row(p: Plan) -> tuple[str, ...]:
    presses = p.press
    return (
        p.leaf.name,
        number(p.leaf.radius_m / MM),
        _both([_mm(f) for f in p.former_m]),
        _both([number(m, 1) for m in p.hinge_Nm]),
        _mm(p.span_m),
        str(p.count),
        number(p.spacing_m / MM),
        _both([_of(q, lambda one: number(one.stroke_m / MM, 1)) for q in presses]),
        _both([_of(q, lambda one: number(one.stays_m / MM, 1)) for q in presses]),
        _both([_of(q, lambda one: number(one.force_N * 1e-3, 1)) for q in presses]),
    )


def _mm(value_m: float | None) -> str:
    return "–" if value_m is None else number(value_m / MM)


def _of(press: Press | None, word: Callable[[Press], str]) -> str:
    return "–" if press is None else word(press)


def _both(words: Sequence[str]) -> str:
    """One word for two that are alike."""
    low, high = words
    return low if low == high else f"{low} to {high}"


def _force(force_N: float) -> str:
    return f"{force_N * 1e-3:.1f} kN ({force_N / G * 1e-3:.2f} t)"


def _verdict(plans: Sequence[Plan], shop: Shop) -> tuple[list[str], list[str]]:
    """Whether the press does it: what must be seen first, and what is only said."""
    loud: list[str] = []
    lines: list[str] = []
    if any(p.span_m is None for p in plans):
        loud.append("no radius of a former springs back to the wanted one: it cannot be bent cold to that")
        return loud, lines
    missing = [p for p in plans if None in p.press]
    if missing:
        loud.append(
            f"{missing[0].leaf.name}: on supports {_mm(missing[0].span_m)} mm apart one press does not leave what is "
            "wanted: supports further apart, a tighter nose, or more presses (a smaller --within-mm)"
        )
    done = [p for p in plans if None not in p.press]
    if not done:
        return loud, lines
    hard = max(done, key=lambda p: p.most_N[1])
    low, high = hard.most_N
    begins = _both([_force(f) for f in hard.begins_N])
    lines.append(
        f"It gives way at {begins} ({hard.leaf.name}: 4 x {_both([number(m, 1) for m in hard.hinge_Nm])} N m over "
        f"{_mm(hard.span_m)} mm, plastic through and through); the more it lies against the former, the more it takes."
    )
    if math.isinf(shop.press_N):
        lines.append(f"A press of {_force(high)} does it all, whichever the yield.")
    elif high <= shop.press_N:
        lines.append(f"The press, {_force(shop.press_N)}, does it: it takes {_force(high)} at most.")
    elif low <= shop.press_N:
        loud.append(
            f"the press, {_force(shop.press_N)}, does it only if the steel is soft: it takes {_force(low)} to "
            f"{_force(high)}{_wider(hard)}"
        )
    else:
        loud.append(
            f"the press, {_force(shop.press_N)}, is too weak: it takes {_force(low)} to {_force(high)}{_wider(hard)}"
        )
    return loud, lines


def _wider(p: Plan) -> str:
    """No span within the leaf would do, or the builder's own is too short."""
    return (
        "; supports further apart take less, if the leaf is long enough"
        if p.leaf.length_m > 1.5 * (p.span_m or 0.0)
        else ""
    )


def _cracks(plans: Sequence[Plan]) -> list[str]:
    for p in plans:
        least = minimum_radius(p.leaf.thickness_m, p.leaf.steel)
        hard = p.press[1] or p.press[0]  # the harder a piece, the less it stretches
        tightest = math.inf if hard is None else hard.tightest_m
        if tightest < least:
            return [
                f"{p.leaf.name}: under the nose it is bent to a radius of {_mm(tightest)} mm: below {_mm(least)} cold "
                "bending risks a crack (a blunter nose, or more presses)"
            ]
    return []


def _places(p: Plan) -> tuple[str, ...]:
    """Where to press the main leaf, and what is left at its ends."""
    s, half = p.spacing_m / MM, p.leaf.flat_m / 2.0 / MM
    if p.count % 2:
        marks = [i * s for i in range(p.count // 2 + 1)]
    else:
        marks = [half + (i + 0.5) * s for i in range(p.count // 2)]
    told = ", ".join(number(m) for m in marks)
    words = [
        f"Press the {p.leaf.name} {told} mm from its middle, to both sides: between presses it lies up to "
        f"{number(p.off_m / MM, 1)} mm off the curve. Count the stroke from where the former touches; what stays is "
        "the gap under a straightedge as long as the supports are apart."
    ]
    if p.spare_m > 0.0:
        reach = (p.leaf.length_m - (p.span_m or 0.0)) / 2.0
        words.append(
            f"With both supports under it, it can be pressed no further out than {number(reach / MM)} mm. So leave "
            f"{number(p.spare_m / MM)} mm more on at either end, and cut that off when it is bent; or let the last "
            f"{number(p.straight_m / MM)} mm be straight: the end then lies {number(p.end_off_m / MM, 1)} mm off the "
            "curve."
        )
    return tuple(words)
