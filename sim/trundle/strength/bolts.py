"""Axle and pivot bolts: round, so they bear a force alike wherever it points."""

from __future__ import annotations

import math
from collections.abc import Iterator
from functools import partial

import numpy as np

from trundle.bogies.build import ArmBuild
from trundle.bogies.joints import AxleBolt
from trundle.model.arrays import Floats
from trundle.spec.wheel import Wheel
from trundle.steel.bolts import (
    UNMARKED,
    PinStress,
    bolt_class,
    clevis,
    couple_in_pin,
    pin_bent_Pa,
    pin_one_side,
    pin_two_sides,
    thread,
)
from trundle.steel.fatigue import pin_endurance
from trundle.strength.limbs import End, Limb
from trundle.strength.margin import Kind
from trundle.strength.stress import Stressed
from trundle.units import MM


def off_middle_m(build: ArmBuild, wheel: Wheel) -> float:
    """The arm's middle to where its axle's load acts, across the vehicle: one wheel's middle, or the middle of all of
    them [m]. 0 for a fork, and without an axle."""
    axle = build.axle
    if axle is None or axle.held == "both sides":
        return 0.0
    if axle.held == "between wheels":
        return 0.5 * (axle.wheels_apart_mm + wheel.width_mm) * MM
    across = build.arm.width_mm if build.arm is not None else 0.0
    return (0.5 * across + axle.side_gap_mm + 0.5 * wheels_width_mm(axle, wheel)) * MM


def side_reach_m(build: ArmBuild, wheel: Wheel) -> float:
    """Where the bolt is held (the end of its sleeve, else the arm's side) to where its load acts [m].

    Not for a fork. "between wheels" without an arm's section: the arm is taken to fill the gap.
    """
    axle, held = build.axle, build.axle_held_mm
    assert axle is not None
    between = axle.held == "between wheels"
    if held is None:
        held = axle.wheels_apart_mm if between else 0.0
    least = 0.5 * (wheel.width_mm if between else wheels_width_mm(axle, wheel)) * MM
    return max(off_middle_m(build, wheel) - 0.5 * held * MM, least)


def wheels_width_mm(axle: AxleBolt, wheel: Wheel) -> float:
    """All wheels of a station with the gaps between them, outside to outside [mm]."""
    return wheel.abreast * wheel.width_mm + (wheel.abreast - 1) * axle.wheels_apart_mm


def axle_bolts(limb: Limb) -> Iterator[Stressed]:
    """The bolt that each station's wheels turn on."""
    build = limb.member.build
    if build is None or build.axle is None or not limb.member.carries_axle:
        return
    axle, t = build.axle, thread(build.axle.thread)
    root = t.root_m if axle.threads_in_bend else None
    share = 1.0
    if axle.held == "both sides":
        span = (wheels_width_mm(axle, limb.wheel) + 2.0 * axle.side_gap_mm) * MM
        of_one = pin_two_sides(1.0, t.diameter_m, span, root)
        how = f"held on both sides, {span / MM:g} mm apart"
    else:
        if axle.held == "between wheels":
            share = 1.0 / limb.wheel.abreast
        reach = side_reach_m(build, limb.wheel)
        of_one = pin_one_side(1.0, t.diameter_m, reach, root)
        how = f"sticks out {reach / MM:g} mm to the middle of its load"
    for end in limb.ends:
        turned = None
        if (side := end.side) is not None:
            alone = 1.0 if side.one_wheel or axle.held != "between wheels" else share
            # A fork takes the couple at both of its ends, half of the moment on either side of the hub.
            lever = (0.5 if axle.held == "both sides" else 1.0) * side.below_m
            turned = alone * side.force_N * pin_bent_Pa(lever, 1.0, t.diameter_m, root), 0.0 * side.force_N
        yield _pin("axle bolt", end.name, limb, end, share * end.force_N, of_one, axle.thread, axle.grade, how, turned)


def pivot_bolts(limb: Limb) -> Iterator[Stressed]:
    """The bolt that the limb turns on."""
    build = limb.member.build
    if build is None or build.pivot is None:
        return
    pivot, t = build.pivot, thread(build.pivot.thread)
    root = t.root_m if pivot.threads_in_bend else None
    sleeve, gap = pivot.sleeve_mm * MM, pivot.gap_mm * MM
    plate = build.bracket.plate_mm * MM if build.bracket else 0.0
    side, turned = limb.side, None
    if pivot.held == "one side":
        of_one = pin_one_side(1.0, t.diameter_m, gap + 0.5 * sleeve, root)
        if side is not None:
            bent = side.couple_Nm * pin_bent_Pa(1.0, 0.0, t.diameter_m, root)
            turned = bent + side.force_N * pin_bent_Pa(0.0, 1.0, t.diameter_m, root), 0.0 * side.force_N
        how = f"a stub, {(gap + 0.5 * sleeve) / MM:g} mm to the middle of the sleeve"
    else:
        joint = clevis(1.0, t.diameter_m, plate, sleeve, gap, bolt_class(pivot.grade, t.diameter_m))
        # The pin's bending by EN 1993-1-8 figure 3.11; in a thread it counts on the root's section.
        cut = 1.0 if root is None else (t.diameter_m / root) ** 3
        shear = 1.0 / (2.0 * math.pi / 4.0 * (root or t.diameter_m) ** 2)
        of_one = PinStress(joint.moment_Nm, joint.bending_Pa * cut, shear, 4.0 / 3.0 * shear, 0.0, root is not None)
        if side is not None:
            apart = sleeve + 2.0 * gap + plate
            bends = pin_bent_Pa(couple_in_pin(sleeve, apart), 0.0, t.diameter_m, root)
            turned = side.couple_Nm * bends, side.couple_Nm / apart * 2.0 * of_one.shear_Pa
        how = "between two plates" + ("" if build.bracket else " (their thickness is not given: taken as 0)")
    yield _pin(
        "pivot bolt", limb.name, limb, limb.loaded_end, limb.pivot_N, of_one, pivot.thread, pivot.grade, how, turned
    )


def _pin(
    kind: Kind,
    name: str,
    limb: Limb,
    end: End,
    load_N: Floats,
    of_one: PinStress,
    thread_name: str,
    grade_name: str,
    how: str,
    turned: tuple[Floats, Floats] | None,
) -> Stressed:
    """of_one: what a force of 1 N makes; all of it grows with the force. turned: what comes on top at the skin and as
    shear by a force sideways [Pa]; both are taken to meet at one place, the safe side."""
    t = thread(thread_name)
    grade = bolt_class(grade_name, t.diameter_m)
    notes = [how]
    if of_one.threads_in_bend:
        notes.append("threads in the bending length: use a bolt with a longer plain shank")
    if grade_name == UNMARKED:
        notes.append("an unmarked bolt is taken as class 4.6")
    told = f"bending and shear, {how}", tuple(notes)
    stress, bent = load_N * of_one.equivalent_Pa, load_N * of_one.bending_Pa
    if turned is not None:
        stress = np.sqrt((bent + turned[0]) ** 2 + 3.0 * (load_N * of_one.shear_Pa + turned[1]) ** 2)
    return Stressed(
        kind=kind,
        name=name,
        title=f"{kind} {thread_name}, {grade.name}",
        stress_Pa=stress,
        limit_Pa=grade.yield_Pa,
        load_N=load_N,
        along_N=limb.along_N(end),
        across_N=end.up_N,
        at_m=end.at_m,
        said=lambda _row: told,
        swings_Pa=bent if turned is None else None,
        endures=partial(pin_endurance, grade.tensile_Pa, t.diameter_m, of_one.threads_in_bend),
    )
