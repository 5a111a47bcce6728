"""Progress for anything that takes more than two seconds, on stderr, so that stdout stays the answer."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager

from rich.console import Console
from rich.progress import BarColumn, Progress, TextColumn, TimeRemainingColumn

PATIENCE_S = 1.5
"""A bar that comes and goes in less is only flicker [s]."""


@contextmanager
def progress(what: str) -> Iterator[Callable[[float], None]]:
    """Gives a function to call with the share done (0 to 1); a bar appears once it takes a while."""
    console = Console(stderr=True)
    bar = Progress(
        TextColumn("{task.description}"), BarColumn(), TextColumn("{task.percentage:>3.0f} %"),
        TimeRemainingColumn(), console=console, transient=True,
    )  # fmt: skip
    begin = time.monotonic()
    task = None

    def tell(share: float) -> None:
        nonlocal task
        if task is None:
            if time.monotonic() - begin < PATIENCE_S:
                return
            bar.start()
            task = bar.add_task(what, total=1.0)
        bar.update(task, completed=share)

    try:
        yield tell
    finally:
        if task is not None:
            bar.stop()


def tell_about_compiling() -> None:
    """Say so if the force law has to be compiled first: the one long wait on a new machine."""
    from trundle.law.compile import PLAIN, is_compiled

    if not PLAIN and not is_compiled():
        Console(stderr=True).print(
            "Getting the force law ready for this machine: once, about a minute ...", style="dim"
        )
