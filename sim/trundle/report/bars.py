"""Bars of progress on a terminal: what they say is shown as it is written, never read as markup."""

from __future__ import annotations

from typing import TextIO

from rich.console import Console
from rich.progress import Progress, ProgressColumn, TextColumn


def words() -> TextColumn:
    """The column with what is going on. A vehicle may be called `[/x]`."""
    return TextColumn("{task.description}", markup=False)


def bar(*columns: ProgressColumn, file: TextIO | None = None) -> Progress:
    """A bar (on stderr unless `file` is given) that leaves nothing behind; not started, without a task."""
    console = Console(file=file, stderr=file is None, markup=False, emoji=False, highlight=False)
    return Progress(*columns, console=console, transient=True, disable=not console.is_terminal)
