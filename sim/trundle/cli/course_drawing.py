"""Draws a laid course as one or more rows to one scale. Imported only when something is to be drawn."""

from __future__ import annotations

import io
import math
import textwrap
import warnings
from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Protocol, cast

import numpy as np
from matplotlib.axes import Axes
from matplotlib.backends.backend_agg import RendererAgg
from matplotlib.figure import Figure
from matplotlib.font_manager import FontProperties
from matplotlib.ticker import FuncFormatter, MultipleLocator

from trundle.cli.course_labels import Flag, place
from trundle.terrain.ground import Ground
from trundle.terrain.instructions import Task

INK, FAINT, SOIL, TURF, MARK, TINT, TOLD = (
    "#22292f", "#6b7680", "#e9e1d3", "#5d4a36", "#b4511e", "#f3cfae", "#1f5f8b",
)  # fmt: skip
WIDTH_IN, LEFT_IN, RIGHT_IN = 13.0, 0.85, 0.35
LABEL_IN, LABEL_GAP_IN, SPEED_IN, TOLD_IN, AXIS_IN = 0.36, 0.14, 0.34, 0.2, 0.62
MOST_LINES = 8
ROW_M, MOST_ROWS = 15.0, 8
RELIEF_IN = 1.25
EXAGGERATIONS = (1, 2, 3, 4, 5, 8, 10, 15, 20, 30, 50, 100, 200)
DPI = 130


class _Pen(Protocol):
    """What is used of a matplotlib renderer, which carries no types of its own."""

    def get_text_width_height_descent(self, s: str, prop: FontProperties, ismath: bool) -> tuple[float, float, float]:
        """Size of one line [px]."""
        ...


_PEN = cast("Callable[[int, int, int], _Pen]", RendererAgg)(1, 1, DPI)
_LABEL_FONT = FontProperties(size=8.5)


@dataclass(frozen=True)
class _Row:
    start_m: float
    end_m: float
    low_m: float
    high_m: float
    flags: list[tuple[Flag, str]]
    """Each label's place (its index is the obstacle's) and its two lines."""
    tasks: list[tuple[Task, int]]
    """What the driver is told to do in it, each with the line it is drawn on, 0 the uppermost."""

    @property
    def under_in(self) -> float:
        """Room below the ground, for what the driver is told and for the speeds [in]."""
        return SPEED_IN + TOLD_IN * (1 + max((line for _, line in self.tasks), default=-1))

    @property
    def levels(self) -> int:
        return max((f.level for f, _ in self.flags), default=-1) + 1


def draw(ground: Ground, title: str, note: str = "", file_format: str = "png") -> tuple[bytes, int]:
    """The picture as bytes of `file_format`, and how many times heights are drawn larger than lengths."""
    cuts = _cuts(ground)
    inch_per_m = (WIDTH_IN - LEFT_IN - RIGHT_IN) / max(b - a for a, b in cuts)
    rows = [_row(ground, a, b, inch_per_m) for a, b in cuts]
    relief = max(r.high_m - r.low_m for r in rows)
    times = max((e for e in EXAGGERATIONS if relief * inch_per_m * e <= RELIEF_IN), default=1)

    note_lines = textwrap.wrap(" ".join(note.split()), 165)[:3]
    head = 0.72 + 0.2 * len(note_lines)
    heights = [_height_in(r, inch_per_m * times) for r in rows]
    total = head + sum(heights) + AXIS_IN * len(rows) + 0.12
    figure = Figure(figsize=(WIDTH_IN, total), dpi=DPI, facecolor="white")
    left_out = len(ground.spans) - len({f.index for r in rows for f, _ in r.flags})
    _heading(figure, total, title, note_lines, _scale_text(ground, times, left_out))
    top = head
    for row, height in zip(rows, heights, strict=True):
        box = (
            LEFT_IN / WIDTH_IN,
            1.0 - (top + height) / total,
            (row.end_m - row.start_m) * inch_per_m / WIDTH_IN,
            height / total,
        )
        _draw_row(figure.add_axes(box), ground, row, inch_per_m, times)
        top += height + AXIS_IN
    picture = io.BytesIO()
    with warnings.catch_warnings():
        # A name in a script the font lacks is drawn as boxes; that is no reason to stop or to warn.
        warnings.simplefilter("ignore", UserWarning)
        figure.savefig(picture, format=file_format)
    return picture.getvalue(), times


def _cuts(ground: Ground) -> list[tuple[float, float]]:
    """Where the rows begin and end [m]: cut between obstacles where that leaves a row well filled."""
    length = ground.length_m
    if length <= ROW_M:
        return [(0.0, length)]
    longest = max(ROW_M, length / (MOST_ROWS - 1))
    ends = [0.0, *(end for _, _, end in ground.spans)]
    starts = [*(start for _, start, _ in ground.spans), length]
    gaps = [(e, s) for e, s in zip(ends, starts, strict=True) if s - e > 0.2]
    cuts = [0.0]
    while length - cuts[-1] > 1.08 * longest:  # no stub of a last row
        limit = cuts[-1] + longest
        # In a gap, but before its last stretch, which is the run-up to the next obstacle.
        good = [min(e + (s - e) * 0.4, limit) for e, s in gaps if e + (s - e) * 0.2 < limit]
        good = [x for x in good if x > cuts[-1] + 0.6 * longest]
        cuts.append(good[-1] if good else limit)
    return list(zip(cuts, [*cuts[1:], length], strict=True))


def _row(ground: Ground, start: float, end: float, inch_per_m: float) -> _Row:
    x = np.arange(math.floor(start / ground.dx_m), math.floor(end / ground.dx_m + 1e-9) + 1)
    heights = ground.height_m[x]
    here = [i for i, (_, a, b) in enumerate(ground.spans) if a < end - 1e-9 and b > start + 1e-9]
    texts = [_label(ground.spans[i], start) for i in here]
    poles = [(_pole(ground.spans[i], start, end) - start) * inch_per_m for i in here]
    flags = place(poles, [_width_in(t) for t in texts], WIDTH_IN - LEFT_IN - 0.08, LABEL_GAP_IN)
    named = [(replace(f, index=here[f.index]), texts[f.index]) for f in flags]
    here_told = [t for t in ground.tasks if start <= t.at_m < end or end == ground.length_m == t.at_m]
    return _Row(start, end, float(heights.min()), float(heights.max()), named, _lines(here_told, inch_per_m))


def _lines(tasks: list[Task], inch_per_m: float) -> list[tuple[Task, int]]:
    """Each with the first line on which it meets no other; what finds no room is left to the listing."""
    ends: list[float] = []
    found = []
    for task in tasks:
        left = min(task.at_m, task.to_m) * inch_per_m - LABEL_GAP_IN
        line = next((k for k, end in enumerate(ends) if end < left), len(ends))
        if line == MOST_LINES:
            continue
        if line == len(ends):
            ends.append(0.0)
        ends[line] = task.at_m * inch_per_m + LABEL_GAP_IN + _width_in(task.words)
        found.append((task, line))
    return found


def _pole(span: tuple[str, float, float], start: float, end: float) -> float:
    """Where the leader of an obstacle stands [m]: the middle of what the row shows of it."""
    return (max(span[1], start) + min(span[2], end)) / 2.0


def _label(span: tuple[str, float, float], row_start_m: float) -> str:
    name, start, _ = span
    short = name if len(name) <= 34 else name[:32].rstrip() + " …"
    return f"{short}\n" + (f"at {start:.2f} m" if start >= row_start_m - 1e-9 else "continued")


@lru_cache(maxsize=10_000)
def _width_in(text: str) -> float:
    """Width of the widest line as drawn, and a little [in]."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", UserWarning)
        widest = max(_PEN.get_text_width_height_descent(line, _LABEL_FONT, False)[0] for line in text.split("\n"))
    return widest / DPI + 0.08


def _height_in(row: _Row, inch_per_m: float) -> float:
    return row.under_in + (row.high_m - row.low_m) * inch_per_m + 0.12 + LABEL_IN * row.levels + 0.1


def _scale_text(ground: Ground, times: int, left_out: int) -> str:
    scale = "heights and lengths to one scale" if times == 1 else f"heights drawn {times} times larger"
    missing = f"   |   {left_out} not labelled for want of room" if left_out else ""
    return f"{ground.length_m:.1f} m long   |   {scale}{missing}"


def _heading(figure: Figure, total: float, title: str, note: list[str], scale: str) -> None:
    x, y = LEFT_IN / WIDTH_IN, 1.0 - 0.34 / total
    figure.text(x, y, title, size=15, weight="bold", color=INK, parse_math=False)
    figure.text(1.0 - RIGHT_IN / WIDTH_IN, y, scale, size=9, color=FAINT, ha="right")
    for i, line in enumerate(note):
        figure.text(x, y - (0.24 + 0.2 * i) / total, line, size=9, color=FAINT, parse_math=False)


def _draw_row(axes: Axes, ground: Ground, row: _Row, inch_per_m: float, times: int) -> None:
    tall = inch_per_m * times
    floor = row.low_m - row.under_in / tall
    axes.set_xlim(row.start_m, row.end_m)
    axes.set_ylim(floor, floor + _height_in(row, tall) / tall)
    x = np.arange(ground.height_m.size) * ground.dx_m
    seen = (x >= row.start_m - ground.dx_m) & (x <= row.end_m + ground.dx_m)
    x, y = x[seen], ground.height_m[seen]
    axes.fill_between(x, y, floor, color=SOIL, lw=0)
    axes.plot(x, y, color=TURF, lw=1.5, solid_joinstyle="miter", zorder=4)
    on = np.zeros(x.size, dtype=bool)
    for _, a, b in ground.spans:
        first, last = np.searchsorted(x, (a - 1.001 * ground.dx_m, b + 1.001 * ground.dx_m))
        on[first:last] = True
    if on.any():  # all at once: one by one, thousands of them take as many seconds
        axes.fill_between(x, y, floor, where=on, color=TINT, lw=0)
        axes.plot(x, np.where(on, y, np.nan), color=MARK, lw=2.0, solid_joinstyle="miter", zorder=5)
    for flag, label in row.flags:
        _draw_flag(axes, ground, row, flag, label, inch_per_m, tall)
    _draw_speeds(axes, ground, row, floor, inch_per_m)
    _draw_tasks(axes, row, inch_per_m, tall)
    _draw_scales(axes, row, inch_per_m, tall)


def _draw_flag(axes: Axes, ground: Ground, row: _Row, flag: Flag, label: str, inch_per_m: float, tall: float) -> None:
    at = row.start_m + flag.at / inch_per_m
    foot = row.high_m + (0.12 + LABEL_IN * flag.level) / tall
    left_hand = flag.left < flag.at - 1e-9
    name, place_ = label.split("\n")
    axes.plot(
        [at, at],
        [float(ground.height_at(at)) + 0.04 / tall, foot + (LABEL_IN - 0.06) / tall],
        color=MARK,
        lw=0.7,
        clip_on=False,
        zorder=3,
    )
    for text, up, color in ((name, 0.17, INK), (place_, 0.03, FAINT)):
        axes.annotate(
            text,
            (at, foot + up / tall),
            xytext=(-3.5 if left_hand else 3.5, 0),
            textcoords="offset points",
            ha="right" if left_hand else "left",
            size=8.5 if color == INK else 7.5,
            color=color,
            parse_math=False,
            annotation_clip=False,
        )


def _draw_speeds(axes: Axes, ground: Ground, row: _Row, floor: float, inch_per_m: float) -> None:
    ends = [*ground.speed_from_m[1:], ground.length_m]
    for a, b, speed in zip(ground.speed_from_m, ends, ground.speed_m_s, strict=True):
        start, end = max(a, row.start_m), min(b, row.end_m)
        if end - start < 0.02:
            continue
        short = "the vehicle's own" if math.isnan(speed) else f"{speed:g} m/s"
        if a >= row.start_m and a > 0.0:
            axes.vlines(a, floor, ground.height_at(a), color=FAINT, lw=0.9, ls=(0, (3, 3)), zorder=2)
        room = (end - start) * inch_per_m - 0.3
        text = next((t for t in (f"target speed: {short}", short) if _width_in(t) < room), "")
        if text:
            axes.annotate(
                f"{text}  →",
                (start, 0.0),
                xycoords=("data", "axes fraction"),
                xytext=(5, 6),
                textcoords="offset points",
                size=8.5,
                color=FAINT,
                style="italic",
            )


def _draw_tasks(axes: Axes, row: _Row, inch_per_m: float, tall: float) -> None:
    """A square where the vehicle stands, an arrow back to where it backs up to, and the words."""
    for task, line in row.tasks:
        level = row.low_m - (line + 0.7) * TOLD_IN / tall
        axes.plot([task.at_m], [level], "s", ms=4.5, color=TOLD, zorder=6, clip_on=False)
        if task.to_m < task.at_m:
            arrow = {"arrowstyle": "->", "color": TOLD, "lw": 1.1}
            axes.annotate("", (max(task.to_m, row.start_m), level), (task.at_m, level), arrowprops=arrow, zorder=6)
        room = (row.end_m - task.at_m) * inch_per_m + RIGHT_IN
        on_right = _width_in(task.words) < room
        axes.annotate(
            task.words,
            (task.at_m if on_right else min(task.at_m, task.to_m), level),
            xytext=(6 if on_right else -6, 0),
            textcoords="offset points",
            ha="left" if on_right else "right",
            va="center",
            size=8.5,
            color=TOLD,
            annotation_clip=False,
        )


def _draw_scales(axes: Axes, row: _Row, inch_per_m: float, tall: float) -> None:
    axes.xaxis.set_major_locator(MultipleLocator(_nice(0.7 / inch_per_m)))
    axes.xaxis.set_major_formatter(FuncFormatter(lambda v, _: f"{v:g} m"))
    step = _nice(0.19 / tall)
    levels = np.arange(math.ceil(row.low_m / step - 1e-6), math.floor(row.high_m / step + 1e-6) + 1) * step
    axes.set_yticks(levels, [f"{round(v * 1000.0, 3) + 0.0:g} mm" for v in levels])
    axes.hlines(levels, row.start_m, row.end_m, color="#d5dade", lw=0.6, zorder=0)
    axes.tick_params(colors=FAINT, labelsize=8, length=3)
    for side in ("top", "right", "left"):
        axes.spines[side].set_visible(False)
    axes.spines["bottom"].set_color(FAINT)


def _nice(least: float) -> float:
    """The smallest of 1, 2, 5 times a power of ten that is not below `least`."""
    power = 10.0 ** math.floor(math.log10(least))
    return next(m * power for m in (1.0, 2.0, 5.0, 10.0) if m * power >= least * (1.0 - 1e-9))
