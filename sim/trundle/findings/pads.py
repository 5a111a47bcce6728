"""How far the pads of the stops are pressed in a run, of those whose law says how far it is true."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import TYPE_CHECKING

import numpy as np

from trundle.units import DEG, MM

if TYPE_CHECKING:
    from trundle.bogies.parts import SwingPart
    from trundle.findings.readings import Floats
    from trundle.model.assembly import Assembly


def pads_used(assembly: Assembly, column: Callable[[str], Floats]) -> Iterator[tuple[SwingPart, Floats]]:
    """Each arm whose pads have a limit, and over the run how far the one that is met is pressed, over that limit."""
    for part, name in zip(assembly.parts.swings, assembly.joint, strict=True):
        if part.pad.limit is None:
            continue
        angle = column(f"arm.{name}.angle_deg") * DEG
        turned = np.maximum(np.maximum(part.bump - angle, angle - part.droop), 0.0)
        yield part, turned * part.radius * part.pad.lever / (part.pad.limit.most_mm * MM)
