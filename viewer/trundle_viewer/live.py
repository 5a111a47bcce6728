"""A run that is drawn while it is being worked out: the engine's loop in chunks on a thread of its own.

The compiled chunk lets go of Python's lock, so drawing goes on beside it. It runs as fast as it can, well
ahead of the picture; the strip shows how far it has got.
"""

from __future__ import annotations

import threading
import time
from itertools import takewhile
from typing import Any

from trundle.engine import loop
from trundle.engine.blows import check_blows
from trundle.engine.length import MOST_STEPS, check_course, default_step_s, time_limit_s
from trundle.engine.roll import Limits, Rolling, chunks
from trundle.engine.standing import Standing, lift_to_rolling, stand
from trundle.errors import TrundleError
from trundle.findings.ending import plain_ending
from trundle.model.ground import course_arrays
from trundle.spec.course import Course
from trundle.spec.vehicle import Vehicle
from trundle.terrain.ground import Ground
from trundle.units import MM
from trundle_viewer.apart import Apart
from trundle_viewer.film import Film

SETTLED_S = 0.3
"""A run that is still wanted so long after its end is asked what it has to say [s]."""

CHUNK = 250
"""Steps between two looks at whether to stop [1 ms each: a quarter of a second of run, or half of that]."""


class LiveRun:
    """One run in the making. `film` fills from a thread; `wait_for` a time, `stop` when it is not wanted."""

    def __init__(
        self,
        vehicle: Vehicle,
        course: Course,
        ground: Ground,
        dt_s: float | None = None,
        from_m: float | None = None,
        speed_m_s: float = 0.0,
    ) -> None:
        """Stand the vehicle on the course and start. dt_s: step [s] (None: by its kind); from_m: course place of the
        hull's tail instead of the start; speed_m_s: how fast it rolls there. Raises InputError if it cannot stand,
        or a blow on it would be shorter than steps can follow."""
        dt_s = default_step_s(vehicle) if dt_s is None else dt_s
        arrays = course_arrays(ground)
        standing = stand(vehicle, arrays, from_m)
        check_blows(standing.assembly, dt_s)
        self.film = Film(vehicle, course, ground, standing.assembly, dt_s, dt_s)
        if from_m is None:
            check_course(ground, vehicle, float(standing.q[0]), float(standing.assembly.model.hull.nose_x))
        # Set down on its way, it has done what it was told to do before that place.
        done = 0 if from_m is None else sum(1 for _ in takewhile(lambda task: task.at_m <= standing.q[0], ground.tasks))
        standing.state["driver.task"] = done
        self._standing, self._speed, self._whole = standing, speed_m_s, from_m is None
        self._halt = threading.Event()
        self.trouble: BaseException | None = None
        self.wall_s = 0.0
        self._thread = threading.Thread(target=self._work, name="run", daemon=True)
        self._thread.start()

    def stop(self) -> None:
        """Give the run up and wait for its thread."""
        self._halt.set()
        self._thread.join()

    def finish(self) -> None:
        """Wait until all is worked out: the run, and what it has to say."""
        self._thread.join()

    def wait_for(self, time_s: float, at_most_s: float) -> bool:
        """Wait until the run has got to a time, or is over. False if that took longer than at_most_s."""
        end = time.perf_counter() + at_most_s
        while self.film.end_s < time_s and not self.film.done and time.perf_counter() < end:
            time.sleep(0.002)
        return self.film.done or self.film.end_s >= time_s

    def _work(self) -> None:
        begin = time.perf_counter()
        try:
            self._run(self._standing)
        except (TrundleError, ArithmeticError, ValueError, RuntimeError, MemoryError) as e:
            self.trouble = e
            self.film.ended = f"broke off: {e}"
        finally:
            self.wall_s = time.perf_counter() - begin
            self.film.done = True
        # One that was set down on its way has not gone over the course: it has no verdict.
        if self.trouble is None and self._whole:
            self._tell()

    def _run(self, standing: Standing) -> None:
        film, dt = self.film, self.film.dt_s
        state = lift_to_rolling(standing, self._speed) if self._speed > 0.0 else standing.state
        seconds = min(time_limit_s(film.vehicle, film.ground), MOST_STEPS * dt)
        limits = Limits(film.ground.length_m, -1.0, seconds)
        ended, done, looked = loop.GOING, 0, 0
        for rows, why in chunks(Rolling(standing.assembly.model, state, dt, limits), CHUNK):
            if len(rows):
                film.append_raw(rows)
            done += len(rows)
            # Each look goes through the whole run, so the looks get rarer as it grows.
            if done >= 2 * looked + 2000:
                film.find_events()
                looked = done
            ended = why
            if self._halt.is_set():
                break
        film.find_events()
        if self._halt.is_set():
            film.ended = "given up"
        else:
            film.ended = plain_ending(ended).value

    def _tell(self) -> None:
        """What the run has to say, with the runs close by, as `trundle run` has it."""
        film = self.film
        # A number changed with a key held down makes a run every few hundredths of a second.
        if self._halt.wait(SETTLED_S):
            return
        film.told_later = True
        film.told = Apart(film.vehicle, film.course, film.dt_s * 1e3, film.ground.dx_m / MM).told(self._halt)


def start(vehicle: Vehicle, course: Course, ground: Ground, dt_s: float | None = None) -> LiveRun:
    """A run from the start of the course."""
    return LiveRun(vehicle, course, ground, dt_s)


AGAIN_S = 15.0
"""A changed vehicle runs the whole course again if it gets to the present spot within this much course time
(a fraction of a second of work); else it starts a few metres before it."""

RUN_UP_M = 3.0


def restart(old: Film, vehicle: Vehicle, row: int) -> tuple[LiveRun, float]:
    """Run the changed vehicle to where the old one is. Returns the run and the old hull's course place [mm].

    Early in a course it runs from the start, so both have seen the same ground. Further on it is stood on the
    ground RUN_UP_M before the spot, rolling at the old run's speed there; the film's note says so.
    Raises InputError if the changed vehicle cannot stand, or is too hard for the step.
    """
    spot = old.at("hull.x_mm", row)
    if old.time(row) <= AGAIN_S:
        return LiveRun(vehicle, old.course, old.ground, old.dt_s), spot
    before = old.row_at_x(spot - RUN_UP_M / MM)
    tail = old.at("hull.x_mm", before) * MM - old.assembly.com[0]
    run = LiveRun(vehicle, old.course, old.ground, old.dt_s, tail, max(old.at("hull.speed_m_s", before), 0.0))
    run.film.note = f"changed vehicle set down {RUN_UP_M:g} m before this spot, rolling"
    return run, spot


def describe(changes: dict[str, Any]) -> str:
    """`leaf thickness 3 to 4`: what was changed, in short."""
    return ", ".join(f"{path} = {value:g}" for path, value in changes.items())
