"""The kernels that Python calls, with the wrapper that lets it (see trundle.law.compile.inner)."""

from __future__ import annotations

from trundle.law import frame as _frame
from trundle.law import ground as _ground
from trundle.law import laid as _laid
from trundle.law import path as _path
from trundle.law import pivots as _pivots
from trundle.law import step as _step
from trundle.law import tension as _tension
from trundle.law.compile import kernel
from trundle.law.work import Work
from trundle.model.arrays import Model


@kernel
def forces(m: Model, w: Work, state, dt):
    _step.forces(m, w, state, dt)


@kernel
def total(w: Work, force):
    _step.total(w, force)


@kernel
def set_pose(m: Model, w: Work, state, dt):
    _pivots.set_pose(m, w, state, dt)


@kernel
def dampers(m: Model, w: Work, dt):
    _pivots.dampers(m, w, dt)


@kernel
def rings(m: Model, w: Work, dt=0.0):
    return _ground.rings(m, w, dt)


@kernel
def lay(m: Model, w: Work):
    return _path.lay(m, w)


@kernel
def lay_afresh(m: Model, w: Work):
    w.order[0] = 0
    return _path.lay(m, w)


@kernel
def bend(span, k):
    return _path.bend(span, k)


@kernel
def band_path(m: Model, w: Work):
    return _laid.band_path(m, w)


@kernel
def solve_tension(b, floor, top, base, span_sum, lever, shift, hold, guess):
    return _tension.solve_tension(b, floor, top, base, span_sum, lever, shift, hold, guess)


@kernel
def place(m: Model, q, v, state):
    _frame.place(m, q, v, state)


@kernel
def pivot_of(m: Model, state, j):
    return _frame.pivot_of(m, state, j)


@kernel
def generalised(m: Model, w: Work, state, out):
    _frame.generalised(m, w, state, out)


@kernel
def standing_force(m: Model, w: Work, q, still, state, out):
    _frame.standing_force(m, w, q, still, state, out)


@kernel
def relax(m: Model, w: Work, q, still, state, out, ease, steps):
    return _frame.relax(m, w, q, still, state, out, ease, steps)
