"""What a table of the builder's file looks like on paper, with its fields drawn where they are measured: plain data.

A table answers `sketches(around)`: one or more views of itself, each with shapes and marks. A mark names the field it
shows; every field of a table has a mark in one of its sketches (a test asks).
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

from trundle.fields.shape import Shape

XY = tuple[float, float]
"""A place [mm]: to the right (forward), up."""

View = Literal["side", "front", "top", "section", "curve"]
"""From where it is seen; section: cut through; curve: no view but a law or a course, both axes in the marks' words."""


@dataclass(frozen=True)
class Span:
    """A length from `a` to `b`, measured `along` the x axis, the y axis, or the straight line between them.

    a is the end that it is measured from (the datum), b what it leads to. A field that is a point has two, of which
    `part` says which.
    """

    field: str
    a: XY
    b: XY
    along: Literal["x", "y", "line"] = "line"
    part: Literal["", "forward", "up"] = ""


@dataclass(frozen=True)
class Round:
    """A radius or diameter of a circle; towards_deg: in which direction its line runs, anticlockwise from forward."""

    field: str
    centre: XY
    radius_mm: float
    what: Literal["radius", "diameter"] = "radius"
    towards_deg: float = 45.0


@dataclass(frozen=True)
class Turn:
    """An angle about `centre`, from one direction to another (anticlockwise from forward), drawn at a radius of
    reach_mm."""

    field: str
    centre: XY
    reach_mm: float
    from_deg: float
    to_deg: float


@dataclass(frozen=True)
class Note:
    """What no length shows (a mass, a steel, a share, a choice): a leader to the place that it is a matter of."""

    field: str
    at: XY


Mark = Span | Round | Turn | Note


@dataclass(frozen=True)
class Sketch:
    """One view. title: in a few words; in_hull: whether its axes are the hull's (forward of the tail datum, above the
    belly datum), so that it can be laid over the whole vehicle; shapes and marks in mm."""

    title: str
    view: View
    shapes: tuple[Shape, ...]
    marks: tuple[Mark, ...]
    in_hull: bool = False


@dataclass(frozen=True)
class Around:
    """What lies about a table and is not in it, for its sketches: as on a small ride-on where nobody says more.

    name: of the bogie, wheel, ... in the file. at_mm: of a table that knows no place of its own, where what it is of
    lies in the hull (an arm's pivot, an idler's axle). arm_deg: how arms stand, below the hull's horizontal (None: in
    the middle of their travel); arms_deg: each by its swing's name, against what carries it, as a timeline has them.
    both_ends: what is made is a beam, with an axle arm_mm from its pivot on either side.
    sign: 1 for an arm that points forward (or an idler at the front), -1 back. axles_mm: of all road wheels, in the
    hull. Lengths in mm.
    """

    name: str = ""
    at_mm: XY = (0.0, 0.0)
    arm_deg: float | None = None
    arms_deg: dict[str, float] = field(default_factory=dict)
    arm_mm: float = 200.0
    both_ends: bool = False
    pivots_apart_mm: float = 50.0
    sign: float = 1.0
    wheel_radius_mm: float = 90.0
    wheel_width_mm: float = 40.0
    wheels_abreast: int = 2
    track_thickness_mm: float = 15.0
    track_width_mm: float = 150.0
    pitch_mm: float = 60.0
    axles_mm: tuple[XY, ...] = ()
    hull_length_mm: float = 1_500.0
    hull_height_mm: float = 450.0
