"""What a comparison says first."""

from __future__ import annotations

from typing import Any

import pandas as pd

from trundle.study.headline import headlines
from trundle.study.rank import rank


def study(*margins: float, over: tuple[bool, ...] = ()) -> pd.DataFrame:
    """One run for each variant; the lower its margin, the softer its ride: the best-looking one yields first."""
    rows: list[dict[str, Any]] = []
    for k, margin in enumerate(margins, 1):
        done = over[k - 1] if over else True
        rows.append(
            {
                "variant": k, "vehicle": "v", "course": "c", "state": "done", "reason": "", "completed": done,
                "ended_because": "course end" if done else "stalled", "peak_seat_g": margin,
                "seat_rms_m_s2": margin, "least_margin": margin, "energy_error": 0.0, "headline": f"variant {k}",
            }
        )  # fmt: skip
    return pd.DataFrame(rows)


def test_the_best_looking_variant_yields_and_is_not_the_best() -> None:
    """0.8 rides softest and yields: it stands behind, and that is said first."""
    table = study(1.4, 0.8, 1.2)
    order = rank(table)
    assert order["variant"].tolist() == [3, 1, 2]
    assert headlines(table, order) == [
        "In 1 of 3 something yields: it stands behind those that hold.",
        "The best of them, variant 3: variant 3",
    ]


def test_all_yield_and_some_do_not_get_over() -> None:
    """Both are said, before the best of a bad lot."""
    table = study(0.9, 0.8, 0.7, over=(True, True, False))
    assert headlines(table, rank(table))[:2] == [
        "Something yields in all that get over.",
        "1 of 3 does not get over.",
    ]


def test_none_gets_over() -> None:
    """Nothing is called the best by its margins then."""
    table = study(1.5, 1.4, over=(False, False))
    assert headlines(table, rank(table))[0] == "None of 2 gets over."
