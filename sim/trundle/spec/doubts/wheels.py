"""Of the road wheels: size, mass, rubber, how many there are."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import TYPE_CHECKING

from trundle.errors import Problem
from trundle.spec.doubts.loads import Loads
from trundle.spec.wheel import Wheel
from trundle.units import SIDES

if TYPE_CHECKING:
    from trundle.spec.vehicle import Vehicle

ALUMINIUM_KG_M3 = 2_700.0
"""A wheel as heavy as solid aluminium of its size is a pair, or was weighed with its axle: shipped ones have 620 to
1,590 kg/m3."""

SOFT, HARD = 0.15, 0.0012
"""Shares of its radius that a tyre is pressed in, standing: more is flat, less is steel. Shipped ones have 0.004 to
0.026."""


def doubts(vehicle: Vehicle, loads: Loads) -> Iterator[Problem]:
    """Each wheel of the file."""
    for name, wheel in vehicle.wheel.items():
        stations = sum(bogie.stations for bogie in vehicle.bogie.values() if bogie.wheel == name)
        yield from _size(vehicle, wheel, f"wheel.{name}")
        yield from _rubber(wheel, loads.station_N / wheel.abreast, f"wheel.{name}")
        if "abreast" not in wheel.model_fields_set:
            many = round(SIDES * stations * wheel.abreast)
            yield Problem(
                f"left out: two wheels abreast on each side are assumed, {many} wheels in all", f"wheel.{name}.abreast"
            )
        elif wheel.abreast > 2:
            yield Problem(
                f"{wheel.abreast} wheels side by side on one side of the hull: it is not both sides",
                f"wheel.{name}.abreast",
            )


def _size(vehicle: Vehicle, wheel: Wheel, at: str) -> Iterator[Problem]:
    long = vehicle.hull.length_mm
    if not 0.02 < wheel.radius_mm / long < 0.26:
        yield Problem(
            f"a wheel of {2 * wheel.radius_mm:g} mm diameter under a hull {long:g} mm long (hull.length_mm): "
            "the radius, and "
            "mm?",
            f"{at}.radius_mm",
        )
    if not 0.08 < wheel.width_mm / wheel.radius_mm < 2.5:
        yield Problem(
            f"a wheel of radius {wheel.radius_mm:g} mm ({at}.radius_mm) and {wheel.width_mm:g} mm width",
            f"{at}.width_mm",
        )
    dense = wheel.mass_kg / (math.pi * wheel.radius_mm**2 * wheel.width_mm * 1e-9)
    if wheel.mass_kg > 0.25 * vehicle.hull.mass_kg:
        yield Problem(f"it is {wheel.mass_kg:g}, a quarter of the hull or more", f"{at}.mass_kg")
    elif not 100.0 < dense < ALUMINIUM_KG_M3:
        yield Problem(
            f"{wheel.mass_kg:g} kg for a wheel of radius {wheel.radius_mm:g} and {wheel.width_mm:g} mm width "
            f"is {dense:.0f} "
            "kg/m3 (300 to 2000 is usual): that of one wheel?",
            f"{at}.mass_kg",
        )


def _rubber(wheel: Wheel, load_N: float, at: str) -> Iterator[Problem]:
    if wheel.rated_load_N is not None and not 0.15 < wheel.rated_load_N / load_N < 12.0:
        yield Problem(
            f"the rubber's rate is given for {wheel.rated_load_N:g} N on a wheel, and about {load_N:.0f} N "
            "stand on each",
            f"{at}.rated_load_N",
        )
    pressed = load_N / wheel.rubber_rate_N_per_mm / wheel.radius_mm
    if not HARD < pressed < SOFT:
        yield Problem(
            f"about {load_N:.0f} N stand on each wheel and press its tyre in by "
            f"{load_N / wheel.rubber_rate_N_per_mm:.2g} mm, "
            f"{pressed:.2%} of its radius: in N for each mm?",
            f"{at}.rubber_rate_N_per_mm",
        )
