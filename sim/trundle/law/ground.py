"""Contact with the ground: tyres and band as distributed radial springs, the belly plate by its corners."""

from __future__ import annotations

import math

from trundle.law.compile import inner, merged
from trundle.law.work import BELLY, TYRE, TYRE_LOSS, Work
from trundle.model.arrays import BLOCK, GroundArrays, Model

(
    X, Y, VX, VY, NX, NY, LOAD, REACH, TRACTION, GAP, SLIP, ON_BAND, LOSS_X, LOSS_Y, LOSS_MEAN_X, LOSS_MEAN_Y,
    RIM, SHEAR, SLIPPED,
) = range(19)  # fmt: skip
"""Columns of Work.ring. REACH: distance from centre to ground, or the radius where it does not touch; LOSS: force
of the loss in the rubber, and its mean over the last two steps [N]. RIM: speed of the rim [m/s], SHEAR: shear
displacement of the tread [m], SLIPPED: slip of the step before [m/s], of a vehicle without a track."""


@inner
def push(load, pose, kind, b, x, y, fx, fy):
    """Apply force (fx, fy) [N] of `kind` to body b at world point (x, y) [m]."""
    load[kind, b, 0] += fx
    load[kind, b, 1] += fy
    load[kind, b, 2] += (x - pose[b, 0]) * fy - (y - pose[b, 1]) * fx


@inner
def cell(g: GroundArrays, x):
    """Grid interval that holds course position x [m], kept inside the grid."""
    i = int((x - g.x0) / g.dx)
    return min(max(i, 0), g.height.shape[0] - 2)


@inner
def height_at(g: GroundArrays, x):
    """Height of the ground at x [m]."""
    i = cell(g, x)
    share = (x - g.x0) / g.dx - i
    return g.height[i] + share * (g.height[i + 1] - g.height[i])


@inner
def highest(g: GroundArrays, first, last):
    """A height that no surface point of grid intervals first to last exceeds [m]."""
    top = g.block_top[first // BLOCK]
    for k in range(first // BLOCK + 1, last // BLOCK + 1):
        top = max(top, g.block_top[k])
    return top


@merged
def rings(m: Model, w: Work, dt):
    """Place every ring and press it on the ground. Returns the energy held in the rubber [J].

    Every surface point inside a ring pushes along its radius, rate * depth per metre of surface (Winkler
    bedding, Johnson, Contact Mechanics, section 4.3), more while it is being pressed in (`damp`).
    The pushes of a point are exactly the gradient of 1/2 rate depth^2, so the elastic part conserves energy.
    The loss is taken at the velocity in the middle of the step (trundle.law.pivots.note_gain); its own part in that
    is solved for, for what the ring is mounted on alone and with the last step's load (implicit midpoint rule):
    explicitly, a hard hit on a light arm would be unstable.
    """
    g = m.ground
    held = 0.0
    band = m.band[0]
    idler = -1
    if band.on != 0:
        idler = band.front if band.sprocket == band.rear else band.rear
    for i in range(m.rings.shape[0]):
        r = m.rings[i]
        b = r.body
        c, s = w.pose[b, 2], w.pose[b, 3]
        rx = r.x
        if i == idler:
            rx -= w.carry[0].idler_shift * band.tensioner_x
        ox, oy = c * rx - s * r.y, s * rx + c * r.y
        x, y = w.pose[b, 0] + ox, w.pose[b, 1] + oy
        spin = w.motion[b, 2] + w.gain[b, 2]
        vx, vy = w.motion[b, 0] + w.gain[b, 0] - spin * oy, w.motion[b, 1] + w.gain[b, 1] + spin * ox
        ease = 0.5 * dt / r.mass
        mx, my = vx - ease * w.ring[i, LOSS_MEAN_X], vy - ease * w.ring[i, LOSS_MEAN_Y]
        damp = r.damp / (1.0 + w.ring[i, LOAD] * r.damp * ease)
        radius = r.radius
        nearest = radius * radius
        ex, ey, lx, ly, energy = 0.0, 0.0, 0.0, 0.0, 0.0
        # Only points below the highest ground near by can be inside; on flat ground that is a short strip.
        rise = y - highest(g, cell(g, x - radius), cell(g, x + radius))
        half = radius if rise <= 0.0 else math.sqrt(max(radius * radius - rise * rise, 0.0))
        begin, end = g.point_from[cell(g, x - half)], g.point_from[cell(g, x + half) + 1] + 1
        for k in range(begin, end if rise < radius else begin):
            dx, dy = x - g.point_x[k], y - g.point_y[k]
            d2 = dx * dx + dy * dy
            if d2 >= radius * radius:
                continue
            nearest = min(nearest, d2)
            d = math.sqrt(d2)
            deep = radius - d
            nx, ny = dx / d, dy / d
            elastic = r.rate * g.point_w[k] * deep
            loss = max(-elastic, -elastic * damp * (mx * nx + my * ny))
            ex += elastic * nx
            ey += elastic * ny
            lx += loss * nx
            ly += loss * ny
            energy += 0.5 * elastic * deep
        held += energy
        fx, fy = ex + lx, ey + ly
        load = math.sqrt(fx * fx + fy * fy)
        w.ring[i, X], w.ring[i, Y], w.ring[i, VX], w.ring[i, VY] = x, y, vx, vy
        w.ring[i, LOAD] = load
        w.ring[i, LOSS_MEAN_X] = 0.5 * (w.ring[i, LOSS_X] + lx)
        w.ring[i, LOSS_MEAN_Y] = 0.5 * (w.ring[i, LOSS_Y] + ly)
        w.ring[i, LOSS_X], w.ring[i, LOSS_Y] = lx, ly
        w.ring[i, REACH] = math.sqrt(nearest)
        w.ring[i, TRACTION] = 0.0
        w.ring[i, SLIP] = 0.0
        if load > 0.0:
            w.ring[i, NX], w.ring[i, NY] = fx / load, fy / load
            push(w.load, w.pose, TYRE, b, x, y, ex, ey)
            push(w.load, w.pose, TYRE_LOSS, b, x, y, lx, ly)
        else:
            w.ring[i, NX], w.ring[i, NY] = 0.0, 1.0
    return held


@inner
def _belly_spot(m: Model, w: Work, x, y, deep, nx, ny):
    """Push the hull out of the ground at (x, y), with friction. Returns the normal force [N]."""
    h = m.hull[0]
    ox, oy = x - w.pose[0, 0], y - w.pose[0, 1]
    vx, vy = w.motion[0, 0] - w.motion[0, 2] * oy, w.motion[0, 1] + w.motion[0, 2] * ox
    normal = max(0.0, h.rate * deep * (1.0 - h.damp * (vx * nx + vy * ny)))
    # Friction grows with sliding speed up to its limit at 2 cm/s.
    slide = min(max((vx * ny - vy * nx) / 0.02, -1.0), 1.0)
    along = -h.grip * normal * slide
    push(w.load, w.pose, BELLY, 0, x, y, normal * nx + along * ny, normal * ny - along * nx)
    return normal


@inner
def _way_out(g: GroundArrays, x, y, straight_up):
    """Shortest way out of the ground for a point in it: distance [m] and direction.

    A corner that has run into a wall is out again after a few millimetres backwards, however high the wall.
    """
    nearest, nx, ny = straight_up, 0.0, 1.0
    begin, end = g.point_from[cell(g, x - straight_up)], g.point_from[cell(g, x + straight_up) + 1] + 1
    for k in range(begin, end):
        dx, dy = g.point_x[k] - x, g.point_y[k] - y
        d = math.sqrt(dx * dx + dy * dy)
        if 0.0 < d < nearest:
            nearest, nx, ny = d, dx / d, dy / d
    return nearest, nx, ny


@merged
def belly(m: Model, w: Work):
    """Corners of the belly against the ground and peaks of the ground against the belly.

    Returns the least clearance [m] (negative: pressed in) and the sum of the normal forces [N].
    """
    g = m.ground
    clear = 1e9
    total = 0.0
    c, s = w.pose[0, 2], w.pose[0, 3]
    px, py = 0.0, 0.0
    for k in range(m.belly.shape[0]):
        x = w.pose[0, 0] + c * m.belly[k, 0] - s * m.belly[k, 1]
        y = w.pose[0, 1] + s * m.belly[k, 0] + c * m.belly[k, 1]
        gap = y - height_at(g, x)
        clear = min(clear, gap)
        if gap < 0.0:
            deep, nx, ny = _way_out(g, x, y, -gap)
            total += _belly_spot(m, w, x, y, deep, nx, ny)
        if k > 0 and x > px:
            slope = (y - py) / (x - px)
            n = math.sqrt(1.0 + slope * slope)
            for q in range(g.peak_from[cell(g, px) + 1], g.peak_from[cell(g, x) + 1]):
                gap = py + slope * (g.peak_x[q] - px) - g.peak_y[q]
                clear = min(clear, gap)
                if gap < 0.0:
                    total += _belly_spot(m, w, g.peak_x[q], g.peak_y[q], -gap / n, -slope / n, 1.0 / n)
        px, py = x, y
    return clear, total
