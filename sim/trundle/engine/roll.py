"""Runs the step loop chunk by chunk, until a limit or the end of the course."""

from __future__ import annotations

import math
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass

import numpy as np

from trundle.engine import loop
from trundle.engine.loop import DIVERGED, GOING, TIME_UP, advance_plain, new_clock
from trundle.engine.space import BodySpace
from trundle.law.compile import PLAIN
from trundle.law.log import columns
from trundle.law.work import Work
from trundle.model.arrays import Floats, Model

CHUNK = 2000
"""Steps between looks at the clock, the progress bar and Ctrl-C."""


@dataclass(frozen=True)
class Limits:
    """Where a run ends: nose past end_m, tail before start_m, or time_s gone."""

    end_m: float
    start_m: float
    time_s: float


@dataclass(frozen=True)
class Rows:
    """The raw log (n, columns), SI, why the run ended, and how long its steps took [s]."""

    values: Floats
    why: int
    wall_s: float = 0.0


def chunks(
    model: Model,
    work: Work,
    state: Floats,
    dt: float,
    limits: Limits,
    compiled: bool = True,
    steps: int = CHUNK,
) -> Iterator[tuple[Floats, int]]:
    """Run from `state` (nb, 6), `steps` at a time: (rows of the raw log, why it stands) of each chunk.

    The last chunk says why the run ended; its rows end before the first that is not all numbers. Compiled
    code is loaded before the first chunk is asked for.
    """
    # The caller's standing position stays as it was.
    work = Work._make(array.copy() for array in work)
    space = BodySpace(model, state)
    at = space.addresses() if compiled and not PLAIN else None
    width = len(columns(len(model.joints), len(model.rings)))
    clock = new_clock()
    stop = (limits.end_m, limits.start_m)
    if at is not None:
        loop.advance(model, work, at, space.state, space.force, np.empty((1, width)), 0, 0, dt, clock, *stop)

    def go() -> Iterator[tuple[Floats, int]]:
        left, why = max(1, math.ceil(limits.time_s / dt)), GOING
        while left > 0 and why == GOING:
            rows = np.empty((min(steps, left), width))
            if at is not None:
                n, why = loop.advance(model, work, at, space.state, space.force, rows, 0, len(rows), dt, clock, *stop)
            else:
                n, why = advance_plain(model, work, space, rows, 0, len(rows), dt, clock, *stop)
            left -= n
            rows = rows[:n]
            # A state can turn to nonsense without leaving the finite range within one step of being seen.
            # One number that is none makes the sum none.
            if not np.isfinite(rows.sum()):
                rows, why = rows[: int(np.argmin(np.isfinite(rows).all(axis=1)))], DIVERGED
            yield rows, TIME_UP if why == GOING and left == 0 else why

    return go()


def run_steps(
    model: Model,
    work: Work,
    state: Floats,
    dt: float,
    limits: Limits,
    compiled: bool = True,
    on_progress: Callable[[float], None] | None = None,
) -> Rows:
    """Run from `state` (nb, 6) until a limit. on_progress gets the hull's course position [m] now and then.

    KeyboardInterrupt from on_progress or the terminal ends the run between two chunks and passes on.
    """
    parts = chunks(model, work, state, dt, limits, compiled)
    began = time.perf_counter()
    blocks, ended = [], GOING
    for rows, why in parts:
        blocks.append(rows)
        ended = why
        if on_progress is not None and len(rows):
            on_progress(float(rows[-1, 1]))
    wall_s = time.perf_counter() - began
    return Rows(np.concatenate(blocks), ended, wall_s)
