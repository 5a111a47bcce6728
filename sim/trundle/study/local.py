"""Tasks run in spawned processes on this computer."""

from __future__ import annotations

import multiprocessing
import os
import signal
import sys
import threading
from collections.abc import Callable, Iterator, Mapping
from concurrent.futures import BrokenExecutor, Future, ProcessPoolExecutor
from concurrent.futures import TimeoutError as FutureTimeout
from contextlib import contextmanager
from types import ModuleType
from typing import Any

from trundle.errors import InputError, Problem
from trundle.study.engine import StudyStoppedError
from trundle.study.worker import Reply, hello, start_worker

START_S = 120.0
"""Time that worker processes have to start and import [s]."""

WORKER_ENVIRONMENT = {
    # One process per core is faster than processes that fight over cores.
    **dict.fromkeys(("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS", "NUMBA_NUM_THREADS"), "1"),
    # A run fills and drops tens of MB. glibc hands them back to the system each time and fetches them again page
    # by page, a tenth of a run's time; kept, they are there for the next. Other C libraries do not look at these.
    "MALLOC_TRIM_THRESHOLD_": "1000000000",
    "MALLOC_MMAP_THRESHOLD_": "1000000000",
}
"""Set while workers start."""


class LocalEngine:
    """Spawned processes. Spawn, because forked ones inherit threads and locks in unknown states."""

    # Once beside others and twice alone: a process may be killed from outside just while a harmless task runs alone.
    strikes = 3
    survives_kill = False

    def __init__(self, workers: int) -> None:
        if workers < 1:
            raise InputError(Problem(f"{workers} worker processes", argument="workers", allowed="1 or more"))
        self.workers = workers
        self._start()

    def _start(self) -> None:
        """A pool whose workers have all started. Raises StudyStoppedError if three tries do not give one."""
        for tries_left in (2, 1, 0):
            with _environment(WORKER_ENVIRONMENT), _script_left_out():
                self._pool = ProcessPoolExecutor(
                    self.workers, mp_context=multiprocessing.get_context("spawn"), initializer=start_worker
                )
                # Processes are made as work is sent: one empty task for each worker starts them all.
                try:
                    with _interrupt_held():
                        greetings = [self._pool.submit(hello) for _ in range(self.workers)]
                    for greeting in greetings:
                        greeting.result(timeout=START_S)
                    return
                except (BrokenExecutor, FutureTimeout, OSError) as e:
                    self._kill()
                    if not tries_left:
                        raise StudyStoppedError(
                            Problem(
                                f"worker processes do not start ({type(e).__name__}): is memory short, or a limit set "
                                "on how many processes you may have?"
                            )
                        ) from None
                except BaseException:  # Ctrl-C while they start
                    self._kill()
                    raise

    def submit(self, function: Callable[..., Any], /, *args: Any) -> Future[Reply]:
        return self._pool.submit(function, *args)

    def revive(self) -> None:
        self._kill()
        self._start()

    def kill_hung(self, late: dict[str, Future[Reply]], limit_s: float) -> tuple[set[str], set[str]]:
        self.revive()
        return set(late), set()

    def look(self) -> None:
        """A dead process breaks the pool, which its futures say."""

    def abort(self, flight: list[Future[Reply]]) -> None:
        self._kill()

    def close(self) -> None:
        self._pool.shutdown(cancel_futures=True)

    def _kill(self) -> None:
        # Before 3.14 (kill_workers) the executor has no public way to stop a process that hangs.
        processes = list((getattr(self._pool, "_processes", None) or {}).values())
        for process in processes:
            process.kill()
        self._pool.shutdown(wait=False, cancel_futures=True)
        for process in processes:
            process.join(5.0)


@contextmanager
def _script_left_out() -> Iterator[None]:
    """Workers started meanwhile do not run the user's script again.

    multiprocessing has each new process import the main module, for tasks that are defined there; a script without a
    guard would start its study anew in every worker. Our tasks are functions of importable modules.
    """
    main = sys.modules["__main__"]
    sys.modules["__main__"] = ModuleType("__main__")
    try:
        yield
    finally:
        sys.modules["__main__"] = main


@contextmanager
def _interrupt_held() -> Iterator[None]:
    """Ctrl-C waits. Processes that start inside ignore it from the first, and start_worker makes that last."""
    if not hasattr(signal, "pthread_sigmask") or threading.current_thread() is not threading.main_thread():
        yield
        return
    # The mask is for the processes; any other thread of ours would still take the signal and have us act on it.
    came: list[int] = []
    mask = signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGINT})
    handler = signal.signal(signal.SIGINT, lambda number, frame: came.append(number))
    try:
        yield
    finally:
        signal.signal(signal.SIGINT, handler or signal.SIG_DFL)
        signal.pthread_sigmask(signal.SIG_SETMASK, mask)
        if came:
            signal.raise_signal(signal.SIGINT)


@contextmanager
def _environment(values: Mapping[str, str]) -> Iterator[None]:
    """These variables set for the processes started inside."""
    old = {name: os.environ.get(name) for name in values}
    os.environ.update(values)
    try:
        yield
    finally:
        for name, before in old.items():
            if before is None:
                os.environ.pop(name, None)
            else:
                os.environ[name] = before
