"""How a leaf is pressed to its curve: over which former, on what supports, how often, how deep, with what force."""

from __future__ import annotations

import math
from dataclasses import dataclass

from trundle.errors import InputError, Problem
from trundle.steel.materials import Steel
from trundle.steel.press import Press, Strip, hinge_force, one_press, spacing_within, suited_span
from trundle.steel.rebend import former_radius, minimum_radius
from trundle.units import MM

WITHIN_M = 1e-3
"""How near to the curve the corners that presses make have to stay, where nothing else is said [m]."""


@dataclass(frozen=True)
class LeafToPress:
    """A leaf to be bent from flat. radius_m: wanted, at the middle of its thickness; flat_m: length in the middle that
    stays flat [m]."""

    name: str
    width_m: float
    thickness_m: float
    length_m: float
    radius_m: float
    flat_m: float
    steel: Steel

    def strip(self, strong: bool) -> Strip:
        """At its steel's least yield, or as strong as a piece of it may well be."""
        of = self.steel
        return Strip(self.width_m, self.thickness_m, of.strongest_Pa if strong else of.yield_Pa, of.E_Pa)


@dataclass(frozen=True)
class Shop:
    """What the builder has. press_N: the most that the press gives, inf: not said; span_m: between its supports,
    None: to be chosen; nose_m: radius of what presses, None: a former made for the leaf; within_m: see WITHIN_M."""

    press_N: float = math.inf
    span_m: float | None = None
    nose_m: float | None = None
    within_m: float = WITHIN_M


@dataclass(frozen=True)
class Plan:
    """How one leaf is pressed. Of pairs the first is for the steel's least yield, the second for the strongest piece
    of it.

    former_m: radius of the former's face, None where no radius springs back to what is wanted. count, spacing_m:
    presses, and how far from one to the next; off_m: how far the corners lie off the curve. hinge_Nm: moment that
    bends it. press: None where the nose cannot on that span. span_m: None where no span does within the leaf's length.
    straight_m: at either end what no press reaches; end_off_m: how far its end lies off the curve for that, if it is
    left so; spare_m: by how much to leave the blank longer at either end, to be cut off later.
    """

    leaf: LeafToPress
    former_m: tuple[float | None, float | None]
    count: int
    spacing_m: float
    off_m: float
    span_m: float | None
    hinge_Nm: tuple[float, float]
    begins_N: tuple[float, float]
    press: tuple[Press | None, Press | None]
    straight_m: float
    end_off_m: float
    spare_m: float

    @property
    def most_N(self) -> tuple[float, float]:
        """The most force that it takes [N]; inf where it cannot be done so."""
        low, high = (math.inf if p is None else p.force_N for p in self.press)
        return low, high


def plan(leaf: LeafToPress, shop: Shop) -> Plan:
    """Raises InputError for supports that are further apart than the leaf is long."""
    curved = leaf.length_m - leaf.flat_m
    # Both halves alike: an even number where the middle stays flat.
    apart = spacing_within(leaf.radius_m, shop.within_m)
    pieces = 2 if leaf.flat_m > 0.0 else 1
    count = pieces * max(math.ceil(curved / pieces / apart - 1e-9), 1)
    spacing = curved / count
    angle = spacing / leaf.radius_m
    strips = leaf.strip(False), leaf.strip(True)
    formers = tuple(_former(leaf, s) for s in strips)
    noses = tuple(shop.nose_m if shop.nose_m is not None else f for f in formers)
    span = shop.span_m
    if span is not None and span > leaf.length_m:
        raise InputError(
            Problem(
                f"supports {span / MM:g} mm apart, and the {leaf.name} is {leaf.length_m / MM:g} mm long",
                argument="span_mm",
                allowed=f"up to {leaf.length_m / MM:g}",
            )
        )
    if span is None and noses[1] is not None:
        least = minimum_radius(leaf.thickness_m, leaf.steel)
        for press_N, tightest in ((shop.press_N, least), (shop.press_N, 0.0), (math.inf, 0.0)):
            if (span := suited_span(strips[1], noses[1], angle, leaf.length_m, press_N, tightest)) is not None:
                break
    presses = tuple(_press(s, span, n, angle) for s, n in zip(strips, noses, strict=True))
    reach = 0.0 if span is None else span / 2.0
    straight = max(reach, spacing / 2.0)
    return Plan(
        leaf,
        (formers[0], formers[1]),
        count,
        spacing,
        spacing**2 / (8.0 * leaf.radius_m),
        span,
        (strips[0].hinge_Nm, strips[1].hinge_Nm),
        (_begins(strips[0], span), _begins(strips[1], span)),
        (presses[0], presses[1]),
        straight,
        leaf.radius_m * (1.0 - math.cos(min(straight / leaf.radius_m, math.pi))),
        max(reach - spacing / 2.0, 0.0),
    )


def _former(leaf: LeafToPress, strip: Strip) -> float | None:
    try:
        bent = former_radius(leaf.radius_m, leaf.thickness_m, strip.yield_Pa, E_Pa=strip.E_Pa)
    except InputError:
        return None
    return bent - 0.5 * leaf.thickness_m


def _press(strip: Strip, span_m: float | None, nose_m: float | None, angle_rad: float) -> Press | None:
    if span_m is None or nose_m is None:
        return None
    try:
        return one_press(strip, span_m, nose_m, angle_rad)
    except InputError:
        return None


def _begins(strip: Strip, span_m: float | None) -> float:
    return math.inf if span_m is None else hinge_force(strip, span_m)
