"""What hits the rider, or what else is at the seat, and what of the hull strikes the ground."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from trundle.findings.blows import HARD_BLOW_G
from trundle.findings.channel import filtered, fine_enough
from trundle.findings.events.hull import BELLY, ENDS, HARD_END, NOSE
from trundle.findings.finding import Finding, Harm
from trundle.findings.holds import HOLDS, held_by, mass_kg
from trundle.findings.jolts import loose_in_seat
from trundle.findings.seat_words import LOST_M_S, SLIDES_MM, THROWN_MM, hold_text, the
from trundle.findings.serious.case import NOT_KEPT, Case, in_so_many, worry
from trundle.findings.serious.causes import BEFORE_S, clearance, end_height, pushers, seen_from
from trundle.findings.words import place, seconds, speed, start, times
from trundle.units import MM


def ends(case: Case) -> Iterator[Finding]:
    """Sprocket or idler, run into the ground."""
    weight = case.assembly.weight_N
    for end in ENDS:
        figure = f"peak_{end}_load_N"
        count, of = case.often(figure, lambda v: v > HARD_END * weight)
        if not count:
            continue
        hits = [e for e in case.events if e.kind == NOSE and e.where == end]
        share = case.middle(figure) / weight
        short = f"the {end} is run into the ground{in_so_many(count, of)}"
        text = f"{start(short)}: {case.sized(figure)} on one side, {share:.1f} times the vehicle's weight"
        unknown = "What its axle and bearing stand is not worked out."
        if not hits:
            text = f"{text}, {NOT_KEPT}. {unknown}"
            yield Finding(Harm.HITS, worry(count, of), share, short, text, figure, end)
            continue
        worst = max(hits, key=lambda e: e.peak_N)
        at = worst.course_mm * MM
        yield Finding(
            Harm.HITS, worry(count, of), share, short, f"{text}, {place(at)}. {unknown}", figure, end, worst.time_s, at,
            (*seen_from(case, worst.time_s, at), *end_height(case, end, worst)),
        )  # fmt: skip


def belly(case: Case) -> Iterator[Finding]:
    """The belly on the ground, whether or not that dents it."""
    load, figure = "peak_belly_load_N", "min_belly_clearance_mm"
    count, of = case.often(load, lambda v: v > 0.0)
    if not count:
        return
    hits = [e for e in case.events if e.kind == BELLY]
    share = case.middle(load) / case.assembly.weight_N
    short = f"the belly strikes the ground{in_so_many(count, of)}"
    text = f"{start(short)}: hardest {case.sized(load)}, {share:.1f} times the vehicle's weight"
    if not hits:
        text = f"{text}, {NOT_KEPT}."
        yield Finding(Harm.HITS, worry(count, of), share, short, text, figure, "belly")
        return
    worst = max(hits, key=lambda e: e.peak_N)
    lasts, at = sum(e.duration_s for e in hits), worst.course_mm * MM
    text += f", {place(at)}; {times(len(hits))}, {seconds(lasts)} in all."
    yield Finding(
        Harm.HITS, worry(count, of), share, short, text, figure, "belly", worst.time_s, at,
        (*seen_from(case, worst.time_s, at), *clearance(case)),
    )  # fmt: skip


def jolt_along(case: Case) -> Iterator[Finding]:
    """What is at the seat is thrown along, harder than anybody stands, or further than it should slide; a note from
    half as hard on."""
    hull, figure = case.assembly.vehicle.hull, "peak_seat_forward_g"
    if not case.has(figure):
        return
    count, of = case.often(figure, lambda v: v >= HARD_BLOW_G)
    slid, _ = case.often("seat_slides_mm", lambda v: v >= SLIDES_MM)
    noted, _ = case.often(figure, lambda v: v >= 0.5 * HARD_BLOW_G)
    bad = max(count, slid) > 0
    if not bad and noted == 0:
        return
    jolt = filtered(case.column("seat.forward_m_s2"), case.dt_s)
    row = int(np.abs(jolt).argmax())
    towards = "forward" if jolt[row] < 0.0 else "back"
    verb = "thrown" if hull.at_seat != "mast" and bad else "jerked"
    far, does = case.middle("seat_slides_mm"), f"{the(hull)} is {verb} {towards}"
    if slid > count:
        most = f"{far:.0f} mm" if far >= SLIDES_MM else f"over {SLIDES_MM:g} mm"
        short = f"{does} {most} along the seat{in_so_many(slid, of) if far < SLIDES_MM else ''}"
        text = f"{start(does)}: {case.said(figure)} along"
    elif count:
        short, hard = _hard(case, figure, HARD_BLOW_G, count, of)
        short, text = f"{does} {short}", f"{start(does)}: {case.said(figure)} along{hard}"
    else:
        short, hard = _hard(case, figure, 0.5 * HARD_BLOW_G, noted, of)
        short, text = f"{does} {short}", f"{start(does)}: {case.said(figure)} along{hard}"
    lost = case.middle("speed_lost_m_s")
    if lost >= LOST_M_S:
        text += f", {speed(lost)} lost, nine tenths of it in {seconds(case.middle('speed_lost_over_s'))}"
    if far >= SLIDES_MM or slid:
        often = in_so_many(slid, of) if far < SLIDES_MM else ""
        far_said = case.sized("seat_slides_mm") + (f", over {SLIDES_MM:g} mm{often}" if often else "")
        text += f"; slides {far_said}, at up to {speed(case.middle('seat_slides_m_s'))}"
    kg = mass_kg(hull)
    if kg is not None and case.has("seat_force_N"):
        middles = {n: case.middle(n) for n in ("seat_forward_force_N", "seat_force_N", "peak_seat_forward_g")}
        text += f". {start(hold_text(middles, hull, kg))}"
    size = max(case.middle(figure) / HARD_BLOW_G, far / SLIDES_MM)
    grade = worry(max(count, slid), of)
    time = float(case.column("time_s")[row])
    at = case.place_m(row)
    causes = (*seen_from(case, time, at), *pushers(case, row, jolt, forward=True))
    yield Finding(Harm.STRIKES, grade, size, short, f"{text}.", figure, hull.at_seat, time, at, causes)


def jolt_up(case: Case) -> Iterator[Finding]:
    """What is at the seat is jolted up or down harder than anybody stands."""
    hull, figure = case.assembly.vehicle.hull, "peak_seat_g"
    if not case.has(figure):
        return
    count, of = case.often(figure, lambda v: v >= HARD_BLOW_G)
    if count == 0:
        return
    jolt = filtered(case.column("seat.up_m_s2"), case.dt_s)
    row = int(np.abs(jolt).argmax())
    towards = "up" if jolt[row] > 0.0 else "down"
    at_g, hard = _hard(case, figure, HARD_BLOW_G, count, of)
    short = f"{the(hull)} is jolted {towards} {at_g}"
    text = f"{start(the(hull))} is jolted {towards}: {case.said(figure)}{hard}, on top of gravity."
    grade = worry(count, of)
    time, at = float(case.column("time_s")[row]), case.place_m(row)
    causes = (*seen_from(case, time, at), *pushers(case, row, jolt, forward=False))
    yield Finding(
        Harm.STRIKES, grade, case.middle(figure) / HARD_BLOW_G, short, text, figure, hull.at_seat, time, at, causes
    )


def _hard(case: Case, figure: str, line_g: float, count: int, of: int) -> tuple[str, str]:
    """How hard, for a headline: the median of all runs where that is over the line, else the line and in how many runs
    it is passed. And the latter again for a sentence that gives the median, empty where all runs pass it."""
    middle, often = case.middle(figure), in_so_many(count, of)
    passed = f"at over {line_g:g} g{often}"
    return (f"at {middle:.1f} g" if middle >= line_g else passed), f", {passed.removeprefix('at ')}" if often else ""


def thrown_out(case: Case) -> Iterator[Finding]:
    """What is not held down leaves the seat."""
    hull, figure = case.assembly.vehicle.hull, "seat_left_mm"
    count, of = case.often(figure, lambda v: v >= THROWN_MM)
    if HOLDS[held_by(hull)].down or count == 0:
        return
    high = case.middle(figure)
    thrown = loose_in_seat(case.column("seat.up_m_s2"), case.column("hull.pitch_deg"), case.dt_s)
    short = f"{the(hull)} is thrown out of the seat{in_so_many(count, of)}"
    text = (
        f"{start(short)}: {case.sized(figure)} high, and meets it again at {speed(case.middle('seat_met_m_s'))}; off "
        f"it for {seconds(max(case.middle('seat_left_s'), 0.01))} in all."
    )
    grade = worry(count, of)
    time, at = float(case.column("time_s")[thrown.row]), case.place_m(thrown.row)
    causes = (*seen_from(case, time, at), *_threw(case, thrown.row))
    yield Finding(Harm.STRIKES, grade, high / THROWN_MM, short, text, figure, hull.at_seat, time, at, causes)


def _threw(case: Case, row: int) -> tuple[str, ...]:
    """What pushed the seat up hardest before it fell away."""
    if not fine_enough(case.dt_s):
        return ()
    jolt = filtered(case.column("seat.up_m_s2"), case.dt_s)
    first = max(row - round(BEFORE_S / case.dt_s), 0)
    pushed = first + int(jolt[first : row + 1].argmax())
    return pushers(case, pushed, jolt, forward=False) if jolt[pushed] > 0.0 else ()
