"""How the figures move with step and ground grid: `python -m tests.verification.convergence`.

One table for each vehicle and course, and a picture of errors against step and grid. The finest run is the reference.
It has an error of its own, so the order is not read off the errors against it (a method of first order would seem to
have 1.4) but off what each halving moves: |f(h) - f(h/2)| falls with h to the power of the order (Richardson).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np

from tests.measured import Measurement, no_arguments
from trundle.result.result import Result
from trundle.result.run import run
from trundle.spec.course import load_course
from trundle.spec.shipped import find
from trundle.spec.vehicle import load_vehicle

VEHICLES = ("teasel", "otter")
"""Paired arms with a leaf across on a track; beams hung on arms, the chain with the largest error."""

COURSES = ("kerb-100", "half-round")
STEPS_MS = (2.0, 1.0, 0.5, 0.25, 0.125)
GRIDS_MM = (10.0, 5.0, 2.5, 1.25)
DEFAULT_MS = {"teasel": 1.0, "otter": 0.5}
MOVES = 0.03
"""A figure that a halving at the default moves by more than this share is marked."""

FIGURES = (
    ("peak_wheel_load_N", "peak wheel load, N", 0),
    ("peak_bump_stop_N", "hardest stop hit, N", 0),
    ("peak_track_tension_N", "peak tension, N", 0),
    ("min_belly_clearance_mm", "least belly clearance, mm", 1),
    ("peak_pitch_deg", "peak pitch, deg", 2),
    ("seat_rms_m_s2", "seat r.m.s. weighted, m/s2", 3),
    ("energy_error", "energy unaccounted for, share", 4),
)
PATHS = (("hull.y_mm", "height of hull, mm"), ("hull.pitch_deg", "pitch, deg"))
Array = np.ndarray[Any, np.dtype[np.float64]]


@cache
def result(vehicle: str, course: str, dt_ms: float = 1.0, ground_mm: float = 5.0) -> Result:
    """One run, made once."""
    built, ground = load_vehicle(find("vehicles", vehicle)), load_course(find("courses", course))
    return run(built, ground, dt_ms=dt_ms, ground_mm=ground_mm, near=1)


def apart(a: Result, b: Result, column: str) -> Array:
    """Difference of one column of two runs at the same times, every millisecond that both have."""
    ta, tb = (r.timeline["time_s"].to_numpy() for r in (a, b))
    t = np.arange(max(ta[0], tb[0]), min(ta[-1], tb[-1]), 1e-3)
    one, other = (np.interp(t, s, r.timeline[column].to_numpy()) for s, r in ((ta, a), (tb, b)))
    return np.asarray(one - other)


def slope(h: Sequence[float], moved: Sequence[float]) -> float:
    """Least-squares slope of log(moved) against log(h); nan if something did not move at all."""
    if min(moved) <= 0.0:
        return float("nan")
    return float(np.polyfit(np.log(h), np.log(moved), 1)[0])


@dataclass(frozen=True)
class Line:
    """One row of a table. values: at each h; error: against the finest, as a share of its size or range; order: from
    the halvings; moved: share by which the halving at the default moves it (nan: no share of anything)."""

    title: str
    digits: int
    values: tuple[float, ...]
    error: tuple[float, ...]
    order: float
    moved: float


def lines(runs: Sequence[Result], h: Sequence[float], default: float) -> list[Line]:
    """Figures and trajectories of runs at falling h. Runs that are not to be trusted are left out of the order."""
    good = [i for i, r in enumerate(runs) if r.trusted]
    pairs = [(i, i + 1) for i in good[:-1]]
    at = list(h).index(default)
    out = []
    for key, title, digits in FIGURES:
        values = [float(r.summary[key] or 0.0) for r in runs]
        size = abs(values[-1])
        out.append(
            Line(
                title,
                digits,
                tuple(values),
                tuple(abs(v - values[-1]) / size for v in values),
                slope([h[i] for i, _ in pairs], [abs(values[i] - values[j]) for i, j in pairs]),
                abs(values[at] - values[at + 1]) / abs(values[at]) if key != "energy_error" else float("nan"),
            )
        )
    for column, title in PATHS:
        span = float(np.ptp(runs[-1].timeline[column]))
        error = [float(np.abs(apart(r, runs[-1], column)).max()) for r in runs]
        moved = [float(np.sqrt(np.mean(apart(runs[i], runs[j], column) ** 2))) for i, j in pairs]
        step = float(np.abs(apart(runs[at], runs[at + 1], column)).max())
        told = f"{title}: largest difference from the last"
        order = slope([h[i] for i, _ in pairs], moved)
        out.append(Line(told, 2, tuple(error), tuple(e / span for e in error), order, step / span))
    return out


def failing(r: Result) -> str:
    """What a run says of itself if its figures are no good."""
    if not r.completed:
        return f": {r.summary['ended_because']}"
    return "" if r.trusted else ": not to be trusted"


def table(heading: str, unit: str, h: Sequence[float], default: float, runs: Sequence[Result]) -> str:
    """A markdown table; bold where the halving at the default moves a figure by more than MOVES."""
    heads = [f"{x:g} {unit}{failing(r)}" for x, r in zip(h, runs, strict=True)]
    rows = [f"| {heading} | {' | '.join(heads)} | {default:g} to {default / 2:g} | order |"]
    rows.append("|---" * (len(h) + 3) + "|")
    for line in lines(runs, h, default):
        shown = [f"{v:.{line.digits}f}" if r.completed else "–" for v, r in zip(line.values, runs, strict=True)]
        values = " | ".join(shown)
        moved = "" if np.isnan(line.moved) else f"{100 * line.moved:.1f} %"
        moved = f"**{moved}**" if line.moved > MOVES else moved
        order = "" if np.isnan(line.order) else f"{line.order:.1f}"
        rows.append(f"| {line.title} | {values} | {moved} | {order} |")
    return "\n".join(rows)


def cases(vehicle: str, course: str) -> tuple[tuple[str, tuple[float, ...], float, list[Result]], ...]:
    """For step and grid: unit, values of h, the default, runs."""
    steps = [result(vehicle, course, dt_ms=h) for h in STEPS_MS]
    grids = [result(vehicle, course, ground_mm=h) for h in GRIDS_MM]
    return ("ms", STEPS_MS, DEFAULT_MS[vehicle], steps), ("mm", GRIDS_MM, 5.0, grids)


TOLD = """\
Order: slope of what each halving moves, not of the errors against the last column, which has one of its own. Bold:
halving the default moves the figure by more than 3 %. Paths: largest difference from the last column.
"""


def tables() -> Iterator[str]:
    """All of them, as markdown."""
    yield TOLD
    for vehicle in VEHICLES:
        for course in COURSES:
            for unit, h, default, runs in cases(vehicle, course):
                name = f"{vehicle.capitalize()}, {course}, {'step' if unit == 'ms' else 'ground grid'}"
                yield table(name, unit, h, default, runs) + "\n"


SHOWN = (
    ("height of hull", "#0072b2", "o"),
    ("pitch, deg", "#009e73", "s"),
    ("peak wheel load", "#d55e00", "^"),
    ("peak tension", "#cc79a7", "v"),
    ("seat r.m.s.", "#595959", "D"),
)
"""Colours that stay apart for colour-blind readers; another mark each."""


def draw(path: Path) -> None:
    """Error against the finest run, log-log, one panel per vehicle and kind of h."""
    import matplotlib

    matplotlib.use("Agg")
    import matplotlib.pyplot as plt

    figure, grid = plt.subplots(2, 2, figsize=(11.5, 8.6), sharey=True, layout="constrained")
    for row, vehicle in enumerate(VEHICLES):
        for column, (unit, what) in enumerate((("ms", "step"), ("mm", "ground grid"))):
            axes = grid[row, column]
            for course, dash, fill in zip(COURSES, ("-", "--"), (True, False), strict=True):
                _, h, default, runs = cases(vehicle, course)[column]
                found = {line.title: line for line in lines(runs, h, default)}
                for name, colour, mark in SHOWN:
                    line = next(x for t, x in found.items() if t.startswith(name))
                    # The log axis ends where a difference is rounding.
                    good = [r.trusted and r.completed for r in runs[:-1]]
                    error = np.where(good, np.maximum(100 * np.array(line.error[:-1]), 1e-2), np.nan)
                    face = colour if fill else "white"
                    label = name.split(",")[0] if fill else None
                    axes.loglog(h[:-1], error, dash, color=colour, marker=mark, mfc=face, ms=6, lw=1.6, label=label)
                if not all(r.trusted for r in runs):
                    told = f"left out: {h[0]:g} ms{failing(runs[0])}"
                    axes.text(h[0], 60, told, ha="right", va="center", fontsize=9, color="#444444")
            guide = np.array([h[-2], h[0]])
            power = 1 if unit == "ms" else 2
            axes.loglog(guide, 0.06 * (guide / guide[0]) ** power, color="#bbbbbb", lw=5, alpha=0.6, zorder=0)
            axes.axvline(default, color="#999999", lw=1, ls=":")
            axes.text(default, 220, " default", fontsize=9, color="#666666", ha="left", va="center")
            axes.set_title(f"{vehicle.capitalize()}: {what}", fontsize=12, loc="left")
            axes.set_xlabel(f"{what} [{unit}]")
            axes.set_xticks(h[:-1], [f"{x:g}" for x in h[:-1]])
            axes.minorticks_off()
            axes.grid(True, which="major", color="#e6e6e6", lw=0.8)
            axes.set_ylim(1e-2, 300)
            axes.set_yticks([0.01, 0.1, 1, 10, 100], ["0.01", "0.1", "1", "10", "100"])
            axes.spines[["top", "right"]].set_visible(False)
        grid[row, 0].set_ylabel("difference from the finest run [% of it, or of its range]")
    handles, names = grid[0, 0].get_legend_handles_labels()
    from matplotlib.lines import Line2D

    handles += [Line2D([], [], color="#333333", ls=d) for d in ("-", "--")]
    handles += [Line2D([], [], color="#bbbbbb", lw=5, alpha=0.6)]
    names += ["kerb 100 mm, filled", "half-round, hollow", "slope of first order in the step, second in the grid"]
    figure.legend(handles, names, loc="outside lower center", ncols=4, frameon=False, fontsize=9.5)
    path.parent.mkdir(parents=True, exist_ok=True)
    figure.savefig(path, dpi=120)
    plt.close(figure)


MEASUREMENT = Measurement("convergence", "How figures move with step and ground grid", tables, draw, "convergence.png")

if __name__ == "__main__":
    no_arguments(MEASUREMENT)
