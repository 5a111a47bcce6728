"""One change tried: what a worker does, and what comes back."""

from __future__ import annotations

import statistics
from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING, Any

from trundle.findings import figures
from trundle.findings.figures import Value
from trundle.findings.finding import Finding
from trundle.findings.states import ledger_closes
from trundle.findings.summary import value_of
from trundle.spec.course import Course
from trundle.spec.short import tables_of
from trundle.spec.vehicle import Vehicle, vehicle_from
from trundle.study.ranges import Range

if TYPE_CHECKING:
    from trundle.result.result import Result

SPEED = "drive.speed_m_s"
"""The field that a target speed given for the whole course stands in for."""


@dataclass(frozen=True)
class Task:
    """What is tried. text: the vehicle's file as used; settings: the change; speed_m_s: for the whole course [m/s],
    None: the files' own; runs: how many near runs."""

    text: str
    settings: Mapping[str, Any]
    course: Course
    speed_m_s: float | None
    runs: int

    def vehicle(self) -> Vehicle:
        """The vehicle with the change. Raises InputError."""
        settings = dict(self.settings)
        if self.speed_m_s is not None:
            settings.pop(SPEED, None)
        return vehicle_from(_parsed(self.text), settings)

    @property
    def fast_m_s(self) -> float | None:
        """The target speed given for the whole course, changed where the driver's is [m/s]."""
        return None if self.speed_m_s is None else self.settings.get(SPEED, self.speed_m_s)


@dataclass(frozen=True)
class Tried:
    """What came of it. over: in how many of its runs it got over; each: of each figure the value of every run, the
    run as asked first; findings: of that run, the worst first; weight_N: standing."""

    over: int
    each: Mapping[str, tuple[Value, ...]]
    findings: tuple[Finding, ...]
    weight_N: float

    @property
    def runs(self) -> int:
        """How many near runs it is of."""
        return len(self.each["distance_m"])

    @property
    def trusted(self) -> bool:
        """Whether the energy ledger of each run closes."""
        return all(bool(ledger_closes(v)) for v in self.each["energy_error"] if v is not None)

    def range(self, figure: str) -> Range | None:
        """Of a figure; a blow that does not happen is one of 0. None if no run gives it."""
        values = self.values(figure)
        return Range(statistics.median(values), min(values), max(values)) if values else None

    def values(self, figure: str) -> list[float]:
        """Those that there are."""
        return [float(v) for v in self.each.get(figure, ()) if v is not None]


def roll(task: Task) -> Tried:
    """The worker's function. Raises InputError where the change gives no vehicle that stands."""
    return tried_of(nominal(task))


def nominal(task: Task) -> Result:
    """The run as asked, and the figures of its neighbours."""
    # Only now: it loads the compiled model, which the supervising process may have no use for.
    from trundle.result.run import run

    return run(task.vehicle(), task.course, speed_m_s=task.fast_m_s, near=task.runs, threads=1)


def tried_of(result: Result) -> Tried:
    """The same of a run that is at hand."""
    each: dict[str, tuple[Value, ...]] = {
        f.name: (value_of(result.summary, f),) for f in figures.TABLE if not f.of_wheel
    }
    over = int(result.completed)
    if result.near is not None:
        each |= {name: tuple(values) for name, values in result.near.each.items() if name in each}
        over = result.near.over
    return Tried(over, each, result.verdict.findings, result.assembly.weight_N)


@lru_cache(maxsize=8)
def _parsed(text: str) -> dict[str, Any]:
    return tables_of(text, "").data
