"""The lower run of the band: the shortest path that passes below the rings and above the ground.

The order of contacts of the step before is tried first: contacts that would pull are dropped, rings and
ground peaks that the path runs through are put in. The shortest path through a corridor is unique, so an
order without either fault is the right one. If a few such rounds do not do, the order is sought afresh with
the funnel algorithm (Lee and Preparata, Networks 14 (1984) 393; Chazelle 1982) on points: each ring stands
in by a fan of points on its lower half, the ground by its peaks.

The straight pieces between neighbours in the order are laid exactly, as common tangents of circles. A ring
pressed on the ground counts with the distance from its centre to the ground as its radius, so the corridor
never closes, and between two loaded wheels on flat ground the band lies exactly on the ground.
"""

from __future__ import annotations

import math

from trundle.law.compile import inner
from trundle.law.ground import REACH, X, Y, cell
from trundle.law.work import VERTICES, Work
from trundle.model.arrays import Model

GROUND = -1
"""Node owner: the ground. GROUND - q is peak number q."""

TX, TY, LENGTH, TENSION = range(4)
"""Columns of Work.span: direction (forward), length, tension."""

ROUNDS = 8
"""Repairs of the last step's order before it is sought afresh."""

_CLEAR = 1e-9
"""How far the path may run into a ring or peak before it counts as a fault [m]."""


@inner
def _add_gate(gate_xy, gate_id, n, x, y, owner):
    """Insert a point into the gates, kept sorted by x. Nearly always it goes at the end."""
    k = n
    while k > 0 and gate_xy[k - 1, 0] > x:
        gate_xy[k, 0] = gate_xy[k - 1, 0]
        gate_xy[k, 1] = gate_xy[k - 1, 1]
        gate_id[k] = gate_id[k - 1]
        k -= 1
    gate_xy[k, 0] = x
    gate_xy[k, 1] = y
    gate_id[k] = owner
    return n + 1


@inner
def gates(m: Model, w: Work):
    """All points that may touch the lower run, by x: rings (pass below), ground peaks (pass above)."""
    rear, front = m.band[0].rear, m.band[0].front
    ring, fan = w.ring, w.fan
    first = ring[rear, X] - ring[rear, REACH]
    last = ring[front, X] + ring[front, REACH]
    n = 0
    lowest = 1e9
    # Rings are listed from front to rear; the rear end comes first along the band.
    for pick in range(m.road + 2):
        i = rear if pick == 0 else (front if pick == m.road + 1 else m.road - pick)
        x, y, r = ring[i, X], ring[i, Y], ring[i, REACH]
        lowest = min(lowest, y - r)
        # Road wheels are never wrapped beyond 70 degrees; the ends are, up to their outermost points.
        begin = 0 if i == rear else 2
        end = VERTICES if i == front else VERTICES - 2
        for k in range(begin, end):
            gx = x + r * fan[k, 0]
            if first <= gx <= last:
                n = _add_gate(w.gate_xy, w.gate_id, n, gx, y - r * fan[k, 1], i)
    g = m.ground
    for q in range(g.peak_from[cell(g, first) + 1], g.peak_from[cell(g, last) + 1]):
        if g.peak_y[q] > lowest and first < g.peak_x[q] < last:
            n = _add_gate(w.gate_xy, w.gate_id, n, g.peak_x[q], g.peak_y[q], GROUND - q)
    return n


@inner
def _bends_in(xy, side, a, b, px, py, sign):
    """Twice the signed area of the triangle of chain points a and b and the point p, times sign."""
    ax, ay = xy[side, a, 0], xy[side, a, 1]
    bx, by = xy[side, b, 0], xy[side, b, 1]
    return sign * ((bx - ax) * (py - ay) - (by - ay) * (px - ax))


@inner
def funnel(gate_xy, gate_id, xy, ids, nodes_out, n):
    """Owners of the corners of the shortest path from the first gate to the last, into nodes_out.

    side 0: chain over the points to pass below (left turns), side 1: over those to pass above. Both start
    at the apex; a new point that cannot be seen past the other side moves the apex along it.
    Returns the number of nodes.
    """
    head0, tail0, head1, tail1 = 0, 0, 0, 0
    for side in range(2):
        xy[side, 0, 0] = gate_xy[0, 0]
        xy[side, 0, 1] = gate_xy[0, 1]
        ids[side, 0] = gate_id[0]
    nodes = 1
    nodes_out[0] = gate_id[0]
    for k in range(1, n):
        px, py, owner = gate_xy[k, 0], gate_xy[k, 1], gate_id[k]
        side = 1 if owner < 0 else 0
        # The last gate is the end of the path and closes it like a point to pass below.
        sign = -1.0 if side == 1 else 1.0
        head = head1 if side == 1 else head0
        tail = tail1 if side == 1 else tail0
        other_head = head0 if side == 1 else head1
        other_tail = tail0 if side == 1 else tail1
        other = 1 - side
        while tail > head and _bends_in(xy, side, tail - 1, tail, px, py, sign) <= 0.0:
            tail -= 1
        if tail == head:
            while other_tail > other_head and _bends_in(xy, other, other_head, other_head + 1, px, py, sign) < 0.0:
                other_head += 1
                nodes_out[nodes] = ids[other, other_head]
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
        nodes_out[nodes] = ids[0, k]
        nodes += 1
    # Neighbours with one owner are one node.
    n = 0
    for k in range(nodes):
        if n == 0 or nodes_out[k] != nodes_out[n - 1]:
            nodes_out[n] = nodes_out[k]
            n += 1
    return n


@inner
def _place(peak_x, peak_y, ring, node_ring, node_xy, k):
    """Centre and radius of node k from its owner."""
    i = node_ring[k]
    if i < 0:
        node_xy[k, 0] = peak_x[GROUND - i]
        node_xy[k, 1] = peak_y[GROUND - i]
        node_xy[k, 2] = 0.0
    else:
        node_xy[k, 0] = ring[i, X]
        node_xy[k, 1] = ring[i, Y]
        node_xy[k, 2] = ring[i, REACH]


@inner
def tangent(node_xy, span, k):
    """Lay span k: the common tangent below node k and node k + 1 (radius 0: through the point).

    Line with direction t and left normal n: (C1 - C0).n = r1 - r0, so its length is sqrt(d2 - (r1 - r0)2).
    """
    dx, dy = node_xy[k + 1, 0] - node_xy[k, 0], node_xy[k + 1, 1] - node_xy[k, 1]
    step = node_xy[k + 1, 2] - node_xy[k, 2]
    d2 = dx * dx + dy * dy
    length = math.sqrt(max(d2 - step * step, 0.0))
    if d2 > 0.0:
        span[k, TX] = (dx * length + dy * step) / d2
        span[k, TY] = (dy * length - dx * step) / d2
    else:
        span[k, TX] = 1.0
        span[k, TY] = 0.0
    span[k, LENGTH] = length


@inner
def bend(span, k):
    """Change of direction at node k, between span k - 1 and span k [rad], positive to the left (up)."""
    ax, ay, bx, by = span[k - 1, TX], span[k - 1, TY], span[k, TX], span[k, TY]
    return math.atan2(ax * by - ay * bx, ax * bx + ay * by)


@inner
def slight_bend(span, k):
    """The size of `bend` [rad], without its sign: 2 asin(d / 2), d the difference of the two directions.

    A band laid over a rounded hump has a hundred small bends, where the series in d does without an arc function.
    """
    dx, dy = span[k, TX] - span[k - 1, TX], span[k, TY] - span[k - 1, TY]
    d2 = dx * dx + dy * dy
    if d2 > 0.01:
        return abs(bend(span, k))
    # Its next term is d^7 / 6800: below 2e-11 here.
    return math.sqrt(d2) * (1.0 + d2 * (1.0 / 24.0 + d2 * (3.0 / 640.0)))


@inner
def above(node_xy, span, k, x, y):
    """How far a point lies to the left of (above) the line of span k [m]."""
    dx, dy = x - node_xy[k, 0], y - node_xy[k, 1]
    # The span's line lies the node's radius below its centre.
    return dy * span[k, TX] - dx * span[k, TY] + node_xy[k, 2]


@inner
def _remove(node_ring, node_xy, span, n, k):
    """Take node k out and lay the span across its place. Returns the new number of nodes."""
    for j in range(k, n - 1):
        node_ring[j] = node_ring[j + 1]
        for c in range(3):
            node_xy[j, c] = node_xy[j + 1, c]
    for j in range(k, n - 2):
        for c in range(3):
            span[j, c] = span[j + 1, c]
    tangent(node_xy, span, k - 1)
    return n - 1


@inner
def open_place(node_ring, node_xy, span, n, k):
    """Make room for a node after node k, in the middle of span k. Returns the new number of nodes."""
    for j in range(n, k + 1, -1):
        node_ring[j] = node_ring[j - 1]
        for c in range(3):
            node_xy[j, c] = node_xy[j - 1, c]
    for j in range(n - 1, k, -1):
        for c in range(3):
            span[j, c] = span[j - 1, c]
    return n + 1


@inner
def _drop_pulling(node_ring, node_xy, span, n):
    """Drop nodes that bend the wrong way: the band would have to be pulled there. Returns how many are left."""
    k = 1
    while k < n - 1:
        side = 1.0 if node_ring[k] >= 0 else -1.0
        if side * (span[k - 1, TX] * span[k, TY] - span[k - 1, TY] * span[k, TX]) < 0.0:
            n = _remove(node_ring, node_xy, span, n, k)
            k = max(k - 1, 1)
        else:
            k += 1
    return n


@inner
def _worst(m: Model, w: Work, n):
    """The ring or peak that a straight piece runs through deepest: (owner, span or -1 if none).

    Between two straight pieces the band lies on a ring, and no ground is inside a ring's reach.
    """
    node_ring, node_xy, span, ring, g = w.node_ring, w.node_xy, w.span, w.ring, m.ground
    deepest, owner, where = _CLEAR, 0, -1
    for k in range(n - 1):
        ty = span[k, TY]
        begin_x, end_x = node_xy[k, 0] + node_xy[k, 2] * ty, node_xy[k + 1, 0] + node_xy[k + 1, 2] * ty
        if end_x <= begin_x:
            continue
        for i in range(m.road):
            x, r = ring[i, X], ring[i, REACH]
            # What runs into a ring passes its centre within its reach.
            if x + r <= begin_x or x - r >= end_x:
                continue
            off = above(node_xy, span, k, x, ring[i, Y])
            foot = x + off * ty
            deep = r - off
            if deep > deepest and begin_x < foot < end_x and node_ring[k] != i and node_ring[k + 1] != i:
                deepest, owner, where = deep, i, k
        # Between two peaks lie just the peaks numbered between theirs.
        here, there = node_ring[k], node_ring[k + 1]
        begin = GROUND - here + 1 if here < 0 else g.peak_from[cell(g, begin_x)]
        end = GROUND - there if there < 0 else g.peak_from[cell(g, end_x) + 1]
        for q in range(begin, end):
            x = g.peak_x[q]
            deep = above(node_xy, span, k, x, g.peak_y[q])
            if deep > deepest and begin_x < x < end_x:
                deepest, owner, where = deep, GROUND - q, k
    return owner, where


@inner
def _settle(m: Model, w: Work, n):
    """Lay the spans of an order and repair it. Returns the number of nodes, and whether it is free of faults."""
    node_ring, node_xy, span = w.node_ring, w.node_xy, w.span
    for k in range(n):
        _place(m.ground.peak_x, m.ground.peak_y, w.ring, node_ring, node_xy, k)
    for k in range(n - 1):
        tangent(node_xy, span, k)
    for _ in range(ROUNDS):
        n = _drop_pulling(node_ring, node_xy, span, n)
        owner, k = _worst(m, w, n)
        if k < 0:
            return n, True
        n = open_place(node_ring, node_xy, span, n, k)
        node_ring[k + 1] = owner
        _place(m.ground.peak_x, m.ground.peak_y, w.ring, node_ring, node_xy, k + 1)
        tangent(node_xy, span, k)
        tangent(node_xy, span, k + 1)
    return n, False


@inner
def lay(m: Model, w: Work):
    """The lower run: nodes and spans from the rear end to the front end. Returns the number of nodes."""
    n = w.order[0]
    good = False
    if n >= 2:
        for k in range(n):
            w.node_ring[k] = w.order[k + 1]
        n, good = _settle(m, w, n)
    if not good:
        n = funnel(w.gate_xy, w.gate_id, w.chain_xy, w.chain_id, w.node_ring, gates(m, w))
        n, good = _settle(m, w, n)
    w.order[0] = n
    for k in range(n):
        w.order[k + 1] = w.node_ring[k]
    return n
