"""The lower run of the band: the shortest path that passes below the rings and above the ground.

First the order of contacts is found with the funnel algorithm (Lee and Preparata, Networks 14 (1984) 393;
Chazelle 1982) on points: each ring stands in by a fan of points on its lower half, the ground by its peaks.
Then the straight pieces between neighbours in that order are laid exactly, as common tangents of circles.

A ring pressed on the ground counts with the distance from its centre to the ground as its radius, so the
corridor never closes, and between two loaded wheels on flat ground the band lies exactly on the ground.
"""

from __future__ import annotations

import math

from sim.law.compile import kernel
from sim.law.ground import REACH, X, Y, cell
from sim.law.work import VERTICES, Work
from sim.model.arrays import Model

GROUND = -1
"""Node owner: the ground, not a ring."""

TX, TY, LENGTH, TENSION = range(4)
"""Columns of Work.span: direction (forward), length, tension."""


@kernel
def _add_gate(w: Work, n, x, y, owner):  # type: ignore[no-untyped-def]
    """Insert a point into the gates, kept sorted by x. Nearly always it goes at the end."""
    k = n
    while k > 0 and w.gate_xy[k - 1, 0] > x:
        w.gate_xy[k] = w.gate_xy[k - 1]
        w.gate_id[k] = w.gate_id[k - 1]
        k -= 1
    w.gate_xy[k, 0] = x
    w.gate_xy[k, 1] = y
    w.gate_id[k] = owner
    return n + 1


@kernel
def gates(m: Model, w: Work):  # type: ignore[no-untyped-def]
    """All points that may touch the lower run, by x: rings (pass below), ground peaks (pass above)."""
    rear, front = m.band[0].rear, m.band[0].front
    first = w.ring[rear, X] - w.ring[rear, REACH]
    last = w.ring[front, X] + w.ring[front, REACH]
    n = 0
    lowest = 1e9
    # Rings are listed from front to rear; the rear end comes first along the band.
    for pick in range(m.road + 2):
        i = rear if pick == 0 else (front if pick == m.road + 1 else m.road - pick)
        x, y, r = w.ring[i, X], w.ring[i, Y], w.ring[i, REACH]
        lowest = min(lowest, y - r)
        # Road wheels are never wrapped beyond 70 degrees; the ends are, up to their outermost points.
        begin = 0 if i == rear else 2
        end = VERTICES if i == front else VERTICES - 2
        for k in range(begin, end):
            gx = x + r * w.fan[k, 0]
            if first <= gx <= last:
                n = _add_gate(w, n, gx, y - r * w.fan[k, 1], i)
    g = m.ground
    for q in range(g.peak_from[cell(g, first) + 1], g.peak_from[cell(g, last) + 1]):
        if g.peak_y[q] > lowest and first < g.peak_x[q] < last:
            n = _add_gate(w, n, g.peak_x[q], g.peak_y[q], GROUND - q)
    return n


@kernel
def _turn(ax, ay, bx, by, cx, cy):  # type: ignore[no-untyped-def]
    """Twice the signed area of triangle abc: positive if c lies left of (above) the line a to b."""
    return (bx - ax) * (cy - ay) - (by - ay) * (cx - ax)


@kernel
def funnel(w: Work, n):  # type: ignore[no-untyped-def]
    """Owners of the corners of the shortest path from the first gate to the last, into node_ring.

    side 0: chain over the points to pass below (left turns), side 1: over those to pass above. Both start
    at the apex; a new point that cannot be seen past the other side moves the apex along it.
    Returns the number of nodes.
    """
    xy, ids = w.chain_xy, w.chain_id
    head0, tail0, head1, tail1 = 0, 0, 0, 0
    for side in range(2):
        xy[side, 0, 0] = w.gate_xy[0, 0]
        xy[side, 0, 1] = w.gate_xy[0, 1]
        ids[side, 0] = w.gate_id[0]
    nodes = 1
    w.node_ring[0] = w.gate_id[0]
    for k in range(1, n):
        px, py, owner = w.gate_xy[k, 0], w.gate_xy[k, 1], w.gate_id[k]
        side = 1 if owner < 0 else 0
        # The last gate is the end of the path and closes it like a point to pass below.
        sign = -1.0 if side == 1 else 1.0
        head = head1 if side == 1 else head0
        tail = tail1 if side == 1 else tail0
        other_head = head0 if side == 1 else head1
        other_tail = tail0 if side == 1 else tail1
        other = 1 - side
        while (
            tail > head
            and sign
            * _turn(
                xy[side, tail - 1, 0], xy[side, tail - 1, 1], xy[side, tail, 0], xy[side, tail, 1], px, py
            )
            <= 0.0
        ):
            tail -= 1
        if tail == head:
            while (
                other_tail > other_head
                and sign
                * _turn(
                    xy[other, other_head, 0],
                    xy[other, other_head, 1],
                    xy[other, other_head + 1, 0],
                    xy[other, other_head + 1, 1],
                    px,
                    py,
                )
                < 0.0
            ):
                other_head += 1
                w.node_ring[nodes] = ids[other, other_head]
                nodes += 1
            xy[side, head, 0] = xy[other, other_head, 0]
            xy[side, head, 1] = xy[other, other_head, 1]
            ids[side, head] = ids[other, other_head]
            tail = head
        tail += 1
        xy[side, tail, 0] = px
        xy[side, tail, 1] = py
        ids[side, tail] = owner
        if side == 1:
            head1, tail1, head0, tail0 = head, tail, other_head, other_tail
        else:
            head0, tail0, head1, tail1 = head, tail, other_head, other_tail
    for k in range(head0 + 1, tail0 + 1):
        w.node_ring[nodes] = ids[0, k]
        nodes += 1
    return nodes


@kernel
def _place(m: Model, w: Work, nodes):  # type: ignore[no-untyped-def]
    """Merge neighbours with one owner, then set each node's centre and radius."""
    n = 0
    for k in range(nodes):
        if n > 0 and w.node_ring[k] == w.node_ring[n - 1]:
            continue
        w.node_ring[n] = w.node_ring[k]
        n += 1
    for k in range(n):
        i = w.node_ring[k]
        if i < 0:
            w.node_xy[k, 0] = m.ground.peak_x[GROUND - i]
            w.node_xy[k, 1] = m.ground.peak_y[GROUND - i]
            w.node_xy[k, 2] = 0.0
        else:
            w.node_xy[k, 0] = w.ring[i, X]
            w.node_xy[k, 1] = w.ring[i, Y]
            w.node_xy[k, 2] = w.ring[i, REACH]
    return n


@kernel
def tangent(w: Work, k):  # type: ignore[no-untyped-def]
    """Lay span k: the common tangent below node k and node k + 1 (radius 0: through the point).

    Line with direction t and left normal n: (C1 - C0).n = r1 - r0, so its length is sqrt(d2 - (r1 - r0)2).
    """
    dx, dy = w.node_xy[k + 1, 0] - w.node_xy[k, 0], w.node_xy[k + 1, 1] - w.node_xy[k, 1]
    step = w.node_xy[k + 1, 2] - w.node_xy[k, 2]
    d2 = dx * dx + dy * dy
    length = math.sqrt(max(d2 - step * step, 0.0))
    if d2 > 0.0:
        w.span[k, TX] = (dx * length + dy * step) / d2
        w.span[k, TY] = (dy * length - dx * step) / d2
    else:
        w.span[k, TX] = 1.0
        w.span[k, TY] = 0.0
    w.span[k, LENGTH] = length


@kernel
def bend(w: Work, k):  # type: ignore[no-untyped-def]
    """Change of direction at node k, between span k - 1 and span k [rad], positive to the left (up)."""
    ax, ay, bx, by = w.span[k - 1, TX], w.span[k - 1, TY], w.span[k, TX], w.span[k, TY]
    return math.atan2(ax * by - ay * bx, ax * bx + ay * by)


@kernel
def lay(m: Model, w: Work):  # type: ignore[no-untyped-def]
    """The lower run: nodes and spans from the rear end to the front end. Returns the number of nodes.

    The fans are a little coarser than the circles, so a node may turn out to bend the wrong way by a hair;
    such a node does not touch and is dropped.
    """
    n = _place(m, w, funnel(w, gates(m, w)))
    for k in range(n - 1):
        tangent(w, k)
    k = 1
    while k < n - 1:
        ax, ay, bx, by = w.span[k - 1, TX], w.span[k - 1, TY], w.span[k, TX], w.span[k, TY]
        side = 1.0 if w.node_ring[k] >= 0 else -1.0
        if side * (ax * by - ay * bx) < 0.0:
            for j in range(k, n - 1):
                w.node_ring[j] = w.node_ring[j + 1]
                w.node_xy[j] = w.node_xy[j + 1]
            for j in range(k, n - 2):
                w.span[j] = w.span[j + 1]
            n -= 1
            tangent(w, k - 1)
            k = max(k - 1, 1)
        else:
            k += 1
    return n
