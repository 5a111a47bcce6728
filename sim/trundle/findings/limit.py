"""One limit of a vehicle: the largest obstacle of a kind that it manages."""

from __future__ import annotations

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
