"""What would I change: every dimension a little larger, the vehicle stood again, figures compared."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Any

from trundle.errors import InputError
from trundle.papers.ground import level
from trundle.papers.parts import Part, Table, names, number
from trundle.papers.standing import StandingSheet, standing_sheet
from trundle.spec.vehicle import Vehicle, vehicle_from

SMALL_MM = 20.0
"""Lengths below this change by 5 %: a millimetre would be too much for them."""

SHARE = 0.05
LENGTH_MM = 1.0
ANGLE_DEG = 1.0

SKIPPED = ("build", "motor", "battery", "speed_m_s", "acceleration_m_s2", "torque_Nm", "push_N", "power_W",
           "brake_N", "grip", "grip_shear_mm", "belly_grip", "rolling_drag", "tension_limit_N", "seat_mm",
           "tooth_mm", "pad_loss", "rubber_loss", "spin_inertia_kg_m2", "rated_load_N", "pivot_friction_Nm", "damper",
           "seat_kg", "mast_mm",
           # how it gives when the ground strikes it
           "belly_rate_N_per_mm", "belly_sheet_mm", "belly_span_mm", "belly_width_mm", "belly_loss", "ring_Hz",
           "end_rate_N_per_mm", "end_loss", "pad_mm", "rubber_hardness_irhd", "rim_rubber_mm", "axle_mm",
           "overhang_mm")  # fmt: skip
"""Fields that no figure of the standing sheet depends on (or only its damping, which is not ranked here). Spring
kinds have more of their own."""


@dataclass(frozen=True)
class Figures:
    """What is compared. stress_MPa: the highest of any spring, standing; nan without a steel."""

    front_mm: float
    rear_mm: float
    stress_MPa: float
    bump_mm: float
    heave_Hz: float
    pitch_Hz: float

    def __sub__(self, other: Figures) -> Figures:
        return Figures(*(a - b for a, b in zip(vars(self).values(), vars(other).values(), strict=True)))


@dataclass(frozen=True)
class Change:
    """A field (or the same field of several bogies) made larger, and what that does. weight: for ranking."""

    field: str
    paths: tuple[str, ...]
    old: float
    step: float
    change: str
    effect: Figures | None
    weight: float
    why_not: str = ""


def figures(sheet: StandingSheet) -> Figures:
    """The compared figures of a sheet."""
    stresses = [s.state("standing").stress_MPa for s in sheet.springs if s.steel is not None]
    arms = [a.to_bump_mm for a in sheet.arms if a.what == "arm"]
    hull = {k: next((m.frequency_Hz for m in sheet.modes if m.kind == k), math.nan) for k in ("heave", "pitch")}
    return Figures(
        sheet.front_mm,
        sheet.rear_mm,
        max(stresses, default=math.nan),
        min(arms, default=math.nan),
        hull["heave"],
        hull["pitch"],
    )


def sensitivity(
    vehicle: Vehicle, base: StandingSheet, on_progress: Callable[[int, int], None] | None = None
) -> list[Change]:
    """Every change, the strongest first; those the vehicle cannot take come last, with the reason."""
    now = figures(base)
    ground = level()
    data = vehicle.model_dump(mode="json", exclude_none=True)
    sprung = [bogie.sprung(name) for name, bogie in vehicle.bogie.items()]
    skipped = frozenset(SKIPPED).union(*(one.spring.unranked() for one in sprung if one is not None))
    groups = list(_groups(data, skipped))
    found = []
    for i, (field, paths, old) in enumerate(groups):
        if on_progress is not None:
            on_progress(i, len(groups))
        step, change = _step(field, old)
        try:
            there = standing_sheet(
                vehicle_from(data, settings=dict.fromkeys(paths, old + step)), adjusters=False, ground=ground
            )
        except InputError as e:
            found.append(Change(field, paths, old, step, change, None, -1.0, e.problems[0].problem))
            continue
        effect = figures(there) - now
        found.append(Change(field, paths, old, step, change, effect, _weight(effect, now)))
    return sorted(found, key=lambda c: -c.weight)


def _weight(effect: Figures, now: Figures) -> float:
    """The largest of its effects: 5 mm of height or travel, 5 % of stress or frequency count as 1."""
    lengths = (effect.front_mm, effect.rear_mm, effect.bump_mm)
    shares = (
        effect.stress_MPa / now.stress_MPa if now.stress_MPa else math.nan,
        effect.heave_Hz / now.heave_Hz if now.heave_Hz else math.nan,
        effect.pitch_Hz / now.pitch_Hz if now.pitch_Hz else math.nan,
    )
    parts = [abs(v) / 5.0 for v in lengths] + [abs(v) / 0.05 for v in shares]
    return max((p for p in parts if math.isfinite(p)), default=0.0)


def _step(field: str, old: float) -> tuple[float, str]:
    if field.endswith("_deg"):
        return ANGLE_DEG, "+1 deg"
    if "_N_per_mm" in field:
        return SHARE * old, "+5 %"
    plain = field.rstrip("0123456789.")
    place = plain.endswith("at_mm") or plain.endswith(("com_mm", "belly_mm", "anchor_mm", "above_pivots_mm"))
    if plain.endswith("_mm") and (place or old == 0.0 or abs(old) >= SMALL_MM):
        return LENGTH_MM, "+1 mm"
    return SHARE * old, "+5 %"


def _groups(data: dict[str, Any], skipped: frozenset[str]) -> Iterator[tuple[str, tuple[str, ...], float]]:
    """(field, paths, value): fields alike in several bogies are one, places on the hull each their own."""
    alike: dict[tuple[str, float], list[str]] = {}
    for path, value in _numbers(data, "", skipped):
        parts = path.split(".")
        if parts[0] == "bogie" and "at_mm" not in parts:
            alike.setdefault((".".join(["bogie.*", *parts[2:]]), value), []).append(path)
        else:
            alike.setdefault((path, value), []).append(path)
    for (field, value), paths in alike.items():
        who = tuple(dict.fromkeys(p.split(".")[1] for p in paths))
        if field.startswith("bogie.*") and len(who) < len(data["bogie"]):
            field = field.replace("*", ",".join(who), 1)
        yield field, tuple(paths), value


def _numbers(node: Any, path: str, skipped: frozenset[str]) -> Iterator[tuple[str, float]]:
    """Every float below `node`, with its path as `--set` takes it."""
    if isinstance(node, dict):
        for key, value in node.items():
            if key not in skipped:
                yield from _numbers(value, f"{path}.{key}" if path else key, skipped)
    elif isinstance(node, (list, tuple)):
        for i, value in enumerate(node, 1):
            yield from _numbers(value, f"{path}.{i}", skipped)
    elif isinstance(node, float):
        # Whole numbers (teeth, links, leaves) are counts, not dimensions.
        yield path, node


def sensitivity_part(changes: list[Change]) -> Part:
    """The ranked table."""
    rows, lines = [], []
    quiet = [c for c in changes if c.effect is not None and c.weight < 0.002]
    for c in changes:
        if c.effect is None:
            lines.append(f"{c.field} {c.change}: not possible ({c.why_not})")
        elif c.weight >= 0.002:
            e = c.effect
            rows.append(
                (
                    c.field,
                    f"{c.old:g}",
                    c.change,
                    _signed(e.front_mm, 2),
                    _signed(e.rear_mm, 2),
                    _signed(e.stress_MPa, 1),
                    _signed(e.bump_mm, 2),
                    _signed(e.heave_Hz, 3),
                    _signed(e.pitch_Hz, 3),
                    number(c.weight, 2),
                )
            )
    if quiet:
        lines.append(f"Nothing to speak of: {names(c.field for c in quiet)}.")
    heads = (
        "field", "now", "change", "front, mm", "rear, mm", "stress, MPa", "to bump, mm", "heave, Hz",
        "pitch, Hz", "rank",
    )  # fmt: skip
    return Part(
        "What would I change",
        f"Each dimension made larger by 1 mm (below {SMALL_MM:g} mm, and what is no length: by 5 %; angles "
        "by 1 deg), the vehicle stood again. Stress is the highest of any spring, to bump the least of any "
        "arm. Rank: the largest effect, where 5 mm or 5 % count as 1. Equal bogies change as one (bogie.*).",
        (Table(heads, tuple(rows)),),
        tuple(lines),
    )


def _signed(value: float, digits: int) -> str:
    if not math.isfinite(value):
        return "–"
    text = f"{value:+.{digits}f}"
    return number(0.0, digits) if float(text) == 0.0 else text
