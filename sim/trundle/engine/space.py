"""The only module that touches pymunk: builds the space, reads and writes all bodies at once.

pymunk.batch is marked experimental; everything that depends on its details is here. Facts relied on, each
checked when a space is built: dynamic bodies come in the order in which they were added; a row holds
position, angle, velocity, spin; a batch buffer may be our own array. The C side grows a buffer as soon as it is full,
with realloc: ours have spare rows (SPARE_BODIES) and never look full.
"""

from __future__ import annotations

from typing import Any

import numpy as np
import pymunk
from pymunk import batch

from trundle.law.named import State
from trundle.law.scratch import Scratch
from trundle.model.arrays import Floats, Model, Records, records

ITERATIONS = 5
CHAIN_ITERATIONS = 10
"""Solver iterations: in a star of arms 3 to 40 give the same peaks to five digits; where a beam hangs on an arm it
takes 10 for loads within 0.02 % of those of 40, and 3 are not stable."""

ERROR_BIAS = 0.0
"""Pivot drift left after 1 s, as a share. 0 corrects fully each step; pymunk's default (0.9**60) lets a
chain of links lose a third of its energy in 5 s."""

_STATE = (
    batch.BodyFields.POSITION | batch.BodyFields.ANGLE | batch.BodyFields.VELOCITY | batch.BodyFields.ANGULAR_VELOCITY
)
_LOAD = batch.BodyFields.FORCE | batch.BodyFields.TORQUE


_ANCHORS, _IMPULSE, _WORDS = slice(13, 17), slice(25, 27), 29
"""Where a C pivot joint has its anchors and its impulse, and how long it is, in words of 8 bytes (struct cpPivotJoint):
the only way to more than the impulse's size. Checked whenever a space is built and whenever it is read."""


class BodySpace:
    """A pymunk space with one body per row of the model, pivots between them, and no shapes.

    `read` fills the body rows of the State it was built with, `write` hands the forces of the scratch over.
    """

    def __init__(self, model: Model, state: State, scratch: Scratch, dt: float) -> None:
        """Build the space with the bodies where `state` has them, for steps of dt [s]."""
        space = pymunk.Space()
        space.gravity = (0.0, -model.gravity)
        space.iterations = CHAIN_ITERATIONS if model.joints.parent.any() else ITERATIONS
        space.damping = 1.0
        self._space = space
        self.bodies: list[pymunk.Body] = []
        self._pivots: list[pymunk.PivotJoint] = []
        for row, start in zip(model.bodies, state.bodies, strict=True):
            body = pymunk.Body(float(row.mass), float(row.inertia))
            body.position = (float(start[0]), float(start[1]))
            body.angle = float(start[2])
            body.velocity = (float(start[3]), float(start[4]))
            body.angular_velocity = float(start[5])
            space.add(body)
            self.bodies.append(body)
        for joint in model.joints:
            pivot = pymunk.PivotJoint(
                self.bodies[joint.parent],
                self.bodies[joint.child],
                (float(joint.px), float(joint.py)),
                (float(joint.cx), float(joint.cy)),
            )
            pivot.error_bias = ERROR_BIAS
            pivot.collide_bodies = False
            space.add(pivot)
            self._pivots.append(pivot)
        self._inside = _all_inside(self._pivots)
        self._get, self._set = batch.Buffer(), batch.Buffer()
        self._rows: Floats = state.body_rows
        self._get.set_float_buf(self._rows)
        self._set.set_float_buf(scratch.work["force"][0])
        self._keep: tuple[object, ...] = ()
        self._check_order()
        self._put = batch.Buffer()
        self._put.set_float_buf(self._rows)
        self.take(state, dt)

    def _check_order(self) -> None:
        ids = batch.Buffer()
        batch.get_space_bodies(self._space, batch.BodyFields.BODY_ID, ids)
        got = list(np.frombuffer(ids.int_buf(), dtype=np.uintp)[: len(self.bodies)])
        if got != [b.id for b in self.bodies]:
            raise RuntimeError("pymunk.batch does not list bodies in the order in which they were added")
        self.read()
        for row, body in zip(self._rows, self.bodies, strict=False):
            want = (*body.position, body.angle, *body.velocity, body.angular_velocity)
            if tuple(row) != want:
                raise RuntimeError("pymunk.batch rows are not position, angle, velocity, spin")

    def read(self) -> None:
        """Fill the State from the bodies."""
        self._get.clear()
        batch.get_space_bodies(self._space, _STATE, self._get)

    def write(self) -> None:
        """Set the bodies' forces from the scratch."""
        batch.set_space_bodies(self._space, _LOAD, self._set)

    def step(self, dt: float) -> None:
        """Move on by dt [s]: positions with the old velocities, then velocities with the forces."""
        self._space.step(dt)

    def keep_pivots(self, state: State) -> None:
        """Put what pymunk remembers of each pivot into `state`; nothing if this pymunk does not show it: a run that
        goes on from there is then the same but for rounding."""
        if self._inside is not None:
            state.pivots[:] = self._impulses(self._inside)

    def take(self, state: State, dt: float) -> None:
        """Set bodies and pivots to what `state` has, the last step having been as long as the next, dt [s]."""
        batch.set_space_bodies(self._space, _STATE, self._put)
        if state.time_s > 0.0 and self._inside is not None:
            for inside, impulse in zip(self._inside, state.pivots, strict=True):
                inside[_IMPULSE] = impulse
            self._impulses(self._inside)  # raises if they went elsewhere
            _lib().cpSpaceSetCurrentTimeStep(self._space._space, dt)

    def _impulses(self, insides: list[Floats]) -> Floats:
        """Impulse of each pivot in the last step, (nj, 2) [N.s]. pymunk tells its size alone, against which it is held.

        Raises RuntimeError if it is another.
        """
        found = np.array([inside[_IMPULSE] for inside in insides]).reshape(-1, 2)
        told = np.array([pivot.impulse for pivot in self._pivots])
        # A run that has blown up has none to compare.
        sound = np.isfinite(found).all(axis=1) & np.isfinite(told)
        if not np.allclose(np.hypot(found[sound, 0], found[sound, 1]), told[sound], rtol=1e-9, atol=1e-12):
            raise RuntimeError("pymunk's pivots are not laid out as expected: their impulses cannot be read")
        return found

    def door(self) -> Records | None:
        """Where the C functions and their data are, for the compiled loop: (1,) CALLS, good while this object lives.

        None if this pymunk does not show them; the loop then runs through its public calls, with the same numbers.
        """
        from trundle.engine.calls import CALLS

        try:
            ffi, lib = vars(batch)["ffi"], _lib()
            get = _batched(ffi, _STATE, self._get)
            put = _batched(ffi, _LOAD, self._set)
            where = {
                "space": self._space._space,
                "each": ffi.addressof(lib, "cpSpaceEachBody"),
                "get_visit": ffi.addressof(lib, "pmSpaceBodyGetIteratorFuncBatched"),
                "get_data": get,
                "get_count": ffi.addressof(self._get._float_arr, "num"),
                "set_visit": ffi.addressof(lib, "pmSpaceBodySetIteratorFuncBatched"),
                "set_data": put,
                "set_count": ffi.addressof(self._set._float_arr, "num"),
                "step": ffi.addressof(lib, "cpSpaceStep"),
            }
            calls = records(CALLS, 1)
            for name, pointer in where.items():
                calls[0][name] = int(ffi.cast("uintptr_t", pointer))
        except (AttributeError, TypeError, KeyError):
            return None
        self._keep = (get, put)
        return calls


def _lib() -> Any:
    """pymunk's C library: pymunk.batch works through it; it is in its namespace, not in its __all__."""
    return vars(batch)["lib"]


def _all_inside(pivots: list[pymunk.PivotJoint]) -> list[Floats] | None:
    """Each pivot's own memory, shared, while it lives. None if the anchors are not where they should be."""
    insides: list[Floats] = []
    for pivot in pivots:
        words: Floats = np.frombuffer(vars(batch)["ffi"].buffer(pivot._constraint, 8 * _WORDS), dtype=np.float64)
        if words[_ANCHORS].tolist() != [*pivot.anchor_a, *pivot.anchor_b]:
            return None
        insides.append(words)
    return insides


def _batched(ffi: Any, fields: batch.BodyFields, buffer: batch.Buffer) -> Any:
    data = ffi.new("pmBatchedData *")
    data.fields = fields.value
    data.floatArray = buffer._float_arr
    data.intArray = buffer._int_arr
    return data
