"""Sentences of what is at the seat: how hard it is shaken, stopped and thrown."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from trundle.findings import channel
from trundle.findings.blows import HARD_BLOW_G
from trundle.findings.figures import Needs
from trundle.findings.grades import Grade, Line
from trundle.findings.holds import HOLDS, held_by, mass_kg, would_hold
from trundle.findings.words import force, g_range, millimetres, seconds, speed, start, torque
from trundle.units import MM

if TYPE_CHECKING:
    from trundle.spec.hull import Hull

LOST_M_S = 0.3
"""Speed lost at once below which nobody is told of it [m/s] (our own line, no source)."""

THROWN_MM = 20.0
"""From here on he is thrown out of it: more than a cushion springs back [mm] (our own line, no source)."""

SLIDES_MM = 150.0
"""Further than arms give: he is thrown at the bars [mm] (our own line, no source)."""

LEFT_MM = 1.0
"""Who is thrown no higher than this has not left the seat: the cushion gives as much [mm] (our own line, no source)."""


def jolt_lines(summary: Mapping[str, Any], hull: Hull) -> list[Line]:
    """Jolts, speed lost, time out of the seat."""
    lines = []
    if summary["peak_seat_g"] is None:
        text = f"Jolts are not given: {channel.NAME} needs {Needs.CLASS_STEP.value}."
        lines.append(Line(Grade.NOTE, text))
    else:
        peak, along = float(summary["peak_seat_g"]), float(summary["peak_seat_forward_g"])
        low, high = float(summary["peak_seat_low_g"]), float(summary["peak_seat_high_g"])
        hard = f"{peak:.1f} g" if low == high else g_range(low, high)
        together = float(summary["peak_seat_resultant_g"])
        text = (
            f"Hardest jolt {hard} up or down, {along:.1f} g along, {together:.1f} g together, on top of gravity "
            f"(filtered: {channel.NAME})."
        )
        lines.append(Line(jolt_grade(max(peak, along, together)), text))
    lost = float(summary["speed_lost_m_s"])
    if lost >= LOST_M_S:
        text = f"Loses {speed(lost)} at once, nine tenths of it in {seconds(float(summary['speed_lost_over_s']))}."
        lines.append(Line(Grade.NOTE, text))
    lines += _forces(summary, hull)
    # Less is told with what holds.
    if float(summary["seat_slides_mm"]) >= SLIDES_MM:
        far, fast = float(summary["seat_slides_mm"]), float(summary["seat_slides_m_s"])
        text = f"{start(the(hull))} slides {millimetres(far)} along the seat before that holds, at up to {speed(fast)}."
        lines.append(Line(Grade.RISK, text))
    if not HOLDS[held_by(hull)].down and float(summary["seat_left_mm"]) >= LEFT_MM:
        lines.append(
            Line(Grade.NOTE if float(summary["seat_left_mm"]) < THROWN_MM else Grade.RISK, left_text(summary, hull))
        )
    return lines


def left_text(summary: Mapping[str, Any], hull: Hull) -> str:
    """How far it is thrown out of the seat."""
    high, met, off = (float(summary[n]) for n in ("seat_left_mm", "seat_met_m_s", "seat_left_s"))
    strap = "hold on, strap in" if hull.at_seat == "rider" else "lash it down"
    return (
        f"{start(the(hull))} is {millimetres(high)} out of the seat and meets it again at {speed(met)}; off it for "
        f"{seconds(max(off, 0.01))} in all: {strap}."
    )


def _forces(summary: Mapping[str, Any], hull: Hull) -> list[Line]:
    """What it takes to hold it."""
    if summary["peak_seat_g"] is None:
        return []
    kg = mass_kg(hull)
    if kg is None:
        text = f"What holds {the(hull)} is not worked out: {Needs.SEAT_MASS.value} says what it weighs."
        return [Line(Grade.NOTE, text)]
    text = f"{start(hold_text(summary, hull, kg))}."
    return [Line(Grade.NOTE, text)]


def hold_text(summary: Mapping[str, Any], hull: Hull, kg: float) -> str:
    """`holding the rider (75 kg, an estimate) takes 3.1 kN along, 3.5 kN in all; a lap belt holds 6.6 kN (...)`."""
    along, both = float(summary["seat_forward_force_N"]), float(summary["seat_force_N"])
    weighs = f"{kg:g} kg" if hull.seat_kg is not None else f"{kg:g} kg, an estimate"
    said = f"holding {the(hull)} ({weighs}) takes {force(along)} along, {force(both)} in all"
    if hull.at_seat == "mast" and hull.mast_mm is not None:
        said += f", and bends the mast's foot by {torque(along * hull.mast_mm * MM)}"
    along_g = float(summary["peak_seat_forward_g"])
    better, has = would_hold(hull, along_g), HOLDS[held_by(hull)]
    said = f"{said}; {has.said(kg)}"
    far = float(summary.get("seat_slides_mm") or 0.0)
    if LEFT_MM <= far < SLIDES_MM:  # further than that has a line of its own
        said += f", so that {the(hull)} slides {millimetres(far)}"
    if better is not None:
        # What holds as much as its own bolts has no figure to tell.
        more = "bolts would have to stand all of it" if HOLDS[better].along_g is None else HOLDS[better].said(kg)
        return f"{said}, {more}"
    return said if has.along_g is None or has.along_g >= along_g else f"{said}, and nothing known here holds so much"


def the(hull: Hull) -> str:
    """`the rider`, `the load`, `the mast`."""
    return f"the {hull.at_seat}"


def jolt_grade(peak_g: float) -> Grade:
    """How much a jolt should worry."""
    if peak_g >= HARD_BLOW_G:
        return Grade.RISK
    return Grade.FINE if peak_g < 1.0 else Grade.NOTE
