"""Figures with ranges: when two differ, what that does to places and to who is best, and what a row holds."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np
import pandas as pd
import pytest

import trundle
from trundle.findings.near import Near
from trundle.findings.near_row import HIGH, LOW, OVER, RUNS, row_of
from trundle.spec.shipped import find
from trundle.study.case import Case, Files, payload_of, run_case
from trundle.study.figures import ranked
from trundle.study.limits import missed, parse_limit
from trundle.study.plots import one_way
from trundle.study.ranges import Costs, is_range
from trundle.study.rank import beaten_by, rank, worst_over_courses
from trundle.study.report import best_of, over_in, ranking_note, shown
from trundle.study.tolerance import chances

Draw = Callable[[np.random.Generator, tuple[int, int]], Any]


def table(**columns: list[Any]) -> pd.DataFrame:
    n = len(next(iter(columns.values())))
    base = {"variant": list(range(1, n + 1)), "vehicle": ["v"] * n, "course": ["c"] * n}
    state = {"state": ["done"] * n, "reason": [""] * n, "completed": [True] * n, RUNS: [8] * n, OVER: [8] * n}
    return pd.DataFrame(base | state | columns)


def spread(name: str, *triples: tuple[float, float, float]) -> dict[str, list[float]]:
    """Columns of (median, low, high) of each variant."""
    middle, low, high = map(list, zip(*triples, strict=True))
    return {name: middle, name + LOW: low, name + HIGH: high}


@pytest.mark.parametrize(
    "draw",
    [
        lambda rng, size: rng.standard_normal(size),
        lambda rng, size: rng.random(size),
        lambda rng, size: rng.exponential(size=size),
        lambda rng, size: rng.standard_cauchy(size),
    ],
)
def test_of_the_same_distribution_two_differ_in_less_than_one_of_a_hundred(draw: Draw) -> None:
    """Eight draws each, 40,000 pairs: the rule is one of order, so it hardly matters of which distribution."""
    rng = np.random.default_rng(1)
    a, b = np.sort(draw(rng, (40_000, 8)), axis=1), np.sort(draw(rng, (40_000, 8)), axis=1)

    def differ(first: Any, second: Any) -> float:
        m, n = 0.5 * (first[:, 3] + first[:, 4]), 0.5 * (second[:, 3] + second[:, 4])
        below = (m < second[:, 0]) & (first[:, 7] < n)
        above = (m > second[:, 7]) & (first[:, 0] > n)
        return float((below | above).mean())

    assert 0.003 < differ(a, b) < 0.01


def test_that_rule_is_the_one_in_use_and_sees_three_standard_deviations() -> None:
    """96 of 100 that lie so far apart differ."""
    rng = np.random.default_rng(2)
    found = 0
    for _ in range(300):
        draws = rng.standard_normal((2, 8)) + np.array([[0.0], [3.0]])
        costs = Costs(np.median(draws, axis=1), draws.min(axis=1), draws.max(axis=1))
        found += bool(costs.worse_than(0)[1])
        assert bool(costs.worse_than(0)[1]) == bool(costs.better_than(1)[0])
    assert found > 0.93 * 300


def test_places_without_ranges_are_plain_ranks() -> None:
    """As pandas ranks them, ties sharing a place."""
    rng = np.random.default_rng(3)
    values = rng.integers(0, 9, 200).astype(float)
    values[::11] = np.nan
    got = Costs(values, values, values).places()
    np.testing.assert_array_equal(got, pd.Series(values).rank(method="average").to_numpy())


def test_those_that_do_not_differ_share_their_place() -> None:
    """1 and 2 within each other's range; 3 beyond both."""
    costs = Costs(np.array([4.0, 4.2, 6.0]), np.array([3.5, 3.8, 5.5]), np.array([4.5, 4.9, 6.5]))
    assert list(costs.places()) == [1.5, 1.5, 3.0]
    assert list(costs.best()) == [True, True, False]
    alike = Costs(np.array([4.0, 4.2]), np.array([3.5, 3.8]), np.array([4.5, 4.9]))
    assert not alike.best().any()


def test_the_order_goes_by_what_shows() -> None:
    """By single numbers 2 would be before 1 on the jolt, and 1 be beaten by it; the ranges say that it may be luck.
    3 is beaten by both."""
    jolt = spread("peak_seat_g", (4.1, 3.5, 4.6), (4.0, 3.4, 4.4), (6.0, 5.5, 6.6))
    t = table(**jolt, min_belly_clearance_mm=[20.0, 20.0, 20.0])
    order = rank(t).set_index("variant")
    assert dict(order["beaten_by"]) == {1: "", 2: "", 3: "1"}
    assert order.loc[1, "mean_place"] == order.loc[2, "mean_place"]
    assert order.loc[1, "best_on"] == order.loc[2, "best_on"] == "peak seat (shared)"
    assert order.loc[3, "best_on"] == ""


def test_what_the_arithmetic_may_be_off_by_shows_nothing() -> None:
    """Clearances of 120.0 and 119.7 mm, each of eight runs alike, differ by a quarter of a percent; a count by one."""
    clear = spread("min_belly_clearance_mm", (120.0, 119.9, 120.1), (119.7, 119.6, 119.8))
    hits = spread("bump_stop_hits", (600.0, 600.0, 600.0), (601.0, 601.0, 601.0))
    order = rank(table(**clear, **hits)).set_index("variant")
    assert dict(order["best_on"]) == {1: "bump stop hits", 2: ""}


def test_no_difference_that_shows_is_said() -> None:
    jolt = spread("peak_seat_g", (4.1, 3.5, 4.6), (4.0, 3.4, 4.4))
    order = rank(table(**jolt))
    assert best_of(order, ranked(order))[1] == [["peak seat [g]", "", "no difference that shows"]]
    assert "Medians of 8 runs close by." in ranking_note(ranked(order), order)
    assert shown(order, ranked(order), [], ranges=True)[1][0][2] == "4.10 (3.50 to 4.60)"


def test_the_picture_shades_where_the_near_runs_lie() -> None:
    jolt = spread("peak_seat_g", (6.1, 5.5, 6.6), (4.0, 3.4, 4.4))
    t = table(**jolt)
    t.insert(3, "hull.mass_kg", [280, 300])
    drawn = [one_way(rank(of), "hull.mass_kg", ranked(of)) for of in (t, t.drop(columns=list(jolt)[1:]))]
    assert ["PolyCollection" in text for text in drawn] == [True, False]


def test_the_best_is_told_with_its_range() -> None:
    jolt = spread("peak_seat_g", (6.1, 5.5, 6.6), (4.0, 3.4, 4.4))
    order = rank(table(**jolt))
    assert best_of(order, ranked(order))[1] == [["peak seat [g]", "4.00 (3.40 to 4.40)", "2"]]


def test_one_that_gets_over_now_and_then_is_behind_those_that_always_do() -> None:
    """However good its figures are; and it says in how many."""
    t = table(peak_seat_g=[1.0, 3.0, 2.0], **{OVER: [7, 8, 8]})
    order = rank(t)
    assert list(order["variant"]) == [3, 2, 1]
    assert [over_in(row) for row in order.to_dict("records")] == ["over", "over", "over in 7 of 8 runs"]


def test_the_worst_of_courses_keeps_its_range_and_fewest_over() -> None:
    jolt = spread("peak_seat_g", (4.0, 3.0, 5.0), (4.5, 4.4, 4.6))
    t = table(**jolt, **{OVER: [5, 8]})
    t["variant"], t["course"] = [1, 1], ["a", "b"]
    worst = worst_over_courses(t).iloc[0]
    assert (worst["peak_seat_g"], worst["peak_seat_g" + LOW], worst["peak_seat_g" + HIGH]) == (4.5, 4.4, 5.0)
    assert (worst[RUNS], worst[OVER]) == (8, 5)


def test_beaten_by_is_the_definition_pair_by_pair() -> None:
    """On 120 random variants with ranges and gaps: worse on nothing and better on something, as far as it shows."""
    rng = np.random.default_rng(4)
    n = 120
    columns: dict[str, list[float]] = {}
    lows, highs, middles = [], [], []
    for name in ("peak_seat_g", "peak_wheel_load_N", "seat_rms_m_s2"):
        middle = rng.random(n) * 10.0
        low, high = middle - rng.random(n) * 3.0, middle + rng.random(n) * 3.0
        gone = rng.random(n) < 0.2
        for values in (middle, low, high):
            values[gone] = np.nan
        columns |= {name: list(middle), name + LOW: list(low), name + HIGH: list(high)}
        for kept, values in ((lows, low), (highs, high), (middles, middle)):
            kept.append(values)
    worst = worst_over_courses(table(**columns))

    def better(j: int, i: int, k: int) -> bool:
        return bool(middles[k][j] < lows[k][i] and highs[k][j] < middles[k][i])

    def beats(j: int, i: int) -> bool:
        return any(better(j, i, k) for k in range(3)) and not any(better(i, j, k) for k in range(3))

    told = list(beaten_by(worst))
    for i, by in enumerate(told):
        beaten = [j for j in range(n) if beats(j, i)]
        assert bool(beaten) == (by != "")
        assert by == "" or int(by) - 1 in beaten
    assert 0 < told.count("") < n


def test_a_limit_is_held_if_all_near_runs_hold_it() -> None:
    """Of a range from 1.2 to 1.6 a limit of 1.5 is missed by 0.1."""
    t = table(**spread("peak_seat_g", (1.4, 1.2, 1.6)), **spread("spring_margin", (1.2, 0.9, 1.4)))
    assert missed(t, [parse_limit("peak_seat_g<1.5")])[0] == pytest.approx(0.1 / 1.5)
    assert missed(t, [parse_limit("peak_seat_g<1.7")])[0] == 0.0
    assert missed(t, [parse_limit("spring_margin>1")])[0] == pytest.approx(0.1)


def test_a_bad_thing_counts_if_it_happens_in_any_near_run() -> None:
    t = table(**spread("spring_margin", (1.2, 0.9, 1.4), (1.2, 1.1, 1.3)), **{OVER: [8, 7]})
    told = chances(t).set_index("what")
    assert told.loc["a spring yields", "bad"] == 1
    assert told.loc["does not reach the end", "bad"] == 1


@pytest.mark.parametrize(
    ("column", "found"),
    [("peak_seat_g.low", True), ("static_wheel_load_N.low", False), ("static_wheel_load_N.low.high", True)],
)
def test_a_wheel_called_low_is_no_range(column: str, found: bool) -> None:
    columns = ["peak_seat_g", "peak_seat_g.low", "static_wheel_load_N.low", "static_wheel_load_N.low.high"]
    assert is_range(column, columns) == found


# A row.


def summary(near: Near) -> dict[str, Any]:
    first = {name: values[0] for name, values in near.each.items()}
    return {"completed": True, "ended_because": near.ended[0], "wheels": {}, **first}


def test_a_row_is_of_the_runs_that_reach_the_end() -> None:
    """Two of five stall after a harmless start: their small figures do not count. A blow that one has not is 0."""
    ended = ("course end", "stalled", "course end", "course end", "stalled")
    each = {"peak_seat_g": (4.0, 0.1, 5.0, 6.0, 0.2), "peak_bump_stop_N": (0.0, 0.0, 0.0, 900.0, 0.0)}
    row = row_of(summary(near := Near(ended, each, 3.0, 60.0, 5)), near)
    assert row["completed"]
    assert (row["peak_seat_g"], row["peak_seat_g.low"], row["peak_seat_g.high"]) == (5.0, 4.0, 6.0)
    assert (row["peak_bump_stop_N"], row["peak_bump_stop_N.high"]) == (0.0, 900.0)
    assert (row[RUNS], row[OVER]) == (5, 3)


def test_a_row_most_of_whose_runs_stall_says_why() -> None:
    """Though the run as asked gets over. One whose ledger does not close does not count as over."""
    ended = ("course end", "stalled", "stalled", "course end")
    each = {"peak_seat_g": (4.0, 1.0, 2.0, 5.0), "energy_error": (0.001, 0.001, 0.001, 0.02)}
    row = row_of(summary(near := Near(ended, each, 3.0, 60.0, 4)), near)
    assert not row["completed"]
    assert row["ended_because"] == "stalled"
    assert row[OVER] == 1


def test_a_case_is_the_medians_of_the_run_bit_for_bit() -> None:
    """What a worker gives, against trundle.run on the same files."""
    case = Case(1, find("vehicles", "barrow"), find("courses", "kerb-50"), {"hull.mass_kg": 60})
    row = run_case(payload_of(case, {"near": 5}, Files()))
    near = trundle.run(trundle.load_vehicle("barrow", {"hull.mass_kg": 60}), "kerb-50", near=5).near
    assert near is not None
    assert row["peak_seat_g"] == np.median(np.array(near.values("peak_seat_g"), dtype=float))
    assert row["peak_seat_g.low"] == min(v for v in near.values("peak_seat_g") if v is not None)
    peaks = np.array(near.values("wheels.*.peak_N", "front"), dtype=float)
    assert row["wheels"]["front"]["peak_N"] == np.median(peaks)
    assert row["wheels.front.peak_N.high"] == peaks.max()
    assert row[RUNS] == row[OVER] == 5
    alone = run_case(payload_of(case, {"near": 1}, Files()))
    assert RUNS not in alone
    assert not [name for name in alone if name.endswith(LOW)]
