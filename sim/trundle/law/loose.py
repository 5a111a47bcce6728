"""What the place where the band hangs loose loses, and the tensioner.

While the lower run hangs loose next to the sprocket, the taut way from the contacts to it is the other, over the top:
the sprocket runs faster than the lower run has it. How much faster follows from power: what the top run's tension
gives on the loop's growth and on its own swing is the push's work, the loose piece pulls nothing. (By lengths it would
be the growth and the sag; but the band has one speed, and contacts between the sprocket and a loose place further along
do not feel that they run by it. The motor is charged for that, up to MOST_AHEAD; the rest is entered here.)
A loose band stores nothing, so what stretch and tensioner hold comes out of the loose place and goes back into it. A
taut loop gives its top run's tension on all that takes up its length.
The tensioner holds less of that where the band's pull on its idler is more than its spring's (the idler was held, or
bears some of the band's drag and inertia), and a stretch by the contacts' own pulls holds less or more, since their
treads do not feel it: a stretch that goes again gives it back. All is worked out and entered, so that the ledger's
rest is the engine's own error.
"""

from __future__ import annotations

from trundle.law.compile import inner

MOST_AHEAD = 2.0
"""The sprocket runs ahead of the lower run by no more than this many times what the loose place takes up."""


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
    """Enter the loss in the ledger, and how the sprocket runs."""
    b, loop, was, now = v.band, w.loop, s.law.band, w.next.band
    hangs = loop.spare > 0.0
    now.give_N, now.hangs = now.top_N * loop.lever, 1.0 if hangs else 0.0
    loose = hangs or was.hangs > 0.0
    grows = now.top_N * b.away * loop.growth * dt + loop.swung
    # What the top run has still to fall for is no way for the lower run to run by.
    loop.over_top = 1.0 if hangs and loop.below != 0 else 0.0
    over = 0.0
    if loop.over_top > 0.0 and now.push_N != 0.0:
        most = MOST_AHEAD * (abs(loop.growth) * dt + abs(loop.swung) / now.top_N)
        over = min(max(-grows / now.push_N, -most), most)
    loop.ahead = (over / dt if dt > 0.0 else 0.0) - loop.behind
    lost = now.push_N * over
    if loose:
        lost += grows
    # Before the first step nothing is known of a step before it.
    if was.top_N > 0.0:
        if loose:
            lost -= now.held_J - was.held_J
        else:
            lost += from_the_loop(b, was, now, now.idler_shift_m - was.idler_shift_m)
    w.next.ledger.loose_J += lost
