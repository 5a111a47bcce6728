"""The course file: run-up, obstacles one after another, run-out."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Annotated, Any, ClassVar

from pydantic import Field, model_validator

from trundle.errors import InputError, Problem
from trundle.fields.base import PLAIN, Spec, plain_text
from trundle.fields.sketch import Around, Sketch
from trundle.fields.speed import SpeedMS
from trundle.spec.course_drawing import course_sketches
from trundle.spec.lines import line_numbers
from trundle.spec.reader import matching_paths, parse_toml, read_text, set_values, validate
from trundle.terrain import ObstacleKind, named_files
from trundle.terrain.base import Obstacle
from trundle.terrain.ground import course_length_m
from trundle.terrain.instructions import Instruction, InstructionKind, check_order

MAX_LENGTH_M = 2_000.0
"""Longest course [m]."""


class Course(Spec):
    """Obstacles one after another with flat ground before, between and behind them, and what the driver is told on it.

    Also called: track layout, test course, route, terrain, obstacle course
    """

    EXAMPLE: ClassVar[str] = """name = "Pavement"
note = "Up a kerb, over a hump, down again; a stop on top."
run_up_mm = 2500
run_out_mm = 2000
speed_m_s = 1.0

[[obstacle]]
kind = "kerb up"
gap_mm = 500
height_mm = 100

[[obstacle]]
kind = "round-top hump"
height_mm = 75
length_mm = 900

[[obstacle]]
kind = "kerb down"
height_mm = 100

[[driver]]
kind = "stop"
at_mm = 4200
for_s = 3
"""

    name: Annotated[str, Field(max_length=60), PLAIN] = ""
    """What reports call it.

    Usual: two words.
    Measure: nothing to measure.
    If wrong: nothing.
    """

    note: Annotated[str, Field(max_length=4_000), PLAIN] = ""
    """What it is for, in the builder's words.

    Usual: one sentence: which question it answers.
    Measure: nothing to measure.
    If wrong: nothing.
    """

    run_up_mm: Annotated[float, Field(ge=0, le=1_000_000)] = 3000.0
    """Flat ground before the first obstacle's gap, mm: the vehicle stands on it at the start.

    Usual: the vehicle's length and 1000.
    Measure: tape along the ground.
    If wrong: too short, and it has not reached its speed at the first obstacle.
    """

    run_out_mm: Annotated[float, Field(ge=0, le=1_000_000)] = 3000.0
    """Flat ground behind the last obstacle, mm.

    Usual: the vehicle's length and 1000.
    Measure: tape along the ground.
    If wrong: too short, and what happens as the tail comes off the last obstacle is not seen.
    """

    speed_m_s: SpeedMS | None = None
    """Target speed from the start, m/s; the vehicle's own if left out.

    Usual: 0.5 to 1.5: walking pace is 1.4.
    Measure: a stopwatch over a measured length; km/h divided by 3.6.
    If wrong: a blow goes about with the speed.
    Also called: pace, velocity
    """

    obstacle: Annotated[tuple[ObstacleKind, ...], Field(strict=False, max_length=2_000)] = ()
    """The obstacles, in the order they are met: a table [[obstacle]] for each, told apart by its kind.

    Usual: one for one question; a yard of ten to see it all.
    Measure: `trundle course --kinds` lists them.
    If wrong: another order is another course: what still swings from one meets the next.
    """

    driver: Annotated[tuple[InstructionKind, ...], Field(strict=False, max_length=500)] = ()
    """What the driver is told to do on it (stop, reverse): a table [[driver]] for each, in the order in which it is
    done.

    Usual: left out: it drives over the course at its speed.
    Measure: nothing to measure.
    If wrong: out of order they are refused.
    Also called: commands, instructions
    """

    def sketches(self, around: Around) -> tuple[Sketch, ...]:
        """From the side, heights larger than lengths."""
        return course_sketches(self, around)

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
