"""A distributed engine for tests: a scheduler with two real worker processes on loopback."""

from __future__ import annotations

import os
import random
import signal
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import psutil
import pytest

HERE = Path(__file__).parent

if signal.getsignal(signal.SIGINT) is signal.SIG_IGN:
    # Run in the background by a script, which has its children ignore Ctrl-C: the commands under test would inherit it.
    signal.signal(signal.SIGINT, signal.default_int_handler)


def workers_of(family: psutil.Process) -> list[psutil.Process]:
    """Worker processes below this one."""
    found = []
    for process in family.children(recursive=True):
        try:
            if "spawn_main" in " ".join(process.cmdline()):
                found.append(process)
        except psutil.Error:  # ended meanwhile
            continue
    return found


@dataclass(frozen=True)
class Cluster:
    """address: of the scheduler. family: the process that everything of the cluster is below."""

    address: str
    family: psutil.Process

    def kill_one(self, chance: random.Random) -> None:
        """kill -9 of one of its workers."""
        chance.choice(workers_of(self.family)).send_signal(signal.SIGKILL)


@pytest.fixture(scope="module")
def cluster(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Cluster]:
    pytest.importorskip("distributed")
    folder = tmp_path_factory.mktemp("cluster")
    path = os.pathsep.join([str(HERE), str(HERE.parents[1]), os.environ.get("PYTHONPATH", "")])
    host = subprocess.Popen(
        [sys.executable, str(HERE / "cluster_host.py"), str(folder)],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        stderr=subprocess.DEVNULL,
        env={**os.environ, "PYTHONPATH": path},
        text=True,
    )
    assert host.stdin is not None
    assert host.stdout is not None
    family = psutil.Process(host.pid)
    try:
        address = host.stdout.readline().strip()
        assert address.startswith("tcp://127.0.0.1:")
        yield Cluster(address, family)
    finally:
        left = family.children(recursive=True)
        host.stdin.close()
        host.stdout.close()
        try:
            host.wait(15)
        except subprocess.TimeoutExpired:
            host.kill()
            host.wait()
        _, alive = psutil.wait_procs(left, timeout=5)
        for process in alive:
            process.kill()
