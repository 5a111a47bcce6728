"""Figures against those of a quarter of step and grid, on invented vehicles: `python -m tests.measure accuracy`.

Twenty vehicles that nobody adjusted anything on (invented.py), each over its course; every figure that `--how-sure`
tells of. What a difference is a share of: the finer run's own value; of the belly's clearance, which may be nothing,
the height at which it stands; of a force, of tension and of torque not less than a tenth of what the vehicle's weight
makes of it (a stop that is just touched is not a hit), of an angle a degree, of an acceleration a tenth of a g.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import cache

import numpy as np

from tests.measured import Measurement, no_arguments, table
from tests.verification.invented import course, vehicle
from trundle.cli.how_sure import doubted, error_of
from trundle.engine.length import GROUND_MM, default_step_s
from trundle.findings.figures import Figure
from trundle.findings.summary import value_of
from trundle.result.result import Result
from trundle.result.run import run

RUNS = 20
NEAR = 0.03
FINER = 4.0
"""The finer run has this part of step and grid."""


@cache
def rolled(seed: int, part_dt: float = 1.0, part_grid: float = 1.0) -> Result:
    """Invented vehicle of a seed over its course, at parts of its default step and grid."""
    made = vehicle(seed)
    dt_ms = default_step_s(made) * 1e3
    return run(made, course(seed, made), dt_ms=dt_ms / part_dt, ground_mm=GROUND_MM / part_grid, near=1)


@dataclass(frozen=True)
class Off:
    """A figure of one run and of the finer one; size: what their difference is a share of."""

    seed: int
    figure: Figure
    value: float
    finer: float
    size: float

    @property
    def share(self) -> float:
        """How far it is off."""
        return abs(self.value - self.finer) / self.size


def least_size(figure: Figure, result: Result) -> float:
    """The least that a difference of this figure counts as a share of, in its unit."""
    weight = float(result.summary["weight_N"])
    if figure.name == "min_belly_clearance_mm":
        return float(result.summary["ride_height_mm"])
    if figure.unit == "N.m":
        return 0.1 * weight * result.vehicle.drive_radius_m
    wheels = sum(result.assembly.per_station)
    sizes = {"N": 0.1 * weight / (wheels if "wheel" in figure.name else 2.0), "deg": 1.0, "g": 0.1, "m/s2": 0.1}
    return sizes.get(figure.unit, 1e-9)


def compared(seeds: Iterable[int] = range(RUNS), part: float = FINER) -> Iterator[Off]:
    """Every figure of every run that both have."""
    for seed in seeds:
        this, finer = rolled(seed), rolled(seed, part, part)
        for figure in doubted():
            a, b = value_of(this.summary, figure), value_of(finer.summary, figure)
            if a is not None and b is not None:
                size = max(abs(float(b)), least_size(figure, this))
                if figure.name == "min_belly_clearance_mm":
                    size = least_size(figure, this)
                yield Off(seed, figure, float(a), float(b), size)


def covered(off: Off) -> bool:
    """Whether the error that `--how-sure` tells of a figure is as large as its difference from the finer run."""
    halves = [value_of(rolled(off.seed, *part).summary, off.figure) for part in ((2.0, 1.0), (1.0, 2.0))]
    if None in halves:
        return False
    half_dt, half_grid = (float(h) for h in halves if h is not None)
    return abs(off.value - off.finer) <= error_of(off.value, half_dt, half_grid, off.figure.counted) + 1e-9


def tables() -> Iterator[str]:
    """By figure, then by run, then how well --how-sure tells of it."""
    yield (__doc__ or "").partition("\n\n")[2]
    found = list(compared())
    rows = []
    for figure in doubted():
        of = [o for o in found if o.figure is figure]
        worst = max(of, key=lambda o: o.share)
        near = sum(o.share <= NEAR for o in of)
        rows.append((figure.title, f"{near} of {len(of)}", f"{100 * float(np.median([o.share for o in of])):.2f} %",
                     f"{100 * worst.share:.1f} % (vehicle {worst.seed})"))  # fmt: skip
    near = sum(o.share <= NEAR for o in found)
    rows.append(("**all**", f"**{near} of {len(found)}: {100 * near / len(found):.1f} %**", "", ""))
    yield table((f"figure, {RUNS} runs", f"within {100 * NEAR:g} %", "median", "worst"), rows) + "\n"
    rows = []
    for seed in range(RUNS):
        result, of = rolled(seed), [o for o in found if o.seed == seed]
        made = result.vehicle
        bogie = next(iter(made.bogie.values()))
        told = ", ".join(f"{o.figure.title} {100 * o.share:.1f} %" for o in of if o.share > NEAR)
        rows.append((str(seed), f"{made.hull.mass_kg:.0f} kg, {len(made.bogie)} {bogie.kind_name()}"
                     f"{'' if made.track else ', no track'}", result.course.name, told))  # fmt: skip
    yield table(("vehicle", "", "course", f"more than {100 * NEAR:g} % off"), rows) + "\n"
    told = sum(covered(o) for o in found)
    yield (
        "`--how-sure`, which halves step and grid, covers the difference from the finer run for "
        f"{told} of {len(found)} figures ({100 * told / len(found):.0f} %).\n"
    )


MEASUREMENT = Measurement("accuracy", "Figures against a quarter of step and grid, invented vehicles", tables)

if __name__ == "__main__":
    no_arguments(MEASUREMENT)
