"""Bracket plates: bearing in the pivot's hole, and tearing out to the edge that the force points to."""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np

from trundle.bogies.build import Bracket
from trundle.bogies.joints import PivotBolt
from trundle.model.arrays import Floats
from trundle.steel.bolts import thread
from trundle.steel.materials import steel
from trundle.steel.sections import flat
from trundle.strength.limbs import Limb
from trundle.strength.stress import Stressed
from trundle.units import MM


def plates(limb: Limb) -> Iterator[Stressed]:
    """One plate at the limb's pivot; bending of the plate is left out unless something pushes sideways.

    Bearing by EN 1993-1-8 table 3.10 (pins), 1.5 fy d t; tearing out by shear of two planes from the hole's edge to
    the plate's, in the direction of the force (handbooks of pin joints, from memory). Pushed sideways, one plate takes
    all of that, bent about the line of its hull bolts (or its top edge) over its whole length; of two plates the couple
    that the sleeve twists them with goes as a pair of forces in their planes.
    """
    build = limb.member.build
    if build is None or build.bracket is None or build.pivot is None:
        return
    bracket = build.bracket
    of, d, thick = steel(bracket.steel), thread(build.pivot.thread).diameter_m, bracket.plate_mm * MM
    pivot, two = build.pivot, build.pivot.held == "both sides"
    each = limb.pivot_N / (2 if two else 1)
    if limb.side is not None and two:
        each = each + limb.side.couple_Nm / between_plates_m(pivot, bracket)
    bearing = each / (d * thick) / 1.5
    left = _edge_m(limb, bracket) - 0.5 * d
    # No hole lies over an edge: the file is held to that (trundle.bogies.build).
    tearing = math.sqrt(3.0) * each / (2.0 * left * thick)

    def said(row: int) -> tuple[str, tuple[str, ...]]:
        bears = bearing[row] >= tearing[row]
        does, which = ("bearing in its hole", "bears in its hole") if bears else (
            "tearing out to its edge", "tears out to its edge",
        )  # fmt: skip
        note = f"{which} first (bearing by EN 1993-1-8 table 3.10, 1.5 fy d t); bending of the plate left out"
        return does, (note,)

    bent = np.zeros_like(bearing)
    if (side := limb.held_side) is not None:
        lever = hangs_m(bracket) + (0.0 if two else np.abs(side.up_m))
        plate = flat(thick, bracket.length_mm * MM)
        bent = side.force_N * lever / (plate.iy_m4 / (0.5 * thick))
    whole = np.maximum(bearing, tearing)
    end = limb.loaded_end

    def all_said(row: int) -> tuple[str, tuple[str, ...]]:
        if bent[row] <= whole[row]:
            return said(row)
        return "bending sideways below the hull", ("one plate takes all of the side force: the safe side",)

    yield Stressed(
        kind="bracket",
        name=limb.name,
        title=f"bracket plate {bracket.plate_mm:g} mm, {of.name}",
        stress_Pa=np.maximum(whole, bent),
        limit_Pa=of.yield_Pa,
        load_N=each,
        along_N=limb.along_N(end),
        across_N=end.up_N,
        at_m=end.at_m,
        said=all_said,
    )


def between_plates_m(pivot: PivotBolt, bracket: Bracket) -> float:
    """From the middle of one plate to that of the other [m]."""
    return (pivot.sleeve_mm + 2.0 * pivot.gap_mm + bracket.plate_mm) * MM


def hangs_m(bracket: Bracket) -> float:
    """How far its pivots lie below what holds it: its hull bolts, or its top edge where it is welded on [m]."""
    from_top = bracket.hull_bolts_from_top_mm or 0.0
    return (bracket.height_mm - from_top - bracket.pivots_from_bottom_mm) * MM


def _edge_m(limb: Limb, bracket: Bracket) -> Floats:
    """From the middle of the hole to the plate's edge, in the direction in which the pivot is pushed [m]."""
    # A beam's bracket on its arm has its one hole in the middle.
    along = limb.pivot_mm if limb.on_hull else 0.0
    ahead, behind = 0.5 * bracket.length_mm - along, 0.5 * bracket.length_mm + along
    down, up = bracket.pivots_from_bottom_mm, bracket.height_mm - bracket.pivots_from_bottom_mm
    fore, rise, whole = limb.held_fore_N, limb.held_up_N, limb.pivot_N
    far = np.full_like(whole, np.inf)
    sides = ((fore, ahead, behind), (rise, up, down))
    for part, reach in ((np.abs(push), np.where(push > 0.0, here, there)) for push, here, there in sides):
        one = np.full_like(whole, np.inf)
        np.divide(reach * whole, part, out=one, where=part > 0.0)
        far = np.minimum(far, one)
    return far * MM
