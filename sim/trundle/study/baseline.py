"""Guards a set of vehicles and courses: keeps their figures, runs them again, tells what moved.

The set is declared in a small TOML file:

    vehicles = ["teasel", "scenarios/vehicles/my-own.toml"]
    courses = ["kerb-100", "yard"]
    settings = { "hull.mass_kg" = 300 }        # optional

    [tolerance]                                 # how far a figure may move: in its unit, or as a share
    every = "2%"                                # all figures not named; 3% if this is not given
    bump_stop_hits = 0
    peak_wheel_load_N = "3%"

The kept figures stand beside it, in NAME.kept.json: of each the median over near runs, and its range. A figure has
moved if its median is further from the kept one than the tolerance, and further than both ranges are wide together.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Annotated, Any

import pandas as pd
from pydantic import AfterValidator, Field

from trundle.errors import InputError, Problem, did_you_mean
from trundle.fields.base import PLAIN, Spec
from trundle.findings import figures
from trundle.findings.figures import Better, better_of, guarded, known
from trundle.findings.near_row import HIGH, LOW, OVER, RUNS
from trundle.spec import shipped
from trundle.spec.lines import line_numbers, line_of
from trundle.spec.reader import parse_toml, read_text, validate
from trundle.spec.short import tables_of
from trundle.study.case import Case, Files
from trundle.study.engine import StudyStoppedError
from trundle.study.figures import fault_told, figure_columns, why_not
from trundle.study.grid import Plan, check_files
from trundle.study.identity import identity
from trundle.study.kept import Kept, KeptRun, changed_since, check_place, plain, read_kept, write_kept
from trundle.study.ranges import Range, is_range
from trundle.study.runs import How, run_cases
from trundle.study.worker import DONE

EVERY = "every"

UNLESS_SET: Mapping[str, str | float] = {
    EVERY: "3%", "energy_error": 0.0025, "static_wheel_load_N": "0.2%", "ride_height_mm": 0.2,
}  # fmt: skip
"""What may move by how much where the set does not say. How it stands hangs on no luck and on no step, so that little
tells of a changed vehicle: a pivot 5 mm off is half a percent of a wheel's load. Peaks are no surer than 3 % in the
step and grid of a common run (`run --how-sure`), so less would call every change of the vehicle a loss. The
unaccounted energy says how well a run was computed; up to half of what a run may have is not worth a line."""


def _amount(value: Any) -> Any:
    try:
        allowance(value)
    except (ValueError, TypeError, OverflowError):
        shown = f'"{plain(value[:40])}"' if isinstance(value, str) else str(value)[:40]
        raise ValueError(
            f'{shown} is not an amount (allowed: 0 or more in the figure\'s unit, like 0.5, or a share, like "2%")'
        ) from None
    return value


class Declared(Spec):
    """The declared set, as in the file."""

    vehicles: Annotated[tuple[Annotated[str, PLAIN], ...], Field(strict=False, min_length=1, max_length=100)]
    courses: Annotated[tuple[Annotated[str, PLAIN], ...], Field(strict=False, min_length=1, max_length=100)]
    note: Annotated[str, Field(max_length=2_000)] = ""
    settings: dict[str, Any] = {}
    tolerance: dict[str, Annotated[Any, AfterValidator(_amount)]] = {}


def allowance(amount: str | float) -> tuple[float, bool]:
    """`"2%"` to (0.02, True), `5` to (5.0, False). Raises ValueError, TypeError or OverflowError."""
    if isinstance(amount, bool):  # a number to Python, but no amount to anybody
        raise ValueError
    share = isinstance(amount, str) and amount.strip().endswith("%")
    number = float(amount.strip().removesuffix("%")) if isinstance(amount, str) else float(amount)
    if not math.isfinite(number) or number < 0:
        raise ValueError
    return (number / 100, True) if share else (number, False)


@dataclass(frozen=True)
class Baseline:
    """A declared set with its files. kept: where its figures are, or will be."""

    name: str
    file: Path
    declared: Declared
    plan: Plan

    @property
    def kept(self) -> Path:
        return self.file.with_suffix(".kept.json")

    @property
    def allowances(self) -> dict[str, str | float]:
        """How far figures may move: as declared, and as Trundle has it where nothing is."""
        return {**UNLESS_SET, **self.declared.tolerance}


@dataclass(frozen=True)
class Check:
    """What a check found.

    moved: one row per figure beyond its tolerance and its ranges: `vehicle`, `course`, `figure`, `was`, `now`, `by`,
    `allowed`, `verdict` (better, worse, changed), `loss`, and where it lies in near runs, `was_low`, `was_high`,
    `now_low`, `now_high`. runs: one row per run: `vehicle`, `course`,
    `loss`, `reason`. causes: what changed since it was kept, in words.
    """

    name: str
    moved: pd.DataFrame
    runs: pd.DataFrame
    causes: list[str]

    @property
    def lost(self) -> bool:
        """Whether anything became worse, or changed where there is no better: exit code 1."""
        return bool(self.runs["loss"].any())


def open_baseline(name: str | Path) -> Baseline:
    """The declared set called `name`: a path to its TOML file, or one of `scenarios/baselines/`.

    Raises InputError if it, or a vehicle or course that it lists, is missing or wrong.
    """
    path = Path(name)
    if path.suffix != ".toml":
        home = shipped.folder("vehicles").parent / "baselines"
        path = home / f"{name}.toml"
        if path.parent != home or not _is_file(path):
            known = sorted(p.stem for p in home.glob("*.toml"))
            here = f'; did you mean "{name}.toml"?' if _is_file(Path(f"{name}.toml")) else ""
            raise InputError(
                Problem(
                    f'no baseline is called "{plain(str(name)[:80])}"{here}',
                    "NAME",
                    "a .toml file that lists vehicles and courses (trundle baseline --help shows one)"
                    f"{', or one of: ' + ', '.join(known) if known else ''}",
                )
            )
    if not path.stem.isprintable():
        raise InputError(Problem("the file's name is no plain text; rename it", file=plain(str(path))))
    text = read_text(path)
    declared = validate(Declared, parse_toml(text, str(path)), str(path), line_numbers(text))
    try:
        plan = Plan(
            tuple(shipped.find("vehicles", _beside(path, v)) for v in declared.vehicles),
            tuple(shipped.find("courses", _beside(path, c)) for c in declared.courses),
            settings=declared.settings,
        )
        check_files(plan)
    except InputError as e:
        raise e.at(str(path)) from None
    for files in (plan.vehicles, plan.courses):
        stems = [f.stem for f in files]
        for stem in stems:
            if stems.count(stem) > 1:
                raise InputError(Problem(f'two files are called "{stem}"; rename one', file=str(path)))
    return Baseline(path.stem, path, declared, plan)


def _beside(file: Path, named: str) -> str:
    """A path in the set is looked for beside the set's file first."""
    near = file.parent / named
    return str(near) if _is_file(near) else named


def _is_file(path: Path) -> bool:
    """False also for what cannot be a file's name, such as 300 letters or a null character."""
    try:
        return path.is_file()
    except (OSError, ValueError):
        return False


def run_baseline(baseline: Baseline, how: How | None = None, options: Mapping[str, Any] | None = None) -> Kept:
    """Runs the set now. options: for trundle.run. Raises InputError; StudyStoppedError if it was interrupted."""
    try:
        study = run_cases(baseline.plan, how, options)
    except StudyStoppedError as e:
        raise e.with_what_is_left("nothing was kept or compared, the same command starts over") from None
    except KeyboardInterrupt:  # while workers started, or the files were read
        raise stopped() from None
    if study.interrupted:
        raise stopped()
    if fault := fault_told(study.table):
        raise StudyStoppedError(Problem(f"{fault}. Nothing was kept or compared; the same command tries again"))
    return _kept(baseline, study.table)


def stopped() -> StudyStoppedError:
    """What to say after Ctrl-C. A baseline's runs stand in memory only until all are done, so none is left."""
    return StudyStoppedError(
        Problem("the baseline's runs were stopped: nothing was kept or compared; the same command starts over")
    )


def keep(baseline: Baseline, how: How | None = None, options: Mapping[str, Any] | None = None) -> Kept:
    """Runs the set and keeps its figures. options: for trundle.run. Raises InputError if it has been kept already."""
    if baseline.kept.exists():
        raise InputError(
            Problem(
                'has been kept already; to replace it: baseline check NAME --accept "why"',
                file=str(baseline.kept),
            )
        )
    check_place(baseline.kept)
    _known_figures(baseline)  # before hours of runs
    now = run_baseline(baseline, how, options)
    write_kept(baseline.kept, now)
    return now


def check(
    baseline: Baseline, how: How | None = None, accept: str = "", options: Mapping[str, Any] | None = None
) -> Check:
    """Runs the set and compares it with what was kept.

    options: for trundle.run. accept: a reason; the new figures then take the place of the old ones, and the reason is
    kept with what had moved. Raises InputError if nothing was kept, or it was kept for another set or layout.
    """
    old = read_kept(baseline.kept)
    _same_set(baseline, old)
    _known_figures(baseline, old)
    if accept.strip():
        check_place(baseline.kept)
    now = run_baseline(baseline, how, options)
    found = compare(baseline.name, old, now, baseline.allowances)
    if accept.strip():
        moved = [
            f"{r['vehicle']} over {r['course']}: {r['figure']} {r['was']} to {r['now']} ({r['verdict']})"
            for r in found.moved.to_dict("records")
        ]
        entry = {"reason": accept.strip(), "causes": found.causes, "moved": moved}
        write_kept(baseline.kept, now, [*old.history, entry])
    return found


def compare(name: str, old: Kept, now: Kept, tolerance: Mapping[str, str | float]) -> Check:
    """The two sets of figures against each other, run by run."""
    moved: list[dict[str, Any]] = []
    runs: list[dict[str, Any]] = []
    before = {(r.vehicle, r.course): r for r in old.runs}
    for run in now.runs:
        was = before[(run.vehicle, run.course)]
        rows = _moved(was, run, tolerance)
        moved += rows
        told = [f"{r['figure']} {r['was']} to {r['now']}: {r['verdict']}" for r in rows if r["loss"]]
        runs.append({"vehicle": run.vehicle, "course": run.course, "loss": bool(told), "reason": "; ".join(told)})
    names = ["vehicle", "course", "figure", "was", "now", "by", "allowed", "verdict", "loss", *_ENDS]
    return Check(name, pd.DataFrame(moved, columns=names), pd.DataFrame(runs), changed_since(old, now))


_ENDS = ("was_low", "was_high", "now_low", "now_high")

FEWER_OVER = 0.5
"""From this change on of the share of near runs that reach the end it is no luck: 8 of 8 and 4 of 8 come about by
chance in 4 % of cases (Fisher's exact test), and only of a vehicle that is at the edge of what it can do."""


def _moved(was: KeptRun, now: KeptRun, tolerance: Mapping[str, str | float]) -> list[dict[str, Any]]:
    rows: list[dict[str, Any]] = []
    place = {"vehicle": now.vehicle, "course": now.course}

    def tell(figure: str, a: Any, b: Any, verdict: str, **more: Any) -> None:
        row = place | {"figure": figure, "was": a, "now": b, "by": "", "allowed": "", "verdict": verdict}
        rows.append(row | dict.fromkeys(_ENDS) | more)

    if abs(now.share - was.share) >= FEWER_OVER:
        tell("completed", _went(was), _went(now), "worse" if now.share < was.share else "better")
    elif was.ended and now.ended and was.ended != now.ended:
        tell("completed", was.ended, now.ended, "changed")
    # Figures of runs that end half way are no measure of whole ones.
    alike = bool(was.ended) == bool(now.ended)
    for figure in sorted(was.figures.keys() | now.figures.keys()) if alike else ():
        a, b = was.figures.get(figure), now.figures.get(figure)
        if a is None or b is None:
            # A figure that is new is no loss; one that is no longer given may hide one.
            if a is not None and not now.ended:
                tell(figure, a.median, "none", "changed")
            continue
        room = allowed(figure, a, b, tolerance)
        by = b.median - a.median
        # The last digit of a kept figure is no move.
        still = abs(by) <= room + 1e-9 * max(abs(a.median), abs(b.median))
        if still and not begins(figure, a, b):
            continue
        ends = dict(zip(_ENDS, (a.low, a.high, b.low, b.high), strict=True))
        tell(figure, a.median, b.median, _verdict(figure, a.median, b.median), by=by, allowed=room, **ends)
    for row in rows:
        row["loss"] = row["verdict"] != "better"
    return rows


def _went(run: KeptRun) -> str:
    """`yes`, `in 6 of 8 runs`, or why not."""
    if run.over is not None and 0 < run.over < run.runs:
        return f"in {run.over} of {run.runs} runs"
    return run.ended or "yes"


def allowed(figure: str, was: Range, now: Range, tolerance: Mapping[str, str | float]) -> float:
    """How far a figure's median may move: by its tolerance, and by as much as both ranges are wide together.

    Medians of eight runs each, drawn from the same, are so far apart in one or two cases of a million, and a check
    compares some thousand figures (tests/study/test_baseline_ranges.py).
    """
    amount, share = allowance(tolerance.get(figure.split(".")[0], tolerance.get(EVERY, 0)))
    return max(amount * abs(was.median) if share else amount, was.width + now.width)


def begins(figure: str, was: Range, now: Range) -> bool:
    """Whether what must not happen did in none of the kept runs and does in all of these: a part yields, a stop is
    hit. Then it is told however little the figure has moved."""
    of = known(figure)
    bad = of.bad if of is not None else None
    if bad is None or was.plain == now.plain:
        return False
    before, after = ([bad.happened(end) for end in (r.low, r.high)] for r in (was, now))
    return not any(before) and all(after)


def _verdict(figure: str, was: float, now: float) -> str:
    better = better_of(figure)
    if better is Better.NEITHER:
        return "changed"
    return "better" if (now < was) == (better is Better.LOWER) else "worse"


def _kept(baseline: Baseline, table: pd.DataFrame) -> Kept:
    files = Files()
    runs = []
    cases: list[Case] = list(baseline.plan)
    every = figure_columns(table)
    columns = [c for c in every if not is_range(c, every) and c not in (RUNS, OVER)]
    for case, row in zip(cases, table.to_dict("records"), strict=True):
        figures = {}
        for column in columns:
            value = _number(row[column])
            if value is not None and guarded(column):
                low, high = (_number(row.get(column + end)) for end in (LOW, HIGH))
                figures[column] = Range(value, value if low is None else low, value if high is None else high)
        ended = "" if row["state"] == DONE and row.get("completed", True) else why_not(pd.Series(row))
        near, over = (_number(row.get(name)) for name in (RUNS, OVER))
        count = (1, None) if near is None or over is None else (int(near), int(over))
        runs.append(KeptRun(case.vehicle.stem, case.course.stem, ended, figures, *count))
    return Kept(
        identity(),
        {v.stem: tables_of(files.text(v), str(v)).data for v in baseline.plan.vehicles},
        {c.stem: parse_toml(files.text(c), str(c)) for c in baseline.plan.courses},
        {
            **{v.stem: files.hash(v) for v in baseline.plan.vehicles},
            **{c.stem: files.hash(c) for c in baseline.plan.courses},
        },
        dict(baseline.declared.settings),
        tuple(runs),
    )


def _number(value: Any) -> float | None:
    """A number of a table; None where it holds none."""
    number = isinstance(value, (int, float)) and not isinstance(value, bool) and math.isfinite(value)
    return float(value) if number else None


def _same_set(baseline: Baseline, old: Kept) -> None:
    """Raises InputError if runs were kept for other vehicles or courses than the file lists now."""
    want = {(c.vehicle.stem, c.course.stem) for c in baseline.plan}
    have = {(r.vehicle, r.course) for r in old.runs}
    said = [f"{v} over {c} is listed but was not kept" for v, c in sorted(want - have)]
    said += [f"{v} over {c} was kept but is no longer listed" for v, c in sorted(have - want)]
    if said:
        more = f" (and {len(said) - 3} more)" if len(said) > 3 else ""
        raise InputError(
            Problem(
                f"{'; '.join(said[:3])}{more}; put the list right, or remove the file and keep it anew",
                file=str(baseline.kept),
            )
        )


def _known_figures(baseline: Baseline, kept: Kept | None = None) -> None:
    """Raises InputError if a tolerance is for a figure that no run gives: a misspelt one would hold nothing."""
    known = {name.split(".")[0] for run in (kept.runs if kept else ()) for name in run.figures}
    known |= {f.name.split(".")[0] for f in figures.TABLE} | {EVERY}
    lines = line_numbers(read_text(baseline.file))
    said = [
        Problem(
            f"no run gives a figure of that name{did_you_mean(name, known)}",
            f"tolerance.{plain(name)}",
            file=str(baseline.file),
            line=line_of(("tolerance", name), lines),
        )
        for name in baseline.declared.tolerance
        if name not in known
    ]
    if said:
        raise InputError(said)
