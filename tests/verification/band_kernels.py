"""Single stages of the band that Python can call, for the tests alone."""

from __future__ import annotations

from trundle.law import path as _path
from trundle.law import tension as _tension
from trundle.law import top as _top
from trundle.law.compile import kernel


@kernel
def lower_run(m, ss, c):
    """The lower run alone between rings as they are placed in c. Returns the number of nodes."""
    v, s, w = m.vehicle[0], ss[0], c.work[0]
    return _path.lay(v, m.ground, s, w, c.nodes, c.gates, c.chains)


@kernel
def bend(nodes, k):
    return _path.bend(nodes, k)


@kernel
def solve_tension(m, ss, c, floor, top, base, span_sum, lever, shift, hold, guess):
    """With the top run's spans at rest."""
    v, w = m.vehicle[0], c.work[0]
    _top.carry_on(v, ss[0], w, 0.0)
    return _tension.solve_tension(v.band, w, floor, top, base, span_sum, lever, shift, hold, guess)


@kernel
def pull_top(m, ss, c, base, dt, out):
    """The top run alone while the loop has base[i] to spare in step i [m] (loop less path), without traction: in out
    (n, 3) tension [N], energy of stretch and hanging, of motion [J]."""
    v, s, w = m.vehicle[0], ss[0], c.work[0]
    b = v.band
    for i in range(base.shape[0]):
        w.next = s.law
        _top.carry_on(v, s, w, dt)
        path = b.length - base[i]
        tension, spare = _tension.solve_tension(b, w, b.least_top, 0.0, base[i], path, 0.0, 0.0, 0.0, b.least_top)
        w.loop.spare = spare
        held = _top.swing(v, s, w, tension, dt) + 0.5 * tension * tension * path / b.stretch
        energy = 0.0
        for k in range(b.modes):
            speed = 0.5 * (s.law.top[k].sag_m_s + w.next.top[k].sag_m_s)
            energy += 0.5 * b.mode[k].mass * speed * speed
        w.next.band.top_N = tension
        s.law = w.next
        out[i, 0], out[i, 1], out[i, 2] = tension, held, energy
