"""The figures of a vehicle that stands, each held against the same of the first state: better, worse, or only other."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace
from itertools import zip_longest

from trundle.papers.standing import Height, StandingSheet
from trundle.papers.swing import HARD_HZ, SOFT_HZ
from trundle_viewer.bench.stood import Stood

Gain = Callable[[float, float], float]
"""How much better the second value is than the first; below 0: worse."""

SMALL_N = 0.5
"""A wheel that carries less has no load [N]."""

SMALL_MM = 0.5
"""An arm that is closer to its stop stands on it [mm]."""


def more(before: float, now: float) -> float:
    """The more the better."""
    return now - before


def less(before: float, now: float) -> float:
    """The less the better."""
    return before - now


def nearer_level(before: float, now: float) -> float:
    """The nearer to 0 the better."""
    return abs(before) - abs(now)


def neither(before: float, now: float) -> float:
    """It is a choice."""
    return 0.0


def neither_hard_nor_soft(before: float, now: float) -> float:
    """Of a heave [Hz]: better nearer to what is neither."""

    def out(value: float) -> float:
        return max(SOFT_HZ - value, value - HARD_HZ, 0.0)

    return out(before) - out(now)


@dataclass(frozen=True)
class Figure:
    """value: nan where there is none; where: which part it is of; digits: behind the point; alarm: what is wrong
    with it as it is, in a word, whether better or worse than before."""

    name: str
    unit: str
    value: float
    gain: Gain = neither
    digits: int = 0
    where: str = ""
    alarm: str = ""

    @property
    def shown(self) -> str:
        """`152`."""
        return number(self.value, self.digits)


@dataclass(frozen=True)
class Against:
    """One figure before and now."""

    before: Figure
    now: Figure

    @property
    def change(self) -> float:
        """By how much, as far as it is shown; nan where one of the two is none."""
        before, now = (round(f.value, f.digits) if math.isfinite(f.value) else f.value for f in (self.before, self.now))
        return now - before if math.isfinite(before) and math.isfinite(now) else math.nan

    @property
    def verdict(self) -> int:
        """1: better, -1: worse, 0: neither."""
        if not math.isfinite(self.change) or self.change == 0.0:
            return 0
        gain = self.now.gain(self.before.value, self.now.value)
        return 1 if gain > 0.0 else -1 if gain < 0.0 else 0

    @property
    def change_shown(self) -> str:
        """`+4`; nothing where it has not changed."""
        if not math.isfinite(self.change) or self.change == 0.0:
            return ""
        return f"{self.change:+.{self.now.digits}f}".replace("-", "\N{MINUS SIGN}")


def number(value: float, digits: int) -> str:
    """`152`, with a real minus; a dash where there is none."""
    if not math.isfinite(value):
        return "\N{EN DASH}"
    text = f"{value:.{digits}f}"
    return "0" + text[2:] if text.startswith("-0") and float(text) == 0.0 else text.replace("-", "\N{MINUS SIGN}")


def figures(s: Stood) -> tuple[Figure, ...]:
    """Of the whole vehicle, in the order of the table."""
    sheet = s.sheet
    heave, pitch = (next((m.frequency_Hz for m in sheet.modes if m.kind == k), math.nan) for k in ("heave", "pitch"))
    bump = min(sheet.arms, key=lambda a: a.to_bump_mm, default=None)
    droop = min(sheet.arms, key=lambda a: a.to_droop_mm, default=None)
    heavy = max(sheet.wheels, key=lambda w: w.load_N)
    light = min(sheet.wheels, key=lambda w: w.load_N)
    found = [
        Figure("height, front", "mm", sheet.front_mm, where=_at(sheet.heights[0])),
        Figure("height, rear", "mm", sheet.rear_mm, where=_at(sheet.heights[-1])),
        Figure("nose up", "deg", sheet.pitch_deg, nearer_level, 1),
        Figure(
            "belly over ground", "mm", sheet.belly_clearance_mm, more, alarm="touches" if sheet.belly_N > 0.0 else ""
        ),
        Figure("heaviest wheel", "N", heavy.load_N, less, 0, heavy.name),
        Figure("lightest wheel", "N", light.load_N, more, 0, light.name, "none" if light.load_N < SMALL_N else ""),
    ]
    if bump is not None and droop is not None:
        found += [
            Figure("least to bump", "mm", bump.to_bump_mm, more, 0, bump.name, _at_end(bump.to_bump_mm)),
            Figure("least to droop", "mm", droop.to_droop_mm, more, 0, droop.name, _at_end(droop.to_droop_mm)),
        ]
    found += [_stress(sheet, when) for when in ("standing", "bump")]
    found += [
        Figure("heave", "Hz", heave, neither_hard_nor_soft, 2, "", _ride(heave)),
        Figure("pitch", "Hz", pitch, neither, 2),
        Figure(
            "least margin", "times", s.least.margin if s.least else math.nan, more, 2,
            f"{s.least.kind} {s.least.name.partition('.')[0]}" if s.least else "no sizes known",
            "gives" if s.least and s.least.yields else "",
        ),
    ]  # fmt: skip
    if sheet.track is not None:
        found += [
            Figure("idler set out", "mm", sheet.track.idler_moved_mm, nearer_level, 1),
            Figure("pull of one track", "N", sheet.track.tension_N),
        ]
    return tuple(found)


def _stress(sheet: StandingSheet, when: str) -> Figure:
    """The spring that is nearest to yielding there."""
    stressed = [s for s in sheet.springs if s.state(when).stress_MPa > 0.0]
    name = "spring stress" if when == "standing" else f"same at {when}"
    if not stressed:
        return Figure(name, "MPa", math.nan, less)
    worst = min(stressed, key=lambda s: s.yield_margin(when))
    alarm = "yields" if worst.yield_margin(when) < 1.0 else ""
    return Figure(name, "MPa", worst.state(when).stress_MPa, less, 0, worst.name, alarm)


def _at(height: Height) -> str:
    """`nose`, or the name of the bogie over which it is."""
    return height.where.removeprefix("at the ").removesuffix(" bogie")


def _at_end(left_mm: float) -> str:
    """Of an arm that stands on its stop."""
    return "on stop" if left_mm < SMALL_MM else ""


def _ride(heave_Hz: float) -> str:
    return "hard" if heave_Hz > HARD_HZ else "soft" if heave_Hz < SOFT_HZ else ""


@dataclass(frozen=True)
class Station:
    """A wheel and what it carries; an arm or beam and what is left of its travel. Of one name where the wheel is on an
    arm's end; of several wheels on a beam each line has one of both, as they come."""

    wheel: str
    load: Figure | None
    arm: str
    bump: Figure | None
    droop: Figure | None


def stations(s: Stood) -> tuple[Station, ...]:
    """Wheels from front to rear, beside them their arms, or all arms and beams as they stand in the file."""
    loads = {w.name: Figure("load", "N", w.load_N) for w in s.sheet.wheels}
    arms = {a.name: a for a in s.sheet.arms}
    own = set(loads) == set(arms)
    found = []
    for wheel, arm in zip_longest(loads, loads if own else arms, fillvalue=""):
        left = arms.get(arm)
        bump = Figure("to bump", "mm", left.to_bump_mm, more, alarm=_at_end(left.to_bump_mm)) if left else None
        droop = Figure("to droop", "mm", left.to_droop_mm, more, alarm=_at_end(left.to_droop_mm)) if left else None
        found.append(Station(wheel, loads.get(wheel), arm, bump, droop))
    return tuple(found)


def against(before: tuple[Figure, ...], now: tuple[Figure, ...]) -> list[Against]:
    """The same figures, one by one; what was not known before as a dash."""
    first = {f.name: f for f in before}
    return [Against(first.get(f.name, replace(f, value=math.nan, alarm="")), f) for f in now]
