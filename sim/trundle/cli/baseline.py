"""`trundle baseline`: keep the figures of a set of runs, and check that nothing got worse."""

from __future__ import annotations

import math
import os
import sys
from collections import Counter
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from trundle.cli.clusters import cluster_option
from trundle.cli.near import near_option, near_options
from trundle.errors import InputError, Problem
from trundle.fields.near import check_near
from trundle.findings.words import counted

if TYPE_CHECKING:
    from trundle.study.baseline import Baseline, Check
    from trundle.study.progress import Watch

LOST, ENDED_EARLY = 1, 3


@click.group("baseline")
def baseline() -> None:
    """Guard vehicles and courses against getting worse.

    What to guard stands in a small file of yours, shop.toml for example:

    \b
        vehicles = ["my-hull.toml", "teasel"]
        courses = ["kerb-100", "yard"]
        [tolerance]              # optional: how far a figure may move
        every = "3%"             # all figures that are not named here
        bump_stop_hits = 1       # in the figure's own unit
        peak_seat_g = 0.1

    \b
    trundle baseline keep shop.toml      run it all, keep the figures in shop.kept.json
    trundle baseline check shop.toml     later: run it again, say what moved

    A vehicle or course is a file, sought beside shop.toml first, or the name of one that comes with Trundle.
    Without [tolerance], 3 % is allowed on every figure but energy_error (0.0025), the standing wheel loads (0.2 %) and
    ride_height_mm (0.2). Each is the median of runs close by, and may also move by as much as these differ.
    """


_workers = click.option(
    "--workers", type=click.IntRange(1), metavar="N", help="Worker processes; default one per core."
)


@contextmanager
def _runs() -> Iterator[Watch]:
    """Shows how far the runs are."""
    with _ctrl_c():
        from trundle.study.progress import Watch

        watch = Watch()
        try:
            yield watch
        finally:
            watch.close()  # before any message, or the bar would stand behind it


@contextmanager
def _ctrl_c() -> Iterator[None]:
    """Ctrl-C before or after the runs, as while the libraries load; during them it is the study's own."""
    try:
        yield
    except KeyboardInterrupt:
        click.echo("\nthe baseline was stopped: nothing was kept or compared; the same command starts over", err=True)
        sys.exit(ENDED_EARLY)


@baseline.command("keep")
@click.argument("name")
@_workers
@cluster_option
@near_option
def keep(name: str, workers: int | None, cluster: str | None, near: int | None) -> None:
    """Run the set NAME and keep its figures.

    NAME is a file such as shop.toml (trundle baseline --help shows one), or one of scenarios/baselines.
    """
    check_near(near)
    with _runs() as watch:
        from trundle.result.ready import make_ready
        from trundle.study import baseline as guard
        from trundle.study.runs import How

        chosen = guard.open_baseline(name)
        if not cluster:
            make_ready()
        kept = guard.keep(chosen, How(workers=workers, cluster=cluster, progress=watch), options=near_options(near))
    short = [f"{r.vehicle} over {r.course}: {r.ended}" for r in kept.runs if r.ended]
    click.echo(f"Kept the figures of {counted(len(kept.runs), 'run')} in {chosen.kept}")
    for line in short:
        click.echo(f"kept as it is, though it does not reach the end: {line}")
    click.echo(_allowed(chosen))


@baseline.command("check")
@click.argument("name")
@click.option("--accept", metavar="REASON", help="Keep the new figures instead, with this reason.")
@click.option("--junit", type=click.Path(path_type=Path), metavar="FILE.xml", help="Write the result as JUnit XML too.")
@_workers
@cluster_option
@near_option
def check(
    name: str, accept: str | None, junit: Path | None, workers: int | None, cluster: str | None, near: int | None
) -> None:
    """Run the set NAME again and say what moved since it was kept. Exit code 1 if anything got worse.

    NAME is a file such as shop.toml (trundle baseline --help shows one), or one of scenarios/baselines.
    """
    if accept is not None and not accept.strip():
        raise InputError(Problem("needs a reason in words", "--accept"))
    check_near(near)
    with _runs() as watch:
        from trundle.result.ready import make_ready
        from trundle.study import baseline as guard
        from trundle.study.junit import OPTION, write_junit
        from trundle.study.kept import check_place
        from trundle.study.runs import How

        chosen = guard.open_baseline(name)
        if junit is not None:
            check_place(junit, OPTION)
            if os.path.realpath(junit) in map(os.path.realpath, (chosen.file, chosen.kept)):
                raise InputError(Problem("is the baseline's own file; another is wanted", OPTION, file=str(junit)))
        if not cluster:
            make_ready()
        found = guard.check(
            chosen, How(workers=workers, cluster=cluster, progress=watch), accept or "", near_options(near)
        )
    unwritten: InputError | None = None
    if junit is not None:  # before anything is printed: whoever reads may leave early (| head)
        try:
            write_junit(junit, found)
        except InputError as e:  # told last: what was found, and what was changed, is said first
            unwritten = e
    _tell(found)
    click.echo(_allowed(chosen))
    if accept:
        click.echo(f"Accepted: {accept.strip()}. The new figures are in {chosen.kept}")
    elif found.lost:
        click.echo(f"LOST: see above. If that is meant: baseline check {name} --accept REASON")
    else:
        click.echo(f"Held: {counted(len(found.runs), 'run')}, nothing got worse.")
    if unwritten:
        raise unwritten
    if found.lost and not accept:
        sys.exit(LOST)


def _allowed(chosen: Baseline) -> str:
    """How far figures may move, and where that is set."""
    from trundle.study.baseline import EVERY

    own = chosen.declared.tolerance
    said = []
    for name, amount in chosen.allowances.items():
        share = isinstance(amount, str) and "%" in amount
        by = f"{str(amount).replace('%', '').strip()} %" if share else str(amount)
        given = "" if name in own else " unless set"
        said.append(f"{'every figure' if name == EVERY else name} {by}{given}")
    return f'Allowed to move: {", ".join(said)}. Set by [tolerance] in {chosen.file}, like every = "2%"'


def _ranged(row: Mapping[Any, Any], when: str) -> str:
    """A figure with where it lies in near runs, in brackets; of one run alone."""
    from trundle.findings.words import ranged
    from trundle.study.report import cell

    value, low, high = (row[f"{when}{end}"] for end in ("", "_low", "_high"))
    if not isinstance(value, float) or not isinstance(low, float) or not isinstance(high, float):
        return cell(value)
    return ranged(value, low, high, cell)


ORDER = ("worse", "changed", "better")
"""In which order what moved is told: what hurts first."""


def _bad_first(row: Mapping[Any, Any]) -> tuple[int, float]:
    """The worse first, of these what moved furthest for its size."""
    by = row["by"]
    # What is no number (it no longer gets over) comes before all that is.
    told = isinstance(by, float) and math.isfinite(by)
    return ORDER.index(str(row["verdict"])), -abs(by) / max(abs(float(row["was"])), 1e-9) if told else -math.inf


def _tell(found: Check) -> None:
    from trundle.study.printed import print_table
    from trundle.study.report import cell

    if len(found.moved):
        moved = sorted(found.moved.to_dict("records"), key=_bad_first)
        worst, counts = moved[0], Counter(str(r["verdict"]) for r in moved)
        told = ", ".join(f"{counts[verdict]} {verdict}" for verdict in ORDER if counts[verdict])
        was, now = (_ranged(worst, when) for when in ("was", "now"))
        first = f"First: {worst['figure']} of {worst['vehicle']} over {worst['course']}, {was} -> {now}."
        click.echo(f"{counted(len(moved), 'figure')} moved: {told}. {first}\n")
        rows = []
        for r in moved:
            by = f"{r['by']:+.4g}" if isinstance(r["by"], float) else ""
            place = [str(r["vehicle"]), str(r["course"]), str(r["figure"])]
            was, now = (_ranged(r, when) for when in ("was", "now"))
            rows.append([*place, was, now, by, cell(r["allowed"]), str(r["verdict"])])
        heads = ["vehicle", "course", "figure", "was", "now", "moved by", "allowed", "verdict"]
        print_table(heads, rows)
    if found.causes:
        click.echo("Changed since it was kept:")
        for line in found.causes:
            click.echo(f"  {line}")
    elif len(found.moved):
        click.echo("No input, program or library changed since it was kept: this is another computer.")
