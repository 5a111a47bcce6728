"""How a state of the vehicle stands: its figures, or why it does not. Plain data: it comes from another process."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from trundle.errors import InputError, Problem
from trundle.model.arrays import Floats
from trundle.model.assembly import Assembly, assemble
from trundle.papers.ground import level, stand_level
from trundle.papers.loads import by_factor
from trundle.papers.standing import StandingSheet, standing_sheet
from trundle.papers.strength import strength
from trundle.spec.vehicle import Vehicle
from trundle.strength.margin import PartMargin, least_of
from trundle.units import MM
from trundle_viewer.bench.design import faults
from trundle_viewer.bench.pose import Pose, placed, standing_pose


@dataclass(frozen=True, eq=False)
class Stood:
    """vehicle: which; q: x, y [m], pitch, joint angles [rad]; idler_m: how far out its idler was set [m]; values: of
    its pose, as of a run's columns. sheet: as the standing sheet has it; least: the part with least left at the load
    that the sheet takes where no run is given, None if no part's sizes are known."""

    vehicle: Vehicle
    q: Floats
    idler_m: float
    values: Mapping[str, float]
    sheet: StandingSheet
    least: PartMargin | None

    @property
    def pose(self) -> Pose:
        """As it stands."""
        return Pose(assembled(self.vehicle, self.idler_m), self.q, self.values)


def unloaded(vehicle: Vehicle) -> Pose:
    """Level, on its lowest wheel, all arms and beams in the middle of their travel: for one that does not stand. Raises
    InputError where its parts do not fit together."""
    assembly = assembled(vehicle, 0.0)
    middle = [0.5 * (part.bump + part.droop) for part in assembly.parts.swings]
    q = np.array([assembly.com[0], 0.0, 0.0, *middle])
    rings = placed(assembly, q).values
    lowest = min(
        rings[f"wheel.{name}.y_mm"] - float(ring.radius) / MM
        for name, ring in zip(assembly.wheel, assembly.model.rings, strict=False)
    )
    q[1] = -lowest * MM
    return placed(assembly, q)


@dataclass(frozen=True)
class Refused:
    """problems: why it does not stand, or cannot be."""

    problems: tuple[Problem, ...]


Outcome = Stood | Refused


def assembled(vehicle: Vehicle, idler_m: float) -> Assembly:
    """On level ground. Raises InputError where its parts do not fit together."""
    return assemble(vehicle, level(), idler_m)


def stood(vehicle: Vehicle) -> Outcome:
    """The vehicle on level ground."""
    try:
        faults(vehicle)
        at = stand_level(vehicle)
        sheet = standing_sheet(vehicle, adjusters=False, at=at)
        track, idler = vehicle.track, at.assembly.idler_mm
        out = 0.0
        if track is not None and idler is not None:
            out = (idler[0] - track.idler.at_mm[0]) * track.idler_sign * MM
        least = least_of(strength(at.assembly, by_factor(sheet)))
        return Stood(vehicle, at.q, out, standing_pose(at).values, sheet, least)
    except InputError as e:
        return Refused(e.problems)
    except ArithmeticError as e:  # numbers that no balance comes of: said, not a crash of the window
        return Refused((Problem(f"no balance was found ({e})", field="bogie"),))
