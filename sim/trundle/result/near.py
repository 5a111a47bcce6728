"""Where the near runs of a verdict lie: the same vehicle over the same course, at nearly the same speed and start.

Nobody drives to a percent, nor stops to a few millimetres, and which link meets an edge is luck: within that, one run
is as good as another.
"""

from __future__ import annotations

import random
from math import gcd

from trundle.engine.nearby import Draw
from trundle.fields.near import NEAR
from trundle.spec.vehicle import Vehicle
from trundle.units import MM

SPEED_PERCENT = 3.0
"""How far target speeds are varied, to both sides [%]: what a driver holds by hand (our own choice, no source)."""

BARE_START_MM = 50.0
"""How far the start is varied without a track [mm]: about a shoe's breadth (our own choice, no source); with one it is
a link's pitch, since behind that the links lie as before."""

STEPS_IN_ALL = 2_400_000
"""Steps that near runs may have together if nobody asked for a number: 8 runs of five minutes at 1 ms, some ten seconds
on two cores."""

FEWEST = 4
"""Fewer near runs than this give no range worth telling: then it is one."""


def count_for(steps: int) -> int:
    """How many near runs a verdict is told from if nobody asked for a number. steps: of one of them."""
    affordable = STEPS_IN_ALL // max(steps, 1)
    return NEAR if affordable >= NEAR else affordable if affordable >= FEWEST else 1


def start_mm(vehicle: Vehicle) -> float:
    """How far the start is varied, forward [mm]."""
    return BARE_START_MM if vehicle.track is None else vehicle.track.pitch_mm


def draws(count: int, reach_m: float, seed: int | None = None) -> tuple[Draw, ...]:
    """How each of so many near runs differs. reach_m: how far the start may be moved on [m].

    seed None: always the same ones, the first unchanged; the others have one each of as many equal shares of speed, and
    of start, so spread that neighbours in one are far apart in the other. Else drawn at random, all of them, one from
    each share of speed and of start (Latin hypercube sampling; McKay, Beckman and Conover 1979, from memory).
    """
    if seed is not None:
        chance = random.Random(seed)
        places = list(range(count))
        chance.shuffle(places)
        return tuple(
            _draw((k + chance.random()) / count, (place + chance.random()) / count, reach_m)
            for k, place in enumerate(places)
        )
    others = count - 1
    step = _coprime(others)
    return (
        Draw(),
        *(_draw((k + 0.5) / others, ((k * step) % others + 0.5) / others, reach_m) for k in range(others)),
    )


def _draw(speed: float, start: float, reach_m: float) -> Draw:
    """One at a share (0 to 1) of the range of speed and of the range of start."""
    return Draw(1.0 + (2.0 * speed - 1.0) * SPEED_PERCENT / 100.0, start * reach_m)


def _coprime(count: int) -> int:
    """The number without a common divisor with `count` that is nearest to 0.382 (the golden section) of it."""
    return min((k for k in range(1, max(count, 2)) if gcd(k, count) == 1), key=lambda k: abs(k - 0.382 * count))


def reach_mm(vehicle: Vehicle, room_m: float) -> float:
    """How far the start is varied where there is `room_m` for it [mm]."""
    return min(start_mm(vehicle), room_m / MM)
