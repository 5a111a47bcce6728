"""What loose tolerances do: a sample of vehicles as they may really come out, all run."""

from __future__ import annotations

import math
import warnings
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import numpy as np
import pandas as pd

from trundle.errors import InputError, Problem
from trundle.findings import figures
from trundle.findings.near_row import OVER, RUNS
from trundle.spec.course import load_course
from trundle.spec.vehicle import load_vehicle
from trundle.study.case import Case, Files
from trundle.study.figures import compared, completed
from trundle.study.grid import check_paths, in_own_unit, make_plan
from trundle.study.limits import Limit, check_before, check_known
from trundle.study.paths import is_course_path
from trundle.study.runs import How, Study, run_cases
from trundle.study.worker import FINAL, REFUSED

CONFIDENCE = 0.95
MAX_SAMPLES = 100_000


@dataclass(frozen=True)
class Tolerance:
    """How far one field may be off, to either side: in its own unit, or as a share of its value."""

    path: str
    amount: float
    is_share: bool


@dataclass(frozen=True)
class ToleranceStudy:
    """study: all runs. chances: one row per bad thing. spread: one row per figure. drivers: figure x field.
    Each begins with `course`.

    chances: `what`, `runs`, `bad`, `chance`, `low`, `high` (Wilson interval at 95 %). spread: `figure`,
    `nominal`, `mean`, `std`, `least`, `p05`, `median`, `p95`, `most`. drivers: `figure`, `field`,
    `rank_correlation` (Spearman), strongest first within each figure.
    """

    study: Study
    fields: tuple[str, ...]
    chances: pd.DataFrame
    spread: pd.DataFrame
    drivers: pd.DataFrame


def parse_tolerance(option: str) -> Tolerance:
    """`hull.mass_kg=5%`, `bogie.*.arm_mm=2` (the field's unit) or `=1/16 in`. Raises InputError."""
    path, eq, text = (part.strip() for part in option.partition("="))
    share = text.endswith("%")
    plain = text.removesuffix("%").strip().strip("\"'")
    try:
        amount = float(plain.replace(",", ".") if share else in_own_unit(plain, path))
    except ValueError:
        amount = math.nan
    if not eq or not path or not math.isfinite(amount) or amount <= 0 or (share and amount > 100):
        raise InputError(
            Problem(
                f'"{option}" is not a tolerance',
                argument="tolerances",
                allowed="PATH=5%, PATH=2 or PATH=1/16 in, above 0",
            )
        )
    return Tolerance(path, amount / 100 if share else amount, share)


def bounds(tolerances: Sequence[Tolerance], case: Case, files: Files) -> dict[str, tuple[float, float]]:
    """Each field that may be off: lowest and highest value, in its own unit, about that of `case`.

    A wildcard makes one dimension per field that it names, since parts are off independently.
    Raises InputError if a field is no number in the file.
    """
    out: dict[str, tuple[float, float]] = {}
    for t in tolerances:
        file = case.course if is_course_path(t.path) else case.vehicle
        set_to = {
            full: value
            for path, value in case.settings.items()
            if is_course_path(path) == is_course_path(t.path)
            for full in files.named_by(path, file)
        }
        for full, written in files.named_by(t.path, file).items():
            value = set_to.get(full, written)
            if isinstance(value, bool) or not isinstance(value, (int, float)):
                said = "is not written in the file" if value is None else f"is not a number (it is {value})"
                raise InputError(Problem(f"{said}, so it can have no tolerance", full, file=str(file)))
            half = abs(value) * t.amount if t.is_share else t.amount
            if half == 0:
                raise InputError(Problem("is 0, and so is any share of it", full, file=str(file)))
            if full in out:
                raise InputError(Problem("has two tolerances", full, file=str(file)))
            out[full] = (value - half, value + half)
    return out


def check_ends(ranges: Mapping[str, tuple[float, float]], case: Case) -> None:
    """Raises InputError if a field may not have the values at the ends of its tolerance: a number of links that is
    not whole, a negative length. What only does not fit together is for the study to find out."""
    for path, ends in ranges.items():
        for value in ends:
            changed = {**case.settings, path: value}
            course = is_course_path(path)
            own = {p: v for p, v in changed.items() if is_course_path(p) == course}
            try:
                load_course(case.course, own) if course else load_vehicle(case.vehicle, own)
            except InputError as e:
                if any(p.field == path for p in e.problems):
                    raise InputError(
                        [replace(p, problem=f"{p.problem}, at the end of its tolerance") for p in e.problems[:1]]
                    ) from None


def sample(count: int, dimensions: int, seed: int) -> np.ndarray[Any, np.dtype[np.float64]]:
    """Scrambled Sobol points in the unit cube, shape (count, dimensions), the same for a seed.

    Source: scipy.stats.qmc.Sobol (Owen scrambling). Best at a power of two; else the first `count`.
    """
    from scipy.stats import qmc

    if not 2 <= count <= MAX_SAMPLES:
        raise InputError(Problem(f"{count} samples", argument="samples", allowed=f"2 to {MAX_SAMPLES}"))
    m = math.ceil(math.log2(count))
    return np.asarray(qmc.Sobol(dimensions, scramble=True, rng=seed).random_base2(m)[:count])


def tolerance_study(
    vehicle: str | Path,
    courses: Sequence[str | Path],
    tolerances: Sequence[str | Tolerance],
    *,
    samples: int = 256,
    seed: int = 1,
    limits: Sequence[Limit] = (),
    settings: Mapping[str, Any] | None = None,
    how: How | None = None,
    options: Mapping[str, Any] | None = None,
) -> ToleranceStudy:
    """Runs `samples` vehicles whose fields lie anywhere within their tolerances, evenly likely.

    Variant 0 is the vehicle as written. limits: further things that count as bad when not held.
    Raises InputError.
    """
    wanted = [parse_tolerance(t) if isinstance(t, str) else t for t in tolerances]
    if not wanted:
        raise InputError(Problem("there is no tolerance", argument="tolerances", allowed="PATH=5% or PATH=2"))
    plan = make_plan(vehicle, courses, settings=settings)
    check_paths(plan, [t.path for t in wanted])
    nominal = list(plan)
    ranges = bounds(wanted, nominal[0], Files())
    check_ends(ranges, nominal[0])
    check_before(limits, nominal, how, options)
    unit = sample(samples, len(ranges), seed)
    cases = [replace(case, variant=0) for case in nominal]
    for number, point in enumerate(unit, start=1):
        values = {
            path: low + (high - low) * float(u) for (path, (low, high)), u in zip(ranges.items(), point, strict=True)
        }
        cases += [replace(case, variant=number, settings={**case.settings, **values}) for case in nominal]
    study = run_cases(cases, how, options)
    check_known(limits, study.table)
    return evaluate(study, tuple(ranges), limits)


def evaluate(study: Study, fields: tuple[str, ...], limits: Sequence[Limit] = ()) -> ToleranceStudy:
    """Chances, spread and drivers of a sample that has been run (variant 0: the vehicle as written)."""
    parts: list[list[pd.DataFrame]] = [[], [], []]
    for course, table in study.table.groupby("course", sort=False):
        # What the program or the computer did not bring to an end says nothing of the vehicle.
        drawn = table[(table["variant"] > 0) & table["state"].isin(FINAL)]
        nominal = table[table["variant"] == 0]
        found = (chances(drawn, limits), spread(drawn, nominal), drivers(drawn, fields))
        for kept, frame in zip(parts, found, strict=True):
            frame.insert(0, "course", course)
            kept.append(frame)
    one, two, three = (pd.concat(kept, ignore_index=True) for kept in parts)
    return ToleranceStudy(study, fields, one, two, three)


def fewest_reached(table: pd.DataFrame) -> int:
    """Of the vehicles drawn, how many reach the end of the course that fewest do."""
    drawn = table[table["variant"] > 0]
    return int(completed(drawn).groupby(drawn["course"]).sum().min()) if len(drawn) else 0


def chance_correlation(vehicles: int) -> float:
    """Size of a rank correlation that chance alone stays within 95 times in 100: 1.96 / sqrt(n - 1), the normal
    approximation for Spearman's coefficient of n independent pairs (Kendall, Rank Correlation Methods); at most 1."""
    return min(1.96 / math.sqrt(vehicles - 1), 1.0) if vehicles > 1 else 1.0


def chances(drawn: pd.DataFrame, limits: Sequence[Limit] = ()) -> pd.DataFrame:
    """Share of the vehicles to which each bad thing happens, in any of their near runs, with its interval.

    The interval is Wilson's for independent draws (scipy.stats.binomtest); Sobol points are spread more
    evenly than independent ones, so it is, if anything, too wide.
    """
    over = completed(drawn)
    invalid = int((drawn["state"] == REFUSED).sum())
    sometimes = drawn[OVER] < drawn[RUNS] if OVER in drawn else ~over
    rows = [_chance("does not reach the end", int((~over | sometimes).sum()), len(drawn))]
    if invalid:
        rows.append(_chance("is not a valid vehicle", invalid, len(drawn)))
    for what, limit in [*_bad(), *((f"{limit} not held", limit) for limit in limits)]:
        if limit.column in drawn and drawn[limit.column].notna().any():
            values = limit.values(drawn[over])
            rows.append(_chance(what, int((~limit.holds(values)).sum()), len(values)))
    return pd.DataFrame(rows)


def _bad() -> list[tuple[str, Limit]]:
    """What is counted as bad, each with the limit that is then not held."""
    return [(f.bad.what, Limit(f.name, f.bad.sign, f.bad.value)) for f in figures.TABLE if f.bad is not None]


def _chance(what: str, bad: int, runs: int) -> dict[str, Any]:
    from scipy.stats import binomtest

    row: dict[str, Any] = {"what": what, "runs": runs, "bad": bad}
    if not runs:
        return row | {"chance": math.nan, "low": 0.0, "high": 1.0}
    interval = binomtest(bad, runs).proportion_ci(CONFIDENCE, method="wilson")
    return row | {"chance": bad / runs, "low": float(interval.low), "high": float(interval.high)}


def _numbers(table: pd.DataFrame) -> list[str]:
    known = [f.name for f in compared()]
    return [c for c in known if c in table and pd.api.types.is_numeric_dtype(table[c])]


def spread(drawn: pd.DataFrame, nominal: pd.DataFrame) -> pd.DataFrame:
    """Each figure over the runs that completed."""
    over = drawn[completed(drawn)]
    rows = []
    for name in _numbers(drawn):
        v = over[name].astype(float).dropna()
        at = nominal[name].astype(float)
        rows.append(
            {
                "figure": name,
                "nominal": float(at.iloc[0]) if len(at) else math.nan,
                "mean": v.mean(),
                "std": v.std(),
                "least": v.min(),
                "p05": v.quantile(0.05),
                "median": v.median(),
                "p95": v.quantile(0.95),
                "most": v.max(),
            }
        )
    names = ["figure", "nominal", "mean", "std", "least", "p05", "median", "p95", "most"]
    return pd.DataFrame(rows, columns=names)


def drivers(drawn: pd.DataFrame, fields: Sequence[str]) -> pd.DataFrame:
    """Spearman's rank correlation of each figure with each field (scipy.stats.spearmanr)."""
    from scipy.stats import ConstantInputWarning, spearmanr

    over = drawn[completed(drawn)]
    rows = []
    for name in _numbers(drawn):
        figure = over[name].astype(float)
        use = figure.notna()
        if use.sum() < 3 or figure[use].nunique() < 2:
            continue
        for path in fields:
            with warnings.catch_warnings():
                warnings.simplefilter("ignore", ConstantInputWarning)
                r = float(spearmanr(over.loc[use, path].astype(float), figure[use]).statistic)
            rows.append({"figure": name, "field": path, "rank_correlation": r})
    if not rows:
        return pd.DataFrame({"figure": [], "field": [], "rank_correlation": []})
    frame = pd.DataFrame(rows)
    order = frame["rank_correlation"].abs().fillna(-1.0)
    place = {name: i for i, name in enumerate(dict.fromkeys(frame["figure"]))}
    frame = frame.assign(_place=frame["figure"].map(place), _size=-order)
    frame = frame.sort_values(["_place", "_size"], kind="stable")
    return frame.drop(columns=["_place", "_size"]).reset_index(drop=True)
