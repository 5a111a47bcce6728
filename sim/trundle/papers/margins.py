"""What is left to yield in the hardest moment of a run: springs, and bolts where the file gives their sizes."""

from __future__ import annotations

import math

import numpy as np

from trundle.findings.record import Record
from trundle.papers.loads import WorstLoads
from trundle.papers.springs import least_margin
from trundle.papers.strength import strength


def run_margins(result: Record) -> dict[str, float | None]:
    """`spring_margin` and `bolt_margin`: yield over the highest stress, of the spring and the bolt with least left.

    Below 1 it takes a set. None where the file names no steel or gives no bolt, so nothing can be said.
    Quasi-static, as on the sheet. Raises InputError where a stated size cannot exist.
    """
    assembly, timeline = result.assembly, result.log
    angles = {j: np.radians(timeline[f"arm.{j}.angle_deg"].to_numpy()) for j in assembly.joint}
    wheels = result.summary["wheels"]
    loads = WorstLoads(
        {n: w["standing_N"] for n, w in wheels.items()}, {n: w["peak_N"] for n, w in wheels.items()}, "the run", True
    )
    checks, _ = strength(assembly, loads)
    bolts = [c.margin for c in checks if "bolt" in c.part]
    return {
        "spring_margin": _known(least_margin(assembly, angles)),
        "bolt_margin": _known(min(bolts, default=math.inf)),
    }


def _known(margin: float) -> float | None:
    return float(margin) if math.isfinite(margin) else None
