"""Says how far a study is, how fast, and how long it still takes."""

from __future__ import annotations

import sys
import time
from typing import TYPE_CHECKING, TextIO

if TYPE_CHECKING:
    from rich.progress import Progress

SHOW_AFTER_S = 2.0
LINE_EVERY_S = 10.0
"""Time between two lines of progress where there is no terminal to draw a bar on [s]."""


class Watch:
    """A bar on a terminal, a line now and then elsewhere. Call it with (finished, in all)."""

    def __init__(self, out: TextIO | None = None) -> None:
        self.out = out or sys.stderr
        self.start_s = time.monotonic()
        self.said_s = self.start_s
        self.first: int | None = None
        self.bar: Progress | None = None

    def __call__(self, finished: int, total: int) -> None:
        now = time.monotonic()
        if self.first is None:
            self.first = finished  # found in the journal before anything was run
            self.start_s = self.said_s = now
            return
        if self.out.isatty():
            if self.bar is None and now - self.start_s > SHOW_AFTER_S:
                self.bar = self._opened(total)
            if self.bar is not None:
                text = self.line(finished, total, now)
                self.bar.update(self.bar.task_ids[0], completed=finished, total=total, description=text)
        elif now - self.said_s > LINE_EVERY_S:
            self.said_s = now
            print(self.line(finished, total, now), file=self.out, flush=True)

    def line(self, finished: int, total: int, now_s: float) -> str:
        """`320 of 1000 runs, 8.1 a second, 1 min 24 s left`."""
        done = finished - (self.first or 0)
        rate = done / max(now_s - self.start_s, 1e-9)
        left = f", {duration((total - finished) / rate)} left" if rate > 0 else ""
        return f"{finished} of {total} runs, {rate:.1f} a second{left}"

    def close(self) -> None:
        if self.bar is not None:
            self.bar.stop()

    def _opened(self, total: int) -> Progress:
        from rich.progress import BarColumn

        from trundle.report.bars import bar, words

        shown = bar(BarColumn(), words(), file=self.out)
        shown.add_task("", total=total)
        shown.start()
        return shown


def duration(seconds: float) -> str:
    """`48 s`, `1 min 24 s`, `2 h 5 min`."""
    whole = round(seconds)
    if whole < 60:
        return f"{whole} s"
    if whole < 3600:
        return f"{whole // 60} min {whole % 60} s"
    return f"{whole // 3600} h {whole % 3600 // 60} min"
