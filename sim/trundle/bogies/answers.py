"""What a bogie tells the checks and the workshop: plain data, mm, laid out by those who ask."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from trundle.bogies.build import ArmBuild
from trundle.springs import Mount, Spring


@dataclass(frozen=True)
class Station:
    """A wheel station with its arms at mid-travel: axle [mm, hull frame], its lowest and highest place."""

    name: str
    x_mm: float
    y_mm: float
    low_mm: float
    high_mm: float


@dataclass(frozen=True)
class Sprung:
    """The sprung arms of a bogie, one side. path: where they stand in the file. count: how many springs."""

    path: str
    arm_mm: float
    spring: Spring
    mount: Mount
    count: int


@dataclass(frozen=True)
class Bore:
    """A hole of a member: along it from its first hole, above the line of its end holes, mm.

    bolt: which of the arm's bolts goes through; a spring's own hole has a diameter_mm of its own instead.
    places_wheel: its distance from the first hole places a wheel.
    """

    name: str
    along_mm: float
    above_mm: float
    bolt: Literal["pivot", "axle", "spring"]
    places_wheel: bool
    diameter_mm: float | None = None


@dataclass(frozen=True)
class Member:
    """Arms or a beam of a bogie that are made alike, one side's.

    name, path: as the sheet and the file call it. each_side: how many on one side. bores: its holes from the left
    end. pivots_mm: where its pivots lie on their bracket, from the bracket's middle; empty: they are
    on no bracket. pivots: how many pivot bolts on one side. axles: how many wheel stations on one side it carries on
    axles of its own.

    For its strength: reach_mm, its pivot to where it is loaded; sprung: what holds it up (None: it is a beam, held
    at its middle only); carries: how many wheel stations hang on its loaded end; ends: how many such ends push on
    its pivot.
    """

    name: str
    path: str
    what: Literal["arm", "beam"]
    build: ArmBuild | None
    each_side: int
    bores: tuple[Bore, ...]
    pivots_mm: tuple[float, ...]
    pivots: int
    axles: int
    reach_mm: float
    sprung: Sprung | None
    carries: int
    ends: int

    @property
    def carries_axle(self) -> bool:
        """True if road wheels turn on it; False for the arm under a beam."""
        return self.axles > 0
