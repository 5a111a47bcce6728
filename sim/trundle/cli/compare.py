"""`trundle compare`: many runs of one vehicle with this or that changed."""

from __future__ import annotations

import math
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from trundle.cli.clusters import cluster_option
from trundle.cli.designs import split
from trundle.cli.near import near_option
from trundle.errors import InputError, Problem
from trundle.fields.near import check_near
from trundle.findings.words import counted

if TYPE_CHECKING:
    from trundle.study.designs import Design
    from trundle.study.find import Found
    from trundle.study.runs import How, Study

EARLY = 3
"""Exit code of a study that was stopped: what is done is kept."""


@click.command("compare")
@click.argument("given", metavar="VEHICLE... COURSE...", nargs=-1, required=True)
@click.option(
    "--vary",
    multiple=True,
    metavar="PATH=V1,V2|A:B:STEP",
    help="Values of a field; vehicle=A.toml,B.toml for files.",
)
@click.option("--listed", is_flag=True, help="Take the values side by side instead of every combination.")
@click.option("--speed", "speeds", multiple=True, metavar="M_S[,M_S]", help="Target speeds [m/s].")
@click.option("--set", "settings", multiple=True, metavar="PATH=VALUE", help="A field that all runs have changed.")
@click.option(
    "--tolerance", multiple=True, metavar="PATH=5%|PATH=2", help="How far a field may be off, to either side."
)
@click.option("--samples", type=click.IntRange(2, 100_000), help="Vehicles to draw (256), or runs of a search (400).")
@click.option("--seed", type=click.IntRange(0), default=1, show_default=True, help="The same seed, the same draw.")
@click.option(
    "--find", "search", is_flag=True, help="Look for the settings that hold all limits with least seat r.m.s."
)
@click.option(
    "--limit", "limits", multiple=True, metavar="FIGURE<VALUE", help="peak_seat_g<1.5, bump_stop_hits<=0, ..."
)
@near_option
@click.option("--dt-ms", type=float, metavar="MS", help="Time step [ms].")
@click.option("--ground-mm", type=float, metavar="MM", help="Ground grid [mm]; default 5.")
@click.option("--workers", type=click.IntRange(1), metavar="N", help="Worker processes; default one per core.")
@cluster_option
@click.option(
    "--budget-s",
    type=click.FloatRange(0, min_open=True),
    default=600.0,
    show_default=True,
    metavar="S",
    help="Longest time one run may take [s].",
)
@click.option("--out", type=click.Path(path_type=Path), metavar="DIR", help="Where tables, report and journal go.")
@click.option("--timelines", is_flag=True, help="Keep the time series of every run too.")
@click.option("--yes", is_flag=True, help="Start however many runs it is, and however long they are.")
def compare(
    given: tuple[str, ...],
    vary: tuple[str, ...],
    listed: bool,
    speeds: tuple[str, ...],
    settings: tuple[str, ...],
    tolerance: tuple[str, ...],
    samples: int | None,
    seed: int,
    search: bool,
    limits: tuple[str, ...],
    near: int | None,
    dt_ms: float | None,
    ground_mm: float | None,
    workers: int | None,
    cluster: str | None,
    budget_s: float,
    out: Path | None,
    timelines: bool,
    yes: bool,
) -> None:
    """Run VEHICLE over every COURSE with fields varied, and rank the variants; or several vehicles, beside each other.

    Of two vehicles or more it tells in which fields their files differ, and what got better and worse. The same
    command given again goes on where it was stopped and repeats nothing.
    """
    from trundle.cli.size import ask_about_study, check_numbers
    from trundle.engine.cores import core_count
    from trundle.engine.length import GROUND_MM
    from trundle.spec.reader import parse_settings
    from trundle.study.figures import fault_told
    from trundle.study.progress import Watch
    from trundle.study.runs import How

    if tolerance and (search or vary):
        raise InputError(Problem("cannot be combined with --vary or --find", "--tolerance"))
    if samples is not None and not (search or tolerance):
        raise InputError(Problem("is only used with --find or --tolerance", "--samples"))
    if limits and not (search or tolerance):
        raise InputError(Problem("is only used with --find or --tolerance", "--limit"))
    if speeds and tolerance:
        raise InputError(
            Problem("cannot be combined with --tolerance", "--speed", "--set speed_m_s=0.8, the course's own")
        )
    if listed and (search or tolerance):
        raise InputError(Problem("cannot be combined with --tolerance or --find", "--listed"))
    if not math.isfinite(budget_s):
        raise InputError(Problem(f"{budget_s:g} s is no time to wait", "--budget-s", "above 0"))
    vehicles, courses = split(given)
    vehicle = vehicles[0]
    if len(vehicles) > 1 and (tolerance or search):
        raise InputError(Problem("is of one vehicle", "--tolerance" if tolerance else "--find", "VEHICLE COURSE..."))
    fast = _speeds(speeds)
    check_numbers(dt_ms, ground_mm, fast)
    check_near(near)
    asked_of_run = {"dt_ms": dt_ms, "ground_mm": ground_mm, "near": near}
    kind = "tolerance" if tolerance else "find" if search else "compare"
    fields = [option.partition("=")[0].strip().rsplit(".", 1)[-1] for option in (*vary, *tolerance)]
    # By what is changed, too: another comparison of the same vehicle must not write over this one's tables.
    stem = "-".join([kind, *(Path(v).stem for v in vehicles), *(Path(c).stem for c in courses)])[:80]
    stem = "-by-".join([stem, *filter(None, ["-".join(f for f in fields if f.isidentifier())[:60]])])
    watch = Watch()
    how = How(out or Path("results") / stem, workers, cluster, budget_s, timelines, watch)
    common: dict[str, Any] = {
        "settings": parse_settings(settings),
        "options": {name: value for name, value in asked_of_run.items() if value is not None},
        "how": how,
    }
    here = 1 if cluster else workers or core_count()
    ask_about_study(vehicle, courses, common["settings"], dt_ms, ground_mm or GROUND_MM, fast, here, yes)
    if not cluster:
        from trundle.result.ready import make_ready

        make_ready()  # in one process: workers that start together would each compile all of it
    try:
        if tolerance:
            study = _tolerance(vehicle, courses, tolerance, limits, samples or 256, seed, common, yes)
        elif search:
            asked = {"runs": samples or 400, "seed": seed, "speeds_m_s": fast}
            study = _find(vehicle, courses, vary, limits, common | asked, yes)
        else:
            asked = {"listed": listed, "speeds_m_s": fast}
            study = _compare(vehicles, courses, vary, asked, common, yes)
    finally:
        watch.close()
    if study.interrupted:
        click.echo("Stopped. What is done is kept; the same command goes on from here.", err=True)
        sys.exit(EARLY)
    if fault := fault_told(study.table):
        click.echo(f"{fault}. The same command tries again what has no result.", err=True)
        sys.exit(EARLY)
    _at_least_one(study)


def _at_least_one(study: Study) -> None:
    """Exit code 2 if no variant is a vehicle that stands."""
    from trundle.study.worker import REFUSED

    if study.table["state"].eq(REFUSED).all():
        raise InputError(Problem(f"not one of these could be run; the first: {study.table['reason'].iloc[0]}"))


def _speeds(options: tuple[str, ...]) -> list[float]:
    try:
        return [float(part) for option in options for part in option.split(",")]
    except ValueError:
        raise InputError(Problem(f'"{", ".join(options)}" is not a speed', "--speed", "m/s, like 0.8,1.2")) from None


def _compare(
    vehicles: Sequence[str],
    courses: Sequence[str],
    vary: tuple[str, ...],
    asked: dict[str, Any],
    common: dict[str, Any],
    yes: bool,
) -> Study:
    from trundle.cli.waiting import busy
    from trundle.study.designs import designs_of
    from trundle.study.figures import fault_told
    from trundle.study.grid import Axis, check_size, make_plan, remarks, wildcards
    from trundle.study.overlays import series_of
    from trundle.study.printed import print_designs, print_ranking
    from trundle.study.rank import rank
    from trundle.study.report import write_comparison
    from trundle.study.runs import run_cases, save_table

    others = [Axis("vehicle", tuple(vehicles[1:]))] if len(vehicles) > 1 else []
    plan = make_plan(vehicles[0], courses, [*vary, *others], settings=common["settings"], **asked)
    check_size(len(plan), yes)
    for line in [*wildcards(plan), *remarks(plan)]:
        click.echo(line, err=True)
    study = run_cases(plan, common["how"], common["options"])
    _bar_away(common["how"])
    # Before anything is printed: whoever reads may leave early (| head), and the files are wanted all the same.
    with busy("ranking, drawing and writing"):
        files = save_table(study)
        page = _out(common["how"]) / "report.html"
        order = rank(study.table)
        designs: list[Design] = []
        if study.interrupted or order.empty:
            page.unlink(missing_ok=True)  # of an older study: it would stand beside these tables
        else:
            first = [int(v) for v in order.loc[order["completed"], "variant"].head(4)]
            ran = dict.fromkeys(map(str, study.table["vehicle"]))
            title = f"{', '.join(ran)} over {', '.join(dict.fromkeys(map(str, study.table['course'])))}"
            designs = designs_of(plan, study.table)
            signs = {d.variant: d.sign for d in designs}
            series = series_of(plan, list(signs) or first, common["options"], signs)
            write_comparison(page, title, study.table, series, fault_told(study.table), order, designs)
            files.append(page)
    if designs:
        print_designs(designs, study.table)
    else:
        print_ranking(study.table, order)
    _told(study, files)
    return study


def _tolerance(
    vehicle: str,
    courses: Sequence[str],
    tolerance: tuple[str, ...],
    limits: tuple[str, ...],
    samples: int,
    seed: int,
    common: dict[str, Any],
    yes: bool,
) -> Study:
    from trundle.cli.waiting import busy
    from trundle.findings import figures
    from trundle.study.case import name_of
    from trundle.study.grid import check_size, make_plan, remarks
    from trundle.study.limits import parse_limit
    from trundle.study.printed import print_frame
    from trundle.study.report import chances_told, spread_told, told_of_near, write_tolerance
    from trundle.study.runs import save_table
    from trundle.study.tolerance import chance_correlation, fewest_reached, tolerance_study
    from trundle.study.worker import DONE, REFUSED

    check_size((samples + 1) * len(courses), yes)
    held = [parse_limit(text) for text in limits]
    for line in remarks(make_plan(vehicle, courses, settings=common["settings"])):
        click.echo(line, err=True)
    found = tolerance_study(vehicle, courses, tolerance, samples=samples, seed=seed, limits=held, **common)
    _bar_away(common["how"])
    page = _out(common["how"]) / "report.html"
    files = save_table(found.study)
    if found.study.interrupted or not found.study.table["state"].eq(DONE).any():
        # A part of a sample says nothing that the whole would not say better.
        page.unlink(missing_ok=True)
        _told(found.study, files)
        return found.study
    with busy("drawing the report"):
        write_tolerance(page, f"{name_of(Path(vehicle))} within its tolerances", found, ", ".join(tolerance))
    files.append(page)
    main = [f.name for f in figures.TABLE if f.ranked]
    keys = 2 if len(courses) > 1 else 1
    print_frame(
        chances_told(found.chances),
        f"How often each bad thing happens, from {samples} vehicles drawn within the tolerances"
        f"{told_of_near(found.study.table)}: the true chance lies between the last two numbers 95 times in 100",
        keys=keys,
    )
    invalid = found.study.table[found.study.table["state"] == REFUSED]
    if len(invalid):
        first = invalid.iloc[0]
        click.echo(f"Not valid: for example number {first['variant']}, {first['reason']}\n")
    spread = spread_told(found.spread[found.spread["figure"].isin(main)], short=True)
    print_frame(spread, "How far each figure spreads, over the runs that reach the end", keys=keys)
    drivers = found.drivers[found.drivers["figure"].isin(main)]
    reached = fewest_reached(found.study.table)
    if len(drivers):
        print_frame(
            drivers.groupby(["course", "figure"], sort=False).head(2).round({"rank_correlation": 2}),
            "What drives each figure most. Rank correlation: near 1 the figure grows with the field, near -1 it "
            f"falls, near 0 neither; from the {reached} vehicles that reach the end, anything within "
            f"{chance_correlation(reached):.2f} of 0 may be chance",
            keys=keys,
        )
    else:
        click.echo(f"Too few vehicles to say what drives the figures: {reached} reached the end.\n")
    click.echo("All figures, and the courses they are from, are in the report.")
    _told(found.study, files)
    return found.study


def _find(
    vehicle: str,
    courses: Sequence[str],
    vary: tuple[str, ...],
    limits: tuple[str, ...],
    asked: dict[str, Any],
    yes: bool,
) -> Study:
    from trundle.cli.waiting import busy
    from trundle.study.case import name_of
    from trundle.study.find import find
    from trundle.study.grid import check_size
    from trundle.study.printed import print_frame
    from trundle.study.ranges import runs_of
    from trundle.study.report import write_search
    from trundle.study.runs import save_table

    check_size(asked["runs"], yes)
    found = find(vehicle, courses, vary, limits, **asked)
    _bar_away(asked["how"])
    page = _out(asked["how"]) / "report.html"
    files = save_table(found.study)
    if found.table.empty:
        page.unlink(missing_ok=True)
        click.echo("Not one setting is through.")
        _told(found.study, files)
        return found.study
    said = _outcome(found, ", ".join(limits) or "reaching the end")
    with busy("drawing the report"):
        write_search(page, f"Search on {name_of(Path(vehicle))}", found, said)
    files.append(page)
    print_frame(
        found.table.head(12).rename(columns={"held": "limits held", "missed_by": "missed by"}),
        f"Tried {len(found.table)} settings, the best first (missed by: the share of a limit, all limits summed"
        f"{', at the worst of the runs close by' if runs_of(found.study.table) > 1 else ''})",
    )
    click.echo(said)
    _told(found.study, files)
    return found.study


def _outcome(found: Found, wanted: str) -> str:
    """What a search has found, in a sentence or two."""
    if found.best is not None:
        said = f"Best that holds {wanted}: {_listed(found.best)}"
        if found.level:
            others = "one other that holds it does" if found.level == 1 else f"{found.level} others that hold it do"
            said += f"; {others} not differ from it as far as it shows"
    elif found.nearest is not None:
        said = f"None of those tried holds {wanted}. Nearest: {_listed(found.nearest)}"
    else:
        said = f"None of those tried holds {wanted}, and none reached the end."
    return f"Stopped before the search was through. {said}" if found.study.interrupted else said


def _listed(values: dict[str, Any]) -> str:
    return ", ".join(f"{k}={v:g}" if isinstance(v, float) else f"{k}={v}" for k, v in values.items())


def _out(how: How) -> Path:
    assert how.out is not None
    return how.out


def _bar_away(how: How) -> None:
    """Close the progress bar, or what is printed from here on stands between its pieces."""
    from trundle.study.progress import Watch

    if isinstance(how.progress, Watch):
        how.progress.close()


def _told(study: Study, files: list[Path]) -> None:
    reused = f", {study.reused} were there already" if study.reused else ""
    click.echo(f"\n{counted(study.ran, 'run')} made{reused}. Written:")
    for file in files:
        click.echo(f"  {file}")
