"""Finds the settings that hold stated limits with the least seat r.m.s., by a library optimiser."""

from __future__ import annotations

import itertools
import json
import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any, cast

import numpy as np
import pandas as pd

from trundle.errors import InputError, Problem
from trundle.findings.figures import Better, better_of
from trundle.findings.near_row import HIGH, LOW
from trundle.study.case import Case
from trundle.study.grid import Axis, Plan, make_plan
from trundle.study.limits import Limit, check_before, check_known, missed, parse_limit
from trundle.study.pool import open_engine
from trundle.study.ranges import Costs, ends
from trundle.study.runs import How, Progress, Study, run_cases
from trundle.study.worker import FINAL

GOAL = "seat_rms_m_s2"
_LOW, _HIGH = f"goal{LOW}", f"goal{HIGH}"
FAR = 1e6
"""Added to what a setting misses its limits by, so that any that holds them is before any that does not."""

Points = np.ndarray[Any, np.dtype[np.float64]]


@dataclass(frozen=True)
class Found:
    """table: one row per variant tried: fields, `held` (all limits), `missed_by` (share of a limit, summed), the
    limited figures and the goal's, each at its worst over the courses, `reason`; best first.

    A limit is held if it is in all near runs; the goal is their median. best: settings of the best variant that holds
    all limits, None if none does. nearest: settings of the variant that misses them by least (the best one if there is
    one). level: how many others hold all limits and do not differ from the best in the goal, as far as it shows. study:
    every run.
    """

    table: pd.DataFrame
    best: dict[str, Any] | None
    nearest: dict[str, Any] | None
    study: Study
    level: int = 0


class _Search:
    """Settings in, cost out; every point is run once and kept."""

    def __init__(
        self,
        plan: Plan,
        limits: Sequence[Limit],
        goal: str,
        runs: int,
        how: How,
        options: Mapping[str, Any] | None,
    ) -> None:
        self.plan, self.limits, self.goal, self.runs = plan, limits, goal, runs
        self.how, self.options = how, options
        self.base = list(Plan(plan.vehicles, plan.courses, (), plan.speeds_m_s, settings=plan.settings))
        self.rows: dict[str, dict[str, Any]] = {}
        self.tables: list[pd.DataFrame] = []
        self.ran = self.reused = 0
        self.interrupted = False

    def values(self, point: Points) -> tuple[Any, ...]:
        """One point of the optimiser's box as the fields' values."""
        out: list[Any] = []
        for axis, x in zip(self.plan.axes, point, strict=True):
            out.append(float(x) if axis.is_range else axis.values[round(float(x))])
        return tuple(out)

    def run(self, wanted: Sequence[tuple[Any, ...]]) -> None:
        """Runs those that have not been run."""
        new = list({_key(w): w for w in wanted if _key(w) not in self.rows}.values())
        cases: list[Case] = []
        names = [a.path for a in self.plan.axes]
        for number, values in enumerate(new, start=len(self.rows) + 1):
            settings = dict(zip(names, values, strict=True))
            cases += [replace(c, variant=number, settings={**c.settings, **settings}) for c in self.base]
        if not cases:
            return
        study = run_cases(cases, replace(self.how, progress=self._progress()), self.options)
        self.interrupted |= study.interrupted
        self.ran += study.ran
        self.reused += study.reused
        if not self.tables:
            check_known([*self.limits, Limit(self.goal, "<", 0.0)], study.table)
        self.tables.append(study.table)
        sign = -1.0 if better_of(self.goal) is Better.HIGHER else 1.0
        miss = missed(study.table, self.limits)
        for (_, part), values in zip(study.table.groupby("variant", sort=True), new, strict=True):
            if not part["state"].isin(FINAL).all():  # stopped before, or ended by a fault: nothing is known of it
                continue
            goals = part[self.goal].astype(float) * sign if self.goal in part else pd.Series([math.nan])
            by = float(miss[part.index].max())
            goal = float(goals.max())
            self.rows[_key(values)] = {
                "variant": int(part["variant"].iloc[0]),
                **dict(zip(names, values, strict=True)),
                "held": by == 0.0 and math.isfinite(goal),
                "missed_by": by,
                **{k.column: k.worst(part) for k in self.limits if k.column != self.goal},
                "goal": goal * sign,
                **_ends_of(part, self.goal, sign),
                "cost": goal if by == 0.0 and math.isfinite(goal) else FAR * (1.0 + min(by, FAR)),
                "reason": "; ".join(dict.fromkeys(r for r in part["reason"].astype(str) if r)),
            }

    def _progress(self) -> Progress | None:
        """Counts this generation's runs on from those before."""
        tell, before = self.how.progress, sum(map(len, self.tables))
        if tell is None:
            return None
        return lambda finished, total: tell(before + finished, max(self.runs, before + total))

    def __call__(self, points: Points) -> Points:
        """Costs (s,) of points (dimensions, s), as scipy's vectorised optimiser asks for them."""
        wanted = [self.values(p) for p in np.atleast_2d(points.T)]
        if not self.interrupted:
            self.run(wanted)
        rows = [self.rows.get(_key(w)) for w in wanted]
        return np.array([math.inf if row is None else row["cost"] for row in rows])


def _ends_of(part: pd.DataFrame, goal: str, sign: float) -> dict[str, float]:
    """Where the worst of a variant's goals lies."""
    if goal not in part:
        return {_LOW: math.nan, _HIGH: math.nan}
    low, high = ends(part, goal)
    return {end: float((values * sign).max()) * sign for end, values in ((_LOW, low), (_HIGH, high))}


def _key(values: tuple[Any, ...]) -> str:
    return json.dumps(values)


def find(
    vehicle: str | Path,
    courses: Sequence[str | Path],
    vary: Sequence[str | Axis],
    limits: Sequence[str | Limit],
    *,
    goal: str = GOAL,
    runs: int = 400,
    seed: int = 1,
    speeds_m_s: Sequence[float] = (),
    settings: Mapping[str, Any] | None = None,
    how: How | None = None,
    options: Mapping[str, Any] | None = None,
) -> Found:
    """The settings with the least `goal` among those that hold every limit on every course and speed.

    vary: `PATH=V1,V2,...`, `PATH=A:B:STEP` or `PATH=LOW:HIGH`. runs: about how many runs it may take.
    A grid of no more runs than that is run whole; otherwise scipy's differential evolution searches it
    (same seed, same search), and what it finds is the best of what it tried, not proven to be the best.
    Raises InputError.
    """
    held = [parse_limit(t) if isinstance(t, str) else t for t in limits]
    plan = make_plan(vehicle, courses, vary, speeds_m_s=speeds_m_s, settings=settings, ranges=True)
    if not plan.axes:
        raise InputError(Problem("a search needs fields to change", argument="vary"))
    if len(plan.vehicles) > 1:
        raise InputError(Problem("a search is for one vehicle file", "vehicle"))
    whole = not any(a.is_range for a in plan.axes) and len(plan) <= runs
    least = len(plan.courses) * len(plan.speeds_m_s) * (1 if whole else _crowd(plan.axes))
    if not least <= runs <= 100_000:
        raise InputError(Problem(f"{runs} runs", argument="runs", allowed=f"{least} to 100000"))
    how = how or How()
    as_written = Plan(plan.vehicles, plan.courses, (), plan.speeds_m_s, settings=plan.settings)
    check_before([*held, Limit(goal, "<", 0.0)], as_written, how, options)
    with open_engine(how.workers, how.cluster) as engine:  # one for all generations
        search = _Search(plan, held, goal, runs, replace(how, engine=engine), options)
        if whole:
            search.run(list(itertools.product(*(a.values for a in plan.axes))))
        else:
            _evolve(search, plan.axes, runs // (len(plan.courses) * len(plan.speeds_m_s)), seed)
    return _result(search)


def _crowd(axes: Sequence[Axis]) -> int:
    """Points in each generation: five per field is the least that mixes, and many small generations find more."""
    return max(8, 5 * len(axes))


def _evolve(search: _Search, axes: Sequence[Axis], points: int, seed: int) -> None:
    from scipy import optimize
    from scipy.stats import qmc

    # Its type stubs know neither vectorized functions nor this form of callback.
    evolve = cast("Callable[..., object]", optimize.differential_evolution)

    crowd = _crowd(axes)
    box = [(a.low, a.high) if a.is_range else (0.0, len(a.values) - 1.0) for a in axes]
    low, high = (np.array(side, dtype=float) for side in zip(*box, strict=True))
    first = qmc.Sobol(len(axes), rng=seed).random_base2(math.ceil(math.log2(crowd)))[:crowd]
    evolve(
        search,
        list(zip(low, high, strict=True)),
        init=low + first * (high - low),
        integrality=[not a.is_range for a in axes],
        maxiter=points // crowd - 1,
        updating="deferred",
        vectorized=True,
        polish=False,
        tol=1e-4,
        rng=seed,
        callback=lambda intermediate_result: search.interrupted,
    )


def _result(search: _Search) -> Found:
    every = pd.concat(search.tables, ignore_index=True)
    study = Study(every, search.reused, search.ran, search.interrupted, search.how.out)
    if not search.rows:  # stopped before one setting was through
        return Found(pd.DataFrame(), None, None, study)
    table = pd.DataFrame(list(search.rows.values()))
    table = table.sort_values(["cost", "variant"], kind="stable").drop(columns="cost").reset_index(drop=True)
    held = table[table["held"]]
    level = 0
    if len(held):
        shows = Costs.of(held, "goal", better_of(search.goal) is Better.HIGHER).worse_than(0)
        level = len(held) - 1 - int(shows.sum())
    table = table.drop(columns=[_LOW, _HIGH]).rename(columns={"goal": search.goal})
    names = [a.path for a in search.plan.axes]
    best = nearest = None
    if len(table) and math.isfinite(float(table["missed_by"].iloc[0])):
        first = {name: table[name].iloc[0] for name in names}
        nearest = {k: v.item() if hasattr(v, "item") else v for k, v in first.items()}
        best = nearest if bool(table["held"].iloc[0]) else None
    return Found(table, best, nearest, study, level if best is not None else 0)
