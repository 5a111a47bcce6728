"""Runs the step loop chunk by chunk, until a limit or the end of the course."""

from __future__ import annotations

import math
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass

import numpy as np

from trundle.engine import loop
from trundle.engine.loop import DIVERGED, GOING, TIME_UP, advance_plain
from trundle.engine.space import BodySpace
from trundle.engine.spill import Keeper, Spilled
from trundle.law.compile import PLAIN
from trundle.law.named import State
from trundle.law.scratch import new_scratch, work_flat
from trundle.law.timeline import picks
from trundle.model.arrays import Floats, Model

CHUNK = 2000
"""Steps between looks at the clock, the progress bar and Ctrl-C."""


@dataclass(frozen=True)
class Limits:
    """Where a run ends: nose past end_m or before start_m, or time_s gone since its vehicle stood."""

    end_m: float
    start_m: float
    time_s: float


@dataclass(frozen=True)
class Rows:
    """The raw log as it was written, block after block of rows (n, columns), SI, a long one set aside in a file; why
    the run ended; and how long its steps took [s]."""

    log: tuple[Floats, ...] | Spilled
    why: int
    wall_s: float = 0.0

    def __len__(self) -> int:
        return self.log.rows if isinstance(self.log, Spilled) else sum(len(block) for block in self.log)

    @property
    def values(self) -> Floats:
        """All of it in one array, copied into memory."""
        if isinstance(self.log, Spilled):
            return np.concatenate([slab.T for slab in self.log.slabs()])
        return np.concatenate(self.log)


class Rolling:
    """A run in the making: its `state` may be read, copied and saved after any step; `scratch` is what the law worked
    out in the last one.

    A Rolling that starts from a saved State gives, to the last bit, what the one it was saved from would have given.
    """

    def __init__(self, model: Model, state: State, dt: float, limits: Limits, compiled: bool = True) -> None:
        """Build the space with the bodies at `state`, which stays as it is. dt: step [s].

        Compiled code is loaded here, before the first step is asked for.
        """
        self.model, self.dt, self.limits = model, dt, limits
        self._state, self._pivots_kept = state.copy(), True
        self.why = GOING
        self.scratch = new_scratch(model)
        self._flat = work_flat(self.scratch)
        vehicle = model.vehicle[0]
        self._picked = picks(int(vehicle.nj), int(vehicle.nr), bool(vehicle.band.on))
        self._space = BodySpace(model, self._state, self.scratch, dt)
        self._door = self._space.door() if compiled and not PLAIN else None
        self._left = max(1, math.ceil(limits.time_s / dt) - round(state.time_s / dt))
        self._advance(np.empty((0, len(self._picked))))

    @property
    def state(self) -> State:
        """Where it stands after the last step. What is changed in it counts from the next `take` on."""
        if not self._pivots_kept:
            self._space.keep_pivots(self._state)
            self._pivots_kept = True
        return self._state

    def take(self) -> None:
        """Set bodies and pivots to what `state` has been changed to."""
        self._space.take(self.state, self.dt)

    @property
    def width(self) -> int:
        """Columns of the raw log (see trundle.law.timeline)."""
        return len(self._picked)

    def _advance(self, log: Floats) -> tuple[int, int]:
        law = (self.model, self._state.record, self.scratch, self._flat, self._picked)
        stop = (self.dt, self.limits.end_m, self.limits.start_m)
        if self._door is not None:
            wrote, why = loop.advance(*law, self._door, log, *stop)
            return int(wrote), int(why)
        return advance_plain(*law, self._space, log, *stop)

    def steps(self, most: int) -> Floats:
        """Go on by `most` steps, or until it ends: `why` says so. Returns their rows of the raw log (n, width), which
        end before the first that is not all numbers."""
        if self.why != GOING:
            return np.empty((0, self.width))
        log = np.empty((min(most, self._left), self.width))
        n, self.why = self._advance(log)
        self._pivots_kept = False
        self._left -= n
        rows = log[:n]
        # A state can turn to nonsense without leaving the finite range within one step of being seen.
        # One number that is none makes the sum none.
        if not np.isfinite(rows.sum()):
            rows, self.why = rows[: int(np.argmin(np.isfinite(rows).all(axis=1)))], DIVERGED
        if self.why == GOING and self._left <= 0:
            self.why = TIME_UP
        return rows


def chunks(rolling: Rolling, steps: int = CHUNK) -> Iterator[tuple[Floats, int]]:
    """Run to the end, `steps` at a time: (rows of the raw log, why it stands) of each chunk."""
    while rolling.why == GOING:
        rows = rolling.steps(steps)
        yield rows, rolling.why


def run_steps(
    model: Model,
    state: State,
    dt: float,
    limits: Limits,
    compiled: bool = True,
    on_progress: Callable[[float], None] | None = None,
) -> Rows:
    """Run from `state` until a limit. on_progress gets the hull's course position [m] now and then.

    KeyboardInterrupt from on_progress or the terminal ends the run between two chunks and passes on. Raises
    ComputerError if a long log cannot be set aside (see trundle.engine.spill).
    """
    return roll_out(Rolling(model, state, dt, limits, compiled), on_progress)


def roll_out(rolling: Rolling, on_progress: Callable[[float], None] | None = None) -> Rows:
    """The rest of a run; otherwise as `run_steps`."""
    began = time.perf_counter()
    keeper = Keeper(rolling.width)
    for rows, _why in chunks(rolling):
        keeper.add(rows)
        if on_progress is not None and len(rows):
            on_progress(float(rolling.state.bodies[0, 0]))
    log = keeper.kept()
    wall_s = time.perf_counter() - began
    return Rows(log, rolling.why, wall_s)
