"""Tread that shears before it slides, written anew for the second solution: see trundle.law.grip for the law itself.

One step of the integrator at a time: the layers of each contact's load are those at the start of the step, and what has
come since is its load, its slip (an integral that stands in the integrator's vector) and the travel of the band. A
layer is kept as its load and how hard that is used, pull over grip: the use grows with slip, is capped at 1, fades with
travel, and stays as it is while load is taken off. All contacts are rows of two tables.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from trundle.model.arrays import Floats

PADS_S = 0.002
"""Loss in the pads: the slip of so long pulls at once, and is not held [s]."""


@dataclass(frozen=True)
class Layers:
    """keys (n,): whose they are, a ring's number or (below 0) a point's of the ground; load (n, k) [N], lowest first;
    use (n, k), from -1 to 1."""

    keys: tuple[int, ...]
    load: Floats
    use: Floats

    def of(self, keys: tuple[int, ...]) -> Layers:
        """Those of some contacts, in this order; one not known has none."""
        load, use = np.zeros((2, len(keys), self.load.shape[1]))
        known = {key: row for row, key in enumerate(self.keys)}
        for row, key in enumerate(keys):
            if key in known:
                load[row], use[row] = self.load[known[key]], self.use[known[key]]
        return Layers(keys, load, use)


def untouched(most: int) -> Layers:
    """Nothing touches the ground yet; `most` layers at most."""
    return Layers((), np.zeros((0, most)), np.zeros((0, most)))


def since(start: Layers, load: Floats, slip_m: Floats, travel: Floats, full_m: float) -> Layers:
    """Contacts of these loads (n,) [N] after slip (n,) [m] and travel (n,), in lengths of contact, with `full_m` [m] of
    slip for all the grip. One layer more than there was: what has come on top, which on average has lain there for half
    the slip."""
    below = np.cumsum(start.load, axis=1) - start.load
    kept = np.clip(load[:, None] - below, 0.0, start.load)
    fresh = np.maximum(load - start.load.sum(axis=1), 0.0)
    # du/dtravel = slip / (full travel) - u, at an even slip: its solution to second order in travel.
    fed = slip_m / full_m * (1.0 - 0.5 * travel)
    use = np.clip(start.use * np.exp(-travel)[:, None] + fed[:, None], -1.0, 1.0)
    on_top = np.clip(0.5 * fed, -1.0, 1.0)
    return Layers(start.keys, np.column_stack([kept, fresh]), np.column_stack([use, on_top]))


def pull(now: Layers, slip_m_s: Floats, grip: float, full_m: float) -> Floats:
    """What each contact pulls [N]: its layers, and the pads' loss at these slip speeds (n,); all its grip at most."""
    most = grip * now.load.sum(axis=1)
    return np.clip(grip * (now.load * now.use).sum(axis=1) + most * PADS_S / full_m * slip_m_s, -most, most)


def merged(now: Layers) -> Layers:
    """One layer fewer: of each contact the two neighbours that hold least more apart than as one of the same pull,
    n1 n2 / (n1 + n2) (u1 - u2)^2, become one."""
    load, use = now.load, now.use
    one, two = load[:, :-1], load[:, 1:]
    both = one + two
    apart = np.divide(one * two, both, out=np.zeros_like(both), where=both > 0.0) * np.diff(use, axis=1) ** 2
    rows, k = np.arange(len(load)), np.argmin(apart, axis=1)
    load, pulls = load.copy(), load * use
    for table in (load, pulls):
        table[rows, k] += table[rows, k + 1]
    behind = np.arange(load.shape[1] - 1)
    pick = behind + (behind > k[:, None])
    load, pulls = np.take_along_axis(load, pick, axis=1), np.take_along_axis(pulls, pick, axis=1)
    return Layers(now.keys, load, np.divide(pulls, load, out=np.zeros_like(load), where=load > 0.0))
