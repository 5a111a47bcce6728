"""Lines of the verdict that belong to the whole course: hull, track, seat, motor, and whether to trust it."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from typing import TYPE_CHECKING, Any

import numpy as np

from trundle.findings import events as ev
from trundle.findings import figures
from trundle.findings.ending import Ending
from trundle.findings.events import BUMP, DROOP, About, Events
from trundle.findings.events.stops import SIGN
from trundle.findings.figures import Needs, Told
from trundle.findings.figures.blow import MEAN_S, mean_name
from trundle.findings.grades import Grade, Line, Section, Subject
from trundle.findings.motor_words import motor_lines
from trundle.findings.near import near_in, said_of
from trundle.findings.ride import caveats, comfort_words
from trundle.findings.seat_words import jolt_lines
from trundle.findings.short import worst_mean
from trundle.findings.states import LEDGER_LIMIT, LOOSE_N, ledger_closes, motor_is_at_limit, motor_share
from trundle.findings.strength_lines import strength_lines
from trundle.findings.summary import value_of
from trundle.findings.words import force, millimetres, power, seconds, speed, spoken, start, torque
from trundle.record.long import Timeline
from trundle.spec.pull import pull_of

if TYPE_CHECKING:
    from trundle.model.assembly import Assembly
    from trundle.strength.margin import PartMargin

STEEP_DEG = 30.0
"""Pitch above which the course line says so (our own line, no source)."""

RESTING_N = 1.0
"""Stop force at rest above which an arm stands on its stop [N]."""

WORST_S = 1.0
"""Torque and power are also given as the highest mean over this time [s]: motors stand more for a moment."""


def sections(
    timeline: Timeline,
    events: Events,
    summary: Mapping[str, Any],
    assembly: Assembly,
    margins: Sequence[PartMargin],
) -> tuple[Section, ...]:
    """Strength, hull, track (if there is one), drive, seat, motor, trust.

    Each subject's own sentences, then its events over the whole course, then a line for each figure that no sentence
    tells of.
    """
    about = About(timeline, summary, assembly, float(summary["min_belly_clearance_mm"]), margins)
    found = []
    for subject in Subject:
        if subject is Subject.TRACK and assembly.vehicle.track is None:
            continue
        before, after = _SENTENCES[subject]
        happened = [line for kind in ev.KINDS if kind.subject is subject for line in kind.course_lines(events, about)]
        lines = [*before(about), *happened, *after(about), *_figure_lines(subject, summary)]
        found.append(Section(subject.value, tuple(lines)))
    return tuple(found)


def _figure_lines(subject: Subject, summary: Mapping[str, Any]) -> list[Line]:
    """A line for each figure of a subject that wants one."""
    lines = []
    for f in figures.TABLE:
        if f.subject is not subject or f.told is not Told.LINE or f.of is None or f.of_wheel:
            continue
        value = value_of(summary, f)
        if value is not None:
            grade = Grade.RISK if f.bad is not None and f.bad.happened(float(value)) else Grade.FINE
            lines.append(Line(grade, f"{start(f.title)} {f.text(float(value))}."))
    return lines


def _none(_: About) -> list[Line]:
    return []


def _hull(about: About) -> list[Line]:
    timeline, summary, assembly = about.timeline, about.summary, about.assembly
    loads = list(summary["static_wheel_load_N"].values())
    least, most = min(loads), max(loads)
    empty = [n for n, v in summary["static_wheel_load_N"].items() if v < 0.05 * float(np.mean(loads))]
    lines = [
        Line(
            Grade.FINE,
            f"Stands with its belly {millimetres(summary['ride_height_mm'])} above the ground; "
            f"a wheel carries {least:.0f} to {most:.0f} N.",
        )
    ]
    if empty:
        lines.append(Line(Grade.RISK, f"Carries next to nothing standing: {', '.join(map(spoken, empty))}."))
    lines += _standing_on_stops(timeline, assembly)
    rows = summary["wheels"]
    hardest = max(rows, key=lambda n: float(rows[n]["peak_N"]))
    peak, where = float(rows[hardest]["peak_N"]), float(rows[hardest]["peak_at_m"])
    mean = float(summary[mean_name("peak_wheel_load_N")])
    lines.append(
        Line(
            Grade.NOTE if peak > 0.5 * assembly.weight_N else Grade.FINE,
            f"Highest wheel load {force(peak)} ({force(mean)} over {1e3 * MEAN_S:g} ms), "
            f"{peak / assembly.weight_N:.2g} times the vehicle's weight, {spoken(hardest)} at {where:.2f} m.",
        )
    )
    return lines


def _pitch(about: About) -> list[Line]:
    pitch = about.timeline["hull.pitch_deg"].to_numpy()
    down, up = max(0.0, -float(pitch.min())), max(0.0, float(pitch.max()))
    grade = Grade.NOTE if max(down, up) > STEEP_DEG else Grade.FINE
    return [Line(grade, f"Pitch from {down:.0f}° nose down to {up:.0f}° nose up.")]


def _standing_on_stops(timeline: Timeline, assembly: Assembly) -> list[Line]:
    """Arms and beams that touch a stop before anything has moved: no travel is left to that side."""
    first = {j: float(timeline[f"arm.{j}.stop_N"].iloc[0]) for j in assembly.joint}
    lines = []
    for kind, sign, grade in ((BUMP, SIGN[BUMP], Grade.RISK), (DROOP, SIGN[DROOP], Grade.NOTE)):
        names = ", ".join(spoken(j) for j, f in first.items() if sign * f > RESTING_N)
        if names:
            lines.append(Line(grade, f"Stands on its {kind}: {names}."))
    return lines


def _track(about: About) -> list[Line]:
    rest = float(about.timeline["track.slack_N"].iloc[0])
    least = float(about.summary["min_track_tension_N"])
    grade = Grade.FINE if least >= LOOSE_N else Grade.NOTE
    return [Line(grade, f"Least tension on the slack side {force(least)} in one track ({force(rest)} standing).")]


def _grip(about: About) -> list[Line]:
    timeline, summary, assembly = about.timeline, about.summary, about.assembly
    used = float(summary["grip_used_up_s"])
    slip = float(summary["peak_slip_m_s"])
    grip = assembly.vehicle.drive.grip
    if used <= 0.0:
        most = float(np.abs(timeline["drive.grip_used"].to_numpy()).max())
        text = f"Never used up: at most {100.0 * most:.0f} % of what a grip of {grip:g} gives."
        return [Line(Grade.FINE, text)]
    text = f"Used up for {seconds(used)} in all at a grip of {grip:g}; fastest slip {speed(slip)}."
    return [Line(Grade.NOTE, text)]


def _seat(about: About) -> list[Line]:
    summary = about.summary
    lines = jolt_lines(summary, about.assembly.vehicle.hull)
    rms = summary["seat_rms_m_s2"]
    if rms is None:
        text = f"Weighted figures are not given: they need {Needs.FINE_STEP.value}."
        return [*lines, Line(Grade.NOTE, text)]
    lines.append(
        Line(
            Grade.FINE if rms < 0.8 else Grade.NOTE,
            f"Weighted r.m.s. {rms:.2f} m/s² vertical (ISO 2631-1, Wk): {comfort_words(float(rms))}.",
        )
    )
    lines.append(
        Line(
            Grade.NOTE,
            f"Dose value (VDV) {summary['seat_vdv_m_s175']:.1f} m/s^1.75; worst second "
            f"{summary['seat_mtvv_m_s2']:.1f} m/s² (MTVV).",
        )
    )
    said = caveats(float(summary["seat_crest_factor"]), float(summary["duration_s"]))
    return lines + [Line(Grade.NOTE, text, aside=True) for text in said]


def _motor(about: About) -> list[Line]:
    timeline, summary, assembly = about.timeline, about.summary, about.assembly
    dt = float(summary["dt_ms"]) * 1e-3
    told = timeline["drive.target_m_s"].to_numpy(), timeline["drive.brake_holds"].to_numpy()
    turning = motor_share(timeline["sprocket.torque_Nm"].to_numpy(), *told)
    watts = np.maximum(timeline["sprocket.power_W"].to_numpy(), 0.0)
    push = motor_share(timeline["drive.push_N"].to_numpy(), *told)
    running = timeline["drive.running_m_s"].to_numpy()
    track = assembly.vehicle.track
    radius = assembly.vehicle.drive_radius_m
    axle = "sprocket" if track else "wheel"
    pull = pull_of(assembly.vehicle)
    limit = pull.most_N
    at_limit = float(motor_is_at_limit(push, limit).sum()) * dt
    reached = (
        f"the most the file allows, for {seconds(max(at_limit, 0.01))}"
        if at_limit > 0.0
        else f"the {'motors give' if pull.corners else 'file allows'} {torque(limit * radius)}"
        + (" at standstill" if pull.corners else "")
    )
    rpm = float(np.abs(running).max()) / radius * 60.0 / (2.0 * math.pi)
    brake = float(-turning.min())
    driving = np.maximum(turning, 0.0)
    lines = [
        Line(
            Grade.NOTE,
            f"Peak torque {torque(float(driving.max()))} ({reached}); "
            f"highest over a second {torque(worst_mean(driving, dt, WORST_S))}; "
            f"continuous (r.m.s.) {torque(float(summary['rms_sprocket_torque_Nm']))}.",
        ),
        Line(
            Grade.NOTE,
            f"Peak power {power(float(watts.max()))}; highest over a second {power(worst_mean(watts, dt, WORST_S))}; "
            f"mean {power(float(summary['mean_sprocket_power_W']))}. Fastest {rpm:.0f} rev/min.",
        ),
    ]
    if brake > 1.0:
        lines.append(Line(Grade.NOTE, f"Hardest braking {torque(brake)}."))
    lines += motor_lines(summary, assembly)
    text = (
        f"At the {axle} axle, both sides together, on this course: with a motor a side, half each; "
        "add what gearbox and chain lose, and more for steering, which a side view does not see."
    )
    return [*lines, Line(Grade.NOTE, text, aside=True)]


def _trust(about: About) -> list[Line]:
    summary = about.summary
    error = float(summary["energy_error"])
    said = f"{100.0 * error:.2g} % of motor work and change of height and motion is unaccounted for"
    lines = []
    if summary["ended_because"] == Ending.BLEW_UP:
        text = "The numbers blew up: nothing here is to be trusted. Try a finer --dt-ms, and report it."
        lines.append(Line(Grade.FAIL, text))
    if not ledger_closes(error):
        text = f"Not to be trusted: {said} (limit {100.0 * LEDGER_LIMIT:g} %). Try a finer --dt-ms."
        lines.append(Line(Grade.FAIL, text))
    else:
        text = f"The energy ledger closes: {said} (limit {100.0 * LEDGER_LIMIT:g} %)."
        lines.append(Line(Grade.FINE, text))
    lines += _rates(about)
    lines.append(Line(Grade.NOTE, said_of(near_in(summary))))
    step = f"{summary['dt_ms']:g} ms steps on a {summary['ground_mm']:g} mm ground grid"
    text = f"Run in {step}. A planar estimate of both sides together: no steering, no tilt, no soft ground."
    lines.append(Line(Grade.NOTE, text))
    if about.assembly.vehicle.track is None:
        text = (
            "Every wheel is driven and pulls by its load, as through differentials; wheels chained to one shaft "
            "hold each other, and the hull then pitches less."
        )
        lines.append(Line(Grade.NOTE, text, aside=True))
    return lines


def _rates(about: About) -> list[Line]:
    """What the ranges of peaks are, where there are any."""
    struck = [g for g in about.assembly.gives if float(about.summary.get(f"peak_{g.part}_load_N") or 0.0) > 0.0]
    if not struck:
        return []
    names = " and ".join([", ".join(g.part for g in struck[:-1]), struck[-1].part]) if struck[1:] else struck[0].part
    guessed = [g.field for g in struck if g.estimated]
    why = f" partly of sizes that the file does not state ({', '.join(dict.fromkeys(guessed))})," if guessed else ""
    text = (
        f"Peaks of blows on {names} hang on rates that are worked out,{why} not measured. A range is what the rate's "
        "own makes of this run's peak; --how-sure runs both ends of it."
    )
    return [Line(Grade.NOTE, text, aside=True)]


_SENTENCES: Mapping[Subject, tuple[Callable[[About], list[Line]], Callable[[About], list[Line]]]] = {
    Subject.STRENGTH: (lambda about: strength_lines(about.margins, about.assembly, near_in(about.summary)), _none),
    Subject.HULL: (_hull, _pitch),
    Subject.TRACK: (_track, _none),
    Subject.GRIP: (_grip, _none),
    Subject.SEAT: (_seat, _none),
    Subject.MOTOR: (_motor, _none),
    Subject.TRUST: (_trust, _none),
}
"""Of each subject, the sentences before its events and those behind them."""
