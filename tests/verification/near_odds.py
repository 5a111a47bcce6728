"""Eight near runs against many at random in the same neighbourhood: `python -m tests.verification.near_odds`."""

from __future__ import annotations

import statistics
from collections.abc import Iterator
from dataclasses import dataclass

import trundle
from tests.measured import Measurement, no_arguments, table
from trundle.findings import figures
from trundle.spec.shipped import names

COURSES = ("kerb-50", "kerb-100")
MANY = 400
ROUNDING = 1e-9
"""Share of a figure within which two are the same."""


@dataclass(frozen=True)
class Pair:
    """A vehicle over a course. cases: figures that both have; outside: those of them whose median over the many lies
    without the range of the eight; over: how many of the eight and of the many reach the end."""

    vehicle: str
    course: str
    cases: int
    outside: tuple[str, ...]
    over: tuple[int, int]


def compared(vehicle: str, course: str, many: int = MANY, seed: int = 1) -> Pair:
    """The eight as a verdict has them, and `many` drawn at random (speed within 3 %, start within a link's pitch)."""
    few, all_of_them = (
        trundle.run(vehicle, course, near=8).near,
        trundle.run(vehicle, course, near=many, near_seed=seed).near,
    )
    assert few is not None
    assert all_of_them is not None
    cases, outside = 0, []
    for column, values in all_of_them.each.items():
        figure = figures.known(column)
        there = [float(v) for v in values if v is not None]
        ours = [float(v) for v in few.each.get(column, ()) if v is not None]
        if figure is None or not (figure.ranked or figure.guarded or figure.compared) or not there or not ours:
            continue
        cases += 1
        middle = statistics.median_high(there) if figure.counted else statistics.median(there)
        room = ROUNDING * abs(middle)
        if not min(ours) - room <= middle <= max(ours) + room:
            outside.append(column)
    return Pair(vehicle, course, cases, tuple(outside), (few.over, all_of_them.over))


def tables() -> Iterator[str]:
    """Medians of 400 random near runs within the range of the eight of a verdict, of the figures that are ranked,
    guarded or compared."""
    rows = []
    cases = within = 0
    for vehicle in names("vehicles"):
        for course in COURSES:
            pair = compared(vehicle, course)
            cases, within = cases + pair.cases, within + pair.cases - len(pair.outside)
            over = f"{pair.over[0]} of 8, {pair.over[1]} of {MANY}"
            rows.append((vehicle, course, over, f"{pair.cases - len(pair.outside)} of {pair.cases}",
                         ", ".join(pair.outside)))  # fmt: skip
    yield table(("vehicle", "course", "reach the end", "medians within the range", "not within"), rows)
    yield f"In all {within} of {cases}, {100.0 * within / cases:.1f} %."


MEASUREMENT = Measurement("near", "Eight near runs against 400 at random", tables)

if __name__ == "__main__":
    no_arguments(MEASUREMENT)
