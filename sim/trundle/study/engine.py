"""What the supervisor needs of the place where tasks run: processes here (`local`) or a scheduler (`cluster`).

Both speak `concurrent.futures`; what differs is how a dead or hanging worker is dealt with.
"""

from __future__ import annotations

from collections.abc import Callable
from concurrent.futures import BrokenExecutor, CancelledError, Future
from dataclasses import replace
from typing import Any, Protocol

from trundle.errors import ComputerError
from trundle.study.worker import Reply


class StudyStoppedError(ComputerError):
    """The engine does not start or is gone; everything handed over until then stays handed over."""

    exit_code = 3

    def with_what_is_left(self, left: str) -> StudyStoppedError:
        """The same, saying what is left of the work: only who keeps it knows."""
        return StudyStoppedError(replace(p, problem=f"{p.problem}; {left}") for p in self.problems)


class Engine(Protocol):
    """What the supervisor needs of an engine."""

    workers: int
    strikes: int
    """Losses after which a task is given up; the last ones of them alone."""
    survives_kill: bool
    """Whether tasks in flight go on when a hanging worker is killed."""

    def submit(self, function: Callable[..., Any], /, *args: Any) -> Future[Reply]: ...

    def revive(self) -> None:
        """Makes it usable again after a worker died. Raises StudyStoppedError if it cannot."""

    def kill_hung(self, late: dict[str, Future[Reply]], limit_s: float) -> tuple[set[str], set[str]]:
        """Kills the workers of those `late` tasks that do run, and takes back those that run nowhere.

        Returns the keys of the one and of the other.
        """
        ...

    def look(self) -> None:
        """Called now and then while waiting. Raises StudyStoppedError if no worker is left to wait for."""

    def abort(self, flight: list[Future[Reply]]) -> None:
        """Drops what is in flight."""

    def close(self) -> None: ...


def is_loss(error: BaseException) -> bool:
    """Whether the task's worker died, as opposed to the task having raised."""
    if isinstance(error, (BrokenExecutor, CancelledError)):
        return True
    # By name: distributed need not be installed.
    return type(error).__name__ in ("KilledWorker", "FutureCancelledError", "CommClosedError")
