"""The slack side's tension: one equation with one root, from the loop's length; and the idler on its tensioner."""

from __future__ import annotations

from trundle.law.compile import inner


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
def _spare(b, tension, top, base, span_sum, lever, shift, hold):
    """Loop length to spare at a slack-side tension [m], and its slope.

    base: loop minus path, with the stretch of what is known already; top: tension of the top run above the
    slack side; span_sum: length that stretches; lever: how much path an idler pressed in further than
    `shift`, where it stood when the path was laid, gives back. Sag of a flat span takes w2 l3 / (24 T2)
    (parabola; Irvine, Cable Structures, ch. 1).
    """
    s, s_slope = pressed_in(b, tension, lever, hold)
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
