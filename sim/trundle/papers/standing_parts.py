"""The standing sheet as titled tables."""

from __future__ import annotations

from collections.abc import Sequence

from trundle.papers.loads import WorstLoads
from trundle.papers.notice import Notice
from trundle.papers.parts import Part, Table, merged, names, number
from trundle.papers.springs import SpringSheet
from trundle.papers.standing import StandingSheet, TrackAtRest
from trundle.strength.margin import PartMargin


def warning_part(found: list[Notice]) -> Part:
    """What to know first."""
    if not found:
        return Part("Warnings", lines=("Nothing here looks wrong standing still.",))
    return Part(
        "Warnings",
        lines=tuple(w.text for w in found if not w.loud),
        loud=tuple(w.text for w in found if w.loud),
    )


def sitting(sheet: StandingSheet) -> Part:
    """Heights, pitch, belly."""
    rows = [
        (
            f"ride height {h.where}",
            f"{number(h.height_mm)} mm",
            f"belly datum, {h.at_mm:.0f} mm from the tail",
        )
        for h in sheet.heights
    ]
    way = "level" if abs(sheet.pitch_deg) < 0.05 else "nose up" if sheet.pitch_deg > 0 else "nose down"
    rows.append(("pitch at rest", f"{number(abs(sheet.pitch_deg), 1)} deg", way))
    rows.append(("belly clearance", f"{number(sheet.belly_clearance_mm)} mm", "its lowest corner over level ground"))
    rows.append(("all-up mass", f"{number(sheet.mass_kg)} kg", f"weight {number(sheet.weight_N)} N"))
    rows.append(("of that the hull", f"{number(sheet.hull_kg)} kg", f"hull.mass_kg; the rest: {sheet.parts} kg"))
    return Part("How it sits", tables=(Table(("", "", ""), tuple(rows)),))


def wheels(sheet: StandingSheet) -> Part:
    """Load and travel of each wheel."""
    arms = {a.name: a for a in sheet.arms}
    rows: list[tuple[str, ...]] = []
    for w in sheet.wheels:
        arm = arms.get(w.name)
        cells = ["", "", ""]
        if arm is not None:
            cells = [
                number(arm.angle_deg, 1),
                f"{number(arm.to_bump_mm)} ({number(arm.to_bump_deg, 1)})",
                f"{number(arm.to_droop_mm)} ({number(arm.to_droop_deg, 1)})",
            ]
        rows.append((w.name, str(w.wheels), number(w.load_N), number(100.0 * w.share, 1), *cells))
    heads: tuple[str, ...] = (
        "station",
        "wheels",
        "N on one",
        "% of weight",
        "arm, deg",
        "to bump, mm (deg)",
        "to droop, mm (deg)",
    )
    if not any(any(row[4:]) for row in rows):  # wheels on beams: theirs is the next table
        heads, rows = heads[:4], [row[:4] for row in rows]
    tables = [Table(heads, tuple(rows))]
    others = [a for a in sheet.arms if a.name not in {w.name for w in sheet.wheels}]
    if others:
        rows = [
            (
                a.name,
                number(a.angle_deg, 1),
                f"{number(a.to_bump_mm)} ({number(a.to_bump_deg, 1)})",
                f"{number(a.to_droop_mm)} ({number(a.to_droop_deg, 1)})",
            )
            for a in others
        ]
        tables.append(Table(("arm or beam", "deg", "to bump, mm (deg)", "to droop, mm (deg)"), tuple(rows)))
    return Part(
        "Wheels and arms",
        "Arm angles are below the hull's horizontal; travel is the axle's, up and down in the hull.",
        tuple(tables),
    )


def _tensioner(t: TrackAtRest) -> list[tuple[str, str, str]]:
    if t.travel_mm is None:
        return []
    left = t.travel_mm - t.pressed_mm
    return [
        (
            "tensioner, standing",
            f"{number(t.pressed_mm, 1)} mm",
            f"pressed in of {number(t.travel_mm)}: {number(left, 1)} mm are left, then its stop holds the idler",
        )
    ]


def track(sheet: StandingSheet) -> Part | None:
    """Track at rest and ground pressure."""
    if sheet.track is None or sheet.pressure is None:
        return None
    t, p = sheet.track, sheet.pressure
    share = 100.0 * t.carries_N / sheet.weight_N
    rows = [
        (
            "pull in one track",
            f"{number(t.tension_N)} N",
            f"sag {number(t.sag_mm, 1)} mm in the longest top span",
        ),
        (
            "idler axle",
            f"{number(t.idler_mm[0])} mm",
            f"from the tail, {number(t.idler_mm[1])} mm up: "
            f"{number(abs(t.idler_moved_mm), 1)} mm {'out' if t.idler_moved_mm > 0 else 'in'} of the file's"
            + (", its tensioner all the way out" if t.travel_mm is not None else ""),
        ),
        *_tensioner(t),
        (
            "carried by the track between wheels",
            f"{number(share, 1)} %",
            f"of the weight, {number(t.carries_N)} N",
        ),
        (
            "lifted off the outer wheels",
            f"{number(t.lifts_N)} N",
            "by the track's ramps, which pull the hull down by as much",
        ),
        (
            "ground pressure, even",
            f"{number(p.nominal_kPa, 1)} kPa",
            f"estimate: the weight over both tracks, {number(p.width_mm)} mm wide and {number(p.length_mm)} mm "
            "between the outer axles, as if spread evenly",
        ),
        (
            "ground pressure, peaks",
            f"{number(p.mean_maximum_kPa, 1)} kPa",
            f"estimate: mean of the peaks under {p.stations} stations (Rowland's formula for rigid links, "
            "links taken as solid plate; fitted to heavy vehicles)",
        ),
    ]
    return Part("Track and ground", tables=(Table(("", "", ""), tuple(rows)),))


def springs(sheet: StandingSheet) -> Part:
    """Every spring at standing, bump, droop."""
    rows: list[tuple[str, ...]] = []
    whens = dict.fromkeys(state.when for s in sheet.springs for state in s.states)
    for when in whens:
        for s in sheet.springs:
            state = s.state(when)
            known = s.steel is not None
            rows.append(
                (
                    s.name,
                    s.kind,
                    state.when,
                    " / ".join(dict.fromkeys(number(a, 1) for a in state.angle_deg)),
                    number(state.torque_Nm, 1),
                    number(state.load_N) if state.load_N else "–",
                    f"{number(max(state.deflection, 0.0), 1)} {state.unit}",
                    number(state.stress_MPa) if known else "–",
                    number(s.yield_margin(state.when), 2) if known else "–",
                    number(state.energy_J, 1),
                    (state.where or "–") if known else "–",
                )
            )
    heads: tuple[str, ...] = (
        "spring",
        "kind",
        "at",
        "arm, deg",
        "torque, N.m",
        "load, N",
        "bent by",
        "stress, MPa",
        "yield / stress",
        "holds, J",
        "stressed most",
    )
    if all(row[-1] == "–" for row in rows):
        heads, rows = heads[:-1], [row[:-1] for row in rows]
    table = Table(heads, merged(rows))
    remarks: dict[str, list[str]] = {}
    for s in sheet.springs:
        for text in s.remarks:
            remarks.setdefault(text, []).append(s.name)
    return Part(
        "Springs",
        "One side's. A leaf's load is that of its heavier end; stress is the largest in the piece, what a clamp "
        "presses flat counted. Fit: what a first design works to, 0.6 of yield standing and 0.75 at bump. Endurance: "
        "allowed over actual swing between standing and bump, a rough guide, 1 is the limit.",
        (table, _steel_table(sheet.springs)),
        tuple(f"{names(who)}: {text}" for text, who in remarks.items()),
    )


def _steel_table(found: tuple[SpringSheet, ...]) -> Table:
    rows = []
    for s in found:
        rate = f"{number(s.rate_N_per_mm, 1)} N/mm"
        if s.steel is None:
            rows.append((s.name, rate, s.no_steel, "–", "–", "–", "–"))
            continue
        limits = s.limits_MPa or (0.0, 0.0)
        rows.append(
            (
                s.name,
                rate,
                f"{s.steel.name}, {s.steel.condition} ({s.steel.source})",
                f"{number(s.yield_MPa)} {s.measure}",
                number(limits[0]),
                number(limits[1]),
                number(s.endurance, 2),
            )
        )
    heads = (
        "spring",
        "rate at the axle",
        "steel",
        "yield, MPa",
        "fit standing, MPa",
        "fit at bump, MPa",
        "endurance",
    )
    return Table(heads, merged(rows))


def swinging(sheet: StandingSheet) -> Part:
    """Modes: the hull's with every wheel, then bogies and wheels."""
    rows = []
    for m in sheet.modes:
        node = ""
        if m.kind in ("heave", "pitch"):
            node = f"about {number(m.node_mm)} mm from the tail" if m.node_mm is not None else "all of it alike"
        rows.append(
            (
                m.kind,
                number(m.frequency_Hz, 2),
                number(m.damping, 3),
                number(m.friction_damping, 3),
                m.words,
                node,
            )
        )
    heads = ("swing", "Hz", "damping", "+ friction", "what moves", "turns")
    ends = [n for n, _ in sheet.modes[0].shape_mm]
    shapes = [(m.kind, number(m.frequency_Hz, 2), *(number(dict(m.shape_mm)[e], 1) for e in ends)) for m in sheet.modes]
    return Part(
        "How it swings",
        "Small swings about the standing position, free to roll. Damping: ratio from tyres, dampers and "
        "pads, each swing by itself; friction: what dry pivots and leaves add at 10 mm (less the wider it "
        "swings; in the smallest swings they hold fast and it is stiffer).",
        (
            Table(heads, tuple(rows)),
            Table(("shape, mm up", "Hz", *ends), tuple(shapes)),
        ),
    )


def adjusters(sheet: StandingSheet) -> Part | None:
    """What a turn of each adjuster does."""
    if not sheet.adjusters:
        return None
    rows = []
    for a in sheet.adjusters:
        turn = "thread not given" if a.screwed else "–"
        if a.turn_mm is not None:
            turn = f"{number(a.front_mm * a.turn_mm, 2)} / {number(a.rear_mm * a.turn_mm, 2)}"
        rows.append((a.bogie, a.step, number(a.front_mm, 2), number(a.rear_mm, 2), turn))
    heads = ("adjuster of", "moved", "front, mm", "rear, mm", "front / rear per turn, mm")
    return Part(
        "Adjusters",
        "Change of ride height when both sides are moved alike, found by standing it again.",
        (Table(heads, tuple(rows)),),
    )


def _notes(m: PartMargin) -> tuple[str, ...]:
    """Its own, and what one wheel of its pair would do alone."""
    return m.notes if m.on_stone is None else (*m.notes, m.on_stone.said(m.limit_MPa), *m.on_stone.notes)


def strength_part(checks: list[PartMargin], missing: Sequence[str], loads: WorstLoads) -> Part:
    """Bolts, arms, brackets, welds."""
    rows = []
    for c in checks:
        rows.append(
            (
                c.name,
                c.title,
                number(c.load_N),
                number(c.stress_MPa),
                number(c.limit_MPa),
                number(c.margin, 2),
                "–" if c.endurance is None else number(c.endurance, 2),
                "; ".join(_notes(c)),
            )
        )
    heads = ("station", "part", "load, N", "stress, MPa", "limit, MPa", "margin", "endurance", "notes")
    intro = f"Worked out at {loads.source}"
    intro += "." if loads.from_run else ", as no run is given: roll it over your course and give --run for real forces."
    intro += (
        " Each part in its hardest moment, by the force as it pointed; what the wheels and their piece of track keep "
        "back is taken off, what arms weigh is not (in a blow that errs to the safe side). Stops are taken to push "
        "where the spring bears."
        if loads.margins is not None
        else " All of it is taken to push upright, or along the arm as a kerb's edge does, whichever is worse."
    )
    intro += (
        " Parts made alike are checked once, where they have least left. "
        "Margin below 1: it yields. Endurance: a rough guide, 1 is the limit."
    )
    tables = (Table(heads, merged(rows)),) if rows else ()
    same: dict[str, list[str]] = {}
    for line in missing:
        name, _, what = line.partition(": ")
        same.setdefault(what.replace(f"bogie.{name}.", "bogie.NAME."), []).append(name)
    return Part("Strength", intro, tables, tuple(f"{names(who)}: {what}" for what, who in same.items()))
