"""`trundle baseline`: keep the figures of a set of runs, and check that nothing got worse."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from sim.errors import InputError, Problem
from sim.findings.words import counted

if TYPE_CHECKING:
    from sim.study.baseline import Check

LOST = 1


@click.group("baseline")
def baseline() -> None:
    """Guard vehicles and courses against getting worse."""


_workers = click.option(
    "--workers", type=click.IntRange(1), metavar="N", help="Worker processes; default one per core."
)
_cluster = click.option(
    "--cluster", metavar="ADDRESS", help="A running distributed scheduler to use instead."
)


@baseline.command("keep")
@click.argument("name")
@_workers
@_cluster
def keep(name: str, workers: int | None, cluster: str | None) -> None:
    """Run the set NAME (a TOML file, or one of scenarios/baselines) and keep its figures."""
    from sim.study import baseline as guard
    from sim.study.progress import Watch
    from sim.study.runs import How

    watch = Watch()
    chosen = guard.open_baseline(name)
    try:
        kept = guard.keep(chosen, How(workers=workers, cluster=cluster, progress=watch))
    finally:
        watch.close()
    short = [f"{r.vehicle} over {r.course}: {r.ended}" for r in kept.runs if r.ended]
    click.echo(f"Kept the figures of {counted(len(kept.runs), 'run')} in {chosen.kept}")
    for line in short:
        click.echo(f"kept as it is, though it does not reach the end: {line}")


@baseline.command("check")
@click.argument("name")
@click.option("--accept", metavar="REASON", help="Keep the new figures instead, with this reason.")
@click.option(
    "--junit", type=click.Path(path_type=Path), metavar="FILE.xml", help="Write the result as JUnit XML too."
)
@_workers
@_cluster
def check(
    name: str, accept: str | None, junit: Path | None, workers: int | None, cluster: str | None
) -> None:
    """Run the set NAME again and say what moved since it was kept. Exit code 1 if anything got worse."""
    from sim.study import baseline as guard
    from sim.study.files import write_text
    from sim.study.junit import junit_xml
    from sim.study.progress import Watch
    from sim.study.runs import How

    if accept is not None and not accept.strip():
        raise InputError(Problem("needs a reason in words", "--accept"))
    watch = Watch()
    chosen = guard.open_baseline(name)
    try:
        found = guard.check(chosen, How(workers=workers, cluster=cluster, progress=watch), accept or "")
    finally:
        watch.close()
    if junit is not None:  # before anything is printed: whoever reads may leave early (| head)
        write_text(junit, junit_xml(found))
    _tell(found)
    if accept:
        click.echo(f"Accepted: {accept.strip()}. The new figures are in {chosen.kept}")
    elif found.lost:
        click.echo("LOST: see above. If that is meant: baseline check NAME --accept REASON")
        sys.exit(LOST)
    else:
        click.echo(f"Held: {counted(len(found.runs), 'run')}, nothing got worse.")


def _tell(found: Check) -> None:
    from sim.study.printed import print_table
    from sim.study.report import cell

    if len(found.moved):
        rows = []
        for r in found.moved.to_dict("records"):
            by = f"{r['by']:+.4g}" if isinstance(r["by"], float) else ""
            place = [str(r["vehicle"]), str(r["course"]), str(r["figure"])]
            rows.append([*place, cell(r["was"]), cell(r["now"]), by, cell(r["allowed"]), str(r["verdict"])])
        heads = ["vehicle", "course", "figure", "was", "now", "moved by", "allowed", "verdict"]
        print_table(heads, rows)
    if found.causes:
        click.echo("Changed since it was kept:")
        for line in found.causes:
            click.echo(f"  {line}")
    elif len(found.moved):
        click.echo("No input, program or library changed since it was kept: the machine is not the same.")
