"""One run: roll, then work out its timeline, events and figures."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np

from trundle.engine.cores import core_count, each_at_once
from trundle.engine.length import GROUND_MM, expected_steps
from trundle.engine.loop import DIVERGED, OVERTURNED
from trundle.engine.nearby import Draw, drawn, room_m
from trundle.engine.roll import Rolling
from trundle.engine.simulate import Run, Start, at_start, rolled
from trundle.engine.spill import SPILL_BYTES, Spilled
from trundle.engine.standing import Standing
from trundle.errors import InputError, Problem
from trundle.fields.near import NEAR, check_near
from trundle.fields.speed import check_speed
from trundle.findings.ending import Ending, ending
from trundle.findings.events import find_events
from trundle.findings.figures.parts import LEAST_PART, least_part
from trundle.findings.near import near_of
from trundle.findings.readings import Readings, Stood
from trundle.findings.summary import summarise
from trundle.record.columns import timeline_of
from trundle.record.long import LongTimeline
from trundle.result.inputs import GivenCourse, GivenVehicle, course_input, vehicle_input
from trundle.result.near import SPEED_PERCENT, count_for, draws, reach_mm
from trundle.result.result import Result
from trundle.spec.course import Course
from trundle.spec.vehicle import Vehicle
from trundle.terrain.ground import Ground, lay
from trundle.units import MM


def standing_loads(standing: Standing) -> dict[str, float]:
    """Load of one wheel at rest [N], by wheel, front to rear."""
    a = standing.assembly
    return {n: float(standing.rings[i].load / a.per_station[i]) for i, n in enumerate(a.wheel)}


def ride_height_mm(standing: Standing) -> float:
    """Height of the belly datum above the ground, under the centre of mass, standing [mm]."""
    a = standing.assembly
    pitch = float(standing.q[2])
    ground = a.model.ground
    i = int((standing.q[0] - ground.x0) / ground.dx)
    # Straight down from the centre of mass to the line y = 0 of the hull.
    below = a.com[1] / np.cos(pitch)
    return float((standing.q[1] - below - ground.height[i]) / MM)


def run(
    vehicle: GivenVehicle,
    course: GivenCourse,
    *,
    dt_ms: float | None = None,
    ground_mm: float = GROUND_MM,
    speed_m_s: float | None = None,
    near: int | None = None,
    near_seed: int | None = None,
    threads: int | None = None,
    on_progress: Callable[[float], None] | None = None,
) -> Result:
    """Roll `vehicle` over `course` from standstill: `run("teasel", "kerb-100")`.

    Both are files, names of what comes with Trundle, or objects (see load_vehicle, load_course). dt_ms: step [ms]
    (None: 1, or 0.5 with beams on arms or no track); ground_mm: spacing of the ground grid [mm] (10, 5, 2.5, ...);
    speed_m_s: one target speed for the whole course [m/s], instead of the vehicle's and the course's own;
    near: how many times it is rolled, close by: speed within 3 %, start within a link's pitch (without a track 50 mm).
    The first is the run as asked, whose timeline and events are kept; of the others the figures alone, as ranges in
    `.near` and `summary["near"]`. None: 8, of a course of more than five minutes at 1 ms fewer; 1: no other run.
    near_seed: all of them drawn at random, the first too (None: always the same ones). threads: how many at once (None:
    as many as there are cores; a long log is never worked on beside another).
    on_progress: called now and then with the share of the course done, 0 to 1; of a long run with 1 when it has ended,
    before its figures are worked out. The log of a run of more than 256 MB (five minutes at 1 ms with six stations) is
    set aside in a temporary file, in the folder that TMPDIR names or in /var/tmp.

    Raises InputError for an argument or a file that is wrong, if the vehicle cannot stand (StandingError), or if the
    run would be too long or finds no room on the disk (ComputerError). A run that stalls, turns over or blows up is a
    result with `completed` false and the reason in `ended_because`.
    """
    rolling, over = vehicle_input(vehicle), course_input(course)
    with rolling.blamed(), over.blamed():
        built, ground = asked(rolling.vehicle, over.course, ground_mm, speed_m_s)
        check_near(near)
        start = at_start(built, ground, None if dt_ms is None else dt_ms * 1e-3)
        plan = _Plan(built, over.course, ground, start)
        wanted = count_for(plan.steps) if near is None else near
        if wanted == 1 and near_seed is None:
            result = plan.one(Draw(), on_progress)
        else:
            result = plan.all(wanted, near_seed, NEAR if near is None else near, threads, on_progress)
    found = dataclasses.replace(result, vehicle_input=rolling, course_input=over)
    found.summary["headline"] = found.verdict.headline.text
    return found


def asked(vehicle: Vehicle, course: Course, ground_mm: float, speed_m_s: float | None) -> tuple[Vehicle, Ground]:
    """Vehicle and ground as asked for: `speed_m_s`, if given, instead of the vehicle's and the course's own."""
    check_speed(speed_m_s)
    ground = lay(course, ground_mm * MM)
    if speed_m_s is None:
        return vehicle, ground
    vehicle = vehicle.model_copy(update={"drive": vehicle.drive.model_copy(update={"speed_m_s": speed_m_s})})
    return vehicle, dataclasses.replace(ground, speed_m_s=np.full_like(ground.speed_m_s, np.nan))


@dataclass(frozen=True)
class _Plan:
    """A run that is ready to go, and may be rolled more than once."""

    vehicle: Vehicle
    course: Course
    ground: Ground
    start: Start

    @cached_property
    def steps(self) -> int:
        """About how many steps it has."""
        return expected_steps(self.vehicle, self.ground, self.start.dt_s)

    def one(self, draw: Draw, on_progress: Callable[[float], None] | None) -> Result:
        """Roll it once."""
        tell = None
        if on_progress is not None:
            report = on_progress

            def tell(x: float) -> None:
                report(min(max(x / self.ground.length_m, 0.0), 1.0))

        raw = rolled(drawn(self.start, draw, self.ground), on_progress=tell)
        if on_progress is not None and isinstance(raw.rows.log, Spilled):
            on_progress(1.0)  # the run is over, wherever it ended; the figures of a long one take some seconds more
        return result_of(raw, self.vehicle, self.course, self.ground)

    def all(
        self, count: int, seed: int | None, asked: int, threads: int | None, on_progress: Callable[[float], None] | None
    ) -> Result:
        """Roll it and its neighbours; of these nothing stays but their figures."""
        reach = reach_mm(self.vehicle, room_m(self.start, self.ground))
        kept: list[Result] = []

        def roll(job: tuple[int, Draw], tell: Callable[[float], None]) -> dict[str, Any]:
            number, draw = job
            result = self.one(draw, tell)
            if number == 0:
                kept.append(result)
                if isinstance(result.log, LongTimeline):
                    result.log.forget()  # the others want the memory
            return result.summary

        start = self.start
        # Here, before the threads: whatever is not compiled yet is so now.
        width = Rolling(start.standing.assembly.model, start.standing.state, start.dt_s, start.limits).width
        at_once = 1 if 8 * width * self.steps > SPILL_BYTES else threads or core_count()
        jobs = list(enumerate(draws(count, reach * MM, seed)))
        summaries = each_at_once(roll, jobs, at_once, on_progress)
        near = near_of(summaries, SPEED_PERCENT, reach, asked)
        first = kept[0]
        return dataclasses.replace(first, summary={**first.summary, "near": near.kept()})


_AT_ONCE = {
    DIVERGED: "the numbers blew up in the first step: stiffness and mass do not go together, or --dt-ms is too long",
    OVERTURNED: "it overturns in the first step: see how it stands with trundle sheet",
}
"""What is said of a run that ends before there is anything to tell of; too short a course is refused before it."""


def result_of(raw: Run, vehicle: Vehicle, course: Course, ground: Ground) -> Result:
    """Timeline, events and summary of a raw run."""
    assembly = raw.standing.assembly
    if len(raw.rows) < 2:
        raise InputError(Problem(_AT_ONCE.get(raw.rows.why, "the run ended in its first step"), field="vehicle"))
    timeline = timeline_of(raw.rows.log, assembly)
    events = find_events(timeline, assembly, ground)
    because = ending(raw.rows.why, timeline, assembly)
    stood = Stood(standing_loads(raw.standing), ride_height_mm(raw.standing), raw.standing.residual_N)
    readings = Readings(timeline, events, assembly, stood, raw.dt_s, ground.dx_m / MM, raw.rows.wall_s)
    summary: dict[str, Any] = {
        "completed": because is Ending.COURSE_END,
        "ended_because": because.value,
        "vehicle": vehicle.name,
        "course": course.name,
        **summarise(readings),
        LEAST_PART: least_part(readings),
    }
    return Result(vehicle, course, ground, assembly, timeline, events, summary)
