"""The fixed part of the track's loop: the top run over the return rollers, in the hull's frame."""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass

from trundle.model.arrays import DEEPEST_SAG, MODE, MODES, MOST_MODES, Records, records
from trundle.units import G

DAMPING = 0.05
"""Share of critical damping of a top span's first mode, and so much more of the third and fifth: dry friction of pins.

With a moment mu T r in each pin, mode n of amplitude a loses 8 pi n2 mu T r a / l in a swing and has n2 pi2 a2 T / 4 l:
a share 8 mu r / (pi2 a). That is 0.054 with pins of 8 mm, mu = 0.2, at 12 mm; of the same energy a is as 1 / n.
"""

Circle = tuple[float, float, float]
"""x, y, radius [m]; the radius reaches to the track's ground face."""


@dataclass(frozen=True)
class TopRun:
    """From the front end's top back to the rear end's top.

    out, back: directions in which it leaves the front end and reaches the rear end; spans: lengths of the
    straight pieces [m]; length: straight and wrapped length [m]; rollers: those it touches; push: sum of
    direction changes over the rollers (per unit tension); moment: of those about the origin [m].
    """

    out: tuple[float, float]
    back: tuple[float, float]
    spans: tuple[float, ...]
    length: float
    rollers: tuple[int, ...]
    push: tuple[float, float]
    moment: float


def tangent(a: Circle, b: Circle) -> tuple[float, float, float]:
    """Direction and length of the common tangent that has both circles on its left."""
    dx, dy, step = b[0] - a[0], b[1] - a[1], b[2] - a[2]
    d2 = dx * dx + dy * dy
    if d2 <= step * step:
        raise ValueError("one wheel of the track's loop lies inside another")
    length = math.sqrt(d2 - step * step)
    return (dx * length + dy * step) / d2, (dy * length - dx * step) / d2, length


def turned(a: tuple[float, float], b: tuple[float, float]) -> float:
    """Angle from direction a to direction b, positive to the left [rad]."""
    return math.atan2(a[0] * b[1] - a[1] * b[0], a[0] * b[0] + a[1] * b[1])


IN_LINE_RAD = 1e-6
"""A roller that bends the band the wrong way by no more than this is in line with its neighbours, and bears it: the
band's own weight sags on to it."""


def top_run(front: Circle, rollers: list[Circle], rear: Circle) -> TopRun:
    """The taut top run. Rollers that it passes above are not touched. Raises ValueError on nested circles."""
    order = sorted(range(len(rollers)), key=lambda i: -rollers[i][0])
    chain = [front, *(rollers[i] for i in order), rear]
    index = [-1, *order, -1]
    k = 1
    while k < len(chain) - 1:
        into, out = tangent(chain[k - 1], chain[k]), tangent(chain[k], chain[k + 1])
        if turned(into[:2], out[:2]) < -IN_LINE_RAD:
            del chain[k], index[k]
            k = max(k - 1, 1)
        else:
            k += 1
    pieces = [tangent(a, b) for a, b in itertools.pairwise(chain)]
    length = sum(p[2] for p in pieces)
    push_x = push_y = moment = 0.0
    for k in range(1, len(chain) - 1):
        a, b = pieces[k - 1], pieces[k]
        length += chain[k][2] * turned(a[:2], b[:2])
        fx, fy = b[0] - a[0], b[1] - a[1]
        push_x, push_y = push_x + fx, push_y + fy
        moment += chain[k][0] * fy - chain[k][1] * fx
    return TopRun(
        out=pieces[0][:2],
        back=pieces[-1][:2],
        spans=tuple(p[2] for p in pieces),
        length=length,
        rollers=tuple(i for i in index if i >= 0),
        push=(push_x, push_y),
        moment=moment,
    )


def hanging(spans: tuple[float, ...], weight: float) -> tuple[int, Records]:
    """How many modes all spans swing in, and the row of each, filled up to (MOST_MODES,) MODE.

    spans: their lengths [m]; weight: of the band per metre, both tracks [N/m]; a weightless one has none. Formulas:
    trundle.law.top.
    """
    rows = records(MODE, MOST_MODES)
    if weight <= 0.0:
        return 0, rows
    uneven = range(1, 2 * MODES, 2)
    # So that together they take what the whole parabola does at rest: 1 + 1/3^4 + 1/5^4 + ... = pi^4 / 96.
    whole = math.sqrt(math.pi**4 / 96.0 / sum(n**-4.0 for n in uneven))
    longest = spans.index(max(spans))
    of = ((k, span, n) for k, span in enumerate(spans) for n in uneven)
    for row, (k, span, n) in zip(rows, of, strict=False):
        row.takes = (n * math.pi) ** 2 / (4.0 * span)
        row.weight, row.mass = whole * 2.0 * weight * span / (n * math.pi), 0.5 * weight / G * span
        row.loss, row.deepest = n * DAMPING, DEEPEST_SAG * span
        row.shown = (1.0 if n % 4 == 1 else -1.0) if k == longest else 0.0
    return MODES * len(spans), rows


def top_stiffness(spans: tuple[float, ...], weight: float, rate: float) -> float:
    """Square of the frequency at which spans, hanging a twentieth of their length deep, swing against the loop's
    stretch alone [1/s2]: (pi2 / 40)2 rate / (m l / 2), summed up.

    spans: their lengths [m]; weight: per metre [N/m]; rate: of the loop, tension per length [N/m].
    """
    if weight <= 0.0:
        return 0.0
    return rate * (math.pi**2 / 40.0) ** 2 * sum(2.0 * G / (weight * span) for span in spans)
