"""The constant arrays a run works from, SI throughout. Both sides together unless a field says otherwise."""

from __future__ import annotations

from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Records = np.recarray[Any, Any]

SIDES = 2.0
"""Left and right stand side by side in the plane."""

BLOCK = 16
"""Grid intervals in one block of GroundArrays.block_top."""

BODY = np.dtype([("mass", "f8"), ("inertia", "f8")])
"""mass [kg]; inertia about the body's own centre of mass [kg.m2]. Body 0 is the hull."""

JOINT = np.dtype(
    [
        ("parent", "i8"),
        ("child", "i8"),
        ("px", "f8"),  # pivot in the parent, from its centre of mass [m]
        ("py", "f8"),
        ("cx", "f8"),  # pivot in the child, from its centre of mass [m]
        ("cy", "f8"),
        ("sign", "f8"),  # +1: the angle below horizontal grows as the child turns clockwise (axle ahead)
        ("radius", "f8"),  # pivot to axle [m]
        ("table_from", "i8"),  # where this joint's spring table starts in spring_torque
        ("table_n", "i8"),  # 0: no spring of its own
        ("angle_from", "f8"),  # first angle of the table [rad]
        ("angle_step", "f8"),
        ("bump", "f8"),  # angle at which the bump pad is met [rad]
        ("droop", "f8"),
        ("pad_rate", "f8"),  # at the axle [N/m]
        ("pad_damp", "f8"),  # force = rate * d * (1 + damp * d') [s/m]
        ("damp_bump", "f8"),  # at the axle [N.s/m]
        ("damp_droop", "f8"),
        ("friction", "f8"),  # torque [N.m]
        ("swing", "f8"),  # inertia of the child about the pivot [kg.m2]
        ("friction_rate", "f8"),  # stiffness of the pivot before it slips [N.m/rad]
    ]
)
"""One pivot: the child turns on the parent. Joint j carries body j + 1."""

PAIR = np.dtype(
    [
        ("fore", "i8"),  # joints
        ("aft", "i8"),
        ("table_from", "i8"),  # fore table at table_from, aft table at table_from + table_n
        ("table_n", "i8"),
        ("angle_from", "f8"),
        ("angle_step", "f8"),
        ("k_fore", "f8"),  # [N/m]
        ("k_aft", "f8"),
        ("k_cross", "f8"),
        ("rock_gap", "f8"),  # [m]
        ("rock_rate", "f8"),  # [N/m]
    ]
)
"""A leaf across two arms."""

RING = np.dtype(
    [
        ("body", "i8"),
        ("x", "f8"),  # centre in the body, from its centre of mass [m]
        ("y", "f8"),
        ("radius", "f8"),  # tyre and, if there is one, track [m]
        ("rate", "f8"),  # push per metre of ground and metre pressed in [N/m2]
        ("damp", "f8"),  # share more per m/s of pressing in [s/m]
        ("mass", "f8"),  # what moves with it when it alone is pushed [kg]
        ("wheels", "f8"),  # how many wheels share the load, both sides
        ("spin", "f8"),  # spin inertia of those wheels, as mass at the rim [kg]
    ]
)
"""What rolls on the ground: the road wheels from front to rear, then sprocket and idler."""

BAND = np.dtype(
    [
        ("on", "i8"),  # 0: no track, the wheels drive
        ("rear", "i8"),  # ring at the rear end, ring at the front end
        ("front", "i8"),
        ("sprocket", "i8"),  # ring of the sprocket
        ("length", "f8"),  # unstretched loop [m]
        ("stretch", "f8"),  # EA, both tracks [N]
        ("weight", "f8"),  # per metre, both tracks [N/m]
        ("sag_sum", "f8"),  # sum of top spans cubed [m3]
        ("longest", "f8"),  # longest top span [m]
        ("top_length", "f8"),  # straight and wrapped length between the two ends' top tangents [m]
        ("out_x", "f8"),  # direction in which the band leaves the front end's top, hull frame
        ("out_y", "f8"),
        ("in_x", "f8"),  # direction in which it reaches the rear end's top, hull frame
        ("in_y", "f8"),
        ("push_x", "f8"),  # sum of (out - in) over the return rollers, hull frame
        ("push_y", "f8"),
        ("push_moment", "f8"),  # and its moment about the hull's centre of mass, per unit tension [m]
        ("tensioner_rate", "f8"),  # [N/m], 0: fixed idler
        ("tensioner_preload", "f8"),
        ("tensioner_travel", "f8"),
        ("tensioner_x", "f8"),  # direction in which it pushes the idler, hull frame
        ("tensioner_y", "f8"),
        ("top_give", "f8"),  # growth of the top run per metre that the idler is pressed in
        ("drag", "f8"),  # share of the road wheels' load
    ]
)

DRIVE = np.dtype(
    [
        ("push", "f8"),
        ("power", "f8"),
        ("brake", "f8"),
        ("grip", "f8"),
        ("shear", "f8"),  # shear displacement at which all grip is used [m]
        ("contact_length", "f8"),  # length of track on the ground: travel that takes the shear away [m]
        ("acceleration", "f8"),
        ("speed", "f8"),  # own target speed [m/s]
        ("mass", "f8"),  # of what travels round: band, and spin of wheels, as mass at the band [kg]
    ]
)

HULL = np.dtype(
    [
        ("seat_x", "f8"),  # from the centre of mass [m]
        ("seat_y", "f8"),
        ("nose_x", "f8"),  # foremost point of the belly outline
        ("tail_x", "f8"),
        ("rate", "f8"),  # [N/m]
        ("damp", "f8"),  # [s/m]
        ("grip", "f8"),
    ]
)


class Model(NamedTuple):
    """Everything constant during a run.

    bodies (nb,) BODY; joints (nb-1,) JOINT; spring_torque, spring_energy (n,) tables [N.m], [J];
    pairs (np,) PAIR; pair_lift (m,) tables [m]; rings (nr,) RING, the first `road` of them road wheels;
    belly (nv, 2) outline from the hull's centre of mass [m]; hull, band, drive: one record each;
    ground: see trundle.model.ground. `road`, `gravity` scalars.
    """

    bodies: Records
    joints: Records
    spring_torque: Floats
    spring_energy: Floats
    pairs: Records
    pair_lift: Floats
    rings: Records
    belly: Floats
    hull: Records
    band: Records
    drive: Records
    ground: GroundArrays
    road: int
    gravity: float


class GroundArrays(NamedTuple):
    """The course as the force law reads it.

    x0: course position of height[0] [m]; dx: grid [m]; height (n,) [m];
    point_x, point_y, point_w (m,): points along the surface, each standing for point_w metres of it (a
    vertical face has points too); point_from (n + 1,): first point of each grid interval;
    peak_x, peak_y (k,): grid points where the surface turns downwards, the only ones a taut band or a belly
    plate can rest on; peak_from (n + 1,): first peak of each grid interval;
    block_top (n / BLOCK + 2,): highest point of each block of BLOCK grid intervals;
    speed_from [m], speed [m/s] (s,): target speed along the course (nan: the vehicle's own).
    """

    x0: float
    dx: float
    height: Floats
    point_x: Floats
    point_y: Floats
    point_w: Floats
    point_from: Ints
    peak_x: Floats
    peak_y: Floats
    peak_from: Ints
    block_top: Floats
    speed_from: Floats
    speed: Floats
