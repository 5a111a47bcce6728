"""Obstacles and ground. A new obstacle kind is a class in its family's file and an entry in `ObstacleKind`."""

from typing import Annotated, get_args

from pydantic import Field

from trundle.terrain.bars import Log, Sleepers
from trundle.terrain.base import Obstacle
from trundle.terrain.edges import KerbDown, KerbUp, StepDown, StepUp
from trundle.terrain.hollows import Dip, Trench
from trundle.terrain.humps import FlatTopHump, HalfRound, RoundTopHump, SinusoidalHump
from trundle.terrain.ripples import Ripples
from trundle.terrain.rough import RoughGround
from trundle.terrain.slopes import Flat, RampDown, RampUp
from trundle.terrain.survey import SurveyedProfile

ObstacleKind = Annotated[
    Flat
    | KerbUp
    | KerbDown
    | StepUp
    | StepDown
    | RampUp
    | RampDown
    | HalfRound
    | RoundTopHump
    | SinusoidalHump
    | FlatTopHump
    | Trench
    | Dip
    | Ripples
    | Sleepers
    | Log
    | RoughGround
    | SurveyedProfile,
    Field(discriminator="kind"),
]
"""An obstacle of any kind a course file can name, told apart by its `kind` field."""

KINDS: tuple[type[Obstacle], ...] = get_args(get_args(ObstacleKind)[0])
"""The same as classes."""

__all__ = ["KINDS", "Obstacle", "ObstacleKind"]
