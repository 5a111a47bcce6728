"""What the pivots carry. pymunk holds them together; the first guess of their forces is ours.

pymunk would keep the impulse of each joint from step to step, out of sight, to start its iterations from. That would be
a part of the run that no State holds. So its own memory is cut off (trundle.engine.space), and the forces that the
pivots carried in the last step go in with the others; pymunk adds what is still wanting.
"""

from __future__ import annotations

from trundle.law.compile import inner


@inner
def lean_on(v, s, w):
    """Add to w.force what each pivot carried in the last step, on both its bodies, where the step will put them."""
    for j in range(v.nj):
        a, carried = v.joint[j], s.pivot[j]
        parent, child = w.pose[a.parent], w.pose[a.child]
        fx, fy = carried.pivot_x_N, carried.pivot_y_N
        hx, hy = parent.cos * a.px - parent.sin * a.py, parent.sin * a.px + parent.cos * a.py
        kx, ky = child.cos * a.cx - child.sin * a.cy, child.sin * a.cx + child.cos * a.cy
        w.force[a.parent, 0] -= fx
        w.force[a.parent, 1] -= fy
        w.force[a.parent, 2] -= hx * fy - hy * fx
        w.force[a.child, 0] += fx
        w.force[a.child, 1] += fy
        w.force[a.child, 2] += kx * fy - ky * fx


@inner
def note_pivots(v, s, w, dt):
    """Note in State s what each pivot carried in the step just done: what a child's momentum changed by that no force
    put into it explains, and what its own children passed on."""
    for j in range(v.nj):
        w.passed[j, 0], w.passed[j, 1] = 0.0, 0.0
    # A child comes after its parent: from the last to the first, what is passed on is known when it is asked for.
    for step in range(v.nj):
        j = v.nj - 1 - step
        c, parent = v.joint[j].child, v.joint[j].parent
        body, was, mass = s.body[c], w.motion[c], v.body[c].mass
        x = mass * (body.vx_m_s - was.vx) / dt - w.force[c, 0] + w.passed[j, 0]
        y = mass * ((body.vy_m_s - was.vy) / dt + v.gravity) - w.force[c, 1] + w.passed[j, 1]
        s.pivot[j].pivot_x_N += x
        s.pivot[j].pivot_y_N += y
        if parent > 0:
            w.passed[parent - 1, 0] += x
            w.passed[parent - 1, 1] += y
