"""The ranking against its definition, written out as slowly as it reads: to the last bit, on random tables."""

from __future__ import annotations

from typing import Any

import numpy as np
import pandas as pd
import pytest

from trundle.findings.figures import TABLE, Better, Figure
from trundle.study.figures import completed, ranked, why_not
from trundle.study.rank import beaten_by, costs, mean_places, speed_is_varied, worst_over_courses

FIGURES = [f for f in TABLE if f.ranked]


def random_table(rng: np.random.Generator) -> pd.DataFrame:
    """A study's results: some refused, short of the end, not to be trusted; some figures lacking, many tied."""
    variants, courses = int(rng.integers(1, 40)), int(rng.integers(1, 4))
    speeds = [0.8, 1.2][: int(rng.integers(1, 3))]
    rows: list[dict[str, Any]] = []
    gaps = rng.random(len(FIGURES)) < 0.3
    for variant in range(1, variants + 1):
        for speed in speeds:
            for course in range(courses):
                lot = rng.random()
                row: dict[str, Any] = {"variant": variant, "vehicle": "v", "course": f"c{course}", "speed_m_s": speed}
                row |= {"hull.mass_kg": 200 + variant, "hull.name": "a" if variant % 3 else "=b"}
                row |= {
                    "state": "refused" if lot < 0.05 else "done",
                    "reason": "no springs\nnone" if lot < 0.05 else "",
                }
                if lot >= 0.05:
                    row |= {"completed": bool(lot > 0.12), "ended_because": "stalled" if lot < 0.12 else "course end"}
                    row |= {"energy_error": 0.3 if lot > 0.97 else 1e-4}
                    lacks = gaps & (rng.random(len(FIGURES)) < 0.4)
                    drawn = rng.integers(-2, 4, len(FIGURES)) / 3.0
                    row |= {f.name: float(v) for f, v, no in zip(FIGURES, drawn, lacks, strict=True) if not no}
                rows.append(row)
    table = pd.DataFrame(rows)
    first = list(table.columns[: table.columns.get_loc("reason") + 1])
    return table[[*first, *(c for c in table.columns if c not in first)]]


def slow_worst(table: pd.DataFrame) -> pd.DataFrame:
    """Variant by variant, course by course."""
    figures, over = ranked(table), completed(table)
    first = table.columns[: table.columns.get_loc("state")]
    own = [c for c in first if c != "course" and (c != "speed_m_s" or speed_is_varied(table))]
    rows = []
    for _, part in table.groupby("variant", sort=True):
        ok = over[part.index]
        row = {c: part[c].iloc[0] for c in own} | {"completed": bool(ok.all())}
        failed = part[~ok]
        row["reason"] = f"{failed['course'].iloc[0]}: {why_not(failed.iloc[0])}" if len(failed) else ""
        for f in figures:
            values = part.loc[ok, f.name].astype(float)
            row[f.name] = values.max() if f.better is Better.LOWER else values.min()
        rows.append(row)
    return pd.DataFrame(rows, columns=None if rows else [*own, "completed", "reason", *(f.name for f in figures)])


def slow_beaten(worst: pd.DataFrame, figures: list[Figure]) -> list[str]:
    """Whoever beats it and is of best mean place, those that are themselves beaten last; of the fronts only."""
    cost = costs(worst, figures)
    usable = worst["completed"].to_numpy(dtype=bool) & ~np.isnan(cost).all(axis=1)
    cost[~usable] = np.nan
    places = mean_places(cost)

    def beats(a: int, b: int) -> bool:
        return bool(not (cost[a] > cost[b]).any() and (cost[a] < cost[b]).any())

    here = [int(i) for i in np.flatnonzero(usable)]
    alike = {i: np.isnan(cost[i]).tobytes() for i in here}
    front = [i for i in here if not any(alike[k] == alike[i] and beats(k, i) for k in here)]
    first_of = {pattern: k for k, pattern in enumerate(dict.fromkeys(alike[i] for i in sorted(here, key=places.item)))}
    front.sort(key=lambda i: (any(beats(k, i) for k in front), places[i], first_of[alike[i]], i))
    names = worst["variant"].astype(str)
    found = {i: next((names[k] for k in front if beats(k, i)), "") for i in here}
    return [found.get(i, "") for i in range(len(worst))]


@pytest.mark.parametrize("seed", range(60))
def test_ranking_is_its_definition_to_the_last_bit(seed: int) -> None:
    table = random_table(np.random.default_rng(seed))
    if seed % 10 == 0:
        table = table.iloc[::-1]
    worst = worst_over_courses(table)
    pd.testing.assert_frame_equal(worst, slow_worst(table), check_exact=True)
    assert list(beaten_by(worst)) == slow_beaten(worst, ranked(worst))
