"""Searches on a function whose best point is known."""

from __future__ import annotations

import pytest
from study_fakes import fake_run

from trundle.errors import InputError
from trundle.study.find import Found, find
from trundle.study.runs import How

THICK = "bogie.*.spring.thickness_mm"


def search(vary: list[str], limits: list[str], **options: object) -> Found:
    return find("teasel", ["yard"], vary, limits, how=How(function=fake_run), **options)


def test_a_small_grid_is_run_whole() -> None:
    """Least at 7.3 mm, so 7 of 5..9; a peak g below 1.15 (0.1 t + 0.5) leaves 5 and 6."""
    assert search([f"{THICK}=5:9:1"], []).best == {THICK: 7}
    found = search([f"{THICK}=5:9:1"], ["peak_seat_g<1.15"])
    assert found.best == {THICK: 6}
    assert len(found.table) == len(found.study.table) == 5
    assert found.table["peak_seat_g"].to_numpy() == pytest.approx(0.1 * found.table[THICK].to_numpy() + 0.5)
    assert list(found.table["held"]) == [True, True, False, False, False]


def test_a_range_is_searched_up_to_the_limit() -> None:
    """Free: least at 7.3 mm. With 0.1 t + 0.5 < 1.2 the best lies just below 7 mm."""
    free = search([f"{THICK}=4:9"], [], runs=150)
    assert free.best is not None
    assert free.best[THICK] == pytest.approx(7.3, abs=0.05)
    held = search([f"{THICK}=4:9"], ["peak_seat_g<1.2"], runs=150)
    assert held.best is not None
    assert 6.95 < held.best[THICK] < 7.0
    assert len(held.table) <= 160
    assert held.table["variant"].is_unique


def test_two_fields_and_a_stop() -> None:
    """Hits are max(0, mass / 50 - t): none from t = mass / 50 on; least seat figure at the least mass."""
    found = search(["hull.mass_kg=200:400", f"{THICK}=3:9:0.5"], ["bump_stop_hits<=0"], runs=300)
    assert found.best is not None
    assert found.best[THICK] in (7.0, 7.5)
    assert found.best["hull.mass_kg"] < 230


def test_the_same_seed_is_the_same_search() -> None:
    one = search([f"{THICK}=4:9"], [], runs=60, seed=4)
    two = search([f"{THICK}=4:9"], [], runs=60, seed=4)
    assert one.table.equals(two.table)


def test_none_exists_and_the_nearest_is_shown() -> None:
    """A peak below 0.85 g would need 3.5 mm; of 4 to 9 mm the nearest is 4 mm, 0.05 g over."""
    found = search([f"{THICK}=4:9:1"], ["peak_seat_g<0.85"])
    assert found.best is None
    assert found.nearest == {THICK: 4}
    assert found.table["missed_by"][0] == pytest.approx(0.05 / 0.85)


def test_invalid_vehicles_and_runs_that_end_early_are_not_found() -> None:
    found = search(["hull.mass_kg=13,1200,300"], [])
    assert found.best == {"hull.mass_kg": 300}
    assert "unlucky" in found.table.set_index("hull.mass_kg").loc[13, "reason"]
    assert search(["hull.mass_kg=13,1200"], []).nearest is None


@pytest.mark.parametrize(
    ("vary", "limits", "said"),
    [
        ([], [], "needs fields"),
        (["hull.mass_kg=250,300"], ["peak_seat<1"], 'did you mean "peak_seat_g"'),
        (["hull.mass_kg=250,300"], ["peak_seat_g=1"], "not a limit"),
        (["hull.mass_kg=250,300"], ["track_loose_s<1"], "it needs a track"),  # these fakes have none
    ],
)
def test_wrong_questions_are_said(vary: list[str], limits: list[str], said: str) -> None:
    with pytest.raises(InputError, match=said):
        search(vary, limits)
