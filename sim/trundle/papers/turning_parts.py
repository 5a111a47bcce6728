"""Turning in tables: for its own paper, and what of it the standing sheet has."""

from __future__ import annotations

from collections.abc import Sequence

from trundle.errors import plain
from trundle.handling.grounds import Ground
from trundle.handling.turn import EDGE_MM, FLANK_DEG
from trundle.papers.parts import Part, Table, merged, names, number
from trundle.papers.turned import Turned
from trundle.papers.turning_words import NO_GAUGE, axle_word, does, place, quiet_lines, runs_on
from trundle.units import DEG, MM

CARE = (
    "A planar estimate, not a certificate: slowly, on level ground, with friction from tables. Turn first at walking "
    "pace on loose ground, with guards over tracks and sprockets, a kill switch, and nobody within its swing. Tracks "
    "are thrown in turns: never free one with the motor live. Local rules and a licensed engineer decide where people "
    "or public places are involved."
)


def everywhere(found: Turned, only: Sequence[str] = ()) -> Part:
    """What resists, ground by ground. only: names of the grounds that are wanted; none: all."""
    turns = [t for t in found.everywhere if not only or t.ground.name in only]
    spot = found.on.sides is None or found.on.sides.on_the_spot
    rows = []
    for t in turns:
        cells = [t.ground.name, number(t.ground.side, 2), number(t.moment_Nm)]
        if (s := t.sides) is not None:
            cells += [number(s.outer_N), *([] if spot else [number(s.inner_N)]), number(s.outer_Nm), number(s.grip_N)]
            cells += [number(s.pull_N), *([] if spot else [number(s.hold_N)])]
            runs = s.speed_m_s > 0.0 and not s.short and s.grips
            cells += [number(s.yaw_rad_s / DEG) if runs else "–", number(s.power_W) if runs else "–"]
            cells += [does(found, t)]
        rows.append(tuple(cells))
    heads: tuple[str, ...] = ("on", "friction", "resists, N.m")
    if found.on.sides is not None:
        side = ("each side, N",) if spot else ("outer, N", "inner, N")
        heads += (*side, f"at the {axle_word(found)}, N.m", "grip, N", "motor, N", *(() if spot else ("brake, N",)))
        heads += ("up to, deg/s", "power, W", "turns")
    lines = sources([t.ground for t in turns])
    if found.on.sides is None:
        lines.insert(0, f"{NO_GAUGE[0].upper()}{NO_GAUGE[1:]}forces at each side are left out.")
    slips = [s for t in turns if (s := t.sides) is not None and s.slip_N is not None]
    if slips and any(not s.grips or s.near for s in slips):
        lines.append(
            f"With slipping {runs_on(found)} it takes less: {number(slips[0].slip_N or 0.0)} N a side on "
            f"{turns[0].ground.name}, {number(100.0 * slips[0].slip)} % of their speed slipping (Steeds 1950: one "
            "friction, shared between along and across). It wears pads and goes where it likes."
        )
    return Part(
        "What resists",
        "Every wheel is dragged sideways with its own load, away from where the side forces balance "
        f"({number(found.on.about_m / MM)} mm from the tail); per side f W / 2 +- M / B "
        "(Wong, Theory of Ground Vehicles, ch. 6). Negative: held back. Spread evenly over its length the weight would "
        f"give {number(found.on.even_Nm)} N.m on {found.on.ground.name}.",
        (Table(heads, tuple(rows)),),
        tuple(lines),
    )


def sources(found: Sequence[Ground]) -> list[str]:
    """Where the frictions are from, and what that says of each."""
    by: dict[str, list[str]] = {}
    for g in found:
        by.setdefault(g.source, []).append(f"{g.name} {g.says}".strip())
    return [f"{source}: {'; '.join(says)}" for source, says in by.items()]


def wider(found: Turned) -> Part | None:
    """What is left of it in wider turns."""
    if len(found.wider) < 2:
        return None
    rows = []
    for t in found.wider:
        assert t.sides is not None
        s = t.sides
        name = "on the spot" if s.on_the_spot else f"{t.radius_m:g} m"
        rows.append(
            (
                name,
                number(t.ground.side * t.share, 2),
                number(t.moment_Nm),
                number(s.outer_N),
                number(s.inner_N),
                number(s.outer_Nm),
                number(s.inner_Nm),
                does(found, t),
            )
        )
    axle = axle_word(found)
    heads = (
        "radius", "friction left", "resists, N.m", "outer, N", "inner, N", f"outer {axle}, N.m", f"inner {axle}, N.m",
        "turns",
    )  # fmt: skip
    return Part(
        f"Wider turns on {found.on.ground.name}",
        "Radius to the vehicle's middle. The wider the turn, the less a pad is dragged sideways while it lies: its "
        "friction over 0.925 + 0.15 R/B (Nikitin's formula, of large tracked vehicles, from memory: an estimate here).",
        (Table(heads, tuple(rows)),),
    )


def wheels(found: Turned) -> Part:
    """The side force on each wheel, and what its hub takes."""
    side, lean = found.on.ground.side * found.on.share, found.at.leans
    rows, guessed = [], False
    for name, x, load, each, wheel in zip(
        found.at.name, found.at.x_m, found.at.load_N, found.at.each_N, found.at.wheel, strict=True
    ):
        pushed = side * float(load) / (1 if lean else wheel.abreast)
        couple = pushed * wheel.radius_mm * MM
        apart = wheel.hub_width_mm if wheel.hub_width_mm is not None else wheel.width_mm
        guessed = guessed or wheel.hub_width_mm is None
        bearing = couple / (apart * MM) + 0.5 * float(each)
        rows.append(
            (
                name,
                number(float(x) / MM),
                number(float(each)),
                number(pushed),
                number(couple, 1),
                number(bearing),
            )
        )
    lines = ["What a hub and its bearings bear is not in the file: hold the last column against the bearings' rating"]
    if guessed:
        lines.append("bearings are taken as far apart as the tread is wide (wheel.*.hub_width_mm is not given)")
    return Part(
        "Side force on each wheel",
        f"Friction {number(side, 2)} times what it carries, at its tread"
        + (
            "; of a pair one wheel has all of it, which the tooth leans on (what the other's tread holds is left out: "
            "the safe side)."
            if lean
            else "."
        ),
        (
            Table(
                (
                    "station",
                    "from tail, mm",
                    "upright, N on one",
                    "sideways, N",
                    "bends its hub, N.m",
                    "one bearing, N",
                ),
                merged(rows),
            ),
        ),
        tuple(lines),
    )


def parts_part(found: Turned, most: int = 0) -> Part:
    """What each part has left, worst first. most: so many rows; 0: all."""
    run = {(m.kind, m.title): m for m in found.in_run or ()}
    rows = []
    for m in found.parts:
        cells = [m.title, m.name, number(m.stress_MPa), number(m.limit_MPa), number(m.margin, 2)]
        if found.in_run is not None:
            other = run.get((m.kind, m.title))
            cells.append(number(other.margin, 2) if other is not None else "–")
        rows.append((*cells, m.where))
    heads: tuple[str, ...] = ("part", "at", "stress, MPa", "limit, MPa", "margin")
    if found.in_run is not None:
        heads += ("margin in the run",)
    left = len(rows) - most if most and len(rows) > most else 0
    lines = [f"not given: {m}" for m in found.missing]
    if left:
        lines.append(f"{left} more parts have more left: trundle turn has all of them")
    in_run = (
        " In the run: as if it turned on the spot in every instant of it, with the loads of that instant."
        if found.in_run is not None
        else ""
    )
    return Part(
        f"Parts in a turn {place(found)}",
        "Each wheel pushed sideways at its tread on top of what it carries: that bends axle bolt and weld by the "
        "wheel's radius, the arm sideways and in twist, and goes as a couple through the pivot into bracket and hull. "
        "Wheels of one bogie are all pushed the same way, outwards. Parts made alike are told once. Margin below 1: it "
        f"yields.{in_run}",
        (Table((*heads, "what it is"), tuple(rows[: most or None])),) if rows else (),
        tuple(lines),
    )


def tooth(found: Turned) -> Part | None:
    """How near a tyre is to climbing the guide tooth."""
    climb, track = found.on.climb, found.at.vehicle.track
    if climb is None or track is None:
        return None
    edges = sorted({w.edge_mm for w in found.at.wheel if w.edge_mm is not None})
    edge = names(f"{e:g} mm" for e in edges) if edges else f"{EDGE_MM:g} mm (not given: wheel.*.edge_mm)"
    flank = (
        f"{track.tooth_flank_deg:g} deg"
        if track.tooth_flank_deg is not None
        else f"{FLANK_DEG:g} deg (not given: track.tooth_flank_deg)"
    )
    rows = [
        (t.ground.name, number(t.climb.ratio, 2), number(t.climb.most, 2), number(t.climb.margin, 2))
        for t in found.everywhere
        if t.climb is not None
    ]
    lines = [
        f"On {found.on.ground.name} the tooth passes on {number(climb.side_N)} N where it is most, onto a tyre that "
        f"carries {number(climb.upright_N)} N.",
        f"Tooth {track.tooth_mm:g} mm high, flank {flank}, tyre's edge rounded by {edge}: they meet at "
        f"{number(climb.flank_deg)} deg with a friction of {track.tooth_friction:g}. A wheel that hangs, or a slack "
        "track, climbs at much less.",
    ]
    return Part(
        "Guide tooth",
        "Sideways over upright load of the tyre that leans on the tooth, and the most before it climbs: Nadal's limit "
        "for a flange on a rail, (tan d - mu) / (1 + mu tan d), and what the other wheel of the pair holds by friction "
        "(Weinstock). A rolling tyre is lifted by friction: an estimate, to the safe side.",
        (Table(("on", "sideways / upright", "climbs at", "margin"), tuple(rows)),),
        tuple(lines),
    )


def what_next(found: Turned, source: str) -> Part:
    """Commands."""
    source = plain(source)
    lines = []
    if found.in_run is None:
        lines.append(f"trundle turn {source} --run FOLDER   with the wheel loads of a run too")
    lines.append(f"trundle turn {source} --radius-m 5 --on grass   a wider turn on other ground")
    lines.append(f"trundle tip {source}   on which slopes it tips, and how fast it may turn")
    return Part("What next", lines=tuple(lines))


def care() -> Part:
    """Cautions."""
    return Part("Take care", CARE)


def sheet_part(found: Turned, only: Sequence[str]) -> Part:
    """Turning on the standing sheet: grounds in a table, the weakest parts in another."""
    grounds, weak = everywhere(found, only), parts_part(found, 6)
    return Part(
        "Turning",
        f"{grounds.intro} {weak.title}: {weak.intro[0].lower()}{weak.intro[1:]}",
        (*grounds.tables, *weak.tables),
        (*quiet_lines(found), *weak.lines, "trundle turn has wheels, guide tooth, wider turns and the sources"),
    )
