"""What the leaf springs say of their stacks: which leaf is bent hardest, what is taken, what fitting does."""

from __future__ import annotations

from trundle.steel.leaf_contact import Sharing


def leaf_name(place: int) -> str:
    """A leaf of a stack by its place, counted from the main leaf, 0, up."""
    return "main leaf" if place == 0 else f"leaf {place + 1}"


def where_bent(shared: Sharing, overhang_mm: float, seat: str) -> str:
    """Where the load bends the stack hardest; empty for a single leaf, which bends most at its seat.

    overhang_mm: from what holds the stack, called `seat`, to the main leaf's end.
    """
    if len(shared.moments) == 1:
        return ""
    out = shared.at[shared.worst] * overhang_mm
    place = f"at {seat}" if out <= 0.05 else f"{out:.0f} mm out from {seat}"
    if len(set(shared.moments)) == 1:
        return f"all leaves, {place}"
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
