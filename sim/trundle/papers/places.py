"""Which spring works on which joints, and the arms they work with."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from trundle.model.assembly import Assembly
from trundle.spec.bogie import BeamArm, PairedArms, SingleArm, WalkingBeam
from trundle.spec.strength import ArmBuild
from trundle.spec.vehicle import Vehicle
from trundle.springs import Arm, ArmSpringKind, LeafAcross
from trundle.springs.base import PairedArms as PairPlace

SprungArm = SingleArm | PairedArms | BeamArm


@dataclass(frozen=True)
class SpringPlace:
    """A spring and the joints it works on: one, or (fore, aft) of a leaf across two arms.

    name: the bogie, or the arm where each has its own. path: where it stands in the file.
    """

    name: str
    path: str
    spring: ArmSpringKind | LeafAcross
    joints: tuple[int, ...]
    arm: Arm
    pivots_apart_m: float
    parts: SprungArm

    @property
    def pair(self) -> PairPlace:
        """The arms as a leaf across two sees them."""
        return PairPlace(self.arm, self.pivots_apart_m)


def arm_parts(vehicle: Vehicle) -> Iterator[tuple[str, str, SprungArm]]:
    """(bogie, path, parts) of every bogie that has sprung arms."""
    for name, bogie in vehicle.bogie.items():
        if not isinstance(bogie, WalkingBeam):
            yield name, f"bogie.{name}", bogie
        elif bogie.arm is not None:
            yield name, f"bogie.{name}.arm", bogie.arm


def builds(vehicle: Vehicle) -> Iterator[tuple[str, str, ArmBuild | None]]:
    """(bogie, path, build table or None) of every arm kind and every beam."""
    for name, path, parts in arm_parts(vehicle):
        yield name, f"{path}.build", parts.build
    for name, bogie in vehicle.bogie.items():
        if isinstance(bogie, WalkingBeam):
            yield name, f"bogie.{name}.build", bogie.build


def spring_places(assembly: Assembly) -> list[SpringPlace]:
    """Every spring of the vehicle, bogies as written."""
    found = []
    for name, path, parts in arm_parts(assembly.vehicle):
        spring = parts.spring
        joints = tuple(j for j, p in enumerate(assembly.parts.swings) if p.bogie == name and p.what == "arm")
        swing = assembly.parts.swings[joints[0]]
        arm = Arm(swing.radius, swing.bump, swing.droop)
        if isinstance(spring, LeafAcross):
            assert isinstance(parts, PairedArms)
            apart = parts.pivots_apart_mm * 1e-3
            found.append(SpringPlace(name, f"{path}.spring", spring, joints, arm, apart, parts))
            continue
        for j in joints:
            found.append(SpringPlace(assembly.joint[j], f"{path}.spring", spring, (j,), arm, 0.0, parts))
    return found
