"""One limit of a vehicle: the largest obstacle of a kind that it manages."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass


@dataclass(frozen=True)
class Statics:
    """The same limit by plain statics of a rigid body. value: in the limit's unit; why: what sets it."""

    value: float
    why: str


@dataclass(frozen=True)
class Unharmed:
    """The largest obstacle that is passed without harm. value: 0 if none; harmed_at: the smallest that harms, or
    stops (None: none does); why: how; hit: the hardest blow at `value`."""

    value: float
    harmed_at: float | None
    why: str
    hit: str


@dataclass(frozen=True)
class Limit:
    """One limit. value: the largest that was passed, 0 if none was; failed_at: the smallest that was not,
    None if all were passed; unit: mm or deg; why: what stopped it there; runs: how many it took; doubtful:
    how many sizes gave no run, however fine, whose energy ledger closes; hit: the hardest blow at `value`; unharmed:
    None where harm is no question; statics: None where the limit is statics itself."""

    what: str
    value: float
    failed_at: float | None
    unit: str
    why: str
    runs: int = 0
    doubtful: int = 0
    hit: str = ""
    unharmed: Unharmed | None = None
    statics: Statics | None = None

    @property
    def said(self) -> str:
        """`145 mm`, `26.5°`, `1000 mm or more`, `less than 5 mm`."""
        return _size(self.value, self.failed_at, self.unit)

    @property
    def unharmed_said(self) -> str:
        """The same of the largest passed without harm; empty where it is no question."""
        return "" if self.unharmed is None else _size(self.unharmed.value, self.unharmed.harmed_at, self.unit)

    @property
    def statics_said(self) -> str:
        """`310 mm`; empty where the limit is statics itself."""
        return "" if self.statics is None else f"{self.statics.value:.0f}{_mark(self.unit)}"

    @property
    def rows(self) -> tuple[tuple[str, str, str], ...]:
        """What there is to say, the safe one first: (which, how large, why)."""
        mark = _mark(self.unit)
        found = []
        if self.unharmed is not None:
            safe = self.unharmed
            hit = f"hardest blow {safe.hit}" if safe.hit else ""
            then = f"at {safe.harmed_at:g}{mark} {safe.why}" if safe.harmed_at is not None else ""
            found.append(("without harm", self.unharmed_said, "; ".join(t for t in (hit, then) if t)))
        hit = f"; at {self.value:g}{mark} the hardest blow is {self.hit}" if self.hit and self.value > 0.0 else ""
        fails = f"fails at {self.failed_at:g}{mark}: " if self.failed_at is not None else ""
        found.append(("at most", self.said, f"{fails}{self.why}{hit}"))
        if self.statics is not None:
            found.append(("by statics", self.statics_said, self.statics.why))
        return tuple(found)


def _mark(unit: str) -> str:
    return "°" if unit == "deg" else f" {unit}"


def _size(value: float, failed_at: float | None, unit: str) -> str:
    if failed_at is None:
        return f"{value:g}{_mark(unit)} or more"
    if value <= 0.0:
        return f"less than {failed_at:g}{_mark(unit)}"
    return f"{value:g}{_mark(unit)}"


class Limits(tuple[Limit, ...]):
    """All limits that were looked for. vehicle: its name; speed_m_s: target speed [m/s]; grip: of track on ground."""

    vehicle: str
    speed_m_s: float
    grip: float

    def __new__(cls, limits: Iterable[Limit], vehicle: str, speed_m_s: float, grip: float) -> Limits:
        made = super().__new__(cls, limits)
        made.vehicle, made.speed_m_s, made.grip = vehicle, speed_m_s, grip
        return made

    @property
    def title(self) -> str:
        """`Teasel at 1.2 m/s, grip 0.75`."""
        return f"{self.vehicle} at {self.speed_m_s:g} m/s, grip {self.grip:g}"

    def __repr__(self) -> str:
        lines = [self.title]
        for one in self:
            lines += [one.what, *(f"  {which:<13}{said:<16}{why}" for which, said, why in one.rows)]
        return "\n".join(lines)
