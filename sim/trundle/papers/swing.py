"""Where the hull's heave comes from, and what is said of a ride that is too hard, too soft, or goes on bouncing."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from trundle.engine.standing import Standing
from trundle.errors import InputError
from trundle.model.arrays import Floats
from trundle.papers.ground import stand_level
from trundle.papers.linear import Linear, Mode, linearise, modes, tension_held
from trundle.papers.naming import NamedMode, named
from trundle.papers.notice import Notice
from trundle.papers.parts import names
from trundle.papers.standing import StandingSheet, changed
from trundle.spec.vehicle import Vehicle
from trundle.units import MM, G

BARE_DAMPING = 0.1
"""Damping ratio (with friction at 10 mm) below which the hull goes on bouncing."""

MUCH_DAMPING = 0.8
"""Ratio of the dampers alone above which they, not the springs, pass a bump on to the hull."""

HARD_HZ, SOFT_HZ = 4.0, 1.0
"""Heave above and below which a ride is hard, or soft: 4 Hz is where a seated person begins to feel upward shaking
most (ISO 2631-1, weighting Wk); at 1 Hz a spring sinks 250 mm under its load."""

FELT_HZ = 8.0
"""Up to where that lasts (the same)."""

TOLD = 0.1
"""A source of less than this share of the stiffness is not told."""

OTHER_SAGS = (2.0, 5.0)
"""Times the sag (or times less the tension) for which heave is worked out too."""

STUCK_MM = 2.0
"""A swing within which dry friction holds the springs fast is told from here on [mm]."""


@dataclass(frozen=True)
class Swing:
    """Where a heave comes from. Shares of its stiffness: by how many percent it changes if that source changes by one
    hundred (the energy that each takes of a swing). tyres: with pads, where arms stand on their stops.

    without_track_Hz: with the track's tension held; None without a track, or if there is no heave then. others: (how
    the track is set, heave [Hz]). springs_half_Hz, springs_twice_Hz: with the springs' rates so changed, standing as
    it does. stuck_mm: swing within which dry friction holds it fast. dampers, tyre_damping: ratios.
    """

    heave_Hz: float
    springs: float
    tyres: float
    track: float
    without_track_Hz: float | None
    others: tuple[tuple[str, float], ...]
    springs_half_Hz: float | None
    springs_twice_Hz: float | None
    stuck_mm: float
    dampers: float
    tyre_damping: float


def swing_of(vehicle: Vehicle, at: Standing) -> Swing | None:
    """Of a vehicle as it stands; None if no swing of its hull is a heave."""
    system = linearise(at)
    found = _heave(at, system)
    if found is None:
        return None
    mode, _ = found
    shape, whole = mode.shape, _stiff(mode.shape, system.stiffness)
    track, without = 0.0, None
    if vehicle.track is not None:
        held = tension_held(at)
        free = linearise(held)
        track = 1.0 - _stiff(shape, free.stiffness) / whole
        without = _heave_Hz(held, free)
    springs = _stiff(shape, system.springs) / whole
    dampers = _dampers(at, shape) / max(float(shape @ system.damping @ shape), 1e-12)
    rubbed = float(system.friction_Nm @ np.abs(shape[2:]))
    return Swing(
        heave_Hz=mode.frequency_Hz,
        springs=springs,
        tyres=1.0 - springs - track,
        track=track,
        without_track_Hz=without,
        others=tuple(_others(vehicle, mode.frequency_Hz)),
        springs_half_Hz=_with_springs(at, system, 0.5),
        springs_twice_Hz=_with_springs(at, system, 2.0),
        stuck_mm=rubbed / whole / MM,
        dampers=mode.damping * dampers,
        tyre_damping=mode.damping * (1.0 - dampers),
    )


def _stiff(shape: Floats, stiffness: Floats) -> float:
    return float(shape @ stiffness @ shape)


def _heave(at: Standing, system: Linear) -> tuple[Mode, NamedMode] | None:
    raw = modes(at, system)
    return next(((m, n) for m, n in zip(raw, named(at, raw), strict=True) if n.kind == "heave"), None)


def _heave_Hz(at: Standing, system: Linear) -> float | None:
    found = _heave(at, system)
    return None if found is None else found[0].frequency_Hz


def _with_springs(at: Standing, system: Linear, times: float) -> float | None:
    """Heave with the springs' rates so many times what they are, standing as it does [Hz]."""
    stiffness = system.stiffness + (times - 1.0) * system.springs
    return _heave_Hz(
        at, Linear(system.mass, stiffness, system.damping, system.carry, system.friction_Nm, system.springs)
    )


def _dampers(at: Standing, shape: Floats) -> float:
    """What the dampers take of a swing of this shape, in the measure of shape' C shape."""
    joints = at.assembly.model.joints
    both = 0.5 * (joints["damp_bump"] + joints["damp_droop"])
    return float((both * (joints["radius"] * np.cos(at.q[3:]) * shape[2:]) ** 2).sum())


def _others(vehicle: Vehicle, heave_Hz: float) -> Iterator[tuple[str, float]]:
    """Heave with the track set looser, where it is hard as it is."""
    track = vehicle.track
    if track is None or heave_Hz <= HARD_HZ:
        return
    for times in OTHER_SAGS:
        if track.sag_mm is not None:
            path, value, words = "track.sag_mm", round(times * track.sag_mm), "{:g} mm sag"
        else:
            assert track.tension_N is not None
            path, value, words = "track.tension_N", round(track.tension_N / times), "{:g} N of pull"
        try:
            there = stand_level(changed(vehicle, path, float(value)))
        except InputError:  # so loose it is not, or cannot stand
            continue
        frequency = _heave_Hz(there, linearise(there))
        if frequency is not None:
            yield words.format(value), frequency


def swinging_notices(sheet: StandingSheet, swing: Swing | None) -> Iterator[Notice]:
    """What swings too hard, too softly, or for too long, and what it comes from."""
    for mode in sheet.modes:
        if mode.kind == "loose":
            yield Notice("nothing holds it in one direction (frequency 0): it will not stand", True)
        if mode.kind not in ("heave", "pitch"):
            continue
        total = mode.damping + mode.friction_damping
        if total < BARE_DAMPING:
            yield Notice(
                f"{mode.kind} has a damping ratio of {total:.2f}: it goes on bouncing{_undamped(mode, swing)}; dampers "
                "or more friction should bring it to 0.2 or more"
            )
        if mode.kind == "heave":
            yield from _hardness(mode.frequency_Hz, swing)
    if swing is not None and swing.dampers > MUCH_DAMPING:
        yield Notice(
            f"the dampers brake heave with {swing.dampers:.1f} of critical: they pass a bump on to the hull before the "
            "springs give; 0.2 to 0.4 is usual"
        )


def _undamped(mode: NamedMode, swing: Swing | None) -> str:
    """Of heave, what there is: ` (dampers 0.00, tyres 0.03, friction 0.01)`."""
    if mode.kind != "heave" or swing is None:
        return ""
    return f" (dampers {swing.dampers:.2f}, tyres {swing.tyre_damping:.2f}, friction {mode.friction_damping:.2f})"


def _hardness(heave_Hz: float, swing: Swing | None) -> Iterator[Notice]:
    if heave_Hz > HARD_HZ:
        felt = (
            "4 to 8 Hz is where a seated person feels shaking most, ISO 2631-1"
            if heave_Hz <= FELT_HZ
            else "the hull follows every bump, and what it carries with it"
        )
        text = f"heave at {heave_Hz:.1f} Hz is a hard ride ({felt})"
        yield Notice(f"{text}{_why_hard(swing)}" if swing is not None else text)
    elif heave_Hz < SOFT_HZ:
        sinks = G / (2.0 * math.pi * heave_Hz) ** 2 / MM
        text = f"heave at {heave_Hz:.1f} Hz is a soft ride: it nods at every push, and its weight takes {sinks:.0f} mm"
        stiffer = swing.springs_twice_Hz if swing is not None else None
        yield Notice(f"{text}. With springs twice as stiff about {stiffer:.1f} Hz" if stiffer is not None else text)


def _why_hard(swing: Swing) -> str:
    """Where it comes from, the largest source first, and what would make it softer."""
    shares = {"the springs'": swing.springs, "the track's": swing.track, "the tyres'": swing.tyres}
    told = [(whose, s) for whose, s in sorted(shares.items(), key=lambda x: -x[1]) if s >= TOLD]
    if not told:
        return ""
    (most, share), *others = told
    rest = [f"{100.0 * s:.0f} % {whose}" for whose, s in others]
    text = f": {names([f'{100.0 * share:.0f} % of it is {most} stiffness', *rest])}"
    softer = [f"with {how} {f:.1f} Hz" for how, f in swing.others]
    if swing.without_track_Hz is not None:
        softer.append(f"if it gave way freely {swing.without_track_Hz:.1f} Hz")
    if swing.track >= TOLD and softer:
        tight = most == "the track's"
        text += f". {'The track is tight' if tight else 'A looser track helps little'}: {', '.join(softer)}"
    if swing.springs_half_Hz is not None and swing.springs >= TOLD:
        text += f". With springs half as stiff about {swing.springs_half_Hz:.1f} Hz"
    if swing.stuck_mm >= STUCK_MM:
        text += f". Dry friction holds the springs fast in swings of less than {swing.stuck_mm:.0f} mm, stiffer still"
    return text
