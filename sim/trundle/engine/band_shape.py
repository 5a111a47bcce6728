"""The band's path at a recorded pose, as a line of points: geometry only, nothing is balanced or moved.

The lower run comes from the kernels that the run itself used (trundle.law.path), so it is the recorded path to
rounding. The top run is fixed to the hull but for a tensioner's idler; its longest span hangs as recorded, the others
as deep as the square of their length is to its (flat parabolas; Irvine, Cable Structures, ch. 1).
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from trundle.law.ask import laid_band
from trundle.law.named import State
from trundle.law.scratch import new_scratch
from trundle.model.assembly import Assembly
from trundle.model.loop import Circle, tangent, top_run
from trundle.units import MM

Points = NDArray[np.float64]

_ARC_STEP = math.radians(9.0)
_SAG = np.linspace(0.0, 1.0, 15)


@dataclass(frozen=True, eq=False)
class BandShape:
    """The closed band [mm].

    outer, inner: (n, 2) its two faces, starting where it reaches the sprocket (or leaves it, at the front);
    pins: (links, 2, 2) outer and inner point of each joint between links; painted: (k, 4, 2) corners of the
    links that carry a paint mark; top: (m, 2) middle line of the top run; length: without sag.
    """

    outer: Points
    inner: Points
    pins: Points
    painted: Points
    top: Points
    length: float


def _arcs(rows: list[tuple[float, float, float, float, float]]) -> tuple[Points, Points, list[int]]:
    """Points and outward normals along arcs (x, y, radius, first direction, turn), one after
    the other, and how many points each has."""
    table = np.array(rows)
    count = np.maximum(2, 1 + np.ceil(table[:, 4] / _ARC_STEP)).astype(np.int64)
    x, y, r, begin, turn = np.repeat(table, count, axis=0).T
    share = (np.arange(len(x)) - np.repeat(np.cumsum(count) - count, count)) / np.repeat(count - 1, count)
    a = begin + turn * share
    normal = np.stack([np.cos(a), np.sin(a)], axis=1)
    return np.stack([x, y], axis=1) + r[:, None] * normal, normal, count.tolist()


def _outward(tx: float, ty: float) -> float:
    """Direction [rad] in which the outer face looks where the band runs along (tx, ty)."""
    return math.atan2(-tx, ty)


class BandTracer:
    """Lays the band of one assembly at any pose."""

    def __init__(self, assembly: Assembly) -> None:
        self.assembly = assembly
        self.model = assembly.model
        track = assembly.vehicle.track
        assert track is not None
        self.track = track
        self.scratch, self.state = new_scratch(self.model), State.of(assembly)
        band = self.model.band
        self.rear, self.front = int(band.rear), int(band.front)
        self.at_rear = int(band.sprocket) == self.rear
        self.thick = track.thickness_mm * MM
        self._pressed_m = 0.0
        self._lay_top()

    def _lay_top(self) -> None:
        """Spans [(start, end)] and the arcs over the rollers between them, hull frame from its mass, with the
        tensioner's idler where it is."""
        m, com = self.model, self.assembly.com
        front, rear = m.rings[self.front], m.rings[self.rear]
        pressed = self._pressed_m * float(m.band.tensioner_x)
        fore, aft = (pressed, 0.0) if self.at_rear else (0.0, pressed)
        rollers: list[Circle] = [
            (r.at_mm[0] * MM - com[0], r.at_mm[1] * MM - com[1], r.radius_mm * MM + self.thick)
            for r in self.track.roller
        ]
        ends: tuple[Circle, Circle] = (
            (float(front.x) - fore, float(front.y), float(front.radius)),
            (float(rear.x) - aft, float(rear.y), float(rear.radius)),
        )
        touched = top_run(ends[0], rollers, ends[1]).rollers
        chain = [ends[0], *(rollers[i] for i in touched), ends[1]]
        pieces = [tangent(a, b) for a, b in pairwise(chain)]
        self.top_spans = np.array(
            [
                (a[0] + a[2] * ty, a[1] - a[2] * tx, tx, ty, long)
                for a, (tx, ty, long) in zip(chain, pieces, strict=False)
            ]
        )
        self.top_arcs: list[tuple[float, float, float, float, float]] = []
        for k in range(1, len(chain) - 1):
            begin, end = _outward(*pieces[k - 1][:2]), _outward(*pieces[k][:2])
            self.top_arcs.append((*chain[k], begin, (end - begin) % (2.0 * math.pi)))

    def shape(self, q: Points, sag_mm: float, travel_mm: float, pressed_mm: float = 0.0) -> BandShape:
        """The band with the vehicle at q (x, y [m], pitch, joint angles [rad]), sag_mm: of the longest span of the
        top run, travel_mm: how far the band has run, pressed_mm: how far the tensioner's idler is pressed in."""
        if pressed_mm * MM != self._pressed_m:
            self._pressed_m = pressed_mm * MM
            self._lay_top()
        self.state["band.idler_shift_m"] = self._pressed_m
        # The State keeps no order of contacts: the frame drawn before must not sway this one.
        loop, nodes = laid_band(self.model, self.state, q, self.scratch)
        n = len(nodes)
        rows: list[tuple[float, float, float, float, float]] = []
        for k in range(n):
            node = nodes[k]
            ax, ay = (loop.in_x, loop.in_y) if k == 0 else (nodes[k - 1].tx, nodes[k - 1].ty)
            bx, by = (loop.out_x, loop.out_y) if k == n - 1 else (node.tx, node.ty)
            begin, end = _outward(ax, ay), _outward(bx, by)
            turn = (end - begin) % (2.0 * math.pi)
            if node.owner < 0:
                # Over a corner of the ground it bends the other way.
                turn = turn - 2.0 * math.pi if turn > math.pi else turn
            elif turn > 1.9 * math.pi and 0 < k < n - 1:
                # A ring passed straight turns it by nothing, not by a full turn less a hair.
                turn = 0.0
            rows.append((float(node.x), float(node.y), float(node.r), begin, turn))
        c, s = math.cos(q[2]), math.sin(q[2])
        for ax, ay, r, begin, turn in self.top_arcs:
            rows.append((q[0] + c * ax - s * ay, q[1] + s * ax + c * ay, r, begin + q[2], turn))
        points, normal, count = _arcs(rows)
        ends = np.cumsum(count)
        spans, faces = self._top(q, sag_mm * MM)
        low = int(ends[n - 1])
        bits, looks, at = [points[:low], spans[0]], [normal[:low], faces[0]], low
        for k in range(len(self.top_arcs)):
            to = int(ends[n + k])
            bits += [points[at:to], spans[k + 1]]
            looks += [normal[at:to], faces[k + 1]]
            at = to
        points, normal = np.concatenate(bits), np.concatenate(looks)
        over = points[low:] - 0.5 * self.thick * normal[low:]
        if not self.at_rear:
            # Start where it leaves the front end.
            points, normal = np.roll(points, -low, axis=0), np.roll(normal, -low, axis=0)
        outer, inner = points, points - self.thick * normal
        pins, painted = self._links(points, normal, travel_mm)
        return BandShape(outer / MM, inner / MM, pins / MM, painted / MM, over / MM, float(loop.path) / MM)

    def _top(self, q: Points, sag_m: float) -> tuple[Points, Points]:
        """Points and outward normals of the free top spans, both (spans, points, 2)."""
        c, s = math.cos(q[2]), math.sin(q[2])
        hx, hy, htx, hty, length = self.top_spans.T[:, :, None]
        x, y = q[0] + c * hx - s * hy, q[1] + s * hx + c * hy
        tx, ty = c * htx - s * hty, s * htx + c * hty
        sag = sag_m * (length / length.max()) ** 2
        points = np.stack([x + tx * length * _SAG, y + ty * length * _SAG - 4.0 * sag * _SAG * (1.0 - _SAG)], axis=2)
        ux, uy = tx * length + 0.0 * _SAG, ty * length - 4.0 * sag * (1.0 - 2.0 * _SAG)
        size = np.hypot(ux, uy)
        return points, np.stack([uy / size, -ux / size], axis=2)

    def _links(self, points: Points, normal: Points, travel_mm: float) -> tuple[Points, Points]:
        """Joints between links and the painted links, moved on by the travel."""
        mid = points - 0.5 * self.thick * normal
        mid = np.concatenate([mid, mid[:1]])
        face = np.concatenate([normal, normal[:1]])
        run = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(mid, axis=0).T))])
        links, whole = self.track.links, float(run[-1])
        gone = travel_mm * MM / (self.track.pitch_mm * MM)
        # Running forward, the band comes back over the top: against the direction of the path.
        number = np.arange(links)
        at = ((number - gone) % links) * (whole / links)
        x, y = np.interp(at, run, mid[:, 0]), np.interp(at, run, mid[:, 1])
        nx, ny = np.interp(at, run, face[:, 0]), np.interp(at, run, face[:, 1])
        centre, across = np.stack([x, y], axis=1), np.stack([nx, ny], axis=1) * (0.5 * self.thick)
        pins = np.stack([centre + across, centre - across], axis=1)
        every = max(4, links // 8)
        first = number[::every][: links // every]
        after = (first + 1) % links
        corners = np.stack([pins[first, 0], pins[after, 0], pins[after, 1], pins[first, 1]], axis=1)
        return pins, corners
