"""What happens inside a worker process: one task at a time, nothing it raises gets out."""

from __future__ import annotations

import multiprocessing
import os
import signal
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import Any

from trundle.errors import ComputerError, InputError

DONE, REFUSED, FAULT, KILLED, OVERTIME = "done", "refused", "fault", "killed", "overtime"
"""What can become of a task; see pool."""

FINAL = (DONE, REFUSED)
"""Outcomes that come from the inputs alone. The others come from the program or the computer as well: they are no
results, and a study that is taken up again tries these once more."""

Reply = tuple[str, Any, str, float]
"""kind, value, reason, seconds: see pool.Outcome."""

_running: dict[str, float] = {}
"""Tasks at work in this process and when they began (monotonic clock)."""


class _OverTime(BaseException):
    """Not an Exception, so that the task cannot catch it as an error of its own."""


def call(function: Callable[[Any], Any], key: str, payload: Any, budget_s: float | None) -> Reply:
    """Runs one task in a worker. Nothing that it raises gets out: a study is not stopped by one variant."""
    start = time.monotonic()
    _running[key] = start
    try:
        with _time_limit(budget_s):
            value = function(payload)
        return DONE, value, "", time.monotonic() - start
    except _OverTime:
        return OVERTIME, None, f"did not end within {budget_s:g} s", time.monotonic() - start
    except ComputerError as e:
        return FAULT, None, str(e), time.monotonic() - start
    except InputError as e:
        return REFUSED, None, str(e), time.monotonic() - start
    except BaseException as e:
        return FAULT, None, told(e), time.monotonic() - start
    finally:
        _running.pop(key, None)


def told(error: BaseException) -> str:
    """An exception in one line: what it is, and what it says."""
    return f"{type(error).__name__}: {error}".strip(" :").splitlines()[0]


@contextmanager
def _time_limit(budget_s: float | None) -> Iterator[None]:
    """Raises _OverTime inside when the time is up, where the platform has a timer signal for it."""
    usable = hasattr(signal, "setitimer") and threading.current_thread() is threading.main_thread()
    if budget_s is None or not usable:
        yield
        return

    def ring(*_: object) -> None:
        raise _OverTime

    old = signal.signal(signal.SIGALRM, ring)
    signal.setitimer(signal.ITIMER_REAL, budget_s)
    try:
        yield
    finally:
        signal.setitimer(signal.ITIMER_REAL, 0.0)
        signal.signal(signal.SIGALRM, old)


def start_worker() -> None:
    """Leaves Ctrl-C to the parent, and ends when the parent does (a killed one cannot say so)."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    # Held since the process began: a Ctrl-C while it was still importing is dropped here.
    if hasattr(signal, "pthread_sigmask"):
        signal.pthread_sigmask(signal.SIG_UNBLOCK, {signal.SIGINT})
    parent = multiprocessing.parent_process()
    if parent is not None:

        def follow() -> None:
            parent.join()
            os._exit(1)

        threading.Thread(target=follow, daemon=True).start()


def hello() -> None:
    """Returns, which shows that the worker started."""


def running_now() -> dict[str, float]:
    """Seconds that each task of this process has run for."""
    now = time.monotonic()
    return {key: now - start for key, start in _running.items()}
