"""Leaves: stiffness at the ends, stress, free shape and room for the ends.

A leaf across two arms is a beam pressed down at its middle by a seat and up at its two ends. The
half length is l, seats lie at +-s, the overhang is a = l - s; E I is that of one beam as stiff at its ends as the
stack (trundle.steel.leaf_contact).
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from trundle.steel.leaf_contact import Sharing, length_shares, sharing
from trundle.steel.materials import E_STEEL

Floats = NDArray[np.float64]

DRY_STEEL_FRICTION = 0.3
"""Coefficient of friction between dry leaves, order of magnitude (from memory; greased about 0.1)."""


@dataclass(frozen=True)
class Stack:
    """Leaves of one width and thickness lying on each other.

    full: leaves as long as the main leaf (itself counted). graduated: leaves that get shorter in even steps.
    width_m, thickness_m: of one leaf [m]. E_Pa: Young's modulus [Pa].
    """

    width_m: float
    thickness_m: float
    full: int = 1
    graduated: int = 0
    E_Pa: float = E_STEEL

    @property
    def height_m(self) -> float:
        """All leaves together [m]."""
        return (self.full + self.graduated) * self.thickness_m

    @property
    def one_leaf_Nm2(self) -> float:
        """E I of a single leaf [N.m2]."""
        return self.E_Pa * self.width_m * self.thickness_m**3 / 12.0

    def shared(self, half_m: float, held_m: float = 0.0, pair: bool = False) -> Sharing:
        """How the leaves share a load at the ends, the main leaf's half length and what is held of it given [m].

        held_m: half a clamp, or half the distance of a `pair` of seats; 0: held level in one place.
        """
        return sharing(self.full, self.graduated, held_m / half_m, pair)

    def stress_Pa(self, moment_Nm: float, shared: Sharing) -> float:
        """Bending stress of the leaf that is bent hardest, M / Z of its share [Pa].

        moment_Nm: end load times overhang.
        """
        return moment_Nm * max(shared.moments) * 6.0 / (self.width_m * self.thickness_m**2)


def leaf_lengths(length: float, full: int, graduated: int) -> list[float]:
    """Length of every leaf of a stack from the main leaf up, in the unit of `length`."""
    return [length * share for share in length_shares(full, graduated)]


def cantilever_rate(stack: Stack, length_m: float, held_m: float = 0.0) -> float:
    """End rate of a stack that sticks out by `length_m`, 3 E I / l^3 [N/m] (Roark table 8.1).

    held_m: how far it goes on inside what holds it, for the lengths of the graduated leaves.
    """
    return 3.0 * stack.one_leaf_Nm2 * stack.shared(length_m + held_m, held_m).even / length_m**3


def point_seat(stack: Stack, half_m: float) -> Floats:
    """K of a leaf on one seat in the middle, shape (2, 2) [N/m]: it rocks, so both ends press alike."""
    half = cantilever_rate(stack, half_m) / 2.0
    return np.array([[half, half], [half, half]])


def clamp_seat(stack: Stack, half_m: float, clamp_m: float) -> Floats:
    """K of a leaf held by a clamp of length `clamp_m`, shape (2, 2) [N/m]: two cantilevers, no coupling."""
    k = cantilever_rate(stack, half_m - clamp_m / 2.0, clamp_m / 2.0)
    return np.array([[k, 0.0], [0.0, k]])


def pair_rates(stack: Stack, half_m: float, apart_m: float) -> tuple[float, float]:
    """(both ends up, one up one down) end rates of a leaf on two seats `apart_m` apart [N/m].

    Overhang beam (Roark table 8.1, superposition): compliance a^2 (a + 3 s)/3EI and a^2 (a + s)/3EI.
    """
    s = apart_m / 2.0
    a = half_m - s
    shared = stack.shared(half_m, s, True)
    ei3 = 3.0 * stack.one_leaf_Nm2
    return ei3 * shared.even / (a * a * (a + 3.0 * s)), ei3 * shared.odd / (a * a * (a + s))


def pair_seat(stack: Stack, half_m: float, apart_m: float) -> Floats:
    """K of a leaf on two seats that hold it both ways, shape (2, 2) [N/m]."""
    both, odd = pair_rates(stack, half_m, apart_m)
    return 0.5 * np.array([[both + odd, both - odd], [both - odd, both + odd]])


def _ends_held(half_m: float, s_m: float, at_m: float, spread: float) -> float:
    """E I x deflection at `at_m` for a unit load there, the end held, seat at s; `spread` is 3 or 1 [m3]."""
    a, q = half_m - s_m, at_m - s_m
    end = a * a * (a + spread * s_m) / 3.0
    here = q * q * (q + spread * s_m) / 3.0
    cross = spread * s_m * q * a / 3.0 + q * q * (3.0 * a - q) / 6.0
    return here - cross * cross / end


def sleeve_contact(stack: Stack, half_m: float, apart_m: float, at_m: float) -> tuple[float, float]:
    """A rocking leaf meets a rigid sleeve at `at_m` from the middle: (fall, rate).

    fall: how far the leaf comes down there for 1 m of (d_fore - d_aft)/2 at the ends.
    rate: stiffness of the contact on that same measure [N/m], fall^2 / c, where c is the leaf's
    deflection at the sleeve per newton with both ends and the seat(s) held. A load on one side is half
    a symmetric and half an antisymmetric one, which the beam formulas of `pair_rates` solve; on one seat
    (apart 0) the antisymmetric half is a simply supported span, x^2 (l-x)^2 / 3EIl (Roark table 8.1).
    Graduated leaves count with the E I that the stack has for its ends.
    """
    s = apart_m / 2.0
    shared = stack.shared(half_m, s, s > 0.0)
    even = _ends_held(half_m, s, at_m, 3.0) / shared.even
    if s == 0.0:
        fall = at_m / half_m
        odd = at_m**2 * (half_m - at_m) ** 2 / (3.0 * half_m) / shared.even
    else:
        a, q = half_m - s, at_m - s
        fall = (s * q * a / 3.0 + q * q * (3.0 * a - q) / 6.0) / (a * a * (a + s) / 3.0)
        odd = _ends_held(half_m, s, at_m, 1.0) / shared.odd
    return fall, fall * fall * stack.one_leaf_Nm2 / ((even + odd) / 2.0)


def friction_share(stack: Stack, length_m: float, friction: float = DRY_STEEL_FRICTION) -> float:
    """Dry friction at the end as a share of the end load. An estimate.

    Neighbouring leaves slide on each other by t x end slope, and the slope of a cantilever's end is
    3/2l of its deflection. Leaf i of n equal ones passes (n - i)/n of the load on, n - 1 interfaces pass
    (n - 1)/2 of it; graduated leaves pass the whole load at each of their ends. Work in = work out.
    """
    passed = (stack.full - 1) / 2.0 + stack.graduated
    return friction * passed * 1.5 * stack.thickness_m / length_m


@dataclass(frozen=True)
class Arc:
    """The free shape of a leaf: an arc of length `length_m` and radius `radius_m` (inf: flat) [m]."""

    length_m: float
    radius_m: float

    @property
    def half_angle_rad(self) -> float:
        """Slope of the ends against the middle [rad]."""
        return self.length_m / (2.0 * self.radius_m)

    @property
    def chord_m(self) -> float:
        """Straight distance between the ends, 2 R sin(L/2R) [m]."""
        if math.isinf(self.radius_m):
            return self.length_m
        return 2.0 * self.radius_m * math.sin(self.half_angle_rad)

    @property
    def rise_m(self) -> float:
        """Height of the middle over the ends, R (1 - cos(L/2R)) [m]."""
        if math.isinf(self.radius_m):
            return 0.0
        return self.radius_m * (1.0 - math.cos(self.half_angle_rad))

    def flattening_stress_Pa(self, thickness_m: float, E_Pa: float = E_STEEL) -> float:
        """Stress of the skins of a leaf held flat, E t / 2R [Pa] (beam theory: the change of curvature is 1/R)."""
        return E_Pa * thickness_m / (2.0 * self.radius_m)

    @property
    def end_travel_m(self) -> float:
        """How far each end moves outwards when the leaf is pressed flat, (arc - chord)/2 [m]."""
        return (self.length_m - self.chord_m) / 2.0


def end_forces(
    k00: float, k01: float, k11: float, gap: float, rate: float, d0: float, d1: float
) -> tuple[float, float, float, float]:
    """Loads on the two ends of a leaf that can push but not pull: (F0, F1, rock force, energy) [N, N, N, J].

    k..: K [N/m]. gap, rate: contact with the pivot sleeves on the measure (d0 - d1)/2 [m, N/m]; no sleeves:
    rate 0. d0, d1: how far the arms lift the ends of the free leaf [m]; an arm clear of it has d below 0.
    The ends take the places u >= d that make E(u) = 1/2 u.K.u + 1/2 rate max(0, |u0-u1|/2 - gap)^2 least,
    so an end that no arm touches moves freely: on one seat a leaf with one end clear rocks down on to it,
    and both arms carry the same again. F = dE/du. Plain arithmetic, so a compiler can take it as it is.
    """
    e0, e1 = d0, d1
    for free in (-1, 0, 1):
        if free >= 0:
            # End `free` is clear of its arm: it settles where its own force is nil.
            held = d1 if free == 0 else d0
            own = k00 if free == 0 else k11
            loose = -k01 * held / own
            apart = (held - loose) / 2.0
            if rate > 0.0 and abs(apart) > gap:
                side = 1.0 if apart > 0.0 else -1.0
                loose = (rate / 4.0 * held - k01 * held - side * rate * gap / 2.0) / (own + rate / 4.0)
            e0, e1 = (loose, held) if free == 0 else (held, loose)
            # A hair of slack, so that rounding cannot drop the load where an end is just touched.
            if e0 < d0 - 1e-12 or e1 < d1 - 1e-12:
                continue
        lean = (e0 - e1) / 2.0
        over = abs(lean) - gap if rate > 0.0 else 0.0
        rock = rate * over if over > 0.0 else 0.0
        tip = rock / 2.0 if lean > 0.0 else -rock / 2.0
        f0 = k00 * e0 + k01 * e1 + tip
        f1 = k01 * e0 + k11 * e1 - tip
        if free == 0:
            f0 = 0.0
        if free == 1:
            f1 = 0.0
        if f0 >= 0.0 and f1 >= 0.0:
            energy = 0.5 * (k00 * e0 * e0 + 2.0 * k01 * e0 * e1 + k11 * e1 * e1)
            if rate > 0.0 and rock > 0.0:
                energy += 0.5 * rock * rock / rate
            return f0, f1, rock, max(energy, 0.0)
    return 0.0, 0.0, 0.0, 0.0
