"""Side elevations of several designs at one scale, each standing on level ground, with the dimensions that differ."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from trundle.drawing.sheet import Drawing
from trundle.elevation.dimensions import Dimension, dimensions, in_place, on_tapes
from trundle.elevation.inks import Inks
from trundle.elevation.outline import seen
from trundle.elevation.pose import Pose, standing_pose
from trundle.elevation.scales import scale_words
from trundle.elevation.subject import heights, wheel_loads
from trundle.elevation.tables import tables
from trundle.elevation.view import LOADS_MM, Load, View, drawn
from trundle.engine.standing import Standing
from trundle.errors import InputError
from trundle.fields.differences import Difference
from trundle.papers.ground import stand_level
from trundle.spec.readable import Reading
from trundle.spec.vehicle import Vehicle
from trundle.study.designs import Design

ROOM_MM = (182.0, 110.0)
"""Room for one of them on paper: as wide as the text on A4."""

MOST_MARKED = 8
"""Fields whose dimensions are drawn at most: more leave no room for the vehicle, and are in the list alone."""

SMALLER = 0.92
"""One that would be drawn larger than the others gets less room by this share, again and again, until it is not."""


@dataclass(frozen=True)
class Elevation:
    """title: of its design; svg: "" where it does not stand, and why is in `note` then."""

    title: str
    note: str
    svg: str


@dataclass(frozen=True)
class _Stood:
    vehicle: Vehicle
    at: Standing
    pose: Pose
    taped: list[Dimension]
    placed: list[Dimension]

    def view(self, room: tuple[float, float]) -> View:
        """As large as it can be in so much room."""
        shapes = seen(self.vehicle, self.at.assembly.parts, self.pose)
        loads: Sequence[Load] = wheel_loads(self.at, self.pose)
        box = (0.0, 0.0, *room)
        inks = Inks(Reading(self.vehicle))
        return drawn(shapes, self.pose, self.taped, self.placed, loads, heights(self.vehicle, self.pose), box, inks)


def elevations(designs: Sequence[Design]) -> list[Elevation]:
    """One for each, in their order."""
    paths = {d.path: d for design in designs for d in design.fields}
    differing = list(paths.values()) if len(paths) <= MOST_MARKED else []
    stood: dict[str, _Stood] = {}
    why: dict[str, str] = {}
    for design in designs:
        try:
            stood[design.sign] = _stood(design.vehicle, differing)
        except InputError as e:
            why[design.sign] = f"Does not stand: {e}"
    views = {sign: one.view(ROOM_MM) for sign, one in stood.items()}
    least = min((view.frame.scale for view in views.values()), default=1.0)
    for sign, one in stood.items():
        wide, high = ROOM_MM
        while views[sign].frame.scale > least and wide > 1.0:
            wide, high = SMALLER * wide, SMALLER * high
            views[sign] = one.view((wide, high))
    return [
        Elevation(
            f"{d.sign}: {d.vehicle.name} ({d.file})",
            why.get(d.sign) or _note(d, designs[0], least, bool(differing)),
            _sheet(views[d.sign], d).svg() if d.sign in views else "",
        )
        for d in designs
    ]


def is_of(difference: Difference, dimension: Dimension) -> bool:
    """Whether a dimension on the drawing is of a field that differs."""
    field, own = difference.path.split("."), dimension.path.partition("[")[0].split(".")
    return len(field) == len(own) and all(a in ("*", b) for a, b in zip(field, own, strict=True))


def _stood(vehicle: Vehicle, differing: Sequence[Difference]) -> _Stood:
    """Raises InputError if it cannot stand."""
    at = stand_level(vehicle)
    pose = standing_pose(at)
    found = tables(vehicle, at.assembly.parts, pose)
    marked = [d for d in dimensions(vehicle, found, pose) if any(is_of(one, d) for one in differing)]
    return _Stood(vehicle, at, pose, on_tapes(marked), in_place(marked, found, vehicle))


def _sheet(view: View, design: Design) -> Drawing:
    """The view alone on a sheet as large as it needs."""
    left, low, right, high = view.bounds
    low -= LOADS_MM  # the words at the loads' arrows
    marks = [m.moved(-left, -low) for m in view.marks]
    return Drawing(max(right - left, ROOM_MM[0]), high - low, f"{design.vehicle.name} standing, from the side", marks)


def _note(design: Design, first: Design, scale: float, marked: bool) -> str:
    said = f"Against {first.sign}: {design.differs}. " if design.differs else ""
    of = "; dimensions are of the fields that differ" if marked else ""
    return f"{said}{scale_words(scale)}, load of one wheel at each station{of}."
