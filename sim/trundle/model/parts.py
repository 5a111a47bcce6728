"""The vehicle's bodies, pivots and road wheels as plain objects, still one side at a time."""

from __future__ import annotations

import math
from dataclasses import dataclass, field

from trundle.errors import InputError, Problem
from trundle.spec.bogie import ArmParts, PairedArms, SingleArm, Stops, WalkingBeam
from trundle.spec.vehicle import Vehicle
from trundle.springs import ArmSpringKind, PairSpringKind
from trundle.springs.base import Arm, PairLaw, PivotLaw
from trundle.springs.base import PairedArms as PairPlace
from trundle.units import DEG, MM, N_PER_MM

OVERRUN = 15.0 * DEG
"""How far past its stops a spring law is tabled [rad]."""


@dataclass
class WheelPart:
    """A wheel station. x, y: axle from the carrying part's pivot, part level, hull axes [m]."""

    name: str
    kind: str
    x: float
    y: float


@dataclass
class SwingPart:
    """One arm or beam, one side. x, y of its pivot in the parent: hull frame, or from the parent's pivot [m]."""

    name: str
    what: str
    bogie: str
    parent: int
    pivot_x: float
    pivot_y: float
    sign: float
    radius: float
    mass: float
    com_x: float
    com_y: float
    own_inertia: float
    wheels: list[WheelPart]
    bump: float
    droop: float
    pad_rate: float
    pad_loss: float
    damp_bump: float = 0.0
    damp_droop: float = 0.0
    friction: float = 0.0
    law: PivotLaw | None = None
    field: str = ""


@dataclass
class PairPart:
    """A leaf across two swing parts (their places in the list)."""

    fore: int
    aft: int
    law: PairLaw


@dataclass
class Parts:
    """All of a vehicle's moving parts, in a fixed order: bogies as written, arms before what they carry."""

    swings: list[SwingPart] = field(default_factory=list)
    pairs: list[PairPart] = field(default_factory=list)


def stop_angles(stops: Stops, arm_mm: float, where: str) -> tuple[float, float]:
    """Bump and droop angle below horizontal [rad]. Raises InputError if out of reach or the wrong way round."""

    def angle(deg: float | None, axle_mm: float | None, name: str) -> float:
        if deg is not None:
            return deg * DEG
        assert axle_mm is not None
        if abs(axle_mm) >= arm_mm:
            raise InputError(
                Problem(
                    f"the arm is {arm_mm:g} mm long, its axle cannot be {axle_mm:g} mm from the pivot's height",
                    field=f"{where}.stops.{name}",
                )
            )
        return -math.asin(axle_mm / arm_mm)

    bump = angle(stops.bump_deg, stops.bump_axle_mm, "bump_axle_mm")
    droop = angle(stops.droop_deg, stops.droop_axle_mm, "droop_axle_mm")
    if droop - bump < 1.0 * DEG:
        raise InputError(
            Problem(
                f"the stops are the wrong way round or too close: bump at {bump / DEG:.1f} deg, "
                f"droop at {droop / DEG:.1f} deg below horizontal",
                field=f"{where}.stops",
                allowed="droop at least 1 deg lower than bump",
            )
        )
    return bump, droop


def _arm_part(
    spec: ArmParts, name: str, what: str, bogie: str, x: float, y: float, sign: float, where: str
) -> SwingPart:
    bump, droop = stop_angles(spec.stops, spec.arm_mm, where)
    r = spec.arm_mm * MM
    damp = spec.damper
    return SwingPart(
        name=name,
        what=what,
        bogie=bogie,
        parent=0,
        pivot_x=x,
        pivot_y=y,
        sign=sign,
        radius=r,
        mass=spec.arm_mass_kg,
        com_x=sign * 0.5 * r,
        com_y=0.0,
        own_inertia=spec.arm_mass_kg * r * r / 12.0,
        wheels=[],
        bump=bump,
        droop=droop,
        pad_rate=spec.stops.pad_rate_N_per_mm * N_PER_MM,
        pad_loss=spec.stops.pad_loss,
        damp_bump=damp.bump_N_s_per_mm * N_PER_MM,
        damp_droop=(damp.bump_N_s_per_mm if damp.droop_N_s_per_mm is None else damp.droop_N_s_per_mm) * N_PER_MM,
        friction=spec.pivot_friction_Nm,
        field=where,
    )


def _spring_law(spring: ArmSpringKind, part: SwingPart) -> PivotLaw:
    arm = Arm(part.radius, part.bump - OVERRUN, part.droop + OVERRUN, OVERRUN)
    try:
        return spring.law(arm)
    except (InputError, ValueError) as e:
        raise InputError(Problem(str(e), field=f"{part.field}.spring")) from None


def _paired(v: PairedArms, name: str, parts: Parts) -> None:
    x, y, half = v.at_mm[0] * MM, v.at_mm[1] * MM, 0.5 * v.pivots_apart_mm * MM
    where = f"bogie.{name}"
    here = len(parts.swings)
    for end, sign in (("fore", 1.0), ("aft", -1.0)):
        part = _arm_part(v, f"{name}.{end}", "arm", name, x + sign * half, y, sign, where)
        part.wheels.append(WheelPart(part.name, v.wheel, sign * part.radius, 0.0))
        parts.swings.append(part)
    fore, aft = parts.swings[here], parts.swings[here + 1]
    if isinstance(v.spring, PairSpringKind):
        shared = v.spring
        arm = Arm(fore.radius, fore.bump - OVERRUN, fore.droop + OVERRUN, OVERRUN)
        try:
            law = shared.pair_law(PairPlace(arm, v.pivots_apart_mm * MM))
        except (InputError, ValueError) as e:
            raise InputError(Problem(str(e), field=f"{where}.spring")) from None
        parts.pairs.append(PairPart(here, here + 1, law))
        fore.friction += law.friction_Nm
        aft.friction += law.friction_Nm
    else:
        for part in (fore, aft):
            part.law = _spring_law(v.spring, part)
            part.friction += part.law.friction_Nm


def _single(v: SingleArm, name: str, parts: Parts) -> None:
    sign = 1.0 if v.points == "forward" else -1.0
    part = _arm_part(v, name, "arm", name, v.at_mm[0] * MM, v.at_mm[1] * MM, sign, f"bogie.{name}")
    part.wheels.append(WheelPart(name, v.wheel, sign * part.radius, 0.0))
    part.law = _spring_law(v.spring, part)
    part.friction += part.law.friction_Nm
    parts.swings.append(part)


def _beam(v: WalkingBeam, name: str, parts: Parts) -> None:
    x, y = v.at_mm[0] * MM, v.at_mm[1] * MM
    parent, level = 0, 0.0
    if v.arm is not None:
        sign = 1.0 if v.arm.points == "forward" else -1.0
        arm = _arm_part(v.arm, f"{name}.arm", "arm", name, x, y, sign, f"bogie.{name}.arm")
        arm.law = _spring_law(v.arm.spring, arm)
        arm.friction += arm.law.friction_Nm
        parts.swings.append(arm)
        parent = len(parts.swings)
        x, y = sign * arm.radius, 0.0
        # The beam's stops are on the arm, set so that it rocks evenly about level with the arm at mid-travel.
        level = -sign * 0.5 * (arm.bump + arm.droop)
    half, drop = 0.5 * v.wheels_apart_mm * MM, v.axles_below_pivot_mm * MM
    parts.swings.append(
        SwingPart(
            name=f"{name}.beam",
            what="beam",
            bogie=name,
            parent=parent,
            pivot_x=x,
            pivot_y=y,
            sign=1.0,
            radius=half,
            mass=v.beam_mass_kg,
            com_x=0.0,
            com_y=-drop,
            own_inertia=v.beam_mass_kg * (2.0 * half) ** 2 / 12.0,
            wheels=[
                WheelPart(f"{name}.fore", v.wheel, half, -drop),
                WheelPart(f"{name}.aft", v.wheel, -half, -drop),
            ],
            bump=level - v.tilt_deg * DEG,
            droop=level + v.tilt_deg * DEG,
            pad_rate=v.pad_rate_N_per_mm * N_PER_MM,
            pad_loss=v.pad_loss,
            friction=v.pivot_friction_Nm,
            field=f"bogie.{name}",
        )
    )


def parts_of(vehicle: Vehicle) -> Parts:
    """The moving parts of a vehicle. Raises InputError where a spring or stop cannot work."""
    parts = Parts()
    for name, bogie in vehicle.bogie.items():
        if isinstance(bogie, PairedArms):
            _paired(bogie, name, parts)
        elif isinstance(bogie, SingleArm):
            _single(bogie, name, parts)
        else:
            _beam(bogie, name, parts)
    return parts
