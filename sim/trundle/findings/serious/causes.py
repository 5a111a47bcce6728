"""Why it came to that: the chain of causes of one moment, read off the record, first cause first."""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np

from trundle.findings import channel
from trundle.findings.events.hull import ENDS
from trundle.findings.events.kind import Event
from trundle.findings.intervals import stretches
from trundle.findings.serious.case import Case
from trundle.findings.states import wheel_is_off
from trundle.findings.words import force, millimetres, speed, spoken
from trundle.model.arrays import SIDES, Floats
from trundle.strength.margin import PartMargin
from trundle.units import DEG, MM

NEAR_STOP_DEG = 1.0
"""An arm as near to its stop as this is on it [deg]."""

DROP_MM = 15.0
"""A fall from less is no cause [mm]."""

LITTLE = 0.1
"""What makes less than this share of the seat's jolt is no cause."""

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
    row = case.row_of(margin.time_s)
    name = _wheel_of(margin.name, case, row)
    if name is None:
        return ()
    number = assembly.wheel.index(name)
    causes = list(fall(case, name, row))
    forward, up = _push(case, f"wheel.{name}", row)
    if math.hypot(forward, up) > 1.0:
        way = pushed(forward, up, "(one wheel's)")
        causes.append(f"{spoken(name)} wheel is {way}")
    if abs(margin.along_N) > abs(margin.across_N) > 0.0:
        along, across = force(abs(margin.along_N)), force(abs(margin.across_N))
        causes.append(f"the arm points into the blow: {along} along it, {across} across (one arm's)")
    causes += stop(case, number, row)
    kind = assembly.vehicle.wheel[assembly.wheel_kind[number]]
    causes.append(f"rubber {kind.rubber_rate_N_per_mm:g} N/mm")
    return tuple(causes)


def _push(case: Case, ring: str, row: int) -> tuple[float, float]:
    """What pushes on one wheel, or one side's end, at a moment: forward and up [N]."""
    forward, up = (float(case.column(f"{ring}.{c}_N")[row]) for c in ("force_forward", "force_up"))
    return forward, up


STEEP_DEG, FLAT_DEG = 60.0, 15.0
"""A push steeper than the one is upward, flatter than the other along; between, it is both [deg]."""


def pushed(forward_N: float, up_N: float, whose: str) -> str:
    """`pushed back and up with 3.8 kN (one wheel's), 53° from level`: by the direction alone, whatever the ground
    looks like."""
    along, upright = "back" if forward_N < 0.0 else "forward", "up" if up_N > 0.0 else "down"
    slope, size = math.degrees(math.atan2(abs(up_N), abs(forward_N))), force(math.hypot(forward_N, up_N))
    if slope >= STEEP_DEG:
        return f"pushed {upright} with {size} {whose}"
    if slope < FLAT_DEG:
        return f"pushed {along} with {size} {whose}"
    return f"pushed {along} and {upright} with {size} {whose}, {slope:.0f}° from level"


BOTH = "on both sides together"


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
    if left <= NEAR_STOP_DEG:
        yield f"arm on its bump stop ({joint.pad.words})"
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
    yield part.pad.words


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
    rows = slice(case.row_of(hit.time_s), case.row_of(hit.time_s + hit.duration_s) + 1)
    struck = float(lowest[rows][int(case.column(f"{end}.load_N")[rows].argmax())])
    yield f"its lowest point {millimetres(standing)} above the ground standing, {millimetres(struck)} as it strikes"


def pushers(case: Case, row: int, jolt_m_s2: Floats, forward: bool) -> tuple[str, ...]:
    """What of the ground made the most of the seat's jolt at a moment: belly, ends or wheels, both sides of them.

    jolt_m_s2: filtered, along the hull's forward axis or its upward one; row: of the moment. What counts is the part of
    it that each push makes with the vehicle taken as one stiff body, force / mass and, by its arm about the centre of
    mass and the seat's, pitch acceleration, filtered alike and of the jolt's sign: no push forward throws forward.
    The belly's load is only known upright, so it is none along.
    """
    # A window is enough: of an hour's run too.
    wide = round(channel.SETTLES_S / case.dt_s)
    first, end = max(row - wide, 0), min(row + wide + 1, len(jolt_m_s2))
    sign = math.copysign(1.0, float(jolt_m_s2[row]))
    most, name, when = LITTLE * abs(float(jolt_m_s2[row])), "", row
    for part in _struck(case, slice(first, end), forward):
        makes = sign * at_seat(case, part, slice(first, end), forward)
        share = float(channel.filtered(makes, case.dt_s)[row - first])
        if share > most:
            most, name, when = share, part, first + int(makes.argmax())
    if not name:
        return ()
    if name in ("belly", *ENDS):
        sides = 1.0 if name == "belly" else SIDES
        both = f" {BOTH}" if sides > 1.0 else ""
        load = sides * float(case.column(f"{name}.load_N")[first:end].max())
        return (f"the {name} strikes the ground with {force(load)}{both}",)
    wheel = name.removeprefix("wheel.")
    number = case.assembly.wheel.index(wheel)
    count = case.assembly.per_station[number]
    along, upright = _push(case, name, when)
    told = f"the {spoken(wheel)} wheels are {pushed(count * along, count * upright, BOTH)}"
    return (*fall(case, wheel, when), told, *stop(case, number, when))


def _struck(case: Case, rows: slice, forward: bool) -> Iterator[str]:
    """Wheels, and what of belly and ends the ground presses between two rows."""
    yield from (f"wheel.{wheel}" for wheel in case.assembly.wheel)
    ends = ENDS if case.assembly.vehicle.track is not None else ()
    for part in ends if forward else ("belly", *ends):
        if case.column(f"{part}.load_N")[rows].any():
            yield part


def at_seat(case: Case, part: str, rows: slice, forward: bool) -> Floats:
    """The acceleration at the seat, along the hull's forward axis or its upward one, that the push on one part (both
    sides of it) makes with the vehicle taken as one stiff body [m/s2], of each row."""
    assembly = case.assembly
    turn = case.column("hull.pitch_deg")[rows] * DEG
    c, s = np.cos(turn), np.sin(turn)
    if part == "belly":
        # Where on the belly is not recorded: as through the centre of mass.
        along, upright = np.zeros(len(turn)), case.column("belly.load_N")[rows]
        moment = np.zeros(len(turn))
    else:
        ring = assembly.ring_names.index(part)
        sides = assembly.per_station[ring] if ring < len(assembly.wheel) else SIDES
        along, upright = (sides * case.column(f"{part}.{n}_N")[rows] for n in ("force_forward", "force_up"))
        x, y = ((case.column(f"{part}.{n}_mm")[rows] - case.column(f"hull.{n}_mm")[rows]) * MM for n in ("x", "y"))
        moment = x * upright - y * along
    hull = assembly.model.hull
    pitch = moment / float(assembly.model.bodies["inertia"][0])
    if forward:
        made: Floats = (c * along + s * upright) / assembly.mass_kg - pitch * float(hull.seat_y)
    else:
        made = (c * upright - s * along) / assembly.mass_kg + pitch * float(hull.seat_x)
    return made


def _wheel_of(name: str, case: Case, row: int) -> str | None:
    """The wheel whose blow a part bore: its own, or that of its bogie which is struck hardest at that row."""
    if name in case.assembly.wheel:
        return name
    own = [w for w in case.assembly.wheel if w.partition(".")[0] == name.partition(".")[0]]
    return max(own, key=lambda w: math.hypot(*_push(case, f"wheel.{w}", row)), default=None)
