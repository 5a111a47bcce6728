"""A process that stands vehicles, one after another: in a thread of the window's it would take half of its frames,
since most of it is Python, which holds the lock that drawing needs."""

from __future__ import annotations

import pickle
import subprocess
import sys
from contextlib import suppress
from typing import BinaryIO, cast

from trundle.spec.vehicle import Vehicle
from trundle_viewer.bench.stood import Outcome, stood


class Stander:
    """That process, started at once and ready some tenths of a second later. Used by one thread."""

    def __init__(self) -> None:
        # In a session of its own a terminal's Ctrl-C does not reach it: it goes when its input ends.
        self._process = subprocess.Popen(
            [sys.executable, "-m", "trundle_viewer.bench.stander"],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,
            start_new_session=True,
        )

    def __call__(self, vehicle: Vehicle) -> Outcome:
        """How it stands. Worked out here if the process is gone."""
        process = self._process
        assert process.stdin is not None
        assert process.stdout is not None
        try:
            pickle.dump(vehicle, process.stdin)
            process.stdin.flush()
            return cast(Outcome, pickle.load(process.stdout))
        except (OSError, EOFError, pickle.UnpicklingError, ValueError):
            return stood(vehicle)

    def close(self) -> None:
        """End it, whatever it does."""
        self._process.kill()
        with suppress(OSError), self._process:  # what was not read any more
            pass


def serve(asked: BinaryIO, told: BinaryIO) -> None:
    """Answer until nothing more is asked."""
    while True:
        try:
            vehicle = pickle.load(asked)
        except EOFError:
            return
        pickle.dump(stood(vehicle), told)
        told.flush()


if __name__ == "__main__":
    serve(sys.stdin.buffer, sys.stdout.buffer)
