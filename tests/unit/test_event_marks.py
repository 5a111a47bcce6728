"""One table of marks for report and viewer: up is bump."""

from __future__ import annotations

from record_parts import assembly_of, made, put, rolling

from trundle.findings import events as ev
from trundle.findings.events.marks import DOWN, MARKS, SIGNS, UP
from trundle_viewer.strip import TICKS


def test_every_kind_has_a_mark_and_the_viewer_draws_that() -> None:
    assert set(MARKS) == {kind.name for kind in ev.KINDS}
    assert {kind: tick.shape for kind, tick in TICKS.items()} == dict(MARKS)


def test_up_is_bump_in_the_letters_too() -> None:
    assert (MARKS[ev.BUMP], MARKS[ev.DROOP]) == (UP, DOWN)
    assert (SIGNS[ev.BUMP], SIGNS[ev.DROOP]) == ("▲", "▽")


def test_many_stations_off_at_once_are_counted() -> None:
    """Two that overlap and one behind them: never three."""
    t = rolling(assembly_of())
    for wheel, at in (("front.fore", 4.5), ("front.aft", 4.6), ("rear.aft", 5.2)):
        put(t, f"wheel.{wheel}.load_N", at, 0.2, 0.0)
    detail = made(assembly_of(), t, (("kerb", 6.0, 6.5),)).said.obstacles[0].detail
    assert "3 of 6 stations leave the ground, at most 2 at once" in detail
