"""Bolts, arms, brackets and welds at the worst load. Quasi-static: the parts' own inertia is left out."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace

from trundle.bogies.answers import Member
from trundle.bogies.build import ArmBuild, ArmSection, AxleBolt, AxleWeld
from trundle.model.assembly import Assembly
from trundle.papers.loads import WorstLoads
from trundle.papers.section import section_of, width_mm
from trundle.spec.wheel import Wheel
from trundle.steel.bolts import BoltClass, PinStress, bolt_class, clevis, pin_one_side, pin_two_sides, thread
from trundle.steel.fatigue import allowed_alternating, pin_endurance
from trundle.steel.materials import steel
from trundle.steel.weld import ring_weld_share, weld_strength
from trundle.units import DEG, MM, MPA


@dataclass(frozen=True)
class Check:
    """One part at one station.

    load_N: what it carries, one side. stress_MPa against limit_MPa; margin: limit over stress (below 1 it
    yields). endurance: allowed over actual swing between standing and worst, a rough guide; None: not asked.
    """

    part: str
    station: str
    load_N: float
    stress_MPa: float
    limit_MPa: float
    margin: float
    endurance: float | None
    notes: tuple[str, ...]


@dataclass(frozen=True)
class Lever:
    """Where an arm is held up: its spring bears `spring_m` from the pivot (0: a bar, or not known) [m].

    stations: how many wheel stations hang on its axle end (2: it carries a beam). ends: 2 for the beam
    itself, whose pivot takes both of its ends.
    """

    arm_m: float
    spring_m: float
    stations: int = 1
    ends: int = 1

    def bending_Nm(self, load_N: float) -> float:
        """Largest moment in the arm for an axle load: between spring and axle, or at the pivot [N.m].

        The bump pad is taken to push where the spring does, so this also holds beyond the spring's reach.
        """
        return load_N * (self.arm_m - self.spring_m)

    def pivot_N(self, load_N: float) -> float:
        """Push of the arm on its pivot [N]: the spring's W r/b less W, or W itself if that is more.

        W itself is what a bar's pivot carries, and any pivot where a kerb's edge pushes along the arm.
        """
        upright = load_N * self.arm_m / self.spring_m - load_N if self.spring_m > 0.0 else 0.0
        return max(load_N, upright) * self.ends


def strength(assembly: Assembly, loads: WorstLoads) -> tuple[list[Check], list[str]]:
    """Every check that the file gives the sizes for, and one line for each part that it does not.

    Raises InputError where a stated size cannot exist.
    """
    checks: list[Check] = []
    missing: list[str] = []
    alike: dict[tuple[ArmBuild, Wheel, Lever], list[tuple[str, list[str]]]] = {}
    for member, wheel, stations, lever in _stations(assembly):
        name, build = member.name, member.build
        if build is None:
            missing.append(f"{name}: not given how it is made ([{member.path}.build]), so nothing is checked")
            continue
        # The arm under a beam carries the beam's pivot, not an axle.
        parts = ("axle", "pivot", "arm", "bracket", "weld") if member.carries_axle else ("pivot", "arm", "bracket")
        absent = [p for p in parts if getattr(build, p) is None]
        if absent:
            missing.append(f"{name}: not given: {', '.join(absent)}")
        alike.setdefault((build, wheel, lever), []).append((name, stations))
    for (build, wheel, lever), bogies in alike.items():
        # Bogies made alike are checked once, at the heaviest load of any of their stations.
        worst = max((s for _, stations in bogies for s in stations), key=lambda s: loads.worst_N[s])
        made = list(_checks(worst, build, wheel, loads.standing_N[worst], loads.worst_N[worst], lever))
        if lever.stations > 1:  # the arm under a beam: its own name, not its wheel's
            made = [replace(c, station=f"{worst.split('.')[0]}.arm") for c in made]
        checks += made
    return checks, missing


def _stations(assembly: Assembly) -> Iterator[tuple[Member, Wheel, list[str], Lever]]:
    vehicle = assembly.vehicle
    for name, bogie in vehicle.bogie.items():
        stations = [w.name for p in assembly.parts.swings if p.bogie == name for w in p.wheels]
        for m in bogie.members(name):
            bears = m.sprung.spring.bears_m(m.sprung.mount) if m.sprung is not None else 0.0
            yield m, vehicle.wheel[bogie.wheel], stations, Lever(m.reach_mm * MM, bears, m.carries, m.ends)


def _checks(
    station: str, build: ArmBuild, wheel: Wheel, standing_N: float, worst_N: float, lever: Lever
) -> Iterator[Check]:
    """The parts of one station. Loads are one wheel's; an axle carries `abreast` of them."""
    ratio = standing_N / worst_N if worst_N > 0.0 else 0.0
    load = worst_N * wheel.abreast * lever.stations
    axle = build.axle if lever.stations == 1 else None
    if axle is not None:
        yield _axle(station, axle, build.arm, wheel, worst_N, ratio)
    if build.pivot is not None:
        yield _pivot(station, build, lever.pivot_N(load), ratio)
    if build.arm is not None:
        yield _arm(station, build.arm, axle, wheel, load, worst_N, ratio, lever)
    if build.bracket is not None and build.pivot is not None:
        yield _bracket(station, build, lever.pivot_N(load))
    if build.weld is not None and lever.stations == 1:
        yield _weld(station, build, build.weld, wheel, worst_N)


def _weld(station: str, build: ArmBuild, weld: AxleWeld, wheel: Wheel, worst_N: float) -> Check:
    """The whole load of one side of the arm on one ring of weld: a first estimate."""
    axle = build.axle
    between = axle is not None and axle.held == "between wheels"
    load = worst_N if between else worst_N * wheel.abreast
    reach = side_reach_m(axle, build.arm, wheel) if axle is not None and axle.held != "both sides" else 0.0
    of = steel(build.arm.steel if build.arm else "unknown mild steel")
    share = ring_weld_share(weld.sleeve_mm * MM, weld.throat_mm * MM, load, load * reach, 0.0, of)
    limit = weld_strength(of) / MPA
    notes = ["first estimate: all of it on one ring of weld (EN 1993-1-8, simplified method)"]
    if axle is None:
        notes.append("axle not given: bending of the sleeve left out")
    throat = f"weld of the axle sleeve, {weld.throat_mm:g} mm throat"
    return Check(throat, station, load, share * limit, limit, _over(1.0, share), None, tuple(notes))


def side_reach_m(axle: AxleBolt, arm: ArmSection | None, wheel: Wheel) -> float:
    """Where the bolt is held to where its load acts: one wheel's middle, or the middle of all of them [m].

    Not for a fork. "between wheels" without an arm's section: the arm is taken to fill the gap.
    """
    if axle.held == "between wheels":
        gap = axle.wheels_apart_mm
        across = gap if arm is None else width_mm(arm)
        return max(0.5 * (gap - across), 0.0) * MM + 0.5 * wheel.width_mm * MM
    return (axle.side_gap_mm + 0.5 * wheels_width_mm(axle, wheel)) * MM


def wheels_width_mm(axle: AxleBolt, wheel: Wheel) -> float:
    """All wheels of a station with the gaps between them, outside to outside [mm]."""
    return wheel.abreast * wheel.width_mm + (wheel.abreast - 1) * axle.wheels_apart_mm


def _axle(station: str, axle: AxleBolt, arm: ArmSection | None, wheel: Wheel, worst_N: float, ratio: float) -> Check:
    t = thread(axle.thread)
    root = t.root_m if axle.threads_in_bend else None
    if axle.held == "both sides":
        load = worst_N * wheel.abreast
        span = (wheels_width_mm(axle, wheel) + 2.0 * axle.side_gap_mm) * MM
        stress = pin_two_sides(load, t.diameter_m, span, root)
        how = f"held on both sides, {span / MM:g} mm apart"
    else:
        load = worst_N if axle.held == "between wheels" else worst_N * wheel.abreast
        reach = side_reach_m(axle, arm, wheel)
        stress = pin_one_side(load, t.diameter_m, reach, root)
        how = f"sticks out {reach / MM:g} mm to the middle of its load"
    return _pin_check("axle bolt", station, load, stress, axle.thread, axle.grade, ratio, (how,))


def _pivot(station: str, build: ArmBuild, load: float, ratio: float) -> Check:
    pivot = build.pivot
    assert pivot is not None
    t = thread(pivot.thread)
    root = t.root_m if pivot.threads_in_bend else None
    sleeve, gap = pivot.sleeve_mm * MM, pivot.gap_mm * MM
    plate = build.bracket.plate_mm * MM if build.bracket else 0.0
    grade = bolt_class(pivot.grade, t.diameter_m)
    if pivot.held == "one side":
        stress = pin_one_side(load, t.diameter_m, gap + 0.5 * sleeve, root)
        how = f"a stub, {(gap + 0.5 * sleeve) / MM:g} mm to the middle of the sleeve"
    else:
        joint = clevis(load, t.diameter_m, plate, sleeve, gap, grade)
        # The pin's bending by EN 1993-1-8 figure 3.11; in a thread it counts on the root's section.
        cut = 1.0 if root is None else (t.diameter_m / root) ** 3
        area = math.pi / 4.0 * (root or t.diameter_m) ** 2
        shear = load / (2.0 * area)
        stress = PinStress(joint.moment_Nm, joint.bending_Pa * cut, shear, 4.0 / 3.0 * shear, 0.0, root is not None)
        how = "between two plates" + ("" if build.bracket else " (their thickness is not given: taken as 0)")
    return _pin_check("pivot bolt", station, load, stress, pivot.thread, pivot.grade, ratio, (how,))


def _pin_check(
    part: str,
    station: str,
    load: float,
    stress: PinStress,
    thread_name: str,
    grade_name: str,
    ratio: float,
    notes: tuple[str, ...],
) -> Check:
    t = thread(thread_name)
    grade: BoltClass = bolt_class(grade_name, t.diameter_m)
    if stress.threads_in_bend:
        notes = (*notes, "threads in the bending length: use a bolt with a longer plain shank")
    if grade_name == "unmarked":
        notes = (*notes, "an unmarked bolt is taken as class 4.6")
    endurance = pin_endurance(
        grade.tensile_Pa, t.diameter_m, stress.threads_in_bend, ratio * stress.bending_Pa, stress.bending_Pa
    )
    top = stress.equivalent_Pa
    return Check(
        f"{part} {thread_name}, {grade.name}",
        station,
        load,
        top / MPA,
        grade.yield_Pa / MPA,
        _over(grade.yield_Pa, top),
        endurance,
        notes,
    )


def _arm(
    station: str,
    arm: ArmSection,
    axle: AxleBolt | None,
    wheel: Wheel,
    load: float,
    worst_N: float,
    ratio: float,
    lever: Lever,
) -> Check:
    section, of = section_of(arm), steel(arm.steel)
    bending = lever.bending_Nm(load) / section.wx_m3
    # Off the arm's own plane: all of it with the wheels on one side, else one wheel of a pair on a stone.
    notes = ["bends most at its pivot" if lever.spring_m <= 0.0 else "bends most where its spring bears"]
    twist = 0.0
    if axle is not None and axle.held != "both sides":
        off = side_reach_m(axle, arm, wheel) + 0.5 * width_mm(arm) * MM
        if axle.held == "one side":
            twist, why = load * off, "the wheels hang on one side of it"
        else:
            twist, why = worst_N * off, "one wheel of the pair alone carries its worst load"
        shear = section.twist_stress_Pa(twist)
        notes.append(f"twisted by {twist:.0f} N.m when {why}: {shear / MPA:.0f} MPa shear")
        if section.open_:
            turn = section.twist_rad(twist, lever.arm_m) / DEG
            notes.append(f"an open channel twists easily: {turn:.1f} deg here; box it in, or keep the tube whole")
    shear = section.twist_stress_Pa(twist)
    equal = math.sqrt(bending**2 + 3.0 * shear**2)
    swing = bending * (1.0 - ratio) / 2.0
    allowed = allowed_alternating(of, bending * (1.0 + ratio) / 2.0)
    return Check(
        f"arm, {section.name}, {of.name}",
        station,
        load,
        equal / MPA,
        of.yield_Pa / MPA,
        _over(of.yield_Pa, equal),
        _over(allowed, swing),
        tuple(notes),
    )


def _bracket(station: str, build: ArmBuild, load: float) -> Check:
    """Bearing in the hole and tearing out to the edge of each plate; bending of the plate is left out."""
    bracket, pivot = build.bracket, build.pivot
    assert bracket is not None
    assert pivot is not None
    of, d = steel(bracket.steel), thread(pivot.thread).diameter_m
    plates = 2 if pivot.held == "both sides" else 1
    each, thick = load / plates, bracket.plate_mm * MM
    edge = min(bracket.pivots_from_bottom_mm, bracket.height_mm - bracket.pivots_from_bottom_mm) * MM
    bearing = each / (d * thick) / 1.5
    left = edge - 0.5 * d
    tear = math.sqrt(3.0) * each / (2.0 * left * thick) if left > 0.0 else math.inf
    which, top = max(("bears in its hole", bearing), ("tears out to its edge", tear), key=lambda p: p[1])
    return Check(
        f"bracket plate {bracket.plate_mm:g} mm, {of.name}",
        station,
        each,
        top / MPA,
        of.yield_Pa / MPA,
        _over(of.yield_Pa, top),
        None,
        (f"{which} first (bearing by EN 1993-1-8 table 3.10, 1.5 fy d t); bending of the plate left out",),
    )


def _over(limit: float, actual: float) -> float:
    return limit / actual if actual > 0.0 else math.inf
