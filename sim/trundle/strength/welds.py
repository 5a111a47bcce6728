"""The weld of the axle's sleeve: the whole load of one side of the arm on one ring of weld, a first estimate."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from trundle.steel.materials import steel
from trundle.steel.weld import ring_weld_share, weld_strength
from trundle.strength.bolts import off_middle_m
from trundle.strength.limbs import Limb
from trundle.strength.stress import Stressed
from trundle.units import MM


def sleeve_welds(limb: Limb) -> Iterator[Stressed]:
    """The ring of weld at each axle; round, so it bears a force alike wherever it points."""
    build = limb.member.build
    if build is None or build.weld is None or not limb.member.carries_axle:
        return
    weld, axle = build.weld, build.axle
    share = 1.0 / limb.wheel.abreast if axle is not None and axle.held == "between wheels" else 1.0
    # The weld lies at the arm's side, however far the sleeve sticks out of it.
    fills = axle.wheels_apart_mm if axle is not None and axle.held == "between wheels" else 0.0
    across = build.arm.width_mm if build.arm is not None else fills
    reach = max(off_middle_m(build, limb.wheel) - 0.5 * across * MM, 0.0)
    of = steel(build.arm.steel if build.arm else "unknown mild steel")
    ring, throat = weld.sleeve_mm * MM, weld.throat_mm * MM
    used = ring_weld_share(ring, throat, 1.0, reach, 0.0, of)
    sheared, bent = (ring_weld_share(ring, throat, n, m, 0.0, of) for n, m in ((1.0, 0.0), (0.0, 1.0)))
    limit = weld_strength(of)
    notes = ["first estimate: all of it on one ring of weld (EN 1993-1-8, simplified method)"]
    if axle is None:
        notes.append("axle not given: bending of the sleeve left out")
    told = "stress of its throat", tuple(notes)
    for end in limb.ends:
        load = share * end.force_N
        whole = load * used
        if (side := end.side) is not None:
            pushed = (1.0 if side.one_wheel else share) * side.force_N
            whole = np.hypot(sheared * (load + pushed), bent * (load * reach + pushed * side.below_m))
        yield Stressed(
            kind="weld",
            name=end.name,
            title=f"weld of the axle sleeve, {weld.throat_mm:g} mm throat",
            stress_Pa=whole * limit,
            limit_Pa=limit,
            load_N=load,
            along_N=limb.along_N(end),
            across_N=end.up_N,
            at_m=end.at_m,
            said=lambda _row: told,
        )
