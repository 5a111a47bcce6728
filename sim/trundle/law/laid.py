"""The band laid round the whole loop: nodes from rear to front, spans between them, arcs round rings, length."""

from __future__ import annotations

import math

from trundle.law.compile import inner
from trundle.law.path import above, bend, lay, open_place
from trundle.law.turning import note_turning


@inner
def mark(w, nodes, n):
    """Note at every ring whether the band bends there, that is whether it is a node."""
    for k in range(n):
        if nodes[k].owner >= 0:
            w.ring[nodes[k].owner].on_band = 1


@inner
def span_under(nodes, n, x):
    """Number of the span below course position x."""
    k = 0
    while k < n - 2 and nodes[k + 1].x <= x:
        k += 1
    return k


@inner
def split(v, w, nodes, n, i):
    """Make ring i, which the band passes without a bend, a node of the span below it."""
    ring = w.ring[i]
    k = span_under(nodes, n, ring.x)
    n = open_place(nodes, n, k)
    before, node = nodes[k], nodes[k + 1]
    node.owner, node.x, node.y, node.r = i, ring.x, ring.y, ring.reach
    node.deep, node.whole, node.turning = v.ring[i].radius - ring.reach, before.whole, before.turning
    whole = before.length
    along = (ring.x - before.x) * before.tx + (ring.y - before.y) * before.ty
    along = min(max(along, 0.0), whole)
    before.length = along
    node.tx, node.ty, node.length = before.tx, before.ty, whole - along
    ring.on_band = 1
    return n


@inner
def gaps(v, w, nodes):
    """How far each ring stands off the band."""
    n = w.loop.nodes
    for i in range(v.nr):
        ring = w.ring[i]
        if ring.on_band == 0:
            off = above(nodes[span_under(nodes, n, ring.x)], ring.x, ring.y)
            ring.gap = max(0.0, off - v.ring[i].radius)


@inner
def wrap(ax, ay, bx, by):
    """Angle turned to the left from direction a to direction b, 0 to 2 pi [rad]."""
    turned = math.atan2(ax * by - ay * bx, ax * bx + ay * by)
    return turned if turned >= 0.0 else turned + 2.0 * math.pi


@inner
def lay_band(v, g, s, w, nodes, gates, chains):
    """Lay the whole loop: nodes, spans and arcs, and in w.loop how many nodes, the length without sag [m], and the
    directions (world) in which the band reaches the rear end and leaves the front end on top.

    Where it wraps a ring it lies on the part of the tyre that is not pressed flat: arcs count with the full
    radius. (With the reach they would shorten as the tyre is pressed in, and give tension work for nothing.) What
    that means for the forces: trundle.law.turning.
    """
    n = lay(v, g, s, w, nodes, gates, chains)
    mark(w, nodes, n)
    note_turning(v, w, nodes, n)
    for i in range(v.nr):
        if w.ring[i].load > 0.0 and w.ring[i].on_band == 0:
            n = split(v, w, nodes, n, i)
    b, loop, pose = v.band, w.loop, w.pose[0]
    loop.in_x, loop.in_y = pose.cos * b.in_x - pose.sin * b.in_y, pose.sin * b.in_x + pose.cos * b.in_y
    loop.out_x, loop.out_y = pose.cos * b.out_x - pose.sin * b.out_y, pose.sin * b.out_x + pose.cos * b.out_y
    for k in range(1, n - 1):
        node = nodes[k]
        node.arc = v.ring[node.owner].radius * max(0.0, bend(nodes, k)) if node.owner >= 0 else 0.0
    first, last = nodes[0], nodes[n - 1]
    first.arc = v.ring[b.rear].radius * wrap(loop.in_x, loop.in_y, first.tx, first.ty)
    last.arc = v.ring[b.front].radius * wrap(nodes[n - 2].tx, nodes[n - 2].ty, loop.out_x, loop.out_y)
    length = b.top_length + b.top_give * s.law.band.idler_shift_m
    for k in range(n - 1):
        length += nodes[k].length + nodes[k].arc
    length += last.arc
    loop.nodes, loop.path = n, length
