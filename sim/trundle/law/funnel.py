"""The order of contacts sought afresh: the funnel algorithm on points.

Lee and Preparata, Networks 14 (1984) 393; Chazelle 1982. Each ring stands in by a fan of points on its lower half, the
ground by its peaks.
"""

from __future__ import annotations

import numpy as np

from trundle.law.compile import inner
from trundle.law.ground import peaks_inside
from trundle.law.scratch import VERTICES

GROUND = -1
"""Owner of a gate or node: the ground. GROUND - q is peak number q; 0 and more are rings."""

_FAN = np.radians(np.linspace(-90.0, 90.0, VERTICES))
_FAN_X, _FAN_Y = np.sin(_FAN), np.cos(_FAN)


@inner
def add_gate(gates, n, x, y, owner):
    """Insert a point into the gates, kept sorted by x. Nearly always it goes at the end."""
    k = n
    while k > 0 and gates[k - 1].x > x:
        gates[k] = gates[k - 1]
        k -= 1
    gate = gates[k]
    gate.x, gate.y, gate.owner = x, y, owner
    return n + 1


@inner
def gather_gates(v, g, w, gates):
    """All points that may touch the lower run, by x: rings (pass below), ground peaks (pass above)."""
    rear, front = v.band.rear, v.band.front
    first = w.ring[rear].x - w.ring[rear].reach
    last = w.ring[front].x + w.ring[front].reach
    n = 0
    lowest = 1e9
    # Rings are listed from front to rear; the rear end comes first along the band.
    for pick in range(v.road + 2):
        i = rear if pick == 0 else (front if pick == v.road + 1 else v.road - pick)
        x, y, r = w.ring[i].x, w.ring[i].y, w.ring[i].reach
        lowest = min(lowest, y - r)
        # Road wheels are never wrapped beyond 70 degrees; the ends are, up to their outermost points.
        begin = 0 if i == rear else 2
        end = VERTICES if i == front else VERTICES - 2
        for k in range(begin, end):
            gx = x + r * _FAN_X[k]
            if first <= gx <= last:
                n = add_gate(gates, n, gx, y - r * _FAN_Y[k], i)
    begin, end = peaks_inside(g, first, last)
    for q in range(begin, end):
        peak = g.peaks[q]
        if peak.y > lowest and first < peak.x < last:
            n = add_gate(gates, n, peak.x, peak.y, GROUND - q)
    return n


@inner
def bends_in(chain, a, b, px, py, sign):
    """Twice the signed area of the triangle of chain points a and b and the point p, times sign."""
    ax, ay, bx, by = chain[a].x, chain[a].y, chain[b].x, chain[b].y
    return sign * ((bx - ax) * (py - ay) - (by - ay) * (px - ax))


@inner
def funnel(gates, n, chains, nodes):
    """Owners of the corners of the shortest path from the first of n gates to the last, into nodes.

    chains[0]: chain over the points to pass below (left turns), chains[1]: over those to pass above. Both start
    at the apex; a new point that cannot be seen past the other side moves the apex along it.
    Returns the number of nodes.
    """
    head0, tail0, head1, tail1 = 0, 0, 0, 0
    chains[0, 0] = gates[0]
    chains[1, 0] = gates[0]
    count = 1
    nodes[0].owner = gates[0].owner
    for k in range(1, n):
        gate = gates[k]
        side = 1 if gate.owner < 0 else 0
        # The last gate is the end of the path and closes it like a point to pass below.
        sign = -1.0 if side == 1 else 1.0
        own, other = chains[side], chains[1 - side]
        head = head1 if side == 1 else head0
        tail = tail1 if side == 1 else tail0
        other_head = head0 if side == 1 else head1
        other_tail = tail0 if side == 1 else tail1
        while tail > head and bends_in(own, tail - 1, tail, gate.x, gate.y, sign) <= 0.0:
            tail -= 1
        if tail == head:
            while other_tail > other_head and bends_in(other, other_head, other_head + 1, gate.x, gate.y, sign) < 0.0:
                other_head += 1
                nodes[count].owner = other[other_head].owner
                count += 1
            own[head] = other[other_head]
            tail = head
        tail += 1
        own[tail] = gates[k]
        if side == 1:
            head1, tail1, head0, tail0 = head, tail, other_head, other_tail
        else:
            head0, tail0, head1, tail1 = head, tail, other_head, other_tail
    for k in range(head0 + 1, tail0 + 1):
        nodes[count].owner = chains[0, k].owner
        count += 1
    # Neighbours with one owner are one node.
    unlike = 0
    for k in range(count):
        if unlike == 0 or nodes[k].owner != nodes[unlike - 1].owner:
            nodes[unlike].owner = nodes[k].owner
            unlike += 1
    return unlike
