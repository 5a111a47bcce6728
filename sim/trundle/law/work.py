"""The arrays that change during a run: state beside the bodies, and scratch of the force law."""

from __future__ import annotations

from typing import Any, NamedTuple

import numpy as np

from trundle.model.arrays import Floats, Ints, Model, Records

SPRING, DAMPER, FRICTION, STOP, TYRE, TYRE_LOSS, BELLY, TRACK = range(8)
"""Kinds of force on the bodies, kept apart for the energy ledger."""
KINDS = 8

CARRY = np.dtype(
    [
        ("time", "f8"),
        ("u", "f8"),  # speed of the band past the sprocket (wheeled: of the tyres, mean by load) [m/s]
        ("target", "f8"),  # where the driver's ramp has got to [m/s]
        ("tension", "f8"),  # both tracks, front lower span [N]
        ("top_tension", "f8"),
        ("tight", "f8"),  # highest and lowest tension of any span [N]
        ("slack", "f8"),
        ("idler_shift", "f8"),  # how far the tensioner is pressed in [m]
        ("lever", "f8"),  # pull on the idler along its tensioner, per unit of tension [-]
        ("path", "f8"),  # loop length without sag [m]
        ("spare", "f8"),  # loop length left over when the slack side has no tension [m]
        ("loose", "f8"),  # 1: the band hangs loose next to the sprocket, below; 0: it is taut
        ("loose_N", "f8"),  # force on what the loose place gains, and traction, of the step before [N]
        ("pulled", "f8"),
        ("over_top", "f8"),  # share of the loose place's growth that the contacts feel
        ("push", "f8"),  # force of the sprocket on the band (wheeled: of the motor on the tyres) [N]
        ("drag", "f8"),
        ("traction", "f8"),  # sum along the band [N]
        ("slip", "f8"),  # share of the grip in use, signed [-]
        ("slip_speed", "f8"),  # mean slip, weighted by load [m/s]
        ("shear", "f8"),  # shear displacement of pads and ground [m]
        ("sprocket_Nm", "f8"),
        ("belly_N", "f8"),
        ("belly_clear", "f8"),
        ("fixed_tension", "f8"),  # >= 0: use this tension instead of the loop's length
        ("spring_J", "f8"),  # energy stored
        ("tyre_J", "f8"),
        ("band_J", "f8"),
        ("span_N", "f8"),  # ground load on spans of the band [N]
        ("grip_left", "f8"),
        ("held_x", "f8"),  # sum of ground forces [N], for the momentum check
        ("held_y", "f8"),
        ("track_x", "f8"),  # sum of forces of the track on the bodies [N]
        ("track_y", "f8"),
    ]
)

LEDGER = np.dtype(
    [
        ("kind", "f8", (KINDS,)),  # work done on the bodies by each kind of force [J]
        ("throughput", "f8"),  # sum of |work| of all kinds and of gravity [J]
        ("gravity", "f8"),  # work of gravity on the bodies
        ("motor", "f8"),
        ("brake", "f8"),
        ("slip", "f8"),
        ("drag", "f8"),
        ("loose", "f8"),  # lost (or won) where the band hangs loose, see trundle.law.band.track
        ("kinetic0", "f8"),
        ("stored0", "f8"),
        ("around0", "f8"),
        ("error", "f8"),  # what the ledger cannot account for [J]
    ]
)

VERTICES = 19
"""Points that stand for the lower half of a ring while the order of contacts is sought."""


class Work(NamedTuple):
    """State and scratch. nb bodies, nj joints, nr rings, nn room for nodes of the band.

    pose (nb, 5): predicted x, y, cos, sin, angle; motion (nb, 3): velocities; load (KINDS, nb, 3) forces;
    last (KINDS, nb, 3), last_motion (nb, 3): of the step before, for the ledger.
    gain (nb, 6): half of what the velocities gain in a step, mean of the last two; what they gained in the last.
    joint (nj, 11), ring (nr, 19): columns named in trundle.law.pivots and trundle.law.ground.
    order: how many nodes the band had, and whose they were, in the step before.
    node_*: the band's contacts from rear to front; span_*: the straight pieces between them.
    """

    carry: Records
    ledger: Records
    pose: Floats
    motion: Floats
    load: Floats
    last: Floats
    last_motion: Floats
    gain: Floats
    joint: Floats
    ring: Floats
    order: Ints
    node_ring: Ints
    node_xy: Floats
    span: Floats
    contact: Floats
    jump: Floats
    arc: Floats
    chain_xy: Floats
    chain_id: Ints
    gate_xy: Floats
    gate_id: Ints
    fan: Floats


def new_work(m: Model) -> Work:
    """Empty work arrays that fit the model."""
    nb, nj, nr = len(m.bodies), len(m.joints), len(m.rings)
    peaks = len(m.ground.peak_x)
    gates = nr * VERTICES + peaks + 4
    nodes = 2 * gates
    angle = np.radians(np.linspace(-90.0, 90.0, VERTICES))
    carry = np.zeros(1, dtype=CARRY).view(np.recarray)
    carry["fixed_tension"] = -1.0
    w: Any = Work(
        carry=carry,
        ledger=np.zeros(1, dtype=LEDGER).view(np.recarray),
        pose=np.zeros((nb, 5)),
        motion=np.zeros((nb, 3)),
        load=np.zeros((KINDS, nb, 3)),
        last=np.zeros((KINDS, nb, 3)),
        last_motion=np.zeros((nb, 3)),
        gain=np.zeros((nb, 6)),
        joint=np.zeros((nj, 11)),
        ring=np.zeros((nr, 19)),
        order=np.zeros(nodes + 1, dtype=np.int64),
        node_ring=np.zeros(nodes, dtype=np.int64),
        node_xy=np.zeros((nodes, 3)),
        span=np.zeros((nodes, 4)),
        contact=np.zeros((nodes, 8)),
        jump=np.zeros(nodes),
        arc=np.zeros(nodes),
        chain_xy=np.zeros((2, nodes, 2)),
        chain_id=np.zeros((2, nodes), dtype=np.int64),
        gate_xy=np.zeros((gates, 2)),
        gate_id=np.zeros(gates, dtype=np.int64),
        fan=np.column_stack([np.sin(angle), np.cos(angle)]),
    )
    out: Work = w
    return out
