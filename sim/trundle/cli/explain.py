"""`trundle explain`: what a field, table or kind is, how it is measured, and where it is on the part."""

from __future__ import annotations

import shutil
from collections.abc import Sequence
from pathlib import Path

import click

from trundle.cli.explain_lines import overview, told
from trundle.errors import InputError, Problem
from trundle.guide.entries import Entry
from trundle.guide.find import Family, Found, asked_for, find
from trundle.guide.words import Word
from trundle.record.files import write_bytes

FORMATS = ("png", "svg", "pdf")

WIDEST = 100
"""Columns of a terminal that the text takes at most."""

PICTURE_PX = 1600


@click.command("explain")
@click.argument("words", metavar="[WORDS]...", nargs=-1)
@click.option("--picture", type=str, metavar="FILE.png", help="Draw it: a .png, .svg or .pdf.")
@click.option("--page", type=str, metavar="FILE.html", help="The whole guide as one page, to read, search and print.")
def explain(words: tuple[str, ...], picture: str | None, page: str | None) -> None:
    """What a field is, from where to where it is measured, how, and what goes wrong if it is wrong.

    \b
    trundle explain                          what stands in a file
    trundle explain hull.com_mm              a field
    trundle explain bogie                    a table, or all kinds of one
    trundle explain "leaf across"            a kind
    trundle explain shock                    a word of the trade
    """
    asked = " ".join(words)
    if page is not None:
        _write_page(Path(page))
        if not asked:
            return
    if not asked:
        if picture is not None:
            raise InputError(Problem("of what?", argument="picture", allowed="trundle explain WORDS --picture FILE"))
        click.echo("\n".join(overview(_columns())))
        return
    found = find(asked)
    if not found.topics:
        raise InputError(Problem(f'nothing in the guide goes by "{asked}"{_perhaps(found.near)}'))
    if picture is not None:
        _draw(found, asked, Path(picture))
    click.echo("\n".join(told(found, asked, _columns())))


def _perhaps(near: Sequence[str]) -> str:
    if not near:
        return "; trundle explain lists what stands in a file"
    return "; did you mean " + " or ".join(", ".join(f'"{n}"' for n in near).rsplit(", ", 1)) + "?"


def _draw(found: Found, asked: str, file: Path) -> None:
    kind = file.suffix.lower().removeprefix(".")
    if kind not in FORMATS:
        raise InputError(Problem(f'cannot draw a "{file.suffix}" file', argument="picture", allowed=".png, .svg, .pdf"))
    if len(found.topics) > 1:
        raise InputError(
            Problem(f'"{asked}" is {len(found.topics)} things', allowed=", ".join(asked_for(t) for t in found.topics))
        )
    (topic,) = found.topics
    if isinstance(topic, Family):
        names = ", ".join(t.name for t in topic.kinds)
        raise InputError(Problem(f"a {topic.name} is drawn by its kind", argument="picture", allowed=names))
    if isinstance(topic, Word):
        raise InputError(Problem(f"there is no picture of {topic.name}", argument="picture"))
    from trundle.guide.picture import picture

    table, field = (topic.table, topic.name) if isinstance(topic, Entry) else (topic, None)
    try:
        drawing = picture(table, field)
    except (NotImplementedError, KeyError):
        raise InputError(Problem(f"there is no picture of {asked_for(topic)}", argument="picture")) from None
    if kind == "png":
        made = drawing.png(width_px=PICTURE_PX)
    else:
        made = drawing.pdf() if kind == "pdf" else drawing.svg().encode()
    write_bytes(file, made, "--picture")
    click.echo(f"Drawn in {file}.", err=True)


def _write_page(file: Path) -> None:
    if file.suffix.lower() not in (".html", ".htm"):
        raise InputError(Problem(f'the guide is no "{file.suffix}" file', argument="page", allowed=".html"))
    from trundle.cli.waiting import progress
    from trundle.guide.page import guide_html

    with progress("drawing the guide") as tell:
        made = guide_html(tell).encode()
    write_bytes(file, made, "--page")
    click.echo(f"The guide is in {file}.", err=True)


def _columns() -> int:
    wide = shutil.get_terminal_size((WIDEST, 24)).columns
    return min(wide, WIDEST)
