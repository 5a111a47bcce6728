"""`trundle buy`: what to buy for a vehicle, how to saw it, and what it weighs."""

from __future__ import annotations

from pathlib import Path

import click

from trundle.cli.inputs import check_not_its_own, set_option, vehicle_argument, vehicle_file
from trundle.errors import InputError, Problem


@click.command("buy")
@vehicle_argument
@set_option
@click.option("--kerf-mm", type=float, metavar="MM", help="Width of a saw cut [2].")
@click.option(
    "--stock-mm",
    "stock_mm",
    type=float,
    multiple=True,
    metavar="MM",
    help="Length in which bars are had, in place of the usual ones. Repeatable.",
)
@click.option(
    "--sheet-mm",
    "sheet_mm",
    multiple=True,
    metavar="MMxMM",
    help="Size in which plate is had, in place of the usual ones: 500x250. Repeatable.",
)
@click.option("--csv", "csv_file", metavar="FILE", help="Also write all lists as CSV.")
@click.option("--xlsx", "xlsx_file", metavar="FILE", help="Also write them as a spreadsheet, a sheet for each.")
def buy(
    vehicle: str,
    settings: tuple[str, ...],
    kerf_mm: float | None,
    stock_mm: tuple[float, ...],
    sheet_mm: tuple[str, ...],
    csv_file: str | None,
    xlsx_file: str | None,
) -> None:
    """What to cut and buy for the running gear of VEHICLE (a file, or the name of a shipped one).

    The cut list; bars and plate with what is sawn from each, so that least is bought; bolts, nuts and washers; what is
    bought ready; what the arms weigh beside the file.
    """
    file = vehicle_file(vehicle, settings)
    for option, out in (("--csv", csv_file), ("--xlsx", xlsx_file)):
        if out is not None:
            check_not_its_own(out, file.path, option)
    from trundle.making.buying import KERF_MM
    from trundle.papers.buying import whole_list
    from trundle.papers.screen import print_document

    sizes = [_size(text) for text in sheet_mm]
    with file.blamed():
        found = whole_list(file.vehicle, vehicle, KERF_MM if kerf_mm is None else kerf_mm, stock_mm, sizes)
    wrote = []
    if csv_file is not None or xlsx_file is not None:
        from trundle.papers.buying_table import write_csv, write_xlsx

        # Before anything is printed: whoever reads may leave early (| head), and the files are wanted all the same.
        if csv_file is not None:
            wrote.append(write_csv(found.figures, Path(csv_file)))
        if xlsx_file is not None:
            wrote.append(write_xlsx(found.figures, Path(xlsx_file)))
    print_document(found.document)
    if wrote:
        click.echo("\n" + "\n".join(f"Written: {p}" for p in wrote))


def _size(text: str) -> tuple[float, float]:
    """ "500x250". Raises InputError."""
    first, _, second = text.lower().replace("×", "x").partition("x")
    try:
        return float(first), float(second)
    except ValueError:
        raise InputError(
            Problem(f'"{text}" is no size of a sheet', argument="sheet_mm", allowed="length x width in mm: 500x250")
        ) from None
