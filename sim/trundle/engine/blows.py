"""Whether a step can follow the blows that belly, sprocket and idler may take."""

from __future__ import annotations

import math

from trundle.errors import InputError, Problem
from trundle.model.arrays import SIDES
from trundle.model.assembly import Assembly
from trundle.model.give import local_mass_kg
from trundle.units import N_PER_MM

STIFFEST = {"belly": 1.0, "sprocket": 1.9, "idler": 1.9}
"""Most of omega dt that a blow may have. A step is unstable from 2 on; four places of the belly may strike at once
(omega goes with the root of how many)."""


def check_blows(assembly: Assembly, dt_s: float) -> None:
    """Raises InputError if a part of the hull is so hard that a blow on it is unstable at steps of dt_s [s]."""
    model = assembly.model
    mass, inertia = float(model.bodies[0].mass), float(model.bodies[0].inertia)
    levers = {"belly": max(abs(float(corner.x)) for corner in model.belly)}
    for name, ring in zip(assembly.ring_names, model.rings, strict=True):
        levers[name] = abs(float(ring.x))
    for give in assembly.gives:
        there = local_mass_kg(mass, inertia, levers[give.part])
        sides = 1.0 if give.part == "belly" else SIDES
        rate = give.taken_N_per_m
        most = there * (STIFFEST[give.part] / dt_s) ** 2 / sides
        if rate > most:
            finer = dt_s * math.sqrt(most / rate) * 1e3
            raise InputError(
                Problem(
                    f"the {give.part} is so hard ({rate / N_PER_MM:.0f} N/mm) that a blow there is shorter than steps "
                    f"of {dt_s * 1e3:g} ms can follow",
                    field=give.field,
                    allowed=f"up to {most / N_PER_MM:.0f} N/mm on this hull, or steps of {finer:.2g} ms or less",
                )
            )
