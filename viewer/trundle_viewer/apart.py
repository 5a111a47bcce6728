"""What a run has to say, with the runs close by, worked out in a process of its own.

In a thread beside the picture it took every other frame: most of it is Python, which holds the lock that drawing needs.
"""

from __future__ import annotations

import pickle
import subprocess
import sys
import threading

from trundle.errors import TrundleError
from trundle.spec.course import Course
from trundle.spec.vehicle import Vehicle
from trundle_viewer.told import Told, nothing_told, told_of

LOOK_S = 0.05
"""Between two looks at whether it is still wanted [s]."""


class Apart:
    """One such process, fed and read by the thread that asks it."""

    def __init__(self, vehicle: Vehicle, course: Course, dt_ms: float, ground_mm: float) -> None:
        self._asked = pickle.dumps((vehicle, course, dt_ms, ground_mm))
        self._title = f"{vehicle.name} over {course.name}"

    def told(self, halt: threading.Event) -> Told | None:
        """Wait for it; None if `halt` was set before."""
        # In a session of its own a terminal's Ctrl-C does not reach it: it goes when it is no longer wanted.
        with subprocess.Popen(
            [sys.executable, "-m", "trundle_viewer.apart"],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,
            start_new_session=True,
        ) as process:
            asked: bytes | None = self._asked
            while True:
                try:
                    answer, _ = process.communicate(asked, timeout=LOOK_S)
                    break
                except subprocess.TimeoutExpired:
                    asked = None
                    if halt.is_set():
                        process.kill()
                        return None
        if process.returncode != 0:
            return nothing_told(f"{self._title}: no verdict, what works it out ended with code {process.returncode}.")
        told: Told = pickle.loads(answer)
        return told


def answer(asked: bytes) -> bytes:
    """What the process makes of what it is asked."""
    # Only here: whoever asks has no need of it.
    from trundle.result.run import run

    vehicle, course, dt_ms, ground_mm = pickle.loads(asked)
    try:
        # One thread: the other core is the picture's.
        made = run(vehicle, course, dt_ms=dt_ms, ground_mm=ground_mm, threads=1)
        told = told_of(made.verdict, made)
    except TrundleError as e:
        told = nothing_told(f"{vehicle.name} over {course.name}: no verdict, {e}.")
    return pickle.dumps(told)


if __name__ == "__main__":
    sys.stdout.buffer.write(answer(sys.stdin.buffer.read()))
