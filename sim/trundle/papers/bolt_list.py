"""Bolts of the bogies: size, class, grip, the length to buy, and what each goes through."""

from __future__ import annotations

from collections.abc import Mapping

from trundle.making.bolted import Bolted, Layer
from trundle.making.made import bolted, made
from trundle.making.part import Made
from trundle.making.spacers import Pile, packing, pile
from trundle.papers.parts import Part, Table, names, number
from trundle.spec.vehicle import Vehicle
from trundle.steel.fasteners import FASTENERS

INCH_MM = 25.4


def bolt_list(vehicle: Vehicle) -> Part | None:
    """Every bolt with its stack from head to nut; None where the file says nothing of any.

    Raises InputError where a spring or stop cannot work.
    """
    found = bolted(vehicle)
    if not found:
        return None
    parts = made(vehicle)
    heads = ("bolt", "count", "thread", "class", "grip, mm", "length, mm", "plain shank, mm", "from head to nut, mm")
    rows = tuple(
        (
            f"{b.what}: {names(b.bogies)}", str(b.count), b.thread, b.grade, number(b.grip_mm, 1), length_words(b),
            number(b.shank_mm, 1), stack_words(b, parts),
        )
        for b in found
    )  # fmt: skip
    told: dict[str, None] = {f"{b.what}s: {line}": None for b in found for line in b.left_out}
    return Part(
        "Bolts",
        "Grip: from under the head to the nut, washers counted in. Length: the shortest sold that reaches through a "
        "self-locking nut by two threads, its plain shank through all that bends it; where that leaves shank under the "
        "nut, more washers go there (ISO 4014, ISO 7040, from memory).",
        (Table(heads, rows),),
        tuple(told),
    )


def length_words(bolt: Bolted) -> str:
    """As it is asked for: inch bolts in inches too."""
    length = number(bolt.length_mm, 0 if bolt.thread.startswith("M") else 1)
    return length if bolt.thread.startswith("M") else f"{length} ({bolt.length_mm / INCH_MM:g} in)"


def stack_words(bolt: Bolted, parts: tuple[Made, ...]) -> str:
    """Its layers from head to nut, with the marks of those that are made."""
    by_what = _marks(bolt, parts)
    stack = [_layer(bolt, layer, by_what) for layer in bolt.layers if layer.thick_mm > 0.0]
    more = packing(bolt)
    return ", ".join([*stack, *([f"{more} more under the nut"] if more else [])])


def _marks(bolt: Bolted, parts: tuple[Made, ...]) -> Mapping[tuple[str, float], str]:
    """Mark of each layer that is a part of the bolt's own bogies, by what it is and how thick."""
    own = "pivot sleeve" if bolt.what == "pivot bolt" else "axle sleeve"
    kinds = {own: "sleeve", "bracket plate": "plate", "spacer": "spacer"}
    found = {}
    for part in parts:
        if part.what in kinds and set(part.bogies) & set(bolt.bogies):
            thick = part.width_mm if part.what == "bracket plate" else part.length_mm
            found[kinds[part.what], round(thick, 3)] = part.mark
    return found


def _layer(bolt: Bolted, layer: Layer, by_what: Mapping[tuple[str, float], str]) -> str:
    what: str = layer.what
    if what in ("washer", "spacer"):
        found = pile(bolt.thread, layer)
        if found is not None:
            return _pile(found, FASTENERS[bolt.thread].washer_mm)
        what = "spacer"
    mark = by_what.get((what, round(layer.thick_mm, 3)), "")
    return f"{what} {mark} {layer.thick_mm:g}" if mark else f"{what} {layer.thick_mm:g}"


def _pile(found: Pile, each_mm: float) -> str:
    """ "2 washers 2.5 and shim ring 1"."""
    many = f"{found.washers} washers" if found.washers > 1 else "washer"
    words = [f"{many} {each_mm:g}"] if found.washers else []
    return " and ".join([*words, *([f"shim ring {found.shim_mm:g}"] if found.shim_mm > 0.0 else [])])
