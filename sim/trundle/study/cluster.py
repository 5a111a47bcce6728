"""An existing distributed scheduler as the engine of a study (package `distributed`, extra `[cluster]`)."""

from __future__ import annotations

import importlib
import logging
import threading
import time
from collections.abc import Callable, Iterable, Mapping
from concurrent.futures import Executor, Future
from contextlib import suppress
from typing import Any, Protocol, TypeVar, cast

from trundle.errors import InputError, Problem
from trundle.study.engine import StudyStoppedError
from trundle.study.identity import identity
from trundle.study.kept import plain
from trundle.study.worker import Reply, running_now

_T = TypeVar("_T")

LIKE = "an address like tcp://192.168.1.20:8786"

CONNECT_S = 10.0
"""Time that a scheduler has to answer [s]."""

ANSWER_S = 5.0
"""Time that a worker has to say what it is doing, and one that hangs to end politely [s]."""

LOOK_EVERY_S = 5.0
"""Between two looks at whether there are workers at all [s]."""

DESERTED_S = 60.0
"""Time without any worker after which the study stops [s]: nannies take some seconds to start one again."""

RESTART_S = 30.0
"""Time after which a restart is left to itself: the study goes on with the workers there are [s]."""


class _Client(Protocol):
    """What is used of `distributed.Client`, which carries no types of its own."""

    def nthreads(self) -> Mapping[str, int]: ...

    def run(
        self, function: Callable[[], _T], /, *, workers: list[str] = ..., on_error: str = ...
    ) -> Mapping[str, _T]: ...

    def get_executor(self, *, pure: bool, retries: int) -> Executor: ...

    def wait_for_workers(self, n_workers: int, /, *, timeout: float) -> None: ...

    def restart_workers(self, workers: list[str], /, *, timeout: float, raise_for_error: bool) -> object: ...

    def close(self, timeout: float = ...) -> None: ...


class ClusterEngine:
    """A distributed scheduler that is already running, by its address (`tcp://127.0.0.1:8786`)."""

    # The scheduler itself tries a task on several workers before it says that it is lost.
    strikes = 2
    survives_kill = True

    def __init__(self, address: str) -> None:
        try:
            distributed = importlib.import_module("distributed")
        except ImportError:
            raise InputError(
                Problem("needs the package \"distributed\": pip install -e '.[cluster]'", argument="cluster")
            ) from None
        for name in ("distributed", "distributed.client", "distributed.core", "distributed.comm", "tornado", "asyncio"):
            # Its farewells to killed workers, and tracebacks of what it was about when the scheduler went.
            logging.getLogger(name).setLevel(logging.CRITICAL)
        self.address = address
        self._next_look = 0.0
        self._deserted_at: float | None = None
        self._client = _connected(distributed.Client, address)
        try:
            self._check_versions()
        except BaseException:
            self._client.close()
            raise
        self._executor = self._client.get_executor(pure=False, retries=0)

    def _check_versions(self) -> None:
        """Raises InputError unless every worker runs the same program on the same libraries."""
        threads = self._client.nthreads()
        if not threads:
            raise InputError(Problem(f"the scheduler at {self.address} has no workers", argument="cluster"))
        self.workers = sum(threads.values())
        ours = identity()
        try:
            theirs = self._client.run(identity)
        except Exception as e:  # whatever a foreign worker raises on unpickling
            raise InputError(
                Problem(
                    f"the workers at {self.address} cannot load this program ({type(e).__name__}: {e}); "
                    "install the same version there",
                    argument="cluster",
                )
            ) from None
        for worker, other in theirs.items():
            unlike = [f"{k} {other.get(k)} (here {v})" for k, v in ours.items() if other.get(k) != v]
            if unlike:
                raise InputError(
                    Problem(
                        f"worker {worker} runs something else: {', '.join(unlike)}; "
                        "results would not be the same, install the same version there",
                        argument="cluster",
                    )
                )

    def submit(self, function: Callable[..., Any], /, *args: Any) -> Future[Reply]:
        return self._executor.submit(function, *args)

    def look(self) -> None:
        now = time.monotonic()
        if now < self._next_look:
            return
        self._next_look = now + LOOK_EVERY_S
        if self._threads():
            self._deserted_at = None
        elif self._deserted_at is None:
            self._deserted_at = now
        elif now - self._deserted_at > DESERTED_S:
            raise self._gone(f"no worker for {DESERTED_S:g} s")

    def _threads(self) -> Mapping[str, int]:
        """Threads of each worker that there is. Raises StudyStoppedError if the scheduler does not answer."""
        try:
            return self._client.nthreads()
        except (OSError, RuntimeError) as e:  # its connection is cut, or its client closed
            raise self._gone(type(e).__name__) from None

    def _gone(self, why: str) -> StudyStoppedError:
        return StudyStoppedError(Problem(f"the cluster at {self.address} has gone ({why})", argument="cluster"))

    def revive(self) -> None:
        # The scheduler's nannies restart workers; only a scheduler that is gone cannot be helped.
        try:
            self._client.wait_for_workers(1, timeout=DESERTED_S)
        except Exception as e:
            raise self._gone(type(e).__name__) from None

    def kill_hung(self, late: dict[str, Future[Reply]], limit_s: float) -> tuple[set[str], set[str]]:
        # Asks the workers, because one cannot tell from here which of its tasks a worker has begun.
        at: dict[str, dict[str, float]] = {}
        workers = list(self._threads())
        if not workers:
            self.revive()

        def ask(worker: str) -> None:
            at.update(self._client.run(running_now, workers=[worker], on_error="ignore"))

        _each(ask, workers, ANSWER_S)
        hung: set[str] = set()
        homes = {worker for worker in workers if worker not in at}  # deaf: whatever it does, it does not end
        for worker, running in at.items():
            late_here = {key for key, seconds in running.items() if key in late and seconds > limit_s}
            if late_here:
                hung |= late_here
                homes.add(worker)
        # Late, but at work nowhere that answers: waiting behind one that hangs, on a deaf worker, or lost
        # when a worker went.
        at_work = {key for running in at.values() for key in running}
        lost = {key for key in late if key not in at_work}
        for key in hung | lost:
            late[key].cancel()
        if homes:
            _each(self._restart, [list(homes)], RESTART_S)
        return hung, lost

    def _restart(self, workers: list[str]) -> None:
        # A hanging worker does not heed the polite request that comes first, so that one is kept short.
        with suppress(Exception):  # gone meanwhile, or with nobody to start it again: revive() says so
            self._client.restart_workers(workers, timeout=ANSWER_S, raise_for_error=False)

    def abort(self, flight: list[Future[Reply]]) -> None:
        for future in flight:
            future.cancel()

    def close(self) -> None:
        self._executor.shutdown(wait=False)
        self._client.close()


def _connected(client: Any, address: str) -> _Client:
    """A `client` of the scheduler at `address`. Raises InputError if none answers there."""
    if not address.strip():  # would be taken for none, and start a scheduler of its own
        raise InputError(Problem("is no address", argument="cluster", allowed=LIKE))
    # In two steps, so that one that fails half made can be closed at once: left to Python, it waits 20 s for its
    # stopped loop as the program ends, and then prints a traceback.
    made = client.__new__(client)
    try:
        made.__init__(address, timeout=CONNECT_S, set_as_default=False)
    except BaseException as e:
        with suppress(Exception):
            made.close(timeout=ANSWER_S)
        if not isinstance(e, Exception):
            raise
        # Of whatever kind: who answers there may be no scheduler, and then an answer's first bytes, taken for a
        # length, are "not enough memory".
        raise InputError(
            Problem(f"no scheduler answers at {plain(address[:80])}", argument="cluster", allowed=LIKE)
        ) from None
    return cast("_Client", made)


def _each(function: Callable[[_T], None], arguments: Iterable[_T], limit_s: float) -> None:
    """Call `function` with each argument at the same time, and wait no longer than `limit_s` for all of them.

    The scheduler's own calls wait for as long as a worker does not answer.
    """
    threads = [threading.Thread(target=function, args=(a,), daemon=True) for a in arguments]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join(limit_s)
