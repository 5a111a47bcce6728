"""The kernels that Python calls, with the wrapper that lets it (see trundle.law.compile.inner).

m: Model; ss (1,) STATE; c: Scratch. trundle.law.ask gives them a Python face.
"""

from __future__ import annotations

from trundle.law import frame as _frame
from trundle.law import laid as _laid
from trundle.law import place as _place
from trundle.law import rings as _rings
from trundle.law import step as _step
from trundle.law.compile import kernel


@kernel
def forces(m, ss, c, dt):
    _step.forces(m, ss[0], c, dt)


@kernel
def accept(ss, c):
    _step.accept(ss[0], c.work[0])


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
def place(m, q, rates, ss):
    _frame.place(m.vehicle[0], q, rates, ss[0])


@kernel
def generalised(m, ss, c, out):
    _frame.generalised(m.vehicle[0], ss[0], c.work[0], out)


@kernel
def still(m, q, rates, ss, c, out, damped, ease, speed, steps):
    """Generalised forces of the vehicle at rest at q, into out (3 + nj,); before that, q may drift towards rest.

    damped: 1 adds the dampers' forces at these rates, 0 does not. steps: the most that q drifts, y, pitch and joints
    each by its own `ease` (see trundle.law.frame.drift); it only has to come near enough for Newton's method, and ends
    when nothing is pulled by more than NEAR_M. What the law remembers comes to rest with the vehicle: the track's
    tension, and the tensioner's place. speed: room for that of the drift, (3 + nj,) zeros.
    """
    s, w = ss[0], c.work[0]
    for step in range(steps + 1):
        _frame.out_of_balance(m, q, rates, s, c, out, damped)
        if damped == 0:
            _step.accept(s, w)
        if step == steps or _frame.drift(q, speed, out, ease) < _frame.NEAR_M:
            break
