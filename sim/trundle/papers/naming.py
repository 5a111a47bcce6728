"""What a builder calls a mode: heave, pitch, a bogie rocking, wheels hopping."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from trundle.engine.standing import Standing
from trundle.papers.linear import Mode
from trundle.units import MM

MOSTLY = 0.5
"""Share of the moving energy in the hull above which a mode is the hull's."""

TAKES_PART = 0.5
"""A bogie takes part in a mode if it has at least this share of the busiest bogie's energy."""


@dataclass(frozen=True)
class NamedMode:
    """A mode in words. kind: heave, pitch, rocking, hop or loose. bogies: those that take part.

    node_mm: place on the hull (forward of the tail) that stands still in a mode of the hull, None if far
    away. shape_mm: how far each wheel, then the hull's nose and tail, move up while the largest moves 10 mm.
    friction_damping: added by dry friction at that swing.
    """

    kind: str
    words: str
    frequency_Hz: float
    damping: float
    friction_damping: float
    bogies: tuple[str, ...]
    node_mm: float | None
    shape_mm: tuple[tuple[str, float], ...]


def named(at: Standing, found: list[Mode]) -> list[NamedMode]:
    """The same modes with their names."""
    return [_name(at, mode) for mode in found]


def _name(at: Standing, mode: Mode) -> NamedMode:
    hull = sum(mode.hull_energy)
    bogies: tuple[str, ...] = ()
    node = None
    if mode.frequency_Hz < 0.01:
        kind, words = "loose", "nothing holds it: it drifts"
    elif hull > MOSTLY:
        kind = "heave" if mode.hull_energy[0] >= mode.hull_energy[1] else "pitch"
        node = _node_mm(at, mode)
        words = {"heave": "hull rises and falls", "pitch": "hull nods"}[kind]
    else:
        bogies = _busiest(at, mode)
        kind, words = _wheels(at, mode, bogies)
    m = at.assembly.model.hull
    ends = (("nose", float(m.nose_x)), ("tail", float(m.tail_x)))
    shape = [(n, 10.0 * float(a)) for n, a in zip(at.assembly.wheel, mode.axle_m, strict=True)]
    shape += [(n, 10.0 * float(mode.shape[0] + mode.shape[1] * x)) for n, x in ends]
    return NamedMode(kind, words, mode.frequency_Hz, mode.damping, mode.friction_damping, bogies, node, tuple(shape))


def _node_mm(at: Standing, mode: Mode) -> float | None:
    rise, turn = float(mode.shape[0]), float(mode.shape[1])
    hull = at.assembly.vehicle.hull
    if abs(turn) * 3.0 * hull.length_mm * MM < abs(rise):
        return None
    return (at.assembly.com[0] - rise / turn) / MM


def _busiest(at: Standing, mode: Mode) -> tuple[str, ...]:
    energy: dict[str, float] = {}
    for j, part in enumerate(at.assembly.parts.swings):
        energy[part.bogie] = energy.get(part.bogie, 0.0) + float(mode.energy[j + 1])
    top = max(energy.values())
    return tuple(b for b, e in energy.items() if e >= TAKES_PART * top)


def _wheels(at: Standing, mode: Mode, bogies: tuple[str, ...]) -> tuple[str, str]:
    """Do the two wheels of the bogies that take part move alike or against each other?"""
    alike = against = 0.0
    of = {w.name: p.bogie for p in at.assembly.parts.swings for w in p.wheels}
    for bogie in bogies:
        moves = np.array([a for n, a in zip(at.assembly.wheel, mode.axle_m, strict=True) if of[n] == bogie])
        alike += float(moves.sum() ** 2) / len(moves)
        against += float(((moves - moves.mean()) ** 2).sum())
    who = " and ".join([", ".join(bogies[:-1]), bogies[-1]]) if len(bogies) > 1 else bogies[0]
    if against > alike:
        return "rocking", f"{who}: wheels against each other"
    return "hop", f"{who}: wheels hop together"
