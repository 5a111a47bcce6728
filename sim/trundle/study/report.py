"""The page of a study: self-contained HTML, readable and printable without a network."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

import numpy as np
import pandas as pd

from trundle.fields.differences import value_said
from trundle.findings.figures import Better, Figure
from trundle.findings.near_row import HIGH, LOW, OVER, RUNS
from trundle.findings.words import ranged
from trundle.study import plots
from trundle.study.beside import alike_told, counted_told, table_of
from trundle.study.designs import Design, beside_first
from trundle.study.elevations import elevations
from trundle.study.figures import compared, ranked, titled
from trundle.study.files import write_text
from trundle.study.find import Found
from trundle.study.headline import headlines
from trundle.study.ranges import Costs, runs_of
from trundle.study.rank import LEAST, over_what, rank
from trundle.study.tolerance import ToleranceStudy

MAX_ROWS = 200
MAX_MAPS = 8
DRIVERS = (
    "Spearman's rank correlation: near 1 the figure grows with the field, near -1 it falls, near 0 neither; "
    "with few vehicles a weak one may be chance."
)
GAPS = (
    "A dash for one that reaches the end: it has no such figure; that counts neither for nor against it, and two are "
    "compared on the figures that both have."
)
SHOWS = "One is better than another where neither's median lies in the other's range; else no difference shows."
CAUTION = (
    "A planar estimate, not a certificate. Guards, a kill switch and a test at walking pace come before a "
    "rider; local rules and a licensed engineer decide where people or public places are involved."
)


def write_comparison(
    path: Path,
    title: str,
    table: pd.DataFrame,
    series: Sequence[plots.Series] = (),
    note: str = "",
    order: pd.DataFrame | None = None,
    designs: Sequence[Design] = (),
) -> None:
    """Ranked table, heat maps, trade-off and overlays of a study's results. order: the table's ranking, if it is at
    hand; designs: whole vehicles, if these alone vary: they are drawn, and told of beside each other.

    Raises InputError."""
    order = rank(table) if order is None else order
    figures = ranked(order)
    axes = settings_of(order)
    moving = [f for f in figures if order.loc[order["completed"], f.name].nunique() > 1]
    pictures: list[tuple[str, str, str]] = []
    if series:
        said = "The first of the ranking" if not designs else "Each vehicle"
        said += ", rolled once as asked, against where the centre of mass is. Wheel load: of the hardest loaded wheel."
        places = list(dict.fromkeys(s.where for s in series))
        course = f"course{'s' if len(places) > 1 else ''} {', '.join(places)}"
        pictures.append((f"Along the {course}", said, plots.overlay(series)))
    numeric = [a for a in axes if pd.api.types.is_numeric_dtype(order[a])]
    if len(axes) == 2 and len(order) > 1:
        mapped = moving[:MAX_MAPS]
        if mapped:
            note_on_maps = plots.heat_note(order, axes[1], axes[0], mapped, over_what(table))
            maps = "".join(plots.heat_map(order, axes[1], axes[0], f) for f in mapped)
            pictures.append(("Over the grid", note_on_maps, maps))
    elif len(axes) == 1 and axes == numeric and moving:
        said = f"Each figure at its worst over {over_what(table)}."
        said += " Shaded: where the near runs lie." if runs_of(order) > 1 else ""
        pictures.append(("Against the setting", said, plots.one_way(order, axes[0], moving)))
    pair = _trade(moving)
    if pair and not designs:
        drawn, left = plots.trade_off(order, *pair)
        pictures.append(("Trade-off", _trade_note(order, figures, pair, left), drawn))
    ranking = _said(*shown(order, once_each(order, figures), axes, True))
    if len(order) <= MOST_ACROSS:
        ranking = _turned(*ranking)
    tables = [("Ranking", ranking_note(figures, order, over_what(table)), *ranking)]
    if moving and not designs:
        tables.append(("Best on what", "", *best_of(order, once_each(order, moving))))
    if designs:
        elevated = [(e.title, e.note, e.svg) for e in elevations(designs)]
        ways = _designs_told(designs, table)
        _write(path, title, note, ways, [*elevated, *pictures], tables if len(designs) > 2 else ())
        return
    said = " ".join(headlines(table, order))
    _write(path, title, " ".join(filter(None, (said, note))), tables, pictures)


MOST_ACROSS = 5
"""Variants up to which the ranking has a column for each: figures across are too wide for a print."""


def once_each(order: pd.DataFrame, figures: Sequence[Figure]) -> list[Figure]:
    """The figures without those margins that are the least one again in every row."""
    if LEAST not in order:
        return list(figures)
    same = order.loc[order["completed"]]
    again = [
        f.name for f in figures
        if f.name != LEAST and f.name.endswith("margin") and same[f.name].equals(same[LEAST].rename(f.name))
    ]  # fmt: skip
    return [f for f in figures if f.name not in again]


def _turned(heads: list[str], rows: list[list[str]]) -> tuple[list[str], list[list[str]]]:
    """A table with rows for columns."""
    names = ["variant", *(row[heads.index("variant")] for row in rows)]
    return names, [[head, *(row[k] for row in rows)] for k, head in enumerate(heads) if head != "variant"]


def _designs_told(
    designs: Sequence[Design], table: pd.DataFrame
) -> list[tuple[str, str, list[str], list[list[str]]]]:  # fmt: skip
    """What differs, how each goes over each course, and what got better and worse: tables with what is said of each."""
    first = designs[0]
    fields = [[other.sign, d.path, value_said(d.then), value_said(d.here)] for other in designs for d in other.fields]
    found = [("What differs", "", ["", "field", first.sign, "it has"], fields)] if fields else []
    for other in designs[1:]:
        for one in beside_first(list(designs), other, table):
            said = " ".join(f"{s}: {words}" for s, words in zip((first.sign, other.sign), one.said, strict=True))
            if one.short:
                said += f" Not compared figure by figure: {'; '.join(one.short)}."
            else:
                said += f" {counted_told(one.told)}. {alike_told(one.told)}"
            said += f" {SHOWS}" if runs_of(table) > 1 else ""
            rows = table_of(one.told, (first.sign, other.sign))
            found.append((f"{other.sign} against {first.sign} over {one.course}", said, *rows))
    return found


def write_tolerance(path: Path, title: str, found: ToleranceStudy, note: str = "") -> None:
    """Chances, spread and drivers. Raises InputError."""
    known = {f.name: f for f in ranked(found.study.table)}
    figures = [known[n] for n in dict.fromkeys(found.drivers["figure"]) if n in known]
    pictures = []
    for course in found.chances["course"].unique() if figures else []:
        part = found.drivers[found.drivers["course"] == course]
        pictures.append((f"What drives each figure: {course}", DRIVERS, plots.driver_bars(part, figures)))
    tables = [
        (
            "Chances",
            f"Of the vehicles drawn{told_of_near(found.study.table)}. The true chance lies between the last two "
            "numbers 95 times in 100 (Wilson's interval).",
            *plain(chances_told(found.chances)),
        ),
        ("Spread", "Over the runs that reached the end.", *plain(spread_told(found.spread))),
    ]
    later = [("Rank correlations", DRIVERS, *plain(_one_course(found.drivers.round({"rank_correlation": 2}))))]
    _write(path, title, f"Tolerances: {note}" if note else "", tables, pictures, later)


def told_of_near(table: pd.DataFrame) -> str:
    """When a thing counts as having happened to a vehicle that was rolled several times; "" of one run each."""
    runs = runs_of(table)
    return f", each rolled {runs} times close by, in any of which it may happen" if runs > 1 else ""


def chances_told(chances: pd.DataFrame) -> pd.DataFrame:
    """The table of chances with shares as per cent, one course's name left out."""
    told = {"chance": "chance [%]", "low": "from [%]", "high": "to [%]"}
    shares = (100.0 * chances[list(told)]).round(1)
    return _one_course(chances.assign(**shares).rename(columns=told))


def spread_told(spread: pd.DataFrame, short: bool = False) -> pd.DataFrame:
    """The table of spreads in plain words. short: without mean and standard deviation."""
    told = {
        "course": "course", "figure": "figure", "nominal": "as in file", "mean": "mean", "std": "standard deviation",
        "least": "least", "p05": "5 % below", "median": "middle", "p95": "95 % below", "most": "most",
    }  # fmt: skip
    names = [n for n in told if n in spread and not (short and n in ("mean", "std"))]
    return _one_course(spread[names].rename(columns=told))


def _one_course(frame: pd.DataFrame) -> pd.DataFrame:
    return frame.drop(columns="course") if "course" in frame and frame["course"].nunique() == 1 else frame


def _said(heads: list[str], rows: list[list[str]]) -> tuple[list[str], list[list[str]]]:
    """A table without the columns that are empty in every row."""
    keep = [i for i in range(len(heads)) if any(row[i] for row in rows)]
    return [heads[i] for i in keep], [[row[i] for i in keep] for row in rows]


def write_search(path: Path, title: str, found: Found, note: str = "") -> None:
    """Raises InputError."""
    table = telling(found.table)
    said = "Best first; each figure at its worst over the courses. Missed by: the share of a limit, all limits summed."
    fields = [str(c) for c in table.columns[1 : list(table.columns).index("held")]]
    figures = [titled(str(c)) for c in found.table.columns[len(fields) + 3 :] if c != "reason"]
    pictures: list[tuple[str, str, str]] = []
    if len(fields) == 1 and pd.api.types.is_numeric_dtype(table[fields[0]]) and len(table) > 1:
        tried = found.table.assign(completed=np.isfinite(found.table["missed_by"]))
        pictures.append(("Against the setting", "", plots.one_way(tried, fields[0], figures)))
    _write(path, title, note, [("Tried", said, *plain(table))], pictures)


def telling(frame: pd.DataFrame) -> pd.DataFrame:
    """The columns that say something: not the empty ones, nor the one course again and again."""
    return frame[
        [
            c for c in frame.columns
            if not (c == "course" and frame[c].nunique() == 1) and not (frame[c].isna() | (frame[c] == "")).all()
        ]
    ]  # fmt: skip


def settings_of(order: pd.DataFrame) -> list[str]:
    """Columns of a ranked table that were varied: the file if there are several, and the fields."""
    names = [str(c) for c in order.columns[: order.columns.get_loc("completed")]]
    fixed = ("place", "variant")
    return [n for n in names if n not in fixed and (n != "vehicle" or order[n].nunique() > 1)]


def ranking_note(figures: Sequence[Figure], order: pd.DataFrame | None = None, over: str = "the courses") -> str:
    """How the order of the ranking comes about, for the reader. order: the ranking, to tell of figures some lack;
    over: see rank.over_what."""
    runs = runs_of(order) if order is not None else 1
    many = f"the {len(figures)} figures" if len(figures) > 1 else "the figure"
    margins = any(f.name.endswith("margin") for f in figures)
    gaps = order is not None and has_gaps(order, figures)
    return (
        f"Each figure is the worst over {over}. First those that reach the end, "
        + ("of these those in which nothing yields (then those of unknown strength), " if margins else "")
        + f"then by the mean of their places on {many}, all counted alike: an order to read in, not a verdict."
        + (f" Medians of {runs} runs close by. {SHOWS}" if runs > 1 else "")
        + (f" {GAPS}" if gaps else "")
        + (" A margin is strength over stress: below 1 something yields." if margins else "")
    )


def has_gaps(order: pd.DataFrame, figures: Sequence[Figure]) -> bool:
    """Whether any that reaches the end lacks a figure that another has."""
    return bool(order.loc[order["completed"], [f.name for f in figures]].isna().any(axis=None))


def _trade_note(order: pd.DataFrame, figures: Sequence[Figure], pair: tuple[Figure, Figure], left: int) -> str:
    """What the dots are, which have no number, and which variants no dot."""
    over = order.loc[order["completed"], [f.name for f in pair]]
    dots = " that reaches the end" if len(over) < len(order) else ""
    dots += " and has both figures" if over.isna().any(axis=None) else ""
    numbers = ", with its number" if not left else f", with its number where there is room ({left} without)"
    both = " that both have" if has_gaps(order, figures) else ""
    return (
        f"One dot for each variant{dots}{numbers}. Filled: no other is at least as good on every figure{both} and "
        "better on one."
    )


def shown(
    order: pd.DataFrame, figures: Sequence[Figure], axes: Sequence[str], ranges: bool = False
) -> tuple[list[str], list[list[str]]]:
    """Headings and cells of the ranked table as a person reads it. ranges: with each figure's, in brackets."""
    heads = ["place", "variant", *axes, *(f.heading for f in figures), "beaten by", "verdict"]
    rows = []
    for row in order.to_dict("records"):
        cells = [str(row["place"]), str(row["variant"])]
        cells += [cell(row[a]) for a in axes]
        cells += [_ranged(row, f) if ranges else cell(row[f.name], f.digits) for f in figures]
        verdict = over_in(row) if row["completed"] else str(row["reason"])
        rows.append([*cells, str(row["beaten_by"]), verdict])
    return heads, rows


def over_in(row: Mapping[Any, Any]) -> str:
    """`over`, `over in 7 of 8 runs`, `over, but yields`; `over, but may yield` where not most near runs do;
    `over, strength not known`."""
    runs, over = row.get(RUNS), row.get(OVER)
    often = "" if runs is None or over == runs else f" in {over} of {runs} runs"
    if not row.get("yields", False):
        return f"over{often}, strength not known" if row.get("strength_unknown", False) else f"over{often}"
    return f"over{often}, but {'yields' if row['least_margin'] < 1.0 else 'may yield'}"


def _ranged(row: Mapping[Any, Any], figure: Figure) -> str:
    """`4.7 (3.9 to 5.2)`, without its unit."""
    own = row[figure.name]
    low, high = (row.get(figure.name + end, own) for end in (LOW, HIGH))
    if any(v is None or not math.isfinite(v) for v in (own, low, high)):
        return cell(own, figure.digits)
    return ranged(own, low, high, lambda v: cell(v, figure.digits))


def best_of(order: pd.DataFrame, figures: Sequence[Figure]) -> tuple[list[str], list[list[str]]]:
    """Headings and cells: for each figure that moves, its best value and the variants that have it, or that do not
    differ from it as far as it shows."""
    over = order[order["completed"]]
    rows = []
    for f in figures:
        if over[f.name].dropna().nunique() < 2:
            continue
        turned = Costs.of(over, f.name, f.better is Better.HIGHER)
        best = over[turned.best()]
        if best.empty:
            rows.append([f.heading, "", "no difference that shows"])
            continue
        first = over.iloc[int(np.nanargmin(turned.middle))]
        names = [str(v) for v in sorted(best["variant"])]
        more = f" and {len(names) - 6} more" if len(names) > 6 else ""
        rows.append([f.heading, _ranged(first.to_dict(), f), ", ".join(names[:6]) + more])
    return ["figure", "best", "variant"], rows


def plain(frame: pd.DataFrame) -> tuple[list[str], list[list[str]]]:
    """Headings and cells of any table, figures called by their titles."""
    titles = {f.name: f.heading for f in compared()}
    heads = [titles.get(str(c), str(c) if "." in str(c) else str(c).replace("_", " ")) for c in frame.columns]
    rows = [
        [titles.get(str(v), cell(v)) if name == "figure" else cell(v) for name, v in row.items()]
        for row in frame.to_dict("records")
    ]
    return heads, rows


def cell(value: Any, digits: int | None = None) -> str:
    """A value as text; numbers with `digits` behind the point, or four that count."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float) and not math.isfinite(value):  # of one that did not get over: no number
        return "–"
    if isinstance(value, (int, float)):
        return f"{value:.{digits}f}" if digits is not None else f"{value:.4g}"
    return "" if value is None else str(value)


def _trade(moving: Sequence[Figure]) -> tuple[Figure, Figure] | None:
    """Two figures that pull against each other in most vehicles; else the first two that move."""
    by = {f.name: f for f in moving}
    for x, y in (
        ("peak_wheel_load_N", "seat_rms_m_s2"),
        ("min_belly_clearance_mm", "seat_rms_m_s2"),
        ("bump_stop_hits", "seat_rms_m_s2"),
    ):
        if x in by and y in by:
            return by[x], by[y]
    return (moving[0], moving[1]) if len(moving) > 1 else None


def _write(
    path: Path,
    title: str,
    note: str,
    tables: Sequence[tuple[str, str, list[str], list[list[str]]]],
    pictures: Sequence[tuple[str, str, str]],
    later: Sequence[tuple[str, str, list[str], list[list[str]]]] = (),
) -> None:
    """later: tables that stand behind the pictures."""
    from jinja2 import Environment, PackageLoader
    from markupsafe import Markup

    page = Environment(
        loader=PackageLoader("trundle.study"), autoescape=True, trim_blocks=True, lstrip_blocks=True
    ).get_template("study.html")
    text = page.render(
        title=title,
        note=note,
        caution=CAUTION,
        tables=[_for_page(*t) for t in tables],
        later=[_for_page(*t) for t in later],
        # Our own drawing, not the builder's text.
        pictures=[{"title": t, "note": n, "svg": Markup(s)} for t, n, s in pictures],
    )
    write_text(path, text)


def _for_page(title: str, note: str, heads: list[str], rows: list[list[str]]) -> dict[str, Any]:
    """A table as the template wants it, with which of its columns hold words."""
    words = [any(not is_number(row[i]) for row in rows) for i in range(len(heads))]
    left = max(len(rows) - MAX_ROWS, 0)
    return {"title": title, "note": note, "heads": heads, "rows": rows[:MAX_ROWS], "words": words, "left": left}


def is_number(text: str) -> bool:
    """Whether a cell stands in a column of numbers: a number, a dash or nothing."""
    try:
        float(text)
    except ValueError:
        return text in ("", "–")
    return True
