"""Obstacles and ground. A new obstacle kind is a class in its family's file and one line in the imports below."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

from trundle.fields.kind import kinds_in, one_of
from trundle.terrain.bars import Log as Log
from trundle.terrain.bars import Sleepers as Sleepers
from trundle.terrain.base import Obstacle
from trundle.terrain.edges import KerbDown as KerbDown
from trundle.terrain.edges import KerbUp as KerbUp
from trundle.terrain.edges import StepDown as StepDown
from trundle.terrain.edges import StepUp as StepUp
from trundle.terrain.hollows import Dip as Dip
from trundle.terrain.hollows import Trench as Trench
from trundle.terrain.humps import FlatTopHump as FlatTopHump
from trundle.terrain.humps import HalfRound as HalfRound
from trundle.terrain.humps import RoundTopHump as RoundTopHump
from trundle.terrain.humps import SinusoidalHump as SinusoidalHump
from trundle.terrain.ripples import Ripples as Ripples
from trundle.terrain.rough import RoughGround as RoughGround
from trundle.terrain.slopes import Flat as Flat
from trundle.terrain.slopes import RampDown as RampDown
from trundle.terrain.slopes import RampUp as RampUp
from trundle.terrain.survey import SurveyedProfile as SurveyedProfile

KINDS: tuple[type[Obstacle], ...] = kinds_in(globals(), Obstacle)
"""Every obstacle kind imported above."""

if TYPE_CHECKING:
    ObstacleKind = Obstacle
else:
    ObstacleKind = one_of(KINDS)


def named_files(course: dict[str, Any]) -> Iterator[tuple[dict[str, Any], str]]:
    """(entry, field) of every file that the obstacles of a course name, as read from TOML and not yet checked."""
    fields = {kind.kind_name(): kind.file_fields() for kind in KINDS}
    entries = course.get("obstacle")
    for entry in entries if isinstance(entries, list) else []:
        kind = entry.get("kind") if isinstance(entry, dict) else None
        for field in fields.get(kind, ()) if isinstance(kind, str) else ():
            if isinstance(entry.get(field), str) and entry[field]:
                yield entry, field


__all__ = ["KINDS", "Obstacle", "ObstacleKind", "named_files"]
