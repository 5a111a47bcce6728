"""What one evaluation of the force law works out, from nothing but the model and a State.

Nothing here is read before it is written: a fresh Scratch and a used one give the same bits. What the law would have
a State remember is in `next`, `order` and `ground`; whoever takes the step puts it there (trundle.law.step.accept).
"""

from __future__ import annotations

from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from trundle.law.state import GROUND_STATE, KINDS, MEMORY, ORDER_STATE, SHEAR, SPARE_BODIES
from trundle.model.arrays import MOST_BODIES, MOST_JOINTS, MOST_MODES, MOST_RINGS, Model, Records, record, records

VERTICES = 19
"""Points that stand for the lower half of a ring while the order of contacts is sought."""

POSE = record(("x", "f8"), ("y", "f8"), ("cos", "f8"), ("sin", "f8"), ("angle", "f8"))
"""Where the coming step will put a body [m], [rad]."""

MOTION = record(("vx", "f8"), ("vy", "f8"), ("spin", "f8"))
"""Velocity of a body before the step [m/s], [rad/s]."""

JOINT_WORK = record(
    ("angle", "f8"),  # below the hull's horizontal [rad]
    ("rate", "f8"),  # [rad/s]
    ("gain", "f8"),  # of the rate, see trundle.law.losses.note_gain [rad/s]
    ("spring", "f8"),  # torque [N.m]
    ("stop", "f8"),  # force at the axle [N]
    ("friction", "f8"),  # torque [N.m]
)

RING_WORK = record(
    ("x", "f8"),  # centre [m]
    ("y", "f8"),
    ("vx", "f8"),  # its velocity at the end of the step [m/s]
    ("vy", "f8"),
    ("nx", "f8"),  # direction of the ground's push
    ("ny", "f8"),
    ("load", "f8"),  # [N]
    ("reach", "f8"),  # from the centre to the ground, or the radius where it does not touch [m]
    ("away_x", "f8"),  # direction from the nearest ground to the centre; 0, 0 where it does not touch
    ("away_y", "f8"),
    ("traction", "f8"),  # [N]
    ("push_x", "f8"),  # all that pushes its body at its centre: ground, rubber's loss, traction, the track's bends [N]
    ("push_y", "f8"),
    ("slip", "f8"),  # [m/s]
    ("gap", "f8"),  # how far it stands off the band [m]
    ("on_band", "i8"),  # 1: the band bends or presses here
)

WHEEL_WORK = record(
    ("speed", "f8"),  # of the rim at the end of the step [m/s]
    ("offset", "f8"),  # slip speed with the rim at rest [m/s]
    ("grip", "f8"),  # the most it can pull [N]
    ("shear", SHEAR),
    ("drag", "f8"),  # the most that rolling takes [N]
    ("share", "f8"),  # of the motor's push
    ("spin", "f8"),  # inertia over the step [kg/s]
)
"""A road wheel of a vehicle without a track."""

BELLY_WORK = record(
    (
        "gain",
        "f8",
    ),  # what the pushes of all its places add to the speed out of the ground in half a step [m/s]
    ("hold", "f8"),  # the same of their losses, as a share of that speed
    ("rub", "f8"),  # of their friction below its limit, as a share of the sliding speed
)
"""The belly plate, all places where it stands on the ground together."""

TOP_WORK = record(
    ("place", "f8"),  # sag that its own speed takes it to [m]
    ("inertia", "f8"),  # force per metre off that place; 0: it hangs still [N/m]
)
"""A mode of a free span of the top run."""

LOOP_WORK = record(
    ("nodes", "i8"),  # how many nodes and contacts there are
    ("contacts", "i8"),
    ("path", "f8"),  # length of the loop without sag [m]
    ("in_x", "f8"),  # direction in which the band reaches the rear end on top, and leaves the front end
    ("in_y", "f8"),
    ("out_x", "f8"),
    ("out_y", "f8"),
    ("growth", "f8"),  # of the loop, counted away from the sprocket [m/s]
    ("behind", "f8"),  # how much slower it would run at the sprocket than in the mean, if the lower run is taut [m/s]
    ("ahead", "f8"),  # how much faster it runs there [m/s]
    ("over_top", "f8"),  # 1: the lower run hangs loose, and the taut way to the sprocket is over the top; 0: it is taut
    ("top_length", "f8"),  # top run with half the arcs at its ends [m]
    ("top", "f8"),  # tension of the top run above that of the foremost lower span [N]
    ("least", "f8"),  # lowest tension of any span, on the same measure [N]
    ("stretch", "f8"),  # of the loop by what is above that of the foremost span [m]
    ("lever", "f8"),  # pull on the idler along its tensioner, per unit of tension [-]
    ("hold", "f8"),  # tension times lever at which the tensioner begins to give [N]
    ("free", "i8"),  # 1: the tensioner can move
    ("below", "i8"),  # 1: what is left over hangs in the lower run; 0: the top run has still to fall for it
    ("spare", "f8"),  # loop length left over when the slack side has no tension [m]
    ("swung", "f8"),  # what its swing does against tension in the step [J]
    ("top_sag", "f8"),  # in the middle of the longest span of the top run [m]
    ("stored", "f8"),  # energy of stretch, sag and tensioner [J]
    ("span_N", "f8"),  # ground load on spans of the band [N]
    ("ground_x", "f8"),  # sum of the ground's forces on the band, for the momentum check [N]
    ("ground_y", "f8"),
    ("track_x", "f8"),  # sum of the track's forces on the bodies [N]
    ("track_y", "f8"),
)
"""The band as a whole."""

WORK = record(
    ("pose", POSE, (MOST_BODIES,)),
    ("motion", MOTION, (MOST_BODIES,)),
    ("joint", JOINT_WORK, (MOST_JOINTS,)),
    ("ring", RING_WORK, (MOST_RINGS,)),
    ("wheel", WHEEL_WORK, (MOST_RINGS,)),
    ("loop", LOOP_WORK),
    ("belly", BELLY_WORK),
    ("top", TOP_WORK, (MOST_MODES,)),
    ("load", "f8", (KINDS, MOST_BODIES, 3)),  # force and torque on each body by kind [N], [N.m]
    ("force", "f8", (MOST_BODIES + SPARE_BODIES, 3)),  # their sum, for pymunk
    ("drag", "f8"),  # of the band in its bearings and bends [N]
    ("grip_used", "f8"),  # share of the grip in use, signed
    ("belly_clear", "f8"),  # [m]
    ("belly_N", "f8"),
    ("spring_J", "f8"),  # energy stored
    ("tyre_J", "f8"),
    ("shear_J", "f8"),
    ("stored_J", "f8"),
    ("time_s", "f8"),  # at the end of the step
    ("seat_up", "f8"),  # acceleration of the seat in the hull's axes [m/s2]
    ("seat_forward", "f8"),
    ("next", MEMORY),
    ("order", ORDER_STATE),
    ("ground", GROUND_STATE),
)

NODE = record(
    ("owner", "i8"),  # ring, or ground peak (see trundle.law.path)
    ("x", "f8"),  # centre and radius [m]
    ("y", "f8"),
    ("r", "f8"),
    ("tx", "f8"),  # the span from here to the next node: direction (forward), length, tension
    ("ty", "f8"),
    ("length", "f8"),
    ("tension", "f8"),
    ("deep", "f8"),  # how far the ground presses the ring in: its full radius less its reach [m]
    ("whole", "f8"),  # of the straight piece in front: length from bend to bend [m], rate of turning [rad/s]
    ("turning", "f8"),
    ("arc", "f8"),  # length of band that lies on the node [m]
    ("jump", "f8"),  # by how much tension falls here, going forward [N]
)
"""A place where the band bends or presses, from rear to front, and the straight piece in front of it."""

CONTACT = record(
    ("node", "i8"),
    ("ring", "i8"),  # -1: the ground under a span, then its place in the list of those
    ("listed", "i8"),
    ("along_x", "f8"),  # direction along the ground
    ("along_y", "f8"),
    ("load", "f8"),  # [N]
    ("grip", "f8"),  # the most it can pull [N]
    ("offset", "f8"),  # slip speed with the band at rest at the sprocket [m/s]
    ("pull", "f8"),  # [N]
    ("shear", SHEAR),
)
"""Where the band can grip the ground."""

GATE = record(("x", "f8"), ("y", "f8"), ("owner", "i8"))
"""A point that may touch the lower run."""


class Scratch(NamedTuple):
    """work (1,) WORK; nodes, contacts (n,) NODE, CONTACT; gates (g,) GATE; chains (2, n) GATE of the funnel."""

    work: Records
    nodes: Records
    contacts: Records
    gates: Records
    chains: NDArray[Any]


def new_scratch(model: Model) -> Scratch:
    """Room for one evaluation of the law with this model."""
    gates = int(model.vehicle[0].nr) * VERTICES + len(model.ground.peaks) + 4
    nodes = 2 * gates
    return Scratch(
        work=records(WORK, 1),
        nodes=records(NODE, nodes),
        contacts=records(CONTACT, nodes),
        gates=records(GATE, gates),
        chains=records(GATE, 2 * nodes).reshape(2, nodes),
    )


def ring_rows(scratch: Scratch, count: int) -> Records:
    """The first `count` rings, (count,) RING_WORK, sharing the scratch's memory."""
    rows: Records = scratch.work["ring"][0, :count].view(np.recarray)
    return rows


def work_flat(scratch: Scratch) -> np.ndarray:
    """The work record as plain numbers, sharing its memory: what the timeline's columns are picked from."""
    return scratch.work.view(np.ndarray).view(np.float64)
