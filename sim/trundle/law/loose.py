"""What the place where the band hangs loose loses.

A loose band stores nothing, so what its tension does on the growth of the loop (of the lower run, less what the
tensioner's idler gives back) is gone; and while the band passes from one way of running to the other (LOOSEN_S) the
slip is that of neither. Both are worked out and entered, so that the ledger's rest is the engine's own error.
"""

from __future__ import annotations

from trundle.law.compile import inner

LOOSEN_S = 0.01
"""Time in which a band that begins to hang loose, or stops to, passes from one way of running to the other [s]."""


@inner
def book_loose(v, s, w, traction, dt):
    """Enter the loss in the ledger, and pass on how loose the band hangs. traction: sum along the band [N]."""
    loop, was, now, ledger = w.loop, s.law.band, w.next.band, w.next.ledger
    away = v.band.away
    give = loop.lever * (now.idler_shift_m - was.idler_shift_m)
    hangs = loop.spare > 0.0
    done = (now.top_N if hangs else 0.0) + away * loop.over_top * traction
    ledger.loose_J += done * away * loop.growth * dt - 0.5 * (done + was.loose_N) * give
    # While the band reaches the ground over the top, what the idler gives back slips there. It is entered here;
    # letting the contacts feel it, a step late, would be unstable.
    ledger.loose_J += away * give * loop.over_top * 0.5 * (traction + was.traction_N)
    now.loose_N = done
    now.loose = was.loose + ((1.0 if hangs else 0.0) - was.loose) * min(1.0, dt / LOOSEN_S)
