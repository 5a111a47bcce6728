"""Parts that give for good in the run, and what it does not take much to bend."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from trundle.findings.figures.parts import FIGURE_OF, MISSING, ON_STONE
from trundle.findings.finding import Finding, Harm
from trundle.findings.grades import Grade
from trundle.findings.serious.case import NOT_KEPT, Case, in_so_many, worry
from trundle.findings.serious.causes import blow_on_arm, clearance, seen_from
from trundle.findings.strength_lines import LITTLE, PARTS
from trundle.findings.words import force, place, spoken, start
from trundle.strength.margin import Kind, PartMargin
from trundle.strength.missing import Unknown, unknown


@dataclass(frozen=True)
class Gives:
    """How a kind of part gives, in words. one, many: what one of them, and several, do; some: one, no matter which."""

    one: str
    many: str
    some: str


HOW: dict[Kind, Gives] = {
    "spring": Gives("takes a set", "take a set", "a spring"),
    "arm": Gives("bends", "bend", "an arm"),
    "beam": Gives("bends", "bend", "a beam or its arm"),
    "axle bolt": Gives("bends", "bend", "an axle or pivot bolt"),
    "pivot bolt": Gives("bends", "bend", "an axle or pivot bolt"),
    "bracket": Gives("tears at its hole", "tear at their holes", "a bracket"),
    "hull bolts": Gives("stretch", "stretch", "the hull bolts of a bracket"),
    "weld": Gives("cracks", "crack", "a weld"),
}
"""Of every kind of part."""


def parts(case: Case) -> Iterator[Finding]:
    """One finding for each kind of part of which one gives, or has little left."""
    kinds = dict.fromkeys(m.kind for m in case.margins)
    for kind in kinds:
        yield from _of_kind(kind, [m for m in case.margins if m.kind == kind], case)


def _of_kind(kind: Kind, margins: Sequence[PartMargin], case: Case) -> Iterator[Finding]:
    how, figure = HOW[kind], FIGURE_OF[kind]
    worst = min(margins, key=lambda m: m.margin)
    # Kinds that share a figure (both bolts) are told apart by what this run says.
    shared = min(m.margin for m in case.margins if FIGURE_OF[m.kind] == figure)
    times, of = case.often(figure, lambda v: v < 1.0) if worst.margin == shared else (int(worst.yields), 1)
    if worst.margin >= LITTLE and not times:
        return
    if times and not worst.yields:
        yield _in_other_runs(kind, worst, times, of, case)
        return
    giving = [m for m in margins if m.yields] or [worst]
    whose = _whose([m.name for m in giving], PARTS[kind], case)
    does = how.many if len(giving) > 1 or kind == "hull bolts" else how.one
    bears = (
        f"{worst.stress_MPa:.0f} MPa where {worst.limit_MPa:.0f} is its limit ({worst.where}; "
        f"margin {_margin(figure, worst, shared, case)}), {place(worst.at_m)}"
    )
    which = f" worst {spoken(worst.name)}," if len(giving) > 1 else ""
    causes = (*seen_from(case, worst.time_s, worst.at_m), *blow_on_arm(case, worst))
    part = f"{worst.kind} {worst.name}"
    if not times:
        text = f"{start(whose)} nearly {does}:{which} {bears}."
        yield Finding(
            Harm.NEARLY, Grade.NOTE, 1.0 / worst.margin, f"{whose} nearly {does}", text, figure, part,
            worst.time_s, worst.at_m, causes,
        )  # fmt: skip
        return
    grade = Grade.FAIL if 2 * times >= of else Grade.RISK
    short = f"{whose} {does}{_good(kind)}{in_so_many(times, of)}"
    yield Finding(
        Harm.BREAKS, grade, 1.0 / max(worst.margin, 1e-3), short, f"{start(short)}:{which} {bears}.", figure, part,
        worst.time_s, worst.at_m, causes,
    )  # fmt: skip


def _in_other_runs(kind: Kind, worst: PartMargin, times: int, of: int, case: Case) -> Finding:
    """It gives in some of the near runs, of which only the margins are kept, and holds in the run that is looked at."""
    how, figure = HOW[kind], FIGURE_OF[kind]
    does = how.many if kind == "hull bolts" else how.one
    least = case.worst(figure, lowest=True)
    short = f"{how.some} {does}{_good(kind)}{in_so_many(times, of)}"
    text = f"{start(short)}: in the worst of them margin {least:.2f}, {NOT_KEPT} ({worst.margin:.2f})."
    grade = Grade.FAIL if 2 * times >= of else Grade.RISK
    return Finding(Harm.BREAKS, grade, 1.0 / max(least, 1e-3), short, text, figure)


def _good(kind: Kind) -> str:
    return "" if kind in ("weld", "spring", "bracket") else " for good"


def on_stone(case: Case) -> Iterator[Finding]:
    """Arms that hold in the run, and would not if one wheel of the pair met the blow alone: a stated load case."""
    would = [(m, m.on_stone) for m in case.margins if m.on_stone and m.on_stone.margin < 1.0 and not m.yields]
    if not would:
        return
    times, of = case.often(ON_STONE, lambda v: v < 1.0)
    worst, stone = min(would, key=lambda one: one[1].margin)
    alike = [m for m, _ in would if m.kind == worst.kind]
    whose = _whose([m.name for m in alike], PARTS[worst.kind], case)
    short = f"{whose} would bend if one wheel of the pair met it alone{in_so_many(times, of)}"
    which = f" worst {spoken(worst.name)}," if len(alike) > 1 else ""
    text = (
        f"{start(short)}:{which} {stone.stress_MPa:.0f} MPa where {worst.limit_MPa:.0f} is its limit, while both "
        f"together make {worst.stress_MPa:.0f}, {place(stone.at_m)} (a stone under one wheel, or an edge met askew)."
    )
    grade = Grade.RISK if 2 * times >= of else Grade.NOTE
    causes = (*seen_from(case, stone.time_s, stone.at_m), *stone.notes)
    yield Finding(
        Harm.NEARLY, grade, 1.0 / stone.margin, short, text, ON_STONE, f"{worst.kind} {worst.name}", stone.time_s,
        stone.at_m, causes,
    )  # fmt: skip


def not_known(case: Case) -> Iterator[Finding]:
    """Parts that may give unseen, since the file does not say how they are made: no tick without a word on that."""
    absent = unknown(case.assembly)
    if not absent:
        return
    alike: dict[tuple[str, ...], list[Unknown]] = {}
    for one in absent:
        alike.setdefault(one.parts, []).append(one)
    told = [
        f"{', '.join(parts)} of {', '.join(spoken(u.name) for u in of)}: add {', '.join(f'[{u.path}]' for u in of)}"
        for parts, of in alike.items()
    ]
    some = any(m.kind != "spring" for m in case.margins)
    short = "part of its strength is not known" if some else "its strength is not known"
    yield Finding(Harm.BREAKS, Grade.NOTE, 0.0, short, f"Not worked out: {'; '.join(told)}.", MISSING)


def _margin(figure: str, worst: PartMargin, shared: float, case: Case) -> str:
    """With its range, where the near runs' figure is this kind's."""
    return case.said(figure) if worst.margin == shared else f"{worst.margin:.2f}"


def _whose(names: Sequence[str], parts: str, case: Case) -> str:
    """`the front arms`, `the front fore arm`, `arms of all bogies`, `the arms of 2 bogies`."""
    bogies = list(dict.fromkeys(n.partition(".")[0] for n in names))
    if len(bogies) == len(case.assembly.vehicle.bogie) > 1:
        return f"{parts} of all bogies"
    if len(bogies) > 1:
        return f"the {parts} of {len(bogies)} bogies"
    if len(names) > 1 or parts == "hull bolts":
        return f"the {spoken(bogies[0])} {parts}"
    return f"the {spoken(names[0])} {parts.removesuffix('s')}"


def belly(case: Case) -> Iterator[Finding]:
    """The belly plate, dented."""
    dent = case.assembly.dent_N
    if dent is not None:
        told = f"struck with {{}}, dented from about {force(dent)} on"
        about = _Load("peak_belly_load_N", "belly.load_N", dent, "belly", "the belly plate is dented", told)
        yield from _passed(case, about, clearance(case))


def pull(case: Case) -> Iterator[Finding]:
    """The track, pulled harder than its maker allows."""
    track = case.assembly.vehicle.track
    limit = track.tension_limit_N if track is not None else None
    if limit is not None:
        told = f"{{}} in one track where the file allows {force(limit)}"
        short = "the track is pulled over its limit"
        yield from _passed(case, _Load("peak_track_tension_N", "track.tight_N", limit, "track", short, told), ())


@dataclass(frozen=True)
class _Load:
    """A load that must not pass a limit [N]. figure: its peak; column: its series; told: with {} for how high it is."""

    figure: str
    column: str
    limit_N: float
    part: str
    short: str
    told: str


def _passed(case: Case, load: _Load, causes: Iterable[str]) -> Iterator[Finding]:
    """One finding if it does, in any of the near runs."""
    count, of = case.often(load.figure, lambda v: v > load.limit_N)
    if not count:
        return
    size, short = case.middle(load.figure) / load.limit_N, f"{load.short}{in_so_many(count, of)}"
    text = f"{start(short)}: {load.told.format(case.sized(load.figure))}"
    series = case.column(load.column)
    row = int(series.argmax())
    if series[row] <= load.limit_N:
        text = f"{text}, {NOT_KEPT}."
        yield Finding(Harm.BREAKS, worry(count, of), size, short, text, load.figure, load.part)
        return
    at, time = case.place_m(row), float(case.column("time_s")[row])
    yield Finding(
        Harm.BREAKS, worry(count, of), size, short, f"{text}, {place(at)}.", load.figure, load.part, time, at,
        (*seen_from(case, time, at), *causes),
    )  # fmt: skip
