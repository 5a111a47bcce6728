"""Single stages of the band that Python can call, for the tests alone."""

from __future__ import annotations

from trundle.law import path as _path
from trundle.law import tension as _tension
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
def solve_tension(vehicle, floor, top, base, span_sum, lever, shift, hold, guess):
    return _tension.solve_tension(vehicle[0].band, floor, top, base, span_sum, lever, shift, hold, guess)
