"""A run step by step: stopped, looked at, changed, saved and gone on with."""

from __future__ import annotations

from pathlib import Path

import pandas as pd

from trundle.engine.length import GROUND_MM
from trundle.engine.loop import GOING
from trundle.engine.roll import Rolling
from trundle.engine.simulate import at_start
from trundle.errors import InputError, Problem
from trundle.findings.ending import plain_ending
from trundle.law.named import State
from trundle.record.columns import timeline_frame
from trundle.result.inputs import GivenCourse, GivenVehicle, course_input, vehicle_input
from trundle.result.run import asked


class Steps:
    """A run in the making. `state` is everything that the next step depends on beside vehicle and course."""

    def __init__(
        self,
        vehicle: GivenVehicle,
        course: GivenCourse,
        *,
        state: State | str | Path | None = None,
        dt_ms: float | None = None,
        ground_mm: float = GROUND_MM,
        speed_m_s: float | None = None,
    ) -> None:
        """Stand `vehicle` at the start of `course`; arguments as trundle.run.

        state: go on from there instead, a State or the file of one. If all else is the same, this gives to the last bit
        what the run that it is from would have given. Raises InputError as trundle.run, or if the State is another
        vehicle's.
        """
        who, over = vehicle_input(vehicle), course_input(course)
        with who.blamed(), over.blamed():
            built, ground = asked(who.vehicle, over.course, ground_mm, speed_m_s)
            start = at_start(built, ground, None if dt_ms is None else dt_ms * 1e-3)
        self._assembly = start.standing.assembly
        begin = start.standing.state
        if state is not None:
            if not isinstance(state, State | str | Path):
                raise InputError(
                    Problem(f"a {type(state).__name__}", argument="state", allowed="a State, or the file of one")
                )
            begin = state if isinstance(state, State) else State.load(state)
            if begin.names != start.standing.state.names:
                raise InputError(
                    Problem(
                        f"the State has arms {', '.join(begin.names.arms)}; {built.name} has "
                        f"{', '.join(start.standing.state.names.arms)}",
                        argument="state",
                        allowed="one of the same vehicle",
                    )
                )
        self._rolling = Rolling(self._assembly.model, begin, start.dt_s, start.limits)

    @property
    def state(self) -> State:
        """Where it stands; to be read, changed by name, copied and saved between steps."""
        return self._rolling.state

    @property
    def ended_because(self) -> str | None:
        """Why it has ended, None while it goes on."""
        return None if self._rolling.why == GOING else plain_ending(self._rolling.why).value

    def go(self, steps: int) -> pd.DataFrame:
        """Go on by so many steps, or to the end. Returns their rows of the timeline. Raises InputError below 0."""
        if steps < 0:
            raise InputError(Problem(f"{steps} steps", argument="steps", allowed="0 or more"))
        self._rolling.take()
        return timeline_frame([self._rolling.steps(steps)], self._assembly)

    def __repr__(self) -> str:
        return f"{self._assembly.vehicle.name}, {self.state!r}, {self.ended_because or 'going on'}"
