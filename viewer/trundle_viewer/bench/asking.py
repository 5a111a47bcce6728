"""A thread that stands the newest state: what was asked before it and has not begun is left out."""

from __future__ import annotations

import threading
from collections.abc import Callable

from trundle.spec.vehicle import Vehicle
from trundle_viewer.bench.stood import Outcome


class Asking:
    """`ask` for a vehicle, `take` what came of the newest that is done."""

    def __init__(self, work: Callable[[Vehicle], Outcome]) -> None:
        self._work = work
        self._gate = threading.Condition()
        self._wanted: tuple[int, Vehicle] | None = None
        self._done: tuple[int, Outcome] | None = None
        self._asked = 0
        self._told = 0
        self._closed = False
        self._trouble: BaseException | None = None
        self._thread = threading.Thread(target=self._go, name="bench", daemon=True)
        self._thread.start()

    def ask(self, vehicle: Vehicle) -> int:
        """Stand this one as soon as the one in hand is done. Returns its number."""
        with self._gate:
            self._asked += 1
            self._wanted = (self._asked, vehicle)
            self._gate.notify_all()
            return self._asked

    @property
    def busy(self) -> bool:
        """Whether the newest is not told yet."""
        return self._told < self._asked

    def take(self) -> tuple[int, Outcome] | None:
        """The newest outcome, once; None if there is none since. Raises what broke the work off."""
        with self._gate:
            if self._trouble is not None:
                trouble, self._trouble = self._trouble, None
                self._told = self._asked
                raise trouble
            done, self._done = self._done, None
            if done is not None:
                self._told = done[0]
            return done

    def wait(self, timeout_s: float) -> bool:
        """Until the newest that was asked for is done; False if that takes too long."""
        with self._gate:
            return self._gate.wait_for(self._is_done, timeout_s)

    def _is_done(self) -> bool:
        newest = self._told if self._done is None else self._done[0]
        return newest >= self._asked or self._trouble is not None

    def close(self, cut: Callable[[], None] = lambda: None) -> None:
        """No more work is begun. cut: breaks off the one in hand."""
        with self._gate:
            self._closed = True
            self._gate.notify_all()
        cut()
        self._thread.join(5.0)

    def _go(self) -> None:
        while True:
            with self._gate:
                self._gate.wait_for(lambda: self._wanted is not None or self._closed)
                if self._closed:
                    return
                assert self._wanted is not None
                number, vehicle = self._wanted
                self._wanted = None
            try:
                outcome = self._work(vehicle)
            except BaseException as e:  # told in the window's own thread
                with self._gate:
                    self._trouble = e
                    self._gate.notify_all()
                continue
            with self._gate:
                self._done = (number, outcome)
                self._gate.notify_all()
