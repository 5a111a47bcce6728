"""Progress for anything that takes more than two seconds, on stderr, so that stdout stays the answer."""

from __future__ import annotations

import sys
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager

import click
from rich.progress import BarColumn, Progress, SpinnerColumn, TextColumn, TimeElapsedColumn, TimeRemainingColumn

from trundle.findings.words import counted
from trundle.law import kept
from trundle.law.compile import is_compiled
from trundle.report.bars import bar, words

NEWS = {
    kept.DAMAGED: "Getting the force law ready again, up to half a minute: a kept file of it is damaged, or others may "
    "write it ({})",
    kept.WAITING: "Another command is getting the force law ready: waiting for it ...",
    kept.UNKEPT: "note: the force law as made ready can be kept nowhere, the next command makes it ready again ({})",
}

WAIT = "Getting the force law ready for this processor"

MORE = "Getting a further part of the force law ready for this processor"
"""Where what every run calls is ready: a picture or a sheet calls a piece more, which a first run need not wait for."""

PATIENCE_S = 1.5
"""A bar that comes and goes in less is only flicker [s]."""


@contextmanager
def progress(what: str) -> Iterator[Callable[[float], None]]:
    """Gives a function to call with the share done (0 to 1); a bar appears once it takes a while."""
    shown = bar(words(), BarColumn(), TextColumn("{task.percentage:>3.0f} %"), TimeRemainingColumn())
    begin = time.monotonic()
    task = None

    def tell(share: float) -> None:
        nonlocal task
        if task is None:
            if time.monotonic() - begin < PATIENCE_S:
                return
            shown.start()
            task = shown.add_task(what, total=1.0)
        shown.update(task, completed=share, description=f"{what}: working out its figures" if share >= 1.0 else what)

    try:
        yield tell
    finally:
        if task is not None:
            shown.stop()


@contextmanager
def busy(what: str) -> Iterator[None]:
    """Says what is going on while something of unknown length lasts, once it takes a while."""
    shown = bar(SpinnerColumn(), words(), TimeElapsedColumn())
    shown.add_task(what)
    late = threading.Timer(PATIENCE_S, shown.start)
    late.daemon = True
    late.start()
    try:
        yield
    finally:
        late.cancel()
        late.join()
        shown.stop()


class Compiling:
    """The one long wait on a new computer: a line that moves on a terminal, two lines elsewhere."""

    def __init__(self) -> None:
        self.began_s: float | None = None
        self.bar: Progress | None = None
        self.what = WAIT
        self.said: set[str] = set()

    def __call__(self, done: int, going: bool) -> None:
        """Told how many kernels are compiled, and whether more is being compiled."""
        if self.began_s is None:
            self.began_s = time.monotonic()
            further = is_compiled()
            self.what = MORE if further else WAIT
            if not sys.stderr.isatty():
                click.echo(f"{self.what}: once, {'some seconds' if further else 'up to half a minute'} ...", err=True)
        if not sys.stderr.isatty():
            return
        if self.bar is None:
            self.bar = bar(SpinnerColumn(), TimeElapsedColumn(), words())
            self.bar.add_task(self.what)
        # It comes and goes with each kernel that is called: nothing of it may stand behind what else is printed.
        if going and not self.bar.live.is_started:
            self.bar.start()
        self.bar.update(self.bar.task_ids[0], description=f"{self.what}, once: {counted(done, 'kernel')}")
        if not going:
            self.bar.stop()

    def news(self, what: str, where: str) -> None:
        """Told what else there is to it (see trundle.law.kept), and says each kind once."""
        if what not in self.said:
            self.said.add(what)
            click.echo(NEWS[what].format(where), err=True)
        if what == kept.DAMAGED and self.began_s is None:  # said with it
            self.began_s = time.monotonic()


compiling = Compiling()
"""The one that all commands share."""
