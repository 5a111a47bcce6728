"""From flat stock to a bent leaf: lengths, former, template, room for the ends."""

from __future__ import annotations

from dataclasses import dataclass

from trundle.errors import InputError
from trundle.springs import LeafAcross
from trundle.steel.materials import steel
from trundle.steel.rebend import Floats, former_radius, minimum_radius, surface_strain, template
from trundle.units import MM


@dataclass(frozen=True)
class LeafCut:
    """One leaf of a stack, counted from the main leaf up [mm].

    radius: wanted, at the middle of the thickness. former: radius of the former's face that it springs back
    from, bent from flat; None if no radius does. strain: of its skin while bent there. tight: below the
    radius where cold bending risks a crack.
    """

    name: str
    length_mm: float
    radius_mm: float
    former_mm: float | None
    strain: float
    tight: bool


@dataclass(frozen=True)
class LeafShop:
    """All leaves of one spring and its main leaf's template: rows (x from the middle, y over the chord) [mm].

    flat_room_mm: how far each end moves out when pressed flat; bump_room_mm: at full bump, None if beyond any
    bent shape.
    """

    leaves: tuple[LeafCut, ...]
    ordinates_mm: Floats
    flat_room_mm: float
    bump_room_mm: float | None


def leaf_shop(leaf: LeafAcross, bump_lift_m: float) -> LeafShop:
    """Work it out. bump_lift_m: how far both ends are lifted at full bump [m]."""
    lengths = [leaf.length_mm] * leaf.full_leaves
    # Graduated leaves get shorter in even steps, down to one step.
    steps = leaf.graduated_leaves + 1
    lengths += [leaf.length_mm * (steps - i) / steps for i in range(1, steps)]
    cuts = []
    for i, length in enumerate(lengths):
        # Each leaf lies on the back of the one below: its radius is one thickness more.
        radius = leaf.free_radius_mm + i * leaf.thickness_mm
        word = "main leaf" if i == 0 else f"leaf {i + 1}"
        cuts.append(_cut(word, length, radius, leaf))
    try:
        bump = leaf.end_travel_m(bump_lift_m) / MM
    except ArithmeticError:
        bump = None
    return LeafShop(
        tuple(cuts),
        template(leaf.length_mm * MM, leaf.free_radius_mm * MM) / MM,
        leaf.arc.end_travel_m / MM,
        bump,
    )


def _cut(word: str, length: float, radius: float, leaf: LeafAcross) -> LeafCut:
    of, thick = steel(leaf.steel), leaf.thickness_mm * MM
    try:
        bent = former_radius(radius * MM, thick, of.yield_Pa)
    except InputError:
        return LeafCut(word, length, radius, None, 0.0, True)
    return LeafCut(
        word,
        length,
        radius,
        bent / MM - 0.5 * leaf.thickness_mm,
        surface_strain(bent, thick),
        bent < minimum_radius(thick, of),
    )
