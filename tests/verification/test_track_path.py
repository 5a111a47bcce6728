"""The track's path: lengths with closed forms, and the shortest path through random corridors."""

from __future__ import annotations

import math

import numpy as np
import pytest
from band_kernels import bend, lower_run
from belt import loop_length
from rigs import flat, ground, rigid_tracked, state_at
from scipy.sparse import coo_matrix
from scipy.sparse.csgraph import dijkstra

from trundle.law.kernels import accept, lay
from trundle.law.scratch import new_scratch, ring_rows
from trundle.model.arrays import GroundArrays
from trundle.model.loop import Circle

FOUR: list[Circle] = [(0.15, 0, 0.075), (1.05, 0, 0.075), (1.3, 0.25, 0.10), (-0.1, 0.25, 0.12)]
"""Two road wheels, idler, sprocket."""


def kernel_length(rear: Circle, front: Circle, road: list[Circle], rollers: list[Circle] | None = None) -> float:
    """Loop length by the force law's own path, the vehicle hanging in the air."""
    m = rigid_tracked([rear, front], road, flat(), rollers=rollers)
    scratch = new_scratch(m)
    lay(m, state_at(m, np.array([2.0, 5.0, 0.0])).record, scratch)
    return float(scratch.work[0].loop.path)


def test_open_belt_on_two_circles() -> None:
    """2 sqrt(C^2 - (R-r)^2) + pi (R+r) + 2 (R-r) asin((R-r)/C): R 0.12, r 0.08, C 1.2 gives 3.0296520 m; equal
    0.1 gives 3.0283185 m (drive-belt geometry). To 1e-6 m: closed form on both sides, the printed digits."""
    lost = [(0.6, 0.05, 0.01)]  # a road wheel that the band passes far below
    for big, small, want in ((0.12, 0.08, 3.0296520), (0.1, 0.1, 3.0283185)):
        gap = big - small
        exact = 2 * math.sqrt(1.44 - gap**2) + math.pi * (big + small) + 2 * gap * math.asin(gap / 1.2)
        assert exact == pytest.approx(want, abs=1e-7)
        assert loop_length([(0, 0, big), (1.2, 0, small)]) == pytest.approx(want, abs=1e-6)
        assert kernel_length((0, 0, big), (1.2, 0, small), lost) == pytest.approx(want, abs=1e-6)
        assert kernel_length((0, 0, small), (1.2, 0, big), lost) == pytest.approx(want, abs=1e-6)


def test_belt_on_four_circles() -> None:
    """Sum of tangents and wraps: four of 0.1 on 0.8 x 0.3 gives 2.8283185 m; the road-wheel layout FOUR gives
    3.6471741 m (dense convex hull the same). To 1e-6 m, by the plain function and by the kernel."""
    box: list[Circle] = [(0, 0, 0.1), (0.8, 0, 0.1), (0.8, 0.3, 0.1), (0, 0.3, 0.1)]
    assert loop_length(box) == pytest.approx(2.8283185, abs=1e-6)
    assert loop_length(FOUR) == pytest.approx(3.6471741, abs=1e-6)
    road = [FOUR[1], FOUR[0]]
    assert kernel_length(FOUR[3], FOUR[2], road) == pytest.approx(3.6471741, abs=1e-6)
    # Rear and front ends change places with a mirror image: the same length.
    mirrored = [(-x, y, r) for x, y, r in FOUR]
    assert kernel_length(mirrored[2], mirrored[3], [mirrored[0], mirrored[1]]) == pytest.approx(3.6471741, abs=1e-6)


@pytest.mark.parametrize("seed", range(5))
def test_belt_on_many_circles_is_their_convex_hull(seed: int) -> None:
    """Taut round the outside of many circles the belt is the boundary of their convex hull. Perimeter of the hull
    of 20,000 points per circle (scipy) is short by less than wrap * step^2 / 24 = 1e-8. To 1e-6 m."""
    from scipy.spatial import ConvexHull

    rng = np.random.default_rng(seed)
    xs = np.linspace(1.4, 0.2, 6)
    road = [
        (
            float(x),
            float(rng.uniform(-0.01, 0.01) - 0.25 * (1 - ((x - 0.8) / 0.9) ** 2)),
            float(rng.uniform(0.06, 0.09)),
        )
        for x in xs
    ]
    rollers = [(0.5, 0.33, 0.03), (1.1, 0.31, 0.04)]
    rear, front = (-0.2, 0.2, 0.1), (1.8, 0.22, 0.08)
    turn = np.linspace(0, 2 * math.pi, 20_001)[:-1]
    points = np.concatenate(
        [np.column_stack([x + r * np.cos(turn), y + r * np.sin(turn)]) for x, y, r in [*road, *rollers, rear, front]]
    )
    assert kernel_length(rear, front, road, rollers) == pytest.approx(ConvexHull(points).area, abs=1e-6)


def corridor(seed: int) -> tuple[Circle, Circle, list[Circle], GroundArrays]:
    """Seven circles over ground whose random ridges poke up between them, at least 8 mm clear of each circle."""
    rng = np.random.default_rng(seed)
    rear, front = (-1.0, 0.28, 0.1), (1.0, 0.28, 0.1)
    road = [
        (float(x) + rng.uniform(-0.03, 0.03), rng.uniform(0.02, 0.12), rng.uniform(0.06, 0.09))
        for x in (0.6, 0.3, 0.0, -0.3, -0.6)
    ]
    dx = 0.02
    x = dx * np.arange(301) - 3.0
    height = -0.3 + rng.uniform(0.0, 0.38, len(x)) * (rng.uniform(size=len(x)) < 0.35)
    for cx, cy, r in [rear, front, *road]:
        near = np.abs(x - cx) < r + 0.008
        ceiling = cy - np.sqrt(np.maximum((r + 0.008) ** 2 - (x - cx) ** 2, 0.0))
        height[near] = np.minimum(height[near], ceiling[near] - 0.008)
    return rear, front, road, ground(height, dx)


def path_by_kernel(rear: Circle, front: Circle, road: list[Circle], on: GroundArrays) -> tuple[float, set[int]]:
    """Length from the rear end's rearmost point to the front end's foremost; owners of the nodes."""
    m = rigid_tracked([rear, front], road, on)
    state, scratch = state_at(m, np.array([3.0, 0.0, 0.0])), new_scratch(m)
    lay(m, state.record, scratch)
    rings = ring_rows(scratch, len(m.rings))
    assert rings.reach == pytest.approx(m.rings.radius)
    # Afresh, and once more starting from the order of contacts just found, as the next step does.
    assert state["order.n"] == 0
    n = lower_run(m, state.record, scratch)
    nodes = scratch.nodes
    once = [nodes[name][: n - 1].copy() for name in ("tx", "ty", "length")]
    accept(state.record, scratch)
    assert state["order.n"] == n
    n = lower_run(m, state.record, scratch)
    for name, values in zip(("tx", "ty", "length"), once, strict=True):
        assert nodes[name][: n - 1] == pytest.approx(values, abs=1e-12)
    length = float(nodes["length"][: n - 1].sum())
    for k in range(1, n - 1):
        length += nodes[k].r * abs(bend(nodes, k))
    first, last = nodes[0], nodes[n - 2]
    length += rear[2] * (math.pi / 2 + math.atan2(first.ty, first.tx))
    length += front[2] * (math.pi / 2 - math.atan2(last.ty, last.tx))
    # Every straight piece is clear of ground and circles, checked by itself.
    for k in range(n - 1):
        node = nodes[k]
        s = np.linspace(0.0, node.length, 50)
        normal = np.array([node.ty, -node.tx])
        at = [node.x, node.y] + node.r * normal + s[:, None] * np.array([node.tx, node.ty])
        height = np.interp(at[:, 0], on.x, on.height)
        assert (at[:, 1] - height).min() > -1e-9
        for x, y, r in zip(rings.x, rings.y, rings.reach, strict=True):
            assert np.hypot(at[:, 0] - x, at[:, 1] - y).min() > r - 1e-9
    return length, {int(i) for i in nodes["owner"][:n]}


def path_by_graph(rear: Circle, front: Circle, road: list[Circle], on: GroundArrays) -> float:
    """The same by brute force: shortest way (Dijkstra, scipy) over straight lines between points on the circles'
    lower halves (every 2 deg) and the ground's peaks, each line tested against every circle and peak."""
    slack = 2.5e-5  # chords of 2 deg cut the circles by r (1 - cos 1 deg) = 1.5e-5 m
    circles = [(x + 3.0, y, r) for x, y, r in [rear, front, *road]]
    turn = np.radians(np.arange(-90, 91, 2))
    points = [np.column_stack([x + r * np.sin(turn), y - r * np.cos(turn)]) for x, y, r in circles]
    start, end = circles[0][0] - circles[0][2], circles[1][0] + circles[1][2]
    peaks = np.column_stack([on.peaks["x"], on.peaks["y"]])
    peaks = peaks[(peaks[:, 0] > start) & (peaks[:, 0] < end)]
    p = np.concatenate([*points, peaks])
    legal = np.ones(len(p), dtype=bool)
    for x, y, r in circles:
        under = y - np.sqrt(np.maximum(r**2 - (p[:, 0] - x) ** 2, 0.0))
        legal &= (np.abs(p[:, 0] - x) >= r - 1e-12) | (p[:, 1] <= under + 1e-9)
    p = p[legal]
    p = p[np.argsort(p[:, 0], kind="stable")]
    rows, cols, costs = [], [], []
    for i in range(len(p) - 1):
        to = p[i + 1 :] - p[i]
        size = np.hypot(to[:, 0], to[:, 1])
        ok = size > 1e-9
        t = to / np.where(ok, size, 1.0)[:, None]
        for x, y, r in circles:
            cx, cy = x - p[i, 0], y - p[i, 1]
            along = t[:, 0] * cx + t[:, 1] * cy
            above = t[:, 0] * cy - t[:, 1] * cx
            ok &= ~((along > 0) & (along < size) & (above < r - slack))
        steep = to[:, 1] / np.maximum(to[:, 0], 1e-12)
        for x, y in peaks[peaks[:, 0] > p[i, 0]]:
            ok &= (p[i + 1 :, 0] <= x) | (p[i, 1] + steep * (x - p[i, 0]) >= y - 1e-9)
        j = np.flatnonzero(ok)
        rows.append(np.full(len(j), i))
        cols.append(i + 1 + j)
        costs.append(size[j])
    graph = coo_matrix((np.concatenate(costs), (np.concatenate(rows), np.concatenate(cols))), shape=(len(p), len(p)))
    return float(dijkstra(graph.tocsr(), indices=0)[len(p) - 1])


def compare(seeds: range) -> None:
    touched = 0
    for seed in seeds:
        case = corridor(seed)
        got, owners = path_by_kernel(*case)
        want = path_by_graph(*case)
        touched += any(i < 0 for i in owners)
        assert got == pytest.approx(want, abs=2e-4), seed
    assert touched > len(seeds) // 2, "the ground should matter in most corridors"


def test_funnel_against_brute_force_on_random_corridors() -> None:
    """Shortest path through 12 random corridors (7 circles, about 40 ridges) against a graph search that knows
    nothing of funnels. Tolerance 0.2 mm of 2.3 m: the graph's circles are polygons, which shortens wraps of
    up to 2 m of arc by (2 deg)^2 / 24 = 5e-5 and lets tangents cut in by 0.025 mm each."""
    compare(range(12))


@pytest.mark.slow
def test_funnel_against_brute_force_on_many_corridors() -> None:
    """The same on 200 corridors."""
    compare(range(12, 212))
