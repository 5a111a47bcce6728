"""What one motor gives over a run, how warm that makes it, and what all draw from the battery.

Worked out from the push at the sprocket: no physics of the run is done again. Both sides are taken alike, as a side
view has them; turning comes on top.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING, Protocol

import numpy as np
from numpy.typing import NDArray

from trundle.findings.intervals import stretches
from trundle.findings.short import worst_mean
from trundle.findings.states import motor_is_at_limit, motor_share
from trundle.model.arrays import Floats
from trundle.spec.electric import drawn_W, warmth
from trundle.spec.motor import GEARS, MOTOR, Motor
from trundle.spec.pull import Pull, pull_of
from trundle.units import DEG

if TYPE_CHECKING:
    from trundle.model.assembly import Assembly

STANDS = 0.02
"""A motor that turns slower than this share of its highest speed stands: nothing cools it, one winding of it may have
all the current."""

HOUR_S = 3600.0

AMPS_OVER_S = 1.0
"""Currents are the highest mean over this time [s]: fuses and controllers stand more for a moment."""


class _Run(Protocol):
    """A finished run: its vehicle, step and columns."""

    @property
    def assembly(self) -> Assembly: ...

    @property
    def dt_s(self) -> float: ...

    @property
    def column(self) -> Callable[[str], Floats]: ...


@dataclass(frozen=True)
class MotorUse:
    """Of one run. turning_Nm: what is the motors' of the torque at the sprocket, both sides: above 0 they drive, below
    0 they brake; running_m_s: speed of the track (or treads) that the motors see, in the way they drive; dt_s: step."""

    assembly: Assembly
    turning_Nm: Floats
    running_m_s: Floats
    dt_s: float

    @property
    def motor(self) -> Motor:
        """The table [drive.motor]. Raises ValueError without one."""
        motor = self.assembly.vehicle.drive.motor
        if motor is None:
            raise ValueError(f"{self.assembly.vehicle.name} has no [drive.motor]")
        return motor

    @cached_property
    def pull(self) -> Pull:
        """What it can push with."""
        return pull_of(self.assembly.vehicle)

    @cached_property
    def push_N(self) -> Floats:
        """As push at the track."""
        return self.turning_Nm / self.assembly.vehicle.drive_radius_m

    @cached_property
    def at_limit(self) -> NDArray[np.bool_]:
        """Whether they give all that they can at their speed."""
        most = motor_is_at_limit(self.push_N, self.pull.both_N(self.running_m_s))
        return np.asarray(most & (self.turning_Nm > 0.0), dtype=np.bool_)

    @cached_property
    def torque_Nm(self) -> Floats:
        """At one motor's shaft, never below 0: driving, what its gears lose comes on top; braking, they help. Nothing
        says whether the motor or a brake holds it back: it is taken to be the motor, to the safe side."""
        motor = self.motor
        through = np.where(self.turning_Nm > 0.0, 1.0 / motor.efficiency, motor.efficiency)
        return np.abs(self.turning_Nm) * through / (motor.count * motor.ratio)

    @cached_property
    def speed_rad_s(self) -> Floats:
        """Of its shaft."""
        return np.abs(self.running_m_s) / self.assembly.vehicle.drive_radius_m * self.motor.ratio

    @property
    def rms_Nm(self) -> float:
        """Root of the mean of its torque squared: what warms it."""
        return float(np.sqrt(np.mean(self.torque_Nm**2)))

    @property
    def of_rating(self) -> float | None:
        """Of what it may give for ever; None where the file does not say that."""
        for_ever = self.motor.for_ever_Nm
        return None if for_ever is None else self.rms_Nm / for_ever

    @property
    def warmest(self) -> float | None:
        """How warm it gets at most, of the rise that it stands for ever, begun cold; None where the file lacks what it
        takes."""
        motor = self.motor
        if motor.for_ever_Nm is None or motor.heats_up_s is None:
            return None
        return float(warmth(self.torque_Nm, motor.for_ever_Nm, motor.heats_up_s, self.dt_s).max())

    @property
    def stalled(self) -> tuple[int, int]:
        """The longest stretch in which it stands under all that it can give: first row, end."""
        slow = self.running_m_s < STANDS * self.pull.fastest_m_s
        found = stretches(slow & self.at_limit)
        return max(found, key=lambda one: one[1] - one[0], default=(0, 0))

    @cached_property
    def battery_W(self) -> Floats:
        """What all motors draw. Without a motor's table, push x speed over usual shares of gears and motor."""
        driving = np.maximum(self.turning_Nm, 0.0)
        if self.assembly.vehicle.drive.motor is None:
            radius = self.assembly.vehicle.drive_radius_m
            return driving / radius * np.maximum(self.running_m_s, 0.0) / (GEARS * MOTOR)
        motor = self.motor
        torque = np.where(driving > 0.0, self.torque_Nm, 0.0)
        turns = np.where(driving > 0.0, np.maximum(self.running_m_s, 0.0), 0.0)
        speed = turns / self.assembly.vehicle.drive_radius_m * motor.ratio
        return motor.count * drawn_W(motor, torque, speed)

    @property
    def battery_Wh(self) -> float:
        """Drawn over the whole run; braking gives nothing back."""
        return float(self.battery_W.sum()) * self.dt_s / HOUR_S

    @property
    def most_A(self) -> float | None:
        """Highest mean over AMPS_OVER_S; None without voltage_V."""
        battery = self.assembly.vehicle.drive.battery
        if battery is None or battery.voltage_V is None:
            return None
        return worst_mean(self.battery_W, self.dt_s, AMPS_OVER_S) / battery.voltage_V


def motor_use(run: _Run) -> MotorUse:
    """Of a finished run."""
    told = run.column("drive.target_m_s"), run.column("drive.brake_holds")
    turning = motor_share(run.column("sprocket.torque_Nm"), *told)
    # The motor stands on the hull: what it nods comes on top of the track's speed (law.drive.turns_by).
    model, radius = run.assembly.model, run.assembly.vehicle.drive_radius_m
    band = model.vehicle[0].band
    radius = float(model.rings["radius"][band.sprocket]) if band.on else radius
    seen = run.column("drive.running_m_s") + run.column("hull.pitch_rate_deg_s") * DEG * radius
    running = np.where(run.column("drive.target_m_s") < 0.0, -seen, seen)
    return MotorUse(run.assembly, np.asarray(turning, dtype=np.float64), running, run.dt_s)
