"""What bogie kinds with sprung arms share: the arm as a moving part, its spring put on, its drawing, its holes."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

from trundle.bogies.answers import Bore, Sprung
from trundle.bogies.arm_drawing import (
    PIN_MM,
    Standing,
    arm_marks,
    arm_shapes,
    below_deg,
    spring_shapes,
    standing,
    stop_lines,
    stop_pad,
)
from trundle.bogies.base import ArmParts
from trundle.bogies.build import ArmBuild
from trundle.bogies.build_drawing import bolt_mm, bracket_shapes
from trundle.bogies.parts import PairPart, Parts, SpringPart, SwingPart
from trundle.errors import InputError, Problem
from trundle.fields.shape import Shape
from trundle.fields.sketch import XY, Around, Mark, Note
from trundle.fields.sketch_parts import middle_of
from trundle.springs import Arm, Mount, Spring
from trundle.units import DEG, MM, N_PER_MM

OVERRUN = 15.0 * DEG
"""How far past its stops a spring law is tabled [rad]."""


def arm_part(spec: ArmParts, name: str, bogie: str, x: float, y: float, sign: float, where: str) -> SwingPart:
    """An arm whose pivot is at (x, y) in the hull [m]. Raises InputError where its stops cannot be."""
    bump, droop = spec.stops.angles_rad(spec.arm_mm, where)
    r = spec.arm_mm * MM
    damp = spec.damper
    return SwingPart(
        name=name,
        what="arm",
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
        pad=spec.stops.felt_pad(spec.arm_mm),
        pad_loss=spec.stops.pad_loss,
        damp_bump=damp.bump_N_s_per_mm * N_PER_MM,
        damp_droop=(damp.bump_N_s_per_mm if damp.droop_N_s_per_mm is None else damp.droop_N_s_per_mm) * N_PER_MM,
        friction=spec.pivot_friction_Nm,
        field=where,
        shapes=arm_shapes(sign * spec.arm_mm),
    )


def fit_springs(
    parts: Parts, spring: Spring, spec: ArmParts, arms: Sequence[int], bogie: str, pivots_apart_m: float = 0.0
) -> None:
    """Puts a spring on each of the arms, or one across them, as its kind wants it.

    arms: their places in parts.swings. Raises InputError, at the spring's place in the file, if it cannot work.
    """
    groups = [(a,) for a in arms] if spring.arms == 1 else [tuple(arms)]
    for group in groups:
        first = parts.swings[group[0]]
        apart = pivots_apart_m if len(group) > 1 else 0.0
        path = f"{first.field}.spring"
        reach = Arm(first.radius, first.bump - OVERRUN, first.droop + OVERRUN, OVERRUN)
        try:
            law = spring.mounted(Mount(reach, apart))
        except ValueError as e:  # an InputError too: the spring knows its fields, not its place
            raise InputError(Problem(str(e), field=path)) from None
        for a in group:
            part = parts.swings[a]
            part.law = law.pivot
            part.friction += law.friction_Nm
            part.damp_bump += law.damp_bump_N_s_per_m
            part.damp_droop += law.damp_droop_N_s_per_m
        if law.pair is not None:
            fore, aft = group
            parts.pairs.append(PairPart(fore, aft, law.pair))
        name = first.name if len(group) == 1 else bogie
        mount = Mount(Arm(first.radius, first.bump, first.droop), apart)
        parts.springs.append(SpringPart(name, bogie, path, spring, group, mount, first.sign, spec.build))


def sprung(spec: ArmParts, spring: Spring, arms: int, path: str, pivots_apart_mm: float = 0.0) -> Sprung:
    """The sprung arms as the workshop sees them; the mount's angles do not matter to it and are level."""
    apart = pivots_apart_mm * MM if spring.arms > 1 else 0.0
    mount = Mount(Arm(spec.arm_mm * MM, 0.0, 1.0), apart)
    return Sprung(path, spec.arm_mm, spring, mount, arms // spring.arms)


def along_mm(spec: ArmParts, sign: float) -> float:
    """Pivot to axle along the hull with the arm at mid-travel, signed [mm]."""
    low, high = spec.stops.axle_heights_mm(spec.arm_mm)
    h = min(abs(0.5 * (low + high)), spec.arm_mm)
    return sign * math.sqrt(spec.arm_mm**2 - h**2)


def arm_bores(spec: ArmParts, spring: Spring) -> tuple[Bore, ...]:
    """Pivot and axle of an arm, and what its spring wants drilled."""
    own = [Bore("pivot", 0.0, 0.0, "pivot", False), Bore("axle", spec.arm_mm, 0.0, "axle", True)]
    own += [Bore(h.name, h.along_mm, h.above_mm, "spring", False, h.diameter_mm) for h in spring.arm_holes()]
    return tuple(sorted(own, key=lambda b: b.along_mm))


def arm_standing(spec: ArmParts, around: Around, name: str, pivot: XY, sign: float) -> Standing:
    """The arm as it is said to stand, or in the middle of its travel."""
    return standing(around, name, pivot, sign, spec.arm_mm, spec.stops.axle_heights_mm(spec.arm_mm))


def arm_view(spec: ArmParts, spring: Spring, arms: Sequence[Standing]) -> tuple[tuple[Shape, ...], tuple[Mark, ...]]:
    """Sprung arms with their spring, pads and stops; what is marked of them, on the first."""
    low, high = spec.stops.axle_heights_mm(spec.arm_mm)
    bump, droop = below_deg(high, spec.arm_mm), below_deg(low, spec.arm_mm)
    sprung_by = spring_shapes(spring, arms, (bump, droop))
    shapes: list[Shape] = [*bracket_view(spec.build, [a.pivot for a in arms])]
    for arm in arms:
        shapes += [
            *stop_lines(arm, bump, droop),
            stop_pad(arm, bump, spec.stops.pad_place_mm(spec.arm_mm)),
            *arm.shapes(),
        ]
    first = arms[0]
    one = sprung_by[: len(sprung_by) // len(arms)] if spring.arms == 1 else sprung_by
    return (*shapes, *sprung_by), (*arm_marks(first), Note("spring", middle_of(one, first.pivot)))


def bracket_view(build: ArmBuild | None, pivots: Sequence[XY]) -> tuple[Shape, ...]:
    """The plate that holds some pivots in the hull; none where the file has none."""
    if build is None or build.bracket is None:
        return ()
    x, y = (sum(p[k] for p in pivots) / len(pivots) for k in (0, 1))
    hole = bolt_mm(build.pivot.thread) if build.pivot is not None else 2.0 * PIN_MM
    return bracket_shapes(build.bracket, (x, y), [p[0] - x for p in pivots], hole)


def around_arm(
    spec: ArmParts, around: Around, name: str, pivot: XY, sign: float, pivots_apart_mm: float = 0.0
) -> Around:
    """What lies about the tables inside an arm's: its spring, stops, damper. name: of its swing."""
    return replace(
        around,
        name=name,
        at_mm=pivot,
        sign=sign,
        arm_mm=spec.arm_mm,
        both_ends=False,
        pivots_apart_mm=pivots_apart_mm,
        arm_deg=around.arms_deg.get(name, around.arm_deg),
    )
