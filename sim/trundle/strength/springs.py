"""Springs: their stress follows from where their arms stand."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping

import numpy as np

from trundle.bogies.parts import SpringPart
from trundle.model.arrays import Floats
from trundle.model.assembly import Assembly
from trundle.strength.limbs import Instants
from trundle.strength.margin import PartMargin
from trundle.units import MPA


def hardest_rows(place: SpringPart, joints: tuple[str, ...], angle_rad: Mapping[str, Floats]) -> list[int]:
    """The rows of a run that may be a spring's worst. angle_rad: of each joint over the run [rad], by name.

    A leaf across two arms is bent most by the sum of its arms' rise on one seat and by the higher one in a
    clamp, so those moments are tried.
    """
    series = [angle_rad[joints[j]] for j in place.swings]
    return sorted({int(np.argmin(s)) for s in series} | {int(np.argmin(sum(np.sin(s) for s in series)))})


def angles_at(
    place: SpringPart, joints: tuple[str, ...], angle_rad: Mapping[str, Floats], row: int
) -> tuple[float, ...]:
    """Angles of the spring's arm or arms in a row [rad]."""
    return tuple(float(angle_rad[joints[j]][row]) for j in place.swings)


def first_row_over(place: SpringPart, joints: tuple[str, ...], angle_rad: Mapping[str, Floats]) -> int | None:
    """The depth of the first blow in which a spring passes its yield stress: of the rows where an arm, or both
    together, are furthest up before they go down again; None if it never does."""
    series = [angle_rad[joints[j]] for j in place.swings]
    deepest: set[int] = set()
    for angle in (*series, np.sum([np.sin(s) for s in series], axis=0)):
        turns = (angle[1:-1] <= angle[:-2]) & (angle[1:-1] < angle[2:])
        deepest.update((np.flatnonzero(turns) + 1).tolist())
    for row in sorted({*deepest, *hardest_rows(place, joints, angle_rad)}):
        figures = place.spring.at(angles_at(place, joints, angle_rad, row), place.mount)
        if figures.stress_Pa > figures.yield_Pa:
            return row
    return None


def spring_margins(assembly: Assembly, at: Instants) -> Iterator[PartMargin]:
    """Yield over the highest stress of each spring whose stress and steel are known."""
    for place in assembly.parts.springs:
        found = []
        for row in hardest_rows(place, assembly.joint, at.angle_rad):
            figures = place.spring.at(angles_at(place, assembly.joint, at.angle_rad, row), place.mount)
            if figures.stress_Pa > 0.0 and math.isfinite(figures.yield_Pa):
                found.append((figures.yield_Pa / figures.stress_Pa, row, figures))
        if not found:
            continue
        margin, row, figures = min(found, key=lambda f: f[0])
        station = next(n for s in place.swings for n in _stations(assembly, s))
        made = place.spring.made_of().steel
        gives = first_row_over(place, assembly.joint, at.angle_rad) if margin < 1.0 else None
        yield PartMargin(
            kind="spring",
            name=place.name,
            title=f"{place.spring.kind_name()}, {made.name}" if made else place.spring.kind_name(),
            margin=margin,
            stress_MPa=figures.stress_Pa / MPA,
            limit_MPa=figures.yield_Pa / MPA,
            time_s=float(at.time_s[row]),
            at_m=float(at.at_m[station][row]),
            along_N=0.0,
            across_N=0.0,
            where=f"{figures.measure} {figures.where}".strip(),
            load_N=figures.top_load_N,
            gives_s=None if gives is None else float(at.time_s[gives]),
        )


def _stations(assembly: Assembly, swing: int) -> Iterator[str]:
    """The wheel stations that a swing part carries, or that hang on what it carries."""
    yield from (w.name for w in assembly.parts.swings[swing].wheels)
    for j, part in enumerate(assembly.parts.swings):
        if part.parent == swing + 1:
            yield from _stations(assembly, j)
