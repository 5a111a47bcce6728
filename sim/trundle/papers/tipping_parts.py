"""Tipping in words and tables: for its own paper, and what of it the standing sheet has."""

from __future__ import annotations

import math

from trundle.errors import InputError, Problem, plain
from trundle.handling.grounds import Ground, grounds
from trundle.handling.holds import Gives, held, slides_rad, turn_m_s
from trundle.handling.tip import RAISED_MM, Seated, Shift, Slopes, Tipping
from trundle.handling.tips import Tips
from trundle.papers.notice import Notice, worst_first
from trundle.papers.parts import Part, Table, names, number
from trundle.papers.turning_parts import sources
from trundle.papers.turning_words import NO_GAUGE
from trundle.units import DEG, MM, G

LEAN_MM = 150.0
"""By how much a seated rider can lean without leaving the seat: his whole mass, less than his head."""

STEEP_DEG = 30.0
"""A side slope below which it is said aloud that it tips: steeper than most banks (common practice, no source)."""

ON = ("tarmac", "wet tarmac", "grass", "wet grass")
"""Grounds of the table of slopes that hold it."""

RADII_M = (1.0, 2.0, 3.0, 5.0, 10.0)

CARE = (
    "Rolling over is what kills on vehicles like this: a bar over the rider's head that bears the whole vehicle upside "
    "down, and a belt that keeps him under it, come before any slope (a bar without a belt is worse than none). These "
    "are the slopes at which it tips standing still: a bump under the upper side, a soft edge under the lower one, a "
    "turn or a jab of the brake tips it on half of that; stay well below. Never park it by its brake with somebody "
    "below. Local rules (of roll-over protection, of slopes that may be worked on) and a licensed engineer decide "
    "where people or public places are involved."
)

_GIVES: dict[Gives, str] = {"brake": "its brake gives way", "grip": "it slides", "tips": "it tips"}


def deg(angle_rad: float, digits: int = 0) -> str:
    """A slope in degrees."""
    return number(angle_rad / DEG, digits)


def best(tips: Tips) -> float:
    """The slope that is told: with springs, where that was worked out [rad]."""
    return tips.stiff_rad if math.isnan(tips.sprung_rad) else min(tips.sprung_rad, tips.stiff_rad)


def check_seated(found: Tipping, shift: Shift) -> None:
    """Raises InputError for something moved that nobody knows the mass of."""
    if found.seated is None and shift != Shift():
        raise InputError(
            Problem(
                f"what is at the seat ({found.at.vehicle.hull.at_seat}) cannot be moved: its mass is not given",
                field="hull.seat_kg",
                allowed="hull.seat_kg, or nothing moved",
            )
        )


def shifted(found: Tipping, shift: Shift) -> str:
    """What was moved, to go on a sentence with."""
    if found.seated is None or shift == Shift():
        return ""
    parts = []
    for value, plus, minus in (
        (shift.aside_mm, "downhill", "uphill"),
        (shift.ahead_mm, "forward", "back"),
        (shift.up_mm, "up", "down"),
    ):
        if value:
            parts.append(f"{number(abs(value))} mm {plus if value > 0.0 else minus}")
    return f"; {_who(found.seated)} moved {names(parts)}"


def _who(seated: Seated) -> str:
    return f"the {seated.what} ({number(seated.kg)} kg{', an estimate' if seated.estimated else ''})"


def answer(found: Tipping, slopes: Slopes, shift: Shift) -> Part:
    """What to know first, worst first."""
    said = worst_first(_said(found, slopes))
    if shift != Shift() and slopes.side is not None and found.seated is not None:
        plainly = found.slopes()
        if plainly.side is not None:
            change = (best(slopes.side) - best(plainly.side)) / DEG
            said.append(
                Notice(f"What was moved changes the side slope by {'+' if change > 0 else ''}{number(change, 1)} deg")
            )
    return Part(
        "In short",
        lines=tuple(n.text for n in said if not n.loud),
        loud=tuple(n.text for n in said if n.loud),
    )


def notices(found: Tipping) -> list[Notice]:
    """What of it belongs to the warnings of the standing sheet."""
    return [n for n in _said(found, found.slopes()) if n.loud]


def _said(found: Tipping, slopes: Slopes) -> list[Notice]:
    return [*_side(found, slopes), *_lengthwise(found, slopes), *_parked(found, slopes)]


def _on(found: Tipping) -> dict[str, Ground]:
    return dict(grounds(found.at.rubber))


def _side(found: Tipping, slopes: Slopes) -> list[Notice]:
    side = slopes.side
    if side is None:
        return [Notice(f"Across a slope: {NO_GAUGE}the side slope at which it tips is not worked out")]
    on = _on(found)
    tips, slides = best(side), {n: slides_rad(g.side) for n, g in on.items()}
    first = [n for n, s in slides.items() if s > tips]
    text = (
        f"Across a slope it tips at {deg(tips)} deg: stiff it would be {deg(side.stiff_rad)}, the springs take "
        f"{deg(side.stiff_rad - tips)} away"
    )
    if first:
        after = [n for n in slides if n not in first]
        text += f". On {names(first)} it tips before it slides"
        text += f"; on {names(after)} it slides first, and tips when its lower side is stopped" if after else ""
    else:
        text += ". On every ground here it slides before it tips, and tips when its lower side is stopped"
    return [Notice(text, tips < STEEP_DEG * DEG)]


def _lengthwise(found: Tipping, slopes: Slopes) -> list[Notice]:
    if found.tail is None:  # stiff it would be told too steep
        return []
    tail, nose = best(slopes.tail), best(slopes.nose)
    return [Notice(f"Nose up it tips over its tail at {deg(tail)} deg, tail up over its nose at {deg(nose)} deg")]


def _parked(found: Tipping, slopes: Slopes) -> list[Notice]:
    """What its brake holds on tarmac, up and down alike."""
    drive, weight = found.at.vehicle.drive, found.masses.weight_N
    dry = _on(found)["tarmac"]
    holds = held(dry, drive.brake_N, weight, min(best(slopes.tail), best(slopes.nose)))
    wet = held(_on(found)["wet tarmac"], drive.brake_N, weight, min(best(slopes.tail), best(slopes.nose)))
    text = f"Its brake holds it up or down a slope of {deg(holds.slope_rad)} deg on tarmac; then {_GIVES[holds.gives]}"
    if wet.slope_rad < holds.slope_rad - 0.5 * DEG:
        text += f" (wet: {deg(wet.slope_rad)} deg, then {_GIVES[wet.gives]})"
    return [Notice(text)]


def where(found: Tipping, slopes: Slopes) -> Part:
    """The slopes in a table."""
    rows = []
    for name, tips, about in (
        ("across", slopes.side, "the middle of the lower " + ("track" if found.at.vehicle.track else "wheels")),
        ("nose up", slopes.tail, "its last wheels, and what comes down behind them"),
        ("tail up", slopes.nose, "its first wheels, and what comes down before them"),
    ):
        if tips is not None and not math.isnan(tips.sprung_rad):
            rows.append((name, deg(tips.sprung_rad, 1), deg(tips.stiff_rad, 1), deg(tips.roll_rad, 1), about))
    if slopes.side is not None:
        edge = "its outer edge, which a stiff track or tyre goes over last"
        rows.insert(1, ("across, at most", deg(slopes.side.edge_rad, 1), "–", "–", edge))
    m = found.masses
    lines = [
        f"The centre of all mass ({number(m.mass_kg)} kg) is {number(m.high_m / MM)} mm over the ground, "
        f"{number((m.ahead_m - m.last_m) / MM)} mm ahead of the last axle and "
        f"{number((m.first_m - m.ahead_m) / MM)} mm behind the first."
    ]
    if slopes.side is None:
        lines.append(f"{NO_GAUGE[0].upper()}{NO_GAUGE[1:]}nothing is told of slopes across.")
    return Part(
        "Slopes at which it tips",
        "Stiff: atan(half the gauge, or the way to the last axle, over the height). With springs: by equilibrium of "
        "springs, tyres, stops and track as the law has them, the load that the slope leaves on them; both sides' "
        "springs as when both carry alike.",
        (Table(("slope", "tips at, deg", "stiff, deg", "leans on its springs, deg", "about"), tuple(rows)),),
        tuple(lines),
    )


def brake(found: Tipping, slopes: Slopes) -> Part:
    """What holds it on a slope, ground by ground."""
    drive, weight = found.at.vehicle.drive, found.masses.weight_N
    on = _on(found)
    rows = []
    for name, ground in on.items():
        up = held(ground, drive.brake_N, weight, best(slopes.tail))
        down = held(ground, drive.brake_N, weight, best(slopes.nose))
        side = "–"
        if slopes.side is not None:
            slides, tips = slides_rad(ground.side), best(slopes.side)
            side = f"{deg(min(slides, tips))}: it {'slides' if slides < tips else 'tips'}"
        rows.append(
            (
                name,
                number(ground.grip, 2),
                f"{deg(up.slope_rad)}: {_GIVES[up.gives]}",
                f"{deg(down.slope_rad)}: {_GIVES[down.gives]}",
                side,
            )
        )
    return Part(
        "What holds it, and what gives first",
        f"Brake {number(drive.brake_N)} N at the {'tracks' if found.at.vehicle.track else 'treads'}, weight "
        f"{number(weight)} N: asin(brake / weight), atan(friction), and where it tips. Rolling drag, which holds a "
        "little too, is left out.",
        (Table(("on", "friction", "nose up, deg", "nose down, deg", "across, deg"), tuple(rows)),),
        tuple(sources(list(on.values()))),
    )


def moved(found: Tipping) -> Part | None:
    """What leaning does."""
    seated = found.seated
    if seated is None:
        return None
    cases = [
        ("as it stands", Shift()),
        (f"{LEAN_MM:g} mm uphill", Shift(aside_mm=-LEAN_MM)),
        (f"{LEAN_MM:g} mm downhill", Shift(aside_mm=LEAN_MM)),
        (f"{LEAN_MM:g} mm forward", Shift(ahead_mm=LEAN_MM)),
        (f"{LEAN_MM:g} mm back", Shift(ahead_mm=-LEAN_MM)),
    ]
    return Part(
        f"With the {seated.what} moved",
        f"{_who(seated)[0].upper()}{_who(seated)[1:]} moved in the seat by so much, all of it; springs as they stand.",
        (_table(found, "moved", cases),),
    )


def raised(found: Tipping) -> Part:
    """How the slopes fall as the load is raised."""
    seated = found.seated
    if seated is None:
        at = found.at.vehicle.hull.at_seat
        return Part("With a raised load", lines=(f"the mass of the {at} at the seat is not given (hull.seat_kg)",))
    cases = [(f"{mm:g} mm up" if mm else "as it stands", Shift(up_mm=mm)) for mm in RAISED_MM]
    return Part(
        "With a raised load",
        f"{_who(seated)[0].upper()}{_who(seated)[1:]} so much higher: another seat, a load on a rack, a rider who "
        "stands up.",
        (_table(found, "raised", cases),),
    )


def _table(found: Tipping, head: str, cases: list[tuple[str, Shift]]) -> Table:
    rows = []
    for name, shift in cases:
        s = found.slopes(shift)
        side = ("–", "–") if s.side is None else (deg(best(s.side), 1), deg(s.side.stiff_rad, 1))
        ends = () if found.tail is None else (deg(best(s.tail), 1), deg(best(s.nose), 1))
        rows.append((name, *side, *ends))
    heads = (head, "across, deg", "across, stiff", *(() if found.tail is None else ("nose up, deg", "tail up, deg")))
    return Table(heads, tuple(rows))


def in_turns(found: Tipping, slopes: Slopes) -> Part | None:
    """How fast it may turn on the level."""
    if slopes.side is None:
        return None
    share = math.tan(best(slopes.side))
    on = _on(found)
    rows = []
    for radius in RADII_M:
        tips = turn_m_s(radius, share, G)
        rows.append(
            (
                f"{radius:g}",
                number(3.6 * tips, 1),
                *(number(3.6 * turn_m_s(radius, on[n].side, G), 1) for n in ("tarmac", "grass")),
            )
        )
    return Part(
        "In a turn at speed, on the level",
        f"It tips where v^2 / R comes to {number(share, 2)} of g, the tangent of its side slope, and slides where it "
        "comes to the friction: which is lower comes first. A rut, kerb or root that stops the slide tips it.",
        (Table(("radius, m", "tips at, km/h", "slides on tarmac, km/h", "on grass, km/h"), tuple(rows)),),
    )


def what_next(source: str) -> Part:
    """Commands."""
    source = plain(source)
    return Part(
        "What next",
        lines=(
            f"trundle tip {source} --up-mm 200   with what is at the seat raised; --aside-mm, --ahead-mm move it",
            f"trundle turn {source}   what turning takes, and whether its parts hold it",
            f"trundle limits {source}   the steepest ramp that it climbs, rolling",
        ),
    )


def care() -> Part:
    """Cautions."""
    return Part("Take care", CARE)


def sheet_part(found: Tipping) -> Part:
    """Tipping on the standing sheet: across, and what its brake holds."""
    slopes = found.slopes()
    tables = []
    if slopes.side is not None:
        tables.append(where(found, slopes).tables[0])
        if found.seated is not None:
            tables.append(raised(found).tables[0])
    return Part(
        "Tipping",
        "Standing on a hard, even slope, with springs and tyres that give. Rolling over is what kills: a roll bar and "
        "a belt come before any slope; stay well below these."
        + (f" Raised: {_who(found.seated)}." if found.seated is not None and slopes.side is not None else ""),
        tuple(tables),
        (
            *(n.text for n in _said(found, slopes) if not n.loud),
            "trundle tip has nose up and tail up, all grounds, leaning, and how fast it may turn",
        ),
    )
