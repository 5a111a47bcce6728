"""The three streams of a command, whatever state they are in as it starts.

A stream that is closed (`>&-`) is None in Python, and the next file to be opened takes its number, so that a library
which writes to number 1 writes into that file. So each closed one is opened on the null device before anything else.
"""

from __future__ import annotations

import contextlib
import io
import os
import sys

_MODES = (("stdin", "r"), ("stdout", "w"), ("stderr", "w"))


class Notices(io.TextIOWrapper):
    """A stderr that never stops what it tells of: what nobody takes (full, or read no longer) is dropped."""

    def write(self, text: str) -> int:
        try:
            return super().write(text)
        except OSError:
            _to_null(self.fileno())
            return len(text)

    def flush(self) -> None:
        try:
            super().flush()
        except OSError:
            _to_null(self.fileno())


def make_usable() -> None:
    """Open the closed ones, show "?" for what a terminal of few characters does not know, and let stderr drop what
    nobody takes."""
    for name, mode in _MODES:
        if getattr(sys, name) is None:
            number = os.open(os.devnull, os.O_RDWR)
            os.set_inheritable(number, True)  # as the three are: workers have them too
            setattr(sys, name, os.fdopen(number, mode, encoding="utf-8", buffering=1))
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="replace")
    if type(sys.stderr) is io.TextIOWrapper:  # not what a test or a window has put in its place
        encoding = sys.stderr.encoding
        sys.stderr.flush()
        sys.stderr = Notices(sys.stderr.detach(), encoding=encoding, errors="replace", line_buffering=True)


def let_go() -> None:
    """Drop what the streams hold if nobody takes it: or Python tries again as it ends, and fails with code 120."""
    for stream in (sys.stdout, sys.stderr):
        try:
            stream.flush()
        except ValueError:  # closed meanwhile: it holds nothing
            continue
        except OSError:
            _to_null(stream.fileno())


def _to_null(number: int) -> None:
    with contextlib.suppress(OSError):
        null = os.open(os.devnull, os.O_WRONLY)
        os.dup2(null, number)
        os.close(null)
