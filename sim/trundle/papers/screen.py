"""A sheet on a terminal."""

from __future__ import annotations

import io
import re
import shutil
import sys
from typing import IO

from rich.console import Console
from rich.padding import Padding
from rich.table import Table as RichTable
from rich.text import Text

from trundle.papers.parts import Document, Part, Table

WIDE = 150
"""Columns of text where there is no terminal that says its own."""


_FIGURE = re.compile(r"([-+±]?\s?\d[\d.]*(\s?[/x]\s?|\s\()?)+\)?(\s?(mm|deg|N|J|kg|kPa|MPa|%|N/mm))?|–|")


def is_figure(text: str) -> bool:
    """True for cells that are set to the right: numbers, with or without a unit, and gaps."""
    return _FIGURE.fullmatch(text) is not None


def as_text(document: Document) -> str:
    """All parts as plain text."""
    out = io.StringIO()
    print_document(document, out)
    return out.getvalue().rstrip()


def print_document(document: Document, stream: IO[str] | None = None) -> None:
    """Print all parts."""
    out = sys.stdout if stream is None else stream
    width = shutil.get_terminal_size().columns if out.isatty() else WIDE
    console = Console(file=out, width=width, highlight=False, emoji=False, markup=False)
    console.print(Text(document.title, style="bold"))
    if document.subtitle:
        console.print(Text(document.subtitle, style="dim"))
    for part in document.parts:
        _print_part(console, part)


def _print_part(console: Console, part: Part) -> None:
    console.print()
    console.print(Text(part.title, style="bold cyan"))
    if part.intro:
        console.print(Padding(Text(part.intro, style="dim"), (0, 0, 0, 2), expand=False))
    for line in part.loud:
        console.print(Padding(Text(f"!! {line}", style="bold red"), (0, 0, 0, 2), expand=False))
    for i, table in enumerate(part.tables):
        if i:
            console.print()
        console.print(Padding(_table(table), (0, 0, 0, 2), expand=False))
    for line in part.lines:
        console.print(Padding(Text(f"- {line}"), (0, 0, 0, 2), expand=False))


def _table(table: Table) -> RichTable:
    bare = not any(table.heads)
    rich = RichTable(box=None, pad_edge=False, show_header=not bare, header_style="bold", padding=(0, 2, 0, 0))
    for i, head in enumerate(table.heads):
        right = not bare and all(is_figure(row[i]) for row in table.rows)
        rich.add_column(Text(head), justify="right" if right else "left", vertical="top", overflow="fold")
    for row in table.rows:
        rich.add_row(*(Text(c) for c in row))
    return rich
