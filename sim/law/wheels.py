"""The pull of a vehicle without a track, wheel by wheel."""

from __future__ import annotations

from sim.law.compile import inner
from sim.law.drive import ALONG_X, ALONG_Y, GRIP, OFFSET, PULL, RING, run_on, set_target
from sim.law.ground import LOAD, NX, NY, VX, VY, X, Y, push
from sim.law.work import TRACK, Work
from sim.model.arrays import Model


@inner
def wheels(m: Model, w: Work, dt):
    """A vehicle without a track: every road wheel is driven and pulls by its load, as through differentials.

    One mean slip stands for all: wheels chained to one shaft would also hold each other, and the hull's pitch
    with them, which is not modelled. A wheel turns on its bearing, so the pull acts at its axle; the motor's
    torque is held by the hull.
    """
    if dt <= 0.0:
        return
    count = 0
    for i in range(m.road):
        if w.ring[i, LOAD] > 0.0:
            tx, ty = w.ring[i, NY], -w.ring[i, NX]
            w.contact[count, RING] = i
            w.contact[count, ALONG_X] = tx
            w.contact[count, ALONG_Y] = ty
            w.contact[count, GRIP] = m.drive[0].grip * w.ring[i, LOAD]
            w.contact[count, OFFSET] = -(w.ring[i, VX] * tx + w.ring[i, VY] * ty)
            count += 1
    set_target(m, w, dt)
    radius = m.rings[0].radius
    run_on(m, w, count, radius * (w.motion[0, 2] + w.gain[0, 2]), dt)
    w.load[TRACK, 0, 2] += w.carry[0].push * radius
    for q in range(count):
        i = int(w.contact[q, RING])
        p = w.contact[q, PULL]
        fx, fy = p * w.contact[q, ALONG_X], p * w.contact[q, ALONG_Y]
        push(w.load, w.pose, TRACK, m.rings[i].body, w.ring[i, X], w.ring[i, Y], fx, fy)
