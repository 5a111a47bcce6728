"""A proposal in plain words, for the terminal."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace

from trundle.design.estimate import estimate
from trundle.design.first import Stood
from trundle.design.fit import HIGH_HZ, LOW_HZ
from trundle.design.layout import wanted_arm_mm
from trundle.design.proposal import Proposal
from trundle.papers.words import warnings
from trundle.springs.answers import StockRow
from trundle.steel.materials import UNKNOWN_SCRAP
from trundle.units import MM

Part = tuple[str, list[str]]
"""A heading and its lines."""


def told(proposal: Proposal) -> list[Part]:
    """What there is to say, what is wrong first."""
    cannot = "The stock at hand cannot do it" if proposal.instead else "What this stock cannot do"
    parts = [
        (cannot, _cannot(proposal)),
        ("How it stands", _stands(proposal)),
        ("The springs", _springs(proposal)),
        ("Over the kerb", _over(proposal)),
        ("Mind", _mind(proposal)),
        ("Assumed, since nobody said (marked GUESS in the file)", assumed(proposal.stood)),
    ]
    return [(title, lines) for title, lines in parts if lines]


def short_of(proposal: Proposal) -> list[str]:
    """What it falls short of, the worst first; nothing of a design that does all that is wanted."""
    kerb, found = proposal.kerb, list[str]()
    if kerb is not None and kerb.climbs and kerb.least is not None and kerb.least < 1.0:
        found.append(f"it gives on the kerb: margin {kerb.least:.2f} of {kerb.part}")
    if kerb is not None and not kerb.climbs:
        found.append(f"it does not get up a kerb of {kerb.kerb_mm:.4g} mm")
    if proposal.instead:
        found.append("the stock at hand cannot do it: this is for other stock")
    if proposal.judged.faults:
        found.append("its springs do not do all that is wanted")
    return found


def _cannot(proposal: Proposal) -> list[str]:
    judged, known = proposal.judged, proposal.stood.design.known
    lines = [f"{known.stock.words()}: {fault}" for fault in judged.faults]
    if proposal.instead and not lines:
        return [proposal.instead, f"This first design is for other stock, which would do: {known.stock.words()}"]
    if proposal.instead:
        return [
            proposal.instead,
            "This first design is for other stock, which carries the load but would NOT do all that is wanted:",
            *lines,
            "No stock was found that would do here: more length, fewer wheels or a lower kerb might",
        ]
    if lines:
        lines.append(
            f"This would do in its place: {judged.better.words()}"
            if judged.better
            else "No other size of it was found that would do here: more length, fewer wheels or a lower kerb might"
        )
    return lines


def _stands(proposal: Proposal) -> list[str]:
    stood = proposal.stood
    layout, known, sheet = stood.design.layout, stood.design.known, stood.sheet
    loads = [w.load_N for w in sheet.wheels]
    pitch = abs(sheet.pitch_deg)
    level = "level" if pitch < 0.1 else f"{pitch:.1f} deg nose {'up' if sheet.pitch_deg > 0 else 'down'}"
    bogies = f"{layout.stations // 2} pairs of arms" if layout.paired else f"{layout.stations} trailing arms"
    return [
        f"Belly {stood.height_mm:.0f} mm over the ground, {level}; {known.mass_kg:.4g} kg all up",
        f"{bogies} a side, {stood.design.arm_mm:g} mm from pivot to axle, on wheels of {2 * known.radius_mm:.4g} mm",
        f"Each wheel carries {min(loads):.0f} to {max(loads):.0f} N",
        f"Heave {stood.heave_Hz:.1f} Hz ({LOW_HZ:g} to {HIGH_HZ:g} Hz ride well)",
        f"{stood.tables['track']['links']} links of {known.pitch_mm:g} mm in each track",
    ]


def _springs(proposal: Proposal) -> list[str]:
    stood = proposal.stood
    fit, sheet = stood.design.fit, stood.sheet
    count = 2 * len(sheet.springs)
    rows = Counter[StockRow]()
    for row in fit.spring.stock():
        rows[replace(row, count=1)] += count * row.count
    merged = [f"{n} x {row.what}: {row.stock}, {row.length}, {row.steel}{_in_all(row, n)}" for row, n in rows.items()]
    if fit.said:
        merged.append(fit.said[0].upper() + fit.said[1:])
    known = [s for s in sheet.springs if s.steel is not None]
    if known:
        rest, bump = (min(s.load_margin(when) for s in known) for when in ("standing", "bump"))
        merged.append(f"Stressed to {1 / rest:.0%} of yield standing, {1 / bump:.0%} at full bump")
    else:
        merged.append(f"{fit.standing:.0%} of what they can take standing, {fit.bump:.0%} at full bump")
    merged.append(f"Travel from standing: {fit.bump_mm:.0f} mm up to the bump stop, {fit.droop_mm:.0f} mm down")
    return merged


def _in_all(row: StockRow, count: int) -> str:
    """How much strip or bar that is."""
    if row.what not in ("leaf", "torsion bar"):
        return ""
    return f" ({count * row.length_mm * MM:.1f} m in all, and what is held)"


def _over(proposal: Proposal) -> list[str]:
    kerb = proposal.kerb
    if kerb is None:
        return []
    speed = proposal.stood.design.known.speed_m_s
    if not kerb.climbs:
        return [f"It does NOT get up a kerb of {kerb.kerb_mm:.4g} mm at {speed:g} m/s: {kerb.why}"]
    over = f"gets up a kerb of {kerb.kerb_mm:.4g} mm at {speed:g} m/s (one run)"
    lines = [f"It {over}{', but not unharmed:' if kerb.harms else ''}"]
    lines += kerb.harms
    if kerb.least is not None:
        lines.append(f"Least margin on the way: {kerb.least:.1f} ({kerb.part})")
    return lines


def _mind(proposal: Proposal) -> list[str]:
    stood = proposal.stood
    known, arm = stood.design.known, stood.design.arm_mm
    lines = [w.text for w in warnings(stood.sheet, stood.vehicle) if w.loud]
    if arm < wanted_arm_mm(known) - 5.0:
        lines.append(
            f"The arms are {arm:g} mm long; {wanted_arm_mm(known):.0f} mm are wise for a kerb of {known.kerb_mm:.4g} "
            "mm (1.5 times its height): fewer or smaller wheels make room"
        )
    belly = stood.design.layout.belly_mm
    if stood.height_mm < known.kerb_mm - 1.0:
        lines.append(
            f"The belly is lower than the kerb ({stood.height_mm:.0f} mm of {belly:.0f} that are wise): it may touch"
        )
    com = stood.vehicle.hull.com_mm
    lines.append(
        f"It stands level only with the hull's centre of mass {com[0]:.0f} mm ahead of its tail: battery, motor and "
        "seat go where they put it there"
    )
    steel = next((s.steel for s in stood.sheet.springs if s.steel is not None), None)
    if steel is not None and steel.name == UNKNOWN_SCRAP:
        lines.append("Its spring steel is unknown: bend-test a strip first (trundle leaf test)")
    return lines


def assumed(stood: Stood) -> list[str]:
    """Every answer that was filled in, its value and why."""
    return [f"{path} = {_value(stood, path)}: {why}" for path, why in stood.design.known.why.items()]


def _value(stood: Stood, path: str) -> str:
    """As the design has it in the end."""
    if path == "wheels.each_side":
        return f"{stood.design.layout.stations}"
    if path == "motor.torque_Nm":
        return f"{stood.tables['drive']['torque_Nm']:g} Nm"
    known = stood.design.known
    if path == "stock":
        return known.stock.words()
    if path.startswith("stock."):
        return str(getattr(known.stock, path.removeprefix("stock.")))
    return estimate(known, path)
