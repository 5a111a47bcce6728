"""What a vehicle can do at most: highest kerb, widest ditch, steepest ramp, and what stops it there.

Each limit is found by rolling the vehicle over one obstacle after another: larger ones until one stops it,
then halving between the last that it passed and the first that it did not. That assumes that what stops it at one
size stops it at every larger one.
"""

from __future__ import annotations

import math
from collections.abc import Callable

from trundle.engine.standing import stand
from trundle.errors import InputError, Problem
from trundle.fields.speed import check_speed
from trundle.findings.ending import Cause, Ending, Evidence, evidence
from trundle.findings.limit import Limit, Limits
from trundle.findings.passage import passages
from trundle.findings.record import Record
from trundle.model.ground import course_arrays
from trundle.result.inputs import GivenVehicle, vehicle_input
from trundle.result.run import run
from trundle.spec.course import Course
from trundle.spec.vehicle import Vehicle
from trundle.terrain.edges import KerbUp
from trundle.terrain.ground import lay
from trundle.terrain.hollows import Trench
from trundle.terrain.slopes import Flat, RampUp
from trundle.units import MM

KERB_STEP_MM, KERB_FIRST_MM, KERB_MOST_MM = 5.0, 60.0, 1_000.0
DITCH_STEP_MM, DITCH_FIRST_MM = 10.0, 160.0
RAMP_STEP_DEG, RAMP_FIRST_DEG, RAMP_MOST_DEG = 0.5, 10.0, 60.0
"""Fineness of each search, its first trial and its last."""

DITCH_LEAST_MM = 20.0
"""The narrowest ditch that a course can have."""

MOST_GATHER_M = 900.0
"""The longest run-up to reach the target speed: a course can be no longer than two of it and the vehicle [m]."""

FINER_MS = 0.25
"""Step of the second run where the first gets past but its energy ledger does not close [ms]."""

Tell = Callable[[str, float], None]
"""Told what is being tried and the share done, 0 to 1."""


def limits(
    vehicle: GivenVehicle,
    *,
    speed_m_s: float | None = None,
    on_progress: Tell | None = None,
) -> Limits:
    """The highest kerb, widest ditch and steepest ramp that a vehicle manages, and why no more; some thirty runs.

    vehicle: a file, the name of a shipped one, or an object. speed_m_s: target speed [m/s] (None: the vehicle's own).
    on_progress: told what is being tried, and the share done, 0 to 1. Raises InputError if the vehicle cannot stand.
    """
    check_speed(speed_m_s)
    ours = vehicle_input(vehicle)
    one = ours.vehicle
    with ours.blamed():
        found = [
            highest_kerb(one, speed_m_s, on_progress),
            widest_ditch(one, speed_m_s, on_progress),
            steepest_ramp(one, speed_m_s, on_progress),
            steepest_hold(one),
        ]
    return Limits(found, one.name, one.drive.speed_m_s if speed_m_s is None else speed_m_s, one.drive.grip)


def highest_kerb(vehicle: Vehicle, speed_m_s: float | None = None, on_progress: Tell | None = None) -> Limit:
    """Highest upright, sharp-edged kerb that the whole vehicle gets up, to 5 mm."""

    def course(mm: float) -> Course:
        return _course(vehicle, speed_m_s, KerbUp(kind="kerb up", height_mm=mm))

    return _search(
        "kerb climbed",
        "mm",
        course,
        vehicle,
        speed_m_s,
        on_progress,
        KERB_STEP_MM,
        KERB_FIRST_MM,
        KERB_MOST_MM,
    )


def widest_ditch(vehicle: Vehicle, speed_m_s: float | None = None, on_progress: Tell | None = None) -> Limit:
    """Widest upright-sided ditch, too deep to drive through, that the whole vehicle crosses, to 10 mm."""
    long = _length_mm(vehicle)
    deep = min(2_000.0, max(500.0, 0.6 * long))

    def course(mm: float) -> Course:
        return _course(vehicle, speed_m_s, Trench(kind="trench", bottom_mm=mm, depth_mm=deep))

    return _search(
        "ditch crossed",
        "mm",
        course,
        vehicle,
        speed_m_s,
        on_progress,
        DITCH_STEP_MM,
        DITCH_FIRST_MM,
        2.0 * long,
        DITCH_LEAST_MM,
    )


def steepest_ramp(vehicle: Vehicle, speed_m_s: float | None = None, on_progress: Tell | None = None) -> Limit:
    """Steepest ramp, 2.5 vehicles long, driven up from the flat, to half a degree."""
    long = _length_mm(vehicle)

    def course(deg: float) -> Course:
        return ramp_course(deg, long)

    return _search(
        "ramp climbed",
        "deg",
        course,
        vehicle,
        speed_m_s,
        on_progress,
        RAMP_STEP_DEG,
        RAMP_FIRST_DEG,
        RAMP_MOST_DEG,
    )


def ramp_course(slope_deg: float, vehicle_mm: float) -> Course:
    """Flat, then a ramp up to the course's end; made of several where one obstacle may not be so high."""
    rise = 2.5 * vehicle_mm * math.sin(math.radians(slope_deg))
    pieces = math.ceil(rise / 2_000.0)
    ramps = [RampUp(kind="ramp up", height_mm=rise / pieces, slope_deg=slope_deg, gap_mm=0.0) for _ in range(pieces)]
    start = Flat(kind="flat", length_mm=500.0, gap_mm=0.0)
    return Course(run_up_mm=vehicle_mm + 500.0, run_out_mm=0.0, obstacle=(start, *ramps))


def steepest_hold(vehicle: Vehicle) -> Limit:
    """Steepest slope on which it stands nose up with the brake on, by plain statics of a rigid body.

    Least of: brake asin(F / W), grip atan(mu), tipping over the rearmost road wheel's contact
    atan(overhang / height of the centre of mass); any textbook of statics. The springs' give is left out.
    """
    level = Flat(kind="flat", length_mm=1_000.0)
    flat = lay(Course(run_up_mm=_length_mm(vehicle) + 500.0, obstacle=(level,)))
    stood = stand(vehicle, course_arrays(flat))
    masses = stood.assembly.model.bodies["mass"]
    x = float((stood.state.bodies[:, 0] * masses).sum() / masses.sum())
    y = float((stood.state.bodies[:, 1] * masses).sum() / masses.sum())
    road = stood.rings.x[: len(stood.assembly.wheel)]
    rear = float(road.min())
    drive = vehicle.drive
    angles = {
        "brake: it gives way": math.degrees(math.asin(min(1.0, drive.brake_N / stood.assembly.weight_N))),
        f"grip: it slides at {drive.grip:g}": math.degrees(math.atan(drive.grip)),
        "overturning: it tips over its rear wheels": math.degrees(math.atan2(x - rear, y)),
    }
    why = min(angles, key=lambda k: angles[k])
    value = math.floor(angles[why] / RAMP_STEP_DEG) * RAMP_STEP_DEG
    return Limit("slope held, nose up", value, value + RAMP_STEP_DEG, "deg", f"{why} (statics, no run)")


def passed(result: Record) -> bool:
    """True if the run reached its end with every obstacle behind the tail (or the end on the obstacle)."""
    if not result.completed:
        return False
    met = passages(result.log, result.assembly, result.ground.spans)
    end = result.ground.length_m
    return all(p.over or p.end_m > end - 0.1 for p in met)


def why_not(result: Record) -> str:
    """What stopped a run, in a word with the evidence: grip, torque, belly, nose, overturning."""
    if passed(result):
        return "no answer: it gets past, but the energy ledger of that run does not close"
    because = result.summary["ended_because"]
    shown = evidence(result.log, result.assembly)
    if because == Ending.OVERTURNED:
        return f"overturning: it falls over {'backwards' if shown.pitch_deg > 0.0 else 'forwards'}"
    if because == Ending.BLEW_UP:
        return "no answer: the numbers blew up (no limit of the vehicle)"
    found = [_said(cause, shown, result) for cause in shown.causes]
    if because == Ending.ROLLED_BACK:
        found.append("it rolls back off the start")
    if not found and result.completed:
        found = ["the tail does not follow"]
    if not found:
        found = [
            f"{because}: {100.0 * shown.grip:.0f} % of the grip and {100.0 * shown.push:.0f} % of the torque in use"
        ]
    return "; ".join(found)


def _said(cause: Cause, shown: Evidence, result: Record) -> str:
    """One cause with its evidence."""
    track = result.vehicle.track
    sprocket, idler = ("tail", "nose") if track is not None and track.idler_at_front else ("nose", "tail")
    return {
        Cause.BELLY: f"belly: it carries {100.0 * shown.belly:.0f} % of the weight",
        Cause.GRIP: f"grip: all of {result.vehicle.drive.grip:g} is used up",
        Cause.SPROCKET: f"{sprocket}: the sprocket is pressed against the ground",
        Cause.IDLER: f"{idler}: the idler is pressed against the ground",
        Cause.MOTOR: "torque: the motor is at its limit",
    }[cause]


def _length_mm(vehicle: Vehicle) -> float:
    """From the rearmost to the foremost point, roughly: hull, sprocket and idler [mm]."""
    xs = [0.0, vehicle.hull.length_mm, *(x for x, _ in vehicle.hull.belly_mm)]
    if vehicle.track is not None:
        track = vehicle.track
        wrap = track.sprocket_radius_m / MM + track.thickness_mm
        xs += [track.sprocket.at_mm[0] - wrap, track.sprocket.at_mm[0] + wrap]
        wrap = track.idler.radius_mm + track.thickness_mm
        xs += [track.idler.at_mm[0] - wrap, track.idler.at_mm[0] + wrap]
    return max(xs) - min(xs)


def _course(vehicle: Vehicle, speed_m_s: float | None, obstacle: KerbUp | Trench) -> Course:
    """One obstacle, with room to reach the speed before it and for the whole vehicle behind it.

    Raises InputError if no course has that room.
    """
    long = _length_mm(vehicle)
    fast = vehicle.drive.speed_m_s if speed_m_s is None else speed_m_s
    gather = 1_000.0 * fast**2 / (2.0 * vehicle.drive.acceleration_m_s2)
    if gather * MM > MOST_GATHER_M:
        raise InputError(
            Problem(
                f"at {vehicle.drive.acceleration_m_s2:g} m/s2 it takes {gather * MM:,.0f} m to reach {fast:g} m/s",
                field="drive.acceleration_m_s2",
                allowed=f"a run-up of {MOST_GATHER_M:g} m at the most: a lower speed, or more acceleration",
            )
        )
    return Course(
        run_up_mm=long + gather + 500.0,
        run_out_mm=1.5 * long + 500.0,
        obstacle=(obstacle.model_copy(update={"gap_mm": 0.0}),),
    )


def _search(
    what: str,
    unit: str,
    course: Callable[[float], Course],
    vehicle: Vehicle,
    speed_m_s: float | None,
    on_progress: Tell | None,
    step: float,
    first: float,
    most: float,
    least: float = 0.0,
) -> Limit:
    """Double the size until one stops it, then halve between, in whole steps. Raises InputError from the runs.

    least: sizes below are not tried; a vehicle that one of this size stops has the limit 0.
    """
    check_speed(speed_m_s)
    lowest = max(1, math.ceil(least / step))
    top = max(lowest, int(most / step))
    doubtful = runs = 0
    # Eleven or so runs are usual; the share shown is only that.
    usual = 2.0 + math.log2(top)

    def fails(k: int) -> Record | None:
        """The run that did not get past size k, or None. Only a run to be trusted counts as a pass."""
        nonlocal doubtful, runs
        if on_progress is not None:
            mark = "°" if unit == "deg" else f" {unit}"
            on_progress(f"{what}: {k * step:g}{mark}", min(0.95, runs / usual))
        runs += 1
        result = run(vehicle, course(k * step), speed_m_s=speed_m_s)
        if passed(result) and not result.trusted:
            runs += 1
            result = run(vehicle, course(k * step), speed_m_s=speed_m_s, dt_ms=FINER_MS)
        doubtful += not result.trusted
        return None if passed(result) and result.trusted else result

    good, k, worst = 0, max(lowest, round(first / step)), None
    while worst is None and good < top:
        k = min(k, top)
        worst = fails(k)
        if worst is None:
            good, k = k, 2 * k
    if worst is None:
        why = "nothing stopped it as far as it was tried"
        return Limit(what, top * step, None, unit, why, runs, doubtful)
    bad = k
    while bad - good > 1 and bad > lowest:
        middle = max(lowest, (good + bad) // 2)
        failed = fails(middle)
        if failed is None:
            good = middle
        else:
            bad, worst = middle, failed
    return Limit(what, good * step, bad * step, unit, why_not(worst), runs, doubtful)
