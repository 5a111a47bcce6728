"""The lower run of the band: the shortest path that passes below the rings and above the ground.

The order of contacts of the step before is tried first: contacts that would pull are dropped, rings and
ground peaks that the path runs through are put in. The shortest path through a corridor is unique, so an
order without either fault is the right one. If a few such rounds do not do, the order is sought afresh
(trundle.law.funnel).

The straight pieces between neighbours in the order are laid exactly, as common tangents of circles. A ring
pressed on the ground counts with the distance from its centre to the ground as its radius, so the corridor
never closes, and between two loaded wheels on flat ground the band lies exactly on the ground.
"""

from __future__ import annotations

import math

from trundle.law.compile import inner
from trundle.law.funnel import GROUND, funnel, gather_gates
from trundle.law.ground import cell
from trundle.law.state import MOST_ORDER

ROUNDS = 8
"""Repairs of the last step's order before it is sought afresh."""

_CLEAR = 1e-9
"""How far the path may run into a ring or peak before it counts as a fault [m]."""


@inner
def place_node(g, w, node):
    """Centre and radius of a node from its owner."""
    if node.owner < 0:
        peak = g.peaks[GROUND - node.owner]
        node.x, node.y, node.r = peak.x, peak.y, 0.0
    else:
        ring = w.ring[node.owner]
        node.x, node.y, node.r = ring.x, ring.y, ring.reach


@inner
def tangent(nodes, k):
    """Lay span k: the common tangent below node k and node k + 1 (radius 0: through the point).

    Line with direction t and left normal n: (C1 - C0).n = r1 - r0, so its length is sqrt(d2 - (r1 - r0)2).
    """
    here, there = nodes[k], nodes[k + 1]
    dx, dy = there.x - here.x, there.y - here.y
    step = there.r - here.r
    d2 = dx * dx + dy * dy
    length = math.sqrt(max(d2 - step * step, 0.0))
    here.tx, here.ty = 1.0, 0.0
    if d2 > 0.0:
        here.tx = (dx * length + dy * step) / d2
        here.ty = (dy * length - dx * step) / d2
    here.length = length


@inner
def bend(nodes, k):
    """Change of direction at node k, between span k - 1 and span k [rad], positive to the left (up)."""
    a, b = nodes[k - 1], nodes[k]
    return math.atan2(a.tx * b.ty - a.ty * b.tx, a.tx * b.tx + a.ty * b.ty)


@inner
def slight_bend(nodes, k):
    """The size of `bend` [rad], without its sign: 2 asin(d / 2), d the difference of the two directions.

    A band laid over a rounded hump has a hundred small bends, where the series in d does without an arc function.
    """
    dx, dy = nodes[k].tx - nodes[k - 1].tx, nodes[k].ty - nodes[k - 1].ty
    d2 = dx * dx + dy * dy
    if d2 > 0.01:
        return abs(bend(nodes, k))
    # Its next term is d^7 / 6800: below 2e-11 here.
    return math.sqrt(d2) * (1.0 + d2 * (1.0 / 24.0 + d2 * (3.0 / 640.0)))


@inner
def above(node, x, y):
    """How far a point lies to the left of (above) the line of a node's span [m]."""
    dx, dy = x - node.x, y - node.y
    # The span's line lies the node's radius below its centre.
    return dy * node.tx - dx * node.ty + node.r


@inner
def close_place(nodes, n, k):
    """Take node k out and lay the span across its place. Returns the new number of nodes."""
    for j in range(k, n - 1):
        nodes[j] = nodes[j + 1]
    tangent(nodes, k - 1)
    return n - 1


@inner
def open_place(nodes, n, k):
    """Make room for a node after node k, in the middle of span k. Returns the new number of nodes."""
    for j in range(n, k + 1, -1):
        nodes[j] = nodes[j - 1]
    return n + 1


@inner
def drop_pulling(nodes, n):
    """Drop nodes that bend the wrong way: the band would have to be pulled there. Returns how many are left."""
    k = 1
    while k < n - 1:
        before, node = nodes[k - 1], nodes[k]
        side = 1.0 if node.owner >= 0 else -1.0
        if side * (before.tx * node.ty - before.ty * node.tx) < 0.0:
            n = close_place(nodes, n, k)
            k = max(k - 1, 1)
        else:
            k += 1
    return n


@inner
def worst_fault(v, g, w, nodes, n):
    """The ring or peak that a straight piece runs through deepest: (owner, span or -1 if none).

    Between two straight pieces the band lies on a ring, and no ground is inside a ring's reach.
    """
    deepest, owner, where = _CLEAR, 0, -1
    for k in range(n - 1):
        node, ahead = nodes[k], nodes[k + 1]
        begin_x, end_x = node.x + node.r * node.ty, ahead.x + ahead.r * node.ty
        if end_x <= begin_x:
            continue
        for i in range(v.road):
            x, r = w.ring[i].x, w.ring[i].reach
            # What runs into a ring passes its centre within its reach.
            if x + r <= begin_x or x - r >= end_x:
                continue
            off = above(node, x, w.ring[i].y)
            foot = x + off * node.ty
            deep = r - off
            if deep > deepest and begin_x < foot < end_x and node.owner != i and ahead.owner != i:
                deepest, owner, where = deep, i, k
        # Between two peaks lie just the peaks numbered between theirs.
        begin = GROUND - node.owner + 1 if node.owner < 0 else g.cells[cell(g, begin_x)].peak_from
        end = GROUND - ahead.owner if ahead.owner < 0 else g.cells[cell(g, end_x) + 1].peak_from
        for q in range(begin, end):
            x = g.peaks[q].x
            deep = above(node, x, g.peaks[q].y)
            if deep > deepest and begin_x < x < end_x:
                deepest, owner, where = deep, GROUND - q, k
    return owner, where


@inner
def mend(v, g, w, nodes, n):
    """Lay the spans of an order and repair it. Returns the number of nodes, and whether it is free of faults."""
    for k in range(n):
        place_node(g, w, nodes[k])
    for k in range(n - 1):
        tangent(nodes, k)
    for _ in range(ROUNDS):
        n = drop_pulling(nodes, n)
        owner, k = worst_fault(v, g, w, nodes, n)
        if k < 0:
            return n, True
        n = open_place(nodes, n, k)
        nodes[k + 1].owner = owner
        place_node(g, w, nodes[k + 1])
        tangent(nodes, k)
        tangent(nodes, k + 1)
    return n, False


@inner
def lay(v, g, s, w, nodes, gates, chains):
    """The lower run: nodes and spans from the rear end to the front end. Returns the number of nodes."""
    known, kept = s.order, w.order
    n = known.n if 0 <= known.n <= MOST_ORDER else 0
    for k in range(n):
        nodes[k].owner = known.owner[k]
        # A State may be from another course, or set by hand.
        if nodes[k].owner >= v.nr or GROUND - nodes[k].owner >= g.peaks.shape[0]:
            n = 0
            break
    good = False
    if n >= 2 and nodes[0].owner == v.band.rear and nodes[n - 1].owner == v.band.front:
        n, good = mend(v, g, w, nodes, n)
    if not good:
        n = funnel(gates, gather_gates(v, g, w, gates), chains, nodes)
        n, good = mend(v, g, w, nodes, n)
    kept.n = n if n <= MOST_ORDER else 0
    for k in range(kept.n):
        kept.owner[k] = nodes[k].owner
    return n
