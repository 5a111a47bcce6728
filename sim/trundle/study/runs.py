"""Runs the cases of a study and gives back the results table: cases in, DataFrame out."""

from __future__ import annotations

import itertools
import json
from collections.abc import Callable, Iterable, Iterator, Mapping, Sized
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pandas as pd

from trundle.engine.cores import core_count
from trundle.errors import InputError, Problem
from trundle.study.case import Case, Files, key_of, payload_of, run_case
from trundle.study.engine import Engine, StudyStoppedError
from trundle.study.figures import NOT_RUN
from trundle.study.files import is_timeline, write_csv, write_parquet
from trundle.study.journal import Journal
from trundle.study.pool import Outcome, run_all
from trundle.study.worker import REFUSED

JOURNAL = "study.sqlite"
CHUNK_ROWS = 1_000

Progress = Callable[[int, int], None]
"""Called with (runs finished, runs in all), those found in the journal included."""


@dataclass(frozen=True)
class How:
    """How a study is run; nothing here changes a result.

    out: folder for journal and tables (None: nothing is written). workers, cluster: see pool.run_all.
    engine: one that is already open, used instead. budget_s: longest time one run may take [s].
    timelines: write every run's time series into `out`.
    """

    out: Path | None = None
    workers: int | None = None
    cluster: str | None = None
    budget_s: float | None = 600.0
    timelines: bool = False
    progress: Progress | None = None
    engine: Engine | None = None
    function: Callable[[dict[str, Any]], dict[str, Any]] = run_case


@dataclass
class Study:
    """A results table and how it came about.

    table: one row per case, in their order: `variant`, `vehicle`, `course`, the varied fields, `state` (done, refused,
    fault, killed, overtime or not run), `reason`, then the figures: medians of its near runs, with their ranges (see
    trundle.findings.near_row).
    reused: runs found in the journal. interrupted: Ctrl-C; the same call goes on from here.
    """

    table: pd.DataFrame
    reused: int = 0
    ran: int = 0
    interrupted: bool = False
    out: Path | None = None


def run_cases(cases: Iterable[Case], how: How | None = None, options: Mapping[str, Any] | None = None) -> Study:
    """Runs every case that the journal does not hold yet.

    cases: iterated over twice (a list, or a Plan that makes them as it goes). options: for `trundle.run`.
    Raises InputError for anything wrong with files, folder, journal or cluster; what is done is kept.
    """
    if iter(cases) is cases:
        cases = list(cases)
    how, options = how or How(), dict(options or {})
    files = Files()
    with Journal(how.out / JOURNAL if how.out else None) as journal:
        try:
            study = _run_missing(cases, how, options, files, journal)
        except StudyStoppedError as e:
            if how.out is None:
                raise
            raise e.with_what_is_left("what is done is kept, the same command goes on from there") from None
        study.table = _table(cases, options, files, journal)
    study.out = how.out
    return study


def save_table(study: Study) -> list[Path]:
    """Writes `runs.parquet` and `runs.csv` into the study's folder. Raises InputError."""
    if study.out is None:
        return []
    paths = [study.out / "runs.parquet", study.out / "runs.csv"]
    write_parquet(study.table, paths[0])
    write_csv(study.table, paths[1])
    return paths


def timeline_path(out: Path, key: str) -> Path:
    """Where the time series of the run with this key is kept."""
    # Absolute: a worker of a cluster stands in another folder.
    return out.resolve() / "timelines" / f"{key}.parquet"


def _run_missing(cases: Iterable[Case], how: How, options: Mapping[str, Any], files: Files, journal: Journal) -> Study:
    total = len(cases) if isinstance(cases, Sized) else sum(1 for _ in cases)
    study = Study(pd.DataFrame())
    seen: set[str] = set()
    inputs: dict[str, Any] = {}

    def tell() -> None:
        if how.progress:
            how.progress(study.reused + study.ran, total)

    def missing() -> Iterator[tuple[str, dict[str, Any]]]:
        for case in cases:
            key = key_of(case, options, files)
            series = timeline_path(how.out, key) if how.timelines and how.out else None
            again = key in seen
            seen.add(key)
            kind = journal.finished(key)
            if again or kind == REFUSED or (kind and (series is None or is_timeline(series))):
                study.reused += 1
                tell()
                continue
            inputs[key] = case.columns() | {"speed_m_s": case.speed_m_s}
            yield key, payload_of(case, options, files, series)

    def keep(outcome: Outcome) -> None:
        journal.write(outcome, inputs.pop(outcome.key))
        study.ran += 1
        tell()

    tasks = missing()
    first = next(tasks, None)
    if first is not None:  # otherwise there is no need to start any worker
        tally = run_all(
            itertools.chain([first], tasks),
            how.function,
            keep,
            # A worker takes a second to start: no more of them than there is work for.
            workers=min(core_count() if how.workers is None else how.workers, total),
            cluster=how.cluster,
            engine=how.engine,
            budget_s=how.budget_s,
        )
        study.interrupted = tally.interrupted
    return study


def _table(cases: Iterable[Case], options: Mapping[str, Any], files: Files, journal: Journal) -> pd.DataFrame:
    """The journal's rows for these cases, built in pieces so that memory holds few rows as dicts."""
    pieces: list[pd.DataFrame] = []
    lead: dict[str, None] = {}
    source = iter(cases)
    while chunk := list(itertools.islice(source, CHUNK_ROWS)):
        rows = []
        outcomes = journal.outcomes(key_of(c, options, files) for c in chunk)
        for case, outcome in zip(chunk, outcomes, strict=True):
            columns = case.columns()
            lead |= dict.fromkeys(columns)
            rows.append({**_figures(outcome), **columns})
        pieces.append(pd.DataFrame(rows))
    if not pieces:
        raise InputError(Problem("there is nothing to run"))
    table = pd.concat(pieces, ignore_index=True)
    first = [*lead, "state", "reason"]
    return table[[*first, *(c for c in table.columns if c not in first)]]


def _figures(outcome: Outcome | None) -> dict[str, Any]:
    if outcome is None:
        return {"state": NOT_RUN, "reason": ""}
    return {"state": outcome.kind, "reason": outcome.reason} | flat(outcome.value or {})


def flat(summary: Mapping[str, Any], prefix: str = "") -> dict[str, Any]:
    """A summary as one row: `{"a": {"x": 1, "y": 2}}` becomes `a.x`, `a.y`; lists become JSON text."""
    row: dict[str, Any] = {}
    for name, value in summary.items():
        if isinstance(value, Mapping):
            row |= flat(value, f"{prefix}{name}.")
        elif isinstance(value, (list, tuple)):
            row[prefix + name] = json.dumps(list(value))
        else:
            row[prefix + name] = value
    return row
