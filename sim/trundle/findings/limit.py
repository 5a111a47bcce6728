"""One limit of a vehicle: the largest obstacle of a kind that it manages."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass


@dataclass(frozen=True)
class Limit:
    """One limit. value: the largest that was passed, 0 if none was; failed_at: the smallest that was not,
    None if all were passed; unit: mm or deg; why: what stopped it there; runs: how many it took; doubtful:
    how many of them did not close their energy ledger."""

    what: str
    value: float
    failed_at: float | None
    unit: str
    why: str
    runs: int = 0
    doubtful: int = 0

    @property
    def said(self) -> str:
        """`145 mm`, `26.5°`, `1000 mm or more`, `less than 5 mm`."""
        mark = "°" if self.unit == "deg" else f" {self.unit}"
        if self.failed_at is None:
            return f"{self.value:g}{mark} or more"
        if self.value <= 0.0:
            return f"less than {self.failed_at:g}{mark}"
        return f"{self.value:g}{mark}"


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
        wide = max((len(one.what) for one in self), default=0)
        return "\n".join([self.title, *(f"{one.what:<{wide}}  {one.said}: {one.why}" for one in self)])
