"""Bogies beside each other and beside the hull: wheels of two through their swings, tracks beside the belly plate."""

from __future__ import annotations

import itertools
from collections.abc import Iterator

import numpy as np

from trundle.bogies.parts import Parts
from trundle.making.fits.common import CLEAR_MM, EQUAL_MM
from trundle.making.fits.outline import Points
from trundle.making.fits.remark import Remark, mm
from trundle.spec.vehicle import Vehicle
from trundle.units import MM

ANGLES = 9
"""Angles of each arm and beam that are looked at."""


def checks(vehicle: Vehicle, parts: Parts) -> Iterator[Remark]:
    """Every two bogies whose wheels could meet, then the belly."""
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
