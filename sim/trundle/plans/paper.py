"""Paper that drawings are printed on."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from trundle.errors import InputError, Problem, did_you_mean

BINDING_MM, BORDER_MM = 20.0, 10.0
"""From the paper's edge to the frame: on the left, where it is bound, and elsewhere (ISO 5457)."""


@dataclass(frozen=True)
class Paper:
    """One size [mm]; upright: its short side across."""

    name: str
    short_mm: float
    long_mm: float
    upright: bool = False

    @property
    def width(self) -> float:
        """Across [mm]."""
        return self.short_mm if self.upright else self.long_mm

    @property
    def height(self) -> float:
        """Up [mm]."""
        return self.long_mm if self.upright else self.short_mm

    @property
    def frame(self) -> tuple[float, float, float, float]:
        """Left, low, right, high edge of the frame on the paper [mm]."""
        return BINDING_MM, BORDER_MM, self.width - BORDER_MM, self.height - BORDER_MM

    def turned(self, upright: bool) -> Paper:
        """The same, put upright or lengthwise."""
        return replace(self, upright=upright)


PAPERS: Mapping[str, Paper] = {
    p.name: p
    for p in (
        Paper("A4", 210.0, 297.0),
        Paper("A3", 297.0, 420.0),
        Paper("Letter", 215.9, 279.4),
        Paper("Tabloid", 279.4, 431.8),
    )
}
"""ISO 216 and ANSI Y14.1 sizes that a home or an office printer takes, by name."""

DEFAULT = PAPERS["A4"]
"""What is drawn on where nobody says."""


def paper_named(name: str, argument: str = "paper") -> Paper:
    """One of them, in letters small or large. Raises InputError, which names the argument."""
    for known, paper in PAPERS.items():
        if known.lower() == name.strip().lower():
            return paper
    hint = did_you_mean(name.strip().capitalize(), PAPERS)
    raise InputError(Problem(f'unknown paper "{name}"{hint}', argument=argument, allowed=", ".join(PAPERS)))
