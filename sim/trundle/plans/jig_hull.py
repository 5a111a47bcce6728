"""Bogies on the hull: every pivot and hull bolt of a side from one datum, and how they are set in line."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from trundle.bogies.build import Bracket
from trundle.fields.sketch import XY
from trundle.making.part import EDGE_MM
from trundle.plans.ink import Centre, Ink, Path, Ring
from trundle.plans.jig_page import Jig
from trundle.plans.subject import Subject
from trundle.plans.view import Stop, Tape, View
from trundle.plans.words import mm
from trundle.spec.moving import parts_of
from trundle.spec.vehicle import Vehicle
from trundle.steel.bolts import thread
from trundle.units import MM


@dataclass(frozen=True)
class OnHull:
    """What one bogie has on its side of the hull: pivots and hull bolts, from tail and belly datum [mm]."""

    bogie: str
    pivots: tuple[XY, ...]
    bolts: tuple[XY, ...]
    pivot_mm: float
    bolt_mm: float


def on_hull(vehicle: Vehicle) -> Iterator[OnHull]:
    """Every bogie whose pivots lie on the hull, from the tail forward."""
    parts = parts_of(vehicle)
    found = []
    for name, bogie in vehicle.bogie.items():
        own = [p for p in parts.swings if p.bogie == name and p.parent == 0]
        pivots = tuple(dict.fromkeys(sorted((p.pivot_x / MM, p.pivot_y / MM) for p in own)))
        builds = [m.build for m in bogie.members(name) if m.pivots_mm and m.build is not None]
        build = next((b for b in builds if b.bracket is not None), None)
        bracket = build.bracket if build is not None else None
        size = thread(build.pivot.thread).diameter_m / MM if build is not None and build.pivot is not None else 2.0
        bolts: tuple[XY, ...] = ()
        bolt = 0.0
        if bracket is not None and bracket.hull_thread is not None and pivots:
            bolts, bolt = _bolts(bracket, pivots), thread(bracket.hull_thread).diameter_m / MM + 1.0
        found.append(OnHull(name, pivots, bolts, size, bolt))
    yield from sorted(found, key=lambda b: b.pivots)


def _bolts(bracket: Bracket, pivots: tuple[XY, ...]) -> tuple[XY, ...]:
    assert bracket.hull_bolts_apart_mm is not None
    assert bracket.hull_bolts_from_top_mm is not None
    x = sum(p[0] for p in pivots) / len(pivots)
    up = bracket.height_mm - bracket.pivots_from_bottom_mm - bracket.hull_bolts_from_top_mm
    half = 0.5 * bracket.hull_bolts_apart_mm
    return (x - half, pivots[0][1] + up), (x + half, pivots[0][1] + up)


def jigs(subject: Subject) -> Iterator[Jig]:
    """One, of a vehicle whose file says how a bracket is bolted on."""
    bogies = list(on_hull(subject.vehicle))
    if any(b.bolts for b in bogies):
        yield _jig(subject.vehicle, bogies)


def _jig(vehicle: Vehicle, bogies: list[OnHull]) -> Jig:
    notes = (
        "One side; the other is its mirror image. Datum: tail and belly of the hull. Pivots are the sizes that count.",
        f"Drill by the brackets' own holes where you can. Hull bolts pass with play: hang all brackets loosely, lay a "
        f"straight bar through (or stretch a wire past) the pivots of a side, set them within {EDGE_MM:g} mm of it.",
        "Put one long bar through the first left and right pivots, one through the last: they must lie level and "
        "square to the hull (diagonals alike). Then tighten.",
    )
    return Jig("JA-hull", "pivots and hull bolts on the hull", [[_view(vehicle, bogies)]], (), notes)


def _view(vehicle: Vehicle, bogies: list[OnHull]) -> View:
    ink: list[Ink] = [Path(tuple(vehicle.hull.belly_mm), "soft")]
    ink.append(Path(((0.0, 0.0), (vehicle.hull.length_mm, 0.0)), "soft"))
    pivots: list[Stop] = []
    bolts: list[Stop] = []
    ups: dict[str, XY] = {}
    for b in bogies:
        for k, at in enumerate(b.pivots):
            ink.append(Ring(at, 0.5 * b.pivot_mm))
            pivots.append(Stop(f"hull.pivot.{b.bogie}.{k}", at, f"{mm(at[0])} ±{EDGE_MM:g}"))
            ups.setdefault(mm(at[1]), at)
        for k, at in enumerate(b.bolts):
            ink.append(Ring(at, 0.5 * b.bolt_mm))
            bolts.append(Stop(f"hull.bolt.{b.bogie}.{k}", at, mm(at[0])))
            ups.setdefault(mm(at[1]), at)
    line = [p for b in bogies for p in b.pivots]
    ink.append(Centre(line[0], line[-1]))
    low = min(y for _, y in line)
    high = max([y for b in bogies for _, y in b.bolts], default=low)
    tapes = (
        Tape("below", "hull.datum.pivots", (0.0, low), tuple(pivots)),
        Tape("above", "hull.datum.bolts", (0.0, high), tuple(bolts)),
        Tape("left", "hull.datum.up", (0.0, 0.0), tuple(Stop(f"hull.up.{w}", at, w) for w, at in ups.items())),
    )
    return View("from the side; grey: the belly", tuple(ink), (), tapes)
