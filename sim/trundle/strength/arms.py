"""Arms and beams: bent by what pushes across them, hardly stressed by what pushes along them.

Between axle and spring an arm bends by the force across it times its distance; from the spring to the pivot by what
the pivot pushes across it. What pushes along goes over its whole section. Wheels on one side of it twist
it by their force across, and bend it sideways by that along; so does one wheel of a pair that alone stands on a stone.
The record has both wheels of a pair alike, so that is taken of every blow, and said: the safe side.

What pushes a wheel sideways at its tread bends an arm sideways by its distance along it, most at the pivot, and twists
it by its distance below it.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from trundle.bogies.profile import section_of
from trundle.bogies.section import ArmSection
from trundle.model.arrays import Floats
from trundle.steel.fatigue import allowed_alternating
from trundle.steel.materials import Steel, steel
from trundle.steel.sections import Section
from trundle.strength.bolts import off_middle_m
from trundle.strength.limbs import End, Limb
from trundle.strength.stress import Stressed
from trundle.units import DEG, MPA


def members(limb: Limb) -> Iterator[Stressed]:
    """The limb itself; of a beam each half."""
    build = limb.member.build
    if build is None or build.arm is None:
        return
    halves = [_loaded(limb, build.arm, end) for end in limb.ends]
    # A beam is one piece: the half that is stressed more speaks for it.
    worst = max(halves, key=lambda s: float(np.max(s.stress_Pa))) if len(halves) > 1 else halves[0]
    stone = max(halves, key=lambda s: 0.0 if s.stone_Pa is None else float(np.max(s.stone_Pa)))
    yield replace(worst, stone_Pa=stone.stone_Pa, stone_said=stone.stone_said)


def _loaded(limb: Limb, arm: ArmSection, end: End) -> Stressed:
    section, of = section_of(arm), steel(arm.steel)
    what = limb.member.what
    bent, pressed = _bent_Nm(limb, end)
    bending, *others = (b / section.wx_m3 + p / section.area_m2 for b, p in zip(bent, pressed, strict=True))
    for other in others:
        bending = np.maximum(bending, other)
    place = "at its pivot" if limb.bears_m is None else "where its spring bears"
    notes = [f"bends most {place}"]
    held, off = _off_m(limb)
    twist = np.abs(end.up_N) * off
    sideways = np.abs(end.fore_N) * off / (section.iy_m4 / (0.5 * section.width_m))
    shear = section.twist_stress_Pa(1.0) * twist
    off_middle = np.sqrt((bending + sideways) ** 2 + 3.0 * shear**2)
    one_side, pair = held == "one side", held == "between wheels" and limb.wheel.abreast > 1
    if end.side is not None:
        return _turned(limb, arm, end, twist if one_side else np.zeros_like(twist))

    def said(row: int) -> tuple[str, tuple[str, ...]]:
        if not one_side:
            return f"bending {place}", tuple(notes)
        twists = math.sqrt(3.0) * shear[row] > bending[row]
        told = _twisted(section, float(twist[row]), abs(end.x_m))
        does = "twist" if twists else "bending"
        return f"{does} {place} with the wheels on one side of it", (*notes, *told)

    return Stressed(
        kind=what,
        name=limb.name,
        title=f"{what}, {section.name}, {of.name}",
        stress_Pa=off_middle if one_side else bending,
        limit_Pa=of.yield_Pa,
        load_N=end.force_N,
        along_N=limb.along_N(end),
        across_N=end.up_N,
        at_m=end.at_m,
        said=said,
        swings_Pa=bending,
        endures=lambda low, high: _endures(of, low, high),
        stone_Pa=off_middle if pair else None,
        stone_said=lambda row: tuple(_twisted(section, float(twist[row]), abs(end.x_m))),
    )


def _turned(limb: Limb, arm: ArmSection, end: End, twist_Nm: Floats) -> Stressed:
    """The same where it is pushed sideways too. twist_Nm: what the upright load twists it with."""
    section, of, side = section_of(arm), steel(arm.steel), end.side
    assert side is not None
    wide = section.iy_m4 / (0.5 * section.width_m)
    bent, pressed = _bent_Nm(limb, end)
    far = np.abs(side.fore_m)
    levers, places = [far], ["at its pivot"]
    if limb.bears_m is not None:
        # Where the spring bears, and at the pivot, where nothing bends it upright any more.
        levers = [*(np.maximum(far - limb.bears_m, 0.0) for _ in bent), far]
        places = [*("where its spring bears" for _ in bent), "at its pivot"]
        bent, pressed = [*bent, np.zeros_like(far)], [*pressed, np.abs(limb.pivot_fore_N)]
    twist = twist_Nm + side.force_N * np.abs(side.up_m)
    shear = section.twist_stress_Pa(1.0) * twist
    upright = [b / section.wx_m3 + p / section.area_m2 for b, p in zip(bent, pressed, strict=True)]
    across = [side.force_N * lever / wide for lever in levers]
    all_of_it = np.array([np.sqrt((u + a) ** 2 + 3.0 * shear**2) for u, a in zip(upright, across, strict=True)])

    def said(row: int) -> tuple[str, tuple[str, ...]]:
        worst = int(np.argmax(all_of_it[:, row]))
        parts = {
            "twist": math.sqrt(3.0) * float(shear[row]),
            "bending sideways": float(across[worst][row]),
            "bending upright": float(upright[worst][row]),
        }
        told = (f"sideways {parts['bending sideways'] / MPA:.0f}, upright {parts['bending upright'] / MPA:.0f} MPa",)
        return f"{max(parts, key=lambda p: parts[p])} {places[worst]}", (
            *told,
            *_twisted(section, float(twist[row]), abs(end.x_m)),
        )

    return Stressed(
        kind=limb.member.what,
        name=limb.name,
        title=f"{limb.member.what}, {section.name}, {of.name}",
        stress_Pa=all_of_it.max(axis=0),
        limit_Pa=of.yield_Pa,
        load_N=end.force_N,
        along_N=limb.along_N(end),
        across_N=end.up_N,
        at_m=end.at_m,
        said=said,
    )


def _bent_Nm(limb: Limb, end: End) -> tuple[list[Floats], list[Floats]]:
    """Moments [N.m] and the pushes along that go with them [N], at the places where a limb may be bent most."""
    if limb.bears_m is None:
        return [np.abs(end.x_m * end.up_N - end.y_m * end.fore_N)], [np.abs(end.fore_N)]
    outside = np.abs(end.up_N) * np.abs(abs(end.x_m) - limb.bears_m)
    inside = np.abs(limb.pivot_up_N) * limb.bears_m
    return [outside, inside], [np.abs(end.fore_N), np.abs(limb.pivot_fore_N)]


def _off_m(limb: Limb) -> tuple[str, float]:
    """How its wheels are held, and how far from its own middle its load is on one side of it [m]; "" without any."""
    build = limb.member.build
    axle = build.axle if build is not None and limb.member.carries_axle else None
    if build is None or axle is None or axle.held == "both sides":
        return "", 0.0
    return axle.held, off_middle_m(build, limb.wheel)


def _twisted(section: Section, twist_Nm: float, length_m: float) -> Iterator[str]:
    yield f"twisted by {twist_Nm:.0f} N.m: {section.twist_stress_Pa(twist_Nm) / MPA:.0f} MPa shear"
    if section.open_:
        turn = section.twist_rad(twist_Nm, length_m) / DEG
        yield f"an open channel twists easily: {turn:.1f} deg here; box it in, or keep the tube whole"


def _endures(of: Steel, low_Pa: float, high_Pa: float) -> float:
    swing = 0.5 * abs(high_Pa - low_Pa)
    return allowed_alternating(of, 0.5 * (high_Pa + low_Pa)) / swing if swing > 0.0 else np.inf
