"""Many runs: compare settings, sweep, tolerate, find, and guard a geometry.

A DataFrame in, a DataFrame out:

    import pandas as pd
    from trundle.study.api import rank, run_frame

    if __name__ == "__main__":           # worker processes import this file
        tries = pd.DataFrame({"hull.mass_kg": [280, 300, 320]})
        runs = run_frame(tries, "teasel", ["kerb-100"]).table
        print(rank(runs)[["place", "variant", "peak_seat_g", "best_on"]])

`compare` does so for a grid, `tolerance_study` for a sample within tolerances, `find` for a search,
and `check` for a kept baseline. Every figure is that of `trundle.run` on the same input, bit for bit,
whatever the number of workers, their order, or the engine.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

import pandas as pd

from trundle.study.baseline import check, keep, open_baseline
from trundle.study.find import find
from trundle.study.grid import Axis, cases_from, check_size, make_plan
from trundle.study.rank import rank, worst_over_courses
from trundle.study.runs import How, Study, run_cases
from trundle.study.tolerance import tolerance_study

__all__ = [
    "Axis",
    "How",
    "Study",
    "check",
    "compare",
    "find",
    "keep",
    "open_baseline",
    "rank",
    "run_frame",
    "tolerance_study",
    "worst_over_courses",
]


def compare(
    vehicle: str | Path,
    courses: Sequence[str | Path],
    vary: Sequence[str | Axis] = (),
    *,
    speeds_m_s: Sequence[float] = (),
    listed: bool = False,
    settings: Mapping[str, Any] | None = None,
    how: How | None = None,
    options: Mapping[str, Any] | None = None,
) -> Study:
    """Runs every combination of the varied settings over every course and speed.

    vary: `PATH=V1,V2,...` or `PATH=A:B:STEP`, `*` for any one part of the path; `vehicle=A.toml,B.toml`
    varies whole files. listed: take the values side by side instead. options: keywords for `trundle.run`.
    The table has one row per run, see Study. Raises InputError.
    """
    plan = make_plan(vehicle, courses, vary, speeds_m_s=speeds_m_s, listed=listed, settings=settings)
    check_size(len(plan), yes=True)
    return run_cases(plan, how, options)


def run_frame(
    variants: pd.DataFrame,
    vehicle: str | Path | None = None,
    courses: Sequence[str | Path] = (),
    *,
    how: How | None = None,
    options: Mapping[str, Any] | None = None,
) -> Study:
    """Runs one variant per row of a table whose columns are field paths, in the fields' units.

    Columns `vehicle`, `course` and `speed_m_s` may stand in it; an empty cell means the file's own value.
    Raises InputError.
    """
    return run_cases(cases_from(variants, vehicle, courses), how, options)
