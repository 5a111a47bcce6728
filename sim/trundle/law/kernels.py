"""The kernels that Python calls, with the wrapper that lets it (see trundle.law.compile.inner).

m: Model; ss (1,) STATE; c: Scratch. trundle.law.ask gives them a Python face.
"""

from __future__ import annotations

from trundle.law import frame as _frame
from trundle.law import laid as _laid
from trundle.law import losses as _losses
from trundle.law import path as _path
from trundle.law import place as _place
from trundle.law import rings as _rings
from trundle.law import step as _step
from trundle.law import tension as _tension
from trundle.law.compile import kernel


@kernel
def forces(m, ss, c, dt):
    _step.forces(m, ss[0], c, dt)


@kernel
def accept(ss, c):
    _step.accept(ss[0], c.work[0])


@kernel
def damped_forces(m, ss, c):
    """Forces at a State as it stands, with those of the dampers at its rates, for motions too small to count as
    steps."""
    _step.forces(m, ss[0], c, 0.0)
    _losses.dampers(m.vehicle[0], ss[0], c.work[0], 0.0)


@kernel
def lay(m, ss, c):
    """The whole loop, laid at a State's poses from its own order of contacts."""
    v, s, w = m.vehicle[0], ss[0], c.work[0]
    w.next = s.law
    _step.clear_loads(v, w)
    _place.set_pose(v, s, w, 0.0)
    _rings.rings(v, m.ground, s, w, 0.0)
    _laid.lay_band(v, m.ground, s, w, c.nodes, c.gates, c.chains)


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


@kernel
def place(m, q, rates, ss):
    _frame.place(m.vehicle[0], q, rates, ss[0])


@kernel
def pivot_of(m, ss, j):
    return _frame.pivot_of(m.vehicle[0], ss[0], j)


@kernel
def generalised(m, ss, c, out):
    _frame.generalised(m.vehicle[0], ss[0], c.work[0], out)


@kernel
def standing_force(m, q, still, ss, c, out):
    _frame.standing_force(m, q, still, ss[0], c, out)


@kernel
def relax(m, q, still, ss, c, out, ease, steps):
    _frame.relax(m, q, still, ss[0], c, out, ease, steps)
