"""Chooses a place for each dimension so that no words meet words and as few lines as can be run across them.

First one after another, short ones first (so they come to lie inside the long ones, as ISO 129-1 wants it), each in
the place that costs least; then each again, now that all others are there.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from trundle.drawing import clash
from trundle.drawing.clash import Floats
from trundle.drawing.placed import Piece, Placed

WORDS_MEET, PER_MM_MEET = 60.0, 10.0
LINE_IN_WORDS, PER_MM_IN_WORDS = 9.0, 1.0
LINES_CROSS = 1.0
TOO_CLOSE, CLOSE_MM = 20.0, 2.0
OVER_OUTLINE, PER_MM_OVER_OUTLINE = 1.5, 0.25
LINE_OVER_OUTLINE = 0.15
PER_MM_ALONG_OUTLINE = 0.1
OUTSIDE_PER_MM = 4.0
"""What is bad about a place, weighed: words on words, a line through words, lines that cross, dimension lines close
beside each other, words over the part's outline, lines over it,
dimension lines along it, out of the room there is."""

THIN = np.array([1.0, 1.0, 1.0, 0.7, 1.0])
"""A dimension line lies along an outline if it is nearer than this share of CLOSE_MM's half."""

SWEEPS = 2
MOST_PLACES = 72
"""Places of one dimension that are looked into, the cheapest in themselves."""

NEAR_ENOUGH = 1e-9


@dataclass(frozen=True)
class Room:
    """What all dimensions have to mind. outlines: pieces of the part's lines; window: x0, y0, x1, y1 [mm]; clear: how
    many times as clear of the outlines as usual."""

    outlines: Floats
    window: tuple[float, float, float, float]
    clear: float = 1.0


class _Set:
    """The places of one dimension, as arrays."""

    def __init__(self, places: Sequence[Placed], room: Room) -> None:
        self.places = places
        count = len(places)
        self.pieces, self.owner = _stack([p.pieces for p in places])
        self.levels, self.level_owner = _stack([p.level for p in places])
        self.strips = _strips(self.levels)
        self.has_box = np.array([p.box is not None for p in places])
        self.boxes = np.array([p.box or (0.0, 0.0, 0.0, 0.0, 0.0) for p in places]).reshape(-1, 5)
        self.own = np.array([p.cost for p in places]) + self._outside(room)
        # Its own extension lines must not run through its words, either.
        inside = clash.length_in_own(self.pieces, self.boxes[self.owner])
        inside = np.where(self.has_box[self.owner], inside, 0.0)
        self.own += np.bincount(self.owner, (inside > 0.3) * LINE_IN_WORDS + inside * PER_MM_IN_WORDS, count)

    def best(self, most: int) -> list[int]:
        """Numbers of the places that are cheapest in themselves, in their own order."""
        return sorted(np.argsort(self.own, kind="stable")[:most].tolist())

    def mind(self, outlines: Floats, clear: float) -> None:
        """Count what its places cost beside the part's outlines, too, so many times."""
        if not len(outlines):
            return
        count = len(self.places)
        inside = clash.length_inside(outlines, self.boxes)
        hidden = (inside > 0.1) * 0.5 * OVER_OUTLINE + inside * PER_MM_OVER_OUTLINE
        self.own += clear * np.where(self.has_box, hidden.sum(axis=0), 0.0)
        across = clash.crossings(self.pieces, outlines).sum(axis=1)
        self.own += np.bincount(self.owner, clear * across * LINE_OVER_OUTLINE, count)
        along = clash.length_inside(outlines, self.strips * THIN).sum(axis=0)
        self.own += np.bincount(self.level_owner, clear * along * PER_MM_ALONG_OUTLINE, count)

    def _outside(self, room: Room) -> Floats:
        count = len(self.places)
        cost = np.zeros(count)
        x0, y0, x1, y1 = room.window
        out = clash.outer(self.boxes)
        over = sum(np.maximum(0.0, d) for d in (x0 - out[:, 0], y0 - out[:, 1], out[:, 2] - x1, out[:, 3] - y1))
        cost += np.where(self.has_box, over, 0.0) * OUTSIDE_PER_MM
        p = self.pieces
        left, right = np.minimum(p[:, 0], p[:, 2]), np.maximum(p[:, 0], p[:, 2])
        low, high = np.minimum(p[:, 1], p[:, 3]), np.maximum(p[:, 1], p[:, 3])
        over = sum(np.maximum(0.0, d) for d in (x0 - left, y0 - low, right - x1, high - y1))
        cost += np.bincount(self.owner, over * OUTSIDE_PER_MM, count)
        return cost

    def against(self, others: Sequence[tuple[_Set, int]]) -> Floats:
        """What each place costs beside the chosen ones of other dimensions."""
        count = len(self.places)
        cost = self.own.copy()
        if not others:
            return cost
        pieces = np.concatenate([s.pieces[s.owner == k] for s, k in others])
        strips = np.concatenate([s.strips[s.level_owner == k] for s, k in others])
        boxes = np.concatenate([s.boxes[k : k + 1][s.has_box[k : k + 1]] for s, k in others])
        cross = clash.crossings(self.pieces, pieces).sum(axis=1)
        cost += np.bincount(self.owner, cross * LINES_CROSS, count)
        through = clash.length_inside(pieces, self.boxes)
        words = ((through > 0.1) * LINE_IN_WORDS + through * PER_MM_IN_WORDS).sum(axis=0)
        cost += np.where(self.has_box, words, 0.0)
        if len(boxes):
            through = clash.length_inside(self.pieces, boxes)
            words = ((through > 0.1) * LINE_IN_WORDS + through * PER_MM_IN_WORDS).sum(axis=1)
            cost += np.bincount(self.owner, words, count)
            meet = clash.overlap(self.boxes, boxes)
            meet = ((meet > 1e-6) * WORDS_MEET + meet * PER_MM_MEET).sum(axis=1)
            cost += np.where(self.has_box, meet, 0.0)
        if len(strips) and len(self.strips):
            close = clash.overlap(self.strips, strips) > 1e-6
            alike = np.abs(np.sin(self.strips[:, None, 4] - strips[None, :, 4])) < 0.35
            cost += np.bincount(self.level_owner, (close & alike).sum(axis=1) * TOO_CLOSE, count)
        return cost


def arranged(choices: Sequence[Sequence[Placed]], room: Room) -> list[Placed]:
    """One place for each of several dimensions, given in the order in which they may choose."""
    sets = []
    for places in choices:
        one = _Set(places, room)
        if len(places) > MOST_PLACES:
            one = _Set([places[k] for k in one.best(MOST_PLACES)], room)
        one.mind(room.outlines, room.clear)
        sets.append(one)
    chosen: list[int] = []
    for k, one in enumerate(sets):
        chosen.append(int(np.argmin(one.against(list(zip(sets[:k], chosen, strict=True))))))
    for _ in range(SWEEPS):
        moved = False
        for k, one in enumerate(sets):
            cost = one.against([(sets[i], chosen[i]) for i in range(len(sets)) if i != k])
            best = int(np.argmin(cost))
            if cost[best] < cost[chosen[k]] - NEAR_ENOUGH:
                chosen[k], moved = best, True
        if not moved:
            break
    return [s.places[k] for s, k in zip(sets, chosen, strict=True)]


def _stack(lists: Sequence[Sequence[Piece]]) -> tuple[Floats, np.ndarray[tuple[int], np.dtype[np.int64]]]:
    owner = np.repeat(np.arange(len(lists)), [len(p) for p in lists])
    return np.array([p for pieces in lists for p in pieces], dtype=np.float64).reshape(-1, 4), owner


def _strips(pieces: Floats) -> Floats:
    """A box along each dimension line, in which no other that runs alike may lie."""
    dx, dy = pieces[:, 2] - pieces[:, 0], pieces[:, 3] - pieces[:, 1]
    half = np.maximum(0.5 * np.hypot(dx, dy) - 0.3, 0.1)
    middle = 0.5 * (pieces[:, :2] + pieces[:, 2:])
    return np.column_stack([middle, half, np.full(len(pieces), 0.5 * CLOSE_MM), np.arctan2(dy, dx)])
