"""`trundle compare`: many runs of one vehicle with this or that changed."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from sim.errors import InputError, Problem

if TYPE_CHECKING:
    from sim.study.runs import How, Study

EARLY = 3
"""Exit code of a study that was stopped: what is done is kept."""


@click.command("compare")
@click.argument("vehicle")
@click.argument("courses", metavar="COURSE...", nargs=-1, required=True)
@click.option(
    "--vary",
    multiple=True,
    metavar="PATH=V1,V2|A:B:STEP",
    help="Values of a field; vehicle=A.toml,B.toml for files.",
)
@click.option("--listed", is_flag=True, help="Take the values side by side instead of every combination.")
@click.option("--speed", "speeds", multiple=True, metavar="M_S[,M_S]", help="Target speeds [m/s].")
@click.option(
    "--set", "settings", multiple=True, metavar="PATH=VALUE", help="A field that all runs have changed."
)
@click.option(
    "--tolerance", multiple=True, metavar="PATH=5%|PATH=2", help="How far a field may be off, to either side."
)
@click.option(
    "--samples", type=click.IntRange(2, 100_000), help="Vehicles to draw (256), or runs of a search (400)."
)
@click.option(
    "--seed", type=click.IntRange(0), default=1, show_default=True, help="The same seed, the same draw."
)
@click.option(
    "--find", "search", is_flag=True, help="Look for the settings that hold all limits with least seat r.m.s."
)
@click.option(
    "--limit", "limits", multiple=True, metavar="FIGURE<VALUE", help="peak_seat_g<1.5, bump_stop_hits<=0, ..."
)
@click.option("--dt-ms", type=click.FloatRange(0, min_open=True), metavar="MS", help="Time step [ms].")
@click.option(
    "--workers", type=click.IntRange(1), metavar="N", help="Worker processes; default one per core."
)
@click.option("--cluster", metavar="ADDRESS", help="A running distributed scheduler to use instead.")
@click.option(
    "--budget-s",
    type=click.FloatRange(0, min_open=True),
    default=600.0,
    show_default=True,
    metavar="S",
    help="Longest time one run may take [s].",
)
@click.option(
    "--out", type=click.Path(path_type=Path), metavar="DIR", help="Where tables, report and journal go."
)
@click.option("--timelines", is_flag=True, help="Keep the time series of every run too.")
@click.option("--yes", is_flag=True, help="Start however many runs it is.")
def compare(
    vehicle: str,
    courses: tuple[str, ...],
    vary: tuple[str, ...],
    listed: bool,
    speeds: tuple[str, ...],
    settings: tuple[str, ...],
    tolerance: tuple[str, ...],
    samples: int | None,
    seed: int,
    search: bool,
    limits: tuple[str, ...],
    dt_ms: float | None,
    workers: int | None,
    cluster: str | None,
    budget_s: float,
    out: Path | None,
    timelines: bool,
    yes: bool,
) -> None:
    """Run VEHICLE over every COURSE with fields varied, and rank the variants.

    The same command given again goes on where it was stopped and repeats nothing.
    """
    from sim.spec.reader import parse_settings
    from sim.study.progress import Watch
    from sim.study.runs import How

    if tolerance and (search or vary):
        raise InputError(Problem("goes alone, not with --vary or --find", "--tolerance"))
    if limits and not (search or tolerance):
        raise InputError(Problem("goes with --find or --tolerance", "--limit"))
    kind = "tolerance" if tolerance else "find" if search else "compare"
    stem = "-".join([kind, Path(vehicle).stem, *(Path(c).stem for c in courses)])[:80]
    watch = Watch()
    how = How(out or Path("results") / stem, workers, cluster, budget_s, timelines, watch)
    common: dict[str, Any] = {
        "settings": parse_settings(settings),
        "options": {"dt_ms": dt_ms} if dt_ms is not None else {},
        "how": how,
    }
    try:
        if tolerance:
            study = _tolerance(vehicle, courses, tolerance, limits, samples or 256, seed, common, yes)
        elif search:
            asked = {"runs": samples or 400, "seed": seed, "speeds_m_s": _speeds(speeds)}
            study = _find(vehicle, courses, vary, limits, common | asked, yes)
        else:
            asked = {"listed": listed, "speeds_m_s": _speeds(speeds)}
            study = _compare(vehicle, courses, vary, asked, common, yes)
    finally:
        watch.close()
    if study.interrupted:
        click.echo("Stopped. What is done is kept; the same command goes on from here.", err=True)
        sys.exit(EARLY)


def _speeds(options: tuple[str, ...]) -> list[float]:
    try:
        return [float(part) for option in options for part in option.split(",")]
    except ValueError:
        raise InputError(
            Problem(f'"{", ".join(options)}" is not a speed', "--speed", "m/s, like 0.8,1.2")
        ) from None


def _compare(
    vehicle: str,
    courses: tuple[str, ...],
    vary: tuple[str, ...],
    asked: dict[str, Any],
    common: dict[str, Any],
    yes: bool,
) -> Study:
    from sim.study.grid import check_size, make_plan, wildcards
    from sim.study.overlays import series_of
    from sim.study.printed import print_ranking
    from sim.study.report import write_comparison
    from sim.study.runs import run_cases, save_table

    plan = make_plan(vehicle, courses, vary, settings=common["settings"], **asked)
    check_size(len(plan), yes)
    for line in wildcards(plan):
        click.echo(line)
    study = run_cases(plan, common["how"], common["options"])
    order = print_ranking(study.table)
    files = save_table(study)
    if not study.interrupted:
        first = [int(v) for v in order.loc[order["completed"], "variant"].head(4)]
        page = _out(common["how"]) / "report.html"
        title = f"{Path(vehicle).stem} over {', '.join(c.stem for c in plan.courses)}"
        write_comparison(page, title, study.table, series_of(plan, first, common["options"]))
        files.append(page)
    _told(study, files)
    return study


def _tolerance(
    vehicle: str,
    courses: tuple[str, ...],
    tolerance: tuple[str, ...],
    limits: tuple[str, ...],
    samples: int,
    seed: int,
    common: dict[str, Any],
    yes: bool,
) -> Study:
    from sim.study.figures import FIGURES
    from sim.study.grid import check_size
    from sim.study.limits import parse_limit
    from sim.study.printed import print_frame
    from sim.study.report import write_tolerance
    from sim.study.runs import save_table
    from sim.study.tolerance import tolerance_study

    check_size((samples + 1) * len(courses), yes)
    held = [parse_limit(text) for text in limits]
    found = tolerance_study(vehicle, courses, tolerance, samples=samples, seed=seed, limits=held, **common)
    main = [f.column for f in FIGURES]
    print_frame(found.chances, "Chance of each bad thing, with the interval that holds it 95 times in 100")
    print_frame(found.spread[found.spread["figure"].isin(main)], "Spread of each figure")
    drivers = found.drivers[found.drivers["figure"].isin(main)]
    print_frame(drivers.groupby(["course", "figure"], sort=False).head(2), "What drives each figure most")
    click.echo("All figures are in the report.")
    page = _out(common["how"]) / "report.html"
    write_tolerance(page, f"{Path(vehicle).stem} within its tolerances", found, ", ".join(tolerance))
    _told(found.study, [*save_table(found.study), page])
    return found.study


def _find(
    vehicle: str,
    courses: tuple[str, ...],
    vary: tuple[str, ...],
    limits: tuple[str, ...],
    asked: dict[str, Any],
    yes: bool,
) -> Study:
    from sim.study.find import find
    from sim.study.grid import check_size
    from sim.study.printed import print_frame
    from sim.study.report import write_search
    from sim.study.runs import save_table

    check_size(asked["runs"], yes)
    found = find(vehicle, courses, vary, limits, **asked)
    print_frame(found.table.head(12), f"Tried {len(found.table)} settings; the best of them")
    wanted = ", ".join(limits) or "reaching the end"
    if found.best is not None:
        said = f"Best that holds {wanted}: {_listed(found.best)}"
    elif found.nearest is not None:
        said = f"None of those tried holds {wanted}. Nearest: {_listed(found.nearest)}"
    else:
        said = f"None of those tried holds {wanted}, and none reached the end."
    click.echo(said)
    page = _out(asked["how"]) / "report.html"
    write_search(page, f"Search on {Path(vehicle).stem}", found, said)
    _told(found.study, [*save_table(found.study), page])
    return found.study


def _listed(values: dict[str, Any]) -> str:
    return ", ".join(f"{k}={v:g}" if isinstance(v, float) else f"{k}={v}" for k, v in values.items())


def _out(how: How) -> Path:
    assert how.out is not None
    return how.out


def _told(study: Study, files: list[Path]) -> None:
    reused = f", {study.reused} were there already" if study.reused else ""
    click.echo(f"\n{study.ran} runs made{reused}. Written: {', '.join(str(f) for f in files)}")
