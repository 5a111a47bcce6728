"""Everything that survives a step, in one record: the same State gives the same forces however often it is asked.

The kernels read and write the record itself; `State` is how Python holds one, with a name for every number.
"""

from __future__ import annotations

import numpy as np

from trundle.model.arrays import MOST_BODIES, MOST_JOINTS, MOST_MODES, MOST_RINGS, record

KIND_NAMES = ("spring", "damper", "friction", "stop", "tyre", "tyre_loss", "belly", "track")
"""Kinds of force on the bodies, kept apart for the energy ledger."""

KINDS = len(KIND_NAMES)
SPRING, DAMPER, FRICTION, STOP, TYRE, TYRE_LOSS, BELLY, TRACK = range(KINDS)

SPARE_BODIES = 4
"""Rows that pymunk's batched reading wants free behind the last body."""

MOST_ORDER = 256
"""Contacts of the band that are remembered as a first guess; a band with more is laid afresh each step."""

MOST_GROUND = 1024
"""Points of the ground under spans of the band whose pull is remembered: 5 m of rounded ground on a 5 mm grid. Those
further forward would start anew each step, and so hold nothing."""

LAYERS = 3
"""Layers of a contact's load (see trundle.law.grip). With two, a load that shakes unevenly lets a vehicle creep."""

BODY_STATE = record(
    ("x_m", "f8"), ("y_m", "f8"), ("angle_rad", "f8"),
    ("vx_m_s", "f8"), ("vy_m_s", "f8"), ("spin_rad_s", "f8"),
)  # fmt: skip
"""Place of a body's centre of mass, its angle, and their speeds."""

GAIN_STATE = record(
    ("vx_m_s", "f8"), ("vy_m_s", "f8"), ("spin_rad_s", "f8"),
    ("last_vx_m_s", "f8"), ("last_vy_m_s", "f8"), ("last_spin_rad_s", "f8"),
)  # fmt: skip
"""Half of what a body's velocity gains in a step, mean of the last two; and what it gained in the last."""

JOINT_STATE = record(
    ("dry_slip_rad", "f8"),  # how far dry friction is wound up
    ("damper_Nm", "f8"),  # loss of the last step, and its mean over the last two
    ("damper_mean_Nm", "f8"),
    ("stop_loss_Nm", "f8"),  # the same of the stops' pads
    ("stop_loss_mean_Nm", "f8"),
)

SHEAR = record(
    ("load_N", "f8", (LAYERS,)),  # load of each layer, the lowest first, and what it pulls
    ("pull_N", "f8", (LAYERS,)),
    ("held_J", "f8"),  # energy stored
)
"""What a contact with the ground carries along the ground (see trundle.law.grip)."""

RING_STATE = record(
    ("load_N", "f8"),
    ("turned_N", "f8"),  # how much harder than that the ground is pressed, see trundle.law.turning
    ("loss_x_N", "f8"),  # loss in the rubber of the last step, and its mean over the last two
    ("loss_y_N", "f8"),
    ("loss_mean_x_N", "f8"),
    ("loss_mean_y_N", "f8"),
    ("rim_m_s", "f8"),  # without a track: speed of the rim
    ("shear", SHEAR),
)

BAND_STATE = record(
    ("speed_m_s", "f8"),  # of the band, mean round the loop (without a track: of the tyres, mean by load)
    ("slip_m_s", "f8"),  # mean slip, weighted by grip
    ("push_N", "f8"),  # force of the sprocket on the band (without a track: of the motor on the tyres)
    ("traction_N", "f8"),  # sum along the band
    ("tension_N", "f8"),  # both tracks, foremost lower span
    ("top_N", "f8"),  # top run
    ("tight_N", "f8"),  # highest and lowest of any span
    ("slack_N", "f8"),
    ("idler_shift_m", "f8"),  # how far the tensioner is pressed in
    ("hangs", "f8"),  # 1: the band hangs loose; 0: it is taut
    ("give_N", "f8"),  # pull of the top run's tension on the idler along its tensioner
    ("stretch_m", "f8"),  # of the whole loop, and the energy in it
    ("stretch_J", "f8"),
    ("held_J", "f8"),  # energy of stretch and tensioner
)

TOP_STATE = record(("sag_m", "f8"), ("sag_m_s", "f8"))
"""How deep a free span of the top run hangs in one of its modes, and how fast it sinks (see trundle.law.top)."""

DRIVER_STATE = record(
    ("target_m_s", "f8"),  # where the driver's ramp has got to; below 0: backwards
    ("lasting_N", "f8"),  # what the speed has lacked for long, as push
    ("saw_m_s", "f8"),  # speed that the motor saw at the end of the last step
    ("backwards", "f8"),  # 1: the motor pushes to the rear
    ("held", "f8"),  # 1: the brake holds the vehicle where it stands
    ("task", "i8"),  # the instruction that it is at, from 0
    ("doing", "i8"),  # of that, see trundle.law.told
    ("stood_s", "f8"),  # how long it has stood there
)
"""What the driver remembers."""

ASKED_M_S = 0.1
"""Slower than this a vehicle is given more time before it counts as held up [m/s]."""

LEDGER_STATE = record(
    ("kind_J", "f8", (KINDS,)),  # work done on the bodies by each kind of force
    ("moving_J", "f8"),  # gained in motion: bodies, band or wheels
    ("gravity_J", "f8"),  # work of gravity on the bodies
    ("motor_J", "f8"),
    ("brake_J", "f8"),
    ("slip_J", "f8"),
    ("drag_J", "f8"),
    ("loose_J", "f8"),  # lost where the band hangs loose, and in the tensioner, see trundle.law.loose
    ("kinetic0_J", "f8"),  # at the start of the account
    ("stored0_J", "f8"),
    ("around0_J", "f8"),
    ("error_J", "f8"),  # what the ledger cannot account for
)

ORDER_STATE = record(("n", "i8"), ("owner", "i8", (MOST_ORDER,)))
"""How many contacts the band had and whose they were, from rear to front (see trundle.law.path)."""

GROUND_STATE = record(("n", "i8"), ("owner", "i8", (MOST_GROUND,)), ("shear", SHEAR, (MOST_GROUND,)))
"""How many points of the ground the band's spans lay on, which (see trundle.law.path), and their shear, from rear to
front."""

MEMORY = record(
    ("joint", JOINT_STATE, (MOST_JOINTS,)),
    ("ring", RING_STATE, (MOST_RINGS,)),
    ("band", BAND_STATE),
    ("top", TOP_STATE, (MOST_MODES,)),
    ("driver", DRIVER_STATE),
    ("ledger", LEDGER_STATE),
)
"""What the force law itself carries from one step to the next, but for the two lists."""

PIVOT_STATE = record(("pivot_x_Ns", "f8"), ("pivot_y_Ns", "f8"))
"""Impulse of the pivot in the last step, from which pymunk starts to seek the next. The law does not look at it."""

CLOCK_STATE = record(
    ("time_s", "f8"),
    ("furthest_m", "f8"),  # furthest course place of the nose since it last stood as told (backing up: the rearmost)
    ("stuck_s", "f8"),  # for how long it has not got further
    ("ax_m_s2", "f8"),  # acceleration of the hull's centre of mass in the last step, and of its turning
    ("ay_m_s2", "f8"),
    ("turn_rad_s2", "f8"),
)

STATE = record(
    ("clock", CLOCK_STATE),
    ("body", BODY_STATE, (MOST_BODIES + SPARE_BODIES,)),
    ("gain", GAIN_STATE, (MOST_BODIES,)),
    ("pivot", PIVOT_STATE, (MOST_JOINTS,)),
    ("law", MEMORY),
    ("order", ORDER_STATE),  # lists, of which only the first n count
    ("ground", GROUND_STATE),
)


def new_state() -> np.recarray:
    """The record of a vehicle that has never moved, all zero: shape (1,) STATE."""
    return np.zeros(1, dtype=STATE).view(np.recarray)
