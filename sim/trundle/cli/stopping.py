"""What a command says after Ctrl-C: that it was stopped, and what of its work is kept."""

from __future__ import annotations

import signal
from collections.abc import Iterator
from contextlib import contextmanager

STOPPED = 130
"""Exit code after Ctrl-C: 128 and the signal's number, as a shell has it."""


class StoppedError(Exception):
    """Ctrl-C came. Its text says what is kept."""


@contextmanager
def hung_up_as_stopped() -> Iterator[None]:
    """A terminal that is closed in here, or a kill, counts as Ctrl-C, so that what is kept then is kept now."""
    numbers = [
        getattr(signal, name) for name in ("SIGHUP", "SIGTERM") if hasattr(signal, name)
    ]  # Windows has no SIGHUP
    before = {number: signal.signal(number, signal.default_int_handler) for number in numbers}
    try:
        yield
    finally:
        for number, handler in before.items():
            signal.signal(number, handler)


@contextmanager
def if_stopped(kept: str) -> Iterator[None]:
    """Ctrl-C in here is told with `kept`: "nothing of this run is kept". Inside another, this one's words are told."""
    try:
        yield
    except KeyboardInterrupt:
        raise StoppedError(kept) from None
