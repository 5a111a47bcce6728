"""How much something should worry the reader, and the lines that say so."""

from __future__ import annotations

from dataclasses import dataclass
from enum import IntEnum, StrEnum


class Grade(IntEnum):
    """How much a line should worry the reader, worst last. Shown as sign and word, never by colour alone."""

    FINE, NOTE, RISK, FAIL = range(4)

    @property
    def sign(self) -> str:
        return "✓·!✗"[self]

    @property
    def word(self) -> str:
        return ("fine", "note", "risk", "failed")[self]


class Subject(StrEnum):
    """What a figure or an event is about: the sections of the verdict, in reading order."""

    STRENGTH = "Strength"
    HULL = "Hull and wheels"
    TRACK = "Track"
    GRIP = "Grip"
    SEAT = "Seat"
    MOTOR = "Motor"
    TRUST = "Trust"


@dataclass(frozen=True)
class Line:
    """One sentence and its grade. aside: the screen, where lines are few, leaves it to the page."""

    grade: Grade
    text: str
    aside: bool = False

    def __str__(self) -> str:
        """`✓ No wheel off.`, `! RISK: The belly touches.`"""
        return f"{self.grade.sign} {f'{self.grade.word.upper()}: ' if self.grade >= Grade.RISK else ''}{self.text}"


@dataclass(frozen=True)
class Section:
    """Lines on one subject."""

    title: str
    lines: tuple[Line, ...]

    @property
    def main(self) -> tuple[Line, ...]:
        """Its lines but for those that are said by the way."""
        return tuple(line for line in self.lines if not line.aside)

    @property
    def grade(self) -> Grade:
        """The worst of its lines."""
        return max((line.grade for line in self.lines), default=Grade.FINE)
