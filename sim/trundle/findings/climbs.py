"""What a vehicle climbs, and how fast it goes, by its pull: statics of a rigid body on an even slope.

Push along the slope W (sin a + c cos a), c the rolling drag as a share of the load, W the weight (any textbook of
vehicle mechanics). The drag is the track's own (or the tyres'), so that grip alone bears W sin a: tan a = grip.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from trundle.spec.motor import Motor
from trundle.spec.pull import Pull, pull_of, pull_through
from trundle.spec.vehicle import Vehicle

FASTEST_M_S = 50.0
"""No vehicle is looked at beyond it [m/s]."""


@dataclass(frozen=True)
class Climbs:
    """One vehicle's. radius_m: turns torque at the sprocket (or wheel) into push."""

    pull: Pull
    weight_N: float
    drag: float
    grip: float
    radius_m: float

    def slope_deg(self, push_N: float) -> float:
        """The slope that a push holds, with the rolling that comes on top [deg]; below 0 it does not even roll on the
        level, 90 if it lifts it."""
        share = push_N / (self.weight_N * math.hypot(1.0, self.drag))
        return 90.0 if share >= 1.0 else math.degrees(math.asin(share) - math.atan(self.drag))

    def push_N(self, slope_deg: float) -> float:
        """What it takes to go up a slope evenly [N]."""
        a = math.radians(slope_deg)
        return self.weight_N * (math.sin(a) + self.drag * math.cos(a))

    @property
    def grip_deg(self) -> float:
        """The slope on which it slips [deg]."""
        return math.degrees(math.atan(self.grip))

    def speed_m_s(self, slope_deg: float) -> float:
        """How fast it goes up a slope at most [m/s]; 0 where it stands, inf where nothing limits it."""
        takes, low, high = self.push_N(slope_deg), 0.0, FASTEST_M_S
        if float(self.pull.both_N(0.0)) <= takes:
            return 0.0
        if float(self.pull.both_N(high)) > takes:
            return math.inf
        for _ in range(60):
            middle = 0.5 * (low + high)
            if float(self.pull.both_N(middle)) > takes:
                low = middle
            else:
                high = middle
        return 0.5 * (low + high)

    def through(self, motor: Motor) -> Climbs:
        """The same by another motor, or through another ratio."""
        return replace(self, pull=pull_through(motor, self.radius_m))


def climbs_of(vehicle: Vehicle, weight_N: float) -> Climbs:
    """Of a vehicle. weight_N: of all of it."""
    track = vehicle.track
    drag = track.rolling_drag if track is not None else max(w.drag for w in vehicle.wheel.values())
    return Climbs(pull_of(vehicle), weight_N, drag, vehicle.drive.grip, vehicle.drive_radius_m)
