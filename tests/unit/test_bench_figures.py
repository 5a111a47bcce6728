"""Better or worse, the newest state only, and what is typed: the bench without a window."""

from __future__ import annotations

import math
import threading

import pytest

from trundle.result.inputs import vehicle_input
from trundle.spec.vehicle import Vehicle
from trundle_viewer.bench.asking import Asking
from trundle_viewer.bench.figures import (
    Against,
    Figure,
    Gain,
    figures,
    less,
    more,
    nearer_level,
    neither,
    neither_hard_nor_soft,
)
from trundle_viewer.bench.stander import Stander
from trundle_viewer.bench.stood import Outcome, Refused, Stood, stood
from trundle_viewer.bench.typed import typed


@pytest.mark.parametrize(
    ("gain", "before", "now", "verdict"),
    [
        (more, 10.0, 20.0, 1),
        (more, 20.0, 10.0, -1),
        (less, 20.0, 10.0, 1),
        (neither, 20.0, 10.0, 0),
        (nearer_level, -3.0, 2.0, 1),
        (nearer_level, 1.0, -2.0, -1),
        # From 1 to 4 Hz a ride is neither hard nor soft, and one as good as the other.
        (neither_hard_nor_soft, 2.0, 3.9, 0),
        (neither_hard_nor_soft, 6.0, 5.0, 1),
        (neither_hard_nor_soft, 3.0, 0.5, -1),
        (more, math.nan, 1.0, 0),
        # What is shown alike is alike.
        (more, 10.2, 10.4, 0),
    ],
)
def test_better_or_worse(gain: Gain, before: float, now: float, verdict: int) -> None:
    row = Against(Figure("x", "mm", before, gain), Figure("x", "mm", now, gain))
    assert row.verdict == verdict
    assert (row.change_shown == "") == (not math.isfinite(before) or round(before) == round(now))


def test_what_is_wrong_as_it_is_has_a_word() -> None:
    """Stops set so high that the leaves are bent beyond their yield at bump, clear of the sprocket."""
    change = {"bogie.*.stops.bump_below_level_deg": -14, "track.sprocket.at_mm": [-165, 80]}
    vehicle = vehicle_input("teasel", change).vehicle
    at = stood(vehicle)
    assert isinstance(at, Stood)
    found = {f.name: f.alarm for f in figures(at)}
    assert found["same at bump"] == "yields"
    assert found["spring stress"] == ""


def test_only_the_newest_state_is_stood() -> None:
    """Of five asked for while the first is in hand, the last is the next."""
    gate, seen = threading.Event(), list[str]()

    def work(vehicle: Vehicle) -> Outcome:
        seen.append(vehicle.name)
        assert gate.wait(10.0)
        return Refused(())

    base = vehicle_input("wren").vehicle
    asking = Asking(work)
    try:
        asking.ask(base.model_copy(update={"name": "0"}))
        while not seen:
            gate.wait(0.01)
        for k in range(1, 6):
            last = asking.ask(base.model_copy(update={"name": str(k)}))
        assert asking.busy
        gate.set()
        assert asking.wait(10.0)
        told = asking.take()
        assert told is not None
        assert told[0] == last
        assert seen == ["0", "5"]
        assert not asking.busy
    finally:
        gate.set()
        asking.close()


def test_a_fault_of_the_program_in_the_thread_is_raised_where_it_is_asked_for() -> None:
    def broken(vehicle: Vehicle) -> Outcome:
        raise ZeroDivisionError("of the test")

    asking = Asking(broken)
    try:
        asking.ask(vehicle_input("wren").vehicle)
        assert asking.wait(10.0)
        with pytest.raises(ZeroDivisionError):
            asking.take()
        assert asking.take() is None
    finally:
        asking.close()


def test_the_process_gives_what_is_worked_out_here_also_after_it_was_killed() -> None:
    vehicle = vehicle_input("barrow").vehicle
    mine = stood(vehicle)
    stander = Stander()
    try:
        for _ in range(2):
            its = stander(vehicle)
            assert isinstance(its, Stood)
            assert isinstance(mine, Stood)
            assert its.sheet == mine.sheet
            assert its.values == mine.values
            assert (its.q == mine.q).all()
            stander._process.kill()
            stander._process.wait()
    finally:
        stander.close()


@pytest.mark.parametrize(
    ("text", "path", "value"),
    [
        ("210", "bogie.front.arm_mm", 210),
        ("8 1/4 in", "bogie.front.arm_mm", 209.55),
        ("12,5", "hull.com_mm", 12.5),
        ("-4", "bogie.front.stops.bump_below_level_deg", -4),
        # One pound is 0.45359237 kg by definition.
        ("10 lb", "hull.mass_kg", 4.535924),
        ("0.4", "bogie.front.stops.pad_loss", 0.4),
    ],
)
def test_what_is_typed(text: str, path: str, value: float) -> None:
    assert typed(text, path) == pytest.approx(value, rel=1e-6)


@pytest.mark.parametrize("text", ["8 kg", "many", "1/0", "--5"])
def test_what_is_no_length_is_refused(text: str) -> None:
    with pytest.raises(ValueError, match=r"."):
        typed(text, "bogie.front.arm_mm")
