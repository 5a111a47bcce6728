"""Every bend of the band is a force, tension times the change of direction: on the ring there, or on the ground."""

from __future__ import annotations

import math

from trundle.law.compile import inner
from trundle.law.place import push_ring
from trundle.law.state import TRACK
from trundle.law.turning import press_turning


@inner
def press_nodes(v, w, nodes, contacts):
    """Forces at the nodes, into w.load, and their sums, into w.loop."""
    loop, n, count, upper = w.loop, w.loop.nodes, w.loop.contacts, w.next.band.top_N
    ground_x, ground_y, track_x, track_y, span_n = 0.0, 0.0, 0.0, 0.0, 0.0
    # The contacts are listed from the sprocket on: forward or backward along the nodes.
    forward = count == 0 or contacts[0].node < contacts[count - 1].node
    q = 0 if forward else count - 1
    for k in range(n):
        gx, gy = 0.0, 0.0
        if 0 <= q < count and contacts[q].node == k:
            gx, gy = contacts[q].pull * contacts[q].along_x, contacts[q].pull * contacts[q].along_y
            q += 1 if forward else -1
        before = nodes[k - 1].tension if k > 0 else upper
        after = nodes[k].tension if k < n - 1 else upper
        ax, ay = (nodes[k - 1].tx, nodes[k - 1].ty) if k > 0 else (loop.in_x, loop.in_y)
        bx, by = (nodes[k].tx, nodes[k].ty) if k < n - 1 else (loop.out_x, loop.out_y)
        fx, fy = after * bx - before * ax, after * by - before * ay
        i = nodes[k].owner
        if i >= 0:
            fx += gx
            fy += gy
            ground_x += gx
            ground_y += gy
            track_x += fx
            track_y += fy
            push_ring(v, w, TRACK, i, fx, fy)
        else:
            ground_x -= fx
            ground_y -= fy
            span_n += math.sqrt(fx * fx + fy * fy)
    loop.ground_x, loop.ground_y, loop.span_N = ground_x, ground_y, span_n
    loop.track_x, loop.track_y = track_x, track_y
    press_turning(v, w, nodes)


@inner
def press_hull(v, w, push_on):
    """Return rollers, all on the hull; and the sprocket's torque, held by the motor's mounts. push_on [N]."""
    b, pose, upper = v.band, w.pose[0], w.next.band.top_N
    rx = upper * (pose.cos * b.push_x - pose.sin * b.push_y)
    ry = upper * (pose.sin * b.push_x + pose.cos * b.push_y)
    w.load[TRACK, 0, 0] += rx
    w.load[TRACK, 0, 1] += ry
    w.load[TRACK, 0, 2] += upper * b.push_moment + v.ring[b.sprocket].radius * push_on
    w.loop.track_x += rx
    w.loop.track_y += ry
