"""The same studies on an existing distributed engine: two real worker processes on loopback."""

from __future__ import annotations

import random
import socket
import subprocess
import sys
import threading
import time
from contextlib import suppress
from pathlib import Path

import pytest
from conftest import Cluster
from pandas.testing import assert_frame_equal
from study_fakes import how, make_plan, moody

from trundle.errors import InputError
from trundle.study.cluster import ClusterEngine
from trundle.study.engine import StudyStoppedError
from trundle.study.pool import Outcome, run_all
from trundle.study.runs import run_cases


def collect(cluster: Cluster, tasks: list[tuple[str, dict[str, object]]], **options: float) -> dict[str, Outcome]:
    found: dict[str, Outcome] = {}

    def keep(outcome: Outcome) -> None:
        assert outcome.key not in found
        found[outcome.key] = outcome

    run_all(tasks, moody, keep, cluster=cluster.address, **options)
    return found


def test_the_table_is_that_of_local_processes(cluster: Cluster, tmp_path: Path) -> None:
    plan = make_plan(tmp_path)
    local = run_cases(plan, how(workers=2)).table
    far = run_cases(plan, how(cluster=cluster.address)).table
    assert_frame_equal(local, far, check_exact=True)


def test_a_task_that_always_kills_its_worker_is_the_only_one_lost(cluster: Cluster) -> None:
    tasks = [(f"t{i}", {"n": i, "mood": "die" if i == 4 else ""}) for i in range(24)]
    found = collect(cluster, tasks)
    assert {k: o.kind for k, o in found.items() if o.kind != "done"} == {"t4": "killed"}
    assert len(found) == 24


def test_a_worker_killed_from_outside_costs_nothing(cluster: Cluster) -> None:
    chance = random.Random(2)
    timer = threading.Timer(0.6, cluster.kill_one, [chance])
    timer.start()
    found = collect(cluster, [(f"t{i}", {"n": i, "sleep_s": 0.02}) for i in range(120)])
    timer.join()
    assert [o.kind for o in found.values()] == ["done"] * 120
    assert found["t7"].value == 7 / 3.0


def test_a_task_that_hangs_is_stopped_and_the_rest_is_done(cluster: Cluster) -> None:
    """Also tasks that wait behind it, or are lost when its worker is restarted, get done."""
    start = time.monotonic()
    tasks = [(f"t{i}", {"n": i, "mood": "hang" if i == 3 else ""}) for i in range(16)]
    found = collect(cluster, tasks, budget_s=1.0, grace_s=0.5)
    assert time.monotonic() - start < 120  # a minute of it for restarts on a busy machine
    assert {k: o.kind for k, o in found.items() if o.kind != "done"} == {"t3": "overtime"}
    assert len(found) == 16


def test_workers_of_another_version_are_refused(cluster: Cluster, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("trundle.study.identity._version", lambda package: "0.0.0")
    from trundle.study.identity import identity

    identity.cache_clear()
    try:
        with pytest.raises(InputError, match=r"runs something else: trundle .* \(here 0.0.0\)"):
            collect(cluster, [("t", {"n": 1})])
    finally:
        identity.cache_clear()


@pytest.mark.parametrize("address", ["nonsense", "foo://x", "tcp://127.0.0.1:9"])
def test_a_wrong_address_is_one_message_and_ends_at_once(address: str, tmp_path: Path) -> None:
    """A client that was half made is closed: at the end of the program it waited 20 s and printed a traceback."""
    pytest.importorskip("distributed")
    program = (
        "import sys, trundle.study.cluster as c; from trundle.errors import InputError; c.CONNECT_S = 1.0\n"
        f"try: c.ClusterEngine({address!r})\n"
        "except InputError as e: print(e, file=sys.stderr)\n"
    )
    start = time.monotonic()
    done = subprocess.run(
        [sys.executable, "-c", program],
        cwd=Path(__file__).parents[2], capture_output=True, text=True, timeout=100, check=False,
    )  # fmt: skip
    assert time.monotonic() - start < 18
    said = f"cluster: no scheduler answers at {address} (allowed: an address like tcp://192.168.1.20:8786)"
    assert done.stderr.splitlines() == [said]


@pytest.mark.parametrize("answer", [b"HTTP/1.1 400 Bad Request\r\n\r\n", b""])
def test_somebody_who_is_no_scheduler_is_said(answer: bytes, monkeypatch: pytest.MonkeyPatch) -> None:
    """A web server's first bytes, taken for a length, were "not enough memory for this"."""
    pytest.importorskip("distributed")
    monkeypatch.setattr("trundle.study.cluster.CONNECT_S", 1.0)
    with socket.create_server(("127.0.0.1", 0)) as server:

        def serve() -> None:
            with suppress(OSError):
                while True:
                    other, _ = server.accept()
                    with other:
                        other.sendall(answer)

        threading.Thread(target=serve, daemon=True).start()
        with pytest.raises(InputError, match="no scheduler answers at 127"):
            ClusterEngine(f"127.0.0.1:{server.getsockname()[1]}")


def test_no_address_is_not_taken_for_a_cluster_of_its_own() -> None:
    pytest.importorskip("distributed")
    with pytest.raises(InputError, match="is no address"):
        ClusterEngine(" ")


def test_a_cluster_that_all_workers_have_left_is_not_waited_for(
    cluster: Cluster, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("trundle.study.cluster.LOOK_EVERY_S", 0.0)
    monkeypatch.setattr("trundle.study.cluster.DESERTED_S", 0.2)
    engine = ClusterEngine(cluster.address)
    try:
        engine.look()  # two workers: nothing to say
        monkeypatch.setattr(engine._client, "nthreads", dict)
        engine.look()
        time.sleep(0.3)
        with pytest.raises(StudyStoppedError, match=r"has gone \(no worker for 0\.2 s\)$"):
            engine.look()
    finally:
        engine.close()
