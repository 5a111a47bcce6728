"""A first design made, written and told."""

from __future__ import annotations

import datetime
import shutil
import textwrap
from pathlib import Path

import click

from trundle.cli.new_file import write_new
from trundle.cli.waiting import busy
from trundle.design.answers import Answers

WIDEST = 110
"""Columns that a line takes at most; its second line is set in."""


def _wrapped(line: str) -> list[str]:
    columns = min(max(shutil.get_terminal_size().columns, 50), WIDEST)
    return textwrap.wrap(
        line, columns, initial_indent="  ", subsequent_indent="    ", break_on_hyphens=False, break_long_words=False
    )


def propose_and_write(answers: Answers, target: Path) -> None:
    """Raises InputError where nothing can be made of the answers, or the file cannot be written."""
    from trundle.design.kerb import course_words
    from trundle.design.proposal import proposed
    from trundle.design.told import short_of, told
    from trundle.design.written import file_text

    with busy("Fitting springs, standing it, rolling it over the kerb"):
        proposal = proposed(answers)
    write_new(target, file_text(proposal, target.name, datetime.date.today().isoformat()))
    short = short_of(proposal)
    click.echo(f"Wrote {target}: {answers.name}, a first design that stands{', but' if short else '.'}")
    for worst in short:
        click.echo("\n".join(_wrapped(f"! {worst}")))
    for title, lines in told(proposal):
        click.echo(f"\n{title}")
        for line in lines:
            click.echo("\n".join(_wrapped(line)))
    click.echo("\nNext")
    click.echo(f"  trundle sheet {target}   how it stands, what its steel bears, what to cut and drill")
    click.echo(f"  trundle draw {target}   every dimension in its place")
    course = course_words(proposal.stood.design.known.kerb_mm)
    click.echo(f"  trundle run {target} {course}   rolls it over its course")
