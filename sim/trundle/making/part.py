"""A part that is made: stock, outline, holes from a datum corner, mass, how many, where they sit."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal

from trundle.making.stock import Stock

What = Literal["arm", "beam", "bracket plate", "pivot sleeve", "axle sleeve", "spacer", "leaf", "torsion bar"]

PLACE_MM = 0.25
"""Tolerance of a hole that places a wheel, from its fellow hole (common practice, no source)."""

EDGE_MM = 0.5
"""Tolerance of every other place (common practice, no source)."""


@dataclass(frozen=True)
class Hole:
    """along, up: its middle from the datum corner (left end, lower edge) [mm]. tolerance: plus or minus, of its place.
    passes: what goes through it, in words. walls: how many walls it goes through."""

    name: str
    along_mm: float
    up_mm: float
    diameter_mm: float
    tolerance_mm: float
    passes: str = ""
    walls: int = 1


@dataclass(frozen=True)
class Place:
    """Where one piece sits. on: "hull", or the moving part that carries it ("front.fore", "one.beam"). x_mm, y_mm: its
    centre of mass in that one's own axes, level: forward and up from its pivot, of the hull from tail and belly datum.
    side_mm: across the vehicle, from the middle of its station outwards; 0: about the middle."""

    on: str
    x_mm: float
    y_mm: float
    side_mm: float = 0.0


@dataclass(frozen=True)
class Made:
    """A part that is cut, drilled or bent, alike ones of several bogies as one.

    mark: its number on drawings and lists (A1, B1, S1, L1). path: the table of the file that says how it is made, of
    the first of its bogies. count: for the whole vehicle. length_mm: cut from the stock; of plate length_mm by
    height_mm; of a sleeve along its bolt; of a leaf before it is bent. height_mm, width_mm: as it stands, up and across
    the vehicle. bore_mm: of a sleeve, spacer or hollow bar. holes: from the datum corner. radius_mm: of a leaf as it is
    wanted, at the middle of its thickness; None: it stays straight. mass_kg: of one. com_mm: its centre of mass from
    the datum corner. places: of all of one side's. notes: in words.
    """

    mark: str
    what: What
    bogies: tuple[str, ...]
    path: str
    count: int
    stock: Stock
    length_mm: float
    height_mm: float
    width_mm: float
    mass_kg: float
    com_mm: tuple[float, float]
    holes: tuple[Hole, ...] = ()
    bore_mm: float | None = None
    radius_mm: float | None = None
    places: tuple[Place, ...] = ()
    notes: tuple[str, ...] = ()
    title: str = ""

    @property
    def name(self) -> str:
        """What it is called: "arm", "leaf 2"."""
        return self.title or self.what

    @property
    def outside(self) -> tuple[Hole, ...]:
        """Holes whose rim does not lie wholly inside the piece."""

        def out(h: Hole) -> bool:
            r = 0.5 * h.diameter_mm
            return not (r < h.along_mm < self.length_mm - r and r < h.up_mm < self.height_mm - r)

        return tuple(h for h in self.holes if out(h))

    @property
    def alike(self) -> tuple[object, ...]:
        """What two parts have in common that are made from one drawing."""
        return (
            self.what, self.title, self.stock, self.length_mm, self.height_mm, self.width_mm, self.holes, self.bore_mm,
            self.radius_mm,
        )  # fmt: skip

    def with_more(self, other: Made) -> Made:
        """This one and an alike one of another bogie together."""
        return replace(
            self,
            bogies=tuple(dict.fromkeys((*self.bogies, *other.bogies))),
            count=self.count + other.count,
            places=(*self.places, *other.places),
        )
