"""What every obstacle kind gives to the course: its length and its heights."""

from __future__ import annotations

from abc import abstractmethod
from pathlib import Path
from typing import Annotated

import numpy as np
from pydantic import Field

from trundle.fields.kind import Kind
from trundle.fields.shape import Shape
from trundle.fields.sketch import Around, Mark, Sketch
from trundle.fields.speed import SpeedMS
from trundle.terrain.outline import EDGE_M as EDGE_M
from trundle.terrain.outline import Flags as Flags
from trundle.terrain.outline import Floats as Floats
from trundle.terrain.profile import obstacle_sketches
from trundle.units import MM

HeightMm = Annotated[float, Field(gt=0, le=2_000)]
"""How high or deep, mm."""

RunMm = Annotated[float, Field(ge=20, le=200_000)]
"""How long a part is along the course, mm: two steps of the coarsest grid or more, or it could be missed."""

FaceMm = Annotated[float, Field(ge=0, le=5_000)]
"""How far a sloping or rounded face reaches along the course, mm: 0 is upright or sharp."""

Count = Annotated[int, Field(ge=1, le=500)]
"""How many of them stand in a row."""

IS_FILE = "names a file beside the course file"
"""Marks the type of a field that names a file."""

FileName = Annotated[str, Field(min_length=1, max_length=4_000), IS_FILE]
"""Name of a file that the obstacle reads, as written beside the course file."""


class Obstacle(Kind):
    """One entry of a course, laid after the one before it.

    A kind is a subclass with a `kind: Literal["..."]` field, its sizes in mm, and the methods below; it is drawn
    and labelled from its heights and its title. A file that it reads is a field of the type FileName.
    At an upright face `heights_m` gives the *upper* edge, so that the corner a wheel strikes is where the
    builder measured it, at every grid spacing (trundle.terrain.outline).
    """

    name: Annotated[str, Field(max_length=60)] = ""
    """What the verdict calls it; a plain description is made from its sizes if left out.

    Usual: the words that you would use: "last kerb".
    Measure: nothing to measure.
    If wrong: nothing.
    """

    gap_mm: Annotated[float, Field(ge=0, le=1_000_000)] = 1500.0
    """Flat ground before it, from the end of the obstacle before it (or of the run-up) to its start, at the height
    where the course stands by then, mm.

    Usual: 1500: the vehicle's length, so that one blow has died away before the next.
    Measure: tape along the ground from foot to foot.
    If wrong: too short, and the vehicle still bounces from the one before; it is then another course.
    Also called: spacing, distance
    """

    speed_m_s: SpeedMS | None = None
    """Target speed from the start of its gap on, until another obstacle changes it, m/s.

    Usual: left out: the course's or the vehicle's own. Walking pace is 1.4.
    Measure: a stopwatch over a measured length; km/h divided by 3.6.
    If wrong: a blow goes about with the speed.
    Also called: pace, velocity
    """

    @abstractmethod
    def length_m(self) -> float:
        """How much of the course it takes up [m]."""

    @abstractmethod
    def heights_m(self, x_m: Floats) -> Floats:
        """Height above the ground before it [m] at `x_m` [m] from its start, 0 <= x <= length, shape (n,)."""

    @abstractmethod
    def title(self) -> str:
        """`kerb 100 mm`: what it is called when the builder gave no name."""

    @abstractmethod
    def rise_m(self) -> float:
        """How much higher the ground is behind it than before it [m]; negative if lower."""

    @abstractmethod
    def marks(self) -> tuple[Mark, ...]:
        """Its own fields and its kind, where they are measured: mm from its start, and above the ground before it."""

    def in_front(self) -> tuple[Shape, ...]:
        """What is drawn besides its surface; most have nothing."""
        return ()

    def sketches(self, around: Around) -> tuple[Sketch, ...]:
        """From the side between flat ground, and with the gap before it."""
        return obstacle_sketches(self, self.kind_name(), self.gap_mm, self.in_front(), self.marks())

    def sizes(self) -> tuple[str, ...]:
        """`height 100 mm`, `stone 125 mm`: every size that it has, as its fields are called."""
        said = []
        for field in type(self).model_fields:
            value = getattr(self, field)
            if field not in Obstacle.model_fields and field != "kind" and value is not None and value != 0.0:
                said.append(self._size(field, value))
        return tuple(said)

    def _size(self, field: str, value: object) -> str:
        name, _, unit = field.rpartition("_")
        if unit in ("mm", "deg"):
            return f"{name.replace('_', ' ')} {value:g} {unit}"
        if field in self.file_fields():
            value = Path(str(value)).name
        return f"{field.replace('_', ' ')} {value}"

    @classmethod
    def file_fields(cls) -> tuple[str, ...]:
        """Its fields that name a file, found beside the course file."""
        return tuple(name for name, field in cls.model_fields.items() if IS_FILE in field.metadata)

    def files_read(self) -> dict[str, bytes]:
        """What stands in each file that it was read from, by field. Raises OSError."""
        return {field: Path(getattr(self, field)).read_bytes() for field in self.file_fields()}

    def called(self) -> str:
        """The builder's name for it, or else its title."""
        return self.name.strip() or self.title()


class LevelObstacle(Obstacle):
    """An obstacle behind which the ground is as high as before it."""

    def rise_m(self) -> float:
        """Not at all."""
        return 0.0


def within(x_m: Floats, start_m: float, end_m: float) -> Flags:
    """Which of `x_m` [m] lie from `start_m` to `end_m`, both ends counted, shape (n,)."""
    return (x_m >= start_m - EDGE_M) & (x_m <= end_m + EDGE_M)


def polyline(x_m: Floats, points_mm: list[tuple[float, float]]) -> Floats:
    """Height [m] at `x_m` [m] of straight lines through `points_mm` [mm]; upper edge at upright faces.

    Points are in order along the course; two points at the same place are an upright face.
    """
    px = np.array([p[0] for p in points_mm]) * MM
    py = np.array([p[1] for p in points_mm]) * MM
    heights = np.interp(x_m, px, py)
    for i in np.flatnonzero(np.diff(px) <= EDGE_M):
        at_face = np.abs(x_m - px[i]) <= EDGE_M
        heights[at_face] = max(py[i], py[i + 1])
    return heights


def cap(x_m: Floats, middle_m: float, centre_m: float, radius_m: float) -> Floats:
    """Top of a circle [m] at `x_m` [m] (nan beside it): centre at (`middle_m`, `centre_m`), shape (n,)."""
    inside = radius_m**2 - (x_m - middle_m) ** 2
    # At its very ends rounding can leave a tiny negative number where the circle has none.
    inside = np.where(np.abs(inside) <= 2.0 * radius_m * EDGE_M, np.maximum(inside, 0.0), inside)
    with np.errstate(invalid="ignore"):
        return np.asarray(centre_m + np.sqrt(inside), dtype=np.float64)
