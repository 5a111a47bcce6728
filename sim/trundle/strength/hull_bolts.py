"""The bolts that hold a bracket to the hull: shear by force and moment in the plate's plane, tension by what is off it.

Two bolts through each plate, at one height. They share the force; its moment about the middle between them (the pivots
lie lower, and off the middle) is a pair of forces up and down. A stub on one plate pushes off the plate's plane: the
plate tips about its top edge (a pull downwards: about its lower one), and turns about the edge that lies further along,
and the bolts hold it back. Resistance by EN 1993-1-8 table 3.4, threads in the shear plane, elastic shares of the force
(section 3.12), shear and tension together: Fv/Fv,Rd + Ft/1.4 Ft,Rd, and tension
by itself: Ft/Ft,Rd (from memory). Friction of a tightened joint,
prying and bearing in the plate are left out, and what a leaf's seat pushes on the hull with.

A force sideways pulls one plate off the hull: it tips about its top edge, and its two bolts hold all of it. Of two
plates the couple that the arms twist them with is a pair of forces in their planes.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np

from trundle.model.arrays import Floats
from trundle.steel.bolts import UNMARKED, bolt_class, shear_share, thread
from trundle.steel.weld import GAMMA_M2
from trundle.strength.brackets import between_plates_m, hangs_m
from trundle.strength.limbs import Limb, size_of, sum_of
from trundle.strength.stress import Stressed
from trundle.units import MM


def hull_bolts(limbs: Sequence[Limb]) -> Iterator[Stressed]:
    """The bolts of one bracket, which carries all of these limbs."""
    member = limbs[0].member
    build = member.build
    if build is None or build.bracket is None or build.bracket.hull_thread is None or not limbs[0].on_hull:
        return
    bracket = build.bracket
    assert bracket.hull_thread is not None
    assert bracket.hull_bolts_apart_mm is not None
    assert bracket.hull_bolts_from_top_mm is not None
    apart = bracket.hull_bolts_apart_mm * MM
    below = hangs_m(bracket)
    one_side = build.pivot is not None and build.pivot.held == "one side"
    plates = 1 if one_side else 2
    fore, up = sum_of([b.held_fore_N for b in limbs]), sum_of([b.held_up_N for b in limbs])
    turning = sum_of([b.pivot_mm * MM * b.held_up_N + below * b.held_fore_N for b in limbs])
    ahead, upwards, around = np.abs(fore) / plates, np.abs(up) / plates, np.abs(turning) / plates
    tension = np.zeros_like(fore)
    sides = [(b.held_side, b.pivot_mm * MM) for b in limbs if b.held_side is not None]
    if sides and build.pivot is not None:
        edge = bracket.hull_bolts_from_top_mm * MM
        for side, off in sides:
            yaws, rolls = np.abs(side.force_N * side.fore_m), np.abs(side.force_N * side.up_m)
            tips = side.force_N * (below + edge)
            if one_side:
                tips = tips + rolls
                tension = tension + yaws / (0.5 * (apart + bracket.length_mm * MM))
            else:
                wide = between_plates_m(build.pivot, bracket)
                ahead, upwards = ahead + yaws / wide, upwards + rolls / wide
                around = around + (below * yaws + abs(off) * rolls) / wide
            tension = tension + tips / (2.0 * edge)
    shear = size_of(0.5 * ahead, 0.5 * upwards + around / apart)
    if one_side and build.pivot is not None:
        off = (build.pivot.gap_mm + 0.5 * build.pivot.sleeve_mm + 0.5 * bracket.plate_mm) * MM
        top, bottom = bracket.hull_bolts_from_top_mm * MM, (bracket.height_mm - bracket.hull_bolts_from_top_mm) * MM
        lever = np.where(up > 0.0, top, bottom)
        pulls = np.abs(up) * off / (2.0 * lever) + np.abs(fore) * off / (0.5 * (apart + bracket.length_mm * MM))
        tension = tension + pulls
    yield _bolted(limbs, bracket.hull_thread, bracket.hull_grade, shear, tension, plates)


def _bolted(
    limbs: Sequence[Limb], size: str, named: str | None, shear_N: Floats, tension_N: Floats, plates: int
) -> Stressed:
    t = thread(size)
    grade = bolt_class(named or UNMARKED, t.diameter_m)
    shear_limit = shear_share(grade) * grade.tensile_Pa / GAMMA_M2
    tension_limit = 0.9 * grade.tensile_Pa / GAMMA_M2
    sheared, pulled = shear_N / (shear_limit * t.stress_area_m2), tension_N / (tension_limit * t.stress_area_m2)
    used = np.maximum(sheared + pulled / 1.4, pulled)
    notes = [
        f"two through {'each plate' if plates > 1 else 'the plate'}; shear and tension by EN 1993-1-8 table 3.4, "
        "friction of a tightened joint left out"
    ]
    if named is None:
        notes.append("their class is not given (bracket.hull_grade): taken as 4.6")
    elif named == UNMARKED:
        notes.append("an unmarked bolt is taken as class 4.6")
    pushed = max(limbs, key=lambda b: float(np.max(b.pivot_N)))
    end = pushed.loaded_end

    def said(row: int) -> tuple[str, tuple[str, ...]]:
        both = f" and {tension_N[row]:.0f} N tension" if tension_N[row] > 0.0 else ""
        what = "tension" if used[row] > sheared[row] + pulled[row] / 1.4 else "shear and tension" if both else "shear"
        return what, (f"{shear_N[row]:.0f} N shear{both} in one bolt", *notes)

    return Stressed(
        kind="hull bolts",
        name=limbs[0].member.name,
        title=f"hull bolts {size}, {grade.name if named is not None else 'class not given'}",
        stress_Pa=used * shear_limit,
        limit_Pa=shear_limit,
        load_N=size_of(sum_of([b.held_fore_N for b in limbs]), sum_of([b.held_up_N for b in limbs])),
        along_N=pushed.along_N(end),
        across_N=end.up_N,
        at_m=end.at_m,
        said=said,
    )
