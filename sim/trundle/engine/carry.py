"""Whether the springs carry the hull, or all of its arms stand on their bump stops."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from trundle.errors import Problem, StandingError
from trundle.model.arrays import Floats
from trundle.model.assembly import Assembly


def check_carried(assembly: Assembly, q: Floats) -> None:
    """Raises StandingError if every sprung arm of a vehicle at rest stands on its bump stop.

    q: x, y [m], pitch and joint angles [rad] of the standing vehicle.
    """
    parts = assembly.parts
    springs: list[float] = []
    stops: list[float] = []
    radii: list[float] = []
    for place in parts.springs:
        angles = tuple(float(q[3 + j]) for j in place.swings)
        springs += place.spring.at(angles, place.mount).torques_Nm
        for j, angle in zip(place.swings, angles, strict=True):
            part = parts.swings[j]
            stops.append(part.pad.force_N(part.radius * (part.bump - angle)))
            radii.append(part.radius)
    if (problem := not_carried(springs, stops, radii)) is not None:
        raise StandingError(replace(problem, allowed=f"{problem.allowed}: {_sizes(assembly)}"))


def _sizes(assembly: Assembly) -> str:
    """The fields by which the springs are made stronger, the first bogie of each kind."""
    found = {type(p.spring): f"{p.path} has {p.spring.sized_by}" for p in reversed(assembly.parts.springs)}
    return "; ".join(found.values())


def not_carried(spring_Nm: Sequence[float], stop_N: Sequence[float], radius_m: Sequence[float]) -> Problem | None:
    """What to say if all of these arms stand on their bump stops; None if one does not, or there is none.

    spring_Nm: torque of its spring about each arm's pivot [N.m]; stop_N: push of its bump stop, at radius_m from
    the pivot [N, m]; 0 where the arm is off it.
    """
    if not spring_Nm or min(stop_N) <= 0.0:
        return None
    spring = sum(spring_Nm)
    wanted = spring + sum(force * radius for force, radius in zip(stop_N, radius_m, strict=True))
    return Problem(
        f"the springs cannot carry the hull: pressed to the bump stops they give {spring / wanted:.0%} "
        f"of what it takes ({spring / len(spring_Nm):.0f} of {wanted / len(spring_Nm):.0f} N.m at each pivot); "
        "every arm rests on its bump stop",
        field="bogie",
        allowed=f"springs that carry {wanted / spring:.1f} times as much at bump, and more for any travel"
        if spring > 0.0
        else "springs that push at bump",
    )
