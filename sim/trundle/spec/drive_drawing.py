"""The drive on paper: what turns the sprocket, what that pushes with, how the ground gives."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from trundle.fields.shape import area, line
from trundle.fields.sketch import Around, Note, Sketch, Span
from trundle.fields.sketch_parts import arc, arrow, box, polar, thin, wheel
from trundle.spec.track_drawing import pitch_radius_mm, sprocket_shapes

if TYPE_CHECKING:
    from trundle.spec.drive import Drive

TEETH = 10
"""Of the sprocket as drawn: a drive's table knows none."""


def drive_sketches(drive: Drive, around: Around) -> tuple[Sketch, ...]:
    """From the side: motor, sprocket, track on the ground. Close by: a pad that shears before it slips."""
    return _push(around), _shear(drive)


def _push(around: Around) -> Sketch:
    radius, road = pitch_radius_mm(around.pitch_mm, 1, TEETH), around.wheel_radius_mm
    thick = around.track_thickness_mm
    sprocket, motor = (0.0, 0.0), (-2.2 * radius, 1.5 * radius)
    ground = -1.3 * radius - thick
    axle = (-3.2 * radius, ground + thick + road)
    # Along the track's middle: down from the sprocket's front, under the wheel and away to the rear.
    under = ground + 0.5 * thick
    ramp = polar(axle, road + 0.5 * thick, 290.0)
    band = [*arc(sprocket, radius + 0.5 * thick, 90.0, -70.0), ramp, *arc(axle, road + 0.5 * thick, 285.0, 270.0)]
    band.append(np.array([-6.0 * radius, under]))
    chain = [polar(motor, 0.3 * radius, 50.0), polar(sprocket, 0.45 * radius, 50.0)]
    other = [polar(motor, 0.3 * radius, 230.0), polar(sprocket, 0.45 * radius, 230.0)]
    (x, y), long, tall = motor, 0.8 * radius, 0.6 * radius
    case = box("steel", x - long, y - tall, x + 0.6 * long, y + tall)
    shapes = (
        *wheel(axle, road),
        *sprocket_shapes(sprocket, radius, TEETH),
        line("rubber", np.array(band), thick),
        case,
        thin(chain),
        thin(other),
        thin(((-6.0 * radius, ground), (1.5 * radius, ground))),
        line("mark", arc(sprocket, 0.7 * radius, 60.0, -120.0)),
        *arrow((-3.8 * radius, ground), 0.0, 0.9 * radius),
        *arrow((-1.0 * radius, 2.9 * radius), 0.0, 1.6 * radius),
    )
    marks = (
        Note("speed_m_s", (-1.8 * radius, 2.9 * radius)),
        Note("acceleration_m_s2", (-1.2 * radius, 2.9 * radius)),
        Note("torque_Nm", polar(sprocket, 0.7 * radius, -20.0)),
        Note("push_N", (-4.3 * radius, ground)),
        Note("power_W", motor),
        Note("motor", (x - long, y)),
        Note("battery", (x, y - tall)),
        Note("brake_N", polar(sprocket, 0.3 * radius, 150.0)),
        Note("steering", polar(motor, 0.3 * radius, 230.0)),
        Note("grip", (axle[0], ground)),
    )
    return Sketch("drive at the sprocket", "side", shapes, marks)


def _shear(drive: Drive) -> Sketch:
    """A pad at rest (its outline) and pulled forward on ground that holds its foot until all the grip is used."""
    x, wide, tall = drive.grip_shear_mm, 50.0, 18.0
    rest = thin(((0.0, 0.0), (0.0, tall), (wide, tall), (wide, 0.0), (0.0, 0.0)))
    pulled = area("rubber", np.array([[0.0, 0.0], [x, tall], [x + wide, tall], [wide, 0.0]]))
    link = box("steel", x - 4.0, tall, x + wide + 4.0, tall + 8.0)
    ground = box("hole", -15.0, -10.0, x + wide + 20.0, 0.0)
    marks = (Span("grip_shear_mm", (0.0, tall), (x, tall), "x"),)
    return Sketch("a pad shears before it slips", "section", (ground, pulled, link, rest), marks)
