"""What every spring kind gives to the force law."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Arm:
    """The arm that a spring works on.

    length_m: pivot to axle [m]. lowest_rad, highest_rad: the range of arm angle (below the hull's
    horizontal) that the law must cover [rad]; it reaches past both stops, by overrun_rad.
    """

    length_m: float
    highest_rad: float
    lowest_rad: float
    overrun_rad: float = 0.0

    @property
    def bump_rad(self) -> float:
        """Arm angle at which the bump stop is met [rad]."""
        return self.highest_rad + self.overrun_rad

    def angles(self) -> Floats:
        """Even grid over the range, 0.05 deg apart or finer [rad], shape (n,)."""
        n = int(np.ceil((self.lowest_rad - self.highest_rad) / np.radians(0.05))) + 1
        return np.linspace(self.highest_rad, self.lowest_rad, max(n, 2))


@dataclass(frozen=True)
class PivotLaw:
    """Torque of one side's spring about one pivot, tabled over the arm's angle.

    angle_rad: even grid, increasing [rad], shape (n,).
    torque_Nm: positive pushes the axle down [N.m], shape (n,).
    friction_Nm: dry friction that the spring itself adds at the pivot [N.m].
    """

    angle_rad: Floats
    torque_Nm: Floats
    friction_Nm: float = 0.0


@dataclass(frozen=True)
class PairLaw:
    """One leaf across two arms: end forces F = K d, an end can push but not pull.

    angle_rad: even grid shared by both arms [rad], shape (n,).
    deflection_m: how far each arm lifts its end of the leaf above the end's free place [m],
        shape (2, n), row 0 the fore arm, row 1 the aft arm; decreasing in angle.
    stiffness_N_per_m: K [N/m], shape (2, 2), symmetric, positive semidefinite.
    rock_gap_m: |d_fore - d_aft| / 2 at which the rocking leaf meets the pivot sleeves [m] (inf: never).
    rock_rate_N_per_m: stiffness of that contact, on the same measure [N/m].
    friction_Nm: dry friction that the leaves add at each pivot [N.m].

    Energy: 1/2 d.K.d (over the ends that press) + 1/2 rock_rate max(0, |d_fore-d_aft|/2 - rock_gap)^2.
    """

    angle_rad: Floats
    deflection_m: Floats
    stiffness_N_per_m: Floats
    rock_gap_m: float = float("inf")
    rock_rate_N_per_m: float = 0.0
    friction_Nm: float = 0.0


class ArmSpring(Protocol):
    """A spring kind that works on one arm."""

    kind: str

    def law(self, arm: Arm) -> PivotLaw:
        """The spring's law on this arm. Raises InputError if it cannot work there."""
        ...


@dataclass(frozen=True)
class PairedArms:
    """The pair of arms and the bracket that a shared leaf works in.

    arm: both arms alike. pivots_apart_m: distance between the two pivots [m].
    """

    arm: Arm
    pivots_apart_m: float


class PairSpring(Protocol):
    """A spring kind shared by two arms."""

    kind: str

    def pair_law(self, pair: PairedArms) -> PairLaw:
        """The spring's law in this pair. Raises InputError if it cannot work there."""
        ...
