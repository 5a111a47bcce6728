"""Obstacles and ground. A new obstacle kind is a class in its family's file and an entry in `KINDS`."""

from typing import Annotated, Union

from pydantic import Field

from sim.terrain.bars import Log, Sleepers
from sim.terrain.base import Obstacle
from sim.terrain.edges import KerbDown, KerbUp, StepDown, StepUp
from sim.terrain.hollows import Dip, Trench
from sim.terrain.humps import FlatTopHump, HalfRound, RoundTopHump, SinusoidalHump
from sim.terrain.ripples import Ripples
from sim.terrain.rough import RoughGround
from sim.terrain.slopes import Flat, RampDown, RampUp
from sim.terrain.survey import SurveyedProfile

KINDS = (
    Flat,
    KerbUp,
    KerbDown,
    StepUp,
    StepDown,
    RampUp,
    RampDown,
    HalfRound,
    RoundTopHump,
    SinusoidalHump,
    FlatTopHump,
    Trench,
    Dip,
    Ripples,
    Sleepers,
    Log,
    RoughGround,
    SurveyedProfile,
)
"""Every obstacle kind a course file can name."""

ObstacleKind = Annotated[Union[KINDS], Field(discriminator="kind")]  # type: ignore[valid-type]  # noqa: UP007
"""An obstacle of any kind, told apart by its `kind` field."""

__all__ = ["KINDS", "Obstacle", "ObstacleKind"]
