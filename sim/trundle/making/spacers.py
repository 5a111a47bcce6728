"""Washers on an axle: how many of the standard ones make a layer, and what has to be turned where none are so thick."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from trundle.bogies.parts import Parts
from trundle.making.bolted import Bolted, Layer
from trundle.making.bolts import bolts
from trundle.making.members import SIDE_COUNT
from trundle.making.part import Made, Place
from trundle.making.stock import Stock
from trundle.spec.vehicle import Vehicle
from trundle.steel.fasteners import FASTENERS, SHIM_RINGS, SHIMS_MM
from trundle.steel.sizes import ROUNDS_MM
from trundle.units import MM

NEAR_MM = 0.1
"""How far from its layer a pile of washers may be: less than washers of one box differ (ISO 7089, from memory: those
for M14 are 2.5 +-0.2 thick)."""

MOST_PILED = 3
"""More washers on each other than this are no spacer: one is turned (common practice, no source)."""


@dataclass(frozen=True)
class Pile:
    """What makes a layer of washers: so many plain ones, and a shim ring so thick [mm], 0: none."""

    washers: int
    shim_mm: float = 0.0


def pile(thread: str, layer: Layer) -> Pile | None:
    """Standard washers and at most one shim ring of this thread that make a washer's or spacer's layer; None: it has to
    be turned."""
    each, thick = FASTENERS[thread].washer_mm, layer.thick_mm
    many = round(thick / each)
    if 1 <= many <= MOST_PILED and abs(many * each - thick) <= NEAR_MM:
        return Pile(many)
    if thread in SHIM_RINGS:
        for many in range(MOST_PILED + 1):  # the fewest washers first
            rest = thick - many * each
            if (shim := next((s for s in SHIMS_MM if abs(s - rest) < SHIM_NEAR_MM), None)) is not None:
                return Pile(many, shim)
    return None


SHIM_NEAR_MM = 0.01


def piled(bolt: Bolted) -> tuple[Pile, ...]:
    """The washers on a bolt, layer by layer, what is packed under its nut last."""
    found = [pile(bolt.thread, layer) for layer in bolt.layers if _washers(layer)]
    return (*(p for p in found if p is not None), Pile(packing(bolt)))


def packing(bolt: Bolted) -> int:
    """How many washers go under its nut besides, for it to find thread."""
    return round(bolt.packing_mm / FASTENERS[bolt.thread].washer_mm)


def _washers(layer: Layer) -> bool:
    return layer.what in ("washer", "spacer") and layer.thick_mm > 0.0


def turned(bolt: Bolted) -> tuple[Layer, ...]:
    """Layers of a bolt that no standard washers make."""
    return tuple(n for n in bolt.layers if _washers(n) and pile(bolt.thread, n) is None)


def spacers(vehicle: Vehicle, parts: Parts) -> Iterator[Made]:
    """Every ring that has to be turned, bolt by bolt; marks still empty."""
    for bolt in bolts(vehicle):
        axles = [Place(p.name, w.x / MM, w.y / MM) for p in parts.swings if p.bogie in bolt.bogies for w in p.wheels]
        for layer in turned(bolt):
            assert layer.outside_mm is not None
            assert layer.inside_mm is not None
            out, bore, thick = layer.outside_mm, layer.inside_mm, layer.thick_mm
            stock = Stock("round tube", (out, 0.5 * (out - bore)))
            assert bolt.count == SIDE_COUNT * len(axles)
            yield Made(
                "", "spacer", bolt.bogies, bolt.path, bolt.count, stock, thick, out, out, stock.kg_per_m * thick * MM,
                (0.5 * thick, 0.5 * out), bore_mm=bore, places=tuple(axles),
                notes=(f"turned: {thick:g} mm is no pile of standard washers for {bolt.thread}",),
            )  # fmt: skip


def round_for(outside_mm: float) -> float:
    """The thinnest round bar sold that has so much outside [mm]; thicker than any: to the next 5 mm."""
    return next((r for r in ROUNDS_MM if r >= outside_mm - 1e-9), 5.0 * -(-outside_mm // 5.0))
