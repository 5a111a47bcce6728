"""A terminal that is closed in the middle of the questions."""

from __future__ import annotations

import os
import select
import signal
import sys
import time
from pathlib import Path

import pytest

pty = pytest.importorskip("pty")  # no terminals of this sort on Windows

MOST_S = 60.0


def _until(fd: int, words: str) -> str:
    """What comes until the words are there."""
    seen, ends = "", time.monotonic() + MOST_S
    while words not in seen and time.monotonic() < ends:
        if select.select([fd], [], [], 0.2)[0]:
            try:
                seen += os.read(fd, 65536).decode(errors="replace")
            except OSError:  # the other end is gone
                break
            if "\x1b[6n" in seen[-80:]:
                os.write(fd, b"\x1b[1;1R")  # where the cursor is
    return seen


@pytest.mark.parametrize("number", [signal.SIGHUP, signal.SIGTERM])
def test_answers_are_kept_when_the_terminal_is_closed(tmp_path: Path, number: int) -> None:
    """The name is typed, the next question stands there, the terminal goes: the name is in a file."""
    child, fd = pty.fork()
    if child == 0:
        os.chdir(tmp_path)
        os.environ["TERM"] = "xterm"
        os.execv(sys.executable, [sys.executable, "-m", "trundle.cli.main", "new"])
    try:
        _until(fd, ">")
        os.write(fd, b"Robin\r")
        assert "2. " in _until(fd, "arrow keys")
        os.kill(child, number)
        _until(fd, "to go on")
    finally:
        os.close(fd)
        os.waitpid(child, 0)
    kept = list(tmp_path.glob("*.answers.toml"))
    assert len(kept) == 1
    assert 'name = "Robin"' in kept[0].read_text(encoding="utf-8")
