"""A quick run over the kerb that is wanted."""

from __future__ import annotations

from dataclasses import dataclass

from trundle.findings.grades import Grade
from trundle.result.limits.courses import kerb_course
from trundle.result.limits.why import passed, why_not
from trundle.result.run import run
from trundle.spec.vehicle import Vehicle


@dataclass(frozen=True)
class OverKerb:
    """One run over a kerb at its own speed. why: what stopped it, if it does not get up; least, part: the least margin
    of any part, None if none is known, and which; harms: the worst that was found, a risk or worse, in words."""

    kerb_mm: float
    climbs: bool
    why: str
    least: float | None
    part: str
    harms: tuple[str, ...]


SHIPPED_MM = (50.0, 100.0, 150.0)
"""Heights of the kerbs among the courses that come with Trundle: `kerb-50` and so on."""


def course_words(kerb_mm: float) -> str:
    """What is typed after `trundle run FILE` for a kerb of this height: a shipped course, the nearest above, and its
    height set where that is another."""
    if kerb_mm <= 0.0:
        return "ripples"
    near = next((shipped for shipped in SHIPPED_MM if shipped >= kerb_mm - 1e-6), SHIPPED_MM[-1])
    same = abs(near - kerb_mm) < 0.05
    return f"kerb-{near:g}" + ("" if same else f" --set obstacle.1.height_mm={round(kerb_mm, 1):g}")


def over_kerb(vehicle: Vehicle, kerb_mm: float) -> OverKerb:
    """Rolled once over an upright, sharp kerb. Raises InputError as `run`."""
    result = run(vehicle, kerb_course(vehicle, None, kerb_mm), near=1)
    climbs = passed(result)
    least = result.summary.get("least_margin")
    harms = tuple(f.text for f in result.verdict.findings if f.grade >= Grade.RISK)
    return OverKerb(
        kerb_mm,
        climbs,
        "" if climbs else why_not(result),
        None if least is None else float(least),
        str(result.summary.get("least_margin_part") or ""),
        harms[:3],
    )
