"""Sentences of what is at the seat: how hard it is shaken, stopped and thrown."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from trundle.findings import channel
from trundle.findings.blows import HARD_BLOW_G
from trundle.findings.figures import Needs
from trundle.findings.grades import Grade, Line
from trundle.findings.words import g_range, millimetres, seconds, speed

LOST_M_S = 0.3
"""Speed lost at once below which nobody is told of it [m/s] (our own line, no source)."""

LEFT_MM = 1.0
"""Who is thrown no higher than this has not left the seat: the cushion gives as much [mm] (our own line, no source)."""


def jolt_lines(summary: Mapping[str, Any]) -> list[Line]:
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
    if float(summary["seat_left_mm"]) >= LEFT_MM:
        text = (
            f"Loose in the seat, one is thrown {millimetres(float(summary['seat_left_mm']))} out of it and meets it "
            f"again at {speed(float(summary['seat_met_m_s']))}; {seconds(max(float(summary['seat_left_s']), 0.01))} in "
            "the air in all: hold on, strap in."
        )
        lines.append(Line(Grade.RISK, text))
    return lines


def jolt_grade(peak_g: float) -> Grade:
    """How much a jolt should worry."""
    if peak_g >= HARD_BLOW_G:
        return Grade.RISK
    return Grade.FINE if peak_g < 1.0 else Grade.NOTE
