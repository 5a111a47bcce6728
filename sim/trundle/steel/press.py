"""Bending a strip in a press: two supports, a nose or former in the middle, one press after another along the strip.

The strip is elastic, then perfectly plastic, as in `rebend`: no hardening. Its moment falls from the middle to nought
at the supports; where it passes M_y = Y b t^2/6 the curvature is k_y / sqrt(3 - 2 M/M_y) (k_y = 2Y/(E t); any text on
plastic bending), up to the fully plastic M = Y b t^2/4, where it would have no limit: the nose gives it one. From there
on the strip lies against the nose over a growing length, and the force has a shorter lever. Slopes are taken small: at
14 deg of slope the true stroke is 5 % more and the true force 9 % less.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from trundle.errors import InputError, Problem
from trundle.roots import bracketed
from trundle.steel.materials import E_STEEL
from trundle.units import MM

LEAST_SPAN = 8.0
"""Thicknesses of the strip that the supports are apart at least: closer, they dent it (opening of a die, common
practice, no source)."""

MOST_WRAP = 0.8
"""Share of the span over which a strip may lie against the nose: beyond, the force has hardly any lever left."""

EASY_WRAP = 0.5
"""Share of the span up to which that is no trouble: the force is twice that of the hinge then."""

STEP_M = 10.0 * MM
"""Supports are put so many metres further apart, when a span is sought."""


@dataclass(frozen=True)
class Strip:
    """A flat strip. width_m, thickness_m [m]; yield_Pa, E_Pa [Pa]."""

    width_m: float
    thickness_m: float
    yield_Pa: float
    E_Pa: float = E_STEEL

    @property
    def first_Nm(self) -> float:
        """Moment at which its skin begins to yield, Y b t^2/6 [N.m]."""
        return self.yield_Pa * self.width_m * self.thickness_m**2 / 6.0

    @property
    def hinge_Nm(self) -> float:
        """Moment at which it is plastic through and through, Y b t^2/4 [N.m]."""
        return 1.5 * self.first_Nm

    @property
    def first_per_m(self) -> float:
        """Curvature at which its skin begins to yield, 2 Y/(E t) [1/m]."""
        return 2.0 * self.yield_Pa / (self.E_Pa * self.thickness_m)

    def moment_Nm(self, curvature_per_m: float) -> float:
        """Moment that holds it at a curvature [N.m]."""
        share = curvature_per_m / self.first_per_m
        return self.first_Nm * (share if share <= 1.0 else 1.5 - 0.5 / share**2)


@dataclass(frozen=True)
class Press:
    """One press. begins_N: force once the hinge is plastic, 4 M / span; force_N: at the end of the stroke [N].

    stroke_m: how far the middle goes down between the supports; stays_m: how much of that is left when let go, over the
    same span [m]. angle_rad: by which it is left bent. wrap_m: length that lay against the nose; tightest_m: radius
    to which it was bent at the middle of its thickness [m].
    """

    begins_N: float
    force_N: float
    stroke_m: float
    stays_m: float
    angle_rad: float
    wrap_m: float
    tightest_m: float


def hinge_force(strip: Strip, span_m: float) -> float:
    """Force in the middle of a span that makes the strip plastic through and through there, 4 M / L [N]."""
    return 4.0 * strip.hinge_Nm / span_m


def _tail(strip: Strip, lever_m: float, m: float) -> tuple[float, float, float, float]:
    """One side of the press, from the nose to the support, its moment at the nose `m` times M_y.

    (angle, deflection at the support seen from the nose) under load, and how much of either comes back [rad, m].
    """
    k, u = strip.first_per_m * lever_m, math.sqrt(max(3.0 - 2.0 * m, 0.0))
    back, back_down = k * m / 2.0, k * lever_m * m / 3.0
    if m <= 1.0:
        return back, back_down, back, back_down
    angle = k / m * (1.5 - u)
    down = k * lever_m / m**2 * (1.0 / 3.0 + 4.0 / 3.0 - (3.0 * u - u**3 / 3.0) / 2.0)
    return angle, down, back, back_down


def one_press(strip: Strip, span_m: float, nose_m: float, left_rad: float) -> Press:
    """What leaves the strip bent by `left_rad` in all at one place.

    span_m: between the supports. nose_m: radius of the face that presses [m]. Raises InputError where that nose
    cannot on that span.
    """
    half, wanted = span_m / 2.0, left_rad / 2.0
    tight = 1.0 / (nose_m + strip.thickness_m / 2.0)
    most = strip.moment_Nm(tight) / strip.first_Nm

    def left(m: float) -> float:
        angle, _, back, _ = _tail(strip, half, m)
        return angle - back

    if left(most) >= wanted:
        m, wrap = bracketed(lambda at: left(at) - wanted, 1.0, most), 0.0
    else:
        m = most
        each = left(m) / half
        own = tight - strip.first_per_m * m
        wrap = (wanted - left(m)) / (own - each) if own > each else math.inf
        if wrap > MOST_WRAP * half:
            raise InputError(
                Problem(
                    f"on supports {span_m / MM:.0f} mm apart one press over a radius of {nose_m / MM:.0f} mm cannot "
                    f"leave it bent by {math.degrees(left_rad):.1f} deg",
                    argument="span_mm",
                    allowed="supports further apart, a tighter nose or more presses",
                )
            )
    lever = half - wrap
    angle, down, back, back_down = _tail(strip, lever, m)
    arm = wrap * (half - wrap / 2.0)
    stroke = down + tight * arm
    back_all = back_down + strip.first_per_m * m * arm
    return Press(
        hinge_force(strip, span_m),
        2.0 * m * strip.first_Nm / lever,
        stroke,
        stroke - back_all,
        2.0 * (angle - back + wrap * (tight - strip.first_per_m * m)),
        2.0 * wrap,
        1.0 / min(tight, strip.first_per_m / math.sqrt(max(3.0 - 2.0 * m, 1e-12))),
    )


def spacing_within(radius_m: float, within_m: float) -> float:
    """How far apart presses may be so that the corners they make stay so near a curve, sqrt(8 R e) [m].

    An arc of length s rises s^2/8R over its chord, and the tangents at its ends meet as far outside.
    """
    return math.sqrt(8.0 * radius_m * within_m)


def suited_span(
    strip: Strip,
    nose_m: float,
    left_rad: float,
    longest_m: float,
    press_N: float = math.inf,
    least_radius_m: float = 0.0,
) -> float | None:
    """Distance of the supports [m], in steps of STEP_M: as short as leaves the angle with the strip against the nose
    over EASY_WRAP of it at most and nowhere bent tighter than `least_radius_m`, and as the press has force for; half of
    it cannot be bent at either end. None where none up to `longest_m` does.
    """
    span = math.ceil(LEAST_SPAN * strip.thickness_m / STEP_M - 1e-9) * STEP_M
    while span <= longest_m + 1e-9:
        try:
            press = one_press(strip, span, nose_m, left_rad)
        except InputError:
            press = None
        easy = press is not None and press.wrap_m <= EASY_WRAP * span and press.tightest_m >= least_radius_m
        if easy and press is not None and press.force_N <= press_N:
            return span
        span += STEP_M
    return None
