"""The load that strength is worked out at: the worst of a run, or a stated factor on the standing load."""

from __future__ import annotations

import json
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any

import numpy as np

from trundle.errors import InputError, Problem
from trundle.fields.differences import differences
from trundle.model.arrays import Floats
from trundle.model.assembly import Assembly
from trundle.papers.standing import StandingSheet
from trundle.record.events_file import check_file
from trundle.record.long import LongTimeline, Timeline
from trundle.record.packed import read_timeline
from trundle.record.store import SUMMARY, TIMELINE, VEHICLE
from trundle.spec.vehicle import Vehicle, load_vehicle
from trundle.strength.margin import PartMargin
from trundle.strength.margins import margins_of

FACTOR = 3.0
"""Worst over standing load where no run is given: a guess for rough ground (common practice, no source)."""


STRUCK = ("belly", "sprocket", "idler")
"""Parts of the hull of which a run's summary has the highest load on the ground."""


@dataclass(frozen=True)
class WorstLoads:
    """Load of one wheel of each station [N], standing and at its worst, and where the worst comes from.

    struck_N: highest load of belly, sprocket and idler on the ground in a run, of an end one side's [N].
    changed: fields that the run's vehicle had otherwise, as `hull.mass_kg 300 -> 310`. margins: what each part has left
    by the forces of a run as they pointed; None: to be worked out at these loads.
    """

    standing_N: dict[str, float]
    worst_N: dict[str, float]
    source: str
    from_run: bool
    struck_N: dict[str, float] = field(default_factory=dict)
    changed: tuple[str, ...] = ()
    margins: tuple[PartMargin, ...] | None = None


def check_factor(factor: float) -> None:
    """Raises InputError on what is no factor on a standing load."""
    if not 1.0 <= factor <= 50.0:
        raise InputError(Problem(f"{factor:g} is no factor on a standing load", argument="factor", allowed="1 to 50"))


def by_factor(sheet: StandingSheet, factor: float = FACTOR) -> WorstLoads:
    """Standing load times `factor`."""
    standing = {w.name: w.load_N for w in sheet.wheels}
    return WorstLoads(
        standing, {n: factor * f for n, f in standing.items()}, f"{factor:g} times the standing load", False
    )


def _peaks(data: Any) -> dict[str, Any] | None:
    """Peak load of each wheel in a summary: `wheels.NAME.peak_N`, or peak_wheel_load_N if by wheel."""
    if not isinstance(data, dict):
        return None
    wheels, peaks = data.get("wheels"), data.get("peak_wheel_load_N")
    if isinstance(wheels, dict):
        return {n: w.get("peak_N") if isinstance(w, dict) else None for n, w in wheels.items()}
    return peaks if isinstance(peaks, dict) else None


def run_folder(given: Path) -> Path:
    """The folder of a run that was named by itself or by its summary.json."""
    return given.parent if given.name == SUMMARY else given


def check_same_vehicle(vehicle: Vehicle, folder: Path) -> tuple[str, ...]:
    """What a run's vehicle had otherwise, as `hull.mass_kg 300 -> 310`; nothing if the folder keeps no vehicle.

    Raises InputError if the run is another vehicle's: of another name, or with other bogies or wheels.
    """
    file = folder / VEHICLE
    if not file.exists():
        return ()
    theirs = load_vehicle(file)
    parts = [(v.name, list(v.bogie), list(v.wheel), v.track is None) for v in (theirs, vehicle)]
    if parts[0] != parts[1]:
        other = f'of "{theirs.name}"' if theirs.name != vehicle.name else "with other bogies or wheels"
        raise InputError(
            Problem(
                f'is a run {other}, and this is the sheet of "{vehicle.name}"; '
                f"roll this vehicle (trundle run VEHICLE COURSE) and name the folder of that run",
                argument="run",
                file=str(folder),
            )
        )
    leave = {"note"}
    return tuple(differences(theirs.model_dump(exclude=leave), vehicle.model_dump(exclude=leave)))


def from_run(sheet: StandingSheet, given: Path, changed: tuple[str, ...] = ()) -> WorstLoads:
    """Peak wheel loads of a run's summary.json. changed: see check_same_vehicle.

    Raises InputError if there is none, if it cannot be read, or if it is a run of another vehicle's wheels.
    """
    folder = run_folder(given)
    file = folder / SUMMARY
    try:
        if file.exists():
            check_file(file)
        data = json.loads(file.read_text(encoding="utf-8"))
    except FileNotFoundError:
        raise InputError(
            Problem("no summary.json there: is it the folder of a run?", argument="run", file=str(folder))
        ) from None
    except (OSError, ValueError, RecursionError) as e:
        raise InputError(Problem(f"cannot be read as a run's summary: {e}", file=str(file))) from None
    peaks = _peaks(data)
    standing = {w.name: w.load_N for w in sheet.wheels}
    if peaks is None or set(peaks) != set(standing):
        got = ", ".join(sorted(map(str, peaks))) if peaks is not None else "none"
        raise InputError(
            Problem(
                f"its peak loads are not of this vehicle's wheels (there: {got})",
                file=str(file),
                allowed=", ".join(standing),
            )
        )
    struck = {part: data[key] for part in STRUCK if data.get(key := f"peak_{part}_load_N") is not None}
    for name, value in (peaks | struck).items():
        if isinstance(value, bool) or not isinstance(value, (int, float)) or not 0 <= value < 1e9:
            raise InputError(Problem(f"peak load of {name} is no load: {value!r}", file=str(file)))
    worst = {n: float(peaks[n]) for n in standing}
    return WorstLoads(standing, worst, f"the worst of the run in {folder}", True, struck, changed)


def run_angles(folder: Path, joints: tuple[str, ...]) -> dict[str, Floats] | None:
    """Angle of every joint over the run [rad], or None if the folder keeps no timeline.

    Raises InputError if the timeline cannot be read or lacks an arm of this vehicle.
    """
    import pandas as pd

    file = run_folder(folder) / TIMELINE
    if not file.exists():
        return None
    check_file(file)
    columns = [f"arm.{j}.angle_deg" for j in joints]
    try:
        with file.open("rb") as opened:
            frame = pd.read_parquet(opened, columns=columns)
    except Exception as e:  # pyarrow has its own classes for a broken or foreign file
        raise _unusable(e, file) from None
    if frame.empty:
        return None
    for name in columns:
        if frame[name].dtype.kind not in "iuf" or not np.isfinite(frame[name].to_numpy(dtype=np.float64)).all():
            raise InputError(Problem("holds what is no number", field=name, file=str(file)))
    return {j: np.radians(frame[c].to_numpy(dtype=np.float64)) for j, c in zip(joints, columns, strict=True)}


def run_margins(folder: Path, assembly: Assembly) -> tuple[PartMargin, ...] | None:
    """What each part of this vehicle has left in a kept run, by the forces on its wheels; None if the folder keeps no
    timeline.

    Raises InputError if the timeline cannot be read or has no force vectors.
    """
    timeline = run_timeline(folder, assembly)
    if timeline is None:
        return None
    with of_file(run_folder(folder) / TIMELINE):
        return margins_of(assembly, timeline)


def run_timeline(folder: Path, assembly: Assembly) -> Timeline | None:
    """The timeline of a kept run of this vehicle, looked through; None if the folder keeps none.

    Raises InputError if it cannot be read, or lacks what strength is worked out from.
    """
    file = run_folder(folder) / TIMELINE
    if not file.exists():
        return None
    check_file(file)
    try:
        timeline = read_timeline(file)
    except Exception as e:  # pyarrow has its own classes for a broken or foreign file
        raise _unusable(e, file) from None
    wanted = ("time_s", "hull.pitch_deg", *(f"arm.{j}.angle_deg" for j in assembly.joint))
    for name in (*wanted, *(f"wheel.{w}.{c}" for w in assembly.wheel for c in ("x_mm", "y_mm"))):
        if name not in timeline:
            raise InputError(Problem("is not there", field=name, file=str(file)))
    if not isinstance(timeline, LongTimeline):
        for column, values in timeline.items():
            if values.dtype.kind not in "iuf" or not np.isfinite(values.to_numpy(dtype=np.float64)).all():
                raise InputError(Problem("holds what is no number", field=str(column), file=str(file)))
    return timeline


@contextmanager
def of_file(file: Path) -> Iterator[None]:
    """Problems found in a kept file are told its name."""
    try:
        yield
    except InputError as e:
        raise InputError([replace(p, file=p.file or str(file)) for p in e.problems]) from None


def _unusable(e: Exception, file: Path) -> InputError:
    why = str(e).splitlines()[0] if str(e) else type(e).__name__
    return InputError(Problem(f"the run's timeline cannot be used: {why[:200]}", file=str(file)))
