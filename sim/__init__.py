"""Trundle: rolls a small tracked hull over a virtual course before any steel is cut.

    import sim
    vehicle = sim.load_vehicle("badger.toml", {"hull.mass_kg": 300})
    course = sim.load_course("kerb-100.toml")
    result = sim.run(vehicle, course)
    result.timeline, result.events    # pandas DataFrames, the unit in every column name
    result.summary                    # figures by name

Names load what they need on first use, so that a command that does not run anything starts at once.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from sim.errors import InputError as InputError
    from sim.record.result import Result as Result
    from sim.record.result import run as run
    from sim.spec.course import load_course as load_course
    from sim.spec.vehicle import load_vehicle as load_vehicle

__version__ = "0.1.0"
__all__ = ["InputError", "Result", "__version__", "load_course", "load_vehicle", "run"]

_HOME = {
    "InputError": "sim.errors",
    "Result": "sim.record.result",
    "run": "sim.record.result",
    "load_course": "sim.spec.course",
    "load_vehicle": "sim.spec.vehicle",
}


def __getattr__(name: str) -> Any:
    if name in _HOME:
        from importlib import import_module

        return getattr(import_module(_HOME[name]), name)
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
