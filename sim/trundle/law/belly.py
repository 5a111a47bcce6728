"""The belly plate on the ground: its corners against the ground, and peaks of the ground against it."""

from __future__ import annotations

import math

from trundle.law.compile import inner
from trundle.law.ground import height_at, peaks_inside, points_between
from trundle.law.place import push
from trundle.law.state import BELLY

SLIDE_M_S = 0.02
"""Sliding speed at which friction has grown to its limit [m/s]."""


@inner
def spot(v, w, x, y, deep, nx, ny):
    """Push the hull out of the ground at (x, y), with friction. Returns the normal force [N]."""
    h, motion = v.hull, w.motion[0]
    ox, oy = x - w.pose[0].x, y - w.pose[0].y
    vx, vy = motion.vx - motion.spin * oy, motion.vy + motion.spin * ox
    normal = max(0.0, h.rate * deep * (1.0 - h.damp * (vx * nx + vy * ny)))
    slide = min(max((vx * ny - vy * nx) / SLIDE_M_S, -1.0), 1.0)
    along = -h.grip * normal * slide
    push(w, BELLY, 0, x, y, normal * nx + along * ny, normal * ny - along * nx)
    return normal


@inner
def shortest_out(g, x, y, straight_up):
    """Shortest way out of the ground for a point in it: distance [m] and direction.

    A corner that has run into a wall is out again after a few millimetres backwards, however high the wall.
    """
    nearest, nx, ny = straight_up, 0.0, 1.0
    begin, end = points_between(g, x - straight_up, x + straight_up)
    for k in range(begin, end):
        dx, dy = g.points[k].x - x, g.points[k].y - y
        d = math.sqrt(dx * dx + dy * dy)
        if 0.0 < d < nearest:
            nearest, nx, ny = d, dx / d, dy / d
    return nearest, nx, ny


@inner
def belly(v, outline, g, w):
    """Returns the least clearance [m] (negative: pressed in) and the sum of the normal forces [N]."""
    clear = 1e9
    total = 0.0
    pose = w.pose[0]
    px, py = 0.0, 0.0
    for k in range(outline.shape[0]):
        corner = outline[k]
        x = pose.x + pose.cos * corner.x - pose.sin * corner.y
        y = pose.y + pose.sin * corner.x + pose.cos * corner.y
        gap = y - height_at(g, x)
        clear = min(clear, gap)
        if gap < 0.0:
            deep, nx, ny = shortest_out(g, x, y, -gap)
            total += spot(v, w, x, y, deep, nx, ny)
        if k > 0 and x > px:
            slope = (y - py) / (x - px)
            n = math.sqrt(1.0 + slope * slope)
            first, last = peaks_inside(g, px, x)
            for q in range(first, last):
                peak = g.peaks[q]
                gap = py + slope * (peak.x - px) - peak.y
                clear = min(clear, gap)
                if gap < 0.0:
                    total += spot(v, w, peak.x, peak.y, -gap / n, -slope / n, 1.0 / n)
        px, py = x, y
    return clear, total
