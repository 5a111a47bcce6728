"""Where the labels of a drawn course go, so that none lies on another or is crossed by a leader."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

MOST_LEVELS = 7
"""Labels that would have to stand higher than this are left out; the drawing says how many."""


@dataclass(frozen=True)
class Flag:
    """A label hung on a leader like a flag on its pole."""

    index: int
    """Which label."""

    at: float
    """Where its leader stands."""

    left: float
    """Where its text begins."""

    right: float
    """Where its text ends."""

    level: int
    """How high it hangs: 0 is just above the ground."""


def place(poles: Sequence[float], widths: Sequence[float], end: float, space: float) -> list[Flag]:
    """Flags for leaders at `poles`, in rising order, with texts `widths` wide, none reaching beyond `end`.

    All lengths in one unit. Worked from right to left: a flag hangs to the right of its pole, so a pole
    that must reach higher stands clear of every text hung before. A flag hangs to the left near the end,
    or where no other pole stands there and it can hang much lower.
    """
    hung: list[Flag] = []
    for i in reversed(range(len(poles))):
        at, width = poles[i], widths[i]
        right_hand = [Flag(i, at, at, at + width, level) for level in range(MOST_LEVELS)]
        left_hand = [Flag(i, at, at - width, at, level) for level in range(MOST_LEVELS)]
        in_the_way = i > 0 and poles[i - 1] > at - width - space
        if at + width > end:
            options = left_hand
        elif in_the_way or at < width:
            options = right_hand
        else:  # two levels down on the left are worth the change of side
            options = sorted(right_hand + left_hand, key=lambda f: f.level + 1.5 * (f.left < f.at))
        fit = next((f for f in options if _clear(f, hung, space)), None)
        if fit is not None:
            hung.append(fit)
    return hung[::-1]


def _clear(flag: Flag, hung: Sequence[Flag], space: float) -> bool:
    for other in hung:
        if flag.level == other.level and flag.left < other.right + space and other.left < flag.right + space:
            return False
        if other.level < flag.level and other.left - space < flag.at < other.right + space:
            return False
        if other.level > flag.level and flag.left - space < other.at < flag.right + space:
            return False
    return True
