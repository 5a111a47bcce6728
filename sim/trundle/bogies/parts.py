"""Moving parts as plain objects, SI, still one side at a time: what every bogie kind gives to the model."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np

from trundle.bogies.build import ArmBuild
from trundle.fields.shape import Shape
from trundle.springs import Mount, PairLaw, PivotLaw, Spring
from trundle.springs.answers import Pose
from trundle.springs.felt_pad import FeltPad
from trundle.units import MM


@dataclass
class WheelPart:
    """A wheel station. x, y: axle from the carrying part's pivot, part level, hull axes [m]."""

    name: str
    kind: str
    x: float
    y: float


@dataclass
class SwingPart:
    """One arm or beam, one side. x, y of its pivot in the parent: hull frame, or from the parent's pivot [m].

    what: "arm" if a spring or the hull carries it on one end, "beam" if it rocks about its middle. parent: 0 the
    hull, else the swing part of that number, counted from 1. sign: 1 if its axle lies ahead of its pivot.
    shapes: how it looks, part level, from its pivot [mm].
    """

    name: str
    what: str
    bogie: str
    parent: int
    pivot_x: float
    pivot_y: float
    sign: float
    radius: float
    mass: float
    com_x: float
    com_y: float
    own_inertia: float
    wheels: list[WheelPart]
    bump: float
    droop: float
    pad: FeltPad
    pad_loss: float
    damp_bump: float = 0.0
    damp_droop: float = 0.0
    friction: float = 0.0
    law: PivotLaw | None = None
    field: str = ""
    shapes: tuple[Shape, ...] = ()


@dataclass
class PairPart:
    """A leaf across two swing parts (their places in the list)."""

    fore: int
    aft: int
    law: PairLaw


@dataclass(frozen=True)
class SpringPart:
    """A spring and the swing parts it works on: one, or (fore, aft) where it lies across two arms.

    name: the arm's, or the bogie's where its arms share one. path: where it stands in the file. mount: the arms
    between their stops. build: how they are made, if the file says so.
    """

    name: str
    bogie: str
    path: str
    spring: Spring
    swings: tuple[int, ...]
    mount: Mount
    sign: float
    build: ArmBuild | None

    def shapes(self, angles_rad: tuple[float, ...], torques_Nm: tuple[float, ...]) -> tuple[Shape, ...]:
        """How it looks with its arms at these angles: hull axes, from the middle of its pivots [mm]."""
        apart, arm = self.mount.pivots_apart_m / MM, self.mount.arm.length_m / MM
        return self.spring.shapes(Pose(angles_rad, torques_Nm, self.sign, arm, apart))

    def torque_Nm(self, angle_rad: float) -> float:
        """Torque about one of its pivots with its arm (or both arms) at this angle [N.m]."""
        return self.spring.at((angle_rad,) * len(self.swings), self.mount).torques_Nm[0]


@dataclass
class Parts:
    """All of a vehicle's moving parts, in a fixed order: bogies as written, arms before what they carry."""

    swings: list[SwingPart] = field(default_factory=list)
    pairs: list[PairPart] = field(default_factory=list)
    springs: list[SpringPart] = field(default_factory=list)

    def middle_mm(self, spring: SpringPart) -> tuple[float, float]:
        """Middle of the pivots that a spring works about, hull frame [mm]."""
        pivots = [(self.swings[s].pivot_x / MM, self.swings[s].pivot_y / MM) for s in spring.swings]
        x, y = np.mean(pivots, axis=0)
        return float(x), float(y)
