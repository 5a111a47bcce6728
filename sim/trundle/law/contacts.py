"""Where the band can grip the ground, how fast it runs there, and what each place brings from the step before."""

from __future__ import annotations

import math

from trundle.law.compile import inner
from trundle.law.grip import clear
from trundle.law.path import slight_bend
from trundle.law.state import MOST_GROUND


@inner
def growth(w, nodes, k):
    """How fast the band between nodes k and k + 1 grows by the motion of the rings there [m/s]: the straight piece, and
    the arcs at its ends as it turns (see trundle.law.turning)."""
    here, there = nodes[k], nodes[k + 1]
    ax, ay, bx, by = 0.0, 0.0, 0.0, 0.0
    if here.owner >= 0:
        ax, ay = w.ring[here.owner].vx, w.ring[here.owner].vy
    if there.owner >= 0:
        bx, by = w.ring[there.owner].vx, w.ring[there.owner].vy
    return (bx - ax) * here.tx + (by - ay) * here.ty + (here.deep - there.deep) * here.turning


@inner
def contact_on_ring(s, w, contact, i, flow):
    """A ring pressed on the ground. Returns the ground's load [N]; what turning pieces add is the last step's."""
    ring = w.ring[i]
    tx, ty = ring.ny, -ring.nx
    contact.ring, contact.along_x, contact.along_y = i, tx, ty
    contact.offset = flow - (ring.vx * tx + ring.vy * ty)
    return max(ring.load + s.law.ring[i].turned_N, 0.0)


@inner
def contact_on_span(s, contact, nodes, k, flow):
    """A corner of the ground under the band. Returns its load [N]: tension times the bend; the tension is the last
    step's."""
    before, here = nodes[k - 1], nodes[k]
    tx, ty = before.tx + here.tx, before.ty + here.ty
    size = math.sqrt(tx * tx + ty * ty)
    contact.ring, contact.along_x, contact.along_y = -1, tx / size, ty / size
    contact.offset = flow
    return 0.5 * (s.law.band.tight_N + s.law.band.slack_N) * slight_bend(nodes, k)


@inner
def list_ground(w, nodes):
    """List the points of the ground under spans, from rear to front, in w.ground. Returns how many there are."""
    count = 0
    for k in range(1, w.loop.nodes - 1):
        if nodes[k].owner < 0:
            if count < MOST_GROUND:
                w.ground.owner[count] = nodes[k].owner
            count += 1
    w.ground.n = min(count, MOST_GROUND)
    return count


@inner
def bring(s, w, contacts):
    """Give each contact the shear that it had: a ring its own, a point of the ground that of the same point. Returns
    what is lost with points that are touched no more [J]."""
    known, lost, at = s.ground, 0.0, 0
    for k in range(w.ground.n):
        # Points are numbered forward, owners count down (see trundle.law.path).
        while at < known.n and known.owner[at] > w.ground.owner[k]:
            lost += known.shear[at].held_J
            at += 1
        if at < known.n and known.owner[at] == w.ground.owner[k]:
            w.ground.shear[k] = known.shear[at]
            at += 1
        else:
            clear(w.ground.shear[k])
    while at < known.n:
        lost += known.shear[at].held_J
        at += 1
    for q in range(w.loop.contacts):
        contact = contacts[q]
        if contact.ring >= 0:
            contact.shear = s.law.ring[contact.ring].shear
        elif contact.listed < w.ground.n:
            contact.shear = w.ground.shear[contact.listed]
        else:
            clear(contact.shear)
    return lost


@inner
def keep(w, contact):
    """Have a contact's shear remembered. Returns whether it is: there may be too many points of the ground."""
    if contact.ring >= 0:
        w.next.ring[contact.ring].shear = contact.shear
        return True
    if contact.listed < w.ground.n:
        w.ground.shear[contact.listed] = contact.shear
        return True
    return False


@inner
def find_contacts(v, s, w, nodes, contacts):
    """Where the band can grip: nodes pressed on the ground; in w.loop how many there are, the growth of the whole loop
    counted away from the sprocket, and how much slower than the band the sprocket runs [m/s].

    How fast the band runs through a node follows from its speed elsewhere and from how fast the spans between grow: a
    span that grows takes in more in front than it gives out behind. It is counted from the band's mean speed, mean by
    what share of the band's inertia and drag each ring bears (trundle.law.profile): then these do no work but on the
    band's own motion.
    """
    n = w.loop.nodes
    at_rear, away = v.band.away > 0.0, v.band.away
    # How fast it runs through node k, less its speed at the sprocket's end; and the mean of that.
    flow, mean = 0.0, 0.0
    points = list_ground(w, nodes)
    count, listed = 0, 0 if at_rear else points - 1
    for step in range(n):
        k = step if at_rear else n - 1 - step
        if step > 0:
            flow += away * growth(w, nodes, k - 1 if at_rear else k)
        mean += nodes[k].jump * flow
        i, contact = nodes[k].owner, contacts[count]
        if i >= 0:
            if w.ring[i].load <= 0.0:
                continue
            load = contact_on_ring(s, w, contact, i, flow)
        else:
            if k == 0 or k == n - 1:
                continue
            load = contact_on_span(s, contact, nodes, k, flow)
            contact.listed = listed
            listed += 1 if at_rear else -1
        contact.node, contact.pull, contact.load = k, 0.0, load
        contact.grip = v.drive.grip * load
        count += 1
    # The top run turns with the hull, and winds up on the larger end what it unwinds from the smaller.
    spin = w.motion[0].spin + s.gain[0].spin_rad_s
    flow += away * (v.ring[v.band.front].radius - v.ring[v.band.rear].radius) * spin
    w.loop.contacts, w.loop.growth = count, flow
    w.loop.behind = mean
    for q in range(count):
        contacts[q].offset -= mean
