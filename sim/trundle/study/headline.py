"""What a study of variants says first: how many break, how many do not get over, and the worst of the best one."""

from __future__ import annotations

import pandas as pd

from trundle.study.figures import completed

HEADLINE = "headline"
"""Column of a results table: the run's own first line (see trundle.findings.verdict)."""

MOST_COURSES = 3
"""Of more courses the headline of the best variant is told of those in which it has least left."""


def headlines(table: pd.DataFrame, order: pd.DataFrame) -> list[str]:
    """The first lines of a comparison, the worst first. table: its runs; order: their ranking (trundle.study.rank)."""
    if order.empty:
        return []
    count, over = len(order), order["completed"].astype(bool)
    bad = over & order["yields"].astype(bool) if "yields" in order else over & False
    # Of some near runs only: see report.over_in.
    sure = "least_margin" not in order or bool((order.loc[bad, "least_margin"] < 1.0).all())
    may = "" if sure else ", or may yield"
    lines = []
    if count > 1 and not over.any():
        lines.append(f"None of {count} gets over.")
    elif count > 1 and bad.any() and bad.sum() == over.sum():
        lines.append(f"Something yields{may} in {'all that get' if bad.sum() > 1 else 'the only one that gets'} over.")
    elif count > 1 and bad.any():
        stand = "they stand" if bad.sum() > 1 else "it stands"
        lines.append(f"In {bad.sum()} of {count} something yields{may}: {stand} behind those that hold.")
    unknown = int((over & order["strength_unknown"].astype(bool)).sum()) if "strength_unknown" in order else 0
    if unknown:
        lines.append(f"Of {unknown} of {count} the strength is not known, or not all of it.")
    short = int((~over).sum())
    if over.any() and short:
        lines.append(f"{short} of {count} {'do' if short > 1 else 'does'} not get over.")
    best = order.iloc[0]
    what = "The best of them, variant" if count > 1 else "Variant"
    return lines + [f"{what} {best['variant']}: {text}" for text in _of(table, best["variant"])]


def _of(table: pd.DataFrame, variant: object) -> list[str]:
    """The headlines of a variant's runs, of many the ones with least left."""
    if HEADLINE not in table:
        return []
    runs = table[(table["variant"] == variant) & table[HEADLINE].notna()]
    if "least_margin" in runs:
        runs = runs.assign(_over=completed(runs)).sort_values(["_over", "least_margin"], kind="stable")
    return [str(text) for text in runs[HEADLINE].head(MOST_COURSES)]
