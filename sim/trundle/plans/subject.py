"""What the drawings are of: a vehicle with its parts and bolts, how it stands, its file, the paper."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from trundle.engine.standing import Standing
from trundle.making.bolted import Bolted
from trundle.making.made import bolted, left_out, made
from trundle.making.part import Made
from trundle.plans.page import Page
from trundle.plans.paper import Paper
from trundle.spec.vehicle import Vehicle


@dataclass(frozen=True)
class Subject:
    """left_out: what is not drawn, and which field would add it. standing: None if it does not stand. source: name of
    its file. date: of the drawings, in words. paper: that each sheet is printed on."""

    vehicle: Vehicle
    made: tuple[Made, ...]
    bolted: tuple[Bolted, ...]
    left_out: tuple[str, ...]
    standing: Standing | None
    source: str
    date: str
    paper: Paper


Pages = Callable[[Subject], Iterator[Page]]
"""A kind of page: what draws all of its sheets, none where there is nothing of the kind."""


def subject_of(vehicle: Vehicle, standing: Standing | None, source: str, date: str, paper: Paper) -> Subject:
    """With its parts from its file. Raises InputError where a spring or stop cannot work."""
    return Subject(vehicle, made(vehicle), bolted(vehicle), left_out(vehicle), standing, source, date, paper)
