"""Where the band can grip the ground, and how fast it runs there."""

from __future__ import annotations

import math

from trundle.law.compile import inner
from trundle.law.drive import ALONG_X, ALONG_Y, GRIP, NODE, OFFSET, PULL, RING
from trundle.law.ground import LOAD, NX, NY, VX, VY
from trundle.law.path import TX, TY, slight_bend
from trundle.law.work import Work
from trundle.model.arrays import Model


@inner
def contacts(m: Model, w: Work, n):
    """Where the band can grip: nodes pressed on the ground. Returns how many, and the growth of the whole
    lower run counted away from the sprocket [m/s].

    How fast the band runs through a node follows from its speed at the sprocket and from how fast the spans
    between grow: a span that grows takes in more in front than it gives out behind. It is worked from the
    sprocket along the lower run; but while that run hangs loose next to the sprocket, the taut way from the
    sprocket is the other, over the top. `loose` (0 to 1) goes from the one to the other. What the contacts feel of
    it is less while the top run is slack itself: its sag gives way first, a spring in series with the tread's
    shear.
    """
    at_rear = m.band[0].sprocket == m.band[0].rear
    # How fast it runs through node k, less u, worked from the sprocket's end.
    flow = 0.0
    count = 0
    for step in range(n):
        k = step if at_rear else n - 1 - step
        if step > 0:
            j = k - 1 if at_rear else k
            ax, ay, bx, by = 0.0, 0.0, 0.0, 0.0
            if w.node_ring[j] >= 0:
                ax, ay = w.ring[w.node_ring[j], VX], w.ring[w.node_ring[j], VY]
            if w.node_ring[j + 1] >= 0:
                bx, by = w.ring[w.node_ring[j + 1], VX], w.ring[w.node_ring[j + 1], VY]
            growth = (bx - ax) * w.span[j, TX] + (by - ay) * w.span[j, TY]
            flow += growth if at_rear else -growth
        i = w.node_ring[k]
        if i >= 0:
            if w.ring[i, LOAD] <= 0.0:
                continue
            tx, ty = w.ring[i, NY], -w.ring[i, NX]
            load = w.ring[i, LOAD]
            w.contact[count, OFFSET] = flow - (w.ring[i, VX] * tx + w.ring[i, VY] * ty)
        else:
            if k == 0 or k == n - 1:
                continue
            tx, ty = w.span[k - 1, TX] + w.span[k, TX], w.span[k - 1, TY] + w.span[k, TY]
            size = math.sqrt(tx * tx + ty * ty)
            tx, ty = tx / size, ty / size
            # The load on the ground under a bend is tension times the bend; the tension is the last step's.
            load = 0.5 * (w.carry[0].tight + w.carry[0].slack) * slight_bend(w.span, k)
            w.contact[count, OFFSET] = flow
        w.contact[count, RING] = i if i >= 0 else -1
        w.contact[count, ALONG_X] = tx
        w.contact[count, ALONG_Y] = ty
        w.contact[count, GRIP] = m.drive[0].grip * load
        w.contact[count, PULL] = 0.0
        w.contact[count, NODE] = k
        count += 1
    grip = 0.0
    for q in range(count):
        grip += w.contact[q, GRIP]
    b = m.band[0]
    # Before the first step there is none yet; it is never less than this (see `track`), but for a weightless band.
    top = max(w.carry[0].top_tension, 0.5 * b.weight * b.longest, 1.0)
    yields = b.weight * b.weight * b.sag_sum / (12.0 * top * top * top) + b.top_length / b.stretch
    w.carry[0].over_top = w.carry[0].loose / (1.0 + yields * grip / m.drive[0].shear)
    for q in range(count):
        w.contact[q, OFFSET] -= w.carry[0].over_top * flow
    return count, flow
