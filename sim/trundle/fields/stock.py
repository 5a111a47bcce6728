"""Field types of what a part is made from: stock, steels, threads, angles."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from pydantic import AfterValidator, Field

from trundle.steel.bolts import BOLT_CLASSES, THREADS
from trundle.steel.materials import steel_names, steel_problem
from trundle.steel.wire import WIRES


@dataclass(frozen=True)
class OneOf:
    """Stands in the type of a field that takes one of several names: which they are, for the guide."""

    names: tuple[str, ...]


def _known_spring_steel(name: str) -> str:
    if problem := steel_problem(name, spring=True):
        raise ValueError(problem)
    return name


def _known_coil_steel(name: str) -> str:
    if name not in WIRES and (problem := steel_problem(name, spring=True)):
        raise ValueError(f"{problem.rstrip(')')}, {', '.join(WIRES)})")
    return name


def _known_steel(name: str) -> str:
    if problem := steel_problem(name, spring=False):
        raise ValueError(problem)
    return name


def _known_thread(name: str) -> str:
    if name not in THREADS:
        raise ValueError(f'unknown thread "{name}" (known: {", ".join(THREADS)})')
    return name


def _known_grade(name: str) -> str:
    if name not in BOLT_CLASSES:
        raise ValueError(f'unknown bolt class "{name}" (known: {", ".join(BOLT_CLASSES)})')
    return name


SteelName = Annotated[str, AfterValidator(_known_spring_steel), OneOf(steel_names(True))]
"""Name of a spring steel in `trundle.steel.materials`."""

CoilSteelName = Annotated[str, AfterValidator(_known_coil_steel), OneOf((*steel_names(True), *WIRES))]
"""The same, or a drawn wire in `trundle.steel.wire`: what coils are wound of."""

PlateSteel = Annotated[str, AfterValidator(_known_steel), OneOf(steel_names(False))]
"""Name of a structural steel in `trundle.steel.materials`."""

ThreadName = Annotated[str, AfterValidator(_known_thread), OneOf(tuple(THREADS))]
"""A coarse thread: "M12" or "UNC 1/2"."""

GradeName = Annotated[str, AfterValidator(_known_grade), OneOf(tuple(BOLT_CLASSES))]
"""A property class: "8.8", "grade 5", "unmarked"."""

TurnDeg = Annotated[float, Field(ge=-180, le=180)]
"""An arm angle that a twisted part may have had before the hull is put on it, deg below horizontal."""

SwingDeg = Annotated[float, Field(ge=-75, le=75)]
"""An arm angle within which vertical travel makes sense, deg below horizontal."""

StockMm = Annotated[float, Field(gt=0, le=500)]
"""Width or thickness of a piece of stock, mm."""

SpanMm = Annotated[float, Field(gt=0, le=5_000)]
"""A length, mm: above 0, at most 5 m."""

Count = Annotated[int, Field(ge=1, le=30)]
"""How many of a thing, 1 to 30."""
