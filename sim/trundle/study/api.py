"""Many runs: compare settings, sweep, tolerate, find, and guard a geometry.

A DataFrame in, a DataFrame out:

    import pandas as pd
    from trundle.study.api import rank, run_frame

    tries = pd.DataFrame({"hull.mass_kg": [280, 300, 320]})
    runs = run_frame(tries, "teasel", ["kerb-100"]).table
    print(rank(runs)[["place", "variant", "peak_seat_g", "best_on"]])

`compare` does so for a grid, `tolerance_study` for a sample within tolerances, `find` for a search,
and `check` for a kept baseline. A row is one variant over one course, rolled eight times close by as
`trundle.run` does: each figure is the median of these, with its range in NAME.low and NAME.high; `near_runs`
and `near_over` say how many runs there are and how many of them reach the end. Where more than half do, the
figures are of those; else of the others, and `completed` is False. Options {"near": 1} roll each once: then a row
is `trundle.run(..., near=1)`. Both to the last bit, whatever the number of workers, their order, or the engine.
The ranking calls one variant better than another only where neither's median lies in the other's range.
"""

from __future__ import annotations

import tempfile
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pandas as pd

from trundle.errors import InputError, Problem
from trundle.fields.differences import value_said
from trundle.findings.words import counted
from trundle.result.inputs import CourseInput, GivenCourse, GivenVehicle, VehicleInput, course_input, vehicle_input
from trundle.spec.course import Course
from trundle.spec.vehicle import Vehicle
from trundle.study.baseline import check, keep, open_baseline
from trundle.study.beside import Change
from trundle.study.designs import Design, beside_first, designs_of
from trundle.study.figures import completed
from trundle.study.find import find
from trundle.study.grid import Axis, cases_from, check_size, make_plan
from trundle.study.rank import rank, worst_over_courses
from trundle.study.runs import How, Study, run_cases
from trundle.study.tolerance import tolerance_study

__all__ = [
    "Axis",
    "Comparison",
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


@dataclass(repr=False)
class Comparison(Study):
    """A study whose variants are compared. table: one row per run (see Study); designs: the vehicles beside each other,
    where several were given and nothing else varies (see trundle.study.designs)."""

    designs: Sequence[Design] = ()

    @property
    def differing(self) -> pd.DataFrame:
        """The fields in which the vehicles' files differ from the first's: `design` (B, C, ...), `field`, `first`,
        `it_has`, as written."""
        rows = [(d.sign, f.path, value_said(f.then), value_said(f.here)) for d in self.designs for f in d.fields]
        return pd.DataFrame(rows, columns=["design", "field", "first", "it_has"])

    @property
    def better_and_worse(self) -> pd.DataFrame:
        """What got better and worse against the first vehicle, over each course, the most urgent first: `design`,
        `course`, `figure` (its name, with the unit), `first`, `it_has` (medians) and `is` ("worse", "better" or "no
        difference that shows"). Of a vehicle that does not get over a course there are no rows for it."""
        rows = [
            (other.sign, one.course, p.figure.name, p.one.median, p.other.median, str(p.change))
            for other in self.designs[1:]
            for one in beside_first(list(self.designs), other, self.table)
            for p in one.told
        ]
        return pd.DataFrame(rows, columns=["design", "course", "figure", "first", "it_has", "is"])

    @property
    def ranking(self) -> pd.DataFrame:
        """One row per variant, the best first (see trundle.study.rank)."""
        return rank(self.table)

    def __repr__(self) -> str:
        if self.designs:
            told = self.better_and_worse
            moved = told[told["is"] != Change.ALIKE]
            lines = [d.line for d in self.designs]
            return "\n".join([*lines, moved.to_string(index=False), "all of it in .better_and_worse; runs in .table"])
        states = ", ".join(f"{count} {state}" for state, count in self.table["state"].value_counts().items())
        if not completed(self.table).any():
            return f"{counted(len(self.table), 'run')} ({states}); none reached the end: see .table"
        shown = [c for c in ("place", "variant", *self._varied(), "best_on") if c in self.ranking]
        first = self.ranking[shown].head(5).to_string(index=False)
        return f"{counted(len(self.table), 'run')} ({states}); the best of .ranking:\n{first}\nall runs in .table"

    def _varied(self) -> list[str]:
        columns = list(self.table.columns)
        lead = columns[: columns.index("state")]
        return [c for c in lead if c not in ("variant", "course") and self.table[c].nunique() > 1]


def compare(
    vehicle: GivenVehicle | Sequence[GivenVehicle],
    courses: GivenCourse | Sequence[GivenCourse],
    vary: Mapping[str, Sequence[Any]] | Sequence[str | Axis] = (),
    *,
    speeds_m_s: Sequence[float] = (),
    listed: bool = False,
    settings: Mapping[str, Any] | None = None,
    how: How | None = None,
    options: Mapping[str, Any] | None = None,
) -> Comparison:
    """Runs every combination of the varied fields over every course and speed, in all cores.

    vehicle, courses: files, names of shipped ones, or objects. Of several vehicles, with nothing varied, the result
    tells in which fields they differ, and what got better and worse (`.differing`, `.better_and_worse`).
    vary: `{"bogie.*.spring.thickness_mm": [2.5, 3, 3.5]}` in the fields' units, or texts `PATH=V1,V2,...`,
    `PATH=A:B:STEP`; `*` stands for any one part of the path; `vehicle=A.toml,B.toml` varies whole files.
    speeds_m_s: target speeds [m/s]. listed: take the values side by side instead of every combination. settings:
    fields that all runs have changed. options: keywords for `trundle.run`. how: workers, folder to keep it in,
    progress (see How).

    Raises InputError for an argument or a file that is wrong; a variant that cannot stand is a row with its reason.
    """
    axes = [Axis(path, tuple(values)) for path, values in vary.items()] if isinstance(vary, Mapping) else vary
    many = [courses] if isinstance(courses, (str, Path, Course, CourseInput)) else courses
    # Workers read files: an object is written to one for them.
    with tempfile.TemporaryDirectory(prefix="trundle-compare-") as name:
        folder = Path(name)
        given = [vehicle] if isinstance(vehicle, (str, Path, Vehicle, VehicleInput)) else list(vehicle)
        if not given:
            raise InputError(Problem("there is none to run", argument="vehicle"))
        files = [_file(vehicle_input(one), folder / f"vehicle-{k}") for k, one in enumerate(given)]
        if len(files) > 1:
            axes = [*axes, Axis("vehicle", tuple(map(str, files[1:])))]
        theirs = [_file(course_input(course), folder / f"course-{i}") for i, course in enumerate(many)]
        plan = make_plan(files[0], theirs, axes, speeds_m_s=speeds_m_s, listed=listed, settings=settings)
        check_size(len(plan), yes=True)
        found = run_cases(plan, how, options)
        designs = designs_of(plan, found.table)
    return Comparison(**vars(found), designs=designs)


def _file(given: VehicleInput | CourseInput, folder: Path) -> Path:
    """The file of a vehicle or course; of an object one in `folder`, which is made."""
    if given.path is not None and not given.settings:
        return given.path
    folder.mkdir()
    path = folder / f"{given.stem}.toml"
    if isinstance(given, CourseInput):
        given.kept().write(path)
    else:
        path.write_text(given.text_as_used(), encoding="utf-8")
    return path


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
