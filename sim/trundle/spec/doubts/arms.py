"""Of the arms: where they are, how long and heavy, their stops, dampers and friction."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import TYPE_CHECKING

from trundle.errors import InputError, Problem
from trundle.spec.doubts.loads import Held, Loads, held
from trundle.spec.places import places
from trundle.units import DEG, MM, G

if TYPE_CHECKING:
    from trundle.spec.vehicle import Vehicle

SMALL_DEG = 17.0
"""Travel below which an arm hardly moves: shipped ones have 31 to 48 deg."""

STEEL_BAR_KG_PER_M = 60.0
"""A solid square steel bar of 88 mm: no arm is that heavy."""

HEAVE_HZ = 2.5
"""Where a sprung hull swings, for what is much damping: 2 to 4 Hz is usual."""


def doubts(vehicle: Vehicle, loads: Loads) -> Iterator[Problem]:
    """Each bogie; what they share is told once by whoever asks."""
    yield from _places(vehicle)
    hull = vehicle.hull
    longest = max((h.arm.arm_mm for h in held(vehicle)), default=0.0)
    if longest > 60.0 * hull.mass_kg**0.5:
        yield Problem(
            f"it is {hull.mass_kg:g} but the longest arm is {longest:g} mm: is the mass in kg and the length in mm?",
            "hull.mass_kg",
        )
    for one in held(vehicle):
        yield from _make(vehicle, one)
        yield from _stops(one, loads.station_N * one.stations)
        yield from _losses(one, loads.station_N * one.stations)


def _places(vehicle: Vehicle) -> Iterator[Problem]:
    hull = vehicle.hull
    for name, bogie in vehicle.bogie.items():
        x, y = bogie.at_mm
        at = f"bogie.{name}.at_mm"
        if not -0.1 * hull.length_mm < x < 1.1 * hull.length_mm:
            yield Problem(f"it is {x:g} mm forward of the tail of a hull {hull.length_mm:g} mm long", at)
        if abs(y) > 0.3 * hull.height_mm:
            yield Problem(
                f"it is {y:g} mm above the belly plate of a hull {hull.height_mm:g} mm high: from the belly "
                "plate, not from "
                "the ground?",
                at,
            )
    lowest = min((y for _, y in hull.belly_mm), default=0.0)
    for p in places(vehicle):
        clear = lowest - (p.y - p.radius)
        if clear < 0.15 * p.radius:
            yield Problem(
                f"at mid-travel the belly is {clear:.0f} mm above the ground under wheel {p.name}: at_mm, the wheel's "
                "radius_mm and the stops set that",
                f"{p.field}.at_mm",
            )


def _make(vehicle: Vehicle, one: Held) -> Iterator[Problem]:
    arm, name = one.arm, one.path.split(".")[1]
    wheel = vehicle.wheel.get(vehicle.bogie[name].wheel)
    if wheel is not None and arm.arm_mm < 0.5 * wheel.radius_mm:
        yield Problem(f"an arm of {arm.arm_mm:g} mm for a wheel of radius {wheel.radius_mm:g} mm", f"{one.path}.arm_mm")
    per_m = arm.arm_mass_kg / (arm.arm_mm * MM)
    if not 0.3 < per_m < STEEL_BAR_KG_PER_M:
        yield Problem(
            f"{arm.arm_mass_kg:g} kg for an arm of {arm.arm_mm:g} mm, {per_m:.3g} kg for each metre: that of one arm, "
            "without wheels?",
            f"{one.path}.arm_mass_kg",
        )


def _stops(one: Held, load_N: float) -> Iterator[Problem]:
    stops, at = one.arm.stops, f"{one.path}.stops"
    try:
        bump, droop = (a / DEG for a in stops.angles_rad(one.arm.arm_mm, one.path))
    except InputError:
        return  # refused where the vehicle is put together, with the field
    names = [n for n in _ENDS if getattr(stops, n) is not None]
    if droop - bump < SMALL_DEG:
        yield Problem(
            f"the arm travels only {droop - bump:.3g} deg, from {bump:.3g} deg below level at bump to "
            f"{droop:.3g} at droop: "
            "is that an angle below level? How far it travels is travel_deg or travel_mm",
            f"{at}.{names[-1]}",
        )
    if droop < 5.0:
        yield Problem(
            f"hanging at its droop stop the arm is {droop:.3g} deg below level: the axle is nearly always "
            "lower than the "
            "pivot there",
            f"{at}.{names[-1]}",
        )
    if abs(bump) > 35.0:
        yield Problem(
            f"at its bump stop the arm is {abs(bump):.3g} deg {'above' if bump < 0 else 'below'} level: below "
            "is positive",
            f"{at}.{names[0]}",
        )
    pad = stops.felt_pad(one.arm.arm_mm)
    pressed, field = pad.pressed_by(load_N) * pad.lever / MM, "pad_rate_N_per_mm" if stops.pad is None else "pad"
    if not 0.01 < pressed < 60.0:
        yield Problem(
            f"the load of one arm, about {load_N:.0f} N, presses the pad in by {pressed:.2g} mm: in N for each mm?",
            f"{at}.{field}",
        )
    if pad.limit is not None and pressed > pad.limit.most_mm:
        flat = "pressed flat" if pad.limit.flat else "pressed further than it was measured"
        yield Problem(
            f"the load of one arm, about {load_N:.0f} N, presses the pad in by {pressed:.1f} mm: it is {flat} before "
            "any blow",
            f"{at}.{field}",
        )


_ENDS = (
    "bump_below_level_deg", "bump_axle_above_pivot_mm", "droop_below_level_deg", "droop_axle_above_pivot_mm",
    "travel_deg", "travel_mm",
)  # fmt: skip


def _losses(one: Held, load_N: float) -> Iterator[Problem]:
    arm = one.arm
    critical = 2.0 * load_N / G * 2.0 * math.pi * HEAVE_HZ * MM
    for end in ("bump_N_s_per_mm", "droop_N_s_per_mm"):
        damp = getattr(arm.damper, end)
        if damp is not None and damp > 5.0 * critical:
            yield Problem(
                f"it is {damp / critical:.0f} times as much as stops all swinging at {HEAVE_HZ:g} Hz: in N "
                "for each mm/s?",
                f"{one.path}.damper.{end}",
            )
    turns = load_N * arm.arm_mm * MM
    if arm.pivot_friction_Nm > 0.5 * turns:
        yield Problem(
            f"it is {arm.pivot_friction_Nm:g}, and the load turns the arm with about {turns:.0f} Nm: it would stick",
            f"{one.path}.pivot_friction_Nm",
        )
