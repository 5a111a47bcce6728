"""`trundle new`: a vehicle file of your own, from answers to some questions or as a copy of another."""

from __future__ import annotations

import sys
from dataclasses import replace
from pathlib import Path

import click

from trundle.cli.new_file import check_free, no_option, place_for, write_new
from trundle.errors import ComputerError, InputError, Problem, plain


@click.command()
@click.argument("name", required=False)
@click.option("--like", metavar="VEHICLE", help="Copy this vehicle and call it NAME [teasel].")
@click.option("--from", "answers", metavar="FILE", help="A first design from answers in a file; asks nothing.")
@click.option("--answers", "blank", metavar="FILE", help="Write a file of answers to fill in.")
@click.option("--go-on", "kept", metavar="FILE", help="Go on with answers that were kept.")
@click.option("--out", type=click.Path(path_type=Path), metavar="FILE", help="The new file [NAME.toml].")
def new(
    name: str | None, like: str | None, answers: str | None, blank: str | None, kept: str | None, out: Path | None
) -> None:
    """Write a vehicle file of your own. No existing file is written over.

    Without NAME it asks what you build and what you have, fewer than 25 questions, and proposes a first design that
    stands. With NAME it copies a vehicle.
    """
    ways = {"NAME": name, "--from": answers, "--answers": blank, "--go-on": kept}
    given = [way for way, value in ways.items() if value is not None]
    if len(given) > 1:
        raise InputError(Problem(f"give one of {' and '.join(given)}", given[1]))
    if like is not None and name is None:
        raise InputError(Problem("is for a copy, which wants a name: trundle new NAME --like VEHICLE", "--like"))
    if name is not None:
        _copied(name, like or "teasel", out)
    elif answers is not None:
        _from_answers(answers, out)
    elif blank is not None:
        _blank(blank, out)
    else:
        _interview(kept, out)


def _copied(name: str, like: str, out: Path | None) -> None:
    """A copy of a vehicle under a new name."""
    import tomlkit

    from trundle.spec.reader import read_text
    from trundle.spec.shipped import find, names
    from trundle.spec.vehicle import load_vehicle

    source = find("vehicles", like)
    load_vehicle(source)  # a copy of what cannot be used is of no use
    try:
        load_vehicle(source, {"name": name})
    except InputError as e:
        raise e.told_as(replace(p, field="NAME", file="", line=0) for p in e.problems) from None
    document = tomlkit.parse(read_text(source))
    document["name"] = name
    document["note"] = f"Begun as a copy of {plain(source.stem)}."
    target = place_for(name, out)
    write_new(target, tomlkit.dumps(document))
    click.echo(f"Wrote {target}, a copy of {source.stem}. Measure your hull and change it, then")
    click.echo(f"  trundle sheet {target}")
    click.echo(f"  trundle run {target} kerb-100")
    click.echo(f"Others to start from: {', '.join(names('vehicles'))}; or let yourself be asked: trundle new")


def _from_answers(file: str, out: Path | None) -> None:
    """A first design from a file of answers."""
    from trundle.cli.first_design import propose_and_write
    from trundle.design.answers import load_answers
    from trundle.spec.lines import line_numbers
    from trundle.spec.reader import located, read_text

    text = read_text(Path(file))
    given = load_answers(file, text)
    target = place_for(given.name, out)
    check_free(target)
    try:
        propose_and_write(given, target)
    except InputError as e:
        if isinstance(e, ComputerError):
            raise
        raise located(e, file, line_numbers(text)) from None


def _blank(file: str, out: Path | None) -> None:
    """A file of answers to fill in."""
    from trundle.design.blank import blank

    if out is not None:
        raise InputError(Problem("--answers names the file that is written", "--out"))
    write_new(no_option(Path(file), "--answers"), blank(file), "--answers")
    click.echo(f"Wrote {file}. Fill in what you know, then")
    click.echo(f"  trundle new --from {file}")


def _interview(kept: str | None, out: Path | None) -> None:
    """Questions on the terminal."""
    if not (sys.stdin.isatty() and sys.stdout.isatty()):
        raise InputError(
            Problem(
                "asks its questions on a terminal, and this is none",
                field="trundle new",
                allowed="--from FILE with your answers (trundle new --answers FILE writes one to fill in), or "
                "NAME --like VEHICLE",
            )
        )
    from trundle.cli.interview.asked import interview

    interview(None if kept is None else Path(kept), out)
