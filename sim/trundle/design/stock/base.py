"""The questions that every kind of stock answers: what springs can be made of it, and how hard they are worked."""

from __future__ import annotations

from abc import abstractmethod
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Any, ClassVar

from trundle.fields.kind import Kind
from trundle.springs.base import Spring
from trundle.springs.figures import Figures


@dataclass(frozen=True)
class Place:
    """Where a spring is to work, one arm's. mm, N, rad.

    load_N: at the axle, standing; rate_N_per_mm: wanted there; arm_mm: pivot to axle; stands_rad: the arm's angle below
    the horizontal, standing; apart_mm: between the two pivots of a pair, None for an arm by itself; top_mm: the arm's
    upper face over the line from pivot to axle; clear_mm: what a spring in the middle of a pair has to keep above that
    line, over the pivots' sleeves.
    """

    load_N: float
    rate_N_per_mm: float
    arm_mm: float
    stands_rad: float
    apart_mm: float | None
    top_mm: float
    clear_mm: float


@dataclass(frozen=True)
class Try:
    """A spring that could be made. made: the spring at one setting of what sets the height (a seat, an anchor), any
    number between low and high, more of it being more load; cost: what is against it beside its figures, about 0 to 1;
    said: what has to be done to the stock, in words."""

    made: Callable[[float], Spring]
    low: float
    high: float
    cost: float = 0.0
    said: str = ""


class StockAtHand(Kind):
    """What a builder has to make springs of."""

    PAIRS: ClassVar[bool] = False
    """Whether a spring of it can lie across two arms."""

    @abstractmethod
    def tries(self, place: Place) -> Iterator[Try]:
        """Springs of about the wanted rate that can be made of it for this place."""

    @abstractmethod
    def share(self, spring: Spring, figures: Figures) -> float:
        """How far such a spring is worked there, as a share of what it can take (yield, stroke): above 1 it gives."""

    @abstractmethod
    def others(self) -> Iterator[StockAtHand]:
        """The same kind of stock in other sizes, as it is sold, the nearest first."""

    @abstractmethod
    def words(self) -> str:
        """What it is, in a few words."""

    @abstractmethod
    def guesses(self) -> dict[str, str]:
        """Fields of a spring made of it that nobody measured, and what they were taken from."""


def yield_share(figures: Figures) -> float:
    """Stress over yield; 0 where no stress is known."""
    stress = figures.stress_Pa
    return stress / figures.yield_Pa if stress > 0.0 else 0.0


def nearest(sizes: tuple[float, ...], now: float) -> list[float]:
    """All other sizes, the nearest by ratio first."""
    other = [s for s in sizes if abs(s / now - 1.0) > 1e-6]
    return sorted(other, key=lambda s: max(s / now, now / s))


def plain_fields(spring: Spring) -> dict[str, Any]:
    """What is written of it: what differs from what is taken where a field is left out."""
    data = spring.model_dump(mode="json", exclude_defaults=True)
    return {"kind": spring.kind_name(), **{k: _rounded(v) for k, v in data.items()}}


def _rounded(value: Any) -> Any:
    """To a tenth of a millimetre or degree, which is more than a workshop holds; small numbers to four figures."""
    if isinstance(value, list):
        return [_rounded(v) for v in value]
    if isinstance(value, float):
        return round(value, 1) if abs(value) >= 100.0 else float(f"{round(value, 2):.4g}")
    return value
