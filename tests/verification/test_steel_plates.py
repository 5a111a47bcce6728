"""Plates against solutions of the plate equation by other means: finite differences, Navier's series, a beam.

The coefficients in trundle.steel.plates were written down from memory; these hold them.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.sparse import csr_matrix, lil_matrix
from scipy.sparse.linalg import spsolve

from trundle.steel.materials import E_STEEL
from trundle.steel.plates import centre_load_rate, dent_load, edge_across_rate, plate_stiffness

RATIOS = (1.0, 1.2, 1.5, 2.0, 3.0)


def clamped_alpha(ratio: float, n: int) -> float:
    """w D / (F a^2) in the middle of a clamped plate 1 by `ratio`: the biharmonic equation by its 13-point stencil on a
    grid of 1/n, mirrored points beyond the edges (w and its slope are 0 there)."""
    h, rows = 1.0 / n, round(ratio * n)
    nx, ny = n - 1, rows - 1
    stencil = {(0, 0): 20.0, (1, 0): -8.0, (1, 1): 2.0, (2, 0): 1.0}
    weights: dict[tuple[int, int], float] = {}
    for (i, j), value in stencil.items():
        for a, b in {(i, j), (-i, j), (i, -j), (-i, -j), (j, i), (-j, i), (j, -i), (-j, -i)}:
            weights[(a, b)] = value
    matrix = lil_matrix((nx * ny, nx * ny))
    for i in range(nx):
        for j in range(ny):
            for (a, b), value in weights.items():
                p, q = i + a, j + b
                # -1 and nx lie on the edge (0); one further out mirrors the first inside.
                p, q = (0 if p == -2 else p), (0 if q == -2 else q)
                p, q = (nx - 1 if p == nx + 1 else p), (ny - 1 if q == ny + 1 else q)
                if 0 <= p < nx and 0 <= q < ny:
                    matrix[i * ny + j, p * ny + q] += value
    load = np.zeros(nx * ny)
    middle = (nx // 2) * ny + ny // 2
    load[middle] = h**2  # F / h^2 of pressure, times h^4 of the stencil
    return float(spsolve(csr_matrix(matrix), load)[middle])


def supported_alpha(ratio: float) -> float:
    """The same simply supported: Navier's double series."""
    m = np.arange(1, 801, 2)
    p, q = np.meshgrid(m.astype(float), m / ratio)
    return float(4.0 / (math.pi**4 * ratio) * np.sum(1.0 / (p**2 + q**2) ** 2))


@pytest.mark.parametrize("ratio", RATIOS)
def test_clamped_plate_under_a_single_load(ratio: float) -> None:
    """Finite differences at two grids, their error of second order taken out (Richardson): 1 %."""
    coarse, fine = clamped_alpha(ratio, 20), clamped_alpha(ratio, 40)
    want = fine + (fine - coarse) / 3.0
    rate = centre_load_rate(0.3, 0.3 * ratio, 0.003, "clamped")
    assert plate_stiffness(0.003) / (rate * 0.3**2) == pytest.approx(want, rel=0.01)
    assert centre_load_rate(0.3 * ratio, 0.3, 0.003, "clamped") == rate


@pytest.mark.parametrize("ratio", RATIOS)
def test_supported_plate_under_a_single_load(ratio: float) -> None:
    """Navier's series (Timoshenko and Woinowsky-Krieger, chapter 5): 0.5 %, straight lines between tabled ratios."""
    rate = centre_load_rate(0.3, 0.3 * ratio, 0.003, "supported")
    assert plate_stiffness(0.003) / (rate * 0.3**2) == pytest.approx(supported_alpha(ratio), rel=0.005)


def test_long_plates_need_no_more_table() -> None:
    """Beyond three to one the far edges do not count: Navier's series at 3 and at 20 differs by 0.4 %."""
    assert supported_alpha(3.0) == pytest.approx(supported_alpha(20.0), rel=0.005)
    assert centre_load_rate(0.3, 0.9, 0.003, "supported") == centre_load_rate(0.3, 6.0, 0.003, "supported")


def test_edge_across_a_strip() -> None:
    """A beam of the same section (second moment w t^3 / 12) clamped at both ends gives F L^3 / 192 E I, supported
    F L^3 / 48 E I (any handbook); a plate cannot narrow as it bends and is stiffer by 1 / (1 - nu^2) = 1.0989."""
    span, width, thick = 0.25, 0.4, 0.004
    second = width * thick**3 / 12.0
    for edge, times in (("clamped", 192.0), ("supported", 48.0)):
        beam = times * E_STEEL * second / span**3
        assert edge_across_rate(span, width, thick, edge) == pytest.approx(beam / 0.91, rel=1e-9)  # type: ignore[arg-type]


@pytest.mark.parametrize(("span", "width", "strip"), [(0.4, 0.2, True), (0.2, 0.6, False)])
def test_load_that_dents(span: float, width: float, strip: bool) -> None:
    """Work of the load = work in the plastic hinges, by hand. Strip: hinges at both ribs and, turning twice as far, in
    the middle, 4 theta in all, at a sink of theta L / 2. Single load: a clamped many-sided pit, hinges on its rim and
    its spokes, turning as much again: sum of (side / inradius), n 2 tan(pi/n) each, to 2 pi as n grows."""
    thick, yielding = 0.003, 235e6
    moment = yielding * thick**2 / 4.0
    by_strip = moment * width * 4.0 / (span / 2.0)
    n = 2000
    by_pit = 2.0 * moment * n * 2.0 * math.tan(math.pi / n)
    got = dent_load(span, width, thick, yielding)
    assert (by_strip < by_pit) == strip
    assert got == pytest.approx(min(by_strip, by_pit), rel=1e-5)
