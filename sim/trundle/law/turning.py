"""What the turning of a straight piece takes, where the tyre at its end is pressed in.

A straight piece is laid as the tangent of the pressed tyre, arcs count with the tyre's full radius
(trundle.law.laid). So when a piece between nodes a and b turns to the left, the loop grows by (deep_a - deep_b) per
radian over what its two ends give it by moving apart: it leaves the tyre `deep` further out than its line of action
goes. Tension T does work on that, T (deep_a - deep_b) per radian: a couple, whose forces at the two ends are the exact
gradient of the length that the tension is worked out from (virtual work). It is a few per cent of T at a wheel that
stands level, and a tenth of T where an edge presses the tyre in deep; without it the ledger loses or gains all that.
The piece turns as its ends move across it, and as the ground takes more or less of their tyres.
"""

from __future__ import annotations

from trundle.law.compile import inner
from trundle.law.place import push_ring
from trundle.law.state import TRACK

TOUCHES_M = 1e-6
"""A piece shorter than this between a ring and a peak of the ground: the peak is what presses the tyre in [m]."""


@inner
def tilt(w, node, tx, ty, whole, side):
    """How far the direction (tx, ty) of a straight piece of length `whole` turns per metre by which its end at a node
    moves, as a vector [rad/m]. side: 1 for the end in front, -1 for that behind."""
    if node.owner < 0:
        return 0.0, 0.0
    ring = w.ring[node.owner]
    if whole < TOUCHES_M:
        # The tyre stands on the peak at the other end, and the band between the two turns with it about that.
        return -tx / node.r, -ty / node.r
    return side * (-ty - ring.away_x) / whole, side * (tx - ring.away_y) / whole


@inner
def note_turning(v, w, nodes, n):
    """Note at every node how far its tyre is pressed in, and how its straight piece turns."""
    for k in range(n):
        node = nodes[k]
        node.deep = v.ring[node.owner].radius - node.r if node.owner >= 0 else 0.0
    for k in range(n - 1):
        here, there = nodes[k], nodes[k + 1]
        here.whole, here.turning = here.length, 0.0
        if here.owner >= 0:
            ring = w.ring[here.owner]
            gx, gy = tilt(w, here, here.tx, here.ty, here.whole, -1.0)
            here.turning += gx * ring.vx + gy * ring.vy
        if there.owner >= 0:
            ring = w.ring[there.owner]
            gx, gy = tilt(w, there, here.tx, here.ty, here.whole, 1.0)
            here.turning += gx * ring.vx + gy * ring.vy


@inner
def turn_end(v, w, node, couple, whole, gx, gy, side):
    """Press the ring at one end of a straight piece, and note the force in w.loop. couple [N.m]; gx, gy: its `tilt`."""
    fx, fy = -couple * gx, -couple * gy
    ring = w.ring[node.owner]
    if whole >= TOUCHES_M and ring.reach < v.ring[node.owner].radius:
        w.next.ring[node.owner].turned_N += side * couple / whole
    push_ring(v, w, TRACK, node.owner, fx, fy)
    loop = w.loop
    loop.track_x += fx
    loop.track_y += fy
    loop.ground_x += fx
    loop.ground_y += fy


@inner
def press_turning(v, w, nodes):
    """Forces of the couples, at the rings; the ground has what is left of each."""
    n, k = w.loop.nodes, 0
    for i in range(v.nr):
        w.next.ring[i].turned_N = 0.0
    while k < n - 1:
        behind, couple = nodes[k], 0.0
        while True:
            couple += nodes[k].tension * (nodes[k].deep - nodes[k + 1].deep)
            k += 1
            if k == n - 1 or nodes[k].arc > 0.0 or nodes[k].owner < 0:
                break
        ahead = nodes[k]
        if couple == 0.0:
            continue
        if behind.owner >= 0:
            gx, gy = tilt(w, behind, behind.tx, behind.ty, behind.whole, -1.0)
            turn_end(v, w, behind, couple, behind.whole, gx, gy, -1.0)
        if ahead.owner >= 0:
            gx, gy = tilt(w, ahead, behind.tx, behind.ty, behind.whole, 1.0)
            turn_end(v, w, ahead, couple, behind.whole, gx, gy, 1.0)
