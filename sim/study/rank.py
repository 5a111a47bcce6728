"""Which variant is best on what, which are beaten on every count, and in which order to read them."""

from __future__ import annotations

import numpy as np
import pandas as pd

from sim.study.figures import HIGHER, LOWER, Figure, completed, ranked, why_not


def worst_over_courses(table: pd.DataFrame) -> pd.DataFrame:
    """One row per variant: each figure at its worst over the courses and speeds it was run on.

    table: a study's results. Gives back `variant`, `vehicle`, the varied fields, `completed` (all courses),
    `reason` (of the first course that failed) and the ranked figures; a failed run's figures are left out.
    """
    figures = ranked(table)
    over = completed(table)
    own = [c for c in table.columns[: table.columns.get_loc("state")] if c not in ("course", "speed_m_s")]
    rows = []
    for _, part in table.groupby("variant", sort=True):
        ok = over[part.index]
        row = {c: part[c].iloc[0] for c in own}
        row["completed"] = bool(ok.all())
        failed = part[~ok]
        row["reason"] = f"{failed['course'].iloc[0]}: {why_not(failed.iloc[0])}" if len(failed) else ""
        for f in figures:
            values = part.loc[ok, f.column].astype(float)
            row[f.column] = values.max() if f.better == LOWER else values.min()
        rows.append(row)
    return pd.DataFrame(rows)


def costs(worst: pd.DataFrame, figures: list[Figure]) -> np.ndarray[tuple[int, int], np.dtype[np.float64]]:
    """The figures turned so that less is better, shape (variants, figures); nan where there is none."""
    signs = [-1.0 if f.better == HIGHER else 1.0 for f in figures]
    return worst[[f.column for f in figures]].to_numpy(dtype=float) * signs


def beaten_by(worst: pd.DataFrame) -> pd.Series[str]:
    """For each variant the number of one that is as good on every count and better on one, or "".

    A variant that does not complete is beaten by none and beats none: it is out of the comparison.
    """
    figures = ranked(worst)
    cost = costs(worst, figures)
    usable = worst["completed"].to_numpy(dtype=bool) & ~np.isnan(cost).any(axis=1)
    names = worst["variant"].astype(str).to_numpy()
    out = np.full(len(worst), "", dtype=object)
    # In order of the summed ranks a beaten variant comes after one that beats it, so it is enough to
    # compare with those not beaten so far.
    order = np.argsort(worst_rank(cost), kind="stable")
    front: list[int] = []
    for i in (int(k) for k in order if usable[k]):
        if front:
            no_worse = (cost[front] <= cost[i]).all(axis=1)
            better = (cost[front] < cost[i]).any(axis=1)
            winners = np.flatnonzero(no_worse & better)
            if len(winners):
                out[i] = names[front[int(winners[0])]]
                continue
        front.append(i)
    return pd.Series(out, index=worst.index, dtype=str)


def worst_rank(
    cost: np.ndarray[tuple[int, int], np.dtype[np.float64]],
) -> np.ndarray[tuple[int], np.dtype[np.float64]]:
    """Sum over the figures of each variant's place (1 = best, ties share a place), shape (variants,)."""
    return pd.DataFrame(cost).rank(method="average", na_option="bottom").sum(axis=1).to_numpy()


def rank(table: pd.DataFrame) -> pd.DataFrame:
    """Variants in reading order: those that complete first, then by their mean place over the figures.

    Columns of `worst_over_courses` with `place` (1 = first), `mean_place` (mean over the figures of its
    place among all variants), `beaten_by` and `best_on` (headings of the figures where none is better).
    """
    worst = worst_over_courses(table)
    figures = ranked(worst)
    cost = costs(worst, figures)
    cost[~worst["completed"].to_numpy(dtype=bool)] = np.nan
    worst["mean_place"] = worst_rank(cost) / max(len(figures), 1)
    worst["beaten_by"] = beaten_by(worst)
    worst["best_on"] = _best_on(cost, figures)
    worst = worst.sort_values(
        ["completed", "mean_place", "variant"], ascending=[False, True, True], kind="stable"
    ).reset_index(drop=True)
    worst.insert(0, "place", range(1, len(worst) + 1))
    return worst


def _best_on(cost: np.ndarray[tuple[int, int], np.dtype[np.float64]], figures: list[Figure]) -> list[str]:
    told: list[list[str]] = [[] for _ in range(len(cost))]
    for j, figure in enumerate(figures):
        column = cost[:, j]
        # Where all are alike, none is best.
        if np.isnan(column).all() or np.nanmin(column) == np.nanmax(column):
            continue
        for i in np.flatnonzero(column == np.nanmin(column)):
            told[int(i)].append(figure.title.split(" [")[0])
    return [", ".join(t) for t in told]
