"""The belly plate on the ground: its corners against the ground, and peaks of the ground against it.

Each pushes by the shortest way out: a corner out of the ground, a peak out of the hull. Loss and friction are taken at
the speed at the end of the step as far as the belly's own push makes it, so that the stiffest plate under a light hull
neither rings nor gains from step to step.
"""

from __future__ import annotations

import math

from trundle.law.compile import inner
from trundle.law.ground import height_at, lines_between, peaks_inside
from trundle.law.place import push
from trundle.law.state import BELLY

SLIDE_M_S = 0.02
"""Sliding speed at which friction has grown to its limit [m/s]."""


@inner
def nearest_on(ax, ay, bx, by, x, y):
    """The point of the line from a to b that is nearest to (x, y) [m]."""
    dx, dy = bx - ax, by - ay
    share = min(max(((x - ax) * dx + (y - ay) * dy) / (dx * dx + dy * dy), 0.0), 1.0)
    return ax + share * dx, ay + share * dy


@inner
def out_of_ground(g, x, y, straight_up):
    """Shortest way out of the ground for a point in it: distance [m] and direction.

    A corner that has run into a wall is out again after a few millimetres backwards, however high the wall.
    """
    deep, nx, ny = straight_up, 0.0, 1.0
    begin, end = lines_between(g, x - straight_up, x + straight_up)
    for k in range(begin, end):
        line = g.lines[k]
        px, py = nearest_on(line.x, line.y, line.x + line.length * line.tx, line.y + line.length * line.ty, x, y)
        d = math.sqrt((px - x) ** 2 + (py - y) ** 2)
        if 1e-12 < d < deep:
            deep, nx, ny = d, (px - x) / d, (py - y) / d
    return deep, nx, ny


@inner
def corner_at(pose, corner):
    """World place of a corner of the outline [m]."""
    return pose.x + pose.cos * corner.x - pose.sin * corner.y, pose.y + pose.sin * corner.x + pose.cos * corner.y


@inner
def out_of_hull(pose, outline, x, y, deep, nx, ny):
    """Shortest way for the hull off a peak of the ground inside it, at most (deep, nx, ny): distance [m], direction and
    where it pushes [m].

    The file says nothing of the hull above its first and last corner: it ends upright there. So the edge of a wall that
    its nose has run into is a few millimetres behind the nose, however far above the belly.
    """
    at_x, at_y = x, y
    last = outline.shape[0] - 1
    ax, ay = corner_at(pose, outline[0])
    if ay < y and x - ax < deep:
        deep, nx, ny, at_x, at_y = x - ax, 1.0, 0.0, ax, ay
    for k in range(last):
        bx, by = corner_at(pose, outline[k + 1])
        px, py = nearest_on(ax, ay, bx, by, x, y)
        d = math.sqrt((px - x) ** 2 + (py - y) ** 2)
        if 1e-12 < d < deep:
            deep, nx, ny, at_x, at_y = d, (x - px) / d, (y - py) / d, x, y
        ax, ay = bx, by
    if ay < y and ax - x < deep:
        deep, nx, ny, at_x, at_y = ax - x, -1.0, 0.0, ax, ay
    return deep, nx, ny, at_x, at_y


@inner
def ease_of(v, ox, oy, nx, ny):
    """What a push of 1 N in direction n, at (ox, oy) from the hull's centre of mass, moves there: 1 / mass [1/kg]."""
    lever = ox * ny - oy * nx
    return 1.0 / v.body[0].mass + lever * lever / v.body[0].inertia


@inner
def spot(v, w, x, y, deep, nx, ny, dt, weigh):
    """Push the hull out of the ground at (x, y), with friction. Returns the normal force [N].

    weigh: only add what the push does to the speed within the step into w.belly (see `belly`).
    """
    h, motion, own = v.hull, w.motion[0], w.belly
    ox, oy = x - w.pose[0].x, y - w.pose[0].y
    vx, vy = motion.vx - motion.spin * oy, motion.vy + motion.spin * ox
    elastic = h.rate * deep
    if weigh:
        half = 0.5 * dt * ease_of(v, ox, oy, nx, ny)
        own.gain += elastic * half
        own.hold += elastic * h.damp * half
        own.rub += h.grip * elastic / SLIDE_M_S * dt * ease_of(v, ox, oy, ny, -nx)
        return elastic
    loss = -elastic * h.damp * (vx * nx + vy * ny + own.gain) / (1.0 + own.hold)
    normal = max(0.0, elastic + loss)
    slide = min(max((vx * ny - vy * nx) / SLIDE_M_S / (1.0 + own.rub), -1.0), 1.0)
    along = -h.grip * normal * slide
    push(w, BELLY, 0, x, y, normal * nx + along * ny, normal * ny - along * nx)
    return normal


@inner
def touch(v, outline, g, w, dt, weigh):
    """Every place where belly and ground press on each other. Returns the least clearance [m] and the sum of the
    normal forces [N]."""
    clear = 1e9
    total = 0.0
    pose = w.pose[0]
    px, py = 0.0, 0.0
    for k in range(outline.shape[0]):
        x, y = corner_at(pose, outline[k])
        gap = y - height_at(g, x)
        clear = min(clear, gap)
        if gap < 0.0:
            deep, nx, ny = out_of_ground(g, x, y, -gap)
            total += spot(v, w, x, y, deep, nx, ny, dt, weigh)
        if k > 0 and x > px:
            slope = (y - py) / (x - px)
            n = math.sqrt(1.0 + slope * slope)
            first, last = peaks_inside(g, px, x)
            for q in range(first, last):
                peak = g.peaks[q]
                if not px < peak.x < x:
                    continue
                gap = py + slope * (peak.x - px) - peak.y
                clear = min(clear, gap)
                if gap < 0.0:
                    normal = -gap / n, -slope / n, 1.0 / n
                    deep, nx, ny, at_x, at_y = out_of_hull(pose, outline, peak.x, peak.y, *normal)
                    total += spot(v, w, at_x, at_y, deep, nx, ny, dt, weigh)
        px, py = x, y
    return clear, total


@inner
def belly(v, outline, g, w, dt):
    """Returns the least clearance [m] (negative: pressed in) and the sum of the normal forces [N].

    Twice through: first what all places together do to the speed within the step, then, if any does, the pushes.
    """
    own = w.belly
    own.gain, own.hold, own.rub = 0.0, 0.0, 0.0
    clear, total = touch(v, outline, g, w, dt, True)
    if total > 0.0:
        clear, total = touch(v, outline, g, w, dt, False)
    return clear, total
