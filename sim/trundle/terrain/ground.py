"""A course laid out as heights on an even grid: what the wheels roll over."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Protocol

import numpy as np

from trundle.errors import InputError, Problem
from trundle.terrain.base import EDGE_M, Floats, Obstacle
from trundle.terrain.instructions import Instruction, Task
from trundle.terrain.outline import outline
from trundle.units import MM

START_STEP_M = 0.010
"""Every obstacle starts on a multiple of this [m], the coarsest grid; so it stands at the same place at
every grid spacing. Its gap is lengthened by up to this much to get there."""

FINEST_DX_M = 0.001


class CourseParts(Protocol):
    """What `lay` needs to know of a course."""

    @property
    def obstacle(self) -> Sequence[Obstacle]: ...
    @property
    def run_up_mm(self) -> float: ...
    @property
    def run_out_mm(self) -> float: ...
    @property
    def speed_m_s(self) -> float | None: ...
    @property
    def driver(self) -> Sequence[Instruction]: ...


@dataclass(frozen=True, eq=False)
class Ground:
    """Heights along the course, the obstacles' places, and the speeds wanted on it. Arrays are read-only."""

    dx_m: float
    """Grid spacing [m]."""

    height_m: Floats
    """Height at x = 0, dx, 2 dx, ... [m], shape (n,)."""

    spans: tuple[tuple[str, float, float], ...]
    """(title, start [m], end [m]) of each obstacle, in the course's order; no two titles are equal."""

    speed_from_m: Floats
    """Where each target speed begins [m], rising from 0, shape (k,)."""

    speed_m_s: Floats
    """Target speed from there on [m/s], shape (k,); nan where the vehicle's own applies."""

    outline_x_m: Floats
    """Course places of the surface's corners, from the first grid point to the last [m], shape (m,); never falling, and
    twice the same at an upright face."""

    outline_y_m: Floats
    """Their heights [m], shape (m,)."""

    tasks: tuple[Task, ...] = ()
    """What the driver is told to do beside, in order."""

    @property
    def length_m(self) -> float:
        """From the start to the last grid point [m]."""
        return (self.height_m.size - 1) * self.dx_m

    def height_at(self, x_m: Floats | float) -> Floats:
        """Height [m] at any `x_m` [m], straight between grid points, level beyond both ends."""
        return np.asarray(np.interp(np.asarray(x_m) / self.dx_m, self._grid, self.height_m), dtype=np.float64)

    @cached_property
    def span_ends_m(self) -> tuple[Floats, Floats]:
        """Starts and ends of the obstacles [m], each (obstacles,)."""
        return np.array([a for _, a, _ in self.spans]), np.array([b for _, _, b in self.spans])

    @cached_property
    def _grid(self) -> Floats:
        return np.arange(self.height_m.size, dtype=np.float64)


def lay(course: CourseParts, dx_m: float = 0.005) -> Ground:
    """The course's ground on a grid of `dx_m` [m]: 0.010, 0.005, 0.0025, or any that fits into 0.010 evenly.

    The outline, which the vehicle runs on, has obstacle sizes as given and its faces upright. In the heights, which are
    drawn, an inner edge is up to one interval short where the grid is too coarse for it, and an upright face takes
    exactly one interval, on its lower side. Raises InputError if `dx_m` does not fit or is below 1 mm.
    """
    per_step = points_per_start_step(dx_m)
    dx_m = START_STEP_M / per_step
    gaps, starts, end_m = _places(course)
    height = np.zeros(per_step * _steps_up(end_m) + 1)
    spans = []
    level = 0.0
    corners, reached_m = [(np.zeros(1), np.zeros(1))], 0.0
    for part, step in zip(course.obstacle, starts, strict=True):
        first = step * per_step
        count = math.floor((part.length_m() + EDGE_M) / dx_m) + 1
        along = np.arange(count, dtype=np.float64) * dx_m
        local = part.heights_m(along) + level
        # Where one obstacle ends on the next one's first point, the higher edge stays.
        local[0] = max(local[0], height[first])
        height[first : first + count] = local
        start_m = step * START_STEP_M
        corners.append(_level(level, reached_m, start_m))
        x, y = outline(part, along)
        corners.append((x + start_m, y + level))
        reached_m = start_m + float(x[-1])
        level += part.rise_m()
        height[first + count :] = level
        spans.append((part.called(), start_m, start_m + part.length_m()))
    speed_from, speed = _speeds(course, gaps)
    corners.append(_level(level, reached_m, (height.size - 1) * dx_m))
    x, y = (np.concatenate(c) for c in zip(*corners, strict=True))
    for array in (height, speed_from, speed, x, y):
        array.setflags(write=False)
    tasks = tuple(told.task() for told in course.driver)
    return Ground(dx_m, height, _numbered(spans), speed_from, speed, x, y, tasks)


def _level(height_m: float, begin_m: float, end_m: float) -> tuple[Floats, Floats]:
    """Corners of flat ground between two places [m]: none where an obstacle begins where the one before it ends, so
    that no slit is left between them."""
    x = np.array([begin_m, end_m]) if end_m > begin_m + EDGE_M else np.zeros(0)
    return x, np.full(len(x), height_m)


def course_length_m(course: CourseParts) -> float:
    """Length of the course once laid [m], without laying it."""
    return _steps_up(_places(course)[2]) * START_STEP_M


def points_per_start_step(dx_m: float) -> int:
    """Grid intervals of `dx_m` [m] in START_STEP_M. Raises InputError if they do not fit or are below 1 mm."""
    if math.isfinite(dx_m) and dx_m >= FINEST_DX_M * (1.0 - 1e-9):
        per_step = round(START_STEP_M / dx_m)
        if per_step >= 1 and abs(per_step * dx_m / START_STEP_M - 1.0) < 1e-6:
            return per_step
    raise InputError(
        Problem(
            f"a ground grid of {dx_m / MM:g} mm does not fit",
            allowed="10, 5, 2.5, 2 or 1 mm",
            argument="ground_mm",
        )
    )


def _steps_up(x_m: float) -> int:
    """Whole start steps that reach `x_m` or just beyond it."""
    return math.ceil((x_m - EDGE_M) / START_STEP_M)


def _places(course: CourseParts) -> tuple[list[float], list[int], float]:
    """Start of each gap [m], of each obstacle in whole start steps, and where the run-out ends [m]."""
    at = course.run_up_mm * MM
    gaps, starts = [], []
    for part in course.obstacle:
        gaps.append(at)
        starts.append(max(_steps_up(at + part.gap_mm * MM), 0))
        at = starts[-1] * START_STEP_M + part.length_m()
    return gaps, starts, at + course.run_out_mm * MM


def _speeds(course: CourseParts, gaps: list[float]) -> tuple[Floats, Floats]:
    """Where each target speed begins [m] and the speed [m/s]; of two given for one place the later counts."""
    wanted = {0.0: math.nan if course.speed_m_s is None else course.speed_m_s}
    wanted |= {x: p.speed_m_s for x, p in zip(gaps, course.obstacle, strict=True) if p.speed_m_s is not None}
    places = sorted(wanted)
    return np.array(places), np.array([wanted[x] for x in places])


def _numbered(spans: list[tuple[str, float, float]]) -> tuple[tuple[str, float, float], ...]:
    """Spans whose titles tell equal obstacles apart: `kerb 100 mm (2)`."""
    seen: Counter[str] = Counter()
    taken = {title for title, _, _ in spans}
    out = []
    for title, start, end in spans:
        seen[title] += 1
        name = title
        while seen[title] > 1 and (name := f"{title} ({seen[title]})") in taken:
            seen[title] += 1
        taken.add(name)
        out.append((name, start, end))
    return tuple(out)
