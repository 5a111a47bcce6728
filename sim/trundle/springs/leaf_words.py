"""What the leaf springs say of their stacks: which leaf is bent hardest, what is taken, what fitting does."""

from __future__ import annotations

import math

from trundle.springs.figures import Fitted
from trundle.steel.leaf_contact import Sharing
from trundle.steel.materials import Steel


def leaf_name(place: int) -> str:
    """A leaf of a stack by its place, counted from the main leaf, 0, up."""
    return "main leaf" if place == 0 else f"leaf {place + 1}"


def where_bent(shared: Sharing, overhang_mm: float, seat: str) -> str:
    """Where the load bends the stack hardest; empty where all leaves are bent alike, which is at the seat.

    overhang_mm: from what holds the stack, called `seat`, to the main leaf's end.
    """
    if len(set(shared.moments)) == 1:
        return ""
    out = shared.at[shared.worst] * overhang_mm
    place = f"at {seat}" if out <= 0.05 else f"{out:.0f} mm out from {seat}"
    return f"{leaf_name(shared.worst)}, {place}"


def sharing_remarks(shared: Sharing, friction: float) -> tuple[str, ...]:
    """How the leaves of a stack are taken to share the load. friction: what dry friction adds, as a share of it."""
    acting = len(shared.moments)
    found = []
    if acting > 1:
        found.append(
            "the leaves are taken to slide on each other without friction, and to press but not pull (contact of "
            f"beams); their friction adds about {friction:.1%} to the load as it goes up and takes as much off as it "
            "comes down"
        )
    if shared.idle:
        one = leaf_name(acting) if shared.idle == 1 else f"the {shared.idle} shortest leaves"
        found.append(f"{one} {'ends' if shared.idle == 1 else 'end'} inside the seat: no help against the load")
    return tuple(found)


def pressed_flat(stress_Pa: float, of: Steel, radius_mm: float, thickness_mm: float, lower_mm: float) -> Fitted:
    """What a flat clamp does to the main leaf, bent to `radius_mm`, and what takes the stress away.

    lower_mm: how much lower its ends would hang in plates with its curve. The radius and thickness asked for bring it
    down to the limit of a stress that stands; it goes with t / R.
    """
    over = stress_Pa / of.static_limit_Pa
    radius = math.ceil(radius_mm * over / 10.0 - 1e-9) * 10
    thickness = math.floor(thickness_mm / over * 20.0 + 1e-9) / 20.0
    return Fitted(
        stress_Pa,
        f"its flat clamp presses the {leaf_name(0)}, bent to {radius_mm:g} mm, flat",
        'bend it flat where it is clamped (clamp_fit = "bent flat"), or give the clamp plates its curve ("curved"; its '
        f"ends then hang {lower_mm:.0f} mm lower), or bend it to {radius} mm or more, or take leaves of {thickness:g} "
        'mm or thinner, or let it rock on one seat (seat = "point")',
    )
