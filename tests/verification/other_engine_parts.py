"""A vehicle file's arms, beams, springs and leaves, read a second time from its own fields (mm, kg, N, deg).

Nothing of trundle.model, trundle.law or the laws in trundle.springs is used: the formulas are coded again here, by
their sources. Both sides together, SI.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, field

from scipy.integrate import quad
from scipy.optimize import brentq

from trundle.bogies import PairedArms, SingleArm
from trundle.bogies.base import ArmParts, Stops
from trundle.spec.vehicle import Vehicle
from trundle.springs.axle_rate import AxleRate
from trundle.springs.leaf_across import LeafAcross
from trundle.springs.pivot_rate import PivotRate

Torque = Callable[[float], float]

MM = 1e-3
SIDES = 2
E_STEEL_PA = 206e9
"""What the vehicle files mean by steel [Pa]."""

BOUNCE_M_S = 0.5
"""Speed at which the vehicle file states losses [m/s]."""


@dataclass
class Pivot:
    """One joint. Angles below horizontal [rad]; torques [N.m] push the axle down; both sides together.

    pad_rate [N/m] at the axle, pad_damp [s/m], damp_bump, damp_droop [N.s/m] at the axle, vertical.
    """

    name: str
    parent: str
    at: tuple[float, float]
    sign: float
    radius: float
    bump: float
    droop: float
    pad_rate: float
    pad_damp: float
    mass: float
    com: tuple[float, float]
    inertia: float
    damp_bump: float = 0.0
    damp_droop: float = 0.0
    friction: float = 0.0
    spring: Torque | None = None
    wheels: list[tuple[str, str, float, float]] = field(default_factory=list)
    """(name, kind, x, y) of the axles, from the pivot, part level [m]."""

    def torque(self, angle: float, rate: float) -> tuple[float, float]:
        """(torque of spring, damper and stops, force of the stop at the axle: bump positive).

        Damper: force c x vertical speed of the axle. Stop: k d (1 + a d') with no pull (Hunt and Crossley 1975).
        """
        total = self.spring(angle) if self.spring else 0.0
        lever = self.radius * math.cos(angle)
        total -= (self.damp_bump if rate < 0.0 else self.damp_droop) * lever * lever * rate
        stop = 0.0
        if angle < self.bump:
            stop = self.pad_rate * self.radius * (self.bump - angle)
            stop *= max(0.0, 1.0 - self.pad_damp * self.radius * rate)
        elif angle > self.droop:
            stop = -self.pad_rate * self.radius * (angle - self.droop)
            stop *= max(0.0, 1.0 + self.pad_damp * self.radius * rate)
        return total + stop * self.radius, stop


@dataclass
class Leaf:
    """One leaf on a point seat across two pivots: it rocks freely, so both ends press alike, and push only.

    F = 3 E I / l^3 (d0 + d1) / 2 at each end (l half the leaf), d how far an arm lifts its end. Bearing at a constant
    horizontal distance b: height -b tan a + e / cos a, lever its derivative.
    """

    fore: int
    aft: int
    rate: float
    bears: float
    top: float
    tip: float

    def lift(self, angle: float) -> float:
        return -self.bears * math.tan(angle) + self.top / math.cos(angle) - self.tip

    def lever(self, angle: float) -> float:
        return (self.bears - self.top * math.sin(angle)) / math.cos(angle) ** 2

    def force(self, fore: float, aft: float) -> float:
        """Of each end [N]."""
        return max(0.0, self.rate * 0.5 * (self.lift(fore) + self.lift(aft)))


def stop_damp(loss: float) -> float:
    """Damping a [s/m] of k d (1 + a d') that loses `loss` of the energy at BOUNCE_M_S.

    m v dv/dd = -k d (1 + a v): the areas of v / (1 + a v) dv in and out are equal (by quadrature here).
    """
    back = math.sqrt(1.0 - loss) * BOUNCE_M_S

    def gap(a: float) -> float:
        into = quad(lambda v: v / (1.0 + a * v), 0.0, BOUNCE_M_S)[0]
        return into - quad(lambda v: v / (1.0 - a * v), 0.0, back)[0]

    return float(brentq(gap, 0.0, (1.0 - 1e-9) / back)) if loss > 0.0 else 0.0


def stop_angle(stops: Stops, end: str, arm: float) -> float:
    """Angle below horizontal [rad] of a stop, arm [m]."""
    deg, axle = getattr(stops, f"{end}_below_level_deg"), getattr(stops, f"{end}_axle_above_pivot_mm")
    return math.radians(deg) if deg is not None else math.asin(-axle * MM / arm)


def arm(v: ArmParts, name: str, x: float, y: float, sign: float, spring: object) -> Pivot:
    """An arm of both sides; a bar with its mass in the middle."""
    r, mass, damper = v.arm_mm * MM, SIDES * v.arm_mass_kg, v.damper
    droop = damper.bump_N_s_per_mm if damper.droop_N_s_per_mm is None else damper.droop_N_s_per_mm
    return Pivot(
        name, "hull", (x * MM, y * MM), sign, r, stop_angle(v.stops, "bump", r), stop_angle(v.stops, "droop", r),
        SIDES * 1e3 * v.stops.pad_rate_N_per_mm, stop_damp(v.stops.pad_loss), mass, (sign * r / 2.0, 0.0),
        mass * r**2 / 12.0, SIDES * 1e3 * damper.bump_N_s_per_mm, SIDES * 1e3 * droop,
        SIDES * v.pivot_friction_Nm, springs(spring, r),
    )  # fmt: skip


def springs(kind: object, r: float) -> Torque | None:
    """Torque of both sides' springs. Raises TypeError for a kind that is not coded here."""
    if isinstance(kind, PivotRate):
        rate, free, push = SIDES * math.degrees(kind.rate_Nm_per_deg), math.radians(kind.free_angle_deg), kind.one_way
        return lambda a: max(0.0, rate * (free - a)) if push else rate * (free - a)
    if isinstance(kind, AxleRate) and not kind.one_way:
        k, up = SIDES * 1e3 * kind.rate_N_per_mm, math.sin(math.radians(kind.free_angle_deg))
        return lambda a: k * r * (up - math.sin(a)) * r * math.cos(a)
    if isinstance(kind, LeafAcross):
        return None
    raise TypeError(f"no second coding of {kind}")


def leaf_across(v: LeafAcross, apart: float, fore: int, pivots: list[Pivot]) -> Leaf:
    """The leaf of both sides, and its friction put into its two pivots.

    Cambered arc of radius R, ends down: chord 2 R sin(L/2R), rise R (1 - cos(L/2R)). Stack of nf full leaves:
    I = nf b t^3 / 12. Friction: mu (nf - 1)/2 x 3 t / 2 l of half the end load at full bump.
    """
    assert v.seat == "point", "only the point seat is coded here"
    assert v.sleeve_clearance_mm is None
    assert v.graduated_leaves == 0
    half, radius, t = v.length_mm * MM / 2.0, v.free_radius_mm * MM, v.thickness_mm * MM
    rate = 3.0 * E_STEEL_PA * v.full_leaves * v.width_mm * MM * t**3 / 12.0 / half**3
    chord, rise = 2.0 * radius * math.sin(half / radius), radius * (1.0 - math.cos(half / radius))
    tip = (v.seat_above_pivots_mm - v.adjuster_mm) * MM - v.full_leaves * t - rise
    leaf = Leaf(fore, fore + 1, SIDES * rate, (chord - apart) / 2.0, v.arm_top_mm * MM, tip)
    share = v.friction * (v.full_leaves - 1) / 2.0 * 1.5 * t / half
    for p in pivots[fore : fore + 2]:
        p.friction += share * 0.5 * leaf.force(p.bump, p.bump) * leaf.lever(p.bump)
    return leaf


def parts(v: Vehicle) -> tuple[list[Pivot], list[Leaf]]:
    """All pivots, each after what carries it, and the leaves across pairs."""
    pivots: list[Pivot] = []
    leaves: list[Leaf] = []
    for name, b in v.bogie.items():
        x, y = b.at_mm
        if isinstance(b, SingleArm):
            sign = 1.0 if b.points == "forward" else -1.0
            pivots.append(arm(b, name, x, y, sign, b.spring))
            pivots[-1].wheels.append((name, b.wheel, sign * pivots[-1].radius, 0.0))
        elif isinstance(b, PairedArms):
            here = len(pivots)
            for end, sign in (("fore", 1.0), ("aft", -1.0)):
                pivots.append(arm(b, f"{name}.{end}", x + sign * b.pivots_apart_mm / 2.0, y, sign, b.spring))
                pivots[-1].wheels.append((f"{name}.{end}", b.wheel, sign * pivots[-1].radius, 0.0))
            if isinstance(b.spring, LeafAcross):
                leaves.append(leaf_across(b.spring, b.pivots_apart_mm * MM, here, pivots))
        else:
            parent, at, level = "hull", (x * MM, y * MM), 0.0
            if b.arm is not None:
                sign = 1.0 if b.arm.points == "forward" else -1.0
                pivots.append(a := arm(b.arm, f"{name}.arm", x, y, sign, b.arm.spring))
                parent, at, level = a.name, (sign * a.radius, 0.0), -sign * (a.bump + a.droop) / 2.0
            half, drop, mass = b.wheels_apart_mm * MM / 2.0, b.axles_below_pivot_mm * MM, SIDES * b.beam_mass_kg
            tilt = math.radians(b.tilt_deg)
            wheels = [(f"{name}.{e}", b.wheel, s * half, -drop) for e, s in (("fore", 1.0), ("aft", -1.0))]
            pivots.append(
                Pivot(f"{name}.beam", parent, at, 1.0, half, level - tilt, level + tilt,
                      SIDES * 1e3 * b.pad_rate_N_per_mm, stop_damp(b.pad_loss), mass, (0.0, -drop),
                      mass * (2.0 * half) ** 2 / 12.0, friction=SIDES * b.pivot_friction_Nm, wheels=wheels)
            )  # fmt: skip
    return pivots, leaves


def chain(p: Pivot, pivots: list[Pivot]) -> list[Pivot]:
    """The pivot and those it hangs on, up to the hull."""
    return [p, *(a for q in pivots if q.name == p.parent for a in chain(q, pivots))]
