"""The track as a taut band: tension from the loop's length, traction built up contact by contact.

Every bend is a force, tension times the change of direction. Upward bends press on the ring there, downward
bends on the ground. A ring that stands on the ground also takes up traction: the tension before and after
it differ by its pull, along the ground's slope there. Forces act on both ends of every span, so what the
track does to the vehicle equals what the ground does to the track, to rounding.
"""

from __future__ import annotations

import math

from sim.law.compile import inner, merged
from sim.law.drive import ALONG_X, ALONG_Y, GRIP, NODE, OFFSET, PULL, RING, run_on, set_target
from sim.law.ground import GAP, LOAD, NX, NY, ON_BAND, REACH, VX, VY, X, Y, push
from sim.law.path import LENGTH, TENSION, TX, TY, above, bend, lay, open_place, slight_bend
from sim.law.work import TRACK, Work
from sim.model.arrays import Model

LOOSEN_S = 0.01
"""Time in which a band that begins to hang loose, or stops to, passes from one way of running to the other [s]."""


@inner
def _mark(ring, node_ring, n):
    """Note at every ring whether the band bends or presses there, that is whether it is a node."""
    for i in range(ring.shape[0]):
        ring[i, ON_BAND] = 0.0
    for k in range(n):
        if node_ring[k] >= 0:
            ring[node_ring[k], ON_BAND] = 1.0


@inner
def _span_under(node_xy, n, x):
    """Number of the span below course position x."""
    k = 0
    while k < n - 2 and node_xy[k + 1, 0] <= x:
        k += 1
    return k


@inner
def _split(ring, node_ring, node_xy, span, n, i):
    """Make ring i, which the band passes without a bend, a node of the span below it."""
    x, y = ring[i, X], ring[i, Y]
    k = _span_under(node_xy, n, x)
    n = open_place(node_ring, node_xy, span, n, k)
    node_ring[k + 1] = i
    node_xy[k + 1, 0] = x
    node_xy[k + 1, 1] = y
    node_xy[k + 1, 2] = ring[i, REACH]
    whole = span[k, LENGTH]
    along = (x - node_xy[k, 0]) * span[k, TX] + (y - node_xy[k, 1]) * span[k, TY]
    along = min(max(along, 0.0), whole)
    span[k, LENGTH] = along
    span[k + 1, TX] = span[k, TX]
    span[k + 1, TY] = span[k, TY]
    span[k + 1, LENGTH] = whole - along
    return n


@inner
def _gaps(rings, ring, node_xy, span, n):
    """How far each road wheel stands off the band."""
    for i in range(ring.shape[0]):
        ring[i, GAP] = 0.0
        if ring[i, ON_BAND] == 0.0:
            x, y = ring[i, X], ring[i, Y]
            off = above(node_xy, span, _span_under(node_xy, n, x), x, y)
            ring[i, GAP] = max(0.0, off - rings[i].radius)


@inner
def _wrap(ax, ay, bx, by):
    """Angle turned to the left from direction a to direction b, 0 to 2 pi [rad]."""
    turned = math.atan2(ax * by - ay * bx, ax * bx + ay * by)
    return turned if turned >= 0.0 else turned + 2.0 * math.pi


@merged
def band_path(m: Model, w: Work):
    """Lay the whole loop. Returns the number of nodes, the loop's length without sag [m], and the directions
    (world) in which the band reaches the rear end and leaves the front end on top.

    Where it wraps a ring it lies on the part of the tyre that is not pressed flat: arcs count with the full
    radius. (With the reach they would shorten as the tyre is pressed in, and give tension work for nothing.)
    """
    n = lay(m, w)
    _mark(w.ring, w.node_ring, n)
    for pick in range(m.rings.shape[0]):
        if w.ring[pick, LOAD] > 0.0 and w.ring[pick, ON_BAND] == 0.0:
            n = _split(w.ring, w.node_ring, w.node_xy, w.span, n, pick)
            w.ring[pick, ON_BAND] = 1.0
    b = m.band[0]
    c, s = w.pose[0, 2], w.pose[0, 3]
    in_x, in_y = c * b.in_x - s * b.in_y, s * b.in_x + c * b.in_y
    out_x, out_y = c * b.out_x - s * b.out_y, s * b.out_x + c * b.out_y
    arc = w.arc
    for k in range(1, n - 1):
        arc[k] = 0.0
        if w.node_ring[k] >= 0:
            arc[k] = m.rings[w.node_ring[k]].radius * max(0.0, bend(w.span, k))
    arc[0] = m.rings[b.rear].radius * _wrap(in_x, in_y, w.span[0, TX], w.span[0, TY])
    arc[n - 1] = m.rings[b.front].radius * _wrap(w.span[n - 2, TX], w.span[n - 2, TY], out_x, out_y)
    length = b.top_length + b.top_give * w.carry[0].idler_shift
    for k in range(n - 1):
        length += w.span[k, LENGTH] + arc[k]
    length += arc[n - 1]
    return n, length, in_x, in_y, out_x, out_y


@inner
def _contacts(m: Model, w: Work, n):
    """Where the band can grip: nodes pressed on the ground. Returns how many, and the growth of the whole
    lower run counted away from the sprocket [m/s].

    How fast the band runs through a node follows from its speed at the sprocket and from how fast the spans
    between grow: a span that grows takes in more in front than it gives out behind. It is worked from the
    sprocket along the lower run; but while that run hangs loose next to the sprocket, the taut way from the
    sprocket is the other, over the top. `loose` (0 to 1) goes from the one to the other. What the contacts feel of
    it is less while the top run is slack itself: its sag gives way first, a spring in series with the tread's
    shear.
    """
    at_rear = m.band[0].sprocket == m.band[0].rear
    # How fast it runs through node k, less u, worked from the sprocket's end.
    flow = 0.0
    count = 0
    for step in range(n):
        k = step if at_rear else n - 1 - step
        if step > 0:
            j = k - 1 if at_rear else k
            ax, ay, bx, by = 0.0, 0.0, 0.0, 0.0
            if w.node_ring[j] >= 0:
                ax, ay = w.ring[w.node_ring[j], VX], w.ring[w.node_ring[j], VY]
            if w.node_ring[j + 1] >= 0:
                bx, by = w.ring[w.node_ring[j + 1], VX], w.ring[w.node_ring[j + 1], VY]
            growth = (bx - ax) * w.span[j, TX] + (by - ay) * w.span[j, TY]
            flow += growth if at_rear else -growth
        i = w.node_ring[k]
        if i >= 0:
            if w.ring[i, LOAD] <= 0.0:
                continue
            tx, ty = w.ring[i, NY], -w.ring[i, NX]
            load = w.ring[i, LOAD]
            w.contact[count, OFFSET] = flow - (w.ring[i, VX] * tx + w.ring[i, VY] * ty)
        else:
            if k == 0 or k == n - 1:
                continue
            tx, ty = w.span[k - 1, TX] + w.span[k, TX], w.span[k - 1, TY] + w.span[k, TY]
            size = math.sqrt(tx * tx + ty * ty)
            tx, ty = tx / size, ty / size
            # The load on the ground under a bend is tension times the bend; the tension is the last step's.
            load = 0.5 * (w.carry[0].tight + w.carry[0].slack) * slight_bend(w.span, k)
            w.contact[count, OFFSET] = flow
        w.contact[count, RING] = i if i >= 0 else -1
        w.contact[count, ALONG_X] = tx
        w.contact[count, ALONG_Y] = ty
        w.contact[count, GRIP] = m.drive[0].grip * load
        w.contact[count, PULL] = 0.0
        w.contact[count, NODE] = k
        count += 1
    grip = 0.0
    for q in range(count):
        grip += w.contact[q, GRIP]
    b = m.band[0]
    # Before the first step there is none yet; it is never less than this (see `track`), but for a weightless band.
    top = max(w.carry[0].top_tension, 0.5 * b.weight * b.longest, 1.0)
    yields = b.weight * b.weight * b.sag_sum / (12.0 * top * top * top) + b.top_length / b.stretch
    w.carry[0].over_top = w.carry[0].loose / (1.0 + yields * grip / m.drive[0].shear)
    for q in range(count):
        w.contact[q, OFFSET] -= w.carry[0].over_top * flow
    return count, flow


@inner
def _pressed_in(b, tension, lever, hold):
    """How far the tensioner's idler is pressed in [m], and its slope, at a slack-side tension [N].

    It begins to give when tension * lever passes `hold` [N].
    """
    if b.tensioner_rate <= 0.0:
        return 0.0, 0.0
    s = (tension * lever - hold) / b.tensioner_rate
    if s <= 0.0:
        return 0.0, 0.0
    if s >= b.tensioner_travel:
        return b.tensioner_travel, 0.0
    return s, lever / b.tensioner_rate


@inner
def _spare(b, tension, top, base, span_sum, lever, shift, hold):
    """Loop length to spare at a slack-side tension [m], and its slope.

    base: loop minus path, with the stretch of what is known already; top: tension of the top run above the
    slack side; span_sum: length that stretches; lever: how much path an idler pressed in further than
    `shift`, where it stood when the path was laid, gives back. Sag of a flat span takes w2 l3 / (24 T2)
    (parabola; Irvine, Cable Structures, ch. 1).
    """
    s, s_slope = _pressed_in(b, tension, lever, hold)
    upper = tension + top
    sag = b.weight * b.weight * b.sag_sum / (24.0 * upper * upper)
    value = base + tension * span_sum / b.stretch + lever * (s - shift) - sag
    return value, span_sum / b.stretch + lever * s_slope + 2.0 * sag / upper


@inner
def solve_tension(b, floor, top, base, span_sum, lever, shift, hold, guess):
    """Slack-side tension [N] at which the loop is just used up; and the length to spare at the floor [m].

    The spare length rises with tension everywhere: one root. Below the floor a span would have to push;
    the band then hangs loose there and the rest of its length is to spare.
    """
    value, slope = _spare(b, floor, top, base, span_sum, lever, shift, hold)
    if value >= 0.0:
        return floor, value
    low, high = floor, max(guess, floor + 1.0)
    for _ in range(60):
        value, slope = _spare(b, high, top, base, span_sum, lever, shift, hold)
        if value >= 0.0:
            break
        low = high
        high = 2.0 * high + 100.0
    t = min(max(guess, low), high)
    for _ in range(80):
        value, slope = _spare(b, t, top, base, span_sum, lever, shift, hold)
        if value >= 0.0:
            high = t
        else:
            low = t
        step = t - value / slope
        if not low < step < high:
            step = 0.5 * (low + high)
        if abs(step - t) <= 1e-10 * (1.0 + abs(t)):
            t = step
            break
        t = step
    return t, 0.0


@merged
def track(m: Model, w: Work, dt):
    """Everything the track does in one step (dt = 0: standing still, no traction)."""
    b = m.band[0]
    n, path, in_x, in_y, out_x, out_y = band_path(m, w)
    count, growth = _contacts(m, w, n)
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
        shift, _ = _pressed_in(b, tension, lever, hold)
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
    _gaps(m.rings, w.ring, w.node_xy, w.span, n)
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


@inner
def wheels(m: Model, w: Work, dt):
    """A vehicle without a track: every road wheel is driven and pulls by its load, as through differentials.

    One mean slip stands for all: wheels chained to one shaft would also hold each other, and the hull's pitch
    with them, which is not modelled. A wheel turns on its bearing, so the pull acts at its axle; the motor's
    torque is held by the hull.
    """
    if dt <= 0.0:
        return
    count = 0
    for i in range(m.road):
        if w.ring[i, LOAD] > 0.0:
            tx, ty = w.ring[i, NY], -w.ring[i, NX]
            w.contact[count, RING] = i
            w.contact[count, ALONG_X] = tx
            w.contact[count, ALONG_Y] = ty
            w.contact[count, GRIP] = m.drive[0].grip * w.ring[i, LOAD]
            w.contact[count, OFFSET] = -(w.ring[i, VX] * tx + w.ring[i, VY] * ty)
            count += 1
    set_target(m, w, dt)
    radius = m.rings[0].radius
    run_on(m, w, count, radius * (w.motion[0, 2] + w.gain[0, 2]), dt)
    w.load[TRACK, 0, 2] += w.carry[0].push * radius
    for q in range(count):
        i = int(w.contact[q, RING])
        p = w.contact[q, PULL]
        fx, fy = p * w.contact[q, ALONG_X], p * w.contact[q, ALONG_Y]
        push(w.load, w.pose, TRACK, m.rings[i].body, w.ring[i, X], w.ring[i, Y], fx, fy)
