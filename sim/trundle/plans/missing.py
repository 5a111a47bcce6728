"""What is not drawn, since the file does not say it, and which field would add it."""

from __future__ import annotations

from collections.abc import Iterator

from trundle.drawing.marks import Mark, Text
from trundle.elevation.words import LINE, broken
from trundle.plans.page import Page, room
from trundle.plans.subject import Subject

TEXT_MM, HEAD_MM = 2.8, 4.0


def pages(subject: Subject) -> Iterator[Page]:
    """Sheets with all of it; none where nothing is left out."""
    told = left_out(subject)
    if not told:
        return
    paper = subject.paper.turned(False)
    left, low, right, high = room(paper)
    rows = [row for words in told for row in _entry(words, right - left)]
    most = max(1, int((high - low - 4.0 * HEAD_MM) / (LINE * TEXT_MM)))
    for k in range(0, len(rows), most):
        marks: list[Mark] = [
            Text(left, high - 1.5 * HEAD_MM, "Not drawn: the file does not say it", HEAD_MM, bold=True)
        ]
        top = high - 3.0 * HEAD_MM
        for n, row in enumerate(rows[k : k + most]):
            marks.append(Text(left, top - (1.0 + n * LINE) * TEXT_MM, row, TEXT_MM))
        yield Page("LO", "left out", paper, "none", tuple(marks))


def left_out(subject: Subject) -> list[str]:
    """In words, once each."""
    return list(dict.fromkeys([*subject.left_out, *(w for b in subject.bolted for w in b.left_out)]))


def _entry(words: str, wide: float) -> list[str]:
    first, *more = broken(f"-  {words}", wide, TEXT_MM)
    return [first, *(f"    {row}" for row in more)]
