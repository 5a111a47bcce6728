"""The slack side's tension: one equation with one root, from the loop's length; and the idler on its tensioner.

What gives way at once is the loop's stretch and the tensioner. The top run's sag has inertia (trundle.law.top): a path
that grows in a few milliseconds pulls several times as hard as sag that follows at once would say.
"""

from __future__ import annotations

from trundle.law.compile import inner
from trundle.law.top import swing, taken


@inner
def pressed_in(b, tension, lever, hold):
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
def spare_length(b, w, tension, top, base, span_sum, lever, shift, hold):
    """Loop length to spare at a slack-side tension [m], and its slope.

    base: loop minus path, with the stretch of what is known already; top: tension of the top run above the
    slack side; span_sum: length that stretches; lever: how much path an idler pressed in further than
    `shift`, where it stood when the path was laid, gives back. Sag of the top spans, which swing: trundle.law.top.
    """
    s, s_slope = pressed_in(b, tension, lever, hold)
    sag, sag_fall = taken(b, w, tension + top)
    value = base + tension * span_sum / b.stretch + lever * (s - shift) - sag
    return value, span_sum / b.stretch + lever * s_slope + sag_fall


@inner
def solve_tension(b, w, floor, top, base, span_sum, lever, shift, hold, guess):
    """Slack-side tension [N] at which the loop is just used up; and the length to spare at the floor [m].

    The spare length rises with tension everywhere: one root. Below the floor a span would have to push;
    the band then hangs loose there and the rest of its length is to spare.
    """
    value, slope = spare_length(b, w, floor, top, base, span_sum, lever, shift, hold)
    if value >= 0.0:
        return floor, value
    low, high = floor, max(guess, floor + 1.0)
    for _ in range(60):
        value, slope = spare_length(b, w, high, top, base, span_sum, lever, shift, hold)
        if value >= 0.0:
            break
        low = high
        high = 2.0 * high + 100.0
    t = min(max(guess, low), high)
    for _ in range(80):
        value, slope = spare_length(b, w, t, top, base, span_sum, lever, shift, hold)
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


@inner
def pull_on_idler(v, w, nodes):
    """The band's pull on the idler along its tensioner, in w.loop: `lever` times the slack side's tension, less what is
    left to overcome, `hold`: the preload, less what the idler's own two pieces carry above that tension.

    While the idler stands on the ground itself the tensioner does not move (`free` = 0): the ground's push would be
    part of the balance, and has no answer of its own within a step.
    """
    b, loop, pose, n = v.band, w.loop, w.pose[0], w.loop.nodes
    loop.lever, loop.hold = 0.0, b.tensioner_preload
    loop.free = 1 if w.ring[b.idler].load <= 0.0 else 0
    if b.tensioner_rate <= 0.0 or loop.free == 0:
        return
    px = pose.cos * b.tensioner_x - pose.sin * b.tensioner_y
    py = pose.sin * b.tensioner_x + pose.cos * b.tensioner_y
    if b.away > 0.0:
        last = nodes[n - 2]
        below = last.tx * px + last.ty * py
        over = -(loop.out_x * px + loop.out_y * py)
        loop.hold -= below * last.tension + over * loop.top
    else:
        first = nodes[0]
        below = -(first.tx * px + first.ty * py)
        over = loop.in_x * px + loop.in_y * py
        loop.hold -= below * first.tension + over * loop.top
    loop.lever = max(below + over, 0.0)


@inner
def balance(v, s, w):
    """Tension of the foremost lower span [N]: the loop's length is used up. w.loop.spare: what is left over [m]."""
    b, loop, was = v.band, w.loop, s.law.band
    loop.spare, loop.below = 0.0, 0
    if v.held_tension >= 0.0:
        return v.held_tension
    floor, lower = b.least_top - loop.top, -loop.least
    loop.below = 1 if lower > floor else 0
    floor = max(floor, lower)
    base = b.length - loop.path + loop.stretch
    tension, spare = solve_tension(
        b, w, floor, loop.top, base, loop.path, loop.lever, was.idler_shift_m, loop.hold, was.tension_N
    )
    loop.spare = spare
    return tension


@inner
def set_tension(v, s, w, nodes, tension, dt):
    """Lift every span to its own tension; highest, lowest, the tensioner's place, and the energy held in w.loop."""
    b, loop, now = v.band, w.loop, w.next.band
    shift = s.law.band.idler_shift_m
    if loop.free != 0:
        shift, _ = pressed_in(b, tension, loop.lever, loop.hold)
    upper = tension + loop.top
    tight, slack, held = upper, upper, 0.5 * upper * upper * loop.top_length / b.stretch
    for k in range(loop.nodes - 1):
        t = nodes[k].tension + tension
        nodes[k].tension = t
        tight = max(tight, t)
        slack = min(slack, t)
        held += 0.5 * t * t * nodes[k].length / b.stretch
    now.stretch_J, now.stretch_m = held, loop.stretch + tension * loop.path / b.stretch
    held += b.tensioner_preload * shift + 0.5 * b.tensioner_rate * shift * shift
    loop.stored, now.held_J = held + swing(v, s, w, upper, dt), held
    now.tension_N, now.top_N, now.tight_N, now.slack_N, now.idler_shift_m = tension, upper, tight, slack, shift
