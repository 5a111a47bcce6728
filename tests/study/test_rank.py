"""Ranking, Pareto front and limits, on tables small enough to see the answer."""

from __future__ import annotations

import numpy as np
import pandas as pd
import pytest

from trundle.errors import InputError
from trundle.findings.figures import TABLE, Better
from trundle.study.figures import why_not
from trundle.study.limits import check_known, missed, parse_limit
from trundle.study.rank import beaten_by, rank, worst_over_courses
from trundle.study.report import over_in


def table(**columns: list[object]) -> pd.DataFrame:
    n = len(next(iter(columns.values())))
    base = {"variant": list(range(1, n + 1)), "vehicle": ["v"] * n, "course": ["c"] * n}
    state = {"state": ["done"] * n, "reason": [""] * n, "completed": [True] * n}
    return pd.DataFrame(base | state | columns)


def test_beaten_on_every_count() -> None:
    """3 is worse than 1 on both; 2 and 1 each lead on one; 4 is as 1 and better on none: not beaten."""
    t = table(peak_seat_g=[1.0, 2.0, 1.5, 1.0], min_belly_clearance_mm=[10.0, 20.0, 9.0, 10.0])
    order = rank(t).set_index("variant")
    assert dict(order["beaten_by"]) == {1: "", 2: "", 3: "1", 4: ""}
    assert order.loc[2, "best_on"] == "least belly clearance"
    assert order.loc[1, "best_on"] == order.loc[4, "best_on"] == "peak seat (shared)"


def test_what_yields_never_ranks_above_what_holds() -> None:
    """3 is best on all else, but a part of it yields on one of its courses; 1 ends early and holds, so it comes last.
    Of two that yield, and where no margin is known, the other figures decide."""
    t = table(
        peak_seat_g=[0.5, 3.0, 1.0, 2.0], peak_pitch_deg=[1.0, 9.0, 2.0, 3.0], least_margin=[3.0, 1.01, 0.99, 0.5]
    )
    other = t.assign(course="d", least_margin=[3.0, 2.0, 2.0, 2.0])
    t.loc[0, "completed"] = False
    order = rank(pd.concat([t, other], ignore_index=True))
    assert list(order["variant"]) == [2, 3, 4, 1]
    assert list(order["yields"]) == [False, True, True, False]
    assert order.loc[0, "beaten_by"] == ""
    assert list(rank(t.assign(least_margin=np.nan))["variant"]) == [3, 4, 2, 1]


def test_unknown_strength_ranks_behind_what_holds_and_before_what_yields() -> None:
    """1 knows its springs only, 4 nothing: best on all else, they beat nobody that is known to hold."""
    t = table(
        peak_seat_g=[0.5, 3.0, 1.0, 0.6], peak_pitch_deg=[1.0, 9.0, 2.0, 0.5],
        least_margin=[9.0, 1.01, 0.99, None], margins_missing=[4, 0, 0, 8],
    )  # fmt: skip
    order = rank(t)
    assert order.loc[0, "variant"] == 2
    assert set(order["variant"][1:3]) == {1, 4}
    assert list(order["strength_unknown"]) == [False, True, True, False]
    assert order.loc[0, "least_margin"] == 1.01
    assert order.set_index("variant").loc[1, "least_margin"] == 9.0
    assert order.loc[0, "beaten_by"] == ""
    assert [over_in(row) for row in order.to_dict("records")] == [
        "over", "over, strength not known", "over, strength not known", "over, but yields",
    ]  # fmt: skip
    # On several courses one that gives no margin is enough, and the most parts count.
    other = t.assign(course="d", least_margin=2.0, margins_missing=0)
    assert list(rank(pd.concat([t, other], ignore_index=True))["strength_unknown"]) == [False, True, True, False]


def test_front_equals_the_definition_pair_by_pair() -> None:
    """Against the definition of dominance applied to all pairs, on 300 random variants with ties."""
    rng = np.random.default_rng(5)
    figures = [f for f in TABLE if f.ranked][:4]
    values = {f.name: rng.integers(0, 6, 300).astype(float) for f in figures}
    t = table(**{k: list(v) for k, v in values.items()})
    t.loc[::17, "completed"] = False
    worst = worst_over_courses(t)
    signs = [-1 if f.better is Better.HIGHER else 1 for f in figures]
    cost = np.column_stack([values[f.name] * s for f, s in zip(figures, signs, strict=True)])
    usable = t["completed"].to_numpy()
    for i, winner in enumerate(beaten_by(worst)):
        beats = [
            j
            for j in range(300)
            if usable[i] and usable[j] and (cost[j] <= cost[i]).all() and (cost[j] < cost[i]).any()
        ]
        assert bool(beats) == (winner != "")
        assert winner == "" or int(winner) - 1 in beats


def test_a_lacking_figure_shields_nobody() -> None:
    """2 and 3 are worse than 1 on all that they share with it: 2 lacks the same figure, 3 has one more."""
    margins = [None, None, 2.0, 1.5]
    t = table(peak_seat_g=[1.0, 2.0, 3.0, 0.5], seat_rms_m_s2=[1.0, 2.0, 3.0, 4.0], spring_margin=margins)
    order = rank(t).set_index("variant")
    assert dict(order["beaten_by"]) == {1: "", 2: "1", 3: "1", 4: ""}


def test_who_beats_is_named_before_who_is_beaten_in_turn() -> None:
    """4 is beaten by 2 and 3 in its group, and by 1 across, which beats those too."""
    margins = [None, 2.0, 2.0, 1.0]
    t = table(peak_seat_g=[1.0, 2.0, 2.5, 3.0], bump_stop_hits=[0.0, 1.0, 1.0, 2.0], spring_margin=margins)
    assert list(beaten_by(worst_over_courses(t))) == ["", "1", "1", "1"]


def test_front_with_gaps_equals_the_definition_pair_by_pair() -> None:
    """As above, on 300 random variants of which two figures are often missing: one loop over pairs and figures."""
    rng = np.random.default_rng(6)
    figures = [f for f in TABLE if f.ranked and f.better is not Better.HIGHER][:4]
    cost = rng.integers(0, 40, (300, 4)).astype(float)
    cost[:, 2:][rng.random((300, 2)) < 0.4] = np.nan
    t = table(**{f.name: list(cost[:, j]) for j, f in enumerate(figures)})

    def beats(j: int, i: int) -> bool:
        both = [(a, b) for a, b in zip(cost[j], cost[i], strict=True) if a == a and b == b]
        return all(a <= b for a, b in both) and any(a < b for a, b in both)

    told = list(beaten_by(worst_over_courses(t)))
    for i, winner in enumerate(told):
        beaten = any(beats(j, i) for j in range(300))
        assert beaten == (winner != "")
        assert winner == "" or beats(int(winner) - 1, i)
    assert 0 < told.count("") < 300


def test_a_lacking_figure_is_no_last_place() -> None:
    """1 is first on what it has. Of the two with a margin the first and last count as 5/3 and 10/3 of four."""
    t = table(peak_seat_g=[1.0, 2.0, 3.0, 4.0], spring_margin=[None, None, 1.0, 2.0])
    order = rank(t).set_index("variant")
    assert list(order.index) == [1, 2, 4, 3]
    assert list(order["mean_place"]) == pytest.approx([1, 2, (4 + 5 / 3) / 2, (3 + 10 / 3) / 2])


def test_the_worst_course_counts() -> None:
    t = table(peak_seat_g=[1.0, 3.0, 2.0, 2.0], min_belly_clearance_mm=[5.0, 50.0, 20.0, 20.0])
    t["variant"] = [1, 1, 2, 2]
    t["course"] = ["a", "b", "a", "b"]
    worst = worst_over_courses(t).set_index("variant")
    assert worst.loc[1, "peak_seat_g"] == 3.0
    assert worst.loc[1, "min_belly_clearance_mm"] == 5.0
    assert worst.loc[2, "peak_seat_g"] == 2.0


def test_what_does_not_reach_the_end_comes_last_with_its_reason() -> None:
    t = table(peak_seat_g=[0.1, 2.0, 1.0], ended_because=["stalled", "course end", ""])
    t.loc[0, "completed"] = False
    t.loc[2, ["state", "reason", "peak_seat_g"]] = ["refused", "hull.mass_kg: out of range", np.nan]
    order = rank(t)
    assert list(order["variant"]) == [2, 1, 3]
    assert list(order["reason"]) == ["", "c: stalled", "c: hull.mass_kg: out of range"]
    assert list(order["best_on"]) == ["", "", ""]


def test_nothing_completed_is_still_a_table() -> None:
    t = pd.DataFrame(
        {"variant": [1], "vehicle": ["v"], "course": ["c"], "state": ["refused"], "reason": ["no springs"]}
    )
    assert list(rank(t)["reason"]) == ["c: no springs"]


@pytest.mark.parametrize("text", ["peak_seat_g", "peak_seat_g=1", "peak_seat_g<x", "<1", "a<nan", "a<1<2", ""])
def test_what_is_no_limit_is_said(text: str) -> None:
    with pytest.raises(InputError, match="not a limit"):
        parse_limit(text)


@pytest.mark.parametrize(
    ("text", "by"),
    [
        ("peak_seat_g<1.5", [0.0, 1e-9, 1 / 3]),
        ("peak_seat_g<=1.5", [0.0, 0.0, 1 / 3]),
        ("peak_seat_g>1.5", [1 / 3, 1e-9, 0.0]),
        ("peak_seat_g>=2", [0.5, 0.25, 0.0]),
        ("peak_seat_g<=0", [1.0, 1.5, 2.0]),
    ],
)
def test_how_far_a_limit_is_missed(text: str, by: list[float]) -> None:
    t = table(peak_seat_g=[1.0, 1.5, 2.0])
    assert list(missed(t, [parse_limit(text)])) == pytest.approx(by, abs=1e-15)


def test_a_run_that_does_not_reach_the_end_holds_no_limit() -> None:
    t = table(peak_seat_g=[1.0])
    t["completed"] = False
    assert missed(t, [parse_limit("peak_seat_g<9")])[0] == np.inf


def test_a_limit_on_an_unknown_figure_is_said() -> None:
    with pytest.raises(InputError, match='did you mean "peak_seat_g"'):
        check_known([parse_limit("peak_seat<1")], table(peak_seat_g=[1.0]))


def test_a_missing_share_of_energy_is_no_reason() -> None:
    """A row without that figure, as a None or as the table's nan, says why it ended, not "nan%"."""
    for missing in (None, float("nan")):
        row = {"state": "done", "reason": "", "completed": True, "energy_error": missing, "ended_because": "stalled"}
        assert why_not(row) == "stalled"
        assert why_not(row | {"ended_because": missing}) == "did not reach the end"
