"""A bolt and all that it goes through, layer by layer from under its head to its nut."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal

from trundle.steel.bolts import thread
from trundle.steel.fasteners import FASTENERS, is_sold, length_mm, packing_mm, thread_mm
from trundle.units import MM

LayerWhat = Literal["washer", "plate", "play", "sleeve", "hub", "spacer", "arm", "fork plate"]


@dataclass(frozen=True)
class Layer:
    """One thing on the bolt. thick_mm: along it; a washer layer of 2 mm is 2 mm of washers, however many. outside_mm,
    inside_mm: None where the file does not say."""

    what: LayerWhat
    thick_mm: float
    outside_mm: float | None = None
    inside_mm: float | None = None


@dataclass(frozen=True)
class Bolted:
    """Bolts that are alike, of one or several bogies.

    what: "axle bolt", "pivot bolt", "hull bolt". path: its table in the file, of the first. count: for the vehicle.
    layers: from under the head to under the nut, washers of head and nut counted in. bent_mm: from where to where along
    the grip (0: under the head) it is bent or sheared, where its plain shank should be. left_out: fields that are not
    given and what is taken in their place, in words. given_mm: its length, if the file has it. plain: no thread is to
    lie where it is bent.
    """

    what: Literal["axle bolt", "pivot bolt", "hull bolt"]
    bogies: tuple[str, ...]
    path: str
    count: int
    thread: str
    grade: str
    layers: tuple[Layer, ...]
    bent_mm: tuple[float, float]
    left_out: tuple[str, ...] = ()
    given_mm: float | None = None
    plain: bool = True

    @property
    def grip_mm(self) -> float:
        """From under the head to under the nut [mm]."""
        return sum(layer.thick_mm for layer in self.layers)

    @property
    def length_mm(self) -> float:
        """As given, or the shortest sold that does [mm]."""
        if self.given_mm is not None:
            return self.given_mm
        return length_mm(self.thread, self.grip_mm, self.bent_mm[1] if self.plain else 0.0)

    @property
    def packing_mm(self) -> float:
        """Washers under the nut beyond those among its layers, for the nut to find thread [mm]."""
        return packing_mm(self.thread, self.length_mm, self.grip_mm)

    @property
    def shank_mm(self) -> float:
        """Its plain shank under the head; threaded rod has none [mm]."""
        return self.length_mm - thread_mm(self.thread, self.length_mm) if self.sold else 0.0

    @property
    def sold(self) -> bool:
        """Whether a bolt is sold so long; else it is made of threaded rod."""
        return is_sold(self.thread, self.length_mm)

    @property
    def diameter_mm(self) -> float:
        """Of its shank [mm]."""
        return thread(self.thread).diameter_m / MM

    @property
    def alike(self) -> tuple[object, ...]:
        """What two have in common that are bought and put together alike."""
        return self.what, self.thread, self.grade, self.layers, self.bent_mm, self.given_mm, self.plain

    def with_more(self, other: Bolted) -> Bolted:
        """This and an alike one of another bogie together."""
        return replace(self, bogies=tuple(dict.fromkeys((*self.bogies, *other.bogies))), count=self.count + other.count)


def washer(name: str) -> Layer:
    """A plain washer of a thread, under its head or nut."""
    f = FASTENERS[name]
    return Layer("washer", f.washer_mm, f.washer_out_mm, f.washer_in_mm)
