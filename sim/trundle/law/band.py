"""The track as a taut band: tension from the loop's length, traction built up contact by contact.

Every bend is a force, tension times the change of direction. Upward bends press on the ring there, downward
bends on the ground. A ring that stands on the ground also takes up traction: the tension before and after
it differ by its pull, along the ground's slope there. Forces act on both ends of every span, so what the
track does to the vehicle equals what the ground does to the track, to rounding.
"""

from __future__ import annotations

import math

from trundle.law.compile import merged
from trundle.law.contacts import contacts
from trundle.law.drive import ALONG_X, ALONG_Y, NODE, PULL, run_on, set_target
from trundle.law.ground import LOAD, X, Y, push
from trundle.law.laid import band_path, gaps
from trundle.law.path import LENGTH, TENSION, TX, TY
from trundle.law.tension import pressed_in, solve_tension
from trundle.law.work import TRACK, Work
from trundle.model.arrays import Model

LOOSEN_S = 0.01
"""Time in which a band that begins to hang loose, or stops to, passes from one way of running to the other [s]."""


@merged
def track(m: Model, w: Work, dt):
    """Everything the track does in one step (dt = 0: standing still, no traction)."""
    b = m.band[0]
    n, path, in_x, in_y, out_x, out_y = band_path(m, w)
    count, growth = contacts(m, w, n)
    if dt > 0.0:
        set_target(m, w, dt)
        # The motor stands on the hull: as the hull pitches, the sprocket turns with it.
        run_on(m, w, count, m.rings[b.sprocket].radius * (w.motion[0, 2] + w.gain[0, 2]), dt)

    # Tension of each piece above that of the foremost lower span. Going forward it drops at every contact by
    # its pull, and at every ring by what the band's own inertia and drag take; it rises at the sprocket.
    push_on, total = w.carry[0].push, w.carry[0].traction
    if dt <= 0.0:
        push_on, total = 0.0, 0.0
    # Each straight piece goes with half the arcs at its ends: its length from here on.
    top_length = path
    for k in range(n - 1):
        w.span[k, LENGTH] += 0.5 * (w.arc[k] + w.arc[k + 1])
        top_length -= w.span[k, LENGTH]
    # Bearings and the bends round the rings take the drag, and pass it to the vehicle; the ground, where the band
    # stands still on it, does not.
    spread = 0.0
    for k in range(n):
        before = w.span[k - 1, LENGTH] if k > 0 else top_length
        after = w.span[k, LENGTH] if k < n - 1 else top_length
        w.jump[k] = before + after if w.node_ring[k] >= 0 else 0.0
        spread += w.jump[k]
    for k in range(n):
        w.jump[k] *= (push_on - total) / spread
        if w.node_ring[k] == b.sprocket:
            w.jump[k] -= push_on
    for q in range(count):
        w.jump[int(w.contact[q, NODE])] += w.contact[q, PULL]
    top = -w.jump[n - 1]
    least, stretch = min(0.0, top), top * top_length / b.stretch
    above = 0.0
    for k in range(n - 2, -1, -1):
        w.span[k, TENSION] = above
        least = min(least, above)
        stretch += above * w.span[k, LENGTH] / b.stretch
        above += w.jump[k]

    out = w.carry[0]
    at_rear = b.sprocket == b.rear
    # Pull on the idler along its tensioner: lever times the slack side's tension, and what its own two pieces
    # carry above that. While it stands on the ground itself the tensioner does not move: the ground's push would
    # be part of the balance, and has no answer of its own within a step.
    lever, hold = 0.0, b.tensioner_preload
    free = w.ring[b.front if at_rear else b.rear, LOAD] <= 0.0
    if b.tensioner_rate > 0.0 and free:
        c, s = w.pose[0, 2], w.pose[0, 3]
        px, py = c * b.tensioner_x - s * b.tensioner_y, s * b.tensioner_x + c * b.tensioner_y
        if at_rear:
            below = w.span[n - 2, TX] * px + w.span[n - 2, TY] * py
            over = -(out_x * px + out_y * py)
            hold -= below * w.span[n - 2, TENSION] + over * top
        else:
            below = -(w.span[0, TX] * px + w.span[0, TY] * py)
            over = in_x * px + in_y * py
            hold -= below * w.span[0, TENSION] + over * top
        lever = max(below + over, 0.0)
    spare = 0.0
    # A top span never hangs deeper than a quarter of its length: from there on it lies on something.
    floor = max(0.5 * b.weight * b.longest - top, -least)
    if w.carry[0].fixed_tension >= 0.0:
        tension = w.carry[0].fixed_tension
    else:
        base = b.length - path + stretch
        tension, spare = solve_tension(
            b, floor, top, base, path, lever, w.carry[0].idler_shift, hold, w.carry[0].tension
        )
    shift = out.idler_shift
    if free:
        shift, _ = pressed_in(b, tension, lever, hold)
    upper = tension + top

    tight, slack, held = upper, upper, 0.5 * upper * upper * top_length / b.stretch
    for k in range(n - 1):
        t = w.span[k, TENSION] + tension
        w.span[k, TENSION] = t
        tight = max(tight, t)
        slack = min(slack, t)
        held += 0.5 * t * t * w.span[k, LENGTH] / b.stretch
    held -= 2.0 * b.weight * b.weight * b.sag_sum / (24.0 * upper)
    held += b.tensioner_preload * shift + 0.5 * b.tensioner_rate * shift * shift

    held_x, held_y, track_x, track_y, span_n = 0.0, 0.0, 0.0, 0.0, 0.0
    forward = count == 0 or w.contact[0, NODE] < w.contact[count - 1, NODE]
    q = 0 if forward else count - 1
    for k in range(n):
        gx, gy = 0.0, 0.0
        if 0 <= q < count and int(w.contact[q, NODE]) == k:
            gx, gy = w.contact[q, PULL] * w.contact[q, ALONG_X], w.contact[q, PULL] * w.contact[q, ALONG_Y]
            q += 1 if forward else -1
        before = w.span[k - 1, TENSION] if k > 0 else upper
        after = w.span[k, TENSION] if k < n - 1 else upper
        ax, ay = (w.span[k - 1, TX], w.span[k - 1, TY]) if k > 0 else (in_x, in_y)
        bx, by = (w.span[k, TX], w.span[k, TY]) if k < n - 1 else (out_x, out_y)
        fx, fy = after * bx - before * ax, after * by - before * ay
        i = w.node_ring[k]
        if i >= 0:
            fx += gx
            fy += gy
            held_x += gx
            held_y += gy
            track_x += fx
            track_y += fy
            push(w.load, w.pose, TRACK, m.rings[i].body, w.ring[i, X], w.ring[i, Y], fx, fy)
        else:
            held_x -= fx
            held_y -= fy
            span_n += math.sqrt(fx * fx + fy * fy)
    # Return rollers, all on the hull; and the sprocket's torque, held by the motor's mounts.
    c, s = w.pose[0, 2], w.pose[0, 3]
    rx, ry = upper * (c * b.push_x - s * b.push_y), upper * (s * b.push_x + c * b.push_y)
    w.load[TRACK, 0, 0] += rx
    w.load[TRACK, 0, 1] += ry
    w.load[TRACK, 0, 2] += upper * b.push_moment + m.rings[b.sprocket].radius * push_on
    gaps(m.rings, w.ring, w.node_xy, w.span, n)
    # Energy at the loose place. A loose band stores nothing, so what its tension does on the growth of the
    # loop (of the lower run, less what the tensioner's idler gives back) is gone; and while the band passes from
    # one way of running to the other (LOOSEN_S) the slip is that of neither. Both are worked out and entered, so
    # that the ledger's rest is the engine's own error.
    way = 1.0 if at_rear else -1.0
    give = lever * (shift - out.idler_shift)
    done = (upper if spare > 0.0 else 0.0) + way * out.over_top * total
    w.ledger[0].loose += done * way * growth * dt - 0.5 * (done + out.loose_N) * give
    out.loose_N = done
    # While the band reaches the ground over the top, what the idler gives back slips there. It is entered as slip
    # here; letting the contacts feel it, a step late, would be unstable.
    w.ledger[0].slip += way * give * out.over_top * 0.5 * (total + out.pulled)
    out.pulled = total
    out.loose += ((1.0 if spare > 0.0 else 0.0) - out.loose) * min(1.0, dt / LOOSEN_S)
    out.tension = tension
    out.top_tension = upper
    out.tight = tight
    out.slack = slack
    out.idler_shift = shift
    out.lever = lever
    out.path = path
    out.spare = spare
    out.band_J = held
    out.span_N = span_n
    out.held_x = held_x
    out.held_y = held_y
    out.track_x = track_x + rx
    out.track_y = track_y + ry
