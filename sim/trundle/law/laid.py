"""The band laid round the whole loop: nodes from rear to front, spans between them, arcs round rings, length."""

from __future__ import annotations

import math

from trundle.law.compile import inner, merged
from trundle.law.ground import GAP, LOAD, ON_BAND, REACH, X, Y
from trundle.law.path import LENGTH, TX, TY, above, bend, lay, open_place
from trundle.law.work import Work
from trundle.model.arrays import Model


@inner
def _mark(ring, node_ring, n):
    """Note at every ring whether the band bends or presses there, that is whether it is a node."""
    for i in range(ring.shape[0]):
        ring[i, ON_BAND] = 0.0
    for k in range(n):
        if node_ring[k] >= 0:
            ring[node_ring[k], ON_BAND] = 1.0


@inner
def _span_under(node_xy, n, x):
    """Number of the span below course position x."""
    k = 0
    while k < n - 2 and node_xy[k + 1, 0] <= x:
        k += 1
    return k


@inner
def _split(ring, node_ring, node_xy, span, n, i):
    """Make ring i, which the band passes without a bend, a node of the span below it."""
    x, y = ring[i, X], ring[i, Y]
    k = _span_under(node_xy, n, x)
    n = open_place(node_ring, node_xy, span, n, k)
    node_ring[k + 1] = i
    node_xy[k + 1, 0] = x
    node_xy[k + 1, 1] = y
    node_xy[k + 1, 2] = ring[i, REACH]
    whole = span[k, LENGTH]
    along = (x - node_xy[k, 0]) * span[k, TX] + (y - node_xy[k, 1]) * span[k, TY]
    along = min(max(along, 0.0), whole)
    span[k, LENGTH] = along
    span[k + 1, TX] = span[k, TX]
    span[k + 1, TY] = span[k, TY]
    span[k + 1, LENGTH] = whole - along
    return n


@inner
def gaps(rings, ring, node_xy, span, n):
    """How far each road wheel stands off the band."""
    for i in range(ring.shape[0]):
        ring[i, GAP] = 0.0
        if ring[i, ON_BAND] == 0.0:
            x, y = ring[i, X], ring[i, Y]
            off = above(node_xy, span, _span_under(node_xy, n, x), x, y)
            ring[i, GAP] = max(0.0, off - rings[i].radius)


@inner
def _wrap(ax, ay, bx, by):
    """Angle turned to the left from direction a to direction b, 0 to 2 pi [rad]."""
    turned = math.atan2(ax * by - ay * bx, ax * bx + ay * by)
    return turned if turned >= 0.0 else turned + 2.0 * math.pi


@merged
def band_path(m: Model, w: Work):
    """Lay the whole loop. Returns the number of nodes, the loop's length without sag [m], and the directions
    (world) in which the band reaches the rear end and leaves the front end on top.

    Where it wraps a ring it lies on the part of the tyre that is not pressed flat: arcs count with the full
    radius. (With the reach they would shorten as the tyre is pressed in, and give tension work for nothing.)
    """
    n = lay(m, w)
    _mark(w.ring, w.node_ring, n)
    for pick in range(m.rings.shape[0]):
        if w.ring[pick, LOAD] > 0.0 and w.ring[pick, ON_BAND] == 0.0:
            n = _split(w.ring, w.node_ring, w.node_xy, w.span, n, pick)
            w.ring[pick, ON_BAND] = 1.0
    b = m.band[0]
    c, s = w.pose[0, 2], w.pose[0, 3]
    in_x, in_y = c * b.in_x - s * b.in_y, s * b.in_x + c * b.in_y
    out_x, out_y = c * b.out_x - s * b.out_y, s * b.out_x + c * b.out_y
    arc = w.arc
    for k in range(1, n - 1):
        arc[k] = 0.0
        if w.node_ring[k] >= 0:
            arc[k] = m.rings[w.node_ring[k]].radius * max(0.0, bend(w.span, k))
    arc[0] = m.rings[b.rear].radius * _wrap(in_x, in_y, w.span[0, TX], w.span[0, TY])
    arc[n - 1] = m.rings[b.front].radius * _wrap(w.span[n - 2, TX], w.span[n - 2, TY], out_x, out_y)
    length = b.top_length + b.top_give * w.carry[0].idler_shift
    for k in range(n - 1):
        length += w.span[k, LENGTH] + arc[k]
    length += arc[n - 1]
    return n, length, in_x, in_y, out_x, out_y
