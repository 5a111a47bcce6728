"""A single blow's two figures: its peak, and its highest mean over a short stated time."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import replace
from typing import TYPE_CHECKING

from trundle.findings.figures.figure import Figure, Told
from trundle.findings.short import worst_mean
from trundle.model.arrays import Floats

if TYPE_CHECKING:
    from trundle.findings.readings import Readings

MEAN_S = 0.01
"""Over this time [s]: twice the longest blow that is arithmetic rather than a push (a wheel that meets a corner of the
ground between two steps, the top run that snaps taut), and less than half of one that bends anything (20 to 40 ms).

Measured, the 100 mm kerb at 1.2 m/s +-3 % (seven speeds), highest less lowest in percent of the median, peak and then
this mean: Otter's wheel load 55 and 3, track tension 36 and 25, sprocket torque 4 and 3; Teasel's 9 and 8, 36 and 17,
0 and 0; Mole's 9 and 8, 8 and 7, 0 and 0. Half the step moves Teasel's tension by 14 and 2 %, Mole's bump stop by 3 and
2, all else by less than 2. Bump stops gain nothing by it: Teasel's 25 and 26, Otter's 25 and 25, Mole's 8 and 27. So
the mean takes the luck out of a short spike, and no more; for the rest there is the range of near runs.
"""

Series = Callable[["Readings"], Iterable[Floats]]
"""The series of a run among which a blow is sought: none is below 0 where it pushes."""


def mean_name(name: str) -> str:
    """`peak_wheel_load_N` as `peak_wheel_load_10ms_N`."""
    what, _, unit = name.rpartition("_")
    return f"{what}_{1e3 * MEAN_S:g}ms_{unit}"


def with_mean(peak: Figure, series: Series) -> tuple[Figure, Figure]:
    """The figure of a peak as it is, and beside it that of the highest mean over MEAN_S of the same series.

    A run shorter than that gives the mean of all of it. Ranking goes by one of the two, the peak.
    """

    def mean(readings: Readings) -> float:
        found = [worst_mean(values, readings.dt_s, MEAN_S) for values in series(readings)]
        return max([0.0, *found])

    beside = replace(
        peak, name=mean_name(peak.name), title=f"{peak.title}, mean of {1e3 * MEAN_S:g} ms", of=mean, told=Told.NOT,
        ranked=False, bad=None,
    )  # fmt: skip
    return peak, beside
