"""`trundle pack`: drawings to build from, as a stack of prints."""

from __future__ import annotations

import re
import sys
import time
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

import click

from trundle.cli.inputs import set_option, tell_doubts, vehicle_argument
from trundle.errors import InputError, Problem
from trundle.result.inputs import vehicle_input
from trundle.spec.reader import parse_settings

if TYPE_CHECKING:
    from trundle.plans.pack import Pack
    from trundle.plans.paper import Paper

PATIENCE_S = 2.0
"""Before anything is said while it works."""

WIDE = 78
"""Letters of the line that says what is drawn."""

OURS = re.compile(r"\d{2,}-[a-z0-9-]+\.svg")


@click.command("pack")
@vehicle_argument
@set_option
@click.option("--out", metavar="FILE.pdf", help="Where to write it [results/NAME-pack.pdf].")
@click.option("--svg", "folder", metavar="DIR", help="Also write each sheet as SVG, into a folder of its own.")
@click.option("--paper", "paper_name", metavar="NAME", help="A4, A3, Letter or Tabloid [A3].")
@click.option(
    "--only", multiple=True, metavar="KIND", help="Only such sheets, e.g. general, bogies, track. Repeatable."
)
def pack(
    vehicle: str,
    settings: tuple[str, ...],
    out: str | None,
    folder: str | None,
    paper_name: str | None,
    only: tuple[str, ...],
) -> None:
    """Draw all that is made of VEHICLE (a file, or the name of a shipped one), to build from.

    Contents first, with what keeps it from being built and what the file leaves out; then the general arrangement,
    bogies put together, the track's run, each part, each stack on a bolt, templates at 1:1, lists; each to scale, as
    vector PDF.
    """
    started = time.monotonic()
    file = vehicle_input(vehicle, parse_settings(settings))
    target = Path(out) if out is not None else Path("results") / f"{file.stem}-pack.pdf"
    _check_target(target, file.path)
    from trundle.plans.pack import chosen

    paper, kinds = _paper(paper_name), chosen(only)
    if folder is not None:
        from trundle.record.folder import check_folder

        check_folder(Path(folder), _is_ours, "--svg")
    tell_doubts(file)
    from trundle.making.fits import remarks
    from trundle.papers.ground import stand_level
    from trundle.plans.pack import pack as packed
    from trundle.plans.subject import subject_of

    said = _Told(started)
    day = _day(file.path)
    with file.blamed():
        source = file.path.name if file.path is not None else f"{file.stem}.toml"
        subject = subject_of(file.vehicle, stand_level(file.vehicle), source, day.date().isoformat(), paper)
        made = packed(subject, kinds, said)
    content = made.pdf(day)
    said.end()
    _write(made, content, target, Path(folder) if folder is not None else None)
    if faults := len(remarks(file.vehicle)):
        click.echo(
            f"It cannot be built as drawn: {faults} fault{'s' if faults > 1 else ''}, on the first sheet; trundle fits "
            f"{vehicle} tells {'them' if faults > 1 else 'it'}."
        )


def _check_target(target: Path, source: Path | None) -> None:
    """Before any work: raises InputError for a file that cannot be meant."""
    if target.suffix.lower() != ".pdf":
        raise InputError(Problem(f'cannot write a "{target.suffix}" file', "--out", allowed=".pdf; --svg DIR for SVG"))
    if source is not None and target.exists() and target.resolve() == source.resolve():
        raise InputError(Problem("is the vehicle's own file; another is wanted", "--out", file=str(target)))


def _paper(name: str | None) -> Paper:
    from trundle.plans.paper import PAPERS

    if name is None:
        return PAPERS["A3"]
    known = {k.lower(): p for k, p in PAPERS.items()}
    if name.lower() not in known:
        raise InputError(Problem(f'"{name}" is no paper that is known here', "--paper", allowed=", ".join(PAPERS)))
    return known[name.lower()]


def _day(path: Path | None) -> datetime:
    """Of the vehicle's file: drawings of an unchanged file are the same to the last byte."""
    return datetime.fromtimestamp(path.stat().st_mtime if path is not None else time.time()).astimezone()


def _is_ours(name: str) -> bool:
    return OURS.fullmatch(name) is not None


def _write(made: Pack, content: bytes, target: Path, folder: Path | None) -> None:
    from trundle.plans.contents import title_of
    from trundle.record.files import write_bytes

    write_bytes(target, content, "--out")
    sizes = dict.fromkeys(p.paper.name for p in made.pages)
    click.echo(f"Drawn in {target}: {len(made.pages)} sheets of {' and '.join(sizes)}. Print at 100 %.")
    if folder is not None:
        from trundle.record.folder import write_folder

        count = len(str(len(made.pages)))
        files = {
            f"{n:0{max(count, 2)}}-{_stem(page.mark, title_of(page, made.subject))}.svg": drawing.svg().encode()
            for n, (page, drawing) in enumerate(zip(made.pages, made.drawings(), strict=True), 1)
        }
        write_folder(folder, files, _is_ours, "--svg")
        click.echo(f"Drawn in {folder}: each sheet as SVG.")
    for page in made.pages:
        scale = "" if page.scale == "none" else f", {page.scale}"
        click.echo(f"  {page.mark:6} {title_of(page, made.subject)}{scale}")


def _stem(mark: str, title: str) -> str:
    """A file name's: letters, digits and dashes."""
    return re.sub(r"[^a-z0-9]+", "-", f"{mark} {title}".lower()).strip("-")[:80] or "sheet"


class _Told:
    """One line on a terminal, once it takes longer than one waits without a word; nothing in a pipe."""

    def __init__(self, started: float) -> None:
        self.started, self.told = started, False

    def __call__(self, what: str, sheets: int) -> None:
        if sys.stderr.isatty() and time.monotonic() - self.started > PATIENCE_S:
            told = f"drawing, {sheets} sheets so far: {what}"
            click.echo(f"\r{told[:WIDE].ljust(WIDE)}", nl=False, err=True)
            self.told = True

    def end(self) -> None:
        """The line goes."""
        if self.told:
            click.echo("\r" + " " * WIDE + "\r", nl=False, err=True)
