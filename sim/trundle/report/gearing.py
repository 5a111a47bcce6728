"""What `trundle gearing` prints: which ratio to take and why, what is wrong with the present one, a row for each."""

from __future__ import annotations

import math
from collections.abc import Iterator

from rich.console import Console
from rich.table import Table

from trundle.findings.gearing import RESERVE, Geared, Gearing
from trundle.findings.grades import Grade, Line
from trundle.findings.words import listed, seconds, start
from trundle.report.terminal import Out, screen

CAUTION = (
    "Straight ahead in the side view, on this course: steering takes more torque than any kerb, and is not in it. "
    "Another ratio is other chains and sprockets; what they weigh is not in it either."
)


def print_gearing(found: Gearing, console: Console | None = None) -> None:
    """Advice first, then a row for each ratio."""
    out = Out(console or screen())
    out.line(headline(found), bold=True)
    out.gap()
    for line in reasons(found):
        out.line(line)
    out.gap()
    table = Table(box=None, padding=(0, 2, 0, 0), header_style="dim")
    names = heads(found)
    for head in names:
        table.add_column(
            out.text(head), justify="left" if head in LEFT else "right", no_wrap=head in LEFT,
            min_width=max(map(len, head.split())) if head not in LEFT else None,
        )  # fmt: skip
    for one in found.tried:
        bold = "bold" if one is found.best else ""
        table.add_row(*(out.text(cell, bold) for cell in row(one, found)))
    out.console.print(table)
    out.gap()
    out.say(f"One run each; {_two(found)} rolled {found.best.runs} times close by, medians.", "dim")
    out.say(CAUTION, "dim")


def headline(found: Gearing) -> Line:
    """What to do."""
    own, best = found.own, found.best
    who = f"{found.vehicle} over {found.course}"
    if not best.over:
        return Line(Grade.FAIL, f"{who}: no ratio gets it over.")
    wrong = [t.text for t in best.troubles] + ([] if found.holds else [_slow(best, found)])
    trouble = f", but {listed(wrong, 2)}" if wrong else ""
    if best is own:
        return Line(found.grade, f"{who}: keep the ratio of {own.ratio:g}{trouble}.")
    text = f"{who}: take a ratio of {best.ratio:g} in place of {own.ratio:g} (drive.motor.ratio){trouble}."
    return Line(found.grade, text)


def reasons(found: Gearing) -> Iterator[Line]:
    """Why: what is wrong with the present one, what the other changes, what ends the choice on either side."""
    own, best = found.own, found.best
    if not own.over:
        yield Line(Grade.FAIL, f"Now ({own.ratio:g}) it does not get over: {own.why}.")
    for trouble in own.troubles:
        yield Line(Grade.RISK, f"Now ({own.ratio:g}): {trouble.text}.")
    if own.over and not own.holds(found.quickest_s):
        yield Line(Grade.NOTE, f"Now ({own.ratio:g}): {_slow(own, found)}.")
    if best.over and best is not own:
        yield Line(Grade.FINE if not best.troubles else Grade.NOTE, f"{start(_changed(own, best))}.")
    if not best.over:
        yield Line(Grade.NOTE, f"At {best.ratio:g} it comes furthest: {best.why}.")
        return
    at = found.tried.index(best)
    for beyond, towards in ((found.tried[at + 1 :], "More"), (found.tried[:at][::-1], "Less")):
        worse = next((one for one in beyond if one.order(found.quickest_s) > best.order(found.quickest_s)), None)
        if worse is not None:
            yield Line(Grade.NOTE, f"{towards} ({worse.ratio:g}) is no better: {_worse(worse, best, found)}.")
    if best.crawl_deg >= best.climbs.grip_deg:
        text = f"Its pull at a crawl ends with grip, at {best.crawl_deg:.0f}°: more of it would only slip."
        yield Line(Grade.NOTE, text)
    if best.troubles or not found.holds:
        text = f"None of them holds {best.asked_m_s:g} m/s and overloads nothing: it wants more motor, or less speed."
        yield Line(Grade.NOTE, text)


def _slow(one: Geared, found: Gearing) -> str:
    top, asked = f"{one.top_m_s:.2f} m/s", f"{one.asked_m_s:g} m/s"
    if one.top_m_s < one.asked_m_s:
        return f"it does not come up to {asked}, its top speed on the level is {top}"
    if one.top_m_s < RESERVE * one.asked_m_s:
        return f"{top} on the level leave nothing over {asked} when the battery is half empty"
    return f"it takes {seconds(one.duration_s)} where {seconds(found.quickest_s)} are possible"


def _worse(one: Geared, best: Geared, found: Gearing) -> str:
    if not one.over:
        return f"it does not get over: {one.why}"
    if len(one.troubles) > len(best.troubles):
        known = {t.word for t in best.troubles}
        return listed([t.text for t in one.troubles if t.word not in known] or [t.text for t in one.troubles], 2)
    if not one.holds(found.quickest_s):
        return _slow(one, found)
    if not found.holds:
        return f"it takes {seconds(one.duration_s)} in place of {seconds(best.duration_s)}"
    return f"one motor gives {one.rms:.2f} N·m r.m.s. in place of {best.rms:.2f}"


def _changed(own: Geared, best: Geared) -> str:
    """What the other ratio changes, before and after."""
    said = [_both("one motor gives {} r.m.s.", own, best, "rms_motor_torque_Nm", "{:.2f} N·m")]
    rating = "motor_rms_of_rating_percent"
    if best.figures[rating] is not None:
        said.append(_both("{} of what it may give for ever", own, best, rating, "{:.0f} %"))
    said.append(_both("{} from the battery", own, best, "battery_course_Wh", "{:.2f} Wh"))
    said.append(f"top speed {best.top_m_s:.1f} m/s ({own.top_m_s:.1f})")
    said.append(f"steepest slope at a crawl {best.crawl_deg:.0f}° ({own.crawl_deg:.0f}°)")
    return f"with {best.ratio:g} (now {own.ratio:g} in brackets) {', '.join(filter(None, said))}"


def _both(words: str, own: Geared, best: Geared, figure: str, shape: str) -> str:
    before, after = own.figures[figure], best.figures[figure]
    if before is None or after is None:
        return ""
    return f"{words.format(shape.format(after))} ({shape.format(before)})"


LEFT = ("ratio", "what is wrong")


def heads(found: Gearing) -> tuple[str, ...]:
    """Of the table: without a battery, or a rating, its columns are left out."""
    some = found.tried[0].figures
    rated = ("of rating [%]",) if some["motor_rms_of_rating_percent"] is not None else ()
    drawn = ("course [Wh]",) if some["battery_course_Wh"] is not None else ()
    amps = ("1 s [A]",) if some["battery_peak_1s_A"] is not None else ()
    return (
        "ratio", "time [s]", "r.m.s. [N·m]", *rated, "at limit [s]", "top [m/s]", "crawl [deg]", "at speed [deg]",
        *drawn, *amps, "what is wrong",
    )  # fmt: skip


def row(one: Geared, found: Gearing) -> tuple[str, ...]:
    """Of one ratio."""
    figures, names = one.figures, heads(found)
    mark = ", now" if one is found.own else ""
    take = ", take" if one is found.best and one is not found.own else ""
    wrong = ([] if one.over else ["stuck"]) + [t.word for t in one.troubles]
    if one.over and not one.holds(found.quickest_s):
        wrong.append("slow")
    cells = {
        "ratio": f"{one.ratio:g}{mark}{take}",
        "time [s]": f"{one.duration_s:.1f}",
        "r.m.s. [N·m]": f"{one.rms:.2f}",
        "of rating [%]": _cell(figures["motor_rms_of_rating_percent"], 0),
        "at limit [s]": _cell(figures["motor_at_limit_s"], 2),
        "top [m/s]": _cell(one.top_m_s, 1),
        "crawl [deg]": f"{one.crawl_deg:.0f}",
        "at speed [deg]": f"{one.asked_deg:.0f}" if one.asked_deg >= 0.0 else "–",
        "course [Wh]": _cell(figures["battery_course_Wh"], 2),
        "1 s [A]": _cell(figures["battery_peak_1s_A"], 0),
        "what is wrong": ", ".join(wrong),
    }
    return tuple(cells[name] for name in names)


def _cell(value: float | None, digits: int) -> str:
    return "–" if value is None or math.isinf(value) else f"{value:.{digits}f}"


def _two(found: Gearing) -> str:
    return f"{found.own.ratio:g}" if found.best is found.own else f"{found.own.ratio:g} and {found.best.ratio:g}"
