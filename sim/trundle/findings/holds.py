"""What is at the seat, and what holds it there: how much that holds, in multiples of its weight."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from trundle.findings.words import force
from trundle.units import G

if TYPE_CHECKING:
    from trundle.spec.hull import Hull

RIDER_KG = 75.0
"""What a rider is taken to weigh where the file does not say [kg] (common practice, no source)."""


@dataclass(frozen=True)
class Hold:
    """One thing that holds. along_g: how much of its weight it holds along the hull, None: as much as its bolts; down:
    whether it also keeps what it holds in the seat; holds: a sentence's beginning, `a lap belt holds`; source."""

    along_g: float | None
    down: bool
    holds: str
    source: str = ""

    def said(self, kg: float) -> str:
        """`a lap belt holds 6.6 kN (9 g, 14 CFR 23.561, from memory)`."""
        if self.along_g is None:
            return self.holds
        return f"{self.holds} {force(self.along_g * kg * G)} ({self.along_g:g} g, {self.source})"


HOLDS: Mapping[str, Hold] = {
    "nothing": Hold(0.3, False, "friction on the seat holds", "common practice, no source"),
    "grip": Hold(0.7, False, "hands and feet hold, for a moment,", "common practice, no source"),
    "lap belt": Hold(9.0, True, "a lap belt holds", "14 CFR 23.561, from memory"),
    "harness": Hold(16.0, True, "a harness holds", "14 CFR 25.562, from memory"),
    "lashings": Hold(0.8, True, "lashings are reckoned to hold", "EN 12195-1, from memory"),
    "bolts": Hold(None, True, "what bolts it down has to stand that"),
}
"""By the name in `held_by`."""

USUAL: Mapping[str, str] = {"rider": "grip", "load": "lashings", "mast": "bolts"}
"""What holds it where the file does not say."""

STRONGER: Mapping[str, tuple[str, ...]] = {"rider": ("grip", "lap belt", "harness"), "load": ("lashings", "bolts")}
"""What would hold it, the weakest first."""


def held_by(hull: Hull) -> str:
    """What holds it."""
    return hull.held_by or USUAL[hull.at_seat]


def mass_kg(hull: Hull) -> float | None:
    """What it weighs; a load or mast that the file does not weigh has none."""
    if hull.seat_kg is not None:
        return hull.seat_kg
    # No heavier than all that is sprung.
    return min(RIDER_KG, hull.mass_kg) if hull.at_seat == "rider" else None


def would_hold(hull: Hull, along_g: float) -> str | None:
    """What stronger than it has would hold so much; None where it has it already, or nothing of the table does."""
    has = HOLDS[held_by(hull)].along_g
    if has is None or has >= along_g:
        return None
    for name in STRONGER.get(hull.at_seat, ()):
        most = HOLDS[name].along_g
        if most is None or most >= along_g:
            return name
    return None
