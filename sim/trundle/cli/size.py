"""How long a run would be: refused at once if its numbers are no numbers, asked about if it is very long."""

from __future__ import annotations

import math
import os
import shutil
import sys
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import click
import numpy as np

from trundle.errors import InputError, Problem
from trundle.fields.speed import check_speed
from trundle.spec.course import Course
from trundle.spec.vehicle import Vehicle

ASK_STEPS = 500_000
"""Steps above which a run is only started if the user agrees: eight minutes of driving at 1 ms."""

COPIES = 3.0
"""Times the log's own size that a run needs at its peak: log, timeline and what is worked out from it
(measured: 2.9, Teasel over the yard at 0.05 ms). That of a long one is in a file (trundle.engine.spill)."""

COLUMNS_AT_ONCE = 12
"""Columns of a long run that are in memory together beside those of the shortest that goes to a file (measured: an hour
of Teasel at 1 ms took 1,030 MB in all)."""

PACKED = 0.55
"""Size of a kept timeline, as a share of the log's (measured: 0.51, the same run)."""


def check_numbers(dt_ms: float | None = None, ground_mm: float | None = None, speeds_m_s: Sequence[float] = ()) -> None:
    """Raises InputError on a step, grid or speed that no run takes, before anything is read or compiled."""
    from trundle.engine.length import check_step

    if dt_ms is not None:
        check_step(dt_ms)
    for speed in speeds_m_s:
        check_speed(speed)
    if ground_mm is not None:
        from trundle.terrain.ground import points_per_start_step
        from trundle.units import MM

        points_per_start_step(ground_mm * MM)


@dataclass(frozen=True)
class Size:
    """About how long a run is. steps: at its target speeds; memory_MB: at its peak; aside_MB: what its log takes of the
    disk for temporary files while it lasts, 0 if it is held in memory; kept_MB: of the run folder's disk."""

    steps: int
    memory_MB: float
    aside_MB: float = 0.0
    kept_MB: float = 0.0
    waits: int = 0
    """Steps of these that it stands still as its course tells the driver (for_s)."""

    @property
    def mostly_waits(self) -> bool:
        """Whether it stands for longer than it moves."""
        return 2 * self.waits > self.steps


def steps_of(vehicle: Vehicle, course: Course, dt_ms: float | None, ground_mm: float, speed_m_s: float | None) -> int:
    """Steps that a run would have; arguments as in trundle.run. Raises InputError as laying the course does."""
    from trundle.engine.length import expected_steps
    from trundle.terrain.ground import lay
    from trundle.units import MM

    ground = lay(course, ground_mm * MM)
    if speed_m_s is not None:
        ground = replace(ground, speed_m_s=np.full_like(ground.speed_m_s, speed_m_s))
    return expected_steps(vehicle, ground, _step_s(vehicle, dt_ms))


def _step_s(vehicle: Vehicle, dt_ms: float | None) -> float:
    from trundle.engine.length import default_step_s

    return default_step_s(vehicle) if dt_ms is None else dt_ms * 1e-3


def size_of(
    vehicle: Vehicle,
    course: Course,
    dt_ms: float | None,
    ground_mm: float,
    speed_m_s: float | None,
    how_sure: bool = False,
    near: int | None = 1,
) -> Size:
    """The size that a run would have; as `steps_of`. how_sure: that of the same at half the step, beside it; near: how
    often it is rolled close by, as in trundle.run."""
    # Only now: it brings the compiled code with it.
    from trundle.engine.cores import core_count
    from trundle.engine.spill import SPILL_BYTES
    from trundle.law.timeline import entries
    from trundle.result.near import count_for
    from trundle.spec.moving import parts_of

    once = steps_of(vehicle, course, dt_ms, ground_mm, speed_m_s)
    steps = (2 if how_sure else 1) * once
    beside = min((count_for(once) if near is None else near), 2) - 1  # a long one beside the first, which is kept
    swings = parts_of(vehicle).swings
    tracked = vehicle.track is not None
    rings = sum(len(s.wheels) for s in swings) + 2 * tracked  # sprocket and idler
    width = sum(1 for _ in entries(len(swings), rings, tracked))
    waits = round((2 if how_sure else 1) * sum(part.task().wait_s for part in course.driver) / _step_s(vehicle, dt_ms))
    log_MB, most_MB = 8e-6 * width * steps, 1e-6 * SPILL_BYTES
    if log_MB <= most_MB:
        return Size(steps, COPIES * log_MB * (core_count() if beside else 1), 0.0, PACKED * log_MB, waits)
    aside_MB = max(1.5 if how_sure else 1.0, 1.0 + beside) * log_MB  # the first run's log is still there
    longer = steps * (1.0 - most_MB / log_MB)
    return Size(steps, COPIES * most_MB + COLUMNS_AT_ONCE * 8e-6 * longer, aside_MB, PACKED * log_MB, waits)


def ask_about_study(
    vehicle: str,
    courses: Sequence[str],
    settings: Mapping[str, Any],
    dt_ms: float | None,
    ground_mm: float,
    speeds_m_s: Sequence[float],
    workers: int,
    yes: bool,
) -> None:
    """Asks before a study with runs of more than ASK_STEPS steps, as the files have them.

    Each worker holds a run of its own in memory. Raises InputError as `ask_first` does, and for unfit files.
    """
    from trundle.spec.course import load_course
    from trundle.spec.shipped import find
    from trundle.spec.vehicle import load_vehicle
    from trundle.study.paths import is_course_path

    plain = {k: v for k, v in settings.items() if "*" not in k and not is_course_path(k)}
    loaded = load_vehicle(find("vehicles", vehicle), plain)
    speeds: Sequence[float | None] = speeds_m_s or (None,)
    over = [load_course(find("courses", course)) for course in courses]
    runs = [(loaded, course, dt_ms, ground_mm, speed) for course in over for speed in speeds]
    counts = [steps_of(*run) for run in runs]
    if max(counts) > ASK_STEPS:
        size = size_of(*runs[counts.index(max(counts))])
        at_once = replace(size, memory_MB=workers * size.memory_MB, aside_MB=workers * size.aside_MB, kept_MB=0.0)
        ask_first(at_once, yes, "the longest of these runs is")


def ask_first(size: Size, yes: bool, what: str = "that is", folder: Path | None = None) -> None:
    """Asks before a run of more than ASK_STEPS steps; without a terminal wants --yes. folder: where it will be kept.

    Raises InputError if nobody said yes, and whatever is said if the run does not fit in memory or on the disk.
    """
    from trundle.engine.length import MOST_STEPS, shorter

    told = f"{what} about {size.steps:,} steps, which fill about {size.memory_MB:,.0f} MB of memory"
    if size.aside_MB:
        told += f" and {size.aside_MB:,.0f} MB of disk for temporary files while it lasts"
        if size.kept_MB:
            told += f", {size.kept_MB:,.0f} MB for good"
    room = _memory_MB()
    way_out = shorter(size.mostly_waits)
    field = "driver" if size.mostly_waits else "--dt-ms"
    if size.steps > MOST_STEPS:
        most = f"{(size.aside_MB or size.memory_MB) * MOST_STEPS / size.steps:,.0f} MB"
        if size.aside_MB:
            most += " of temporary files"
        raise InputError(Problem(told, field, f"up to {MOST_STEPS:,} steps or {most}, with --yes too: {way_out}"))
    if size.aside_MB:
        _check_disk(size, folder, told, field)
    if size.steps <= ASK_STEPS:
        return
    if size.memory_MB > room:
        raise InputError(
            Problem(told, field, f"up to the {room:,.0f} MB that this computer has, with --yes too: {way_out}")
        )
    if yes:
        return
    if sys.stdin.isatty() and sys.stderr.isatty():
        if click.confirm(f"{told[0].upper()}{told[1:]}. Start it?", default=False, err=True):
            return
        raise InputError(Problem("not started", field, way_out))
    allowed = f"up to {ASK_STEPS:,} steps without --yes"
    raise InputError(
        Problem(f"{told}; give --yes to start it", field, f"{allowed}: {way_out}" if size.mostly_waits else allowed)
    )


def _check_disk(size: Size, folder: Path | None, told: str, field: str) -> None:
    """Raises InputError if a long run finds no room: for its log while it lasts, and for what is kept of it."""
    from trundle.engine.length import shorter
    from trundle.engine.spill import spill_folder

    aside = spill_folder()
    wants = [
        (aside, size.aside_MB, f"{shorter(size.mostly_waits)}, or another folder by the environment variable TMPDIR")
    ]
    if folder is not None and size.kept_MB:
        folder = next(p for p in (folder.absolute(), *folder.absolute().parents) if p.is_dir())
        if folder.stat().st_dev == aside.stat().st_dev:  # both are there when the run is written
            wants = [(aside, size.aside_MB + size.kept_MB, wants[0][2])]
        else:
            wants.append((folder, size.kept_MB, f"{shorter(size.mostly_waits)}, or another folder by --out"))
    for place, need_MB, way_out in wants:
        free_MB = 1e-6 * shutil.disk_usage(place).free
        if need_MB > free_MB:
            allowed = f"up to the {free_MB:,.0f} MB that are free in {place}, with --yes too: {way_out}"
            raise InputError(Problem(told, field, allowed))


def _memory_MB() -> float:
    """All of the computer's memory [MB]; infinite where the system does not say."""
    try:
        return os.sysconf("SC_PAGE_SIZE") * os.sysconf("SC_PHYS_PAGES") * 1e-6
    except (AttributeError, OSError, ValueError):  # Windows has no sysconf
        return math.inf
