"""Marks that have their place already, for dimensions that still choose theirs."""

from __future__ import annotations

import math
from collections.abc import Sequence

from trundle.drawing.marks import Circle, Group, Line, Mark, Text
from trundle.drawing.placed import Box, Label, Placed, Style


def holds(marks: Sequence[Mark], keep_off: bool = False) -> list[Placed]:
    """Lines and words as places that are no choice. keep_off: no dimension line lies close beside one of the lines, and
    rings are kept clear like words."""
    found: list[Placed] = []
    for m in marks:
        match m:
            case Group(marks=inner):
                found += holds(inner, keep_off)
            case Line():
                piece = (m.x0, m.y0, m.x1, m.y1)
                found.append(Placed(0.0, [piece], [piece] if keep_off else [], None, lambda pen: []))
            case Text():
                found.append(Placed(0.0, [], [], box_of(m), lambda pen: []))
            case Circle() if keep_off and not m.filled:
                found.append(Placed(0.0, [], [], (m.x, m.y, m.radius, m.radius, 0.0), lambda pen: []))
            case _:
                pass  # rings, arrowheads and dots lie on lines
    return found


def texts_of(marks: Sequence[Mark]) -> list[Text]:
    """All words among marks, those in groups too."""
    found: list[Text] = []
    for m in marks:
        if isinstance(m, Group):
            found += texts_of(m.marks)
        elif isinstance(m, Text):
            found.append(m)
    return found


def box_of(text: Text) -> Box:
    """The room of a text: middle, half its width and height, turn [rad]."""
    turn = math.radians(text.turn_deg)
    label = Label((text.text,), Style(text=text.size, bold=text.bold))
    along = (0.5 - text.shift) * label.width
    box = label.box(text.x + along * math.cos(turn), text.y + along * math.sin(turn), turn)
    assert box is not None
    return box
