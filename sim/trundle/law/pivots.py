"""What acts in a pivot: spring, damper, dry friction, stops; and the leaf that couples two pivots."""

from __future__ import annotations

import math

from trundle.law.compile import inner
from trundle.law.work import DAMPER, FRICTION, SPRING, STOP, Work
from trundle.model.arrays import Model
from trundle.steel.leaf import end_forces as leaf_end_forces

end_forces = inner(leaf_end_forces)

(
    ANGLE, RATE, SPRING_TORQUE, STOP_FORCE, FRICTION_TORQUE, FRICTION_SLIP,
    GAIN, DAMPER_TORQUE, DAMPER_MEAN, STOP_LOSS, STOP_LOSS_MEAN,
) = range(11)  # fmt: skip
"""Columns of Work.joint. GAIN: of the rate, see `note_gain` [rad/s]; _MEAN: over the last two steps [N.m]."""


@inner
def set_pose(m: Model, w: Work, state, dt):
    """Where the coming step will put each body (x + v dt), and how each joint stands there.

    state (nb, 6): x, y, angle, vx, vy, spin of each body [m, rad, m/s, rad/s]; dt [s].
    """
    for b in range(m.bodies.shape[0]):
        angle = state[b, 2] + state[b, 5] * dt
        w.pose[b, 0] = state[b, 0] + state[b, 3] * dt
        w.pose[b, 1] = state[b, 1] + state[b, 4] * dt
        w.pose[b, 2] = math.cos(angle)
        w.pose[b, 3] = math.sin(angle)
        w.pose[b, 4] = angle
        w.motion[b, 0] = state[b, 3]
        w.motion[b, 1] = state[b, 4]
        w.motion[b, 2] = state[b, 5]
    for j in range(m.joints.shape[0]):
        a = m.joints[j]
        w.joint[j, ANGLE] = -a.sign * (w.pose[a.child, 4] - w.pose[a.parent, 4])
        w.joint[j, RATE] = -a.sign * (w.motion[a.child, 2] - w.motion[a.parent, 2])


@inner
def note_gain(m: Model, w: Work, state):
    """Note how much half a step adds to each velocity.

    The velocity that carries the bodies through a step belongs to the middle of it, forces to its end: a loss
    worked out from that velocity as it stands would be half a step late, a fault of first order in the step.
    So half a step's gain goes on top, as the mean of the last two steps has it. (From the last step alone, an
    arm that rings from one step to the next between tyre and stop would seem twice as fast as it is, and a
    loss that is too great feeds the ringing; over two steps such a gain is nothing.)
    """
    last, gain = w.last_motion, w.gain
    for b in range(m.bodies.shape[0]):
        for k in range(3):
            gained = state[b, 3 + k] - last[b, k]
            gain[b, k] = 0.25 * (gained + gain[b, 3 + k])
            gain[b, 3 + k] = gained
    for j in range(m.joints.shape[0]):
        a = m.joints[j]
        w.joint[j, GAIN] = -a.sign * (gain[a.child, 2] - gain[a.parent, 2])


@inner
def keep_loss(joint, j, loss, mean, torque):
    """Keep the torque of a loss, and its mean over this step and the last."""
    joint[j, mean] = 0.5 * (joint[j, loss] + torque)
    joint[j, loss] = torque


@inner
def turn(joints, load, j, kind, torque):
    """Apply `torque` [N.m] in joint j, positive towards a larger angle below horizontal."""
    a = joints[j]
    load[kind, a.child, 2] -= a.sign * torque
    load[kind, a.parent, 2] += a.sign * torque


@inner
def table(values, start, n, angle_from, angle_step, angle):
    """Value and slope of an even table at `angle`, straight on past its ends."""
    at = (angle - angle_from) / angle_step
    i = min(max(math.floor(at), 0), n - 2)
    slope = values[start + i + 1] - values[start + i]
    return values[start + i] + slope * (at - i), slope / angle_step, i


@inner
def pivot_springs(m: Model, w: Work):
    """Springs that work on one pivot each. Returns the energy they hold [J]."""
    held = 0.0
    for j in range(m.joints.shape[0]):
        a = m.joints[j]
        w.joint[j, SPRING_TORQUE] = 0.0
        if a.table_n == 0:
            continue
        angle = w.joint[j, ANGLE]
        torque, _, i = table(m.spring_torque, a.table_from, a.table_n, a.angle_from, a.angle_step, angle)
        w.joint[j, SPRING_TORQUE] = torque
        turn(m.joints, w.load, j, SPRING, torque)
        # The table is straight between its points, so the energy is the exact area under it.
        over = angle - (a.angle_from + i * a.angle_step)
        held += m.spring_energy[a.table_from + i] - 0.5 * (m.spring_torque[a.table_from + i] + torque) * over
    return held


@inner
def pair_springs(m: Model, w: Work):
    """Leaves across two arms: an end can push but not pull (trundle.steel.leaf.end_forces).

    Returns the energy they hold [J].
    """
    held = 0.0
    for p in range(m.pairs.shape[0]):
        q = m.pairs[p]
        fore, aft = w.joint[q.fore, ANGLE], w.joint[q.aft, ANGLE]
        d0, s0, _ = table(m.pair_lift, q.table_from, q.table_n, q.angle_from, q.angle_step, fore)
        d1, s1, _ = table(m.pair_lift, q.table_from + q.table_n, q.table_n, q.angle_from, q.angle_step, aft)
        f0, f1, _, energy = end_forces(q.k_fore, q.k_cross, q.k_aft, q.rock_gap, q.rock_rate, d0, d1)
        held += energy
        w.joint[q.fore, SPRING_TORQUE] += -s0 * f0
        w.joint[q.aft, SPRING_TORQUE] += -s1 * f1
        turn(m.joints, w.load, q.fore, SPRING, -s0 * f0)
        turn(m.joints, w.load, q.aft, SPRING, -s1 * f1)
    return held


@inner
def dampers(m: Model, w: Work, dt):
    """Viscous dampers: force at the axle in proportion to its speed up or down the arm's arc.

    What others give the arm in half a step is taken from the steps before (`note_gain`), what the damper gives
    it is solved for (implicit midpoint rule for the arm alone), so the stiffest damper stays stable.
    """
    for j in range(m.joints.shape[0]):
        a = m.joints[j]
        c = a.damp_bump if w.joint[j, RATE] < 0.0 else a.damp_droop
        lever = a.radius * math.cos(w.joint[j, ANGLE])
        half = 0.5 * dt / a.swing
        rate = w.joint[j, RATE] + w.joint[j, GAIN] - half * w.joint[j, DAMPER_MEAN]
        torque = -c * lever * lever * rate / (1.0 + half * c * lever * lever)
        keep_loss(w.joint, j, DAMPER_TORQUE, DAMPER_MEAN, torque)
        turn(m.joints, w.load, j, DAMPER, torque)


@inner
def frictions(m: Model, w: Work, dt):
    """Dry friction: an elastic grip that slips at its limit (Prandtl's element), so it truly holds at rest."""
    for j in range(m.joints.shape[0]):
        a = m.joints[j]
        if a.friction <= 0.0:
            continue
        limit = a.friction / a.friction_rate
        slip = w.joint[j, FRICTION_SLIP] + w.joint[j, RATE] * dt
        slip = min(max(slip, -limit), limit)
        w.joint[j, FRICTION_SLIP] = slip
        w.joint[j, FRICTION_TORQUE] = -a.friction_rate * slip
        turn(m.joints, w.load, j, FRICTION, -a.friction_rate * slip)


@inner
def stops(m: Model, w: Work, dt):
    """Pads at the ends of travel; force at the axle rate d (1 + damp d'), never a pull (Hunt and Crossley,
    J. Appl. Mech. 42 (1975) 440: the loss grows with depth, so contact starts and ends without a jump).

    The loss of a hard hit on a light arm would be unstable if it used the velocity before the step: like a
    damper's it is taken at the velocity in the middle of it.
    """
    for j in range(m.joints.shape[0]):
        a = m.joints[j]
        angle = w.joint[j, ANGLE]
        half = 0.5 * dt / a.swing
        rate = w.joint[j, RATE] + w.joint[j, GAIN] - half * w.joint[j, STOP_LOSS_MEAN]
        elastic = 0.0
        if angle < a.bump:
            elastic = a.pad_rate * a.radius * (a.bump - angle) * a.radius
        elif angle > a.droop:
            elastic = a.pad_rate * a.radius * (a.droop - angle) * a.radius
        c = abs(elastic) * a.pad_damp * a.radius
        loss = -c * rate / (1.0 + c * half)
        if (elastic + loss) * elastic < 0.0:
            loss = -elastic
        keep_loss(w.joint, j, STOP_LOSS, STOP_LOSS_MEAN, loss)
        w.joint[j, STOP_FORCE] = (elastic + loss) / a.radius
        if elastic != 0.0:
            turn(m.joints, w.load, j, STOP, elastic + loss)
