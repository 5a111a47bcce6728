"""Work that runs on several cores at once. The law's kernels let other threads run meanwhile."""

from __future__ import annotations

import os
import threading
from collections.abc import Callable, Sequence
from concurrent.futures import FIRST_EXCEPTION, Future, ThreadPoolExecutor, wait
from typing import TypeVar

T = TypeVar("T")
R = TypeVar("R")

LOOK_S = 0.1
"""Time between two looks at how far it has got [s]."""


def core_count() -> int:
    """Cores this process may use."""
    if hasattr(os, "sched_getaffinity"):
        return len(os.sched_getaffinity(0))
    return os.cpu_count() or 1


class _StoppedError(Exception):
    """Another of the same lot has failed, or the user has stopped it; nobody outside sees it."""


def each_at_once(
    work: Callable[[T, Callable[[float], None]], R],
    jobs: Sequence[T],
    threads: int,
    on_progress: Callable[[float], None] | None = None,
) -> list[R]:
    """What `work` makes of each job, in their order, several at a time.

    work is called with a job and a function that it tells the share of it done (0 to 1), now and then. on_progress:
    gets the share done of all, in the calling thread. What a job raises passes on, and the others are stopped when
    they next tell of themselves; so does Ctrl-C.
    """
    shares = [0.0] * len(jobs)
    stop = threading.Event()
    alone = threads <= 1 or len(jobs) <= 1

    def report() -> None:
        if on_progress is not None:
            on_progress(sum(shares) / len(shares))

    def run(number: int) -> R:
        def tell(share: float) -> None:
            shares[number] = share
            if stop.is_set():
                raise _StoppedError
            if alone:
                report()

        return work(jobs[number], tell)

    if alone:
        return [run(k) for k in range(len(jobs))]
    with ThreadPoolExecutor(min(threads, len(jobs)), thread_name_prefix="near") as pool:
        going = [pool.submit(run, k) for k in range(len(jobs))]
        try:
            left: set[Future[R]] = set(going)
            while left:
                done, left = wait(left, timeout=LOOK_S, return_when=FIRST_EXCEPTION)
                for one in done:
                    one.result()  # raises what it raised
                report()
        finally:
            stop.set()
            for one in going:
                one.cancel()
    return [one.result() for one in going]
