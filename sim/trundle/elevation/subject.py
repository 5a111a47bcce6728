"""What is drawn: a vehicle as its file has it and as it is put, with what there is to say of that."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from trundle.bogies.parts import Parts
from trundle.elevation.dimensions import Dimension, dimensions
from trundle.elevation.pose import Pose, middle_pose, standing_pose, stop_pose
from trundle.elevation.tables import Table
from trundle.elevation.view import Height, Load
from trundle.elevation.words import alike_words
from trundle.engine.standing import Standing
from trundle.spec.readable import Reading
from trundle.spec.vehicle import Vehicle
from trundle.units import MM

AS_IF = "Not standing: drawn with its arms in the middle of their travel, as if on level ground, its track taut."


@dataclass(frozen=True)
class Position:
    """A pose with its title, what is told of it in lines, and loads of its wheels."""

    pose: Pose
    title: str
    lines: tuple[str, ...]
    loads: tuple[Load, ...] = ()


@dataclass(frozen=True)
class Subject:
    """pose: as it is drawn large; positions: standing, at full bump and full droop, none of a vehicle that does not
    stand; loads: of its wheels; heights: where it is told how high it stands; standing: how it stands, None if it does
    not."""

    reading: Reading
    parts: Parts
    pose: Pose
    positions: tuple[Position, ...]
    loads: tuple[Load, ...]
    heights: tuple[Height, ...]
    standing: Standing | None

    @property
    def vehicle(self) -> Vehicle:
        """As far as its file can be read."""
        return self.reading.vehicle

    def dimensions(self, tables: Sequence[Table]) -> list[Dimension]:
        """The file's, of the large view."""
        return dimensions(self.vehicle, tables, self.pose)

    def notes(self, tables: Sequence[Table]) -> list[str]:
        """What is told beside it."""
        found = [self._stands(self.standing) if self.standing is not None else AS_IF]
        if self.reading.supplied:
            found.append(
                'Dashed, pale, "drawn as": not in the file, or wrong there; a size of a like part or of an example '
                "stands for it."
            )
        found.append(
            "Tapes begin at the small circles: lengths at the tail datum, heights at the belly datum. Sizes in mm and "
            "degrees, with the names and values of the file."
        )
        groups = dict.fromkeys(t.alike for t in tables if t.path.count(".") == 1 and len(t.alike) > 1)
        if groups:
            alike = "; ".join(map(alike_words, groups))
            found.append(f"Alike in all but their place, and drawn large once: {alike}.")
        return found

    def _stands(self, at: Standing) -> str:
        pitch = math.degrees(self.pose.pitch_rad)
        lies = "level" if abs(pitch) < 0.05 else f"{abs(pitch):.1f} deg nose {'up' if pitch > 0 else 'down'}"
        said = (
            f"Standing on level ground, {at.assembly.mass_kg:.0f} kg all up, {lies}: the hull is drawn level, the "
            "ground as it lies under it. Loads are one wheel's; belly: height of the belly datum over the ground, mm."
        )
        track, moved = self.vehicle.track, 0.0
        if track is not None and at.assembly.idler_mm is not None:
            moved = (at.assembly.idler_mm[0] - track.idler.at_mm[0]) * track.idler_sign
        if abs(moved) >= 0.5:
            said += f" The idler is drawn where the track sets it, {abs(moved):.0f} mm {'out' if moved > 0 else 'in'}."
        return said


def heights(vehicle: Vehicle, pose: Pose) -> tuple[Height, ...]:
    """Of the belly datum at the foremost and rearmost bogie, or at nose and tail, square to the ground."""
    xs = sorted(b.at_mm[0] for b in vehicle.bogie.values())
    apart = xs[-1] - xs[0] >= 0.1 * vehicle.hull.length_mm
    places = (xs[0], xs[-1]) if apart else (0.0, vehicle.hull.length_mm)
    return tuple(Height(x, f"belly {pose.on_ground(x, 0.0)[1]:.0f} up") for x in places)


def standing_subject(reading: Reading, at: Standing) -> Subject:
    """A vehicle that stands."""
    pose = standing_pose(at)
    loads = wheel_loads(at, pose)
    parts = at.assembly.parts
    positions = (
        Position(pose, "Standing", tuple(_left(parts, pose)), loads),
        *(Position(p, f"Full {p.how}", _stopped(reading.vehicle, parts, pose, p)) for p in _stop_poses(at)),
    )
    return Subject(reading, parts, pose, positions, loads, heights(reading.vehicle, pose), at)


def wheel_loads(at: Standing, pose: Pose) -> tuple[Load, ...]:
    """Of one wheel at each station. pose: the same vehicle's."""
    return tuple(
        Load(w.x, f"{float(ring.load) / count:.0f} N")
        for w, ring, count in zip(pose.wheels, at.rings, at.assembly.per_station, strict=False)
    )


def _stop_poses(at: Standing) -> tuple[Pose, Pose]:
    return stop_pose(at.assembly, "bump"), stop_pose(at.assembly, "droop")


def _left(parts: Parts, pose: Pose) -> Iterator[str]:
    """What travel each arm has left, of the axle and square to the hull; bogies that stand alike in one line."""
    for part, angle in zip(parts.swings, pose.arms_rad, strict=True):
        if part.what != "arm":
            continue
        reach = part.radius / MM
        up = reach * (math.sin(angle) - math.sin(part.bump))
        down = reach * (math.sin(part.droop) - math.sin(angle))
        yield f"{part.name}: {math.degrees(angle):.1f} deg below level, {up:.0f} mm to bump, {down:.0f} mm to droop"


def _stopped(vehicle: Vehicle, parts: Parts, standing: Pose, pose: Pose) -> tuple[str, ...]:
    """All arms at a stop: how far the hull has come from where it stands."""
    middle = vehicle.hull.com_mm[0]
    moved = pose.on_ground(middle, 0.0)[1] - standing.on_ground(middle, 0.0)[1]
    low = min(pose.on_ground(x, y)[1] for x, y in vehicle.hull.belly_mm)
    way = "higher" if moved > 0.0 else "lower"
    return (
        f"All arms at their {pose.how} stops, pads not pressed: the hull {abs(moved):.0f} mm {way} than it stands, its "
        f"lowest place {low:.0f} mm over the ground.",
    )


def as_if(reading: Reading, parts: Parts) -> Subject:
    """A vehicle that does not stand, or of which it is not known."""
    return Subject(reading, parts, middle_pose(reading.vehicle, parts), (), (), (), None)
