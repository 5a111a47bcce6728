"""The same limits by plain statics of a rigid body: what the search's answers are to be read beside.

Springs, tyres and speed are left out: a run-up climbs more, a nose that dips less.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from trundle.engine.standing import stand
from trundle.findings.limit import Statics
from trundle.model.ground import course_arrays
from trundle.result.limits.courses import length_mm
from trundle.spec.course import Course
from trundle.spec.vehicle import Vehicle
from trundle.terrain.ground import lay
from trundle.terrain.slopes import Flat
from trundle.units import MM


@dataclass(frozen=True)
class Rigid:
    """A vehicle as it stands on level ground, springs taken as stiff.

    weight_N: of all of it; high_m: its centre of mass above the ground; rear_m, front_m: from there back to the last
    and on to the first wheel's contact; radius_m: of the foremost wheel with its track; nose_m: height of the hindmost
    hub of what meets a kerb first (idler, sprocket or front wheel); push_N: the most of motor and gearing.
    """

    weight_N: float
    high_m: float
    rear_m: float
    front_m: float
    radius_m: float
    nose_m: float
    push_N: float


def rigid(vehicle: Vehicle) -> Rigid:
    """The vehicle standing on level ground. Raises InputError if it cannot stand."""
    level = Flat(kind="flat", length_mm=1_000.0)
    flat = lay(Course(run_up_mm=length_mm(vehicle) + 500.0, obstacle=(level,)))
    stood = stand(vehicle, course_arrays(flat))
    model, count = stood.assembly.model, len(stood.assembly.wheel)
    masses = model.bodies["mass"]
    x = float((stood.state.bodies[:, 0] * masses).sum() / masses.sum())
    y = float((stood.state.bodies[:, 1] * masses).sum() / masses.sum())
    road = stood.rings.x[:count]
    first = int(np.argmax(stood.rings.x))
    return Rigid(
        weight_N=stood.assembly.weight_N,
        high_m=y,
        rear_m=x - float(road.min()),
        front_m=float(road.max()) - x,
        radius_m=float(model.rings["radius"][int(np.argmax(road))]),
        nose_m=float(stood.rings.y[first]),
        push_N=float(model.drive.push),
    )


def kerb(vehicle: Vehicle) -> Statics:
    """The highest kerb that a taut track gets up at a crawl, or that two driven axles of bare wheels do.

    Track: with its rear on the lower ground and the edge under its straight lower run at a pitch t, the centre of mass
    is over the edge where it lies s = d - h tan t ahead of the rear contact (d: from there to the centre of mass, h:
    its height): the edge is then s sin t high. Most over all pitches up to the angle of grip, atan(mu). Its nose has to
    get over the edge first: no higher than the hub of what meets it. Wheels: see `axle_deg`.
    """
    at, grip = rigid(vehicle), vehicle.drive.grip
    if vehicle.track is None:
        base = at.rear_m + at.front_m
        shares = {"front": at.rear_m / base, "rear": at.front_m / base}
        which = max(shares, key=lambda k: shares[k])
        high = at.radius_m * (1.0 - math.cos(math.radians(axle_deg(shares[which], grip))))
        return Statics(high / MM, f"the {which} wheels' grip on the edge, with what the others push")
    pitch = np.linspace(0.0, math.atan(grip), 200)
    tips = float(((at.rear_m - at.high_m * np.tan(pitch)) * np.sin(pitch)).max())
    if at.nose_m < tips:
        return Statics(at.nose_m / MM, "the edge comes to the hub of what meets it first")
    return Statics(tips / MM, "its centre of mass comes over the edge before the track slips")


def axle_deg(share: float, grip: float) -> float:
    """How far from the upright a driven wheel can touch an edge and still roll up it [deg], at most 90.

    share: of the weight on its axle; the other axle stands on the level, both with all their grip mu. N at the edge,
    a from the upright; along: N (sin a - mu cos a) = mu N2; up: N (cos a + mu sin a) + N2 = W; about the other axle:
    N (cos a + mu sin a) = share W, wheels taken as small against the wheelbase. Together
    cot a = share (1 + mu^2) / mu - mu.
    """
    cot = share * (1.0 + grip**2) / grip - grip
    return min(math.degrees(math.atan2(1.0, cot)), 90.0)


def ditch(vehicle: Vehicle) -> Statics:
    """The widest ditch that it bridges: no wider than the shorter piece of track between its centre of mass and its
    first or last wheel, or it tips in. Bare wheels fall into one that is as wide as they are: a chord that lets them
    down to the angle of grip, 2 r sin(atan mu)."""
    at = rigid(vehicle)
    if vehicle.track is None:
        return Statics(
            2.0 * at.radius_m * math.sin(math.atan(vehicle.drive.grip)) / MM, "a wheel has to grip its way out of it"
        )
    short = min(at.rear_m, at.front_m)
    which = "rear" if at.rear_m < at.front_m else "front"
    return Statics(short / MM, f"the {which} half of its ground length")


def ramp(vehicle: Vehicle) -> Statics:
    """The steepest ramp at a steady crawl: least of grip atan(mu), motor asin(F / W), and tipping back over its last
    wheels, atan(rear / height)."""
    at, grip = rigid(vehicle), vehicle.drive.grip
    angles = {
        f"grip: it slides at {grip:g}": math.atan(grip),
        "motor: its torque holds no more": math.asin(min(1.0, at.push_N / at.weight_N)),
        "overturning: it tips over its rear wheels": math.atan2(at.rear_m, at.high_m),
    }
    why = min(angles, key=lambda k: angles[k])
    return Statics(math.degrees(angles[why]), why)


def hold(vehicle: Vehicle) -> Statics:
    """The steepest slope on which it stands nose up with the brake on: least of brake asin(F / W), grip atan(mu), and
    tipping back."""
    at, drive = rigid(vehicle), vehicle.drive
    angles = {
        "brake: it gives way": math.asin(min(1.0, drive.brake_N / at.weight_N)),
        f"grip: it slides at {drive.grip:g}": math.atan(drive.grip),
        "overturning: it tips over its rear wheels": math.atan2(at.rear_m, at.high_m),
    }
    why = min(angles, key=lambda k: angles[k])
    return Statics(math.degrees(angles[why]), why)
