"""What is kept of a run for the references: the means of its essential columns over 20 ms, and all its figures.

A mean over 20 ms keeps the whole impulse of a blow, and moves little when the blow comes a step sooner or later; the
blow's own height is among the figures.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

import numpy as np

import trundle
from trundle import Result
from trundle.spec.shipped import find

Array = np.ndarray[Any, np.dtype[np.float64]]
Figure = float | bool | None

VEHICLES = ("barrow", "mole", "otter", "teasel", "wren")
COURSES = ("kerb-50", "kerb-100", "half-round", "ripples", "sleepers")
"""A low edge and a high one, a round, a long row of waves, a row of bars (on which Barrow stalls)."""

EVERY_S = 0.02
WHOLE = ("hull.x_mm", "hull.y_mm", "hull.pitch_deg", "hull.speed_m_s", "drive.push_N", "energy.error_J")
WHOLE_TRACK = ("track.tight_N", "track.slack_N")
OF_EACH = {"wheel": ".load_N", "arm": (".angle_deg", ".stop_N")}

NO_FIGURE = (
    "vehicle", "course", "ended_because", "headline", "least_margin_part", "speed_times_real_time",
    "standing_residual_N",
)  # fmt: skip
"""Names, words, the computer's speed, and what the search for equilibrium left over, which is rounding."""


@dataclass(frozen=True, eq=False)
class Trace:
    """A run, thinned. columns: means over EVERY_S, all of one length; figures: by name, `wheels.front.peak_N` for
    a nested one."""

    columns: dict[str, Array]
    figures: dict[str, Figure]

    @property
    def length(self) -> int:
        """Number of means."""
        return len(self.columns[WHOLE[0]])


def roll(
    vehicle: str,
    course: str,
    *,
    steps: int = 1,
    moved_m: tuple[float, float] = (0.0, 0.0),
    settings: dict[str, Any] | None = None,
) -> Trace:
    """A shipped vehicle over a shipped course.

    steps: this many in place of one of the default; moved_m: how far the hull's centre of mass is put forward and up
    of where the file has it [m]; settings: fields changed, as with `--set`.
    """
    built = trundle.load_vehicle(find("vehicles", vehicle), settings)
    x, y = built.hull.com_mm
    com = (x + moved_m[0] * 1e3, y + moved_m[1] * 1e3)
    built = built.model_copy(update={"hull": built.hull.model_copy(update={"com_mm": com})})
    ground = trundle.load_course(find("courses", course))
    result = trundle.run(built, ground, near=1)
    if steps > 1:
        result = trundle.run(built, ground, dt_ms=float(result.summary["dt_ms"]) / steps, near=1)
    return trace(result)


def trace(result: Result) -> Trace:
    """What is kept of a result."""
    table = result.timeline
    step_s = float(result.summary["dt_ms"]) * 1e-3
    each = round(EVERY_S / step_s)
    count = len(table) // each
    names = [c for c in table.columns if c in WHOLE + WHOLE_TRACK or _of_each(c)]
    columns = {c: table[c].to_numpy(dtype=float)[: count * each].reshape(count, each).mean(axis=1) for c in names}
    return Trace(columns, flat(result.summary))


def _of_each(column: str) -> bool:
    kind = column.split(".")[0]
    return kind in OF_EACH and column.endswith(OF_EACH[kind])


def flat(summary: dict[str, Any], before: str = "") -> dict[str, Figure]:
    """The figures of a summary, nested ones named by their path."""
    found: dict[str, Figure] = {}
    for name, value in summary.items():
        if not before and (name in NO_FIGURE or name == "dt_ms"):
            continue
        if isinstance(value, dict):
            found |= flat(value, f"{before}{name}.")
        elif value is None or isinstance(value, bool):
            found[before + name] = value
        elif math.isfinite(value):
            found[before + name] = float(value)
        else:
            raise ValueError(f"{before}{name} is {value}")
    return found
