"""What takes energy in a pivot: dampers, dry friction; and the stops, whose pads lose some.

A loss belongs to the speed at the end of the step, where the forces are. What others give an arm in half a step is
taken from the steps before (`note_gain`); what the loss itself gives is solved for (implicit midpoint rule for the arm
alone), so that the stiffest damper and the hardest hit on a light arm stay stable.
"""

from __future__ import annotations

import math

from trundle.law.compile import inner
from trundle.law.place import turn
from trundle.law.state import DAMPER, FRICTION, STOP


@inner
def note_gain(v, s, w):
    """Note in State s how much half a step adds to each velocity, from the bodies before (w.motion) and after the step.

    The velocity that carries the bodies through a step belongs to the middle of it, forces to its end: a loss
    worked out from that velocity as it stands would be half a step late, a fault of first order in the step.
    So half a step's gain goes on top, as the mean of the last two steps has it. (From the last step alone, an
    arm that rings from one step to the next between tyre and stop would seem twice as fast as it is, and a
    loss that is too great feeds the ringing; over two steps such a gain is nothing.)
    """
    for b in range(v.nb):
        body, was, gain = s.body[b], w.motion[b], s.gain[b]
        vx, vy, spin = body.vx_m_s - was.vx, body.vy_m_s - was.vy, body.spin_rad_s - was.spin
        gain.vx_m_s = 0.25 * (vx + gain.last_vx_m_s)
        gain.vy_m_s = 0.25 * (vy + gain.last_vy_m_s)
        gain.spin_rad_s = 0.25 * (spin + gain.last_spin_rad_s)
        gain.last_vx_m_s, gain.last_vy_m_s, gain.last_spin_rad_s = vx, vy, spin


@inner
def dampers(v, s, w, dt):
    """Viscous dampers: force at the axle in proportion to its speed up or down the arm's arc."""
    for j in range(v.nj):
        a, joint, was, kept = v.joint[j], w.joint[j], s.law.joint[j], w.next.joint[j]
        c = a.damp_bump if joint.rate < 0.0 else a.damp_droop
        lever = a.radius * math.cos(joint.angle)
        half = 0.5 * dt / a.swing
        rate = joint.rate + joint.gain - half * was.damper_mean_Nm
        torque = -c * lever * lever * rate / (1.0 + half * c * lever * lever)
        kept.damper_mean_Nm = 0.5 * (was.damper_Nm + torque)
        kept.damper_Nm = torque
        turn(w, a, DAMPER, torque)


@inner
def frictions(v, s, w, dt):
    """Dry friction: an elastic grip that slips at its limit (Prandtl's element), so it truly holds at rest."""
    for j in range(v.nj):
        a, joint = v.joint[j], w.joint[j]
        if a.friction <= 0.0:
            continue
        limit = a.friction / a.friction_rate
        slip = s.law.joint[j].dry_slip_rad + joint.rate * dt
        slip = min(max(slip, -limit), limit)
        w.next.joint[j].dry_slip_rad = slip
        joint.friction = -a.friction_rate * slip
        turn(w, a, FRICTION, joint.friction)


@inner
def pad_torque(a, turned):
    """What a pad puts on its pivot when the arm has turned so far beyond the stop [N.m]: by its one rate, or by the
    piece of its law that it has come to.
    """
    if a.pad_pieces == 0:
        return a.pad_rate * a.radius * turned * a.radius
    pressed = a.radius * turned
    last = 0
    while last + 1 < a.pad_pieces and a.pad[last + 1].begins <= pressed:
        last += 1
    piece = a.pad[last]
    u = pressed - piece.begins
    return (piece.force + u * (piece.rate + u * (piece.square + u * piece.cube))) * a.radius


@inner
def stops(v, s, w, dt):
    """Pads at the ends of travel; force at the axle f(d) (1 + damp d'), never a pull (Hunt and Crossley,
    J. Appl. Mech. 42 (1975) 440: the loss grows with depth, so contact starts and ends without a jump).
    """
    for j in range(v.nj):
        a, joint, was, kept = v.joint[j], w.joint[j], s.law.joint[j], w.next.joint[j]
        half = 0.5 * dt / a.swing
        rate = joint.rate + joint.gain - half * was.stop_loss_mean_Nm
        elastic = 0.0
        if joint.angle < a.bump:
            elastic = pad_torque(a, a.bump - joint.angle)
        elif joint.angle > a.droop:
            elastic = -pad_torque(a, joint.angle - a.droop)
        c = abs(elastic) * a.pad_damp * a.radius
        loss = -c * rate / (1.0 + c * half)
        if (elastic + loss) * elastic < 0.0:
            loss = -elastic
        kept.stop_loss_mean_Nm = 0.5 * (was.stop_loss_Nm + loss)
        kept.stop_loss_Nm = loss
        joint.stop = (elastic + loss) / a.radius
        if elastic != 0.0:
            turn(w, a, STOP, elastic + loss)
