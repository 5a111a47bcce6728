"""The constant arrays a run works from, SI throughout. Both sides together unless a field says otherwise.

A vehicle is one record of a fixed layout, with room for the most bogies that a file may have: the compiled law is then
handed one pointer instead of forty arrays, compiles in a third of the time, and is called at no cost. What has no
natural limit (spring tables, belly outline, course) is a few arrays beside it.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from trundle.units import MOST_PAD_PIECES
from trundle.units import SIDES as SIDES

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Records = np.recarray[Any, Any]

BLOCK = 16
"""Grid intervals in one block of GroundArrays.block_top."""

DEEPEST_SAG = 0.25
"""A free span of the top run never hangs deeper than this share of its length: from there on it lies on something."""

MOST_CORNERS = 26
"""A motor's pull over speed may have so many (spec.pull.MOST_CORNERS)."""

MOST_BOGIES = 12
"""A file may have so many; each has at most two pivots and two wheel stations."""

MOST_JOINTS = 2 * MOST_BOGIES
MOST_BODIES = MOST_JOINTS + 1
MOST_RINGS = 2 * MOST_BOGIES + 2

MOST_ROLLERS = 10
"""Return rollers that a track may have."""

MODES = 3
"""Modes in which each free span of the top run swings: its first ones of uneven number."""

MOST_MODES = MODES * (MOST_ROLLERS + 1)


def record(*fields: tuple[Any, ...]) -> np.dtype[Any]:
    """A record type whose scalars give their fields as attributes, compiled or not."""
    return np.dtype((np.record, list(fields)))


BODY = record(("mass", "f8"), ("inertia", "f8"))
"""mass [kg]; inertia about the body's own centre of mass [kg.m2]. Body 0 is the hull."""

PAD = record(
    ("begins", "f8"),  # pressed so far, felt at the axle [m]
    ("force", "f8"),  # there [N]
    ("rate", "f8"),  # [N/m]
    ("square", "f8"),  # [N/m2]
    ("cube", "f8"),  # [N/m3]
)
"""A piece of the law of a stop's pad: force + u (rate + u (square + u cube)), u beyond where it begins."""

JOINT = record(
    ("parent", "i8"),
    ("child", "i8"),
    ("px", "f8"),  # pivot in the parent, from its centre of mass [m]
    ("py", "f8"),
    ("cx", "f8"),  # pivot in the child, from its centre of mass [m]
    ("cy", "f8"),
    ("sign", "f8"),  # +1: the angle below horizontal grows as the child turns clockwise (axle ahead)
    ("radius", "f8"),  # pivot to axle [m]
    ("table_from", "i8"),  # where this joint's spring table starts in Model.springs
    ("table_n", "i8"),  # 0: no spring of its own
    ("angle_from", "f8"),  # first angle of the table, and its step [rad]
    ("angle_step", "f8"),
    ("bump", "f8"),  # angle at which the bump pad is met [rad]
    ("droop", "f8"),
    ("pad_rate", "f8"),  # at the axle [N/m]; of a pad with pieces not used
    ("pad_pieces", "i8"),  # 0: the same rate however far it is pressed
    ("pad", PAD, (MOST_PAD_PIECES,)),
    ("pad_damp", "f8"),  # force = rate * d * (1 + damp * d') [s/m]
    ("damp_bump", "f8"),  # at the axle [N.s/m]
    ("damp_droop", "f8"),
    ("friction", "f8"),  # torque [N.m]
    ("swing", "f8"),  # inertia of the child about the pivot [kg.m2]
    ("friction_rate", "f8"),  # stiffness of the pivot before it slips [N.m/rad]
)
"""One pivot: the child turns on the parent. Joint j carries body j + 1."""

PAIR = record(
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
)
"""A leaf across two arms."""

RING = record(
    ("body", "i8"),
    ("x", "f8"),  # centre in the body, from its centre of mass [m]
    ("y", "f8"),
    ("radius", "f8"),  # tyre and, if there is one, track [m]
    ("rate", "f8"),  # push per metre of ground and metre pressed in [N/m2]
    ("damp", "f8"),  # share more per m/s of pressing in [s/m]
    ("mass", "f8"),  # what moves with it when it alone is pushed [kg]
    ("wheels", "f8"),  # how many wheels share the load, both sides
    ("spin", "f8"),  # spin inertia of those wheels, as mass at the rim [kg]
    ("drag", "f8"),  # rolling drag without a track, as a share of the load
)
"""What rolls on the ground: the road wheels from front to rear, then sprocket and idler."""

MODE = record(
    ("takes", "f8"),  # length of the loop that it takes, over its sag squared [1/m]
    ("weight", "f8"),  # force on its sag [N]
    ("mass", "f8"),  # that moves with its sag [kg]
    ("loss", "f8"),  # share of critical damping
    ("deepest", "f8"),  # from here on it lies on something [m]
    ("shown", "f8"),  # what it adds to the sag in the middle of the longest span: 1, -1; 0: of another span
)
"""A mode in which a free span of the top run swings, both tracks (see trundle.law.top)."""

BAND = record(
    ("on", "i8"),  # 0: no track, the wheels drive
    ("rear", "i8"),  # ring at the rear end, ring at the front end
    ("front", "i8"),
    ("sprocket", "i8"),  # ring of the sprocket
    ("idler", "i8"),  # ring of the idler, -1 without a track
    ("away", "f8"),  # +1: along the lower run away from the sprocket is forward (it is at the rear), -1: backward
    ("least_top", "f8"),  # the top run never pulls less: hanging a quarter of its length deep it lies on something [N]
    ("length", "f8"),  # unstretched loop [m]
    ("stretch", "f8"),  # EA, both tracks [N]
    ("weight", "f8"),  # per metre, both tracks [N/m]
    ("sag_sum", "f8"),  # sum of top spans cubed [m3]
    ("modes", "i8"),  # how many there are of all top spans
    ("mode", MODE, (MOST_MODES,)),
    ("top_stiff", "f8"),  # how stiff the loop's stretch is to their swing [1/s2]
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
    ("tensioner_preload", "f8"),  # [N]
    ("tensioner_travel", "f8"),  # [m]
    ("tensioner_x", "f8"),  # direction in which it pushes the idler, hull frame
    ("tensioner_y", "f8"),
    ("top_give", "f8"),  # growth of the top run per metre that the idler is pressed in
    ("drag", "f8"),  # share of the road wheels' load
)

DRIVE = record(
    ("push", "f8"),  # the most that the motor gives, both sides [N]
    ("power", "f8"),  # [W]
    ("corners", "i8"),  # of a motor by its curve: so many of the next; 0: push and power are all
    ("at", "f8", (MOST_CORNERS,)),  # speed [m/s], rising, and the most that it pushes there [N], never rising, last 0
    ("gives", "f8", (MOST_CORNERS,)),
    ("brake", "f8"),  # [N]
    ("grip", "f8"),
    ("shear", "f8"),  # shear displacement at which all grip is used [m]
    ("radius", "f8"),  # turns the motor's torque into push: of the links' pins round a sprocket, of a wheel [m]
    ("contact_length", "f8"),  # length of track on the ground: travel that takes the shear away [m]
    ("acceleration", "f8"),  # of the target [m/s2]
    ("speed", "f8"),  # own target speed [m/s]
    ("mass", "f8"),  # of what travels round: band, and spin of wheels, as mass at the band [kg]
)

HULL = record(
    ("seat_x", "f8"),  # from the centre of mass [m]
    ("seat_y", "f8"),
    ("nose_x", "f8"),  # foremost point of the belly outline
    ("tail_x", "f8"),
    ("rate", "f8"),  # [N/m]
    ("damp", "f8"),  # [s/m]
    ("grip", "f8"),
)


VEHICLE = record(
    ("nb", "i8"),  # how many bodies, joints, pairs and rings there are
    ("nj", "i8"),
    ("np", "i8"),
    ("nr", "i8"),
    ("road", "i8"),  # so many of the rings, the first, are road wheels
    ("gravity", "f8"),
    ("held_tension", "f8"),  # >= 0: the track has this tension whatever its length, as while it is being set [N]
    ("body", BODY, (MOST_BODIES,)),
    ("joint", JOINT, (MOST_JOINTS,)),
    ("pair", PAIR, (MOST_BOGIES,)),
    ("ring", RING, (MOST_RINGS,)),
    ("hull", HULL),
    ("band", BAND),
    ("drive", DRIVE),
)

SPRING = record(("torque", "f8"), ("energy", "f8"))
"""A point of a spring's table [N.m], [J]."""

CORNER = record(("x", "f8"), ("y", "f8"))
"""A corner of the belly's outline, from the hull's centre of mass [m]."""

GROUND = record(("x0", "f8"), ("dx", "f8"))
"""Course position of the first grid point, and the grid's spacing [m]."""

CELL = record(
    ("height", "f8"),  # of the grid point at which the interval begins [m]
    ("line_from", "i8"),  # the line that begins last before it, and its first peak
    ("peak_from", "i8"),
)
"""A grid interval. One more than there are grid points, so that an interval's lines end where the next's begin."""

LINE = record(
    ("x", "f8"),  # where it begins
    ("y", "f8"),
    ("tx", "f8"),  # direction, forward or (an upright face) up or down
    ("ty", "f8"),
    ("length", "f8"),
)
"""A straight piece of the surface, as long as it is straight [m]; each begins where the one before it ends."""

PEAK = record(("x", "f8"), ("y", "f8"))
"""A corner where the surface turns downwards: the only ones a taut band or a belly plate can rest on."""

SPEED = record(("x", "f8"), ("speed", "f8"))
"""From course position x on the driver wants this speed [m/s] (nan: the vehicle's own)."""


TASK = record(("at", "f8"), ("wait_s", "f8"), ("to", "f8"), ("speed", "f8"))
"""Drive on to `at` [m], stand there for so long, and back up to `to` [m] at a speed [m/s] (to = at: do not)."""


class GroundArrays(NamedTuple):
    """The course as the force law reads it.

    head (1,) GROUND; cells (n + 1,) CELL; lines (m,) LINE; peaks (k,) PEAK; block_top (n / BLOCK + 2,): highest
    point of each block of BLOCK grid intervals [m]; speeds (s,) SPEED; tasks (t,) TASK, in their order.
    """

    head: Records
    cells: Records
    lines: Records
    peaks: Records
    block_top: Floats
    speeds: Records
    tasks: Records

    @property
    def x0(self) -> float:
        """Course position of the first grid point [m]."""
        return float(self.head[0].x0)

    @property
    def dx(self) -> float:
        """Spacing of the grid [m]."""
        return float(self.head[0].dx)

    @property
    def height(self) -> Floats:
        """Heights of the grid points, shape (n,) [m]."""
        heights: Floats = self.cells["height"][:-1]
        return heights

    @property
    def x(self) -> Floats:
        """Course positions of the grid points, shape (n,) [m]."""
        places: Floats = self.x0 + self.dx * np.arange(len(self.cells) - 1, dtype=np.float64)
        return places


class Model(NamedTuple):
    """Everything constant during a run.

    vehicle (1,) VEHICLE; springs (n,) SPRING: tables of the springs on one pivot; lifts (m,): tables of the leaves
    across two arms [m]; belly (v,) CORNER; ground.
    """

    vehicle: Records
    springs: Records
    lifts: Floats
    belly: Records
    ground: GroundArrays

    def holding_tension(self, tension_N: float) -> Model:
        """The same with the track at this tension whatever its length; below 0: as its length has it [N]."""
        vehicle = self.vehicle.copy()
        vehicle[0].held_tension = tension_N
        return self._replace(vehicle=vehicle)

    @property
    def bodies(self) -> Records:
        """(nb,) BODY, the hull first; changing a row changes the model, here and below."""
        return _rows(self.vehicle, "body", "nb")

    @property
    def joints(self) -> Records:
        """(nj,) JOINT."""
        return _rows(self.vehicle, "joint", "nj")

    @property
    def pairs(self) -> Records:
        """(np,) PAIR."""
        return _rows(self.vehicle, "pair", "np")

    @property
    def rings(self) -> Records:
        """(nr,) RING: road wheels from front to rear, then sprocket and idler."""
        return _rows(self.vehicle, "ring", "nr")

    @property
    def hull(self) -> Any:
        """The HULL record."""
        return self.vehicle[0].hull

    @property
    def band(self) -> Any:
        """The BAND record."""
        return self.vehicle[0].band

    @property
    def drive(self) -> Any:
        """The DRIVE record."""
        return self.vehicle[0].drive

    @property
    def road(self) -> int:
        """How many of the rings are road wheels."""
        return int(self.vehicle[0].road)

    @property
    def gravity(self) -> float:
        """[m/s2]"""
        return float(self.vehicle[0].gravity)


def _rows(vehicle: Records, name: str, count: str) -> Records:
    rows: Records = vehicle[name][0, : int(vehicle[count][0])].view(np.recarray)
    return rows


def records(kind: np.dtype[Any], count: int) -> Records:
    """`count` records with all fields zero."""
    rows: Records = np.zeros(count, dtype=kind).view(np.recarray)
    return rows


def vehicle_record(
    *,
    bodies: Records,
    joints: Records,
    pairs: Records,
    rings: Records,
    hull: Records,
    band: Records,
    drive: Records,
    road: int,
    gravity: float,
) -> Records:
    """One VEHICLE from rows of each kind (hull, band and drive: one each).

    Raises ValueError if there are more of a kind than the record has room for.
    """
    out = records(VEHICLE, 1)
    vehicle = out[0]
    parts: Sequence[tuple[str, str, Records]] = (
        ("body", "nb", bodies), ("joint", "nj", joints), ("pair", "np", pairs), ("ring", "nr", rings)
    )  # fmt: skip
    for name, count, rows in parts:
        room = out[name][0]
        if len(rows) > len(room):
            raise ValueError(f"{len(rows)} rows of {name}, room for {len(room)}")
        room[: len(rows)] = rows
        vehicle[count] = len(rows)
    vehicle.hull, vehicle.band, vehicle.drive = hull[0], band[0], drive[0]
    vehicle.road, vehicle.gravity, vehicle.held_tension = road, gravity, -1.0
    return out
