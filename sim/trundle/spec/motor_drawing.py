"""Motor and battery on paper: torque over speed, the gears, what may be drawn."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from trundle.fields.shape import Shape, disc, line
from trundle.fields.sketch import Mark, Note, Sketch
from trundle.fields.sketch_parts import arc, between, box, polar, thin
from trundle.springs.on_arm import Curve

if TYPE_CHECKING:
    from trundle.spec.motor import Battery, Motor


def motor_sketches(motor: Motor) -> tuple[Sketch, ...]:
    """Torque over speed at full throttle, with what it may give for ever; and the motor with its gears."""
    return _curve(motor), _gears()


def _curve(motor: Motor) -> Sketch:
    rpm, torque = np.array(motor.best).T
    law = Curve(rpm, torque)
    fast = float(rpm[-1])
    shapes: list[Shape] = list(law.shapes())
    shapes += [disc("steel", *law.at(r, t), 2.0) for r, t in motor.curve_rpm_Nm or ()]
    steady = motor.for_ever_Nm
    rest = (0.5 * fast, 0.15 * float(torque[0]))
    if steady is not None:
        level = min(steady, float(torque[0]))
        shapes.append(thin((law.at(0.0, level), law.at(fast, level))))
        rest = (0.5 * fast, level)
    low, steep = law.at(0.0, float(torque[0])), law.at(0.3 * fast, float(np.interp(0.3 * fast, rpm, torque)))
    marks: tuple[Mark, ...] = (
        Note("stall_Nm", low),
        Note("no_load_rpm", law.at(fast, 0.0)),
        Note("curve_rpm_Nm", steep),
        Note("continuous_Nm", law.at(*rest)),
        Note("continuous_A", law.at(0.75 * fast, rest[1])),
    )
    return Sketch("torque over speed, full throttle", "curve", tuple(shapes), marks)


def _gears() -> Sketch:
    """A motor in its case, a pinion on its shaft, a chain down to a large wheel on the sprocket's axle."""
    small, large, shaft, axle = 12.0, 48.0, (0.0, 0.0), (120.0, -30.0)
    case = box("steel", -30.0, -30.0, 30.0, 30.0)
    winding = line("mark", arc(shaft, 21.0, 20.0, 340.0))
    chain = [thin([polar(shaft, small, d), polar(axle, large, d)]) for d in (86.0, 246.0)]
    shapes = (
        case,
        winding,
        disc("hole", *axle, large),
        disc("steel", *axle, large - 6.0),
        disc("hole", *axle, 7.0),
        disc("hole", *shaft, small),
        disc("steel", *shaft, small - 3.0),
        *chain,
        thin(((-30.0, 12.0), (-70.0, 12.0))),
        thin(((-30.0, -12.0), (-70.0, -12.0))),
    )
    marks = (
        Note("count", (30.0, 30.0)),
        Note("ratio", polar(axle, large, 40.0)),
        Note("efficiency", between(polar(shaft, small, 86.0), polar(axle, large, 86.0))),
        Note("heats_up_s", (-30.0, 26.0)),
        Note("resistance_ohm", polar(shaft, 21.0, 200.0)),
        Note("torque_Nm_per_A", polar(shaft, small, 60.0)),
        Note("no_load_A", (-70.0, -12.0)),
        Note("motor_efficiency", (-30.0, -24.0)),
    )
    return Sketch("motor, gears, sprocket's axle", "side", shapes, marks)


def battery_sketches(battery: Battery) -> tuple[Sketch, ...]:
    """A case with two poles, filled as far as it may be drawn down, and the fuse in its lead."""
    wide, tall, left = 120.0, 70.0, (1.0 - battery.usable) * 70.0
    shapes = (
        box("steel", -4.0, -4.0, wide + 4.0, tall + 4.0),
        box("hole", 0.0, 0.0, wide, tall),
        box("spring", 0.0, left, wide, tall),
        box("steel", 15.0, tall + 4.0, 27.0, tall + 14.0),
        box("steel", wide - 27.0, tall + 4.0, wide - 15.0, tall + 14.0),
        thin(((wide - 21.0, tall + 14.0), (wide - 21.0, tall + 30.0), (wide + 60.0, tall + 30.0))),
        box("rubber", wide + 10.0, tall + 25.0, wide + 36.0, tall + 35.0),
    )
    marks = (
        Note("energy_Wh", (0.25 * wide, 0.5 * tall)),
        Note("usable", (wide, 0.5 * (left + tall))),
        Note("voltage_V", (21.0, tall + 14.0)),
        Note("most_A", (wide + 36.0, tall + 30.0)),
    )
    return (Sketch("battery, fuse and lead", "side", shapes, marks),)
