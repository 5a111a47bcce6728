"""One part's stress, instant by instant, and the instant in which it is hardest."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from trundle.model.arrays import Floats
from trundle.strength.margin import Kind


@dataclass(frozen=True)
class Stressed:
    """One part over some instants.

    stress_Pa against limit_Pa; load_N: what it carries; along_N, across_N, at_m: of its axle end; all but the limit of
    shape (rows,). said: at an instant, the place in the part with what the stress is, and the notes. swings_Pa: the
    part of the stress that tires it, and endures: allowed over actual swing between two of these [Pa]; None: not asked.
    stone_Pa: what it would be if one wheel of the pair met that load alone, stone_said: the notes on that; None: there
    is no such pair.
    """

    kind: Kind
    name: str
    title: str
    stress_Pa: Floats
    limit_Pa: float
    load_N: Floats
    along_N: Floats
    across_N: Floats
    at_m: Floats
    said: Callable[[int], tuple[str, tuple[str, ...]]]
    swings_Pa: Floats | None = None
    endures: Callable[[float, float], float] | None = None
    stone_Pa: Floats | None = None
    stone_said: Callable[[int], tuple[str, ...]] | None = None
