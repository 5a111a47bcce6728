"""Warnings in plain words, the worst first."""

from __future__ import annotations

import math
from collections.abc import Mapping

from trundle.findings.states import belly_is_down
from trundle.papers.notice import Notice, worst_first
from trundle.papers.parts import names
from trundle.papers.springs import WORST, SpringSheet
from trundle.papers.standing import ArmTravel, StandingSheet
from trundle.papers.swing import Swing, swinging_notices
from trundle.spec.doubts import doubts
from trundle.spec.vehicle import Vehicle
from trundle.strength.margin import PartMargin

NEAR_STOP_MM = 12.0
"""Travel at the axle below which a stop is called near [mm]: less than most stones on a path."""

LOW_BELLY_MM = 60.0
"""Belly clearance below which it is called low [mm]: less than a dropped kerb with a pad's sinkage."""

NOSE_DEG = 0.5
"""Pitch at rest that a builder sees: a centimetre over a metre [deg]."""

OFF_MM = 10.0
"""A centre of mass further off the middle of the wheels than this tilts a vehicle to be seen [mm]."""

LIGHT_SHARE = 0.5
"""A wheel that carries less than this of the mean is called light."""


def warnings(sheet: StandingSheet, vehicle: Vehicle, swing: Swing | None = None) -> list[Notice]:
    """Everything a builder should know before cutting, loud ones first. swing: where the hull's heave comes from."""
    found = [
        *(Notice(f"is this right? {doubt}") for doubt in doubts(vehicle)),
        *_stops(sheet, _sizes(vehicle)),
        *_springs(sheet.springs),
        *_sitting(sheet, vehicle),
        *swinging_notices(sheet, swing),
        *_track(sheet, vehicle),
    ]
    return worst_first(found)


def _who(items: list[tuple[str, float]]) -> tuple[str, str, float]:
    """(names, verb ending, smallest value)."""
    return names(n for n, _ in items), "s" if len(items) == 1 else "", min(v for _, v in items)


def _at_stop(arm: ArmTravel) -> bool:
    return arm.to_bump_deg <= 0.0 or arm.to_droop_deg <= 0.0


def _sizes(vehicle: Vehicle) -> dict[str, str]:
    """Of each arm the fields by which its spring is made stronger or weaker, by the arm's name or its bogie's."""
    found = {}
    for name, bogie in vehicle.bogie.items():
        sprung = bogie.sprung(name)
        if sprung is not None:
            found[name] = sprung.spring.sized_by
    return found


def _stops(sheet: StandingSheet, sizes: Mapping[str, str]) -> list[Notice]:
    def by(arms: list[tuple[str, float]]) -> str:
        return "; ".join(dict.fromkeys(sizes[n.partition(".")[0]] for n, _ in arms))

    found = []
    arms = [a for a in sheet.arms if a.what == "arm"]
    pressed = [(a.name, a.to_bump_mm) for a in arms if a.to_bump_mm <= 0.0]
    if pressed:
        who, s, _ = _who(pressed)
        found.append(Notice(f"{who} rest{s} on the bump stop: nothing is left for bumps (spring: {by(pressed)})", True))
    tipped = [(a.name, 0.0) for a in sheet.arms if a.what == "beam" and _at_stop(a)]
    if tipped:
        who, s, _ = _who(tipped)
        found.append(
            Notice(f"{who} rest{s} on the tilt stop standing still: the two wheels do not share the load", True)
        )
    low = [a for a in arms if 0.0 < a.to_bump_mm < NEAR_STOP_MM]
    if low:
        who, s, least = _who([(a.name, a.to_bump_mm) for a in low])
        worst = min(low, key=lambda a: a.to_bump_mm)
        whole = worst.to_bump_mm + worst.to_droop_mm
        found.append(
            Notice(
                f"{who} sit{s} {least:.0f} mm off the bump stop: any bump will hit it. Its weight takes "
                f"{worst.to_droop_mm:.0f} of {whole:.0f} mm of travel: more preload, a stiffer spring, a higher stop "
                f"(spring: {by([(a.name, 0.0) for a in low])})"
            )
        )
    hanging = [(a.name, a.to_droop_mm) for a in arms if a.to_droop_mm <= 0.0]
    if hanging:
        who, s, _ = _who(hanging)
        found.append(
            Notice(f"{who} hang{s} on the droop stop: the spring is preloaded past its share ({by(hanging)})", True)
        )
    short = [(a.name, a.to_droop_mm) for a in arms if 0.0 < a.to_droop_mm < NEAR_STOP_MM]
    if short:
        who, s, least = _who(short)
        found.append(
            Notice(
                f"{who} can drop only {least:.0f} mm: in a dip deeper than that the wheel leaves the ground "
                f"(spring: {by(short)})"
            )
        )
    return found


def _springs(springs: tuple[SpringSheet, ...]) -> list[Notice]:
    found: dict[tuple[str, bool, bool], list[str]] = {}
    least: dict[str, float] = {}

    def say(text: str, who: str, loud: bool = False, sets: bool = False, margin: float = math.inf) -> None:
        found.setdefault((text, loud, sets), []).append(who)
        least[text] = min(least.get(text, math.inf), margin)

    for s in springs:
        if (told := _fitted(s)) is not None:
            say(told.text, s.name, told.loud, told.sets, told.margin)
        rest, bump = s.load_margin("standing"), s.load_margin("bump")
        limits = s.limits_MPa
        if rest < 1.0:
            say(
                "the spring bends for good standing still: the steel yields before the hull is up",
                s.name,
                True,
                True,
                rest,
            )
        elif bump < 1.0:
            say(
                "the spring takes a set at full bump: the steel yields before the bump stop is met",
                s.name,
                True,
                True,
                bump,
            )
        elif limits is not None:
            if s.state("standing").load_MPa > limits[0]:
                say(
                    f"the spring works above {limits[0]:.0f} MPa standing (0.6 of yield): it will settle",
                    s.name,
                    margin=rest,
                )
            if s.state("bump").load_MPa > limits[1]:
                say(f"the spring works above {limits[1]:.0f} MPa at full bump (0.75 of yield)", s.name, margin=bump)
        if s.endurance < 1.0 and bump >= 1.0:
            say("the spring would tire if it went to full bump over and over (rough guide)", s.name)
        if s.steel is not None and s.steel.name == "unknown scrap":
            say(
                f"the spring is of unknown scrap, taken as {s.steel.yield_Pa / 1e6:.0f} MPa yield: "
                "bend-test a strip first (trundle leaf test)",
                s.name,
            )
        worst = next((t for t in s.states if t.when == WORST), None)
        if worst is not None and s.load_margin(WORST) < 1.0:
            say("the spring yields in the run: it takes a set", s.name, True, True, s.load_margin(WORST))
        # A free end at droop is how a leaf hangs; it matters only under load.
        when: dict[str, list[str]] = {}
        for state in s.states:
            for note in state.notes if state.when != "droop" else ():
                when.setdefault(note, []).append("at bump" if state.when == "bump" else state.when)
        for note, states in when.items():
            say(note if len(states) > 1 else f"{states[0]}, {note}", s.name)
    return [Notice(f"{names(who)}: {text}", loud, sets, least[text]) for (text, loud, sets), who in found.items()]


def _fitted(s: SpringSheet) -> Notice | None:
    """What fitting alone does to a spring, if it is more than a stress that stands may be."""
    if s.fitted is None or s.steel is None or s.limits_MPa is None:
        return None
    stress, does = s.fitted.stress_Pa / 1e6, f"{s.fitted.how}: {s.fitted.stress_Pa / 1e6:.0f} MPa"
    of = f"yield {s.yield_MPa:.0f} MPa"
    if stress > s.yield_MPa:
        # Worked out as if it stayed elastic: above the tensile strength that is no stress any more, only a warning.
        crack = ", and may crack" if stress > s.steel.tensile_Pa / 1e6 else ""
        text = f"takes a set{crack} as it is fitted: {does} if it stayed elastic, {of}. {_start(s)}"
        return Notice(text, True, True, margin=0.0)  # before all that only a load does
    left = s.yield_MPa / stress
    share = f"{does} for ever, {stress / s.yield_MPa:.2f} of its yield ({s.yield_MPa:.0f} MPa)"
    if stress > s.limits_MPa[1]:
        return Notice(f"{share}, before any load: it settles, and may crack at a nick. {_start(s)}", True, margin=left)
    if stress > s.limits_MPa[0]:
        return Notice(f"{share}, before any load: it will settle. {_start(s)}", margin=left)
    return None


def _start(s: SpringSheet) -> str:
    """The remedy as a sentence of its own."""
    assert s.fitted is not None
    return s.fitted.remedy[0].upper() + s.fitted.remedy[1:]


def _sitting(sheet: StandingSheet, vehicle: Vehicle) -> list[Notice]:
    found = []
    if belly_is_down(sheet.belly_N):
        found.append(Notice(f"the belly rests on the ground with {sheet.belly_N:.0f} N", True))
    elif sheet.belly_clearance_mm < LOW_BELLY_MM:
        found.append(Notice(f"the belly clears level ground by only {sheet.belly_clearance_mm:.0f} mm"))
    if abs(sheet.pitch_deg) > NOSE_DEG:
        way = "nose up" if sheet.pitch_deg > 0 else "nose down"
        found.append(Notice(f"it stands {abs(sheet.pitch_deg):.1f} deg {way}: {_why_tilted(sheet.pitch_deg, vehicle)}"))
    mean = sum(w.load_N for w in sheet.wheels) / len(sheet.wheels)
    off = [w.name for w in sheet.wheels if w.load_N <= 0.0]
    if off:
        found.append(Notice(f"{names(off)} carr{'ies' if len(off) == 1 else 'y'} nothing standing still", True))
    light = [(w.name, w.load_N) for w in sheet.wheels if 0.0 < w.load_N < LIGHT_SHARE * mean]
    if light:
        who, _, least = _who(light)
        found.append(Notice(f"{who}: only {least:.0f} N a wheel, less than half the mean of {mean:.0f} N"))
    return found


def _why_tilted(pitch_deg: float, vehicle: Vehicle) -> str:
    """Whether the centre of mass lies off the middle of the wheels, or the springs are uneven."""
    places = [s.x_mm for name, bogie in vehicle.bogie.items() for s in bogie.stations_at(name)]
    ahead = vehicle.hull.com_mm[0] - sum(places) / len(places)
    if abs(ahead) >= OFF_MM and ahead * pitch_deg < 0.0:
        where = "ahead of" if ahead > 0.0 else "behind"
        return (
            f"the hull's centre of mass lies {abs(ahead):.0f} mm {where} the middle of its wheels; move the battery "
            f"{'back' if ahead > 0.0 else 'forward'}, or preload the springs there"
        )
    low = "front" if pitch_deg < 0.0 else "rear"
    return f"its {low} springs give more under their share than the others; preload them or take stiffer ones"


def _track(sheet: StandingSheet, vehicle: Vehicle) -> list[Notice]:
    track, spec = sheet.track, vehicle.track
    if track is None or spec is None:
        return []
    found = []
    if spec.tension_limit_N is not None and track.tension_N > spec.tension_limit_N:
        found.append(
            Notice(
                f"the track pulls {track.tension_N:.0f} N at rest, over its limit of {spec.tension_limit_N:.0f} N",
                True,
            )
        )
    if abs(track.idler_moved_mm) > 10.0:
        way = "out" if track.idler_moved_mm > 0 else "in"
        found.append(
            Notice(
                f"to set the track, the idler goes {abs(track.idler_moved_mm):.0f} mm further {way}, to "
                f"{track.idler_mm[0]:.0f} mm from the tail: give its slot that room"
            )
        )
    if track.ends_N > 0.0:
        found.append(Notice("sprocket or idler touches level ground", True))
    return found


def strength_warnings(checks: list[PartMargin], source: str) -> list[Notice]:
    """What yields, and what has little left."""
    found = []
    for c in checks:
        if c.margin < 1.0:
            found.append(
                Notice(f"{c.title} at {c.name} yields at {source}: {c.stress_MPa:.0f} MPa", True, True, c.margin)
            )
        elif c.margin < 1.5 and math.isfinite(c.margin):
            text = f"{c.title} at {c.name} has only {c.margin:.2f} to yield at {source}"
            found.append(Notice(text, margin=c.margin))
        if c.endurance is not None and c.endurance < 1.0 <= c.margin:
            text = f"{c.title} at {c.name} would tire if {source} came over and over (rough guide)"
            found.append(Notice(text, margin=c.margin))
    return found
