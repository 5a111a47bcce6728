"""What plans are drawn of: a vehicle as it stands, at its stops, and all that is made for it."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from trundle.bogies.parts import Parts
from trundle.elevation.outline import Seen, seen
from trundle.elevation.pose import Pose, standing_pose, stop_pose
from trundle.engine.standing import Standing
from trundle.making.bolted import Bolted
from trundle.making.part import Made
from trundle.plans.measures import Measures, measures
from trundle.plans.subject import Subject
from trundle.spec.vehicle import Vehicle


@dataclass(frozen=True)
class Stood:
    """at: the vehicle at rest on level ground. made, bolted: all that is made for it, and its bolts."""

    at: Standing
    made: tuple[Made, ...]
    bolted: tuple[Bolted, ...]

    @property
    def vehicle(self) -> Vehicle:
        """As its file has it."""
        return self.at.assembly.vehicle

    @property
    def parts(self) -> Parts:
        """What moves, one side."""
        return self.at.assembly.parts

    @cached_property
    def pose(self) -> Pose:
        """Standing."""
        return standing_pose(self.at)

    @cached_property
    def bump(self) -> Pose:
        """All arms at their bump stops."""
        return stop_pose(self.at.assembly, "bump")

    @cached_property
    def droop(self) -> Pose:
        """All arms at their droop stops."""
        return stop_pose(self.at.assembly, "droop")

    @cached_property
    def measures(self) -> Measures:
        """Its overall dimensions, standing."""
        return measures(self.vehicle, self.pose)

    @cached_property
    def seen(self) -> list[Seen]:
        """The whole vehicle from the side, standing."""
        return seen(self.vehicle, self.parts, self.pose)

    @cached_property
    def bogies(self) -> tuple[tuple[str, ...], ...]:
        """Names of the bogies, those in one group that are alike in all but their place."""
        found: dict[str, list[str]] = {}
        for name, bogie in self.vehicle.bogie.items():
            found.setdefault(repr(bogie.model_copy(update={"at_mm": (0.0, 0.0)})), []).append(name)
        return tuple(map(tuple, found.values()))


def stood_of(subject: Subject) -> Stood | None:
    """None where the vehicle does not stand."""
    if subject.standing is None:
        return None
    return Stood(subject.standing, subject.made, subject.bolted)
