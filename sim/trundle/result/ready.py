"""Gets the force law ready for this processor: everything that a run calls, compiled in this process."""

from __future__ import annotations

from trundle.law.compile import PLAIN, is_compiled
from trundle.result.run import run
from trundle.spec.course import Course
from trundle.terrain.slopes import Flat

VEHICLE = "teasel"
"""A shipped vehicle with a track. All vehicles are of the same types, so that what one calls serves every other."""


def make_ready() -> None:
    """Compiles in one short run what is not compiled yet, so that workers or a window that start after it only load."""
    if PLAIN or is_compiled():
        return
    start = Flat(kind="flat", length_mm=100.0, gap_mm=0.0)
    run(VEHICLE, Course(run_out_mm=0.0, obstacle=(start,)), near=1)
