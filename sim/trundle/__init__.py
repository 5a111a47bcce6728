"""Trundle: rolls a small tracked hull over a virtual course before any steel is cut.

    import trundle
    vehicle = trundle.load_vehicle("teasel.toml", {"hull.mass_kg": 300})
    course = trundle.load_course("kerb-100.toml")
    result = trundle.run(vehicle, course)
    result.timeline, result.events    # pandas DataFrames, the unit in every column name
    result.summary                    # figures by name

Names load what they need on first use, so that a command that does not run anything starts at once.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from trundle.errors import InputError as InputError
    from trundle.result.result import Result as Result
    from trundle.result.run import run as run
    from trundle.spec.course import load_course as load_course
    from trundle.spec.vehicle import load_vehicle as load_vehicle

__version__ = "0.1.0"
__all__ = ["InputError", "Result", "__version__", "load_course", "load_vehicle", "run"]

_HOME = {
    "InputError": "trundle.errors",
    "Result": "trundle.result.result",
    "run": "trundle.result.run",
    "load_course": "trundle.spec.course",
    "load_vehicle": "trundle.spec.vehicle",
}


def __getattr__(name: str) -> Any:
    if name in _HOME:
        from importlib import import_module

        return getattr(import_module(_HOME[name]), name)
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
