"""The vehicle file: hull, wheels, bogies, track, drive."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Annotated, Any, ClassVar

from pydantic import Field, model_validator

from trundle.bogies import BogieKind
from trundle.errors import InputError, Problem
from trundle.fields.base import PLAIN, Name, Spec
from trundle.fields.sketch import Around, Sketch
from trundle.spec.checks import check_vehicle
from trundle.spec.drive import Drive
from trundle.spec.hull import Hull
from trundle.spec.reader import located, matching_paths, read_text, set_values, validate
from trundle.spec.short import tables_of
from trundle.spec.track import Track
from trundle.spec.vehicle_drawing import around_bogie, around_vehicle, vehicle_sketches
from trundle.spec.weight import hull_weighed
from trundle.spec.wheel import Wheel
from trundle.units import MM

MOST_BOGIES = 12
"""Bogies that a vehicle may have; the model keeps room for as many (model.arrays)."""


class Vehicle(Spec):
    """Everything the builder says of one vehicle. It is alike on both sides; it drives forward to the right in all
    drawings.

    Also called: crawler, tracked vehicle, ride-on.
    """

    EXAMPLE: ClassVar[str] = """name = "Linnet"
note = "A small ride-on, to show where everything stands."

[hull]
mass_kg = 180
com_mm = [760, 230]
length_mm = 1500
height_mm = 450
gauge_mm = 720
belly_mm = [[0, 140], [110, 0], [1390, 0], [1510, 130]]
seat_mm = [680, 300]

[wheel.road]
radius_mm = 90
width_mm = 40
mass_kg = 1.5
abreast = 2
rubber_rate_N_per_mm = 300

[bogie.rear]
kind = "paired arms"
at_mm = [380, 10]
pivots_apart_mm = 60
arm_mm = 200
arm_mass_kg = 1.8
wheel = "road"
spring = { kind = "axle rate", rate_N_per_mm = 7, free_angle_deg = 32 }
stops = { bump_below_level_deg = -4, droop_below_level_deg = 32 }
damper = { bump_N_s_per_mm = 0.3, droop_N_s_per_mm = 0.5 }

[bogie.front]
kind = "paired arms"
at_mm = [1120, 10]
pivots_apart_mm = 60
arm_mm = 200
arm_mass_kg = 1.8
wheel = "road"
spring = { kind = "axle rate", rate_N_per_mm = 7, free_angle_deg = 32 }
stops = { bump_below_level_deg = -4, droop_below_level_deg = 32 }
damper = { bump_N_s_per_mm = 0.3, droop_N_s_per_mm = 0.5 }

[track]
links = 70
pitch_mm = 60
mass_kg_per_m = 4
thickness_mm = 15
width_mm = 150
tooth_mm = 35
link_steel_mm2 = 120
sag_mm = 20
sprocket = { end = "front", at_mm = [1640, 90], teeth = 10 }
idler = { at_mm = [-155, 80], radius_mm = 80, tensioner = { rate_N_per_mm = 20, preload_N = 0, travel_mm = 30 } }
roller = [{ at_mm = [750, 190], radius_mm = 30 }]

[drive]
speed_m_s = 1.2
torque_Nm = 180
brake_N = 1200
grip = 0.7
"""

    name: Annotated[str, Field(min_length=1, max_length=60), PLAIN]
    """What it is called on sheets and pages, up to 60 characters."""

    note: Annotated[str, Field(max_length=2_000), PLAIN] = ""
    """Anything worth knowing of it: what it is for, what was guessed.

    Also called: comment, description, remarks.
    """

    hull: Hull
    """All that the springs carry, and its underside."""

    wheel: Annotated[dict[Name, Wheel], Field(min_length=1, max_length=20)]
    """Road wheels by name: [wheel.road].

    Also called: road wheels, tyres.
    """

    bogie: Annotated[dict[Name, BogieKind], Field(min_length=1, max_length=MOST_BOGIES)]
    """Bogies by name: [bogie.front]. One side's; the other side has the same.

    Also called: suspension, running gear, undercarriage.
    """

    drive: Drive
    """Motor, brake and grip."""

    track: Track | None = None
    """One side's track; the other has the same. Left out: the wheels themselves drive and run on the ground.

    Also called: crawler track, caterpillar track, tread, belt.
    """

    @model_validator(mode="after")
    def _hull_weighed(self) -> Vehicle:
        if self.hull.all_up_kg is not None:
            object.__setattr__(self, "hull", hull_weighed(self))
        return self

    @property
    def drive_radius_m(self) -> float:
        """Radius that turns torque at the sprocket, or at the axles, into push at the track, or at the ground [m].

        Without a track that of the largest wheel: of wheels of several sizes it is the one that makes least of a
        torque.
        """
        if self.track is not None:
            return self.track.sprocket_radius_m
        return max(w.radius_mm for w in self.wheel.values()) * MM

    def inside(self, around: Around, table: str = "") -> Around:
        """Its track, hull and road wheels."""
        return around_vehicle(self, around)

    def around_bogie(self, name: str) -> Around:
        """What lies about one of its bogies."""
        return around_bogie(self, name)

    def sketches(self, around: Around) -> tuple[Sketch, ...]:
        """All of it from the side, in the hull's axes."""
        return vehicle_sketches(self, around)


def load_vehicle(path: str | Path, settings: Mapping[str, Any] | None = None, text: str | None = None) -> Vehicle:
    """Read and check a vehicle file, with each `path: value` of `settings` put in.

    text: what stands in the file, if it has been read before. Raises InputError naming file, line and field of every
    problem found.
    """
    file = Path(path)
    text = read_text(file) if text is None else text
    data, lines = tables_of(text, str(file))
    if "hull" not in data and "obstacle" in data:
        raise InputError(Problem("is a course; a vehicle is wanted here", file=str(file)))
    return vehicle_from(data, settings, str(file), lines)


def vehicle_from(
    data: dict[str, Any],
    settings: Mapping[str, Any] | None = None,
    file: str = "",
    lines: dict[tuple[str | int, ...], int] | None = None,
) -> Vehicle:
    """The same from tables already read. Raises InputError."""
    lines = dict(lines or {})
    if settings:
        data = set_values(data, dict(settings))
        # What was set by option is not on any line of the file.
        lines |= {at: 0 for path in settings for at in matching_paths(data, path)}
    vehicle = validate(Vehicle, data, file, lines)
    if problems := check_vehicle(vehicle):
        raise located(InputError(problems), file, lines)
    return vehicle
