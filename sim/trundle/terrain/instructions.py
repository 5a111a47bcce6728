"""What the driver is told to do on a course, beside driving over it: one class a kind."""

from __future__ import annotations

from abc import abstractmethod
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Annotated, ClassVar, Literal

import numpy as np
from pydantic import Field, model_validator

from trundle.fields.base import PlacedError
from trundle.fields.kind import Kind, one_of
from trundle.fields.shape import Shape
from trundle.fields.sketch import Around, Mark, Note, Sketch, Span
from trundle.fields.sketch_parts import arrow, thin
from trundle.fields.speed import SpeedMS
from trundle.terrain.profile import ground, vehicle
from trundle.units import MM

PlaceMm = Annotated[float, Field(ge=0, le=2_000_000)]
"""A place of the hull's centre of mass along the course, from its start, mm."""

LEAST_BACK_MM = 10.0
"""Backing up by less is none [mm]."""


@dataclass(frozen=True)
class Task:
    """An instruction as the law reads it: drive on to at_m, stand there for wait_s, and back up to to_m at speed_m_s;
    to_m = at_m: do not. words: what it is called on a drawing."""

    at_m: float
    wait_s: float
    to_m: float
    speed_m_s: float
    words: str


class Instruction(Kind):
    """One entry of the driver's list. They are carried out in order, each when the vehicle gets to its place.

    A place is that of the hull's centre of mass along the course (column hull.x_mm). A kind is a subclass with a
    `kind: Literal["..."]` field and the method below.
    """

    at_mm: PlaceMm
    """Where it stands, by the hull's centre of mass from the course's start, mm; 0: where it starts.

    Usual: on the slope, or half-way over the obstacle, that is in question.
    Measure: `trundle course` lists where each obstacle begins and ends, in metres: x 1000.
    If wrong: it stands before or behind what was meant.
    Also called: position, place
    """

    @abstractmethod
    def task(self) -> Task:
        """What the law is to do."""

    def _on_course(self, around: Around, shapes: tuple[Shape, ...], marks: tuple[Mark, ...]) -> tuple[Sketch, ...]:
        """The vehicle where it is told, on the flat, from the course's start."""
        at, beyond = self.at_mm, around.hull_length_mm
        corners = np.array([[0.0, 0.0], [at + beyond, 0.0]])
        start = thin(((0.0, 0.0), (0.0, 0.6 * around.hull_height_mm)))
        place: Mark = Span("at_mm", (0.0, 0.0), (at, 0.0), "x") if at else Note("at_mm", (0.0, 0.0))
        drawn = (ground(corners, 0.0, 0.0), start, *shapes, *vehicle(at, around))
        return (Sketch(self.kind_name(), "side", drawn, (place, *marks)),)


class Stop(Instruction):
    """Stop, stand for a while with the brake on, and drive on.

    Also called: brake, halt, wait, park
    """

    EXAMPLE: ClassVar[str] = 'kind = "stop"\nat_mm = 3000\nfor_s = 5\n'

    kind: Literal["stop"]

    for_s: Annotated[float, Field(ge=0.1, le=3_600)]
    """How long it stands, s.

    Usual: 2 to 5: until it has settled.
    Measure: a watch.
    If wrong: too short, and it drives on while it still rocks.
    """

    def task(self) -> Task:
        """Stand there."""
        at = self.at_mm * MM
        return Task(at, self.for_s, at, 0.0, f"stop, {self.for_s:g} s")

    def sketches(self, around: Around) -> tuple[Sketch, ...]:
        """The vehicle where it stands."""
        up = around.wheel_radius_mm + 0.6 * around.hull_height_mm
        half = 0.5 * around.hull_length_mm
        return self._on_course(
            around, (), (Note("for_s", (self.at_mm, up)), Note("kind", (self.at_mm + 0.5 * half, up)))
        )


class Reverse(Instruction):
    """Stop, back up to a place, and drive forward again.

    Also called: back up, reversing, go back
    """

    EXAMPLE: ClassVar[str] = 'kind = "reverse"\nat_mm = 4000\nto_mm = 2500\nspeed_m_s = 0.3\n'

    kind: Literal["reverse"]

    to_mm: PlaceMm
    """To where it backs up, by the hull's centre of mass from the course's start, mm.

    Usual: 500 to 2000 before at_mm.
    Measure: `trundle course` lists where each obstacle begins and ends, in metres: x 1000.
    If wrong: it backs over what was not meant, or not over what was.
    """

    speed_m_s: SpeedMS = 0.3
    """How fast it backs up, m/s.

    Usual: 0.3.
    Measure: a stopwatch over a measured length; km/h divided by 3.6.
    If wrong: a blow goes about with the speed.
    """

    @model_validator(mode="after")
    def _goes_back(self) -> Reverse:
        if self.to_mm > self.at_mm - LEAST_BACK_MM:
            raise PlacedError(
                f"{self.to_mm:g} is not {LEAST_BACK_MM:g} mm or more behind at_mm ({self.at_mm:g})",
                "to_mm",
                allowed=f"up to {self.at_mm - LEAST_BACK_MM:g}",
            )
        return self

    def task(self) -> Task:
        """Back up from there."""
        words = f"back up to {self.to_mm * MM:.2f} m at {self.speed_m_s:g} m/s"
        return Task(self.at_mm * MM, 0.0, self.to_mm * MM, self.speed_m_s, words)

    def sketches(self, around: Around) -> tuple[Sketch, ...]:
        """The vehicle where it turns back, and where it has backed up to."""
        over = around.wheel_radius_mm + 0.75 * around.hull_height_mm
        back = arrow((self.to_mm, over), 180.0, self.at_mm - self.to_mm)
        low = around.wheel_radius_mm + 0.3 * around.hull_height_mm
        marks = (
            Span("to_mm", (0.0, 0.0), (self.to_mm, 0.0), "x") if self.to_mm else Note("to_mm", (0.0, 0.0)),
            Note("speed_m_s", (0.5 * (self.at_mm + self.to_mm), over)),
            Note("kind", (self.at_mm + 0.3 * around.hull_length_mm, low)),
        )
        return self._on_course(around, (*vehicle(self.to_mm, around, faint=True), *back), marks)


KINDS: tuple[type[Instruction], ...] = (Stop, Reverse)
"""Every kind of instruction."""

if TYPE_CHECKING:
    InstructionKind = Instruction
else:
    InstructionKind = one_of(KINDS)


def check_order(instructions: Sequence[Instruction], length_m: float) -> None:
    """Raises PlacedError if a place is not on a course of this length [m], or lies behind where the one before has left
    the vehicle: the list is driven in order."""
    left_m = 0.0
    for i, instruction in enumerate(instructions):
        task = instruction.task()
        where = ("driver", i, "at_mm")
        if task.at_m > length_m:
            raise PlacedError(
                f"{task.at_m / MM:g} is past the end of the course at {length_m / MM:g}",
                *where,
                allowed=f"up to {length_m / MM:g}",
            )
        if task.at_m < left_m - 1e-9:
            raise PlacedError(
                f"{task.at_m / MM:g} is behind the vehicle, which the one before leaves at {left_m / MM:g}: they are "
                "carried out in their order",
                *where,
                allowed=f"{left_m / MM:g} or more",
            )
        left_m = task.to_m


__all__ = ["KINDS", "Instruction", "InstructionKind", "Reverse", "Stop", "Task", "check_order"]
