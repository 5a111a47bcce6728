"""`trundle sheet`: from the vehicle file to what to know, cut, drill and bend."""

from __future__ import annotations

from pathlib import Path

import click

from trundle.cli.inputs import check_not_its_own, set_option, tell_doubts, vehicle_argument
from trundle.errors import InputError, Problem
from trundle.result.inputs import vehicle_input
from trundle.spec.reader import parse_settings


@click.command("sheet")
@vehicle_argument
@set_option
@click.option("--run", "run", metavar="RUN", help="Folder of a run: strength by its forces.")
@click.option("--factor", type=float, metavar="F", help="Without a run: worst over standing load (default 3).")
@click.option("--html", "html_file", metavar="FILE", help="Also write it as a page to print.")
@click.option("--pdf", "pdf_file", metavar="FILE", help="Also write it as PDF.")
@click.option(
    "--templates", "folder", metavar="DIR", help="Write templates at 1:1 of what is drilled or bent (PDF, SVG)."
)
@click.option("--paper", metavar="NAME", help="Of the templates: A4 (default), A3, Letter, Tabloid.")
@click.option("--sensitivity", "with_sensitivity", is_flag=True, help="What each dimension does, ranked.")
def sheet(
    vehicle: str,
    settings: tuple[str, ...],
    run: str | None,
    factor: float | None,
    html_file: str | None,
    pdf_file: str | None,
    folder: str | None,
    paper: str | None,
    with_sensitivity: bool,
) -> None:
    """Stand VEHICLE (a file, or the name of a shipped one) on level ground and print its sheet.

    Ride height, wheel loads, travel left, spring stress, natural frequencies; strength; what to cut, drill
    and bend.
    """
    from trundle.papers.loads import FACTOR, check_factor
    from trundle.papers.screen import print_document

    if paper is not None and folder is None:
        raise InputError(Problem("is of the templates", "--paper", allowed="with --templates DIR"))
    if factor is not None and run is not None:
        raise InputError(Problem("give a run or a factor, not both", argument="factor"))
    if factor is not None:
        check_factor(factor)
    file = vehicle_input(vehicle, parse_settings(settings))
    for option, out in (("--html", html_file), ("--pdf", pdf_file)):
        if out is not None:
            check_not_its_own(out, file.path, option)
    from trundle.papers.document import whole_sheet
    from trundle.plans.paper import DEFAULT, paper_named

    on = paper_named(paper) if paper is not None else DEFAULT
    try:
        with file.blamed():
            made = whole_sheet(
                file.vehicle,
                vehicle,
                Path(run) if run is not None else None,
                FACTOR if factor is None else factor,
                with_sensitivity,
                _progress if with_sensitivity else None,
            )
    except InputError:
        tell_doubts(file)  # they are on the sheet, if there is one; if not, they may be why
        raise
    wrote = []
    # Before anything is printed: whoever reads may leave early (| head), and the files are wanted all the same.
    if html_file is not None or pdf_file is not None or folder is not None:
        from trundle.papers.files import write_html, write_pdf

        if html_file is not None:
            wrote.append(write_html(made, Path(html_file)))
        if pdf_file is not None:
            wrote.append(write_pdf(made, Path(pdf_file)))
        if folder is not None:
            from trundle.plans.template_files import write_templates

            wrote += write_templates(file.vehicle, Path(folder), on)
    print_document(made.document)
    if wrote:
        click.echo("\n" + "\n".join(f"Written: {p}" for p in wrote))


def _progress(done: int, of: int) -> None:
    """One line on a terminal, nothing in a pipe."""
    import sys

    if sys.stderr.isatty():
        click.echo(f"\rtrying dimension {done + 1} of {of} ", nl=done + 1 == of, err=True)
