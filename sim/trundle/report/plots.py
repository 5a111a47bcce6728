"""The pictures of a run's report, each against the course position, each with what to look for."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np

from trundle.findings import channel
from trundle.findings import events as ev
from trundle.findings.ending import Ending
from trundle.findings.events.marks import MARKS, SIGNS
from trundle.findings.figures import Needs
from trundle.findings.finding import NUMBERED, Finding
from trundle.findings.grades import Grade
from trundle.findings.record import Record
from trundle.model.arrays import Floats
from trundle.record.long import head
from trundle.report import frame
from trundle.report.course_picture import course_picture
from trundle.report.frame import GREEN, ORANGE, Moment, Panel, Sheet
from trundle.spec.pull import pull_of
from trundle.units import DEG, MM, G

HULL_AT = "course position of the hull's centre of mass [m]"
WHEEL_AT = "course position of each wheel [m]"

Worst = Sequence[tuple[int, Finding]]
"""Findings with their numbers."""

FACES = {ev.STILL: ORANGE, ev.WAIT: "white", ev.BACK: "white", ev.SPIN: ORANGE}
"""Of marks below the speed: what is not as it was told is filled."""


BLOWN_ROWS = 50
"""Rows left out at the end of a run that blew up."""


@dataclass(frozen=True)
class Picture:
    """One picture of the page. title: what to look for; note: how to read it; svg: markup of our own."""

    title: str
    note: str
    svg: str


GRADE_COLOURS = {Grade.FINE: "#2e7d32", Grade.NOTE: "#666666", Grade.RISK: "#a85b00", Grade.FAIL: "#b3261e"}
"""Of the numbers of findings: those that the page's style has."""


def pictures(result: Record, findings: Sequence[Finding] = ()) -> list[Picture]:
    """All pictures that fit the run, in reading order. findings: the worst first, numbered in the pictures."""
    result = _sound(result)
    worst = list(enumerate(findings[:NUMBERED], start=1))
    makers: list[Callable[[Record, Worst], Picture]] = [course_picture_of, wheel_loads, arm_angles]
    if result.vehicle.track is not None:
        makers.append(tension)
    makers += [seat, drive]
    return [make(result, worst) for make in makers]


def _sound(result: Record) -> Record:
    """Without the last moment of a run that blew up: its numbers would flatten everything else."""
    rows = len(result.log)
    if result.summary["ended_because"] != Ending.BLEW_UP or rows <= 2 * BLOWN_ROWS:
        return result
    return replace(result, log=head(result.log, rows - BLOWN_ROWS))


def _hull(_: Finding) -> str:
    return "hull"


def _x(result: Record, name: str = "hull") -> Floats:
    return np.asarray(result.log[f"{name}.x_mm"].to_numpy() * MM)


def _col(result: Record, name: str) -> Floats:
    return np.asarray(result.log[name].to_numpy())


def _sheet(
    result: Record,
    heights_in: list[float],
    worst: Worst,
    xlabel: str = HULL_AT,
    whose: Callable[[Finding], str] = _hull,
) -> Sheet:
    return Sheet(heights_in, result.ground.spans, result.ground.length_m, xlabel, _moments(result, worst, whose))


def _moments(result: Record, worst: Worst, whose: Callable[[Finding], str]) -> list[Moment]:
    """Where numbered findings are drawn: where what `whose` names was then; nowhere for "", or for the whole run."""
    times = _col(result, "time_s")
    found = []
    for number, finding in worst:
        name = whose(finding)
        if name and finding.has_moment:
            row = min(int(np.searchsorted(times, finding.time_s - 1e-6)), len(times) - 1)
            found.append(Moment(number, float(_x(result, name)[row]), GRADE_COLOURS[finding.grade]))
    return found


def course_picture_of(result: Record, worst: Worst) -> Picture:
    """The course, the hull's path over it, pitch and belly clearance."""
    sheet, scale = course_picture(result, _moments(result, worst, _hull))
    title = "Does the hull stay level, and does the belly clear the ground?"
    note = f"Heights are {scale} times larger than lengths. " if scale > 1 else "Heights and lengths are to one scale. "
    note += (
        "The vehicle is drawn at a few places on its way (its track is left out); the line is the path of "
        "the hull's centre of mass. Below: pitch, and the least distance between belly and ground."
    )
    return Picture(title, note, sheet.svg(title))


def _wheel(result: Record, finding: Finding) -> str:
    """The wheel that bore a finding's part: `wheel.front.fore` of `arm front.fore`; "" if it is no wheel's."""
    name = finding.part.rpartition(" ")[2]
    own = [w for w in result.assembly.wheel if name and (w == name or w.partition(".")[0] == name)]
    return f"wheel.{own[0]}" if own else ""


def groups(names: tuple[str, ...]) -> dict[str, list[str]]:
    """Names by bogie, in order: {"front": ["front.fore", "front.aft"]}."""
    found: dict[str, list[str]] = {}
    for name in names:
        found.setdefault(name.split(".")[0], []).append(name)
    return found


FEW = 4
"""Panels below each other up to which they have their full height."""


def _row_in(count: int) -> float:
    return 1.15 if count <= FEW else 0.85


def _part(name: str, whole: str = "arm") -> str:
    """`fore` of front.fore; `whole` where the bogie has one part of the kind only."""
    return name.split(".", 1)[1] if "." in name else whole


def wheel_loads(result: Record, worst: Worst) -> Picture:
    """Load of one wheel of each station, by bogie, with stop hits."""
    rows = groups(result.assembly.wheel)
    sheet = _sheet(result, [_row_in(len(rows))] * len(rows), worst, WHEEL_AT, lambda f: _wheel(result, f))
    carrier = {w: j for j, w in zip(result.assembly.joint, _single(result), strict=True) if w is not None}
    peak = max(float(_col(result, f"wheel.{n}.load_N").max()) for n in result.assembly.wheel)
    large = peak >= 2000.0
    unit, share = ("kN", 1e-3) if large else ("N", 1.0)
    for panel, (bogie, names) in zip(sheet.panels, rows.items(), strict=True):
        for i, name in enumerate(names):
            x = _x(result, f"wheel.{name}")
            panel.curve(x, _col(result, f"wheel.{name}.load_N") * share, i, _part(name, "wheel"))
            _stop_marks(panel, result, carrier.get(name, ""), i)
        rest = np.mean([result.summary["static_wheel_load_N"][n] for n in names]) * share
        panel.rule(float(rest))
        panel.limits(-0.02 * peak * share, 1.18 * peak * share)
        panel.label = f"one wheel [{unit}]"
        panel.title = bogie
    title = "Which wheel is hit hardest, and where is one off the ground?"
    note = (
        "Load of one wheel of each station, drawn where that wheel is. The grey line is the load standing; "
        "at zero the wheel is off. Numbered is what wheels, arms and springs bore. "
        f"{SIGNS[ev.BUMP]} bump stop hit, {SIGNS[ev.DROOP]} droop stop hit, in the colour of "
        "the wheel's arm."
    )
    return Picture(title, note, sheet.svg(title))


def _single(result: Record) -> list[str | None]:
    """For each joint, the one wheel it carries, or None."""
    return [p.wheels[0].name if len(p.wheels) == 1 else None for p in result.assembly.parts.swings]


def _stop_marks(panel: Panel, result: Record, joint: str, number: int) -> None:
    """Bump hits along the top edge, droop hits along the bottom: told apart by shape and place."""
    events = result.events
    for kind, share in ((ev.BUMP, 0.80), (ev.DROOP, 0.07)):
        hits = events[(events["kind"] == kind) & (events["where"] == joint)]
        if len(hits):
            colour = frame.COLOURS[number % len(frame.COLOURS)]
            face = colour if kind == ev.BUMP else "white"
            panel.marks(MARKS[kind], hits["course_mm"].to_numpy() * MM, share=share, colour=colour, face=face)


def arm_angles(result: Record, worst: Worst) -> Picture:
    """Angles of the arms and beams between their stops, by bogie."""
    parts = dict(zip(result.assembly.joint, result.assembly.parts.swings, strict=True))
    rows = groups(result.assembly.joint)
    sheet = _sheet(result, [_row_in(len(rows))] * len(rows), worst)
    x = _x(result)
    for panel, (bogie, names) in zip(sheet.panels, rows.items(), strict=True):
        for i, name in enumerate(names):
            panel.curve(x, _col(result, f"arm.{name}.angle_deg"), i, _part(name))
        ends: dict[tuple[float, float], list[str]] = {}
        for name in names:
            ends.setdefault((parts[name].bump / DEG, parts[name].droop / DEG), []).append(_part(name))
        for (bump, droop), which in sorted(ends.items()):
            whose = f"{which[0]}: " if len(ends) > 1 and len(which) == 1 else ""
            panel.rule(bump, f"{whose}bump stop", above=False)
            panel.rule(droop, f"{whose}droop stop")
        low, high = min(b for b, _ in ends), max(d for _, d in ends)
        seen = [_col(result, f"arm.{n}.angle_deg") for n in names]
        low, high = min(low, *(float(v.min()) for v in seen)), max(high, *(float(v.max()) for v in seen))
        pad = 0.16 * (high - low)
        # Bump at the top, as the axle moves; on a low panel more room, or the bogie's name lies on the stop's line.
        panel.limits(high + pad, low - (pad if len(rows) <= FEW else 2.0 * pad))
        panel.label = "angle [deg]"
        panel.title = bogie
    title = "How much travel is left between the stops?"
    note = (
        "Angle of each arm below the hull's level line (of a beam: its tilt), with bump at the top, as the "
        "axle moves. A curve that lies on a dashed line has used up its travel."
    )
    return Picture(title, note, sheet.svg(title))


def tension(result: Record, worst: Worst) -> Picture:
    """Pull in one track, tight and slack side, with the spells in which it was loose."""
    track = result.vehicle.track
    assert track is not None
    sheet = _sheet(result, [1.9], worst)
    panel, x = sheet.panels[0], _x(result)
    panel.curve(x, _col(result, "track.tight_N"), 1, "tight side")
    panel.curve(x, _col(result, "track.slack_N"), 0, "slack side")
    peak = float(_col(result, "track.tight_N").max())
    if track.tension_limit_N is not None and track.tension_limit_N < 3.0 * peak:
        panel.rule(track.tension_limit_N, "stated limit")
        peak = max(peak, track.tension_limit_N)
    for kind, mark, name in ((ev.LOOSE, "cross", "loose"), (ev.TOOTH, "diamond", "wheel clear of the guide tooth")):
        rows = result.events[result.events["kind"] == kind]
        if len(rows):
            panel.marks(mark, rows["course_mm"].to_numpy() * MM, y=0.0, line_pt=1.0, label=name)
    panel.limits(0.0, 1.15 * max(peak, 1.0))
    panel.label = "pull in one track [N]"
    title = "Does the track stay tight, and is it ever pulled too hard?"
    note = (
        "Pull in one of the two tracks. At × the slack side has lost its pull: the track hangs loose and can be thrown."
    )
    return Picture(title, note, sheet.svg(title))


def seat(result: Record, worst: Worst) -> Picture:
    """Accelerations at the seat, up and along, filtered where the step allows it."""
    sheet = _sheet(result, [1.5, 1.2], worst)
    x, dt_s = _x(result), float(result.summary["dt_ms"]) * 1e-3
    filters = channel.fine_enough(dt_s)
    upright, along = sheet.panels
    for panel, name, what in ((upright, "up", "up"), (along, "forward", "forward")):
        g = _col(result, f"seat.{name}_m_s2") / G
        g = channel.filtered(g, dt_s) if filters else g
        panel.curve(x, g)
        panel.rule(0.0)
        low, high = min(float(g.min()), -1.3), max(float(g.max()), 0.5)
        panel.limits(low - 0.1 * (high - low), high + 0.1 * (high - low))
        panel.label = f"{what} [g]"
    whose = f"the {result.vehicle.hull.at_seat}"
    upright.rule(-1.0, f"below: the seat drops faster than {whose}", above=False, colour=ORANGE)
    title = "How rough is it at the seat?"
    done = f"filtered ({channel.NAME})" if filters else f"not filtered: {channel.NAME} needs {Needs.CLASS_STEP.value}"
    note = (
        f"Accelerations of the seat along the hull's upright and along the hull, on top of gravity, {done}. Where the "
        f"lower curve dips, the hull is stopped and {whose} goes on forward."
    )
    return Picture(title, note, sheet.svg(title))


def drive(result: Record, worst: Worst) -> Picture:
    """Torque, power and speed."""
    sheet = _sheet(result, [1.3, 1.1, 1.1], worst)
    torque, power, fast = sheet.panels
    x = _x(result)
    turning = _col(result, "sprocket.torque_Nm")
    torque.curve(x, turning)
    track = result.vehicle.track
    radius = result.vehicle.drive_radius_m
    pull = pull_of(result.vehicle)
    limit = pull.most_N * radius
    if pull.corners:
        most = pull.both_N(np.abs(_col(result, "drive.running_m_s"))) * radius
        torque.curve(x, most, 1, "most at its speed", wide=0.7)
    elif limit < 3.0 * max(float(turning.max()), 1.0):
        torque.rule(limit, "most the motor gives")
        torque.limits(None, 1.25 * limit)
    torque.rule(0.0)
    torque.label = "torque [N·m]"
    power.curve(x, _col(result, "sprocket.power_W") * 1e-3, 2)
    power.rule(0.0)
    power.label = "power [kW]"
    fast.curve(x, _col(result, "drive.running_m_s"), 1, "track" if track else "wheels", wide=0.7)
    fast.curve(x, _col(result, "hull.speed_m_s"), 0, "hull")
    fast.curve(x, _col(result, "drive.target_m_s"), 0, "wanted", colour=GREEN, dash=frame.DASHES[2])
    fast.label = "speed [m/s]"
    top = float(_col(result, "drive.running_m_s").max())
    low = min(float(_col(result, "hull.speed_m_s").min()), 0.0)
    fast.limits(low - 0.15 * (top - low), 1.3 * max(top, 0.1))
    for kind in (ev.STILL, ev.WAIT, ev.BACK, ev.SPIN):
        rows = result.events[result.events["kind"] == kind]
        if len(rows):
            fast.marks(MARKS[kind], rows["course_mm"].to_numpy() * MM, share=0.06, face=FACES[kind], label=kind)
    where = "sprocket" if track else "wheels"
    title = "Is the motor strong enough, and does it slip?"
    note = (
        f"Torque and power at the {where}, both sides together (below zero it brakes). Where the "
        f"{'track runs' if track else 'wheels run'} faster than the hull, the grip has gone. Below zero it backs up."
    )
    return Picture(title, note, sheet.svg(title))
