"""Arms and beams with the forces on them, instant by instant: what every check of a part is worked out from.

What pushes on a wheel goes through its axle into the arm, and there bends it from the axle to where the spring bears
on it, or to the pivot. Whatever holds the arm up (spring, stop, damper, friction) is known by its torque alone, and is
taken to push where the spring bears, in the direction in which that kind of spring pushes; where nothing says where it
pushes, as a couple in the pivot. The pivot carries what is left.

In a run the wheels, and the piece of track that moves with them, keep back what it takes to lift and slow them (their
mass times their acceleration, second difference of their places over the step: exact, as the bodies step by
place = place + speed x step). What arms and beams themselves weigh is left out: in a blow it would take a little off
the bending, so a margin errs to the safe side.

Where it turns, the ground also pushes each wheel sideways, at its tread: that is stated with the instants (`side_N`),
and goes on to the pivot as one force where it acts. All wheels of a bogie are pushed the same way.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property

import numpy as np

from trundle.bogies.answers import Member
from trundle.bogies.parts import SwingPart
from trundle.model.arrays import SIDES, Floats
from trundle.model.assembly import Assembly
from trundle.spec.wheel import Wheel
from trundle.units import DEG, MM, G


@dataclass(frozen=True)
class Sideways:
    """A force across the vehicle, one side's. force_N: its size; fore_m, up_m: where it acts, from the limb's pivot, in
    its own axes [m]; below_m: how far below the axle it acts [m], 0 where there is no one axle; all of shape (rows,).
    one_wheel: of a pair one wheel takes all of it."""

    force_N: Floats
    fore_m: Floats
    up_m: Floats
    below_m: float
    one_wheel: bool

    @cached_property
    def couple_Nm(self) -> Floats:
        """What twists the limb in its pivot, about every axis but the pivot's own."""
        return size_of(self.force_N * self.fore_m, self.force_N * self.up_m)


@dataclass(frozen=True)
class End:
    """Where a limb is loaded. name: of the wheel station, or of the beam it carries. x_m, y_m: from the limb's pivot,
    in its own axes [m]. fore_N, up_N: force there in those axes, one side's, shape (rows,). at_m: place of the axle on
    the course [m]. side: what pushes it sideways; None: nothing."""

    name: str
    x_m: float
    y_m: float
    fore_N: Floats
    up_N: Floats
    at_m: Floats
    side: Sideways | None = None

    @cached_property
    def force_N(self) -> Floats:
        """Size of the force."""
        return size_of(self.fore_N, self.up_N)


@dataclass(frozen=True)
class Limb:
    """An arm or beam of one side over some instants. Axes: its own, forward along it and upwards square to it.

    bears_m: how far from its pivot its spring bears, shape (rows,); None: the pivot is turned itself, or it rocks.
    pivot_fore_N, pivot_up_N: what it pushes on its pivot with. held_fore_N, held_up_N: the same in the axes of what
    carries it (the hull's). pivot_mm: place of its pivot along its bracket, from the bracket's middle. side: all that
    pushes it sideways as one force, held_side: the same in the axes of what carries it; None: nothing does.
    """

    name: str
    member: Member
    wheel: Wheel
    sign: float
    ends: tuple[End, ...]
    bears_m: Floats | None
    pivot_fore_N: Floats
    pivot_up_N: Floats
    held_fore_N: Floats
    held_up_N: Floats
    pivot_mm: float
    on_hull: bool
    side: Sideways | None = None
    held_side: Sideways | None = None

    @cached_property
    def pivot_N(self) -> Floats:
        """Size of the force on its pivot."""
        return size_of(self.pivot_fore_N, self.pivot_up_N)

    @cached_property
    def loaded_end(self) -> End:
        """The end that its own parts are told by: of a beam that which is loaded more."""
        return max(self.ends, key=lambda e: float(np.max(e.force_N))) if len(self.ends) > 1 else self.ends[0]

    def along_N(self, end: End) -> Floats:
        """Force at an end along the limb: of an arm towards its pivot, of a beam backwards."""
        return -self.sign * end.fore_N


@dataclass(frozen=True)
class Instants:
    """Some rows of a run, or some stated loads. pitch_rad: of the hull; angle_rad: of each joint below horizontal, by
    name; force_N: by station, forward and up in the world's axes, one side's, with what the wheels keep back taken off;
    at_m: place of each station on the course; time_s. All of shape (rows,). side_N: what the ground pushes each station
    sideways with at its tread, one side's, by name; empty: nothing. one_wheel: a guide tooth has one wheel of a pair
    take all of that."""

    time_s: Floats
    pitch_rad: Floats
    angle_rad: Mapping[str, Floats]
    force_N: Mapping[str, tuple[Floats, Floats]]
    at_m: Mapping[str, Floats]
    side_N: Mapping[str, Floats] = field(default_factory=dict)
    one_wheel: bool = False


def limbs(assembly: Assembly, at: Instants) -> list[Limb]:
    """Every arm and beam of one side."""
    swings = assembly.parts.swings
    turned = _turned(assembly, at)
    ends: list[list[End]] = [[] for _ in swings]
    found: list[Limb] = []
    # What is carried comes after what carries it: from the last on, each passes its force down.
    for j in reversed(range(len(swings))):
        part = swings[j]
        cos, sin = np.cos(turned[j]), np.sin(turned[j])
        for place in part.wheels:
            fx, fy = at.force_N[place.name]
            side = None
            if (pushed := at.side_N.get(place.name)) is not None:
                r = assembly.vehicle.wheel[place.kind].radius_mm * MM
                side = Sideways(pushed, place.x - r * sin, place.y - r * cos, r, at.one_wheel)
            along, across = fx * cos + fy * sin, fy * cos - fx * sin
            ends[j].append(End(place.name, place.x, place.y, along, across, at.at_m[place.name], side))
        limb = _limb(assembly, j, tuple(ends[j]), at.angle_rad[part.name])
        found.append(limb)
        if part.parent:
            where = np.mean([e.at_m for e in limb.ends], axis=0)
            x, y, side = part.pivot_x, part.pivot_y, limb.held_side
            if side is not None:
                side = replace(side, fore_m=side.fore_m + x, up_m=side.up_m + y)
            ends[part.parent - 1].append(End(part.name, x, y, limb.held_fore_N, limb.held_up_N, where, side))
    return found[::-1]


def _turned(assembly: Assembly, at: Instants) -> list[Floats]:
    """Angle of each swing part in the world [rad]."""
    turned: list[Floats] = []
    for part in assembly.parts.swings:
        carried = turned[part.parent - 1] if part.parent else at.pitch_rad
        turned.append(carried - part.sign * at.angle_rad[part.name])
    return turned


def _limb(assembly: Assembly, j: int, ends: tuple[End, ...], angle_rad: Floats) -> Limb:
    part = assembly.parts.swings[j]
    fore, up = sum_of([e.fore_N for e in ends]), sum_of([e.up_N for e in ends])
    bears = None
    place = next((s for s in assembly.parts.springs if j in s.swings), None)
    if place is not None and (push := place.spring.push(angle_rad, place.mount)) is not None:
        raises = part.sign * sum_of([e.x_m * e.up_N - e.y_m * e.fore_N for e in ends])
        fore = fore + part.sign * raises * push.along_per_m
        up = up + raises * push.across_per_m
        bears = push.at_m
    # From the limb's axes into those of what carries it.
    cos, sin = np.cos(angle_rad), -part.sign * np.sin(angle_rad)
    member, middle = _member(assembly, part)
    side = _as_one([e.side for e in ends if e.side is not None])
    held = None
    if side is not None:
        x, y = side.fore_m, side.up_m
        held = replace(side, fore_m=x * cos - y * sin, up_m=x * sin + y * cos)
    return Limb(
        name=part.name,
        member=member,
        wheel=assembly.vehicle.wheel[assembly.vehicle.bogie[part.bogie].wheel],
        sign=part.sign,
        ends=ends,
        bears_m=bears,
        pivot_fore_N=fore,
        pivot_up_N=up,
        held_fore_N=fore * cos - up * sin,
        held_up_N=fore * sin + up * cos,
        pivot_mm=(part.pivot_x - middle) / MM,
        on_hull=part.parent == 0,
        side=side,
        held_side=held,
    )


def _as_one(sides: Sequence[Sideways]) -> Sideways | None:
    """Forces that all point the same way as the one that does the same."""
    if len(sides) < 2:
        return sides[0] if sides else None
    force = sum_of([s.force_N for s in sides])
    shared = np.where(force > 0.0, force, 1.0)
    return Sideways(
        force,
        sum_of([s.force_N * s.fore_m for s in sides]) / shared,
        sum_of([s.force_N * s.up_m for s in sides]) / shared,
        0.0,
        sides[0].one_wheel,
    )


def _member(assembly: Assembly, part: SwingPart) -> tuple[Member, float]:
    """Of which kind it is made, and the middle of the pivots of that kind [m]."""
    alike = [p for p in assembly.parts.swings if p.bogie == part.bogie and p.what == part.what]
    member = next(m for m in assembly.vehicle.bogie[part.bogie].members(part.bogie) if m.what == part.what)
    return member, sum(p.pivot_x for p in alike) / len(alike)


def size_of(fore_N: Floats, up_N: Floats) -> Floats:
    """Size of a force. (hypot takes six times as long, for sizes that no force has.)"""
    squared: Floats = np.sqrt(fore_N * fore_N + up_N * up_N)
    return squared


def sum_of(arrays: Sequence[Floats]) -> Floats:
    """The sum of arrays of one shape."""
    total = arrays[0]
    for more in arrays[1:]:
        total = total + more
    return total


def in_run(assembly: Assembly, columns: Mapping[str, Floats], first: int, last: int, dt_s: float) -> Instants:
    """The rows from `first` to `last` (not counted) of some columns of a timeline, which must hold one row more on
    either side unless the run begins or ends there. dt_s: its step [s]."""
    rows = slice(first, last)
    force: dict[str, tuple[Floats, Floats]] = {}
    at: dict[str, Floats] = {}
    bodies = assembly.model.vehicle[0].body
    for j, part in enumerate(assembly.parts.swings):
        if not part.wheels:
            continue
        kept_kg = (float(bodies[j + 1].mass) / SIDES - part.mass) / len(part.wheels)
        for place in part.wheels:
            abreast, ring = assembly.vehicle.wheel[place.kind].abreast, f"wheel.{place.name}"
            x, y = columns[f"{ring}.x_mm"], columns[f"{ring}.y_mm"]
            fx = abreast * columns[f"{ring}.force_forward_N"] - kept_kg * _gains(x, dt_s)
            fy = abreast * columns[f"{ring}.force_up_N"] - kept_kg * (_gains(y, dt_s) + G)
            force[place.name], at[place.name] = (fx[rows], fy[rows]), x[rows] * MM
    return Instants(
        columns["time_s"][rows],
        columns["hull.pitch_deg"][rows] * DEG,
        {j: columns[f"arm.{j}.angle_deg"][rows] * DEG for j in assembly.joint},
        force,
        at,
    )


def _gains(place_mm: Floats, dt_s: float) -> Floats:
    """Acceleration [m/s2] by second differences; at both ends that of the row beside."""
    gains = np.empty_like(place_mm)
    if len(place_mm) < 3:
        gains[:] = 0.0
        return gains
    gains[1:-1] = place_mm[2:] - 2.0 * place_mm[1:-1] + place_mm[:-2]
    gains[0], gains[-1] = gains[1], gains[-2]
    gains *= MM / dt_s**2
    return gains


def stated(assembly: Assembly, standing_N: Mapping[str, float], worst_N: Mapping[str, float]) -> Instants:
    """Stated loads of one wheel [N], arms and hull level: standing, at their worst upright, and then each arm in turn
    with its worst pushing along it to its pivot, as a kerb's edge does."""
    swings = assembly.parts.swings
    pushed = [j for j, p in enumerate(swings) if p.parent == 0]
    rows = 2 + len(pushed)
    force: dict[str, tuple[Floats, Floats]] = {}
    for j, part in enumerate(swings):
        under = j
        while swings[under].parent:
            under = swings[under].parent - 1
        for place in part.wheels:
            abreast = assembly.vehicle.wheel[place.kind].abreast
            fore, up = np.zeros(rows), np.zeros(rows)
            up[0], up[1] = abreast * standing_N[place.name], abreast * worst_N[place.name]
            fore[2 + pushed.index(under)] = -swings[under].sign * abreast * worst_N[place.name]
            force[place.name] = fore, up
    zeros = np.zeros(rows)
    return Instants(zeros, zeros, dict.fromkeys(assembly.joint, zeros), force, dict.fromkeys(assembly.wheel, zeros))
