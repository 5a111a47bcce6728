"""The course file: run-up, obstacles one after another, run-out."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Annotated, Any

from pydantic import Field, model_validator

from trundle.errors import InputError, Problem
from trundle.fields.base import PLAIN, Spec, plain_text
from trundle.fields.speed import SpeedMS
from trundle.spec.lines import line_numbers
from trundle.spec.reader import matching_paths, parse_toml, read_text, set_values, validate
from trundle.terrain import ObstacleKind, named_files
from trundle.terrain.base import Obstacle
from trundle.terrain.ground import course_length_m
from trundle.terrain.instructions import Instruction, InstructionKind, check_order

MAX_LENGTH_M = 2_000.0
"""Longest course [m]."""


class Course(Spec):
    """Obstacles with flat ground before, between and behind them."""

    name: Annotated[str, Field(max_length=60), PLAIN] = ""
    """What reports call it."""

    note: Annotated[str, Field(max_length=4_000), PLAIN] = ""
    """What it is for, in the builder's words."""

    run_up_mm: Annotated[float, Field(ge=0, le=1_000_000)] = 3000.0
    """Flat ground before the first obstacle's gap, mm: the vehicle stands on it at the start."""

    run_out_mm: Annotated[float, Field(ge=0, le=1_000_000)] = 3000.0
    """Flat ground behind the last obstacle, mm."""

    speed_m_s: SpeedMS | None = None
    """Target speed from the start, m/s; the vehicle's own if left out."""

    obstacle: Annotated[tuple[ObstacleKind, ...], Field(strict=False, max_length=2_000)] = ()
    """The obstacles, in the order they are met."""

    driver: Annotated[tuple[InstructionKind, ...], Field(strict=False, max_length=500)] = ()
    """What the driver is told to do on it (stop, reverse), in the order in which it is done."""

    @model_validator(mode="after")
    def _can_be_laid(self) -> Course:
        if not self.obstacle:
            raise ValueError("the course is empty; add an [[obstacle]] table for each obstacle")
        parts: tuple[Obstacle, ...] = self.obstacle
        for part in parts:
            plain_text(part.name)
        length = course_length_m(self)
        if length > MAX_LENGTH_M:
            raise ValueError(f"the course is {length:.0f} m long; the limit is {MAX_LENGTH_M:.0f} m")
        told: tuple[Instruction, ...] = self.driver
        check_order(told, length)
        return self


def load_course(path: str | Path, settings: Mapping[str, Any] | None = None, text: str | None = None) -> Course:
    """The course in a TOML file, with `settings` (`{"obstacle.1.height_mm": 120}`) put in.

    A surveyed profile's `file` is looked for beside the course file. text: what stands in the file, if it
    has been read before. Raises InputError listing every
    problem with file, line and field.
    """
    path = Path(path)
    text = read_text(path) if text is None else text
    written = parse_toml(text, str(path))
    if "obstacle" not in written and "hull" in written:
        raise InputError(Problem("is a vehicle; a course is wanted here", file=str(path)))
    settings = dict(settings or {})
    data = set_values(written, settings)
    # What was set by option is not on any line of the file.
    lines = {**line_numbers(text), **{at: 0 for key in settings for at in matching_paths(data, key)}}
    _find_files(data, path.parent)
    return validate(Course, data, str(path), lines)


def _find_files(data: dict[str, Any], folder: Path) -> None:
    for entry, field in named_files(data):
        file = folder / entry[field]
        # A device or pipe has no end that a size could tell; reading one would fill the memory.
        if _exists(file) and not (file.is_file() or file.is_dir()):
            raise InputError(Problem("is not a file; a .csv file is wanted", file=str(file)))
        entry[field] = str(file)


def _exists(file: Path) -> bool:
    try:
        return file.exists()
    except (OSError, ValueError):
        return False  # Too long or unprintable for a file name: reading it will say so.
