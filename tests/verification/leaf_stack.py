"""A stack of leaves in contact, solved another way: Hermite beam elements over the whole leaf and scipy's nnls.

No symmetry is used for two seats, so the two ends may carry different loads. Lengths are shares of the main leaf's half
length, E I is that of one leaf, so a load of 1 gives deflections in l^3/EI.
"""

import itertools
from dataclasses import dataclass

import numpy as np
from scipy.optimize import nnls


@dataclass
class Solved:
    """ends: lift of the main leaf's ends. moments: largest bending moment of every leaf. press: contact forces."""

    ends: list[float]
    moments: list[float]
    press: np.ndarray


def stiffness(x, ei):
    """Stiffness of a beam through nodes at `x`, `ei` one value an element; two freedoms (lift, slope) a node."""
    k = np.zeros((2 * len(x), 2 * len(x)))
    for i, h in enumerate(np.diff(x)):
        k[2 * i : 2 * i + 4, 2 * i : 2 * i + 4] += (ei[i] / h**3) * np.array(
            [
                [12, 6 * h, -12, 6 * h],
                [6 * h, 4 * h * h, -6 * h, 2 * h * h],
                [-12, -6 * h, 12, -6 * h],
                [6 * h, 2 * h * h, -6 * h, 4 * h * h],
            ]
        )
    return k


class Beam:
    """One leaf from -length to length (or from `held` out, for a clamp): its flexibility at the nodes."""

    def __init__(self, length, held, pair, nodes, pointed=None):
        marks = np.concatenate([nodes, [held, length]])
        out = np.unique(np.round(marks[(marks >= held - 1e-12) & (marks <= length + 1e-12)], 12))
        if pair:
            inner = np.unique(np.round(np.concatenate([nodes[nodes < held], [held]]), 12))
            half = np.unique(np.concatenate([inner, out]))
            self.x = np.unique(np.round(np.concatenate([-half, half]), 12))
        else:
            self.x = out
        middle = (self.x[1:] + self.x[:-1]) / 2
        # A pointed end gets narrower in a straight line from the end of the next leaf to its own.
        ei = np.ones(len(middle)) if pointed is None else np.clip((length - middle) / pointed, 0.0, 1.0)
        k = stiffness(self.x, ei)
        seats = [self.at(-held), self.at(held)] if pair else [self.at(held)]
        fixed = [2 * s for s in seats] + ([] if pair else [2 * s + 1 for s in seats])
        left = [i for i in range(len(k)) if i not in fixed]
        self.flex = np.zeros_like(k)
        self.flex[np.ix_(left, left)] = np.linalg.inv(k[np.ix_(left, left)])
        self.ei, self.k, self.seats = ei, k, seats

    def at(self, x):
        return int(np.argmin(abs(self.x - x)))

    def moment(self, forces):
        """Largest bending moment, from the elements' own end moments."""
        u, worst = self.flex @ forces, 0.0
        for i, h in enumerate(np.diff(self.x)):
            w0, s0, w1, s1 = u[2 * i : 2 * i + 4]
            for bend in ((-6 * w0 - 4 * h * s0 + 6 * w1 - 2 * h * s1), (6 * w0 + 2 * h * s0 - 6 * w1 + 4 * h * s1)):
                worst = max(worst, abs(self.ei[i] * bend / h**2))
        return worst


def _least_energy(a, b):
    """min 1/2 c.a.c + b.c over c >= 0 as least squares, by the square root of a."""
    size = 1.0 / np.sqrt(np.diag(a))
    values, vectors = np.linalg.eigh(a * size[:, None] * size)
    root = np.sqrt(np.maximum(values, values[-1] * 1e-15))
    return nnls((vectors * root).T, -((vectors / root).T @ (b * size)), maxiter=100_000)[0] * size


def solve(lengths, held=0.0, pair=False, loads=(1.0, 1.0), nodes=60, pointed=False):
    """Leaves of these half lengths, the main leaf first, under `loads` at its ends (fore, aft; one without `pair`)."""
    grid = np.unique(np.round(np.concatenate([np.linspace(0.0, 1.0, nodes + 1), lengths]), 12))
    steps = [a - b for a, b in zip(lengths, [*lengths[1:], 0.0], strict=True)]
    beams = [Beam(n, held, pair, grid, s if pointed else None) for n, s in zip(lengths, steps, strict=True)]
    touching = []
    for i, (below, above) in enumerate(itertools.pairwise(beams)):
        for x in above.x:
            if any(above.at(x) == s for s in above.seats):
                # One slope at a seat, whichever way the couple acts.
                touching += [(i, 2 * below.at(x) + 1, 2 * above.at(x) + 1, s) for s in ((1, -1) if pair else ())]
            else:
                touching.append((i, 2 * below.at(x), 2 * above.at(x), 1))
    own = [np.zeros(len(b.k)) for b in beams]
    own[0][2 * beams[0].at(1.0)] += loads[0]
    if pair:
        own[0][2 * beams[0].at(-1.0)] += loads[1]
    pull = [np.zeros((len(b.k), len(touching))) for b in beams]
    for k, (i, below, above, sign) in enumerate(touching):
        pull[i][below, k] -= sign
        pull[i + 1][above, k] += sign
    a = sum(p.T @ beam.flex @ p for p, beam in zip(pull, beams, strict=True))
    b = sum(p.T @ beam.flex @ f for p, beam, f in zip(pull, beams, own, strict=True))
    press = _least_energy(a, b) if touching else np.empty(0)
    forces = [f + p @ press for f, p in zip(own, pull, strict=True)]
    main = beams[0].flex @ forces[0]
    ends = [float(main[2 * beams[0].at(x)]) for x in ((1.0, -1.0) if pair else (1.0,))]
    return Solved(ends, [beam.moment(f) for beam, f in zip(beams, forces, strict=True)], press)
