"""Why it came to that: the chain of causes of one moment, read off the record, first cause first."""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np

from trundle.findings.events.kind import Event
from trundle.findings.intervals import stretches
from trundle.findings.serious.case import Case
from trundle.findings.states import wheel_is_off
from trundle.findings.words import force, millimetres, speed, spoken
from trundle.model.arrays import SIDES
from trundle.strength.margin import PartMargin
from trundle.units import DEG, MM, N_PER_MM

NEAR_STOP_DEG = 1.0
"""An arm as near to its stop as this is on it [deg]."""

DROP_MM = 15.0
"""A fall from less is no cause [mm]."""

LITTLE = 0.05
"""What pushes with less than this share of the weight is no cause."""

BEFORE_S = 0.3
"""How far back a fall may have begun [s]."""


def seen_from(case: Case, time_s: float, at_m: float) -> tuple[str, ...]:
    """Where the vehicle was, and how fast: `on Kerb 100 mm at 1.2 m/s`."""
    row = case.row_of(time_s)
    met = case.met(row)
    if met is None:
        return ()
    # Just before: the blow itself takes speed off.
    before = max(row - round(0.05 / case.dt_s), 0)
    fast = speed(abs(float(case.column("hull.speed_m_s")[before])))
    pitch = float(case.column("hull.pitch_deg")[row])
    tilt = f", nose {'up' if pitch > 0 else 'down'} {abs(pitch):.0f}°" if abs(pitch) >= 3.0 else ""
    return (f"on {met.title} at {fast}{tilt}",)


def blow_on_arm(case: Case, margin: PartMargin) -> tuple[str, ...]:
    """How the ground's push came to an arm: the wheel's fall, the push's direction, the arm's, its stop, its rubber."""
    assembly = case.assembly
    name = _wheel_of(margin.name, case)
    if name is None:
        return ()
    row = case.row_of(margin.time_s)
    number = assembly.wheel.index(name)
    wheel = f"{spoken(name)} wheel"
    causes = list(fall(case, name, row))
    forward, up = (float(case.column(f"wheel.{name}.{c}_N")[row]) for c in ("force_forward", "force_up"))
    size = math.hypot(forward, up)
    if size > 1.0:
        rises = math.degrees(math.atan2(up, abs(forward)))
        if rises < 60.0:
            way = "back" if forward < 0.0 else "forward"
            causes.append(f"{wheel} meets an edge: pushed {way} with {force(size)}, {rises:.0f}° above level")
        else:
            causes.append(f"{wheel} is pushed up with {force(size)}")
    if abs(margin.along_N) > abs(margin.across_N) > 0.0:
        causes.append(
            f"the arm points into the blow: {force(abs(margin.along_N))} along it, {force(abs(margin.across_N))} across"
        )
    causes += stop(case, number, row)
    kind = assembly.vehicle.wheel[assembly.wheel_kind[number]]
    causes.append(f"rubber {kind.rubber_rate_N_per_mm:g} N/mm")
    return tuple(causes)


def fall(case: Case, wheel: str, row: int) -> Iterator[str]:
    """The wheel had been off the ground just before, and fell."""
    back = max(row - round(BEFORE_S / case.dt_s), 0)
    off = np.asarray(wheel_is_off(case.column(f"wheel.{wheel}.load_N")[back : row + 1]))
    spells = list(stretches(off))
    if not spells:
        return
    first, end = spells[-1]
    height = case.column(f"wheel.{wheel}.y_mm")
    fell = float(height[back + first : back + end].max()) - float(height[row])
    if fell >= DROP_MM:
        yield f"{spoken(wheel)} wheel was off the ground and came down {millimetres(fell)}"


def stop(case: Case, wheel_number: int, row: int) -> Iterator[str]:
    """How far the arm that carries a wheel was from its bump stop."""
    parts = case.assembly.parts
    carried = case.assembly.wheel[wheel_number]
    part = next(p for p in parts.swings if any(w.name == carried for w in p.wheels))
    # A beam hangs on an arm: that is what has the stop.
    joint = parts.swings[part.parent - 1] if part.what == "beam" and part.parent > 0 else part
    angle = float(case.column(f"arm.{joint.name}.angle_deg")[row])
    left = angle - joint.bump / DEG
    pad = joint.pad_rate / N_PER_MM
    if left <= NEAR_STOP_DEG:
        yield f"arm on its bump stop (pad {pad:.0f} N/mm)"
    elif left < 15.0:
        yield f"{left:.0f}° left to the bump stop"


def travel(case: Case, hit: Event) -> Iterator[str]:
    """How an arm came to its bump stop: what travel it had standing, how fast it closed, what the pad gives."""
    part = next(p for p, name in zip(case.assembly.parts.swings, case.assembly.joint, strict=True) if name == hit.where)
    angle = float(case.column(f"arm.{hit.where}.angle_deg")[0]) * DEG
    rise = part.radius * (math.sin(angle) - math.sin(part.bump)) / MM
    yield f"{millimetres(rise)} of travel standing" if rise > 0.0 else "stands on its stop"
    if hit.closing_mm_s >= 1.0:
        yield f"closes at {speed(hit.closing_mm_s * MM)}"
    yield f"pad {part.pad_rate / N_PER_MM:.0f} N/mm"


def clearance(case: Case) -> Iterator[str]:
    """How much room the belly has."""
    yield f"{millimetres(float(case.summary['ride_height_mm']))} clear standing"


def end_height(case: Case, end: str, hit: Event) -> Iterator[str]:
    """How high an end of the track is, and what it struck."""
    ring = case.assembly.ring_names.index(end)
    radius = float(case.assembly.model.rings["radius"][ring]) / MM
    radii = zip(case.assembly.wheel, case.assembly.model.rings["radius"], strict=False)
    level = min(float(case.column(f"wheel.{w}.y_mm")[0]) - float(r) / MM for w, r in radii)
    lowest = case.column(f"{end}.y_mm") - radius - level
    standing = float(lowest[0])
    yield f"its lowest point {millimetres(standing)} above the ground standing"
    # At its hardest: where it is pressed, not below.
    rows = slice(case.row_of(hit.time_s), case.row_of(hit.time_s + hit.duration_s) + 1)
    struck = float(lowest[rows][int(case.column(f"{end}.load_N")[rows].argmax())])
    if abs(struck - standing) >= 5.0:
        yield f"struck with it at {millimetres(struck)}"


def pushers(case: Case, row: int, forward: bool) -> tuple[str, ...]:
    """What of the ground pushed the vehicle hardest at a moment, along the course (or upwards): belly, ends, wheels."""
    axis = "force_forward_N" if forward else "force_up_N"
    counts = (*case.assembly.per_station, SIDES, SIDES)
    felt = {
        name: each * float(case.column(f"{name}.{axis}")[row])
        for name, each in zip(case.assembly.ring_names, counts, strict=False)
    }
    felt["belly"] = float(case.column("belly.load_N")[row])
    worst = max(felt, key=lambda n: abs(felt[n]))
    if abs(felt[worst]) <= LITTLE * case.assembly.weight_N:
        return ()
    load = force(abs(felt[worst]))
    if not worst.startswith("wheel."):
        return (f"the {worst} strikes the ground with {load}",)
    wheel = worst.removeprefix("wheel.")
    way = ("back" if felt[worst] < 0.0 else "forward") if forward else "up"
    told = f"the {spoken(wheel)} wheels are pushed {way} with {load} in all"
    return (*fall(case, wheel, row), told, *stop(case, case.assembly.wheel.index(wheel), row))


def _wheel_of(name: str, case: Case) -> str | None:
    """The wheel whose blow a part bore: its own, or the hardest struck of its bogie at any time."""
    if name in case.assembly.wheel:
        return name
    own = [w for w in case.assembly.wheel if w.partition(".")[0] == name.partition(".")[0]]
    return own[0] if own else None
