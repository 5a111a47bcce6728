"""Free torsion and shear centre of an open section, by finite elements on a grid that follows its wall.

The warping w of a twisted bar solves laplace(w) = 0 with dw/dn = y nx - x ny (Saint-Venant). From it come
the torsion constant J and the shear centre (Trefftz, for which Poisson's ratio plays no part).
"""

from __future__ import annotations

import itertools
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Torsion:
    """J_m4: torsion constant. x_m, y_m: shear centre in the grid's axes."""

    J_m4: float
    x_m: float
    y_m: float


# Nine-node element: shape functions of three points per way, tensor product; 3 x 3 Gauss points.
_G, _W = np.polynomial.legendre.leggauss(3)


def _lagrange(t: Floats) -> tuple[Floats, Floats]:
    n = np.stack([t * (t - 1) / 2, 1 - t * t, t * (t + 1) / 2])
    d = np.stack([t - 0.5, -2 * t, t + 0.5])
    return n, d


def _shapes() -> tuple[Floats, Floats, Floats, Floats]:
    """(N, dN/da, dN/db, weight) at the nine Gauss points, shapes (9 nodes, 9 points) and (9,)."""
    n, d = _lagrange(_G)
    full = np.einsum("ip,jq->ijpq", n, n).reshape(9, 9)
    da = np.einsum("ip,jq->ijpq", d, n).reshape(9, 9)
    db = np.einsum("ip,jq->ijpq", n, d).reshape(9, 9)
    return full, da, db, np.outer(_W, _W).ravel()


def _banded(k: Floats, f: Floats, band: int) -> Floats:
    """u of K u = f, with nothing in K further than `band` from its diagonal: elimination block by block.

    Golub and Van Loan, Matrix Computations, section 4.5.1. (scipy.sparse does it too, and takes a fifth of a sheet's
    time to load.)
    """
    ends = [*range(0, len(f), band), len(f)]
    blocks = [slice(a, b) for a, b in itertools.pairwise(ends)]
    after: list[NDArray[np.floating]] = []
    u = f.copy()
    diagonal: NDArray[np.floating] = k[blocks[0], blocks[0]]
    for this, following in itertools.pairwise(blocks):
        both = np.linalg.solve(diagonal, np.column_stack([k[this, following], u[this]]))
        after.append(both[:, :-1])
        u[this] = both[:, -1]
        diagonal = k[following, following] - k[following, this] @ after[-1]
        u[following] -= k[following, this] @ u[this]
    u[blocks[-1]] = np.linalg.solve(diagonal, u[blocks[-1]])
    for this, following, factor in zip(blocks[-2::-1], blocks[:0:-1], after[::-1], strict=True):
        u[this] -= factor @ u[following]
    return u


def solve(grid: Floats) -> Torsion:
    """Torsion of the figure covered by `grid`, shape (2a + 1, 2b + 1, 2): points [m] of a x b elements.

    First index along the wall, second across it; every element must be turned the same way.
    """
    rows, cols = grid.shape[0], grid.shape[1]
    numbers = np.arange(rows * cols).reshape(rows, cols)
    # Node numbers of each element, (elements, 9), first index slow as in _shapes.
    nodes = np.stack(
        [numbers[i : rows - 2 + i : 2, j : cols - 2 + j : 2].ravel() for i in range(3) for j in range(3)],
        axis=1,
    )
    xy = grid.reshape(-1, 2)
    n, da, db, w = _shapes()
    x, y = xy[nodes, 0], xy[nodes, 1]
    xa, xb, ya, yb = x @ da, x @ db, y @ da, y @ db
    det = xa * yb - xb * ya
    area = np.abs(det) * w
    px, py = x @ n, y @ n
    total = float(area.sum())
    cx, cy = float((area * px).sum()) / total, float((area * py).sum()) / total
    px, py = px - cx, py - cy
    # Gradients of the shape functions at each point, (elements, nodes, points).
    gx = (da * yb[:, None] - db * ya[:, None]) / det[:, None]
    gy = (db * xa[:, None] - da * xb[:, None]) / det[:, None]
    stiff = np.einsum("eip,ejp,ep->eij", gx, gx, area) + np.einsum("eip,ejp,ep->eij", gy, gy, area)
    force = np.einsum("eip,ep->ei", gx, py * area) - np.einsum("eip,ep->ei", gy, px * area)
    count = rows * cols
    i = np.repeat(nodes, 9, axis=1).ravel()
    j = np.tile(nodes, (1, 9)).ravel()
    k: Floats = np.zeros((count, count))
    np.add.at(k, (i, j), stiff.ravel())
    f: Floats = np.zeros(count)
    np.add.at(f, nodes.ravel(), force.ravel())
    # The warping is known up to a constant: hold one point, then take the mean out.
    warp = np.zeros(count)
    warp[1:] = _banded(k[1:, 1:], f[1:], 2 * cols + 2)
    at = warp[nodes] @ n
    at = at - float((area * at).sum()) / total
    xx, yy = float((area * py**2).sum()), float((area * px**2).sum())
    xy_ = float((area * px * py).sum())
    wx, wy = float((area * px * at).sum()), float((area * py * at).sum())
    bottom = xx * yy - xy_**2
    return Torsion(
        xx + yy - float(f @ warp),
        cx + (xy_ * wx - yy * wy) / bottom,
        cy + (xx * wx - xy_ * wy) / bottom,
    )
