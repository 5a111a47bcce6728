"""A spring fitted to its place: of all that could be made of the stock the one that suits best, and what it cannot do.

The spring answers for itself (trundle.springs); here it is only set to the load and asked.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace

from pydantic import ValidationError
from scipy.optimize import brentq

from trundle.design.stock import Place, StockAtHand, Try
from trundle.errors import InputError
from trundle.springs.base import Spring
from trundle.springs.figures import Figures
from trundle.springs.laws import Arm, Mount
from trundle.units import MM, G

HEAVE_HZ = 2.8
"""Heave that is aimed at: the middle of LOW_HZ and HIGH_HZ by ratio."""

LOW_HZ, HIGH_HZ = 2.0, 4.0
"""Heave of a vehicle that rides well on such travel (usual of small tracked vehicles, no source)."""

STANDING_SHARE, BUMP_SHARE = 0.6, 0.75
"""Of what a spring can take: standing, and at full bump (as the sheet has them for yield)."""

HARDEST_SHARE = 0.92
"""At full bump, at most, where the travel would be too little otherwise."""

LEAST_BUMP_MM = 10.0
"""Travel to the bump stop that is left in any case."""

LEAST_MM = 1.0
"""Less travel than this, either way, is no spring."""

LEFT_M = 1.5e-3
"""A spring is still pressed in by so much at the droop stop, or by 0.3 of what it is standing [m]."""

OVERRUN_RAD = math.radians(15.0)
"""How far past its stops a law is asked for (as bogies do)."""

HIGHEST, LOWEST = -0.6, 0.78
"""Sine of an arm's angle below the horizontal, at most, at its stops."""


@dataclass(frozen=True)
class Want:
    """What is wanted of it, beside its place: travel from standing to the two stops [mm]."""

    bump_mm: float
    droop_mm: float


@dataclass(frozen=True)
class Fit:
    """A spring in its place. made: it at a setting; setting: where it carries the load; heave_Hz: of this load on this
    spring; bump_mm, droop_mm: travel that it leaves; standing, bump: shares of what it can take."""

    stock: StockAtHand
    place: Place
    made: Callable[[float], Spring]
    setting: float
    range: tuple[float, float]
    heave_Hz: float
    bump_mm: float
    droop_mm: float
    standing: float
    bump: float
    cost: float
    said: str
    want: Want

    @property
    def spring(self) -> Spring:
        """As it is set."""
        return self.made(self.setting)

    @property
    def drop_mm(self) -> float:
        """The axle below the pivot, standing."""
        return self.place.arm_mm * math.sin(self.place.stands_rad)

    @property
    def bump_deg(self) -> float:
        """Arm angle at the bump stop, below the horizontal."""
        return _angle_deg(self.drop_mm - self.bump_mm, self.place.arm_mm)

    @property
    def droop_deg(self) -> float:
        """Arm angle at the droop stop."""
        return _angle_deg(self.drop_mm + self.droop_mm, self.place.arm_mm)

    def hardness(self, more: float = 1.0) -> float:
        """The part of its badness that is heave's."""
        heave = more * self.heave_Hz
        off = abs(math.log(heave / HEAVE_HZ))
        return off + (3.0 * off if not LOW_HZ * 1.03 <= heave <= HIGH_HZ * 0.97 else 0.0)

    def badness(self, more: float = 1.0) -> float:
        """0 of one that does all; the worse the more. more: heave of the whole vehicle over that of this spring."""
        bad = self.hardness(more)
        bad += 6.0 * max(self.standing - STANDING_SHARE, 0.0) + 40.0 * max(self.standing - 0.97, 0.0)
        bad += 1.5 * max(1.0 - self.bump_mm / self.want.bump_mm, 0.0)
        bad += 10.0 * max(1.0 - self.bump_mm / LEAST_BUMP_MM, 0.0)
        bad += 0.4 * max(1.0 - self.droop_mm / self.want.droop_mm, 0.0)
        return bad + self.cost + 2.0 * max(self.bump - BUMP_SHARE, 0.0)


def best_fit(stock: StockAtHand, places: Iterable[Place], want: Want, more: float = 1.0) -> Fit | None:
    """The best spring of this stock over several places (arms of several lengths, wanted rates); None if none at all
    carries the load there. more: as in `Fit.badness`."""
    found: Fit | None = None
    for place in places:
        for one in stock.tries(place):
            rated = fitted(stock, one, place, want)
            # Its travel takes the longest to look into: only of what could be better.
            if rated is None or (found is not None and rated.hardness(more) + rated.cost > found.badness(more)):
                continue
            fit = travels(rated)
            if fit is not None and (found is None or fit.badness(more) < found.badness(more)):
                found = fit
    return found


def softest(stock: StockAtHand, places: Iterable[Place], want: Want) -> Fit | None:
    """Of all springs of this stock that carry their load, whatever travel they leave, the softest; None: none does."""
    fits = (fitted(stock, one, place, want) for place in places for one in stock.tries(place))
    return min((f for f in fits if f is not None), key=lambda f: f.heave_Hz, default=None)


def fitted(stock: StockAtHand, one: Try, place: Place, want: Want) -> Fit | None:
    """A spring set to carry its load; None where no setting does. What travel it leaves is not looked into."""
    wanted_Nm = place.load_N * place.arm_mm * MM * math.cos(place.stands_rad)
    mount = _mount(place, place.stands_rad, place.stands_rad)

    def over(setting: float) -> float:
        return _at(one.made(setting), place, place.stands_rad, mount).torques_Nm[0] - wanted_Nm

    try:
        if over(one.low) > 0.0 or over(one.high) < 0.0:
            return None
        setting = float(brentq(over, one.low, one.high, xtol=1e-4))
        return _rated(stock, one, place, want, setting)
    except (InputError, ValidationError):
        return None  # such a spring cannot be: nothing is lost, there are others


def _rated(stock: StockAtHand, one: Try, place: Place, want: Want, setting: float) -> Fit | None:
    spring = one.made(setting)
    mount = _mount(place, place.stands_rad - 0.5, place.stands_rad + 0.5)

    def force_N(angle_rad: float) -> float:
        torque = _at(spring, place, angle_rad, mount).torques_Nm[0]
        return torque / (place.arm_mm * MM * math.cos(angle_rad))

    step = 1e-3
    lower, upper = place.stands_rad + step, place.stands_rad - step
    rise_m = place.arm_mm * MM * (math.sin(lower) - math.sin(upper))
    rate = (force_N(upper) - force_N(lower)) / rise_m
    if rate <= 0.0:
        return None
    heave = math.sqrt(rate * G / place.load_N) / (2.0 * math.pi)
    return Fit(
        stock, place, one.made, setting, (one.low, one.high), heave, 0.0, 0.0, 0.0, 0.0, one.cost, one.said, want
    )


def travels(fit: Fit) -> Fit | None:
    """The fit with the travel that its spring leaves; None where that is next to nothing, or it cannot work there."""
    try:
        return _with_travel(fit)
    except (InputError, ValidationError):
        return None


def _with_travel(fit: Fit) -> Fit | None:
    place, want, spring, drop = fit.place, fit.want, fit.spring, fit.drop_mm
    mount = _mount(place, place.stands_rad - 0.5, place.stands_rad + 0.5)

    def figures(down_mm: float) -> Figures:
        return _at(spring, place, math.asin((drop + down_mm) / place.arm_mm), mount)

    def share(up_mm: float) -> float:
        return fit.stock.share(spring, figures(-up_mm))

    most = min(want.bump_mm, drop - HIGHEST * place.arm_mm)
    bump = _largest(lambda up: share(up) <= BUMP_SHARE, most)
    if bump < 0.6 * most:
        bump = max(bump, min(_largest(lambda up: share(up) <= HARDEST_SHARE, most), 0.6 * most))

    rest = figures(0.0)
    least = min(0.3 * rest.top_deflection, LEFT_M if rest.deflection_unit == "m" else math.inf)

    def works(down_mm: float) -> bool:
        return figures(down_mm).top_deflection > least

    # The spring still pushes a little at the droop stop.
    droop = _largest(works, max(min(want.droop_mm, LOWEST * place.arm_mm - drop), 0.0))
    for less in (1.0, 0.75, 0.5, 0.3):
        if bump < LEAST_MM or less * droop < LEAST_MM:
            return None
        found = replace(
            fit, bump_mm=round(bump, 1), droop_mm=round(less * droop, 1), standing=share(0.0), bump=share(bump)
        )
        # A strut that leans back over the pivot lifts its arm where it hangs low.
        if (works_there := _works_between_stops(found)) is not None:
            return works_there
    return None


def _works_between_stops(fit: Fit) -> Fit | None:
    """The fit, if its spring's law holds from stop to stop and past them."""
    bump, droop = math.radians(fit.bump_deg), math.radians(fit.droop_deg)
    arm = Arm(fit.place.arm_mm * MM, bump - OVERRUN_RAD, droop + OVERRUN_RAD, OVERRUN_RAD)
    try:
        fit.spring.mounted(Mount(arm, (fit.place.apart_mm or 0.0) * MM))
    except InputError:
        return None
    return fit


def with_setting(fit: Fit, setting: float) -> Fit | None:
    """The same at another setting, kept within its range, with the travel that is left then; None where none is."""
    low, high = fit.range
    return travels(replace(fit, setting=min(max(setting, low), high)))


def _largest(holds: Callable[[float], bool], most: float) -> float:
    """The largest number up to `most` of which it holds, if it does so from 0 to there."""
    if holds(most):
        return most
    low, high = 0.0, most
    for _ in range(9):
        middle = 0.5 * (low + high)
        low, high = (middle, high) if holds(middle) else (low, middle)
    return low


def _at(spring: Spring, place: Place, angle_rad: float, mount: Mount) -> Figures:
    return spring.at((angle_rad,) * spring.arms, mount)


def _mount(place: Place, bump_rad: float, droop_rad: float) -> Mount:
    return Mount(Arm(place.arm_mm * MM, bump_rad, droop_rad), (place.apart_mm or 0.0) * MM)


def _angle_deg(below_mm: float, arm_mm: float) -> float:
    return math.degrees(math.asin(min(max(below_mm / arm_mm, -0.99), 0.99)))
