"""What a spring gives to the force law, and the arm or arms it works on."""

from __future__ import annotations

from dataclasses import dataclass

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

    @property
    def droop_rad(self) -> float:
        """Arm angle at which the droop stop is met [rad]."""
        return self.lowest_rad - self.overrun_rad

    @property
    def middle_rad(self) -> float:
        """Arm angle halfway between the stops [rad]."""
        return 0.5 * (self.highest_rad + self.lowest_rad)

    def angles(self) -> Floats:
        """Even grid over the range, 0.05 deg apart or finer [rad], shape (n,)."""
        n = int(np.ceil((self.lowest_rad - self.highest_rad) / np.radians(0.05))) + 1
        return np.linspace(self.highest_rad, self.lowest_rad, max(n, 2))


@dataclass(frozen=True)
class Mount:
    """What a spring is put on: one arm, or two alike whose pivots are `pivots_apart_m` apart [m]."""

    arm: Arm
    pivots_apart_m: float = 0.0


@dataclass(frozen=True)
class PivotLaw:
    """Torque of one side's spring about one pivot, tabled over the arm's angle.

    angle_rad: even grid, increasing [rad], shape (n,).
    torque_Nm: positive pushes the axle down [N.m], shape (n,).
    friction_Nm: dry friction that the spring itself adds at the pivot [N.m].
    damp_bump_N_s_per_m, damp_droop_N_s_per_m: its own damping, as vertical force over vertical speed of the axle,
        rising and falling [N.s/m].
    """

    angle_rad: Floats
    torque_Nm: Floats
    friction_Nm: float = 0.0
    damp_bump_N_s_per_m: float = 0.0
    damp_droop_N_s_per_m: float = 0.0


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


@dataclass(frozen=True)
class SpringLaw:
    """A spring's law as a bogie takes it: `pivot` where it works on one arm, `pair` where it lies across two.

    friction_Nm: what it adds at each of its pivots [N.m]; damping as in PivotLaw.
    """

    pivot: PivotLaw | None
    pair: PairLaw | None
    friction_Nm: float
    damp_bump_N_s_per_m: float
    damp_droop_N_s_per_m: float
