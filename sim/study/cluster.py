"""An existing distributed scheduler as the engine of a study (package `distributed`, extra `[cluster]`)."""

from __future__ import annotations

import importlib
import logging
from collections.abc import Callable
from concurrent.futures import Executor, Future
from typing import Any

from sim.errors import InputError, Problem
from sim.study.engines import StudyStoppedError
from sim.study.identity import identity
from sim.study.worker import Reply, running_now

CONNECT_S = 10.0
"""Time that a scheduler has to answer [s]."""


class ClusterEngine:
    """A distributed scheduler that is already running, by its address (`tcp://127.0.0.1:8786`)."""

    # The scheduler itself tries a task on several workers before it says that it is lost.
    strikes = 2
    survives_kill = True

    def __init__(self, address: str) -> None:
        try:
            distributed: Any = importlib.import_module("distributed")
        except ImportError:
            raise InputError(
                Problem('needs the package "distributed": pip install "trundle[cluster]"', "--cluster")
            ) from None
        for name in ("distributed", "distributed.client", "distributed.core", "distributed.comm"):
            logging.getLogger(name).setLevel(logging.CRITICAL)  # its farewells to killed workers
        self.address = address
        try:
            self._client = distributed.Client(address, timeout=CONNECT_S, set_as_default=False)
        except (OSError, ValueError) as e:
            raise InputError(
                Problem(f"no scheduler answers at {address} ({type(e).__name__})", "--cluster")
            ) from None
        try:
            self._check_versions()
        except BaseException:
            self._client.close()
            raise
        self._executor: Executor = self._client.get_executor(pure=False, retries=0)

    def _check_versions(self) -> None:
        """Raises InputError unless every worker runs the same program on the same libraries."""
        threads = self._client.nthreads()
        if not threads:
            raise InputError(Problem(f"the scheduler at {self.address} has no workers", "--cluster"))
        self.workers = sum(threads.values())
        ours = identity()
        try:
            theirs = self._client.run(identity)
        except Exception as e:  # whatever a foreign worker raises on unpickling
            raise InputError(
                Problem(
                    f"the workers at {self.address} cannot load this program ({type(e).__name__}: {e}); "
                    "install the same version there",
                    "--cluster",
                )
            ) from None
        for worker, other in theirs.items():
            unlike = [f"{k} {other.get(k)} (here {v})" for k, v in ours.items() if other.get(k) != v]
            if unlike:
                raise InputError(
                    Problem(
                        f"worker {worker} runs something else: {', '.join(unlike)}; "
                        "results would not be the same, install the same version there",
                        "--cluster",
                    )
                )

    def submit(self, function: Callable[..., Any], /, *args: Any) -> Future[Reply]:
        return self._executor.submit(function, *args)

    def revive(self) -> None:
        # The scheduler's nannies restart workers; only a scheduler that is gone cannot be helped.
        try:
            self._client.wait_for_workers(1, timeout=60)
        except Exception as e:
            raise StudyStoppedError(
                Problem(f"the cluster at {self.address} has gone ({type(e).__name__})", "--cluster")
            ) from None

    def kill_hung(self, late: dict[str, Future[Reply]], limit_s: float) -> set[str]:
        # Asks the workers, because one cannot tell from here which of its tasks a worker has begun.
        hung: set[str] = set()
        homes: set[str] = set()
        for worker, running in self._client.run(running_now).items():
            for key, seconds in running.items():
                if key in late and seconds > limit_s:
                    hung.add(key)
                    homes.add(worker)
        for key in hung:
            late[key].cancel()
        if homes:
            # A hanging worker does not heed the polite request that comes first, so that one is kept short.
            self._client.restart_workers(list(homes), timeout=5, raise_for_error=False)
        return hung

    def abort(self, flight: list[Future[Reply]]) -> None:
        for future in flight:
            future.cancel()

    def close(self) -> None:
        self._executor.shutdown(wait=False)
        self._client.close()
