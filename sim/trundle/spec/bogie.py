"""Bogies: what stands between hull and road wheels. Three kinds."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field, model_validator

from trundle.fields.base import LengthMm, PointMm, Spec
from trundle.spec.strength import ArmBuild
from trundle.springs import ArmSpringKind, PairSpringKind

AngleDeg = Annotated[float, Field(ge=-80, le=80)]
"""Arm angle below the hull's horizontal, degrees."""


class Stops(Spec):
    """Where an arm's travel ends, and how hard. One of the two ways for each stop."""

    bump_deg: AngleDeg | None = None
    """Arm angle at which the bump pad is met."""

    bump_axle_mm: Annotated[float, Field(ge=-2_000, le=2_000)] | None = None
    """The same, as the axle's height above the pivot (negative: below it), mm."""

    droop_deg: AngleDeg | None = None
    """Arm angle at which the droop stop is met."""

    droop_axle_mm: Annotated[float, Field(ge=-2_000, le=2_000)] | None = None
    """The same, as the axle's height above the pivot (negative: below it), mm."""

    pad_rate_N_per_mm: Annotated[float, Field(ge=1, le=50_000)] = 300.0
    """Stiffness of the pad, felt at the axle, N per mm."""

    pad_loss: Annotated[float, Field(ge=0, le=0.95)] = 0.5
    """Share of the energy that a hit at 0.5 m/s loses in the pad."""

    @model_validator(mode="after")
    def _each_stop_once(self) -> Stops:
        for end in ("bump", "droop"):
            given = [getattr(self, f"{end}_deg"), getattr(self, f"{end}_axle_mm")]
            if sum(v is not None for v in given) != 1:
                raise ValueError(f"give the {end} stop once, as {end}_deg or {end}_axle_mm")
        return self


class Damper(Spec):
    """A viscous damper, as felt at the axle."""

    bump_N_s_per_mm: Annotated[float, Field(ge=0, le=1_000)] = 0.0
    """Force per axle speed when the wheel rises, N per mm/s."""

    droop_N_s_per_mm: Annotated[float, Field(ge=0, le=1_000)] | None = None
    """The same when the wheel falls. Left out: as bump."""


class ArmParts(Spec):
    """What an arm is made of."""

    arm_mm: LengthMm
    """Pivot to axle, mm."""

    arm_mass_kg: Annotated[float, Field(ge=0.01, le=500)]
    """One arm on one side, without wheels, kg."""

    stops: Stops
    damper: Damper = Damper()
    pivot_friction_Nm: Annotated[float, Field(ge=0, le=5_000)] = 0.0
    """Dry friction torque in one pivot, N.m."""

    build: ArmBuild | None = None
    """How it is made and held; only the sheet reads it."""


class PairedArms(ArmParts):
    """Two arms on one bracket, pointing fore and aft, each sprung or sharing one leaf."""

    kind: Literal["paired arms"]
    at_mm: PointMm
    """Middle of the bracket on the line of the pivots, mm."""

    pivots_apart_mm: Annotated[float, Field(ge=0, le=3_000)]
    """Distance between the two pivots (0: one common pin), mm."""

    wheel: str
    """Name of the wheel on both arms."""

    spring: Annotated[ArmSpringKind | PairSpringKind, Field(discriminator="kind")]
    """One for each arm, or a leaf across both."""


class SingleArm(ArmParts):
    """One arm, leading or trailing."""

    kind: Literal["single arm"]
    at_mm: PointMm
    """The pivot, mm."""

    points: Literal["forward", "back"]
    """Which way the arm points from its pivot: back is a trailing arm."""

    wheel: str
    spring: ArmSpringKind


class BeamArm(ArmParts):
    """The sprung arm that carries a walking beam."""

    points: Literal["forward", "back"]
    """Which way the arm points from its pivot."""

    spring: ArmSpringKind


class WalkingBeam(Spec):
    """Two wheels on a beam that rocks on one pivot; the pivot rides on a sprung arm or on the hull."""

    kind: Literal["walking beam"]
    at_mm: PointMm
    """Pivot on the hull: the arm's, or the beam's own if there is no arm, mm."""

    wheels_apart_mm: LengthMm
    """Between the two axles, mm."""

    axles_below_pivot_mm: Annotated[float, Field(ge=-500, le=1_000)] = 0.0
    """How far the axles lie below the beam's pivot, mm."""

    beam_mass_kg: Annotated[float, Field(ge=0.01, le=500)]
    """One beam on one side, without wheels, kg."""

    tilt_deg: Annotated[float, Field(ge=0.5, le=80)] = 25.0
    """How far the beam rocks either way from level before it meets a stop (its arm at mid-travel), degrees."""

    pad_rate_N_per_mm: Annotated[float, Field(ge=1, le=50_000)] = 300.0
    """Stiffness of those stops, felt at the axle, N per mm."""

    pad_loss: Annotated[float, Field(ge=0, le=0.95)] = 0.5
    """Share of the energy that a hit at 0.5 m/s loses there."""

    pivot_friction_Nm: Annotated[float, Field(ge=0, le=5_000)] = 0.0
    """Dry friction torque in the beam's pivot, N.m."""

    build: ArmBuild | None = None
    """How the beam is made and held; only the sheet reads it."""

    wheel: str
    arm: BeamArm | None = None
    """The sprung arm. Left out: the beam pivots on the hull itself."""


Bogie = Annotated[PairedArms | SingleArm | WalkingBeam, Field(discriminator="kind")]
"""Any bogie kind, told apart by its `kind`."""
