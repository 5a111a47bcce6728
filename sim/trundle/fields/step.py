"""By what a builder would change a field: the next stock size, a hole moved by 5 mm, a stop turned by 5 degrees.

Each field says so itself, in its type: `arm_mm: Annotated[LengthMm, By(10)]`. A field that a builder does not choose
says that, and why: `Kept("a property of the rubber")`.
"""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Annotated, Any, get_args, get_origin

from pydantic import BaseModel
from pydantic.fields import FieldInfo

LESS, MORE = "less", "more"
BACK, FORWARD, DOWN, UP = "back", "forward", "down", "up"
"""Directions in which a step goes."""

NEAR = 1e-6
"""A size within this share of a stock size is that size."""


@dataclass(frozen=True)
class Along:
    """A mass that goes with a field. field: names of it, of which one is there; above: tables up from the field's own;
    power: of the field's ratio."""

    field: tuple[str, ...]
    above: int = 0
    power: float = 1.0


class Step(ABC):
    """By what a field is changed."""

    along: tuple[Along, ...] = ()

    @abstractmethod
    def moves(self, value: Any) -> Mapping[str, Any]:
        """What the value becomes by one step, by direction; nothing where there is no step."""


@dataclass(frozen=True)
class Kept(Step):
    """A builder does not change it on its own. why: the reason in a few words."""

    why: str

    def moves(self, value: Any) -> Mapping[str, Any]:
        """None."""
        return {}


@dataclass(frozen=True)
class By(Step):
    """So much less or more, in the field's unit. least, most: it goes no further."""

    amount: float
    least: float = float("-inf")
    most: float = float("inf")
    along: tuple[Along, ...] = ()

    def moves(self, value: Any) -> Mapping[str, Any]:
        """Both, a whole number for a whole one."""
        found = {LESS: value - self.amount, MORE: value + self.amount}
        whole = isinstance(value, int)
        return {k: int(v) if whole else tidy(v) for k, v in found.items() if self.least <= v <= self.most}


@dataclass(frozen=True)
class Times(Step):
    """That many times less or more. least_only: only less."""

    factor: float
    less_only: bool = False
    along: tuple[Along, ...] = ()

    def moves(self, value: Any) -> Mapping[str, Any]:
        """Both, to four figures."""
        if value == 0.0:
            return {}
        found = {LESS: tidy(value / self.factor)}
        return found if self.less_only else {**found, MORE: tidy(value * self.factor)}


@dataclass(frozen=True)
class Stock(Step):
    """The next size below and above of those that are sold."""

    sizes: tuple[float, ...]
    along: tuple[Along, ...] = ()

    def moves(self, value: Any) -> Mapping[str, Any]:
        """From any size, also one that is not sold."""
        below = [s for s in self.sizes if s < value * (1.0 - NEAR)]
        above = [s for s in self.sizes if s > value * (1.0 + NEAR)]
        return ({LESS: below[-1]} if below else {}) | ({MORE: above[0]} if above else {})


@dataclass(frozen=True)
class Better(Step):
    """The next better of one of several rows of names; never a worse one."""

    rows: tuple[tuple[str, ...], ...]

    def moves(self, value: Any) -> Mapping[str, Any]:
        """Nothing for the best, or for a name in no row."""
        for row in self.rows:
            if value in row[:-1]:
                return {MORE: row[row.index(value) + 1]}
        return {}


@dataclass(frozen=True)
class Sizes(Step):
    """The next smaller and larger of one of several rows of names."""

    rows: tuple[tuple[str, ...], ...]

    def moves(self, value: Any) -> Mapping[str, Any]:
        """Nothing for a name in no row."""
        for row in self.rows:
            if value in row:
                i = row.index(value)
                return ({LESS: row[i - 1]} if i else {}) | ({MORE: row[i + 1]} if i + 1 < len(row) else {})
        return {}


@dataclass(frozen=True)
class Move(Step):
    """A point [forward, up] moved along the hull or upwards, in its unit; 0: not in that direction."""

    along_mm: float
    up_mm: float

    def moves(self, value: Any) -> Mapping[str, Any]:
        """The four, or two."""
        x, y = value
        found: dict[str, Any] = {}
        if self.along_mm:
            found |= {BACK: (tidy(x - self.along_mm), y), FORWARD: (tidy(x + self.along_mm), y)}
        if self.up_mm:
            found |= {DOWN: (x, tidy(y - self.up_mm)), UP: (x, tidy(y + self.up_mm))}
        return found


def tidy(value: float) -> float:
    """To four figures, as a builder would write it."""
    return float(f"{value:.4g}")


def step_of(field: FieldInfo) -> Step | None:
    """The step that a field's type names, also inside `... | None`; None if it names none."""
    own = [m for m in field.metadata if isinstance(m, Step)]
    return own[0] if own else _inside(field.annotation)


def _inside(annotation: Any) -> Step | None:
    if get_origin(annotation) is Annotated:
        inner, *marks = get_args(annotation)
        return next((m for m in marks if isinstance(m, Step)), None) or _inside(inner)
    if isinstance(annotation, type):
        return None
    return next((s for a in get_args(annotation) if (s := _inside(a)) is not None), None)


def steps_of(table: type[BaseModel]) -> dict[str, Step | None]:
    """The step of every field of a table."""
    return {name: step_of(field) for name, field in table.model_fields.items()}
