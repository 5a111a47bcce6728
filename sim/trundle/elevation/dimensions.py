"""The dimensions of a vehicle's side view, from the sketches of its tables: which lie on a tape from the tail or belly
datum, and which where they are."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from trundle.elevation.pose import Pose
from trundle.elevation.tables import Table
from trundle.fields.base import Spec
from trundle.fields.sketch import XY, Mark, Note, Round, Span, Turn
from trundle.spec.vehicle import Vehicle

NEAR_MM = 1e-6


@dataclass(frozen=True)
class Dimension:
    """A field of the file as it is drawn on the whole vehicle. table: its table's path; name: its own; value: as the
    file has it; mark: where."""

    table: str
    name: str
    value: object
    mark: Mark

    @property
    def path(self) -> str:
        """Of the field."""
        return f"{self.table}.{self.name}"

    @property
    def length(self) -> float | None:
        """What is drawn, in mm or degrees; None of a leader."""
        match self.mark:
            case Span(a=a, b=b, along=along):
                dx, dy = b[0] - a[0], b[1] - a[1]
                return abs(dx) if along == "x" else abs(dy) if along == "y" else math.hypot(dx, dy)
            case Round(radius_mm=r, what=what):
                return r if what == "radius" else 2.0 * r
            case Turn(from_deg=a, to_deg=b):
                return abs(b - a)
            case Note():
                return None

    @property
    def from_datum(self) -> bool:
        """Whether it is measured from the tail or the belly datum."""
        m = self.mark
        if not isinstance(m, Span) or m.along == "line" or not (m.part or self.table == "hull"):
            return False
        return abs(m.a[0] if m.along == "x" else m.a[1]) < NEAR_MM and self.length != 0.0

    @property
    def at(self) -> XY:
        """What it leads to."""
        match self.mark:
            case Span(b=b):
                return b
            case Round(centre=centre) | Turn(centre=centre):
                return centre
            case Note(at=at):
                return at


def dimensions(vehicle: Vehicle, found: Sequence[Table], pose: Pose) -> list[Dimension]:
    """All marks of the tables that can be laid over the vehicle, and those that only the whole has a place for."""
    marked: list[Dimension] = []
    for table in found:
        if table.path == "track":
            continue  # its loop is drawn as it lies here; see below
        for sketch in table.sketches:
            if sketch.in_hull:
                given = [m for m in sketch.marks if m.field in table.table.model_fields_set]
                marked += [_of(table.table, table.path, m) for m in given]
    for kind, wheel in vehicle.wheel.items():
        if (last := next((w for w in reversed(pose.wheels) if w.kind == kind), None)) is not None:
            mark = Round("radius_mm", (last.x, last.y), last.radius, towards_deg=-120.0)
            marked.append(_of(wheel, f"wheel.{kind}", mark))
    if (track := vehicle.track) is not None and pose.sag is not None and track.sag_mm is not None:
        marked.append(_of(track, "track", Span("sag_mm", *pose.sag, "y")))
    return marked


def _of(table: Spec, path: str, mark: Mark) -> Dimension:
    """With the value that stands in the file, of a line of points that of the point."""
    value, name = getattr(table, mark.field), mark.field
    if isinstance(value, tuple) and isinstance(mark, Span):
        value, name = _of_point(value, name, mark)
    return Dimension(path, name, value, mark)


def _of_point(value: tuple[Any, ...], name: str, mark: Span) -> tuple[Any, str]:
    """The number of a point that a mark shows, and what it is called: of a line of points with which one it is."""
    k = 0 if mark.part == "forward" else 1
    if all(isinstance(v, (int, float)) for v in value):
        return (value[k] if len(value) == 2 else None), name
    for i, point in enumerate(value, 1):
        if all(abs(a - b) < NEAR_MM for a, b in zip(point, mark.b, strict=True)):
            return point[k], f"{name}[{i}]"
    return None, name


def on_tapes(marked: Sequence[Dimension]) -> list[Dimension]:
    """Those from a datum; once each, where two tables mark the same."""
    return _once([d for d in marked if d.from_datum])


def in_place(marked: Sequence[Dimension], found: Sequence[Table], vehicle: Vehicle) -> list[Dimension]:
    """The other lengths and angles; of tables that are alike only of the one in the middle of the vehicle, where there
    is most room."""
    middle = 0.5 * vehicle.hull.length_mm
    off = {f"bogie.{name}": abs(bogie.at_mm[0] - middle) for name, bogie in vehicle.bogie.items()}
    chosen = {t.path: min(t.alike, key=lambda path: off.get(".".join(path.split(".")[:2]), 0.0)) for t in found}
    kept = [d for d in marked if not d.from_datum and d.length]
    return _once([d for d in kept if chosen.get(d.table, d.table) == d.table])


def _once(found: Sequence[Dimension]) -> list[Dimension]:
    kept: dict[tuple[str, object], Dimension] = {}
    for d in found:
        key = (d.path, (d.mark.part, d.at) if isinstance(d.mark, Span) else None)
        kept.setdefault(key, d)
    return list(kept.values())
