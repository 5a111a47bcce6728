"""What came of a mend on the screen."""

from __future__ import annotations

from rich.console import Console
from rich.padding import Padding
from rich.text import Text

from trundle.findings.figures import figure_of
from trundle.study.mend.found import Found
from trundle.study.mend.judge import said


def print_mended(mended: Found, console: Console) -> None:
    """The finding, then what helps with what it costs and how it is written, then what was tried."""
    console.print(Text(f"{mended.title}: what to change", style="bold"))
    console.print(Text(mended.aim))
    if mended.finding is not None and mended.finding.causes:
        console.print(Text(f"Because: {'; '.join(mended.finding.causes)}."))
    if mended.none_told:
        console.print(Text(mended.none_told))
    for i, help_ in enumerate(mended.helps, 1):
        assert mended.finding is not None
        figure = figure_of(mended.finding.figure)
        console.print()
        console.print(Text.assemble((f"{i}  {help_.words}", "bold")))
        console.print(Padding(Text(f"{figure.title} {said(help_.gain.after, figure)}"), (0, 0, 0, 3)))
        console.print(Padding(Text(f"costs: {help_.costs_told}"), (0, 0, 0, 3)))
        if help_.remains:
            console.print(Padding(Text(help_.remains_told), (0, 0, 0, 3)))
        for line in (help_.option, *help_.pasted):
            # Never wrapped: it is to be copied.
            console.print(Text(f"   {line}", style="dim"), soft_wrap=True)
    if mended.tally:
        console.print()
        console.print(Text(mended.tally))
