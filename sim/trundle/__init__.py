"""Trundle: rolls a small tracked hull over a virtual course before any steel is cut.

    import trundle

    result = trundle.run("teasel", "kerb-100")     # names, files, or objects
    result                                         # three lines: how it ended, its figures, what else there is
    print(result.verdict)                          # what `trundle run` prints
    result.summary["peak_wheel_load_N"]            # figures by name, the unit in every name
    result.timeline, result.events                 # pandas DataFrames
    result.save("results/first")                   # the run folder, with its report

    vehicle = trundle.load_vehicle("teasel", {"hull.mass_kg": 300})
    print(trundle.sheet(vehicle))                  # how it stands, what its steel bears, what to cut
    print(trundle.buying_list(vehicle))            # bars and how to saw them, plate, bolts; what it weighs
    print(trundle.turning(vehicle))                # what it takes to turn, and whether its parts hold it
    print(trundle.tipping(vehicle))                # on which slopes it tips, slides, or is held
    trundle.limits(vehicle)                        # the highest kerb, widest ditch, steepest ramp
    trundle.gearing("mole", "kerb-100")            # which gear ratio suits its motors there
    trundle.mend(vehicle, "kerb-100")              # what to change about the worst finding
    trundle.compare(vehicle, "yard", {"bogie.*.spring.thickness_mm": [2.5, 3, 3.5]}).ranking

What is wrong with a file or an argument is an InputError (a ValueError): file, line, field, what is wrong, what is
allowed. Names load what they need on first use, so that a command that runs nothing starts at once.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from trundle.errors import InputError as InputError
    from trundle.errors import StandingError as StandingError
    from trundle.law.named import State as State
    from trundle.papers.buying import BuyingList as BuyingList
    from trundle.papers.buying import buying_list as buying_list
    from trundle.papers.document import Sheet as Sheet
    from trundle.papers.document import sheet as sheet
    from trundle.papers.tipping import TippingSheet as TippingSheet
    from trundle.papers.tipping import tipping as tipping
    from trundle.papers.turning import TurningSheet as TurningSheet
    from trundle.papers.turning import turning as turning
    from trundle.result.gearing import gearing as gearing
    from trundle.result.inputs import load_course as load_course
    from trundle.result.inputs import load_vehicle as load_vehicle
    from trundle.result.limits import limits as limits
    from trundle.result.result import Result as Result
    from trundle.result.run import run as run
    from trundle.result.step_by_step import Steps as Steps
    from trundle.spec.course import Course as Course
    from trundle.spec.vehicle import Vehicle as Vehicle
    from trundle.study.api import Comparison as Comparison
    from trundle.study.api import compare as compare
    from trundle.study.mend.mended import Mended as Mended
    from trundle.study.mend.search import mend as mend

__version__ = "0.1.0"

_HOME = {
    "BuyingList": "trundle.papers.buying",
    "Comparison": "trundle.study.api",
    "Course": "trundle.spec.course",
    "InputError": "trundle.errors",
    "Mended": "trundle.study.mend.mended",
    "Result": "trundle.result.result",
    "Sheet": "trundle.papers.document",
    "StandingError": "trundle.errors",
    "State": "trundle.law.named",
    "Steps": "trundle.result.step_by_step",
    "TippingSheet": "trundle.papers.tipping",
    "TurningSheet": "trundle.papers.turning",
    "Vehicle": "trundle.spec.vehicle",
    "buying_list": "trundle.papers.buying",
    "compare": "trundle.study.api",
    "gearing": "trundle.result.gearing",
    "limits": "trundle.result.limits",
    "load_course": "trundle.result.inputs",
    "load_vehicle": "trundle.result.inputs",
    "mend": "trundle.study.mend.search",
    "run": "trundle.result.run",
    "sheet": "trundle.papers.document",
    "tipping": "trundle.papers.tipping",
    "turning": "trundle.papers.turning",
}
"""Where each name is defined. No package of ours may have one of these names: importing it would take the place."""

__all__ = [
    "BuyingList", "Comparison", "Course", "InputError", "Mended", "Result", "Sheet", "StandingError", "State", "Steps",
    "TippingSheet", "TurningSheet", "Vehicle", "__version__", "buying_list", "compare", "gearing", "limits",
    "load_course", "load_vehicle", "mend", "run", "sheet", "tipping", "turning",
]  # fmt: skip


def __getattr__(name: str) -> Any:
    if name in _HOME:
        from importlib import import_module

        return getattr(import_module(_HOME[name]), name)
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")


def __dir__() -> list[str]:
    return __all__
