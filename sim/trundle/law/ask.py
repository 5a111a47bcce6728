"""Asking the law from Python: a model and a State in, forces out.

`forces` can be called any number of times: it gives the same bits, and changes neither.
"""

from __future__ import annotations

import math
from typing import Any

import numpy as np

from trundle.law import kernels
from trundle.law.frame import place as _place
from trundle.law.named import State
from trundle.law.scratch import Scratch, new_scratch
from trundle.model.arrays import Floats, Model, Records


def forces(model: Model, state: State, dt: float, scratch: Scratch | None = None) -> Scratch:
    """All forces at the positions that the coming step of dt [s] will reach; dt = 0: standing still at `state`.

    scratch: one to use again, of the same model. What it gives: `work[0].load` (kind, body, 3) [N], [N.m], `force`
    their sum, `ring`, `joint`, `loop`, `nodes`; `next` is what the law remembers if the step is taken.
    """
    scratch = new_scratch(model) if scratch is None else scratch
    kernels.forces(model, state.record, scratch, dt)
    return scratch


def laid_band(model: Model, state: State, q: Floats, scratch: Scratch) -> tuple[Any, Records]:
    """The band as it lies with the vehicle at rest at q: the loop's LOOP_WORK, and its nodes (n,) NODE from rear to
    front."""
    place(model, state, q)
    kernels.lay(model, state.record, scratch)
    loop = scratch.work[0].loop
    return loop, scratch.nodes[: int(loop.nodes)].view(np.recarray)


def pivot_of(model: Model, state: State, joint: int) -> tuple[float, float]:
    """World place of a joint's pivot [m]."""
    a = model.joints[joint]
    x, y, angle = state.bodies[a.parent, :3].tolist()
    c, s = math.cos(angle), math.sin(angle)
    return x + c * a.px - s * a.py, y + s * a.px + c * a.py


def place(model: Model, state: State, q: Floats, rates: Floats | None = None) -> None:
    """Put the bodies of `state` at q = (x, y [m], pitch, joint angles [rad]) with these rates (None: at rest)."""
    kernels.place(model, q, np.zeros(len(q)) if rates is None else rates, state.record)


def forces_at_rest(model: Model, state: State, q: Floats, scratch: Scratch) -> Floats:
    """Force on each coordinate with the vehicle at rest at q, (3 + nj,) [N], [N.m].

    `state` follows: bodies at q, and what the law remembers (the track's tension, the tensioner's place), which comes
    to rest together with the hull.
    """
    return _still(model, state, q, np.zeros(len(q)), scratch, damped=0)


def damped_forces(model: Model, state: State, q: Floats, rates: Floats, scratch: Scratch) -> Floats:
    """The same with the dampers' forces at these rates, for small motion; only the bodies of `state` follow."""
    return _still(model, state, q, rates, scratch, damped=1)


def settle(model: Model, state: State, q: Floats, ease: Floats, most: int, scratch: Scratch) -> None:
    """Let q drift towards rest, in at most so many steps (see trundle.law.kernels.still)."""
    kernels.still(model, q, np.zeros(len(q)), state.record, scratch, np.zeros(len(q)), 0, ease, np.zeros(len(q)), most)


def _still(model: Model, state: State, q: Floats, rates: Floats, scratch: Scratch, damped: int) -> Floats:
    out = np.zeros(len(q))
    kernels.still(model, q, rates, state.record, scratch, out, damped, out, out, 0)
    return out


def place_once(model: Model, state: State, q: Floats, rates: Floats | None = None) -> None:
    """`place` without compiled code, for what is asked a few times in a run: it would take longer to compile."""
    plain = getattr(_place, "py_func", _place)
    plain(model.vehicle[0], q, np.zeros(len(q)) if rates is None else rates, state.record[0])


def generalised(model: Model, state: State, scratch: Scratch) -> Floats:
    """Force on each coordinate of `place`, of the loads in `scratch` and of gravity, (3 + nj,) [N], [N.m]."""
    out = np.zeros(3 + int(model.vehicle[0].nj))
    kernels.generalised(model, state.record, scratch, out)
    return out
