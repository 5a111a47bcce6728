"""The pictures of a mend: the figure before and after, and the runs over each other along the course."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from trundle.findings.channel import filtered
from trundle.findings.figures import Figure, figure_of
from trundle.findings.grades import Subject
from trundle.model.arrays import Floats
from trundle.report import svg
from trundle.report.frame import BLUE, COLOURS, GREY, INK, PT, WIDE_IN, Sheet, round_steps
from trundle.result.result import Result
from trundle.study.mend.found import Found
from trundle.study.mend.judge import is_margin
from trundle.study.ranges import Range
from trundle.units import MM, G

ROW_PT = 24.0
LEFT_PT, RIGHT_PT, HEAD_PT, FOOT_PT = 250.0, 60.0, 8.0, 34.0
DASH = (2.2, 1.6)
"""Of the run as it is: what is drawn over it is solid."""


@dataclass(frozen=True)
class Curve:
    """One panel of the runs along the course. label: name and unit; of: its values; subjects: what it is about."""

    label: str
    of: Callable[[Result], Floats | None]
    subjects: tuple[Subject, ...]


def _column(name: str, unit: float = 1.0) -> Callable[[Result], Floats | None]:
    def values(result: Result) -> Floats | None:
        if name not in result.log.columns:
            return None
        return np.asarray(result.log[name].to_numpy(), dtype=np.float64) / unit

    return values


def _hardest(result: Result) -> Floats:
    loads = [result.log[f"wheel.{w}.load_N"].to_numpy() for w in result.assembly.wheel]
    return np.asarray(np.max(loads, axis=0) / 1e3, dtype=np.float64)


def _jolt(name: str) -> Callable[[Result], Floats | None]:
    """As the figures of the seat are told: filtered."""
    along = _column(name, G)

    def values(result: Result) -> Floats | None:
        found = along(result)
        return None if found is None else filtered(found, float(result.summary["dt_ms"]) * 1e-3)

    return values


MOST_CURVES = 5
"""Panels that are drawn."""

CURVES = (
    Curve("hardest wheel, kN", _hardest, (Subject.HULL,)),
    Curve("seat, up, g", _jolt("seat.up_m_s2"), (Subject.SEAT,)),
    Curve("slack side, kN", _column("track.slack_N", 1e3), (Subject.TRACK,)),
    Curve("speed, m/s", _column("hull.speed_m_s"), (Subject.GRIP, Subject.MOTOR)),
    Curve("pitch, nose up, deg", _column("hull.pitch_deg"), ()),
    Curve("seat, forward, g", _jolt("seat.forward_m_s2"), (Subject.SEAT,)),
)
"""In the order in which they are drawn, but for those that the figure is about, which come first."""


def along(mended: Found) -> str:
    """The runs along the course: what the figure is about first."""
    assert mended.finding is not None
    subject = figure_of(mended.finding.figure).subject
    runs: list[tuple[Result, str, str, tuple[float, ...]]] = [(mended.before, "as it is", GREY, DASH)]
    runs += [(h.result, f"{i}", COLOURS[(i - 1) % len(COLOURS)], ()) for i, h in enumerate(mended.helps, 1)]
    curves = [c for c in sorted(CURVES, key=lambda c: subject not in c.subjects) if c.of(mended.before) is not None]
    curves = curves[:MOST_CURVES]
    ground = mended.before.ground
    sheet = Sheet([1.7, *(1.2 for _ in curves[1:])], ground.spans, ground.length_m, "centre of mass on the course, m")
    for panel, curve in zip(sheet.panels, curves, strict=True):
        panel.label = curve.label
        for result, label, colour, dash in runs:
            x = np.asarray(result.log["hull.x_mm"].to_numpy(), dtype=np.float64) * MM
            values = curve.of(result)
            if values is not None:
                shown = label if panel is sheet.panels[0] else ""
                panel.curve(x, values, label=shown, colour=colour, dash=dash, wide=0.8)
    return sheet.svg("The run as it is and with each change, along the course")


def ranges(mended: Found) -> str:
    """The figure of each, as the range and the median of its near runs."""
    assert mended.finding is not None
    assert mended.was is not None
    figure = figure_of(mended.finding.figure)
    rows = [("as it is", mended.was, GREY)]
    rows += [(f"{i}  {h.words}", h.gain.after, COLOURS[(i - 1) % len(COLOURS)]) for i, h in enumerate(mended.helps, 1)]
    wide, tall = WIDE_IN * PT, HEAD_PT + ROW_PT * len(rows) + FOOT_PT
    most = max(*(r.high for _, r, _ in rows), 1.1 if is_margin(figure.name) else 0.0)
    least = min(0.0, *(r.low for _, r, _ in rows))
    most = most if most > least else least + 1.0
    scale = (wide - LEFT_PT - RIGHT_PT) / (1.05 * (most - least))

    def at(value: float) -> float:
        return LEFT_PT + (value - least) * scale

    bottom = HEAD_PT + ROW_PT * len(rows)
    pieces = [svg.path(f"M{LEFT_PT:g} {bottom:g}H{wide - RIGHT_PT:g}", INK, 0.6)]
    for step in round_steps(least, most, 8):
        pieces.append(svg.path(f"M{at(step):.2f} {HEAD_PT:g}V{bottom:g}", "#dcdcdc", 0.4))
        pieces.append(svg.words(at(step), bottom + 3.0 + svg.SMALL_PT, f"{step:g}", svg.SMALL_PT, anchor="middle"))
    if is_margin(figure.name):
        pieces.append(svg.path(f"M{at(1.0):.2f} {HEAD_PT:g}V{bottom:g}", BLUE, 0.8, (1.4, 1.4)))
        pieces.append(svg.words(at(1.0) + 3.0, HEAD_PT + 6.0, "holds from here on", svg.NOTE_PT, colour=BLUE))
    for i, (text, value, colour) in enumerate(rows):
        pieces += _row(HEAD_PT + ROW_PT * (i + 0.5), _short(text), value, figure, colour, at)
    middle = 0.5 * (LEFT_PT + wide - RIGHT_PT)
    pieces.append(svg.words(middle, bottom + 16.0 + svg.TEXT_PT, figure.heading, svg.TEXT_PT, anchor="middle"))
    return svg.drawing(wide, tall, pieces, f"{figure.heading} before and after each change")


def _row(y: float, text: str, value: Range, figure: Figure, colour: str, at: Callable[[float], float]) -> list[str]:
    bar = svg.box(at(0.0), y - 6.0, at(value.median) - at(0.0), 12.0)
    ends = f"M{at(value.low):.2f} {y - 3:.2f}v6M{at(value.low):.2f} {y:.2f}H{at(value.high):.2f}m0 -3v6"
    return [
        svg.words(LEFT_PT - 6.0, y + 0.36 * svg.TEXT_PT, text, svg.TEXT_PT, anchor="end"),
        svg.shape(bar, colour, 0.55),
        svg.path(ends, INK, 0.8),
        svg.words(at(value.high) + 6.0, y + 0.36 * svg.TEXT_PT, figure.text(value.median), svg.TEXT_PT, bold=True),
    ]


def _short(text: str) -> str:
    """What has room beside the bars: the end of a long path says more than its beginning."""
    most = int((LEFT_PT - 12.0) / (svg.LETTER_EM * svg.TEXT_PT))
    return text if len(text) <= most else f"{text[:3]}… {text[-(most - 5) :]}"
