"""Bogies: what stands between hull and road wheels. The questions that every kind answers, and what kinds share."""

from __future__ import annotations

import math
from abc import abstractmethod
from typing import Annotated

from pydantic import Field, model_validator

from trundle.bogies.answers import Member, Sprung, Station
from trundle.bogies.build import ArmBuild
from trundle.bogies.parts import Parts
from trundle.errors import InputError, Problem
from trundle.fields.base import LengthMm, PlacedError, PointMm, Spec
from trundle.fields.kind import Kind
from trundle.fields.step import Along, By, Kept, Move, Stock, Times
from trundle.steel.sizes import DAMPERS_N_S_PER_MM
from trundle.units import DEG

AngleDeg = Annotated[float, Field(ge=-80, le=80)]
"""Arm angle below the hull's horizontal, degrees."""


class Stops(Spec):
    """Where an arm's travel ends, and how hard. One of the two ways for each stop."""

    bump_deg: Annotated[AngleDeg, By(5)] | None = None
    """Arm angle at which the bump pad is met."""

    bump_axle_mm: Annotated[float, Field(ge=-2_000, le=2_000), By(5)] | None = None
    """The same, as the axle's height above the pivot (negative: below it), mm."""

    droop_deg: Annotated[AngleDeg, By(5)] | None = None
    """Arm angle at which the droop stop is met."""

    droop_axle_mm: Annotated[float, Field(ge=-2_000, le=2_000), By(5)] | None = None
    """The same, as the axle's height above the pivot (negative: below it), mm."""

    pad_rate_N_per_mm: Annotated[float, Field(ge=1, le=50_000), Times(2)] = 300.0
    """Stiffness of the pad, felt at the axle, N per mm."""

    pad_loss: Annotated[float, Field(ge=0, le=0.95), Kept("a property of the rubber")] = 0.5
    """Share of the energy that a hit at 0.5 m/s loses in the pad."""

    @model_validator(mode="after")
    def _each_stop_once(self) -> Stops:
        for end in ("bump", "droop"):
            given = [getattr(self, f"{end}_deg"), getattr(self, f"{end}_axle_mm")]
            if sum(v is not None for v in given) != 1:
                raise PlacedError(
                    f"give the {end} stop once, as {end}_deg or {end}_axle_mm", f"{end}_deg", allowed="one of the two"
                )
        return self

    def axle_heights_mm(self, arm_mm: float) -> tuple[float, float]:
        """Axle height from the pivot at droop and at bump [mm], as the file has it."""

        def height(deg: float | None, axle: float | None) -> float:
            return -arm_mm * math.sin(math.radians(deg)) if deg is not None else float(axle or 0.0)

        return height(self.droop_deg, self.droop_axle_mm), height(self.bump_deg, self.bump_axle_mm)

    def angles_rad(self, arm_mm: float, where: str) -> tuple[float, float]:
        """Bump and droop angle below horizontal [rad].

        Raises InputError if they are out of reach or the wrong way round. where: the arm's place in the file.
        """

        def angle(deg: float | None, axle_mm: float | None, name: str) -> float:
            if deg is not None:
                return deg * DEG
            assert axle_mm is not None
            if abs(axle_mm) >= arm_mm:
                raise InputError(
                    Problem(
                        f"the arm is {arm_mm:g} mm long, its axle cannot be {axle_mm:g} mm from the pivot's height",
                        field=f"{where}.stops.{name}",
                    )
                )
            return -math.asin(axle_mm / arm_mm)

        bump = angle(self.bump_deg, self.bump_axle_mm, "bump_axle_mm")
        droop = angle(self.droop_deg, self.droop_axle_mm, "droop_axle_mm")
        if droop - bump < 1.0 * DEG:
            raise InputError(
                Problem(
                    f"the stops are the wrong way round or too close: bump at {bump / DEG:.1f} deg, "
                    f"droop at {droop / DEG:.1f} deg below horizontal",
                    field=f"{where}.stops",
                    allowed="droop at least 1 deg lower than bump",
                )
            )
        return bump, droop


class Damper(Spec):
    """A viscous damper, as felt at the axle."""

    bump_N_s_per_mm: Annotated[
        float, Field(ge=0, le=1_000), Stock(DAMPERS_N_S_PER_MM, along=(Along(("droop_N_s_per_mm",)),))
    ] = 0.0
    """Force per axle speed when the wheel rises, N per mm/s."""

    droop_N_s_per_mm: Annotated[float, Field(ge=0, le=1_000), Stock(DAMPERS_N_S_PER_MM)] | None = None
    """The same when the wheel falls. Left out: as bump."""


class ArmParts(Spec):
    """A sprung arm: its size, stops and damping. (Each kind that has one says which spring is on it.)"""

    arm_mm: Annotated[LengthMm, By(10, along=(Along(("arm_mass_kg",)),))]
    """Pivot to axle, mm."""

    arm_mass_kg: Annotated[float, Field(ge=0.01, le=500), Kept("what it weighs")]
    """One arm on one side, without wheels, kg."""

    stops: Stops
    damper: Damper = Damper()
    pivot_friction_Nm: Annotated[float, Field(ge=0, le=5_000), Kept("a property, not a choice")] = 0.0
    """Dry friction torque in one pivot, N.m."""

    build: ArmBuild | None = None
    """How it is made and held: for strength and the sheet."""


class Bogie(Kind):
    """Any bogie."""

    at_mm: Annotated[PointMm, Move(20, 10)]
    """Where it is held on the hull, mm: its pivot, or the middle between its two."""

    wheel: str
    """Name of the wheel on all of its stations."""

    build: ArmBuild | None = None
    """How what carries its wheels is made and held: for strength and the sheet."""

    @property
    def stations(self) -> int:
        """How many wheel stations it has on one side."""
        return len(self.stations_at(""))

    @abstractmethod
    def add_parts(self, name: str, parts: Parts) -> None:
        """Adds its moving parts. Raises InputError where a spring or stop cannot work."""

    @abstractmethod
    def stations_at(self, name: str) -> tuple[Station, ...]:
        """Where its wheels stand with its arms at mid-travel."""

    @abstractmethod
    def sprung(self, name: str) -> Sprung | None:
        """Its sprung arms; None where the hull rests on it without a spring."""

    @abstractmethod
    def members(self, name: str) -> tuple[Member, ...]:
        """What is made for it: what carries the wheels first, then what carries that."""

    @abstractmethod
    def wants_fine_step(self) -> bool:
        """True if parts hang on parts: such a chain has several times an arm's error at a given step."""
