"""All that is told of tipping: of a vehicle as it stands, with what is at its seat moved."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from trundle.engine.standing import Standing
from trundle.errors import InputError, Problem
from trundle.findings.holds import RIDER_KG
from trundle.handling.stations import Stations, stations
from trundle.handling.support import Lift, Support, lift
from trundle.handling.tips import Masses, Moved, Swept, Tips, swept, tips_lengthwise, tips_sideways
from trundle.spec.hull import Hull
from trundle.units import MM

RAISED_MM = (0.0, 100.0, 200.0, 300.0, 500.0)
"""By how much what is at the seat is raised in the table."""

MOST_MM = 2_000.0


@dataclass(frozen=True)
class Seated:
    """What is at the seat and can be moved. kg; estimated: the file does not say it."""

    what: str
    kg: float
    estimated: bool


@dataclass(frozen=True)
class Shift:
    """What is at the seat moved [mm]: to the downhill side, forward, up."""

    aside_mm: float = 0.0
    ahead_mm: float = 0.0
    up_mm: float = 0.0


@dataclass(frozen=True)
class Slopes:
    """Slopes at which it tips: across (None: the gauge is not given), nose up over its tail, tail up over its nose."""

    side: Tips | None
    tail: Tips
    nose: Tips


@dataclass(frozen=True, eq=False)
class Tipping:
    """A vehicle that can be asked on which slopes it tips. seated: None where nothing at the seat has a known mass;
    tail, nose: poses on its springs; None: only the stiff figures are wanted."""

    at: Stations
    masses: Masses
    seated: Seated | None
    lift: Lift | None
    tail: Swept | None
    nose: Swept | None

    @property
    def wide_m(self) -> float:
        """Width of what stands on the ground on one side [m]."""
        vehicle = self.at.vehicle
        if vehicle.track is not None:
            return vehicle.track.width_mm * MM
        return max(w.abreast * w.width_mm for w in self.at.wheel) * MM

    def slopes(self, shift: Shift | None = None) -> Slopes:
        """With what is at the seat moved; what is not there moves nothing."""
        moved = Moved()
        if shift is not None and self.seated is not None:
            by = self.seated.kg / self.masses.mass_kg * MM
            moved = Moved(by * shift.aside_mm, by * shift.ahead_mm, by * shift.up_mm)
        side = None
        if self.lift is not None and self.at.gauge_m is not None:
            side = tips_sideways(self.masses, self.lift, self.at.gauge_m, self.wide_m, moved)
        return Slopes(
            side,
            tips_lengthwise(self.masses, "tail", moved, self.tail),
            tips_lengthwise(self.masses, "nose", moved, self.nose),
        )


def seated(hull: Hull) -> Seated | None:
    """What is at the seat, if anything says what it weighs."""
    if hull.seat_kg is not None:
        return Seated(hull.at_seat, hull.seat_kg, False)
    if hull.at_seat == "rider":
        return Seated("rider", min(RIDER_KG, hull.mass_kg), True)
    return None


def check_shift(value_mm: float, argument: str) -> None:
    """Raises InputError on what nobody leans or lifts by."""
    if not (math.isfinite(value_mm) and abs(value_mm) <= MOST_MM):
        raise InputError(
            Problem(f"{value_mm:g} is no such distance", argument=argument, allowed=f"-{MOST_MM:g} to {MOST_MM:g} mm")
        )


def tipping_of(at: Standing, lengthwise: bool = True) -> Tipping:
    """Of a vehicle that stands on level ground. lengthwise: with its springs in nose up and tail up too, which takes
    some seconds. Raises StandingError where its springs do not carry it on one side."""
    found, support = stations(at), Support(at)
    masses = masses_of(at)
    return Tipping(
        at=found,
        masses=masses,
        seated=seated(found.vehicle.hull),
        lift=lift(support) if found.gauge_m is not None else None,
        tail=swept(support, masses.weight_N, "tail") if lengthwise else None,
        nose=swept(support, masses.weight_N, "nose") if lengthwise else None,
    )


def masses_of(at: Standing) -> Masses:
    """Where the mass is, both sides together."""
    model, count = at.assembly.model, len(at.assembly.wheel)
    mass = np.array(model.bodies.mass, dtype=np.float64)
    x, y = (at.state.bodies[: len(mass), k] for k in (0, 1))
    road = np.array(at.rings.x[:count], dtype=np.float64)
    low = mass[1:]
    return Masses(
        weight_N=at.assembly.weight_N,
        high_m=float(np.sum(mass * y) / mass.sum()),
        ahead_m=float(np.sum(mass * x) / mass.sum()),
        first_m=float(road.max()),
        last_m=float(road.min()),
        hull_kg=float(mass[0]),
        low_kg=float(low.sum()),
        low_high_m=float(np.sum(low * y[1:]) / low.sum()),
    )
