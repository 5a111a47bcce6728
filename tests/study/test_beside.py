"""Which of two is better on what: by ranges, the most urgent first, and nothing twice."""

from __future__ import annotations

import pandas as pd
import pytest

from trundle.fields.differences import Difference, found, shared, spoken
from trundle.findings.figures import figure_of
from trundle.spec.shipped import find
from trundle.spec.vehicle import load_vehicle
from trundle.study.beside import (
    Change,
    alike_told,
    counted_told,
    differing,
    differing_fields,
    over_courses,
    pairs,
    table_of,
)
from trundle.study.ranges import Range, above


def row(**figures: float | tuple[float, float, float]) -> dict[str, float]:
    """Figures, each alone or as median, low, high."""
    out: dict[str, float] = {}
    for name, value in figures.items():
        if isinstance(value, tuple):
            out[name], out[f"{name}.low"], out[f"{name}.high"] = value
        else:
            out[name] = value
    return out


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ((100.0, 90.0, 110.0), (130.0, 120.0, 140.0)),
        ((100.0, 90.0, 110.0), (105.0, 95.0, 115.0)),
        ((100.0, 90.0, 140.0), (130.0, 99.0, 150.0)),
        ((130.0, 120.0, 140.0), (100.0, 90.0, 110.0)),
        ((100.0, 100.0, 100.0), (100.3, 100.2, 100.4)),
    ],
)
def test_a_difference_shows_where_neither_median_is_in_the_others_range(
    one: tuple[float, float, float], other: tuple[float, float, float]
) -> None:
    """As trundle.study.ranges says it in another place; of a load the higher is the worse."""
    (pair,) = pairs(row(peak_wheel_load_N=one), row(peak_wheel_load_N=other))
    if above(Range(*other), Range(*one)):
        assert pair.change is Change.WORSE
    elif above(Range(*one), Range(*other)):
        assert pair.change is Change.BETTER
    else:
        assert pair.change is Change.ALIKE


def test_of_a_clearance_the_higher_is_the_better() -> None:
    (pair,) = pairs(row(min_belly_clearance_mm=80.0), row(min_belly_clearance_mm=100.0))
    assert pair.change is Change.BETTER
    assert pair.by == "+25 %"
    assert pair.cells == ("80.0", "100.0")


def test_what_gives_is_told_first_then_the_track_then_blows_then_ride() -> None:
    """And of each what got worse before what got better."""
    one = row(seat_rms_m_s2=1.0, peak_wheel_load_N=900.0, peak_seat_g=2.0, track_loose_s=0.1, arm_margin=1.5,
              spring_margin=2.0, least_margin=1.5)  # fmt: skip
    two = row(seat_rms_m_s2=2.0, peak_wheel_load_N=500.0, peak_seat_g=3.0, track_loose_s=0.5, arm_margin=0.8,
              spring_margin=1.8, least_margin=0.8)  # fmt: skip
    names = [p.figure.name for p in pairs(one, two)]
    assert names == [
        "arm_margin", "track_loose_s", "peak_seat_g", "peak_wheel_load_N", "spring_margin", "seat_rms_m_s2"
    ]  # fmt: skip


def test_the_least_margin_stands_once() -> None:
    told = pairs(row(least_margin=2.0, spring_margin=2.0), row(least_margin=3.0, spring_margin=3.0))
    assert [p.figure.name for p in told] == ["spring_margin"]
    told = pairs(row(least_margin=2.0, spring_margin=2.0), row(least_margin=2.5, spring_margin=3.0))
    assert {p.figure.name for p in told} == {"least_margin", "spring_margin"}


def test_the_words_count_what_they_say() -> None:
    one = row(peak_wheel_load_N=900.0, peak_seat_g=2.0, bump_stop_hits=4)
    two = row(peak_wheel_load_N=500.0, peak_seat_g=3.0, bump_stop_hits=4)
    told = pairs(one, two)
    assert counted_told(told) == "1 figure got worse, 1 better, 1 shows no difference"
    assert alike_told(told) == f"No difference that shows: {figure_of('bump_stop_hits').title}."
    heads, rows = table_of(told)
    assert heads == ["figure", "A", "B", "change", "B is"]
    assert [r[-1] for r in rows] == ["worse", "better"]
    assert len(differing(told)) == 2


def test_one_that_does_not_get_over_is_not_compared_by_figures() -> None:
    table = pd.DataFrame(
        {
            "variant": [1, 2], "course": ["kerb", "kerb"], "state": ["done", "done"], "reason": ["", ""],
            "completed": [True, False], "ended_because": ["reached the end", "stalled"],
            "headline": ["A gets over.", None], "peak_seat_g": [1.0, 0.5],
        }
    )  # fmt: skip
    (one,) = over_courses(table, 1, 2, ("A", "B"))
    assert one.told == []
    assert one.short == ("B: stalled",)
    assert one.said == ("A gets over.", "stalled")


def test_a_change_in_all_bogies_is_told_once() -> None:
    """In one of three it is told of that one; a point is told whole."""
    teasel = find("vehicles", "teasel")
    one = load_vehicle(teasel)
    every = load_vehicle(teasel, {"bogie.*.spring.thickness_mm": 2.5, "hull.com_mm": [800, 250]})
    assert [d.words for d in differing_fields(one, every)] == [
        "hull.com_mm [800, 250] instead of [870, 250]", "bogie.*.spring.thickness_mm 2.5 instead of 2",
    ]  # fmt: skip
    single = load_vehicle(teasel, {"bogie.rear.spring.thickness_mm": 2.5})
    assert [d.words for d in differing_fields(one, single)] == ["bogie.rear.spring.thickness_mm 2.5 instead of 2"]
    assert differing_fields(one, load_vehicle(teasel, {"name": "Other"})) == []


def test_shared_differences_are_all_the_differences() -> None:
    """Spelled out again, they are what goes through both tables value by value finds."""
    then = {"a": {"x": {"u": 1, "v": 2}, "y": {"u": 1, "v": 2}}, "b": 1, "c": None}
    here = {"a": {"x": {"u": 3, "v": 2}, "y": {"u": 3, "v": 2}}, "b": 1, "c": {"kind": "leaf"}}
    told = shared(then, here)
    assert [d.path for d in told] == ["a.*.u", "c"]
    spelled = {
        d.path.replace("*", name) for d in told for name in (then["a"] if "*" in d.path else ("",))  # type: ignore[union-attr]
    }  # fmt: skip
    assert spelled == {d.path for d in found(then, here)}
    assert told[1].words == 'c "leaf" instead of none'


def test_many_differences_are_counted() -> None:
    assert spoken([Difference(f"f{k}", 1, 2) for k in range(50)]) == "50 fields differ"
    many = [Difference(f"f{k}", 1, 2) for k in range(9)]
    assert spoken(many, most=2) == "f0 2 instead of 1, f1 2 instead of 1 and 7 fields more"


def test_from_python_two_vehicles_are_told_of_beside_each_other() -> None:
    """The medians are the table's; the fields those that were set; a third column says which is better."""
    import trundle

    heavy = trundle.load_vehicle("teasel", {"hull.mass_kg": 300})
    tried = trundle.compare(["teasel", heavy], "kerb-50", options={"near": 2})
    assert tried.differing.to_dict("records") == [
        {"design": "B", "field": "hull.mass_kg", "first": "265", "it_has": "300"}
    ]
    told = tried.better_and_worse
    assert set(told["is"]) <= {str(c) for c in Change}
    load = told[told["figure"] == "peak_wheel_load_N"].iloc[0]
    assert (load["first"], load["it_has"]) == tuple(tried.table["peak_wheel_load_N"])
    assert "hull.mass_kg 300 instead of 265" in repr(tried)
    assert len(trundle.compare("teasel", "kerb-50", options={"near": 1}).better_and_worse) == 0


def test_half_a_percent_of_one_run_is_no_difference() -> None:
    """Without near runs too: less than that shows nothing; a count differs by one."""
    same = pairs({"peak_seat_g": 0.5400, "bump_stop_hits": 3}, {"peak_seat_g": 0.5386, "bump_stop_hits": 2})
    said = {p.figure.name: p.change for p in same}
    assert said["peak_seat_g"] is Change.ALIKE
    assert said["bump_stop_hits"] is Change.BETTER
    apart = pairs({"peak_seat_g": 0.54}, {"peak_seat_g": 0.50})
    assert apart[0].change is Change.BETTER
