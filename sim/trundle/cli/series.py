"""`trundle series`: a kept run's time series as CSV or as a spreadsheet."""

from __future__ import annotations

from pathlib import Path

import click

from trundle.errors import InputError, Problem
from trundle.findings.words import counted


@click.command("series")
@click.argument("run", metavar="RUN")
@click.argument("file", metavar="FILE.csv|.xlsx", type=click.Path(path_type=Path))
@click.option(
    "--columns", multiple=True, metavar="NAME", help="Only these, * for any part: 'wheel.*.load_N'. Repeatable."
)
@click.option("--every-ms", type=float, metavar="MS", help="One row in so many ms [every step].")
@click.option("--from", "from_s", type=float, metavar="SECONDS", help="From there on.")
@click.option("--to", "to_s", type=float, metavar="SECONDS", help="Up to there.")
def series(
    run: str, file: Path, columns: tuple[str, ...], every_ms: float | None, from_s: float | None, to_s: float | None
) -> None:
    """Write the time series of RUN, a folder that `trundle run` kept, into FILE: one row a step, one column a figure.

    Every column names its unit. An .xlsx has the events and the figures on sheets of their own.
    """
    from trundle.cli.waiting import progress
    from trundle.record.series import check_kind, chosen_columns, chosen_rows, write_series
    from trundle.record.store import read_run

    check_kind(file)
    folder = Path(run)
    kept = read_run(folder)
    if file.resolve().parent == folder.resolve() and file.name in {p.name for p in folder.iterdir()}:
        raise InputError(Problem("is a file of the run itself; another name is wanted", "FILE", file=str(file)))
    names = chosen_columns(kept.log, columns)
    rows = chosen_rows(kept.log, from_s, to_s, None if every_ms is None else every_ms * 1e-3)
    with progress(f"writing {file.name}") as tell:
        count = write_series(kept, file, names, rows, tell)
    click.echo(f"{count:,} row{'' if count == 1 else 's'} of {counted(len(names), 'column')} in {file}.")
    if rows.step > 1:
        click.echo("Peaks between these rows are not in it: they are in events.csv and summary.json of the run.")
