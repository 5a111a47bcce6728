"""Every spring at standing, at bump and at droop: load, deflection, stress and what is left to yield."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from trundle.bogies.parts import SpringPart
from trundle.engine.standing import Standing
from trundle.model.arrays import Floats
from trundle.springs.figures import Figures, Fitted
from trundle.steel.fatigue import endurance_margin
from trundle.steel.materials import Steel
from trundle.strength.springs import angles_at, hardest_rows
from trundle.units import DEG, MM, MPA


@dataclass(frozen=True)
class SpringState:
    """One spring with its arm (or both arms) at stated angles.

    angle_deg: of the arm or arms, below horizontal. load_N: what the spring's end (the heavier end of a leaf)
    pushes with, 0 where it only has torque. deflection: in mm, or deg of twist. stress_MPa: the largest, at `where`
    (empty: there is but one place); load_MPa: the largest that the load makes. torque_Nm: the larger one, about its
    pivot. energy_J: stored.
    """

    when: str
    angle_deg: tuple[float, ...]
    torque_Nm: float
    load_N: float
    deflection: float
    unit: str
    stress_MPa: float
    load_MPa: float
    where: str
    energy_J: float
    notes: tuple[str, ...]


@dataclass(frozen=True)
class SpringSheet:
    """One spring's figures. steel, yield_MPa: None and inf where no spring steel is stressed; no_steel says why.

    rate_N_per_mm: vertical, felt at the axle (both ends lifted alike), at standing.
    endurance: allowed over actual swing between standing and bump (1: at the limit); inf without a steel.
    fitted: stress that fitting alone leaves in it, if any.
    """

    name: str
    bogie: str
    kind: str
    path: str
    measure: str
    states: tuple[SpringState, ...]
    steel: Steel | None
    no_steel: str
    remarks: tuple[str, ...]
    yield_MPa: float
    rate_N_per_mm: float
    endurance: float
    fitted: Fitted | None

    def state(self, when: str) -> SpringState:
        """The state called `when`."""
        return next(s for s in self.states if s.when == when)

    def yield_margin(self, when: str) -> float:
        """Yield over the largest stress: below 1 it takes a set. inf where no stress is known."""
        return self._over(self.state(when).stress_MPa)

    def load_margin(self, when: str) -> float:
        """Yield over the largest stress that the load makes, whatever fitting has done."""
        return self._over(self.state(when).load_MPa)

    def _over(self, stress_MPa: float) -> float:
        return self.yield_MPa / stress_MPa if stress_MPa > 0.0 else math.inf

    @property
    def limits_MPa(self) -> tuple[float, float] | None:
        """First-design stress (standing, at bump) on the spring's own measure; None without a steel."""
        if self.steel is None:
            return None
        scale = 1.0 / math.sqrt(3.0) if self.measure == "shear" else 1.0
        return self.steel.static_limit_Pa * scale / MPA, self.steel.bump_limit_Pa * scale / MPA


WORST = "worst in run"
"""Name of the state of highest stress in a run."""


def spring_sheets(at: Standing, run_angles_rad: Mapping[str, Floats] | None = None) -> list[SpringSheet]:
    """One sheet for each spring of the standing vehicle.

    run_angles_rad: angle of each joint over a run [rad], by the joint's name; adds the state WORST.
    """
    return [_sheet(place, at, run_angles_rad) for place in at.assembly.parts.springs]


def _worst(place: SpringPart, joints: tuple[str, ...], run_angles_rad: Mapping[str, Floats]) -> SpringState:
    """The moment of highest stress (without a steel: of highest torque), sought where an arm stands highest."""
    rows = hardest_rows(place, joints, run_angles_rad)
    tried = [_state(place, WORST, angles_at(place, joints, run_angles_rad, row)) for row in rows]
    return max(tried, key=lambda s: (s.load_MPa, s.torque_Nm))


def _sheet(place: SpringPart, at: Standing, run_angles_rad: Mapping[str, Floats] | None) -> SpringSheet:
    standing = tuple(float(at.q[3 + j]) for j in place.swings)
    count = len(place.swings)
    states = [
        _state(place, "standing", standing),
        _state(place, "bump", (place.mount.arm.highest_rad,) * count),
        _state(place, "droop", (place.mount.arm.lowest_rad,) * count),
    ]
    if run_angles_rad is not None:
        states.append(_worst(place, at.assembly.joint, run_angles_rad))
    now = _figures(place, standing)
    made = place.spring.made_of()
    of = made.steel
    endurance = math.inf
    if of is not None:
        low, high = (s.load_MPa * MPA for s in states[:2])
        steady = now.fitted.stress_Pa if now.fitted is not None else 0.0
        endurance = endurance_margin(of, low, high, now.measure == "shear", steady)
    return SpringSheet(
        name=place.name,
        bogie=place.bogie,
        kind=place.spring.kind_name(),
        path=place.path,
        measure=now.measure,
        states=tuple(states),
        steel=of,
        no_steel=made.words,
        remarks=place.spring.remarks(place.mount),
        yield_MPa=now.yield_Pa / MPA,
        rate_N_per_mm=_axle_rate(place, sum(standing) / count),
        endurance=endurance,
        fitted=now.fitted,
    )


def _figures(place: SpringPart, angles: tuple[float, ...]) -> Figures:
    return place.spring.at(angles, place.mount)


def _state(place: SpringPart, when: str, angles: tuple[float, ...]) -> SpringState:
    degrees = tuple(a / DEG for a in angles)
    at = _figures(place, angles)
    scale, unit = {"m": (MM, "mm"), "rad": (DEG, "deg")}[at.deflection_unit]
    return SpringState(
        when,
        degrees,
        max(at.torques_Nm),
        at.top_load_N,
        at.top_deflection / scale,
        unit,
        at.stress_Pa / MPA,
        at.load_stress_Pa / MPA,
        at.where,
        at.energy_J,
        at.notes,
    )


def _axle_rate(place: SpringPart, angle_rad: float) -> float:
    """Vertical rate felt at the axle, both arms of a pair moving alike [N/mm]."""
    r = place.mount.arm.length_m
    step = 1e-4

    def force(angle: float) -> float:
        return place.torque_Nm(angle) / (r * math.cos(angle))

    rise = r * (math.sin(angle_rad + step) - math.sin(angle_rad - step))
    return (force(angle_rad - step) - force(angle_rad + step)) / rise * MM
