"""Trundle against mujoco, a general-purpose 3D engine with its own contacts: whole vehicles on their wheels.

`other_engine_model` says what the other model is, `other_engine_ground` what it drives over; without a track, since
that engine has no band. Both are compared over the place of the hull, at Trundle's default step and grid.
`python -m tests.verification.other_engine` writes the tables and a picture (minutes).
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import numpy as np

from tests.measured import Measurement, no_arguments
from tests.verification import rigs
from tests.verification.other_engine_ground import Floats, Surface, half_round, kerb, ripples
from tests.verification.other_engine_parts import SIDES
from tests.verification.other_engine_run import Trip, other, trundle
from trundle.spec.vehicle import Vehicle, load_vehicle, vehicle_from

TIME_S = 3.3
"""Until the last wheel is over kerb or bar."""


def leaf_pairs() -> Vehicle:
    """The rig's paired arms with one leaf across each pair, on a point seat."""
    leaf = {
        "kind": "leaf across", "width_mm": 50, "thickness_mm": 4, "full_leaves": 3, "length_mm": 400,
        "free_radius_mm": 500, "seat": "point", "seat_above_pivots_mm": 0, "arm_top_mm": 20, "steel": "51CrV4",
    }  # fmt: skip
    data = rigs.vehicle("paired arms", track=False).model_dump(exclude_none=True)
    for bogie in data["bogie"].values():
        bogie["spring"] = leaf
    return vehicle_from(data)


def barrow() -> Vehicle:
    """The shipped cart on wheels: a leading and a trailing arm."""
    return load_vehicle(Path(__file__).parents[2] / "scenarios/vehicles/barrow.toml")


VEHICLES: dict[str, Callable[[], Vehicle]] = {
    "single arms": lambda: rigs.vehicle("single arm", track=False),
    "single arms, high stops": lambda: rigs.vehicle(
        "single arm", track=False, **{"bogie.*.stops.bump_below_level_deg": 28}
    ),
    "paired arms, leaf": leaf_pairs,
    "walking beams": lambda: rigs.vehicle("walking beam", track=False),
    "Barrow": barrow,
}
COURSES: dict[str, Callable[[], Surface]] = {"kerb": kerb, "half-round": half_round, "ripples": ripples}


@dataclass(frozen=True)
class Apart:
    """How far the other engine is from Trundle.

    load, peak: shares of the standing load (worst station), of the peak wheel load; height_mm: standing. y, pitch:
    (largest, rms) difference as a share of Trundle's range.
    """

    ours: Trip
    theirs: Trip
    load: float
    height_mm: float
    y: tuple[float, float]
    pitch: tuple[float, float]
    peak: float

    def row(self) -> str:
        """Cells of the table from the third on."""
        a, b = self.ours, self.theirs
        return (
            f"{100 * self.load:.2f} % | {self.height_mm:.2f} | {100 * self.y[0]:.1f}; {100 * self.y[1]:.1f} % "
            f"| {100 * self.pitch[0]:.1f}; {100 * self.pitch[1]:.1f} % "
            f"| {a.wheel_loads().max():.0f} | {b.wheel_loads().max():.0f} | {100 * self.peak:+.1f} % "
            f"| {a.hits()}; {b.hits()} | {a.stops.max() / SIDES:.0f}; {b.stops.max() / SIDES:.0f} |"
        )


def apart(ours: Trip, theirs: Trip) -> Apart:
    """Compare two trips over the places that both have been at."""
    at = np.arange(ours.x[0] + 0.02, min(ours.x.max(), theirs.x.max()) - 0.01, 0.005)

    def differ(a: Floats, b: Floats) -> tuple[float, float]:
        want = ours.over(a, at)
        gap = theirs.over(b, at) - want
        return float(np.abs(gap).max() / np.ptp(want)), float(np.sqrt(np.mean(gap**2)) / np.ptp(want))

    return Apart(
        ours,
        theirs,
        float(np.abs(theirs.stand_loads / ours.stand_loads - 1.0).max()),
        1e3 * (theirs.stand_y - ours.stand_y),
        differ(ours.y, theirs.y),
        differ(ours.pitch, theirs.pitch),
        float(theirs.wheel_loads().max() / ours.wheel_loads().max() - 1.0),
    )


@cache
def compare(vehicle: str, course: str, *, tyre: str = "bedded", shaft: bool = False) -> Apart:
    """One of VEHICLES over one of COURSES, in both."""
    v, on = VEHICLES[vehicle](), COURSES[course]()
    return apart(trundle(v, on, TIME_S), other(v, on, TIME_S, tyre=tyre, shaft=shaft))


HEAD = """\
| vehicle | course | standing loads | standing height, mm | hull height: largest; rms | pitch: largest; rms \
| peak wheel load, N | mujoco | apart | stop hits | hardest, N |
|---|---|---|---|---|---|---|---|---|---|---|"""


def tables() -> Iterator[str]:
    """Lines of both tables as markdown: every vehicle over every course; and what moves the differences."""
    yield HEAD
    for vehicle in VEHICLES:
        for course in COURSES:
            yield f"| {vehicle} | {COURSES[course]().name} | {compare(vehicle, course).row()}"
    yield "\n" + HEAD
    for vehicle, course in (("single arms", "kerb"), ("single arms", "ripples"), ("Barrow", "kerb")):
        found = compare(vehicle, course, shaft=True)
        yield f"| {vehicle}, one shaft turns all wheels | {COURSES[course]().name} | {found.row()}"
    for vehicle in ("single arms", "paired arms, leaf"):
        found = compare(vehicle, "kerb", tyre="hard disc")
        yield f"| {vehicle}, tyre a hard disc | {kerb().name} | {found.row()}"


def plot(path: Path) -> None:
    """Height, pitch and load on the first wheel over the place of the hull: three kinds over the kerb."""
    from matplotlib.figure import Figure

    kinds = ("single arms", "paired arms, leaf", "walking beams")
    figure = Figure(figsize=(12.6, 8.4), layout="constrained")
    grid = figure.subplots(3, len(kinds), sharex=True)
    for row in grid[:2]:
        for axes in row[1:]:
            axes.sharey(row[0])
    for column, kind in enumerate(kinds):
        found = compare(kind, "kerb")
        for trip, colour, width, name in (
            (found.theirs, "0.25", 2.6, "mujoco, its own contacts"),
            (found.ours, "tab:red", 1.1, "Trundle"),
        ):
            place = trip.x - found.ours.x[0]
            shown = (1e3 * trip.y, np.degrees(trip.pitch), trip.wheel_loads()[:, 0])
            for axes, values in zip(grid[:, column], shown, strict=True):
                axes.plot(place, values, color=colour, lw=width, label=name, solid_joinstyle="round")
        grid[0, column].set_title(f"{kind}, {kerb().name}", fontsize=11)
        grid[2, column].set_xlabel("travel of the hull [m]")
    labels = ("centre of mass, height [mm]", "pitch, nose up [deg]", "load on a foremost wheel [N]")
    for axes, label in zip(grid[:, 0], labels, strict=True):
        axes.set_ylabel(label)
    for axes in grid.flat:
        axes.grid(alpha=0.3)
        axes.set_xlim(0.6, 2.9)
    grid[0, 0].legend(loc="upper left")
    figure.savefig(path, dpi=110)


MEASUREMENT = Measurement(
    "other-engine", "Whole vehicles on wheels against a general-purpose 3D engine", tables, plot, "other-engine.png"
)

if __name__ == "__main__":
    no_arguments(MEASUREMENT)
