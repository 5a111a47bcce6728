"""The batch engine: every task ends as exactly one outcome, whatever becomes of its worker."""

from __future__ import annotations

import multiprocessing
import time
from collections.abc import Callable
from typing import Any

import pytest
from study_fakes import moody, square

from trundle.errors import InputError
from trundle.study.pool import Outcome, run_all


def collect(tasks: Any, function: Callable[[Any], Any] = moody, **options: Any) -> dict[str, Outcome]:
    found: dict[str, Outcome] = {}

    def keep(outcome: Outcome) -> None:
        assert outcome.key not in found, "a task was handed over twice"
        found[outcome.key] = outcome

    tally = run_all(tasks, function, keep, workers=2, **options)
    assert tally.total == len(found)
    return found


def no_workers_left() -> bool:
    """None lives on; a killed one may take a moment to be seen as gone."""
    deadline = time.monotonic() + 5
    while multiprocessing.active_children() and time.monotonic() < deadline:
        time.sleep(0.01)
    return not multiprocessing.active_children()


def many(n: int, **special: dict[str, Any]) -> list[tuple[str, dict[str, Any]]]:
    return [(f"t{i}", {"n": i, **special.get(f"t{i}", {})}) for i in range(n)]


def test_results_are_those_of_plain_calls() -> None:
    """Bit for bit what the function returns when called here."""
    found = collect(many(50))
    assert {k: o.value for k, o in found.items()} == {f"t{i}": i / 3.0 for i in range(50)}


def test_tasks_are_read_as_they_are_needed() -> None:
    """A generator of tasks is at most two per worker ahead of the results."""
    read = done = 0
    ahead: list[int] = []

    def tasks() -> Any:
        nonlocal read
        for i in range(60):
            read += 1
            yield str(i), i

    def on_result(_: Outcome) -> None:
        nonlocal done
        done += 1
        ahead.append(read - done)

    run_all(tasks(), square, on_result, workers=2)
    assert done == 60
    assert max(ahead) <= 4


@pytest.mark.parametrize(
    ("mood", "reason"),
    [("raise", "ArithmeticError: no such root"), ("exit", "SystemExit: 3"), ("unpicklable", "moody.<locals>.<lambda>")],
)
def test_a_task_that_raises_is_a_row(mood: str, reason: str) -> None:
    found = collect(many(12, t5={"mood": mood}))
    assert found["t5"].kind == "fault"
    assert reason in found["t5"].reason
    assert all(o.kind == "done" for k, o in found.items() if k != "t5")


def test_a_worker_killed_once_costs_nothing(tmp_path: Any) -> None:
    found = collect(many(20, t7={"mood": "die once", "mark": str(tmp_path / "mark")}))
    assert [o.kind for o in found.values()] == ["done"] * 20
    assert found["t7"].value == 7 / 3.0


def test_a_task_that_always_kills_its_worker_is_the_only_one_lost() -> None:
    found = collect(many(20, t3={"mood": "die"}, t11={"mood": "die"}))
    assert {k for k, o in found.items() if o.kind == "killed"} == {"t3", "t11"}
    assert sum(o.kind == "done" for o in found.values()) == 18


@pytest.mark.parametrize("mood", ["hang", "hang deaf"])
def test_a_task_that_hangs_is_stopped(mood: str) -> None:
    """By the worker itself, or, if it cannot hear, by the supervisor."""
    start = time.monotonic()
    found = collect(many(12, t2={"mood": mood}), budget_s=0.5, grace_s=0.5)
    assert time.monotonic() - start < 20
    assert found["t2"].kind == "overtime"
    assert "0.5 s" in found["t2"].reason
    assert sum(o.kind == "done" for o in found.values()) == 11


def test_ctrl_c_keeps_what_is_done() -> None:
    found: list[str] = []

    def on_result(outcome: Outcome) -> None:
        found.append(outcome.key)
        if len(found) == 5:
            raise KeyboardInterrupt

    tally = run_all(many(1000), moody, on_result, workers=2)
    assert tally.interrupted
    assert len(found) == tally.total == 5
    assert no_workers_left()


def test_an_error_of_the_receiver_ends_the_study_and_the_workers() -> None:
    def on_result(_: Outcome) -> None:
        raise InputError([])

    with pytest.raises(InputError):
        run_all(many(1000), moody, on_result, workers=2)
    assert no_workers_left()


def test_no_workers_is_refused() -> None:
    with pytest.raises(InputError, match="1 or more"):
        run_all(many(1), moody, print, workers=0)


def test_no_cluster_at_the_address_is_said(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("trundle.study.cluster.CONNECT_S", 1.0)
    with pytest.raises(InputError, match="no scheduler answers"):
        run_all(many(1), moody, print, cluster="tcp://127.0.0.1:9")
