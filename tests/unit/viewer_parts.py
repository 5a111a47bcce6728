"""What the viewer's tests share: one run of a shipped vehicle over a shipped kerb, kept once per session."""

from __future__ import annotations

import os
from functools import cache
from pathlib import Path

os.environ.setdefault("SDL_VIDEODRIVER", "dummy")

from trundle.record.store import COURSE, VEHICLE, whole_folder, write_tables
from trundle.result.result import Result
from trundle.result.run import run
from trundle.spec.course import load_course
from trundle.spec.shipped import find
from trundle.spec.vehicle import load_vehicle
from trundle_viewer.film import Film, film_of_result


@cache
def result(vehicle: str = "teasel", course: str = "kerb-100", mass_kg: float | None = None) -> Result:
    """A run in memory."""
    settings = {} if mass_kg is None else {"hull.mass_kg": mass_kg}
    return run(load_vehicle(find("vehicles", vehicle), settings), load_course(find("courses", course)), near=1)


@cache
def film(vehicle: str = "teasel", course: str = "kerb-100") -> Film:
    """The same as the viewer holds it."""
    return film_of_result(result(vehicle, course))


def keep(folder: Path, vehicle: str = "teasel", course: str = "kerb-100") -> Path:
    """The same as a run folder."""
    r = result(vehicle, course)
    with whole_folder(folder) as part:
        write_tables(part, r.timeline, r.events, r.summary)
        (part / VEHICLE).write_bytes(find("vehicles", vehicle).read_bytes())
        (part / COURSE).write_bytes(find("courses", course).read_bytes())
    return folder
