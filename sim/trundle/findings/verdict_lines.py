"""Lines of the verdict that belong to the whole course: hull, track, seat, motor, and whether to trust it."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

import numpy as np
import pandas as pd

from trundle.findings import events as ev
from trundle.findings.ride import caveats, comfort_words
from trundle.findings.summary import LEDGER_LIMIT
from trundle.findings.verdict import Grade, Line, Section, belly_lines, loose_grade, stop_lines, wheel_lines
from trundle.findings.words import force, millimetres, power, seconds, speed, spoken, times, torque
from trundle.model.arrays import Floats
from trundle.model.assembly import Assembly
from trundle.units import G

STEEP_DEG = 30.0
"""Pitch above which the course line says so (our own line, no source)."""

RESTING_N = 1.0
"""Stop force at rest above which an arm stands on its stop [N]."""

WORST_S = 1.0
"""Torque and power are also given as the highest mean over this time [s]: motors stand more for a moment."""


def sections(
    timeline: pd.DataFrame, events: pd.DataFrame, summary: Mapping[str, Any], assembly: Assembly
) -> tuple[Section, ...]:
    """Hull, track (if there is one), drive, seat, motor, trust."""
    found = [Section("Hull and wheels", tuple(_hull(timeline, events, summary, assembly)))]
    if assembly.vehicle.track is not None:
        found.append(Section("Track", tuple(_track(timeline, events, summary, assembly))))
    found.append(Section("Grip", tuple(_grip(timeline, summary, assembly))))
    found.append(Section("Seat", tuple(_seat(timeline, summary))))
    found.append(Section("Motor", tuple(_motor(timeline, summary, assembly))))
    found.append(Section("Trust", tuple(_trust(timeline, summary))))
    return tuple(found)


def _hull(timeline: pd.DataFrame, events: pd.DataFrame, summary: Mapping[str, Any], assembly: Assembly) -> list[Line]:
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
    peak, rest = float(rows[hardest]["peak_N"]), float(rows[hardest]["standing_N"])
    at = int(timeline[f"wheel.{hardest}.load_N"].to_numpy().argmax())
    where = float(timeline[f"wheel.{hardest}.x_mm"].iloc[at]) * 1e-3
    times_rest = f", {peak / rest:.0f} times its standing load" if rest > 1.0 and peak > 1.5 * rest else ""
    lines.append(
        Line(
            Grade.NOTE if peak > 0.5 * assembly.weight_N else Grade.FINE,
            f"Highest wheel load {force(peak)}, {spoken(hardest)} at {where:.2f} m{times_rest}.",
        )
    )
    lines += stop_lines(events, assembly)
    lines += wheel_lines(events)
    lines += belly_lines(events, float(summary["min_belly_clearance_mm"]))
    pitch = timeline["hull.pitch_deg"].to_numpy()
    down, up = max(0.0, -float(pitch.min())), max(0.0, float(pitch.max()))
    lines.append(
        Line(
            Grade.NOTE if max(down, up) > STEEP_DEG else Grade.FINE,
            f"Pitch from {down:.0f}° nose down to {up:.0f}° nose up.",
        )
    )
    return lines


def _standing_on_stops(timeline: pd.DataFrame, assembly: Assembly) -> list[Line]:
    """Arms and beams that touch a stop before anything has moved: no travel is left to that side."""
    first = {j: float(timeline[f"arm.{j}.stop_N"].iloc[0]) for j in assembly.joint}
    lines = []
    for kind, sign, grade in ((ev.BUMP, 1.0, Grade.RISK), (ev.DROOP, -1.0, Grade.NOTE)):
        names = ", ".join(spoken(j) for j, f in first.items() if sign * f > RESTING_N)
        if names:
            lines.append(Line(grade, f"Stands on its {kind}: {names}."))
    return lines


def _track(timeline: pd.DataFrame, events: pd.DataFrame, summary: Mapping[str, Any], assembly: Assembly) -> list[Line]:
    track = assembly.vehicle.track
    assert track is not None
    rest = float(timeline["track.slack_N"].iloc[0])
    least = float(summary["min_track_tension_N"])
    loose = events[events["kind"] == ev.LOOSE]
    lines = [
        Line(
            Grade.FINE if least >= ev.LOOSE_N else Grade.NOTE,
            f"Least tension on the slack side {force(least)} in one track ({force(rest)} standing).",
        )
    ]
    if len(loose):
        longest = seconds(float(loose["duration_s"].max()))
        spare = float(loose["height_mm"].max())
        length = f"; up to {millimetres(spare)} of track to spare" if spare >= 0.5 else ""
        lines.append(
            Line(
                loose_grade(loose),
                f"Loose {times(len(loose))}, {seconds(float(loose['duration_s'].sum()))} in all, "
                f"longest {longest}{length}. A loose track can be thrown.",
            )
        )
    else:
        lines.append(Line(Grade.FINE, "Never loose."))
    lines.append(_tooth(timeline, events, track.tooth_mm, assembly))
    peak = float(summary["peak_track_tension_N"])
    limit = track.tension_limit_N
    if limit is None:
        text = f"Highest tension {force(peak)} in one track; the file states no limit."
        lines.append(Line(Grade.FINE, text))
    else:
        over = events[events["kind"] == ev.TIGHT]
        said = f"over the stated {force(limit)} {times(len(over))}" if len(over) else f"limit {force(limit)}"
        grade = Grade.RISK if len(over) else Grade.FINE
        lines.append(Line(grade, f"Highest tension {force(peak)} in one track, {said}."))
    return lines


def _tooth(timeline: pd.DataFrame, events: pd.DataFrame, tooth_mm: float, assembly: Assembly) -> Line:
    gaps = {n: float(timeline[f"wheel.{n}.band_gap_mm"].max()) for n in assembly.wheel}
    wheel = max(gaps, key=lambda n: gaps[n])
    clear = events[events["kind"] == ev.TOOTH]
    if len(clear):
        names = ", ".join(spoken(n) for n in dict.fromkeys(clear["where"]))
        lasts = seconds(float(clear["duration_s"].max()))
        text = (
            f"Wheel clear of the {tooth_mm:g} mm guide tooth {times(len(clear))} ({names}), "
            f"longest {lasts}, up to {millimetres(gaps[wheel])} off the track. The track can walk off."
        )
        return Line(Grade.RISK, text)
    if gaps[wheel] < 0.5:
        return Line(Grade.FINE, "All wheels stay on the track.")
    most = f"{millimetres(gaps[wheel])} off ({spoken(wheel)})"
    text = f"No wheel clear of the {tooth_mm:g} mm guide tooth; most {most}."
    return Line(Grade.NOTE if gaps[wheel] > 0.7 * tooth_mm else Grade.FINE, text)


def _grip(timeline: pd.DataFrame, summary: Mapping[str, Any], assembly: Assembly) -> list[Line]:
    used = float(summary["grip_used_up_s"])
    slip = float(summary["peak_slip_m_s"])
    grip = assembly.vehicle.drive.grip
    if used <= 0.0:
        most = float(np.abs(timeline["drive.grip_used"].to_numpy()).max())
        text = f"Never used up: at most {100.0 * most:.0f} % of what a grip of {grip:g} gives."
        return [Line(Grade.FINE, text)]
    text = f"Used up for {seconds(used)} in all at a grip of {grip:g}; fastest slip {speed(slip)}."
    return [Line(Grade.NOTE, text)]


def _seat(timeline: pd.DataFrame, summary: Mapping[str, Any]) -> list[Line]:
    up = timeline["seat.up_m_s2"].to_numpy()
    peak = float(summary["peak_seat_g"])
    text = f"Hardest jolt {peak:.1f} g up or down, on top of gravity."
    lines = [Line(Grade.FINE if peak < 1.0 else Grade.NOTE, text)]
    lifted = float((up <= -G).sum()) * float(summary["dt_ms"]) * 1e-3
    if lifted > 0.0:
        lasts = seconds(max(lifted, 0.01))
        text = f"For {lasts} in all the seat drops faster than a rider falls: hold on, strap in."
        lines.append(Line(Grade.RISK, text))
    rms = summary["seat_rms_m_s2"]
    if rms is None:
        text = "Weighted figures are not given: they need a step of 2.5 ms or finer."
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
    return lines + [Line(Grade.NOTE, text) for text in said]


def _motor(timeline: pd.DataFrame, summary: Mapping[str, Any], assembly: Assembly) -> list[Line]:
    dt = float(summary["dt_ms"]) * 1e-3
    turning = timeline["sprocket.torque_Nm"].to_numpy()
    watts = np.maximum(timeline["sprocket.power_W"].to_numpy(), 0.0)
    push = timeline["drive.push_N"].to_numpy()
    running = timeline["drive.running_m_s"].to_numpy()
    track = assembly.vehicle.track
    radius = track.sprocket_radius_m if track else float(assembly.model.rings[0].radius)
    axle = "sprocket" if track else "wheel"
    limit = float(assembly.model.drive[0].push)
    at_limit = float((push >= 0.999 * limit).sum()) * dt
    reached = (
        f"the most the file allows, for {seconds(max(at_limit, 0.01))}"
        if at_limit > 0.0
        else (f"the file allows {torque(limit * radius)}")
    )
    rpm = float(running.max()) / radius * 60.0 / (2.0 * math.pi)
    brake = float(-turning.min())
    driving = np.maximum(turning, 0.0)
    lines = [
        Line(
            Grade.NOTE,
            f"Peak torque {torque(float(driving.max()))} ({reached}); "
            f"highest over a second {torque(worst_mean(driving, dt))}; "
            f"continuous (r.m.s.) {torque(float(summary['rms_sprocket_torque_Nm']))}.",
        ),
        Line(
            Grade.NOTE,
            f"Peak power {power(float(watts.max()))}; highest over a second {power(worst_mean(watts, dt))}; "
            f"mean {power(float(summary['mean_sprocket_power_W']))}. Fastest {rpm:.0f} rev/min.",
        ),
    ]
    if brake > 1.0:
        lines.append(Line(Grade.NOTE, f"Hardest braking {torque(brake)}."))
    text = (
        f"At the {axle} axle, both sides together, on this course: with a motor a side, half each; "
        "add what gearbox and chain lose, and more for steering, which a side view does not see."
    )
    return [*lines, Line(Grade.NOTE, text)]


def worst_mean(values: Floats, dt_s: float, window_s: float = WORST_S) -> float:
    """Highest mean of a series over any `window_s` [s], or over all of it if it is shorter."""
    n = min(max(round(window_s / dt_s), 1), len(values))
    sums = np.concatenate(([0.0], np.cumsum(values)))
    return float((sums[n:] - sums[:-n]).max() / n)


def _trust(timeline: pd.DataFrame, summary: Mapping[str, Any]) -> list[Line]:
    error = float(summary["energy_error"])
    said = f"{100.0 * error:.2g} % of the energy put through is unaccounted for"
    lines = []
    if summary["ended_because"] == "numbers blew up":
        text = "The numbers blew up: nothing here is to be trusted. Try a finer --dt-ms, and report it."
        lines.append(Line(Grade.FAIL, text))
    if error > LEDGER_LIMIT:
        text = f"Not to be trusted: {said} (limit {100.0 * LEDGER_LIMIT:g} %). Try a finer --dt-ms."
        lines.append(Line(Grade.FAIL, text))
    else:
        text = f"The energy ledger closes: {said} (limit {100.0 * LEDGER_LIMIT:g} %)."
        lines.append(Line(Grade.FINE, text))
    step = f"{summary['dt_ms']:g} ms steps on a {summary['ground_mm']:g} mm ground grid"
    text = f"Run in {step}. A planar estimate of both sides together: no steering, no tilt, no soft ground."
    lines.append(Line(Grade.NOTE, text))
    if summary["min_track_tension_N"] is None:  # a vehicle without a track
        text = (
            "Every wheel is driven and pulls by its load, as through differentials; wheels chained to one shaft "
            "hold each other, and the hull then pitches less."
        )
        lines.append(Line(Grade.NOTE, text))
    return lines
