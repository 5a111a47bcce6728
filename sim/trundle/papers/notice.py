"""One warning of the sheet, and the order in which they are told."""

from __future__ import annotations

import math
from dataclasses import dataclass


@dataclass(frozen=True)
class Notice:
    """One warning. loud: something breaks, bends for good or does not work. sets: the first two of these. margin: what
    a part has left to its yield, if the warning is of one."""

    text: str
    loud: bool = False
    sets: bool = False
    margin: float = math.inf


def worst_first(found: list[Notice]) -> list[Notice]:
    """What breaks or bends for good, then what does not work, then parts by what they have left, then the rest."""
    return sorted(found, key=lambda w: (not w.sets, not w.loud, w.margin))
