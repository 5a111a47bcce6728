"""How the leaves of a stack share a load: beams that press on each other without friction, and never pull.

Every leaf is an Euler-Bernoulli beam held at the same place. Where the one above ends, and wherever else they meet,
the lower leaf pushes the upper one; a gap opens where they would have to pull. With g the gaps and c the contact
forces, g = A c + b, g >= 0, c >= 0, g.c = 0: a linear complementarity problem, whose A comes from the exact
flexibility of the beams between the points looked at (unit-load theorem, any handbook of structures).

Leaves that lie on each other without force when free (each bent one thickness wider than the one below) touch at the
same points at every load, so deflection and stress are in proportion to it and one solution serves them all.
"""

from __future__ import annotations

import itertools
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Flags = NDArray[np.bool_]

STEPS, FINER, MANY = 24, 1, 12
"""Points along the half leaf at which two leaves may meet, beyond the ends of the leaves themselves; how many times
they are drawn closer where leaves are found to meet between their ends; leaves beyond which that is left out, as their
ends lie close by then. Another round moves stiffness by less than 1e-5 and stress by less than 1e-3 (a test)."""

LEAST_OVERHANG = 1e-3
"""A leaf that sticks out of its seat by less than this share of the half length does nothing."""

_GAP, _FORCE = 1e-9, 1e-7
"""What counts as nil: a gap as a share of the half length, a contact force as one of the end load."""


@dataclass(frozen=True)
class Sharing:
    """A stack of alike leaves under a load at the main leaf's ends, against one single leaf of that stock.

    even, odd: how many times stiffer its ends are, lifted alike, and one up one down (odd only on two seats: the
    contacts stay where they are with both ends lifted alike).
    moments: largest bending moment in each leaf that acts, main leaf first, as a share of the end load times the
    overhang. at: where that is, as a share of the overhang from where the leaf is held; below 0 between two seats.
    idle: leaves so short that the seat holds all of them.
    """

    even: float
    odd: float
    moments: tuple[float, ...]
    at: tuple[float, ...]
    idle: int

    @property
    def worst(self) -> int:
        """Place of the leaf that is bent hardest, 0 for the main leaf."""
        return int(np.argmax(self.moments))


def length_shares(full: int, graduated: int) -> list[float]:
    """Length of every leaf over the main leaf's, from that one up: graduated ones get shorter in even steps, down to
    one step."""
    steps = graduated + 1
    return [1.0] * full + [(steps - i) / steps for i in range(1, steps)]


def _moments(x: Floats, held: float, pair: bool, odd: bool) -> Floats:
    """Bending moment at x[i] for a unit load up at x[j], shape (n, n); positive bends the ends up.

    A load beyond the seat of a pair is carried to the middle by the span between the seats: even along it with both
    ends lifted alike, falling to nothing in the middle with one up and one down. A load between the seats bends that
    span alone, which is held level in the middle (both alike) or hinged there (one up one down). The seat of a pair
    is in `x` twice, as the end of the span and as the root of the overhang; the load at it is a couple there.
    """
    out = np.maximum(x[None, :] - np.maximum(x[:, None], held), 0.0)
    if not pair:
        return out
    root = int(np.searchsorted(x, held))
    inside = np.arange(len(x)) <= root
    here, load = np.minimum(x, held)[:, None], np.minimum(x, held)[None, :]
    if odd:
        out = out * np.where(inside, x / held, 1.0)[:, None]
        span = -np.minimum(here, load) * (held - np.maximum(here, load)) / held
    else:
        span = -np.minimum(held - here, held - load)
    moments = np.where((x < held)[None, :], span, out)
    moments[:, root] = np.where(inside, x / held if odd else 1.0, 0.0)
    return np.asarray(moments)


def _flexibility(x: Floats, moments: Floats) -> Floats:
    """E I times the deflection at x[i] for a unit load at x[j]: the moments' product integrated, exact as both are
    straight lines between the points."""
    h = np.diff(x)
    m0, m1 = moments[:-1] * np.sqrt(h / 6.0)[:, None], moments[1:] * np.sqrt(h / 6.0)[:, None]
    both = m0 + m1
    return np.asarray(m0.T @ m0 + m1.T @ m1 + both.T @ both)


def complementary(a: Floats, b: Floats, group: NDArray[np.intp], start: Flags, both: Flags) -> Floats:
    """c >= 0 with a c + b >= 0 and c.(a c + b) = 0, for a symmetric positive definite `a`.

    Where `both` is set, c may have either sign and the gap is nil. The active set of Lawson and Hanson (Solving Least
    Squares Problems, 1974, chapter 23), which lowers the energy 1/2 c.a.c + b.c at every turn and so ends, from the
    guess `start`; in every `group` the deepest overlap is taken up at once. Own code, as scipy's nnls takes 0.45 s to
    load; a test holds it to that.
    """
    active, c = start | both, np.zeros(len(b))
    while True:
        while True:
            now = np.flatnonzero(active)
            want = np.linalg.solve(a[np.ix_(now, now)], -b[now])
            down = (want < 0.0) & ~both[now]
            if not down.any():
                break
            # As far towards it as no force turns negative; what has come down to nil lets go.
            have = c[now]
            share = float(np.min(have[down] / (have[down] - want[down])))
            c[now] = have + share * (want - have)
            active[now[down & (c[now] <= _FORCE)]] = False
            c[~active] = 0.0
        c[now] = want
        gap = np.where(active, 0.0, a @ c + b)
        if gap.min() >= -_GAP:
            return c
        for g in np.unique(group[gap < -_GAP]):
            mine = np.flatnonzero(group == g)
            active[mine[np.argmin(gap[mine])]] = True


@dataclass(frozen=True)
class _Pressed:
    """A solved stack. x: points along the half leaf, the middle at 0. press[k]: what leaf[k] pushes the next with at
    x[point[k]], for one newton at the main leaf's end. give: what `leaf` and `leaf` have to do with each other."""

    x: Floats
    leaf: NDArray[np.intp]
    point: NDArray[np.intp]
    give: Floats
    press: Floats
    flexibility: Floats
    moments: Floats


def _end_gaps(leaf: NDArray[np.intp], point: NDArray[np.intp], flexibility: Floats, rigid: Floats) -> Floats:
    """Gaps that one newton at the main leaf's end would leave if nothing pressed."""
    return np.asarray(np.where(leaf == 0, -flexibility[point, -1] / rigid[0], 0.0))


def _pressed(x: Floats, tips: Floats, rigid: Floats, held: float, pair: bool) -> _Pressed:
    # Nothing presses where the leaves are held, but for the couple at the seat of a pair: leaves that lie on each other
    # on both sides of it have one slope there.
    root = int(np.searchsorted(x, held))
    may = (x != 0.0) & (x != held)
    may[root] = pair
    leaf, point = np.nonzero((x[None, :] <= tips[1:, None]) & may[None, :])
    give = np.diag(1.0 / rigid[:-1] + 1.0 / rigid[1:])
    for i in range(len(give) - 1):
        give[i, i + 1] = give[i + 1, i] = -1.0 / rigid[i + 1]
    give = give[np.ix_(leaf, leaf)]
    moments = _moments(x, held, pair, False)
    flexibility = _flexibility(x, moments)
    gaps = _end_gaps(leaf, point, flexibility, rigid)
    couple, start = point == root, x[point] == tips[1 + leaf]
    press = complementary(give * flexibility[np.ix_(point, point)], gaps, leaf, start, couple)
    return _Pressed(x, leaf, point, give, press, flexibility, moments)


def _points(tips: Floats, held: float, pair: bool, steps: int) -> Floats:
    """Where leaves may meet: the ends of all, and between them `steps` to the half leaf or a little more."""
    marks = [held, *tips[::-1]]
    parts = [np.linspace(a, b, round(steps * (b - a)) + 2)[1:] for a, b in itertools.pairwise(marks)]
    inner = [*np.linspace(0.0, held, round(steps * held) + 3), held] if pair else [held]
    return np.concatenate([inner, *parts])


def _finer(x: Floats, near: Floats) -> Floats:
    """The points with two more on either side of each of those `near`."""
    i = np.searchsorted(x, near)
    new = {float(x[k] + (x[k + d] - x[k]) * share) for d in (-1, 1) for k in i for share in (1 / 3, 2 / 3)}
    return np.sort(np.concatenate([x, sorted(new)]))


@lru_cache(maxsize=4096)
def sharing(full: int, graduated: int, held: float = 0.0, pair: bool = False, finer: int = FINER) -> Sharing:
    """How `full` leaves and `graduated` shorter ones share the load.

    held: what the seat holds of the half leaf, as a share of it: half the clamp, or half the distance of a `pair` of
    seats; 0: held level in one place. finer: see FINER.
    """
    tips = np.array(length_shares(full, graduated)[full - 1 :])
    idle = int(np.sum(tips <= held + LEAST_OVERHANG))
    tips = tips[: len(tips) - idle]
    if len(tips) == 1:
        return Sharing(float(full), float(full), (1.0 / full,) * full, (0.0,) * full, idle)
    # Leaves of full length bend alike, so they count as one that is so many times as stiff.
    rigid = np.array([float(full), *[1.0] * (len(tips) - 1)])
    got = _pressed(_points(tips, held, pair, STEPS), tips, rigid, held, pair)
    for _ in range(finer if len(tips) <= MANY else 0):
        inner = np.setdiff1d(got.x[got.point[got.press > 0.0]], [held, *tips])
        if len(inner) == 0:
            break
        got = _pressed(_finer(got.x, inner), tips, rigid, held, pair)

    leaf, point, single = got.leaf, got.point, float(got.flexibility[-1, -1])
    end = (single - float(got.flexibility[-1, point] @ np.where(leaf == 0, got.press, 0.0))) / full
    odd = _odd(got, held, rigid) if pair else float(full)
    loads = np.zeros((len(tips), len(got.x)))
    loads[0, -1] = 1.0
    np.add.at(loads, (leaf, point), -got.press)
    np.add.at(loads, (leaf + 1, point), got.press)
    bent = abs(loads @ got.moments.T) / rigid[:, None] / (1.0 - held)
    place = bent.argmax(axis=1)
    top, at = bent.max(axis=1), (got.x[place] - held) / (1.0 - held)
    most = (*[float(top[0])] * full, *map(float, top[1:]))
    where = (*[float(at[0])] * full, *map(float, at[1:]))
    return Sharing(single / end, odd, most, where, idle)


def _odd(got: _Pressed, held: float, rigid: Floats) -> float:
    """How many times stiffer than one leaf the ends are, one up and one down, with the contacts where they are."""
    on = got.press != 0.0
    flexibility = _flexibility(got.x, _moments(got.x, held, True, True))
    among = got.give * flexibility[np.ix_(got.point, got.point)]
    gaps = _end_gaps(got.leaf, got.point, flexibility, rigid)[on]
    single = float(flexibility[-1, -1])
    return single / (single / float(rigid[0]) - float(gaps @ np.linalg.solve(among[np.ix_(on, on)], gaps)))
