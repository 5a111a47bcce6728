"""Tension along the band, counted from that of the foremost lower span: where it falls, and by how much."""

from __future__ import annotations

from trundle.law.compile import inner


@inner
def spread(w, nodes):
    """Share of each ring in what the band's own inertia and drag take, by length, into node.jump; and each straight
    piece with half the arcs at its ends: its length from here on."""
    n, top_length = w.loop.nodes, w.loop.path
    for k in range(n - 1):
        nodes[k].length += 0.5 * (nodes[k].arc + nodes[k + 1].arc)
        top_length -= nodes[k].length
    w.loop.top_length = top_length
    whole = 0.0
    for k in range(n):
        before = nodes[k - 1].length if k > 0 else top_length
        after = nodes[k].length if k < n - 1 else top_length
        nodes[k].jump = before + after if nodes[k].owner >= 0 else 0.0
        whole += nodes[k].jump
    for k in range(n):
        nodes[k].jump /= whole


@inner
def fall(v, w, nodes, contacts, push, traction):
    """By how much tension falls at each node, going forward, into node.jump [N].

    It falls at every contact by its pull, and at every ring by what the band's own inertia and drag take (push less
    traction, shared as in `spread`); it rises at the sprocket. Bearings and bends round the rings take the drag, and
    pass it to the vehicle; the ground, where the band stands still on it, does not.
    """
    for k in range(w.loop.nodes):
        nodes[k].jump *= push - traction
        if nodes[k].owner == v.band.sprocket:
            nodes[k].jump -= push
    for q in range(w.loop.contacts):
        nodes[contacts[q].node].jump += contacts[q].pull


@inner
def add_up(v, w, nodes):
    """Tension of each span and of the top run above that of the foremost lower span; the least of them, and the stretch
    they make."""
    loop, n = w.loop, w.loop.nodes
    loop.top = -nodes[n - 1].jump
    loop.least = min(0.0, loop.top)
    loop.stretch = loop.top * loop.top_length / v.band.stretch
    over = 0.0
    for k in range(n - 2, -1, -1):
        nodes[k].tension = over
        loop.least = min(loop.least, over)
        loop.stretch += over * nodes[k].length / v.band.stretch
        over += nodes[k].jump
