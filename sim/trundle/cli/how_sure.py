"""`trundle run --how-sure`: the same run at half the step and at half the grid, and what error that tells of; and, if
belly, sprocket or idler was struck, at both ends of the range of their rates."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from rich.table import Table

from trundle.cli.waiting import progress
from trundle.errors import InputError, Problem
from trundle.findings import figures
from trundle.findings.figures import Figure
from trundle.findings.summary import value_of
from trundle.record.long import LongTimeline
from trundle.report.terminal import screen
from trundle.result.inputs import CourseInput, VehicleInput
from trundle.result.result import Result
from trundle.result.run import run as run_it

ENDS = ("soft", "hard")
"""Of the range of the rates (hull.blow_rates)."""

LEAST_DT_MS, LEAST_GROUND_MM = 0.02, 2.0
"""Twice what a run takes at the least: half of it must be a run too."""


LEAST_SHARE = 0.005
"""No figure but a count is told to be surer than this share of it."""


def check_halves(dt_ms: float | None, ground_mm: float) -> None:
    """Raises InputError, before anything is run, if half of the step or of the grid would be refused."""
    if dt_ms is not None and dt_ms < LEAST_DT_MS * (1.0 - 1e-9):
        raise InputError(
            Problem(f"with --how-sure {dt_ms:g} ms cannot be halved", "--dt-ms", f"{LEAST_DT_MS:g} ms or more")
        )
    if ground_mm < LEAST_GROUND_MM * (1.0 - 1e-9):
        raise InputError(
            Problem(f"with --how-sure {ground_mm:g} mm cannot be halved", "--ground-mm", "10, 5, 2.5 or 2 mm")
        )


def doubted() -> list[Figure]:
    """The figures whose error is told."""
    return [f for f in figures.TABLE if f.how_sure and not f.of_wheel]


def error_of(this: float, half_step: float, half_grid: float, counted: bool = False) -> float:
    """How far `this` figure may be from the one of a step and a grid without end: twice both changes together, and
    never less than LEAST_SHARE of it unless it is counted (there is no part of a hit).

    With an error that goes with the step (first order), a halving takes away half of it, so what it changes is
    what is still missing after it, and all of it is twice that. Step and grid each have their own, and both may
    point the same way. Where the order is higher this is more than enough; single blows have no order, and one
    halving may hardly move what the next one does. So a least error stands for the rest, and still one figure in
    25 is further off (measured: twenty invented vehicles against a quarter of step and grid; without a least error
    15 of 100 were, by no more than 0.5 % nearly all).
    """
    least = 0.0 if counted else LEAST_SHARE * abs(this)
    return max(2.0 * (abs(this - half_step) + abs(this - half_grid)), least)


def print_how_sure(result: Result, vehicle: VehicleInput, course: CourseInput, speed_m_s: float | None) -> None:
    """Repeat the run twice and print each main figure with its numerical error.

    Where the hull was struck, also at the soft and the hard end of the rates there. For the rest it says nothing about
    how well the file describes the vehicle.
    """
    s = result.summary
    if isinstance(result.log, LongTimeline):
        result.log.forget()  # the runs to come want the memory
    dt, grid = float(s["dt_ms"]), float(s["ground_mm"])

    def again(dt_ms: float, ground_mm: float, what: str, of: VehicleInput = vehicle) -> dict[str, Any]:
        with progress(what) as tell:
            return run_it(
                of, course, dt_ms=dt_ms, ground_mm=ground_mm, speed_m_s=speed_m_s, near=1, on_progress=tell
            ).summary  # fmt: skip

    finer = again(0.5 * dt, grid, f"again at {0.5 * dt:g} ms")
    denser = again(dt, 0.5 * grid, f"again on a {0.5 * grid:g} mm grid")
    rates: dict[str, dict[str, Any]] = {}
    too_hard: list[str] = []
    for end in ENDS if was_struck(s) else ():
        try:
            rates[end] = again(dt, grid, f"again with {end} rates", _with_rates(vehicle, end))
        except InputError as e:  # the middle rate passed; this end of the range may be too much for the step
            too_hard.append(f"Not run with {end} rates: {'; '.join(map(str, e.problems))}.")
    table = Table(title="How sure", title_justify="left", box=None, pad_edge=False)
    for heading in ("figure", "this run", "half the step", "half the grid", "error, about +/-"):
        table.add_column(heading, justify="left" if heading == "figure" else "right")
    if rates:
        table.add_column(f"{' to '.join(rates)} rates", justify="right")
    for figure in doubted():
        found = [value_of(of, figure) for of in (s, finer, denser)]
        values = [float(v) for v in found if v is not None]
        if len(values) < len(found):
            continue
        error = error_of(values[0], values[1], values[2], figure.counted)
        share = f" ({100.0 * error / abs(values[0]):.1f} %)" if abs(values[0]) > 1e-9 else ""
        ends = [" to ".join(figure.cell(value_of(of, figure)) for of in rates.values())] if rates else []
        table.add_row(figure.heading, *map(figure.cell, values), f"{figure.cell(error)}{share}", *ends)
    console = screen()
    blows = [f.title for f in doubted() if f.single_blow and value_of(s, f) is not None]
    console.print()
    console.print(table)
    console.print(
        f"Ended: {s['ended_because']}; {finer['ended_because']}; {denser['ended_because']}. Energy "
        f"unaccounted for: {100 * s['energy_error']:.2f} %; {100 * finer['energy_error']:.2f} %; "
        f"{100 * denser['energy_error']:.2f} %."
    )
    console.print(
        "The error is an estimate from halving step and grid: twice what both changed, together. It is that of the "
        "arithmetic, and about one figure in 25 is further off. Least certain are counts of hits, and peaks of a "
        f"single blow: {', '.join(blows)}. "
        "How well the file describes your vehicle is another matter; see trundle compare --tolerance."
    )
    if rates:
        where = "either end" if len(rates) == len(ENDS) else f"the {next(iter(rates))} end"
        console.print(
            f"{' to '.join(rates).capitalize()} rates: belly, sprocket and idler at {where} of what their rates may be "
            "(trundle sheet). After the first blow these are other runs. Ended: "
            f"{'; '.join(of['ended_because'] for of in rates.values())}."
        )
    for why in too_hard:
        console.print(why)


def was_struck(summary: Mapping[str, Any]) -> bool:
    """Whether belly, sprocket or idler met the ground in a run."""
    return any(float(summary.get(f"peak_{part}_load_N") or 0.0) > 0.0 for part in ("belly", "sprocket", "idler"))


def _with_rates(given: VehicleInput, end: str) -> VehicleInput:
    """The same vehicle with the rates of its blows at one end of their range."""
    vehicle = given.vehicle
    hull = vehicle.hull.model_copy(update={"blow_rates": end})
    return replace(given, vehicle=vehicle.model_copy(update={"hull": hull}))
