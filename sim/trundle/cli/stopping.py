"""What a command says after Ctrl-C: that it was stopped, and what of its work is kept."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

STOPPED = 130
"""Exit code after Ctrl-C: 128 and the signal's number, as a shell has it."""


class StoppedError(Exception):
    """Ctrl-C came. Its text says what is kept."""


@contextmanager
def if_stopped(kept: str) -> Iterator[None]:
    """Ctrl-C in here is told with `kept`: "nothing of this run is kept". Inside another, this one's words are told."""
    try:
        yield
    except KeyboardInterrupt:
        raise StoppedError(kept) from None
