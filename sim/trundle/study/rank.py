"""Which variant is best on what, which are beaten on every count, and in which order to read them.

Where figures have ranges, of near runs, one is better than another only where that shows (see trundle.study.ranges).
"""

from __future__ import annotations

import numpy as np
import pandas as pd

from trundle.findings.figures import Better, Figure
from trundle.findings.figures.parts import MISSING
from trundle.findings.near_row import HIGH, LOW, OVER, RUNS
from trundle.study.figures import WHY, completed, ranked, through, why_not
from trundle.study.ranges import AT_ONCE, Costs, Flags, ends, has_ranges

LEAST = "least_margin"
"""The figure below 1 where something yields."""


def worst_over_courses(table: pd.DataFrame) -> pd.DataFrame:
    """One row per variant: each figure at its worst over the courses and speeds it was run on.

    table: a study's results. Gives back `variant`, `vehicle`, the varied fields, `completed` (all courses),
    `reason` (of the first course that failed) and the ranked figures, with their ranges if they have any; a failed
    run's figures are left out. If the table has that, also of how many kinds of part the strength is unknown. Of near
    runs also how many there are and, on the course where fewest do, how many of them reach the end (`near_runs`,
    `near_over`).
    """
    figures = ranked(table)
    over = completed(table)
    first = table.columns[: table.columns.get_loc("state")]
    own = [c for c in first if c != "course" and (c != "speed_m_s" or speed_is_varied(table))]
    wide = [f for f in figures if f.name + LOW in table]
    near = [RUNS, OVER] if RUNS in table and OVER in table else []
    names = [f.name for f in figures] + [f.name + end for f in wide for end in (LOW, HIGH)]
    missing = [MISSING] if MISSING in table else []
    columns = [*own, "completed", *near, "reason", *missing, *names]
    if table.empty:
        return pd.DataFrame(columns=columns)
    # One pass over the table for all variants: a selection of rows for each takes minutes for ten thousand.
    codes, variants = pd.factorize(table["variant"], sort=True)
    worst = pd.DataFrame(table[own].iloc[_first_of_each(codes, len(variants))].to_dict("records"))
    worst["completed"] = over.groupby(codes).all().to_numpy()
    worst["reason"] = _first_reasons(table, over, codes, len(variants))
    if near:
        fewest = (table[OVER] / table[RUNS]).fillna(0.0).groupby(codes).min()
        worst[RUNS] = table[RUNS].fillna(1.0).groupby(codes).max().to_numpy().astype(int)
        worst[OVER] = np.rint(fewest.to_numpy() * worst[RUNS].to_numpy()).astype(int)
    if missing:
        worst[MISSING] = table[MISSING].astype(float).groupby(codes).max().to_numpy()
    known = table[[f.name for f in figures]].astype(float)
    for f in wide:
        known[f.name + LOW], known[f.name + HIGH] = ends(table, f.name)
    grouped = known.where(over).groupby(codes)
    most, least = grouped.max(), grouped.min()
    # The worst of several courses lies between the worst of their low ends and the worst of their high ones.
    found = {
        name: (most if f.better is Better.LOWER else least)[name].to_numpy()
        for f in figures
        for name in (f.name, f.name + LOW, f.name + HIGH)
        if name in known
    }
    return pd.concat([worst, pd.DataFrame(found, index=worst.index)], axis=1)[columns]


def _first_of_each(
    codes: np.ndarray[tuple[int], np.dtype[np.intp]], count: int
) -> np.ndarray[tuple[int], np.dtype[np.intp]]:
    """The first row of each code from 0 to count - 1; -1 for one that no row has."""
    first = np.full(count, -1, dtype=np.intp)
    first[codes[::-1]] = np.arange(len(codes))[::-1]
    return first


def _first_reasons(
    table: pd.DataFrame, over: pd.Series[bool], codes: np.ndarray[tuple[int], np.dtype[np.intp]], count: int
) -> list[str]:
    """For each variant the first course that it is not over, and why, or ""."""
    failed = np.flatnonzero(~over.to_numpy(dtype=bool))
    at = _first_of_each(codes[failed], count)
    told = [""] * count
    rows = table.iloc[failed[at[at >= 0]]][[c for c in ("course", *WHY) if c in table]].to_dict("records")
    for code, row in zip(np.flatnonzero(at >= 0), rows, strict=True):
        told[int(code)] = f"{row['course']}: {why_not(row)}"
    return told


def speed_is_varied(table: pd.DataFrame) -> bool:
    """Whether each variant has a speed of its own, rather than all of them the same few."""
    if "speed_m_s" not in table or table["speed_m_s"].nunique() < 2:
        return False
    return bool((table.groupby("variant")["speed_m_s"].nunique() == 1).all())


def over_what(table: pd.DataFrame) -> str:
    """Over what a variant's figures are at their worst, in words."""
    speeds = "speed_m_s" in table and table["speed_m_s"].nunique() > 1 and not speed_is_varied(table)
    courses = "courses" if table["course"].nunique() > 1 else "course"
    return f"the {courses} and speeds" if speeds else f"the {courses}"


def costs(worst: pd.DataFrame, figures: list[Figure]) -> np.ndarray[tuple[int, int], np.dtype[np.float64]]:
    """The figures turned so that less is better, shape (variants, figures); nan where there is none."""
    signs = [-1.0 if f.better is Better.HIGHER else 1.0 for f in figures]
    return worst[[f.name for f in figures]].to_numpy(dtype=float) * signs


def beaten_by(worst: pd.DataFrame) -> pd.Series[str]:
    """For each variant the number of one that is as good on every count and better on one, or "".

    Two are compared on the figures that both have: without springs there is no spring margin to be better or
    worse by, and that does not save it from being beaten on the rest. Three with different gaps may then beat each
    other in a ring, but only if they are equal on every figure that all three have.
    A variant that does not complete is beaten by none and beats none: it is out of the comparison. With ranges, one is
    as good where it does not show that it is worse, and better where that shows.
    """
    if has_ranges(worst, [f.name for f in ranked(worst)]):
        return _beaten_beyond_ranges(worst)
    cost = costs(worst, ranked(worst))
    usable = worst["completed"].to_numpy(dtype=bool) & ~np.isnan(cost).all(axis=1)
    cost[~usable] = np.nan
    front = _fronts(cost, np.flatnonzero(usable))
    # Who is beaten in turn is named last, so that the reader is led to one worth looking at.
    rivals = cost[front].T.copy()
    front = front[np.argsort([_beaters(rivals, cost[i]).size > 0 for i in front], kind="stable")]
    rivals = cost[front].T.copy()
    names = worst["variant"].astype(str).to_numpy()
    out = np.full(len(worst), "", dtype=object)
    for i in np.flatnonzero(usable):
        winners = _beaters(rivals, cost[i])
        if len(winners):
            out[i] = names[front[winners[0]]]
    return pd.Series(out, index=worst.index, dtype=str)


def _beaten_beyond_ranges(worst: pd.DataFrame) -> pd.Series[str]:
    """As beaten_by. Every variant with every other: what is no worse than what is no worse may be worse."""
    columns = _costs_of(worst)
    places = _mean_of_places(columns)
    there = np.flatnonzero(~np.isnan(places))
    there = there[np.argsort(places[there], kind="stable")]
    few = [Costs(c.middle[there], c.low[there], c.high[there]) for c in columns]
    winner = np.full(len(there), -1)
    beaten = np.zeros(len(there), dtype=bool)
    step = max(AT_ONCE // max(len(there), 1), 1)
    for last in (False, True):  # who is beaten in turn is named last
        for first in range(0, len(there), step):
            part = slice(first, first + step)
            beats = _beats(few, part)
            if not last:
                beaten[part] = beats.any(axis=1)
                continue
            free = beats & ~beaten
            named = np.where(free.any(axis=1), free.argmax(axis=1), beats.argmax(axis=1))
            winner[part] = np.where(beats.any(axis=1), named, -1)
    out = np.full(len(worst), "", dtype=object)
    names = worst["variant"].astype(str).to_numpy()
    for i, by in zip(there, winner, strict=True):
        out[i] = "" if by < 0 else names[there[by]]
    return pd.Series(out, index=worst.index, dtype=str)


def _beats(columns: list[Costs], part: slice) -> Flags:
    """Which variants beat which of a part, (part, variants): worse on no figure, and better on one, as far as it
    shows."""
    found: list[Flags] = []
    for c in columns:
        middle, low, high = c.middle[part, None], c.low[part, None], c.high[part, None]
        better = (c.middle < low) & (c.high < middle)
        worse = (c.middle > high) & (c.low > middle)
        found = [better, worse] if not found else [found[0] | better, found[1] | worse]
    some: Flags = found[0] & ~found[1]
    return some


def _costs_of(worst: pd.DataFrame) -> list[Costs]:
    """Each ranked figure of the variants that complete."""
    figures = ranked(worst)
    over = worst.where(worst["completed"].astype(bool))
    return [Costs.of(over, f.name, f.better is Better.HIGHER) for f in figures]


def _mean_of_places(columns: list[Costs]) -> np.ndarray[tuple[int], np.dtype[np.float64]]:
    """As mean_places, of figures with ranges."""
    places = pd.DataFrame({k: c.places() for k, c in enumerate(columns)})
    return _mean_stretched(places)


def _mean_stretched(places: pd.DataFrame) -> np.ndarray[tuple[int], np.dtype[np.float64]]:
    many = int(places.notna().any(axis=1).sum())
    return (places * ((many + 1) / (places.count() + 1))).mean(axis=1).to_numpy()


def _beaters(
    rivals: np.ndarray[tuple[int, int], np.dtype[np.float64]], one: np.ndarray[tuple[int], np.dtype[np.float64]]
) -> np.ndarray[tuple[int], np.dtype[np.intp]]:
    """Which of the rivals, shape (figures, rivals), are as good as one on each figure that both have, and better on
    one of these; in their order."""
    # A comparison with nan is false, so a figure that either lacks speaks for neither. Each figure leaves fewer to ask
    # about the next: of ten thousand hardly any is looked at on all.
    left = np.flatnonzero(~(rivals[0] > one[0])) if len(one) else np.empty(0, dtype=np.intp)
    for figure, mine in zip(rivals[1:], one[1:], strict=True):
        left = left[~(figure[left] > mine)]
    return left[np.any(rivals[:, left] < one[:, None], axis=0)]


def _fronts(
    cost: np.ndarray[tuple[int, int], np.dtype[np.float64]], among: np.ndarray[tuple[int], np.dtype[np.intp]]
) -> np.ndarray[tuple[int], np.dtype[np.intp]]:
    """Of those that have the same figures, the ones that none of them beats; all such groups, best places first.

    Whatever beats a variant has in its own group one on the front that beats it too, so these are enough to
    compare with, and not every variant with every other.
    """
    places = mean_places(cost)
    alike: dict[bytes, list[int]] = {}
    # A beaten variant has a worse mean place than the one of its group that beats it, so it comes after that.
    for i in sorted(map(int, among), key=lambda k: float(places[k])):
        alike.setdefault(np.isnan(cost[i]).tobytes(), []).append(i)
    fronts: list[int] = []
    for group in alike.values():
        front = np.empty((cost.shape[1], len(group)))
        many = 0
        for i in group:
            if not len(_beaters(front[:, :many], cost[i])):
                front[:, many] = cost[i]
                many += 1
                fronts.append(i)
    found = np.array(fronts, dtype=np.intp)
    return found[np.argsort(places[found], kind="stable")]


def mean_places(
    cost: np.ndarray[tuple[int, int], np.dtype[np.float64]],
) -> np.ndarray[tuple[int], np.dtype[np.float64]]:
    """Mean of each variant's places on the figures that it has (1 = best, ties share a place), shape (variants,).

    A figure that only some have gives places from 1 to their number: these are stretched to the number of all,
    or the last of two would stand as well as the second of ten. nan for a variant without figures.
    """
    return _mean_stretched(pd.DataFrame(cost).rank(method="average"))


def rank(table: pd.DataFrame) -> pd.DataFrame:
    """Variants in reading order: those that complete first, of these those in which nothing yields, and of these those
    whose strength is known; then the ones that complete in all of their near runs, then by their mean place over the
    figures.

    A variant with a run that was not made, or ended by a fault of the program or the computer, is not among them.

    Columns of `worst_over_courses` with `place` (1 = first), `mean_place` (mean over the figures that it has of
    its place among all variants, of those that do not differ the same; empty for one that does not complete),
    `beaten_by`, `best_on` (headings of the figures where none is better, if any is worse; `(shared)` where others are
    as good), `yields` (some part does on some course, in any near run: `least_margin` below 1) and `strength_unknown`
    (it has no margin, or parts whose sizes its file does not give): what may yield unseen counts as if it did.
    """
    worst = worst_over_courses(through(table))
    figures = ranked(worst)
    worst["yields"] = ends(worst, LEAST)[0] < 1.0 if LEAST in worst else False
    worst["strength_unknown"] = _unknown(worst, LEAST in table) & ~worst["yields"]
    shown, worst = worst, _without_margin(worst)
    columns = _costs_of(worst)
    if has_ranges(worst, [f.name for f in figures]):
        worst["mean_place"] = _mean_of_places(columns)
    else:
        cost = costs(worst, figures)
        cost[~worst["completed"].to_numpy(dtype=bool)] = np.nan
        worst["mean_place"] = mean_places(cost)
    worst["beaten_by"] = beaten_by(worst)
    worst["best_on"] = _best_on(columns, figures, len(worst))
    worst[shown.columns] = shown
    always = worst[OVER] == worst[RUNS] if OVER in worst else pd.Series(True, index=worst.index)
    keys = ["completed", "yields", "strength_unknown", "_always", "mean_place", "variant"]
    worst = worst.assign(_always=always).sort_values(
        keys, ascending=[False, True, True, False, True, True], kind="stable"
    )
    worst = worst.drop(columns="_always").reset_index(drop=True)
    worst.insert(0, "place", range(1, len(worst) + 1))
    return worst


def _unknown(worst: pd.DataFrame, asked: bool) -> pd.Series[bool]:
    """Which variants that complete have parts whose strength nobody knows. asked: the table is of runs that tell."""
    none = worst[LEAST].isna() if LEAST in worst else pd.Series(asked, index=worst.index)
    some = worst[MISSING] > 0.0 if MISSING in worst else pd.Series(False, index=worst.index)
    return (none | some) & worst["completed"].astype(bool)


def _without_margin(worst: pd.DataFrame) -> pd.DataFrame:
    """The table as it is compared: what is not known beats nobody for being left out."""
    names = [n for n in (LEAST, LEAST + LOW, LEAST + HIGH) if n in worst]
    zero = worst[names].mask(worst["strength_unknown"], 0.0)
    return worst.assign(**{n: zero[n] for n in names})


def _best_on(columns: list[Costs], figures: list[Figure], count: int) -> list[str]:
    told: list[list[str]] = [[] for _ in range(count)]
    for column, figure in zip(columns, figures, strict=True):
        best = np.flatnonzero(column.best())
        for i in best:
            told[int(i)].append(f"{figure.title} (shared)" if len(best) > 1 else figure.title)
    return [", ".join(t) for t in told]
