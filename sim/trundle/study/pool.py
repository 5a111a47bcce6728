"""Many tasks over worker processes: one small supervisor, whatever the engine.

A supervisor keeps at most two tasks per worker in flight, so memory does not grow with the number
of tasks. What can happen to a task:

    done      the function returned
    refused   the input is wrong, as the function said: the message is the reason
    fault     the function raised anything else: a fault of the program or of the computer (no memory, no room)
    overtime  it ran longer than its budget
    killed    its worker process died under it again and again, also with nothing else running

A worker process that dies takes the tasks in flight with it. Each of them is then a suspect and is
run again with nothing beside it, so that one which always kills its worker cannot take others along. A
task that ends by a fault is tried once more in the same way: beside others there may not have been memory enough.
"""

from __future__ import annotations

import contextlib
import queue
import time
from collections import deque
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import BrokenExecutor, CancelledError, Future
from dataclasses import dataclass, field
from typing import Any

from trundle.engine.cores import core_count
from trundle.errors import Problem
from trundle.study.engine import Engine, StudyStoppedError, is_loss
from trundle.study.local import LocalEngine
from trundle.study.worker import FAULT, KILLED, OVERTIME, Reply, call, told

GRACE_S = 20.0
"""Time beyond the budget that a worker has to stop by itself before it is killed [s]."""

MOST_RETRIED = 20
"""Tasks that ended by a fault and are tried once more: with more of them it is no passing shortage."""

MOST_LOST = 4
"""Times that a task may be late without being at work anywhere before it is given up."""


@dataclass(frozen=True)
class Outcome:
    """What became of one task. value: what the function returned (None unless kind is "done")."""

    key: str
    kind: str
    value: Any
    reason: str
    wall_s: float


@dataclass
class Tally:
    """How many tasks ended how; `interrupted` if Ctrl-C stopped the rest."""

    kinds: dict[str, int] = field(default_factory=dict)
    interrupted: bool = False

    @property
    def total(self) -> int:
        return sum(self.kinds.values())


@dataclass
class _Task:
    key: str
    payload: Any
    strikes: int = 0
    """How often its worker died under it."""
    faults: int = 0
    """How often it ended by a fault."""
    lost: int = 0
    """How often it was late, but at work nowhere."""
    since_s: float = 0.0
    """When it came among the oldest of the flight, which are those that run."""


def run_all(
    tasks: Iterable[tuple[str, Any]],
    function: Callable[[Any], Any],
    on_result: Callable[[Outcome], None],
    *,
    workers: int | None = None,
    cluster: str | None = None,
    engine: Engine | None = None,
    budget_s: float | None = None,
    grace_s: float = GRACE_S,
) -> Tally:
    """Runs `function(payload)` for every `(key, payload)` and hands each Outcome to `on_result`.

    tasks: read lazily, one at a time. function: at the top level of a module that workers can import.
    on_result: called in this process, in order of completion; what it raises ends the study.
    workers: local processes (default: the cores this process may use). cluster: address of a running
    distributed scheduler, used instead. engine: one that is already open, used and left open.
    budget_s: longest time one task may take [s].

    Ctrl-C stops the rest and returns; results handed over stay handed over.
    Raises InputError if workers cannot start, the cluster is not there, or runs another version.
    """
    with contextlib.nullcontext(engine) if engine else open_engine(workers, cluster) as used:
        return _Supervisor(used, function, on_result, budget_s, grace_s).run(tasks)


@contextlib.contextmanager
def open_engine(workers: int | None, cluster: str | None) -> Iterator[Engine]:
    """The cluster's engine if an address is given, else a local pool. Closed on leaving."""
    engine: Engine
    if cluster is not None:
        from trundle.study.cluster import ClusterEngine

        engine = ClusterEngine(cluster)
    else:
        engine = LocalEngine(core_count() if workers is None else workers)
    try:
        yield engine
    finally:
        engine.close()


class _Supervisor:
    def __init__(
        self,
        engine: Engine,
        function: Callable[[Any], Any],
        on_result: Callable[[Outcome], None],
        budget_s: float | None,
        grace_s: float,
    ) -> None:
        self.engine, self.function, self.on_result = engine, function, on_result
        self.budget_s, self.grace_s = budget_s, grace_s
        self.flight: dict[Future[Reply], _Task] = {}  # in order of submission
        self.again: deque[_Task] = deque()  # innocent, run with the rest
        self.suspects: deque[_Task] = deque()  # to be run alone
        self.ready: queue.SimpleQueue[Future[Reply]] = queue.SimpleQueue()
        self.retried = 0
        self.tally = Tally()

    def run(self, tasks: Iterable[tuple[str, Any]]) -> Tally:
        source = iter(tasks)
        try:
            while True:
                self._fill(source)
                if not self.flight:
                    break
                with contextlib.suppress(queue.Empty):
                    self._settle(self.ready.get(timeout=0.5))
                self._stop_overtime()
                self.engine.look()
        except KeyboardInterrupt:
            self.tally.interrupted = True
            self.engine.abort(list(self.flight))
        except BaseException:
            self.engine.abort(list(self.flight))
            raise
        return self.tally

    def _fill(self, source: Iterator[tuple[str, Any]]) -> None:
        """Sends out tasks: a suspect alone, otherwise two per worker."""
        if self.suspects:
            if not self.flight:
                self._send(self.suspects.popleft())
            return
        while len(self.flight) < 2 * self.engine.workers:
            if self.again:
                task = self.again.popleft()
            else:
                item = next(source, None)
                if item is None:
                    return
                task = _Task(*item)
            if not self._send(task):
                return

    def _send(self, task: _Task) -> bool:
        """Sends one task out, or puts it back and returns False if the engine has just broken."""
        for _ in range(3):
            try:
                future = self._submit(task)
                break
            except BrokenExecutor:
                if self.flight:  # these come back as lost, and then the engine is revived
                    self.again.appendleft(task)
                    return False
                self.engine.revive()
        else:
            raise StudyStoppedError(Problem("worker processes die as soon as they have started"))
        task.since_s = time.monotonic()
        self.flight[future] = task
        future.add_done_callback(self.ready.put)
        return True

    def _submit(self, task: _Task) -> Future[Reply]:
        return self.engine.submit(call, self.function, task.key, task.payload, self.budget_s)

    def _settle(self, future: Future[Reply]) -> None:
        if future not in self.flight:  # of a pool that was killed for overtime
            return
        ran = future in list(self.flight)[: self.engine.workers]
        task = self.flight.pop(future)
        error: BaseException | None
        try:
            error = future.exception()
        except CancelledError as e:
            error = e
        if error is None:
            reply = future.result()
            if reply[0] == FAULT and not task.faults and self.retried < MOST_RETRIED:
                task.faults += 1
                self.retried += 1
                self.suspects.append(task)
            else:
                self._finish(task, *reply)
        elif is_loss(error):
            task.strikes += 1
            if task.strikes >= self.engine.strikes:
                self._finish(task, KILLED, None, "its worker process died each time it ran", 0.0)
            else:
                self.suspects.append(task)
            if not self.flight:
                self.engine.revive()
        else:  # the call could not be sent, or its result not be sent back
            self._finish(task, FAULT, None, told(error), 0.0)
        # Workers take tasks in order, so the oldest ones are those at work: the next has come up.
        if ran and len(self.flight) >= self.engine.workers:
            list(self.flight.values())[self.engine.workers - 1].since_s = time.monotonic()

    def _finish(self, task: _Task, kind: str, value: Any, reason: str, wall_s: float) -> None:
        self.tally.kinds[kind] = self.tally.kinds.get(kind, 0) + 1
        self.on_result(Outcome(task.key, kind, value, reason, wall_s))

    def _stop_overtime(self) -> None:
        """Kills what did not stop by itself: a worker blocked outside Python cannot."""
        if self.budget_s is None or not self.flight:
            return
        limit_s = self.budget_s + self.grace_s
        now = time.monotonic()
        oldest = list(self.flight.items())[: self.engine.workers]
        late = {task.key: future for future, task in oldest if now - task.since_s > limit_s}
        if not late:
            return
        hung, lost = self.engine.kill_hung(late, limit_s)
        for future, task in list(self.flight.items()):
            if task.key in hung:
                del self.flight[future]
                reason = f"did not end within {self.budget_s:g} s and was killed"
                self._finish(task, OVERTIME, None, reason, now - task.since_s)
            elif task.key in lost and task.lost + 1 >= MOST_LOST:
                del self.flight[future]
                self._finish(task, OVERTIME, None, "no worker gave it back in time", now - task.since_s)
            elif task.key in lost or not self.engine.survives_kill:
                del self.flight[future]
                task.lost += task.key in lost
                self.again.append(task)
