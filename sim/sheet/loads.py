"""The load that strength is worked out at: the worst of a run, or a stated factor on the standing load."""

from __future__ import annotations

import json
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from sim.errors import InputError, Problem
from sim.sheet.standing import StandingSheet

FACTOR = 3.0
"""Worst over standing load where no run is given: a guess for rough ground (common practice, no source)."""


@dataclass(frozen=True)
class WorstLoads:
    """Load of one wheel of each station [N], standing and at its worst, and where the worst comes from."""

    standing_N: dict[str, float]
    worst_N: dict[str, float]
    source: str
    from_run: bool


def by_factor(sheet: StandingSheet, factor: float = FACTOR) -> WorstLoads:
    """Standing load times `factor`."""
    standing = {w.name: w.load_N for w in sheet.wheels}
    return WorstLoads(
        standing, {n: factor * f for n, f in standing.items()}, f"{factor:g} times the standing load", False
    )


def from_run(sheet: StandingSheet, folder: Path) -> WorstLoads:
    """Peak wheel loads of a run's summary.json.

    Raises InputError if there is none, if it cannot be read, or if it is a run of another vehicle's wheels.
    """
    file = folder if folder.name == "summary.json" else folder / "summary.json"
    try:
        data: Any = json.loads(file.read_text(encoding="utf-8"))
    except FileNotFoundError:
        raise InputError(
            Problem("no summary.json there: is it the folder of a run?", field="--run", file=str(folder))
        ) from None
    except (OSError, UnicodeDecodeError, json.JSONDecodeError, RecursionError) as e:
        raise InputError(Problem(f"cannot be read as a run's summary: {e}", file=str(file))) from None
    peaks = data.get("peak_wheel_load_N") if isinstance(data, dict) else None
    standing = {w.name: w.load_N for w in sheet.wheels}
    if not isinstance(peaks, dict) or set(peaks) != set(standing):
        got = ", ".join(sorted(map(str, peaks))) if isinstance(peaks, dict) else "none"
        raise InputError(
            Problem(
                f"its peak_wheel_load_N is not of this vehicle's wheels (there: {got})",
                file=str(file),
                allowed=", ".join(standing),
            )
        )
    for name, value in peaks.items():
        if isinstance(value, bool) or not isinstance(value, (int, float)) or not 0 <= value < 1e9:
            raise InputError(Problem(f"peak load of {name} is no load: {value!r}", file=str(file)))
    return WorstLoads(
        standing, {n: float(peaks[n]) for n in standing}, f"the worst of the run in {folder}", True
    )
