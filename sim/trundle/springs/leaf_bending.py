"""How a leaf across two arms is bent to shape: lengths, formers, template, room at its ends."""

from __future__ import annotations

from typing import TYPE_CHECKING

from trundle.errors import InputError
from trundle.springs.answers import Bending, LeafCut, LeafShape
from trundle.springs.leaf_words import leaf_name
from trundle.steel import leaf as formulas
from trundle.steel.rebend import former_radius, minimum_radius, surface_strain, template
from trundle.units import MM

if TYPE_CHECKING:
    from trundle.springs.leaf_across import LeafAcross


def across_bending(leaf: LeafAcross, bump_deflection_m: float) -> Bending:
    """Of the whole stack; bump_deflection_m: how far its ends are lifted at full bump [m]."""
    radius, thick = leaf.free_radius_mm, leaf.thickness_mm
    # Each leaf lies on the back of the one below: its radius is one thickness more.
    cuts = [_cut(leaf, i, length, radius + i * thick) for i, length in enumerate(leaf.lengths_mm())]
    try:
        bump = leaf.end_travel_m(bump_deflection_m) / MM
    except ArithmeticError:
        bump = None
    return Bending(
        what="Leaf",
        stock=f"{leaf.width_mm:g} x {thick:g}",
        width_mm=leaf.width_mm,
        thickness_mm=thick,
        flat_mm=_made_flat_m(leaf) / MM,
        steel=leaf.metal.name,
        metal=leaf.metal,
        leaves=tuple(cuts),
        ordinates_mm=template(leaf.length_mm * MM, radius * MM, _made_flat_m(leaf)) / MM,
        flat_room_mm=leaf.flat_room_m / MM,
        bump_room_mm=bump,
        given_room_mm=leaf.end_room_mm,
        shapes=_shapes(leaf),
    )


def _made_flat_m(leaf: LeafAcross) -> float:
    """Length in the middle that is made flat on the bench [m]."""
    return leaf.flat_m if leaf.clamp_fit == "bent flat" else 0.0


def _shapes(leaf: LeafAcross) -> tuple[LeafShape, ...]:
    """The main leaf as it lies on the bench and, where a clamp changes that, in the clamp."""
    radius, whole = leaf.free_radius_mm * MM, leaf.length_mm * MM

    def shape(where: str, flat: float) -> LeafShape:
        arc = formulas.Arc(whole - flat, radius)
        return LeafShape(where, (flat + arc.chord_m) / MM, arc.rise_m / MM, flat / MM)

    bench = shape("as bent on the bench", _made_flat_m(leaf))
    return (bench, shape("in its clamp, not loaded", leaf.flat_m)) if leaf.pressed_flat else (bench,)


def _cut(leaf: LeafAcross, place: int, length_mm: float, radius_mm: float) -> LeafCut:
    word = leaf_name(place)
    of, thick = leaf.metal, leaf.thickness_mm * MM
    arc = formulas.Arc(length_mm * MM, radius_mm * MM)
    pressed = arc.flattening_stress_Pa(thick, of.E_Pa) if leaf.pressed_flat else None
    try:
        bent = former_radius(radius_mm * MM, thick, of.yield_Pa, E_Pa=of.E_Pa)
    except InputError:
        return LeafCut(word, length_mm, radius_mm, None, 0.0, True, pressed)
    former = bent / MM - 0.5 * leaf.thickness_mm
    tight = bent < minimum_radius(thick, of)
    return LeafCut(word, length_mm, radius_mm, former, surface_strain(bent, thick), tight, pressed)
