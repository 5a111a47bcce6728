"""What a sheet consists of: titled parts of tables and lines, the same for screen, page and paper."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

CARE = (
    "A planar estimate, not a certificate. Guards over track and springs, a kill switch and a test at "
    "walking pace come before a rider. A bent leaf or pressed coil throws parts when it slips: clamp it "
    "before you let go. Local rules and a licensed engineer decide where people or public places "
    "are involved."
)
"""The caution on every sheet."""


@dataclass(frozen=True)
class Table:
    """Heads and rows of text. A head's unit is part of it."""

    heads: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


@dataclass(frozen=True)
class Part:
    """A titled part. intro: before the tables. lines: after them. loud: what must be seen first."""

    title: str
    intro: str = ""
    tables: tuple[Table, ...] = ()
    lines: tuple[str, ...] = ()
    loud: tuple[str, ...] = field(default=())


@dataclass(frozen=True)
class Document:
    """A whole sheet. picture: SVG text of the side view, for pages."""

    title: str
    subtitle: str
    parts: tuple[Part, ...]
    picture: str = ""


def number(value: float, digits: int = 0) -> str:
    """A figure to `digits` places, never "-0"; a dash for none or without limit."""
    if value != value or value in (float("inf"), float("-inf")):
        return "–"
    text = f"{value:.{digits}f}"
    return text.lstrip("-") if float(text) == 0.0 else text


def names(items: Iterable[str]) -> str:
    """ "a", "a and b", "a, b and c"."""
    found = list(dict.fromkeys(items))
    return " and ".join([", ".join(found[:-1]), found[-1]]) if len(found) > 1 else "".join(found)


def merged(rows: Sequence[Sequence[str]], column: int = 0) -> tuple[tuple[str, ...], ...]:
    """Rows that read alike but for one column as one row naming all: equal bogies are said once."""
    groups: dict[tuple[str, ...], list[str]] = {}
    for row in rows:
        rest = tuple(c for i, c in enumerate(row) if i != column)
        groups.setdefault(rest, []).append(row[column])
    return tuple((*rest[:column], names(who), *rest[column:]) for rest, who in groups.items())
