"""Bogies beside each other: wheels of two through their swings, and the wheels of one at the other's bracket."""

from __future__ import annotations

import itertools
from collections.abc import Iterator

import numpy as np

from trundle.bogies.parts import Parts
from trundle.making.fits.case import Case
from trundle.making.fits.common import CLEAR_MM, EQUAL_MM
from trundle.making.fits.outline import Outline, Points, disc, room_mm
from trundle.making.fits.remark import Remark, mm
from trundle.making.fits.solids import Solid, solids
from trundle.spec.vehicle import Vehicle
from trundle.units import MM

ANGLES = 9
"""Angles of each arm and beam that are looked at."""


def checks(vehicle: Vehicle, parts: Parts) -> Iterator[Remark]:
    """Wheels of every two bogies that are next to each other."""
    reach = {name: _axles_mm(parts, name) for name in vehicle.bogie}
    along = sorted(vehicle.bogie, key=lambda n: -float(np.mean(reach[n][:, 0])))
    for fore, aft in itertools.pairwise(along):
        a, b = reach[fore], reach[aft]
        radii = (vehicle.wheel[vehicle.bogie[n].wheel].radius_mm for n in (fore, aft))
        apart = np.hypot(a[:, None, 0] - b[None, :, 0], a[:, None, 1] - b[None, :, 1])
        room = float(apart.min()) - sum(radii)
        if room < CLEAR_MM - EQUAL_MM:
            told = f"runs {mm(-room)} mm into" if room < -EQUAL_MM else f"comes within {mm(max(room, 0.0))} mm of"
            yield Remark(
                "would foul", f"bogie.{aft}.at_mm", f"a wheel {told} one of {fore}, each as far as its arm lets it",
                "the two bogies further apart, smaller wheels, or stops nearer to each other", (aft,),
            )  # fmt: skip


def brackets(some: list[Case]) -> Iterator[Remark]:
    """Wheels of one bogie at the plates, pivots and hull bolts of the next."""
    inline = [c for c in some if c.in_line]
    for here, other in itertools.permutations(inline, 2):
        radius = other.wheel.radius_mm
        first = here.swings[0]
        middle = first.pivot_x / MM - here.pivot_mm(first)[0], first.pivot_y / MM
        axles = _axles_mm(other.parts, other.bogie_name) - middle
        across = {(s.low_mm, s.high_mm) for s in solids(other) if s.what == "wheel"}
        least: tuple[float, Solid] | None = None
        for solid in solids(here):
            if solid.of is not None or solid.what == "hull over its bracket":
                continue
            if not any(low < solid.high_mm and solid.low_mm < high for low, high in across):
                continue
            room = min(room_mm(solid.outline, disc(ax, ay, radius)) for ax, ay in _outermost(axles, solid.outline))
            if least is None or room < least[0]:
                least = room, solid
        if least is not None and least[0] < CLEAR_MM - EQUAL_MM:
            room, solid = least
            told = f"runs {mm(-room)} mm into" if room < -EQUAL_MM else f"passes at {mm(max(room, 0.0))} mm"
            plate = solid.what in ("bracket's plate", "hull bolt's head")
            shorter = "plate" if plate else "sleeve"
            yield here.fault(
                "would foul", "bracket.length_mm" if plate else "pivot.sleeve_mm",
                f"a wheel of the next bogie {told} the {solid.what}",
                f"a shorter {shorter}, or the bogies further apart",
            )  # fmt: skip


def _outermost(axles: Points, outline: Outline) -> Points:
    """The few places of an axle that come nearest to an outline's middle."""
    middle = outline.points.mean(axis=0)
    return axles[np.argsort(((axles - middle) ** 2).sum(axis=1))[:12]]


def _axles_mm(parts: Parts, bogie: str) -> Points:
    """Every place that a bogie's axles can have, one side's, hull frame [mm], shape (n, 2)."""
    found = []
    for part in parts.swings:
        if part.bogie != bogie or not part.wheels:
            continue
        carrier = parts.swings[part.parent - 1] if part.parent else None
        for of in np.linspace(carrier.bump, carrier.droop, ANGLES) if carrier is not None else (0.0,):
            x, y, turned = part.pivot_x, part.pivot_y, 0.0
            if carrier is not None:
                turned = -carrier.sign * of
                c, s = np.cos(turned), np.sin(turned)
                x, y = carrier.pivot_x + c * x - s * y, carrier.pivot_y + s * x + c * y
            for own in np.linspace(part.bump, part.droop, ANGLES):
                turn = turned - part.sign * own
                c, s = np.cos(turn), np.sin(turn)
                found += [(x + c * w.x - s * w.y, y + s * w.x + c * w.y) for w in part.wheels]
    return np.array(found) / MM
