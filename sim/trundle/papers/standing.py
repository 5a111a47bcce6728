"""The standing sheet: how it sits, what each wheel carries, what travel is left, how it swings."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np

from trundle.engine.carry import check_carried
from trundle.engine.standing import Standing
from trundle.errors import InputError
from trundle.law.state import BELLY, TRACK
from trundle.model.arrays import SIDES, Floats, GroundArrays
from trundle.papers.ground import level, stand_level
from trundle.papers.linear import linearise, modes
from trundle.papers.naming import NamedMode, named
from trundle.papers.pressure import mean_maximum_Pa, nominal_Pa
from trundle.papers.springs import SpringSheet, spring_sheets
from trundle.spec.vehicle import Vehicle, vehicle_from
from trundle.spec.weight import Weight, weight_of
from trundle.steel.bolts import thread
from trundle.units import DEG, MM


@dataclass(frozen=True)
class Height:
    """Belly datum over level ground at a place on the hull."""

    where: str
    at_mm: float
    height_mm: float


@dataclass(frozen=True)
class WheelLoad:
    """load_N: one wheel's on the ground; share: of the vehicle's weight, all wheels of this station."""

    name: str
    wheels: int
    load_N: float
    share: float


@dataclass(frozen=True)
class ArmTravel:
    """An arm at rest. to_bump, to_droop: what is left, in degrees and as height of the axle in the hull."""

    name: str
    what: str
    angle_deg: float
    to_bump_deg: float
    to_bump_mm: float
    to_droop_deg: float
    to_droop_mm: float


@dataclass(frozen=True)
class AdjusterEffect:
    """What `step` of a bogie's adjuster does to both heights [mm].

    screwed: it is moved by a screw. turn_mm: a turn of that, if its thread is known.
    """

    bogie: str
    step: str
    front_mm: float
    rear_mm: float
    screwed: bool
    turn_mm: float | None


@dataclass(frozen=True)
class Pressure:
    """Ground pressure of the tracks [kPa] over `length_mm` by `width_mm` of each on the ground."""

    nominal_kPa: float
    mean_maximum_kPa: float
    length_mm: float
    width_mm: float
    stations: int


@dataclass(frozen=True)
class TrackAtRest:
    """One track: pull, sag of the longest top span, idler's place all the way out, how far its tensioner is pressed in
    from there, and how far it can be (None: there is none); both: what they carry and lift [N]."""

    tension_N: float
    sag_mm: float
    idler_mm: tuple[float, float]
    idler_moved_mm: float
    pressed_mm: float
    travel_mm: float | None
    carries_N: float
    lifts_N: float
    ends_N: float


@dataclass(frozen=True)
class StandingSheet:
    """Everything about the vehicle at rest on level ground. mm, N, deg, kg."""

    name: str
    mass_kg: float
    weight_N: float
    hull_kg: float
    parts: Weight
    heights: tuple[Height, ...]
    pitch_deg: float
    belly_clearance_mm: float
    belly_N: float
    wheels: tuple[WheelLoad, ...]
    arms: tuple[ArmTravel, ...]
    springs: tuple[SpringSheet, ...]
    modes: tuple[NamedMode, ...]
    adjusters: tuple[AdjusterEffect, ...]
    track: TrackAtRest | None
    pressure: Pressure | None
    residual_N: float

    @property
    def front_mm(self) -> float:
        """Ride height at the front place [mm]."""
        return self.heights[0].height_mm

    @property
    def rear_mm(self) -> float:
        """Ride height at the rear place [mm]."""
        return self.heights[-1].height_mm


def standing_sheet(
    vehicle: Vehicle,
    adjusters: bool = True,
    ground: GroundArrays | None = None,
    at: Standing | None = None,
    run_angles_rad: Mapping[str, Floats] | None = None,
) -> StandingSheet:
    """Stand the vehicle on level ground (or take it as it stands, `at`) and read everything off.

    adjusters: also try every adjuster, which stands the vehicle again for each. run_angles_rad: see
    `spring_sheets`. Raises StandingError if it
    cannot stand or the springs cannot carry it, InputError as `assemble`.
    """
    flat = level() if ground is None else ground
    at = stand_level(vehicle, flat) if at is None else at
    check_carried(at.assembly, at.q)
    heights = _heights(at)
    system = linearise(at)
    work = at.scratch.work[0]
    return StandingSheet(
        name=vehicle.name,
        mass_kg=at.assembly.mass_kg,
        weight_N=at.assembly.weight_N,
        hull_kg=vehicle.hull.mass_kg,
        parts=weight_of(vehicle),
        heights=heights,
        pitch_deg=float(at.q[2]) / DEG,
        belly_clearance_mm=float(work.belly_clear) / MM,
        belly_N=float(work.load[BELLY, 0, 1]),
        wheels=_wheels(at),
        arms=tuple(_arm(at, j) for j in range(len(at.assembly.joint))),
        springs=tuple(spring_sheets(at, run_angles_rad)),
        modes=tuple(named(at, modes(at, system))),
        adjusters=_adjusters(vehicle, at, heights, flat) if adjusters else (),
        track=_track(at) if vehicle.track else None,
        pressure=_pressure(at) if vehicle.track else None,
        residual_N=at.residual_N,
    )


def _heights(at: Standing) -> tuple[Height, ...]:
    """Belly datum over the ground at the foremost and rearmost bogie, or at nose and tail with only one."""
    vehicle = at.assembly.vehicle
    places = sorted(((b.at_mm[0], f"at the {name} bogie") for name, b in vehicle.bogie.items()), reverse=True)
    if places[0][0] - places[-1][0] < 0.1 * vehicle.hull.length_mm:
        places = [(vehicle.hull.length_mm, "at the nose"), (0.0, "at the tail")]
    cx, cy = at.assembly.com
    found = []
    for x_mm, where in (places[0], places[-1]):
        dx, dy = x_mm * MM - cx, -cy
        y = at.q[1] + math.sin(at.q[2]) * dx + math.cos(at.q[2]) * dy
        found.append(Height(where, x_mm, float(y) / MM))
    return tuple(found)


def _wheels(at: Standing) -> tuple[WheelLoad, ...]:
    found = []
    for i, name in enumerate(at.assembly.wheel):
        load, count = float(at.rings[i].load), at.assembly.per_station[i]
        found.append(WheelLoad(name, round(count), load / count, load / at.assembly.weight_N))
    return tuple(found)


def _arm(at: Standing, j: int) -> ArmTravel:
    part, angle = at.assembly.parts.swings[j], float(at.q[3 + j])

    def rise(to: float) -> float:
        return part.radius * (math.sin(angle) - math.sin(to)) / MM

    return ArmTravel(
        name=part.name,
        what=part.what,
        angle_deg=angle / DEG,
        to_bump_deg=(angle - part.bump) / DEG,
        to_bump_mm=rise(part.bump),
        to_droop_deg=(part.droop - angle) / DEG,
        to_droop_mm=-rise(part.droop),
    )


def _track(at: Standing) -> TrackAtRest:
    track, work, model = at.assembly.vehicle.track, at.scratch.work[0], at.assembly.model
    assert track is not None
    assert at.assembly.idler_mm is not None
    band = model.band
    tension = at.state["band.tension_N"]
    sag = float(band.weight) * float(band.longest) ** 2 / (8.0 * tension)
    place = at.assembly.idler_mm
    return TrackAtRest(
        tension_N=tension / SIDES,
        sag_mm=sag / MM,
        idler_mm=place,
        idler_moved_mm=(place[0] - track.idler.at_mm[0]) * track.idler_sign,
        pressed_mm=at.state["band.idler_shift_m"] / MM,
        travel_mm=track.idler.tensioner.travel_mm if track.idler.tensioner is not None else None,
        carries_N=float(work.loop.ground_y),
        lifts_N=float(np.maximum(work.load[TRACK, 1:, 1], 0.0).sum()),
        ends_N=float(at.rings.load[model.road :].sum()),
    )


def _pressure(at: Standing) -> Pressure:
    track, model = at.assembly.vehicle.track, at.assembly.model
    assert track is not None
    xs = at.rings.x[: model.road]
    length = float(xs.max() - xs.min())
    diameter = 2.0 * float(np.mean([at.assembly.vehicle.wheel[k].radius_mm for k in at.assembly.wheel_kind])) * MM
    weight, width = at.assembly.weight_N, track.width_mm * MM
    # A single station has no length between wheels: a tyre's own flat is taken as a tenth of a metre.
    return Pressure(
        nominal_kPa=nominal_Pa(weight, width, max(length, 0.1)) * 1e-3,
        mean_maximum_kPa=mean_maximum_Pa(weight, model.road, width, track.pitch_mm * MM, diameter) * 1e-3,
        length_mm=length / MM,
        width_mm=track.width_mm,
        stations=model.road,
    )


def _adjusters(
    vehicle: Vehicle, at: Standing, heights: tuple[Height, ...], ground: GroundArrays
) -> tuple[AdjusterEffect, ...]:
    found, seen = [], set()
    for place in at.assembly.parts.springs:
        moves = place.spring.adjuster()
        if moves is None or place.path in seen:
            continue
        seen.add(place.path)
        try:
            now = getattr(place.spring, moves.field)
            moved = changed(vehicle, f"{place.path}.{moves.field}", now + moves.step)
            there = _heights(stand_level(moved, ground))
        except InputError:
            continue  # One step more is already too much for this spring: there is nothing to say.
        front, rear = (b.height_mm - a.height_mm for a, b in zip(heights, there, strict=True))
        turn, screwed = None, moves.screwed_mm is not None
        if screwed and place.build and place.build.adjuster:
            turn = thread(place.build.adjuster.thread).pitch_m / MM
        found.append(AdjusterEffect(place.bogie, moves.words, front, rear, screwed, turn))
    return tuple(found)


def changed(vehicle: Vehicle, path: str, value: Any) -> Vehicle:
    """The vehicle with one field set. Raises InputError if that is not allowed."""
    return vehicle_from(vehicle.model_dump(mode="json", exclude_none=True), settings={path: value})
