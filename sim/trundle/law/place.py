"""Where the coming step will put each body, and how each joint stands there."""

from __future__ import annotations

import math

from trundle.law.compile import inner


@inner
def set_pose(v, s, w, dt):
    """Poses at x + v dt, from the bodies of State s, and each joint's angle and rate; dt [s]."""
    for b in range(v.nb):
        body, pose, motion = s.body[b], w.pose[b], w.motion[b]
        angle = body.angle_rad + body.spin_rad_s * dt
        pose.x = body.x_m + body.vx_m_s * dt
        pose.y = body.y_m + body.vy_m_s * dt
        pose.cos = math.cos(angle)
        pose.sin = math.sin(angle)
        pose.angle = angle
        motion.vx = body.vx_m_s
        motion.vy = body.vy_m_s
        motion.spin = body.spin_rad_s
    for j in range(v.nj):
        a, joint = v.joint[j], w.joint[j]
        joint.angle = -a.sign * (w.pose[a.child].angle - w.pose[a.parent].angle)
        joint.rate = -a.sign * (w.motion[a.child].spin - w.motion[a.parent].spin)
        joint.friction = 0.0
        joint.gain = -a.sign * (s.gain[a.child].spin_rad_s - s.gain[a.parent].spin_rad_s)


@inner
def turn(w, a, kind, torque):
    """Apply `torque` [N.m] in joint record a, positive towards a larger angle below horizontal."""
    w.load[kind, a.child, 2] -= a.sign * torque
    w.load[kind, a.parent, 2] += a.sign * torque


@inner
def push_ring(v, w, kind, i, fx, fy):
    """Apply force (fx, fy) [N] of `kind` at the centre of ring i, and note it there."""
    ring = w.ring[i]
    ring.push_x += fx
    ring.push_y += fy
    push(w, kind, v.ring[i].body, ring.x, ring.y, fx, fy)


@inner
def push(w, kind, b, x, y, fx, fy):
    """Apply force (fx, fy) [N] of `kind` to body b at world point (x, y) [m]."""
    w.load[kind, b, 0] += fx
    w.load[kind, b, 1] += fy
    w.load[kind, b, 2] += (x - w.pose[b].x) * fy - (y - w.pose[b].y) * fx
