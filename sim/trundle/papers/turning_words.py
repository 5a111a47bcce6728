"""Turning in short: what is told of it first, the worst before the rest."""

from __future__ import annotations

from trundle.handling.turn import FLANK_DEG, Limit, Sides, TurnOn
from trundle.papers.notice import Notice, worst_first
from trundle.papers.parts import Part, names, number
from trundle.papers.turned import Turned
from trundle.strength.margin import PartMargin
from trundle.units import DEG

NO_GAUGE = "how far apart its tracks are is not given (hull.gauge_mm): "
NEAR_CLIMB = 1.25
"""A tyre with less than this is called near to climbing: the estimate is no better."""

LITTLE = 1.5
"""Margin below which a part has little left, as on the sheet."""

_REASONS: dict[Limit, str] = {
    "grip": "the ground gives no more",
    "motor": "the motor stalls",
    "brake": "the brake lets the inner side go",
}


def runs_on(found: Turned) -> str:
    """ "tracks", or "wheels"."""
    return "tracks" if found.at.vehicle.track is not None else "wheels"


def how(turn: TurnOn, sides: Sides) -> str:
    """ "on the spot", "about its braked inner side", "in a turn of 5 m"."""
    if sides.on_the_spot:
        return "on the spot"
    if turn.radius_m <= 0.5 * sides.gauge_m * (1.0 + 1e-9):
        return "about its braked inner side"
    return f"in a turn of {turn.radius_m:g} m"


def does(found: Turned, turn: TurnOn) -> str:
    """Whether it turns, in a few words."""
    sides = turn.sides
    if sides is None:
        return "–"
    if sides.short:
        return f"no: {' and '.join(_REASONS[k] for k in sides.short)}"
    if sides.grips and not sides.near:
        return "yes"
    near = f", {' and '.join(sides.near)} at the limit" if sides.near else ""
    return f"only with slipping {runs_on(found)}{near}"


def answer(found: Turned) -> Part:
    """What to know first, worst first."""
    said = worst_first(_said(found))
    return Part(
        "In short",
        lines=tuple(n.text for n in said if not n.loud),
        loud=tuple(n.text for n in said if n.loud),
    )


def notices(found: Turned) -> list[Notice]:
    """What of it belongs to the warnings of the standing sheet; what would only yield if it turned in the hardest
    instant of a run is no loud one there."""
    return [n if n.sets or n not in _yields(found) else Notice(n.text) for n in _said(found) if n.loud]


def _said(found: Turned) -> list[Notice]:
    return [
        *_yields(found),
        *_turns(found),
        *_climbs(found),
        *_slender(found),
        *_worst_moment(found),
        *_holds(found),
        *_other_run(found),
    ]


def place(found: Turned) -> str:
    """ "on the spot on tarmac"."""
    turn = found.on
    where = how(turn, turn.sides) if turn.sides is not None else "on the spot"
    return f"{where} on {turn.ground.name}"


def _cases(found: Turned) -> list[tuple[tuple[PartMargin, ...], str, str]]:
    """Parts, when, and what is said of one that yields."""
    cases = [(found.parts, f"in a turn {place(found)}", "yields")]
    if found.in_run is not None:
        when = f"if it turned {place(found)} in the hardest instant of that run"
        cases.append((found.in_run, when, "would yield"))
    return cases


def _yields(found: Turned) -> list[Notice]:
    return [
        Notice(
            f"{m.title} at {m.name} {does} {when}: {number(m.stress_MPa)} MPa of {number(m.limit_MPa)}, {m.where}",
            True,
            does == "yields",
        )
        for parts, when, does in _cases(found)
        for m in parts
        if m.yields
    ]


def _holds(found: Turned) -> list[Notice]:
    """What has least left where nothing yields, and what is not known."""
    told = []
    for parts, when, _ in _cases(found):
        if parts and not parts[0].yields:
            least = parts[0]
            only = "only " if least.margin < LITTLE else ""
            told.append(
                Notice(
                    f"Nothing that is known yields {when}; least is left in {least.title} at {least.name}, "
                    f"{only}{number(least.margin, 1)} to yield"
                )
            )
    if found.missing:
        told.append(Notice(f"Not known, so not checked: {'; '.join(found.missing)}"))
    return told


def _turns(found: Turned) -> list[Notice]:
    turn, sides = found.on, found.on.sides
    resists = f"{number(turn.moment_Nm)} N.m resist it"
    if sides is None:
        return [
            Notice(
                f"Turning on the spot on {turn.ground.name}: {resists}; {NO_GAUGE}what that takes at each side, and "
                "whether motor and grip can do it, is not worked out"
            )
        ]
    outer = f"{number(sides.outer_N)} N ({number(sides.outer_Nm)} N.m at its {axle_word(found)})"
    if sides.on_the_spot:
        takes = f"each side has to pull {outer}"
    elif sides.inner_N < 0.0:
        takes = f"the outer side has to pull {outer}, the inner one to be held back with {number(-sides.inner_N)} N"
    else:
        takes = f"the outer side has to pull {outer}, the inner one {number(sides.inner_N)} N"
    has = f"its motor gives a side up to {number(sides.pull_N)} N, the ground {number(sides.grip_N)} N"
    if not sides.on_the_spot:
        has += f", the brake holds {number(sides.hold_N)} N"
    answer, why = does(found, turn), f"{resists}, {takes}; {has}"
    if sides.short:
        return [Notice(f"It does not turn {place(found)}, {answer.removeprefix('no: ')}: {why}", True)]
    if answer == "yes":
        fast = f"up to {number(sides.yaw_rad_s / DEG)} deg/s with {number(sides.power_W)} W"
        return [Notice(f"It turns {place(found)}, {fast}: {why}")]
    return [Notice(f"It turns {place(found)} {answer}: {why}")]


def axle_word(found: Turned) -> str:
    return "sprocket" if found.at.vehicle.track is not None else "axles"


def _climbs(found: Turned) -> list[Notice]:
    climb, track = found.on.climb, found.at.vehicle.track
    if climb is None or track is None:
        return []
    told = track.tooth_flank_deg is not None
    others = [
        t for t in found.everywhere if t.climb is not None and t.climb.margin < 1.0 and t.ground != found.on.ground
    ]
    more = ""
    if others and climb.margin >= 1.0:
        worst = max(others, key=lambda t: t.climb.ratio if t.climb is not None else 0.0)
        assert worst.climb is not None
        more = f"; on {names(t.ground.name for t in others)} it may climb ({number(worst.climb.ratio, 2)})"
    if climb.margin >= NEAR_CLIMB and not more:
        return []
    near = "is near to climbing" if climb.margin < NEAR_CLIMB else "does not climb"
    what = "may climb" if climb.margin < 1.0 else near
    flank = "" if told else f" with a flank of {FLANK_DEG:g} deg, as it is not given (track.tooth_flank_deg)"
    text = (
        f"Turning {place(found)} a tyre {what} its guide tooth, which throws the track: it is pushed sideways by "
        f"{number(climb.ratio, 2)} of its load, about {number(climb.most, 2)} lifts it over (an estimate{flank})"
    )
    return [Notice(text + more, told and climb.margin < 1.0)]


def _slender(found: Turned) -> list[Notice]:
    slim, gauge = found.on.slender, found.at.gauge_m
    if slim is None or gauge is None:
        return []
    most = f"{number(slim.most, 2)} on {found.on.ground.name}"
    ratio = (
        f"Length over gauge is {number(found.at.length_m / gauge, 2)}, by what its wheels carry as good as "
        f"{number(slim.ratio, 2)} evenly loaded"
    )
    if slim.steers:
        return [Notice(f"{ratio}; up to {most} it steers without slipping")]
    return [
        Notice(
            f"{ratio}, more than {most}: it steers only with slipping {runs_on(found)}; a wider gauge, or less between "
            "the outer axles, mends it"
        )
    ]


def _worst_moment(found: Turned) -> list[Notice]:
    worst = found.hardest
    if worst is None:
        return []
    side = found.on.ground.side * found.on.share
    moment, usual = side * worst.per_side_Nm, side * worst.usual_Nm
    return [
        Notice(
            f"In the run turning would be resisted most at {number(worst.time_s, 2)} s, {number(worst.at_m, 2)} m "
            f"along: {number(moment)} N.m, {number(moment / found.on.moment_Nm, 1)} times as it stands (the middle of "
            f"all instants: {number(usual)} N.m)"
        )
    ]


def _other_run(found: Turned) -> list[Notice]:
    if not found.changed:
        return []
    more = f" and {len(found.changed) - 3} more" if len(found.changed) > 3 else ""
    return [
        Notice(f"Since that run was made the vehicle has changed ({'; '.join(found.changed[:3])}{more}): roll it again")
    ]


def quiet_lines(found: Turned) -> tuple[str, ...]:
    """What the standing sheet has under its tables: all that is not among its warnings."""
    climb = found.on.climb
    lines = [n.text for n in (*_turns(found), *_climbs(found), *_slender(found), *_worst_moment(found)) if not n.loud]
    if climb is not None and climb.margin >= NEAR_CLIMB:
        lines.append(
            f"Guide tooth: {number(climb.ratio, 2)} of a tyre's load sideways, it climbs at about "
            f"{number(climb.most, 2)} (an estimate)"
        )
    return tuple(lines)
