"""What rolls, on the ground: tyres and band as distributed radial springs."""

from __future__ import annotations

import math

import numpy as np

from trundle.law.compile import inner
from trundle.law.ground import cell, highest, lines_between
from trundle.law.place import push_ring
from trundle.law.state import TYRE, TYRE_LOSS

FEW, MANY = 2, 4
"""Places at which the depth of a line is taken, a short one's and a long one's (Gauss's rule, any handbook of numerical
integration: exact for a third and a seventh power)."""

SHORT = 0.05
"""A piece whose half is less than this share of the ring's radius is short: two places will do there."""

_AT, _SHARE = (np.concatenate(pair) for pair in zip(*map(np.polynomial.legendre.leggauss, (FEW, MANY)), strict=True))


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
    """Push of the surface inside a ring, and its reach.

    r: the model's RING, ring: its RING_WORK; mx, my: velocity at which the loss is taken [m/s]; damp [s/m].
    Returns elastic force x, y, loss x, y [N], and the energy held [J].

    All surface inside a ring pushes along its radius, rate * depth per metre of surface (Winkler bedding, Johnson,
    Contact Mechanics, section 4.3), more while it is being pressed in (`damp`). The pushes are the gradient of
    1/2 rate depth^2, so the elastic part conserves energy. Rolling along a straight line loses nothing here: rubber's
    loss in that hardly depends on speed, and is the drag of trundle.law.drive and trundle.law.wheels. Each line of the
    surface is cut off where it leaves the ring and the depth over the rest summed by Gauss's rule: on level ground it
    is the same wherever the ring stands, within 5e-4 of the closed form (trundle.model.rubber.ring_load) with the ring
    pressed in by a fifth of its radius, 5e-6 by a twentieth.
    """
    x, y, radius = ring.x, ring.y, r.radius
    whole = radius * radius
    nearest = whole
    ring.away_x, ring.away_y = 0.0, 0.0
    ex, ey, lx, ly, energy = 0.0, 0.0, 0.0, 0.0, 0.0
    # Only lines below the highest ground near by can be inside; on flat ground that is a short strip.
    rise = y - highest(g, cell(g, x - radius), cell(g, x + radius))
    half = radius if rise <= 0.0 else math.sqrt(max(whole - rise * rise, 0.0))
    begin, end = lines_between(g, x - half, x + half)
    for k in range(begin, end if rise < radius else begin):
        line = g.lines[k]
        # The centre above the line, and its foot along it.
        above = (y - line.y) * line.tx - (x - line.x) * line.ty
        foot = (x - line.x) * line.tx + (y - line.y) * line.ty
        near = min(max(-foot, 0.0), line.length - foot)
        distance2 = above * above + near * near
        if distance2 >= whole:
            continue
        if distance2 < nearest:
            nearest = distance2
            off = foot - min(max(foot, 0.0), line.length)
            ring.away_x, ring.away_y = off * line.tx - above * line.ty, off * line.ty + above * line.tx
        chord = math.sqrt(whole - above * above)
        first, last = max(-foot, -chord), min(line.length - foot, chord)
        middle, width = 0.5 * (first + last), 0.5 * (last - first)
        up, along, up_loss, along_loss = 0.0, 0.0, 0.0, 0.0
        # Where it stands on the line as far behind its foot as ahead, it rolls.
        rolls = 0.0
        if last != -first:
            rolls = math.sqrt(1.0 - max(0.0, min(-first, last)) / max(-first, last))
        m_up, m_along = my * line.tx - mx * line.ty, (mx * line.tx + my * line.ty) * rolls
        begin_q, end_q = (0, FEW) if width < SHORT * radius else (FEW, FEW + MANY)
        for q in range(begin_q, end_q):
            t = middle + width * _AT[q]
            d = math.sqrt(above * above + t * t)
            deep = radius - d
            elastic = r.rate * (width * _SHARE[q]) * deep
            per = 1.0 / d
            n_up, n_along = above * per, -t * per
            loss = max(-elastic, -elastic * damp * (m_up * n_up + m_along * n_along))
            up += elastic * n_up
            along += elastic * n_along
            up_loss += loss * n_up
            along_loss += loss * n_along * rolls
            energy += 0.5 * elastic * deep
        ex += along * line.tx - up * line.ty
        ey += along * line.ty + up * line.tx
        lx += along_loss * line.tx - up_loss * line.ty
        ly += along_loss * line.ty + up_loss * line.tx
    ring.reach = math.sqrt(nearest)
    ring.away_x, ring.away_y = ring.away_x / ring.reach, ring.away_y / ring.reach
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
        ring.push_x, ring.push_y = 0.0, 0.0
        ring.nx, ring.ny = 0.0, 1.0
        if load > 0.0:
            ring.nx, ring.ny = fx / load, fy / load
            push_ring(v, w, TYRE, i, ex, ey)
            push_ring(v, w, TYRE_LOSS, i, lx, ly)
    return held
