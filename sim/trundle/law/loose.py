"""What the place where the band hangs loose loses, and the tensioner.

A loose band stores nothing, so what its tension does on the growth of the lower run and on the top run's swing is gone,
and what stretch and tensioner hold comes out of the loose place and goes back into it; while the band passes from one
way of running to the other (LOOSEN_S) the sprocket runs by neither. A taut loop gives its top run's tension on all that
takes up its length.
The tensioner holds less of that where the band's pull on its idler is more than its spring's (the idler was held, or
bears some of the band's drag and inertia), and a stretch by the contacts' own pulls holds less or more, since their
treads do not feel it: a stretch that goes again gives it back. All is worked out and entered, so that the ledger's
rest is the engine's own error.
"""

from __future__ import annotations

from trundle.law.compile import inner

LOOSEN_S = 0.01
"""Time in which a band that begins to hang loose, or stops to, passes from one way of running to the other [s]."""


@inner
def from_the_loop(b, was, now, given):
    """What the band's stretch and its tensioner take less than the loop gives them, in a step that begins and ends
    taut [J]. given: how far the idler has been pressed in [m].

    The loop gives its top run's tension times what the stretch takes up, and times what the idler gives back.
    """
    pull, top = 0.5 * (now.give_N + was.give_N), 0.5 * (now.top_N + was.top_N)
    tensioner = (b.tensioner_preload + 0.5 * b.tensioner_rate * (now.idler_shift_m + was.idler_shift_m)) * given
    stretch = now.stretch_J - was.stretch_J
    return pull * given - tensioner + top * (now.stretch_m - was.stretch_m) - stretch


@inner
def book_loose(v, s, w, dt):
    """Enter the loss in the ledger, and pass on how loose the band hangs."""
    b, loop, was, now = v.band, w.loop, s.law.band, w.next.band
    hangs = loop.spare > 0.0
    now.give_N, now.hangs = now.top_N * loop.lever, 1.0 if hangs else 0.0
    lost = loop.over_top * now.push_N * loop.growth * dt
    loose = hangs or was.hangs > 0.0
    if loose:
        lost += now.top_N * b.away * loop.growth * dt + loop.swung
    # Before the first step nothing is known of a step before it.
    if was.top_N > 0.0:
        if loose:
            lost -= now.held_J - was.held_J
        else:
            lost += from_the_loop(b, was, now, now.idler_shift_m - was.idler_shift_m)
    w.next.ledger.loose_J += lost
    # What the top run has still to fall for is no way for the lower run to run by.
    below = now.hangs if loop.below != 0 else 0.0
    now.loose = was.loose + (below - was.loose) * min(1.0, dt / LOOSEN_S)
