"""The track as a taut band: tension from the loop's length, traction built up contact by contact.

Every bend is a force, tension times the change of direction. Upward bends press on the ring there, downward
bends on the ground. A ring that stands on the ground also takes up traction: the tension before and after
it differ by its pull, along the ground's slope there. Forces act on both ends of every span, so what the
track does to the vehicle equals what the ground does to the track, to rounding.
"""

from __future__ import annotations

from trundle.law.bends import press_hull, press_nodes
from trundle.law.compile import inner
from trundle.law.contacts import bring, find_contacts
from trundle.law.drive import book_drive, run_on
from trundle.law.driver import set_target
from trundle.law.laid import gaps, lay_band
from trundle.law.loose import book_loose
from trundle.law.profile import add_up, fall, spread
from trundle.law.tension import balance, pull_on_idler, set_tension
from trundle.law.top import carry_on


@inner
def track(v, g, s, w, nodes, contacts, gates, chains, dt):
    """Everything the track does in one step (dt = 0: standing still, no traction)."""
    lay_band(v, g, s, w, nodes, gates, chains)
    spread(w, nodes)
    find_contacts(v, s, w, nodes, contacts)
    push, traction = 0.0, 0.0
    lost = bring(s, w, contacts)
    if dt > 0.0:
        w.next.ledger.slip_J += lost
        set_target(v, g, s, w, dt)
        run_on(v, s, w, contacts, dt)
        push, traction = w.next.band.push_N, w.next.band.traction_N
    fall(v, w, nodes, contacts, push, traction)
    add_up(v, w, nodes)
    pull_on_idler(v, w, nodes)
    carry_on(v, s, w, dt)
    set_tension(v, s, w, nodes, balance(v, s, w), dt)
    press_nodes(v, w, nodes, contacts)
    press_hull(v, w, push)
    gaps(v, w, nodes)
    book_loose(v, s, w, dt)
    if dt > 0.0:
        book_drive(v, s, w, dt)
