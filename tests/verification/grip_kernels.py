"""Wrapped pieces of the grip law that the tests call one by one."""

from __future__ import annotations

from trundle.law import grip as law
from trundle.law.compile import kernel


@kernel
def contact(d, shear, load, slip, dt, stays):
    """A step of one contact. Returns pull [N], work lost [J] to the change of load and travel, and to slip."""
    off = law.carry(d[0], shear[0], load, stays)
    pull, lost = law.give_way(d[0], shear[0], slip, dt)
    return pull, off, lost


@kernel
def block(d, shear, loads, mass, down, dt, place, speed):
    """A block that a constant force `down` [N] pulls along, under a load that changes; into place and speed (n,).

    Stepped as the engine steps a body: moved first, then sped up by the forces there, half a step's gain on top of its
    speed (trundle.law.losses.note_gain). Returns the work lost [J].
    """
    x, v, gone, gain, last = 0.0, 0.0, 0.0, 0.0, 0.0
    for i in range(loads.shape[0]):
        x += v * dt
        off = law.carry(d[0], shear[0], loads[i], 1.0)
        pull, lost = law.give_way(d[0], shear[0], v + gain, dt)
        gone += off + lost
        more = (down - pull) / mass * dt
        v += more
        gain, last = 0.25 * (more + last), more
        place[i], speed[i] = x, v
    return gone
