"""One row of the timeline: what is written, in which order, in one place.

`columns` and `write_row` go through the same list in the same order; a test holds them together.
"""

from __future__ import annotations

from trundle.law.compile import inner
from trundle.law.ground import GAP, LOAD, SLIP, TRACTION, X, Y
from trundle.law.pivots import ANGLE, FRICTION_TORQUE, SPRING_TORQUE, STOP_FORCE
from trundle.law.work import KINDS, Work
from trundle.model.arrays import Model

HULL = (
    "time", "x", "y", "pitch", "vx", "vy", "pitch_rate", "seat_up", "seat_forward", "belly_clear", "belly_N",
    "target", "u", "push", "traction", "drag", "slip", "slip_speed",
)  # fmt: skip
TRACK = ("tight", "slack", "top", "path", "spare", "span_N", "idler_shift")
JOINT = ("angle", "spring", "stop", "friction")
RING = ("x", "y", "load", "traction", "slip", "gap")
ENERGY = (
    "gravity", "spring", "damper", "friction", "stop", "tyre", "tyre_loss", "belly", "drive",
    "motor", "brake", "slip", "drag", "loose", "stored", "throughput", "error",
)  # fmt: skip


def columns(joints: int, rings: int) -> list[tuple[str, int, str]]:
    """(group, number, quantity) of each place in a row."""
    names: list[tuple[str, int, str]] = [("hull", 0, q) for q in HULL]
    names += [("track", 0, q) for q in TRACK]
    names += [("joint", j, q) for j in range(joints) for q in JOINT]
    names += [("ring", i, q) for i in range(rings) for q in RING]
    names += [("energy", 0, q) for q in ENERGY]
    return names


@inner
def write_row(m: Model, w: Work, row, seat_up, seat_forward):
    """Write the state just worked out into `row`: SI, both sides together."""
    c, led = w.carry[0], w.ledger[0]
    row[0] = c.time
    row[1], row[2], row[3] = w.pose[0, 0], w.pose[0, 1], w.pose[0, 4]
    row[4], row[5], row[6] = w.motion[0, 0], w.motion[0, 1], w.motion[0, 2]
    row[7], row[8] = seat_up, seat_forward
    row[9], row[10] = c.belly_clear, c.belly_N
    row[11], row[12], row[13], row[14], row[15] = c.target, c.u, c.push, c.traction, c.drag
    row[16], row[17] = c.slip, c.slip_speed
    row[18], row[19], row[20], row[21], row[22] = c.tight, c.slack, c.top_tension, c.path, c.spare
    row[23], row[24] = c.span_N, c.idler_shift
    k = 25
    for j in range(m.joints.shape[0]):
        row[k] = w.joint[j, ANGLE]
        row[k + 1] = w.joint[j, SPRING_TORQUE]
        row[k + 2] = w.joint[j, STOP_FORCE]
        row[k + 3] = w.joint[j, FRICTION_TORQUE]
        k += 4
    for i in range(m.rings.shape[0]):
        row[k], row[k + 1] = w.ring[i, X], w.ring[i, Y]
        row[k + 2], row[k + 3] = w.ring[i, LOAD], w.ring[i, TRACTION]
        row[k + 4], row[k + 5] = w.ring[i, SLIP], w.ring[i, GAP]
        k += 6
    row[k] = led.gravity
    for kind in range(KINDS):
        row[k + 1 + kind] = led.kind[kind]
    k += 1 + KINDS
    row[k], row[k + 1], row[k + 2], row[k + 3] = led.motor, led.brake, led.slip, led.drag
    row[k + 4], row[k + 5] = led.loose, c.spring_J + c.tyre_J + c.band_J
    row[k + 6], row[k + 7] = led.throughput, led.error
