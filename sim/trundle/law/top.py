"""The free spans of the top run swing: sag has inertia, and takes time to follow the slack side's tension.

Each span is a taut string that hangs in its first modes of uneven number (nothing drives those of even number),
y = sum of a_n sin(n pi x / l). A mode takes (n pi)2 a2 / 4 l of the loop's length, weighs 2 w l / n pi and moves
m l / 2 (Morse and Ingard, Theoretical Acoustics, section 4.3; from memory). At rest they sum up to the parabola's
length w2 l3 / 24 T2 (Irvine, Cable Structures, ch. 1) exactly: see trundle.model.loop.hanging. The ends of a span are
taken as at rest and at one height: how the hull's own jerk throws the hanging spans (a string that feels it too pulls
8 % harder in a first blow), and the band's travel along them (m u2 against T), are left out.

The step is that of the bodies: place first, by the old speed, then tension there, then speed. Half of the step's own
gain (twice of it where stretch is stiffer than a step can follow) is let into the place at which tension is worked out,
in one equation with tension: see `sag_at`. So the force is the slope of a potential of place, no stiffer than steps are
stable with: a snap turns the swing round and adds nothing to it.
"""

from __future__ import annotations

import math

from trundle.law.compile import inner


@inner
def carry_on(v, s, w, dt):
    """Where each mode gets to by its own speed, into w.top. It hangs still at rest, and before there is any tension."""
    b = v.band
    still = dt <= 0.0 or s.law.band.top_N <= 0.0
    stiff = b.top_stiff * dt * dt
    ahead = 0.5 + 1.5 * stiff / (stiff + 2.0)
    for k in range(b.modes):
        was, now = s.law.top[k], w.top[k]
        now.place, now.inertia = 0.0, 0.0
        if not still:
            now.place = was.sag_m + was.sag_m_s * dt
            now.inertia = b.mode[k].mass / (ahead * dt * dt)


@inner
def sag_at(b, w, k, upper):
    """Sag of mode k [m] at a tension of the top run [N], and its fall per unit of tension [m/N].

    weight + inertia (place - sag) = 2 take tension sag; without inertia: at rest.
    """
    mode, now = b.mode[k], w.top[k]
    hold = now.inertia + 2.0 * mode.takes * upper
    sag = (now.inertia * now.place + mode.weight) / hold
    return sag, 2.0 * mode.takes * sag / hold


@inner
def taken(b, w, upper):
    """Length of the loop that the top spans take by sagging [m], and its fall per unit of tension [m/N]."""
    length, slope = 0.0, 0.0
    for k in range(b.modes):
        sag, fall = sag_at(b, w, k, upper)
        length += b.mode[k].takes * sag * sag
        slope += 2.0 * b.mode[k].takes * sag * fall
    return length, slope


@inner
def swing(v, s, w, upper, dt):
    """New speed of each mode at a tension of the top run [N]. Returns the energy that they hold by hanging [J].

    Lying on something, a quarter of its length deep, a span stops. What pins and stops take is entered as drag; what
    the swing does against tension in the step is in w.loop.swung [J].
    """
    b, ledger = v.band, w.next.ledger
    held, shown, swung = 0.0, 0.0, 0.0
    for k in range(b.modes):
        mode, was, now, after = b.mode[k], s.law.top[k], w.top[k], w.next.top[k]
        sag, _ = sag_at(b, w, k, upper)
        held -= mode.weight * sag
        shown += mode.shown * sag
        after.sag_m, after.sag_m_s = sag, 0.0
        if now.inertia <= 0.0:
            continue
        off = sag - now.place
        held += 0.5 * now.inertia * off * off
        free = was.sag_m_s + dt * now.inertia * off / mode.mass
        kept = free / (1.0 + 2.0 * mode.loss * math.sqrt(2.0 * mode.takes * upper / mode.mass) * dt)
        if abs(now.place) > mode.deepest and now.place * kept > 0.0:
            kept = 0.0
        after.sag_m, after.sag_m_s = now.place, kept
        ledger.drag_J += 0.5 * mode.mass * (free * free - kept * kept)
        swung += upper * 2.0 * mode.takes * sag * 0.5 * (was.sag_m_s + free) * dt
    w.loop.top_sag, w.loop.swung = shown, swung
    return held


@inner
def swinging(v, law):
    """Kinetic energy of the top spans' swing [J]. law: a MEMORY."""
    e = 0.0
    for k in range(v.band.modes):
        speed = law.top[k].sag_m_s
        e += 0.5 * v.band.mode[k].mass * speed * speed
    return e
