"""What rolls, on the ground: tyres and band as distributed radial springs."""

from __future__ import annotations

import math

from trundle.law.compile import inner
from trundle.law.ground import cell, highest, points_between
from trundle.law.place import push
from trundle.law.state import TYRE, TYRE_LOSS


@inner
def place_ring(v, s, w, i):
    """Centre of ring i and its velocity at the end of the step."""
    r, ring = v.ring[i], w.ring[i]
    b = r.body
    pose, motion, gain = w.pose[b], w.motion[b], s.gain[b]
    rx = r.x
    if i == v.band.idler:
        rx -= s.law.band.idler_shift_m * v.band.tensioner_x
    ox, oy = pose.cos * rx - pose.sin * r.y, pose.sin * rx + pose.cos * r.y
    spin = motion.spin + gain.spin_rad_s
    ring.x, ring.y = pose.x + ox, pose.y + oy
    ring.vx, ring.vy = motion.vx + gain.vx_m_s - spin * oy, motion.vy + gain.vy_m_s + spin * ox


@inner
def press_ring(g, r, ring, mx, my, damp):
    """Push of every surface point inside a ring, and its reach.

    r: the model's RING, ring: its RING_WORK; mx, my: velocity at which the loss is taken [m/s]; damp [s/m].
    Returns elastic force x, y, loss x, y [N], and the energy held [J].

    Every surface point inside a ring pushes along its radius, rate * depth per metre of surface (Winkler
    bedding, Johnson, Contact Mechanics, section 4.3), more while it is being pressed in (`damp`).
    The pushes of a point are exactly the gradient of 1/2 rate depth^2, so the elastic part conserves energy.
    """
    x, y, radius = ring.x, ring.y, r.radius
    nearest = radius * radius
    ex, ey, lx, ly, energy = 0.0, 0.0, 0.0, 0.0, 0.0
    # Only points below the highest ground near by can be inside; on flat ground that is a short strip.
    rise = y - highest(g, cell(g, x - radius), cell(g, x + radius))
    half = radius if rise <= 0.0 else math.sqrt(max(radius * radius - rise * rise, 0.0))
    begin, end = points_between(g, x - half, x + half)
    for k in range(begin, end if rise < radius else begin):
        point = g.points[k]
        dx, dy = x - point.x, y - point.y
        d2 = dx * dx + dy * dy
        if d2 >= radius * radius:
            continue
        nearest = min(nearest, d2)
        d = math.sqrt(d2)
        deep = radius - d
        nx, ny = dx / d, dy / d
        elastic = r.rate * point.w * deep
        loss = max(-elastic, -elastic * damp * (mx * nx + my * ny))
        ex += elastic * nx
        ey += elastic * ny
        lx += loss * nx
        ly += loss * ny
        energy += 0.5 * elastic * deep
    ring.reach = math.sqrt(nearest)
    return ex, ey, lx, ly, energy


@inner
def rings(v, g, s, w, dt):
    """Place every ring and press it on the ground. Returns the energy held in the rubber [J].

    The loss is taken at the velocity at the end of the step (trundle.law.losses); its own part in that is solved for,
    for what the ring is mounted on alone and with the last step's load.
    """
    held = 0.0
    for i in range(v.nr):
        r, ring, was, kept = v.ring[i], w.ring[i], s.law.ring[i], w.next.ring[i]
        place_ring(v, s, w, i)
        ease = 0.5 * dt / r.mass
        mx, my = ring.vx - ease * was.loss_mean_x_N, ring.vy - ease * was.loss_mean_y_N
        damp = r.damp / (1.0 + was.load_N * r.damp * ease)
        ex, ey, lx, ly, energy = press_ring(g, r, ring, mx, my, damp)
        held += energy
        fx, fy = ex + lx, ey + ly
        load = math.sqrt(fx * fx + fy * fy)
        ring.load, kept.load_N = load, load
        kept.loss_mean_x_N = 0.5 * (was.loss_x_N + lx)
        kept.loss_mean_y_N = 0.5 * (was.loss_y_N + ly)
        kept.loss_x_N, kept.loss_y_N = lx, ly
        ring.traction, ring.slip, ring.gap, ring.on_band = 0.0, 0.0, 0.0, 0
        ring.nx, ring.ny = 0.0, 1.0
        if load > 0.0:
            ring.nx, ring.ny = fx / load, fy / load
            push(w, TYRE, r.body, ring.x, ring.y, ex, ey)
            push(w, TYRE_LOSS, r.body, ring.x, ring.y, lx, ly)
    return held
