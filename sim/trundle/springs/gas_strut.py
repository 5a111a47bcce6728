"""A bought gas strut between an eye on the arm and an eye on the hull.

F = F1 / (1 - (x / s) (1 - 1/K)): a closed volume of gas pressed together isothermally (Boyle's law). x: how far the rod
is in, s: the stroke, both counted between the two places where the trade measures; K: force at the second over force at
the first. The gas of a fast stroke presses harder, by up to K^0.4 (adiabatic, nitrogen); that is left out.
"""

from __future__ import annotations

import math
from typing import Annotated, ClassVar, Literal

import numpy as np
from pydantic import Field, model_validator

from trundle.fields.base import PlacedError
from trundle.fields.shape import Shape
from trundle.fields.sketch import Around, Note, Sketch, Span
from trundle.fields.step import Kept, Times
from trundle.fields.stock import SpanMm
from trundle.springs.answers import Pose, StockRow
from trundle.springs.bought_unit import BoughtUnit
from trundle.springs.laws import Floats, Mount
from trundle.units import MM

PRINTED_AT_MM = 5.0
"""The printed force is measured this far from full extension, the end of the progression as far from full
compression, mm (common practice of the trade, no source)."""


class GasStrut(BoughtUnit):
    """A bought gas strut, which pushes harder the further its rod is in, as a closed volume of gas does (Boyle's law).
    At 20 degC; a fast stroke, whose gas has no time to cool, presses harder than this.

    Also called: gas spring, gas shock, bonnet strut, tailgate strut, lift support
    """

    EXAMPLE: ClassVar[str] = (
        'kind = "gas strut"\non_arm_mm = 110\nanchor_mm = [70, 190]\nabove_arm_mm = 10\nforce_N = 500\n'
        "progression = 1.4\nstroke_mm = 80\nextended_length_mm = 245\nfriction_N = 20\n"
    )

    kind: Literal["gas strut"] = "gas strut"

    force_N: Annotated[float, Field(gt=0, le=10_000), Times(1.25)]
    """Force printed on the tube (P1 or F1): as it comes out, 5 mm from full extension, N.

    Usual: 200 to 1000.
    Measure: the label (800N, or 0800); or press it on to a bathroom scale by 5 mm and let it come out: kilograms x
    9.81.
    If wrong: the hull sinks to its stops or stands on them: it has to fit the load within a tenth.
    Also called: P1, F1, newton rating
    """

    progression: Annotated[float, Field(gt=1, le=5), Kept("comes with the unit that is bought")]
    """Force 5 mm before it is fully in, over the printed force (K or x), without unit.

    Usual: 1.2 to 1.6.
    Measure: press it nearly home on a bathroom scale and divide by the printed force.
    If wrong: the last of the travel is softer or harder than it is told.
    Also called: K factor, progressivity, P2/P1
    """

    stroke_mm: Annotated[SpanMm, Kept("comes with the unit that is bought")]
    """How far the rod goes in, from fully out to fully in, mm.

    Usual: 60 to 200.
    Measure: pull it out and rule the bright rod, up to the tube.
    If wrong: the vehicle is refused that would fit, or the strut goes solid before the bump stop.
    """

    extended_length_mm: Annotated[SpanMm, Kept("comes with the unit that is bought")]
    """From middle to middle of its eyes with the rod fully out, mm.

    Usual: twice the stroke and 40 to 80.
    Measure: rule from eye to eye, or label: stroke and length stand behind the force.
    If wrong: the hull stands higher or lower by the difference times the arm's leverage.
    Also called: open length, extended length, eye to eye
    """

    @model_validator(mode="after")
    def _makes_a_strut(self) -> GasStrut:
        if self.stroke_mm < 4.0 * PRINTED_AT_MM:
            raise PlacedError(
                f"stroke_mm {self.stroke_mm:g} is too short to measure a progression over",
                "stroke_mm",
                allowed=f"{4.0 * PRINTED_AT_MM:g} or more",
            )
        if self.extended_length_mm <= 2.0 * self.stroke_mm:
            raise PlacedError(
                f"extended_length_mm {self.extended_length_mm:g} leaves no tube for a stroke of {self.stroke_mm:g} mm",
                "extended_length_mm",
                allowed=f"more than {2 * self.stroke_mm:g}",
            )
        return self

    @property
    def longest_m(self) -> float:
        """Eye to eye, fully out [m]."""
        return self.extended_length_mm * MM

    @property
    def shortest_m(self) -> float:
        """Eye to eye, fully in [m]."""
        return (self.extended_length_mm - self.stroke_mm) * MM

    @property
    def _rise_per_m(self) -> float:
        """Share of the gas that a metre of rod takes up [1/m], counted from where the printed force is measured."""
        return (1.0 - 1.0 / self.progression) / ((self.stroke_mm - 2.0 * PRINTED_AT_MM) * MM)

    def force_at(self, pressed_m: Floats) -> Floats:
        """Between pressing in and coming out: the gas, and the friction that the printed force is short of [N]."""
        gas = self.force_N / (1.0 - (pressed_m - PRINTED_AT_MM * MM) * self._rise_per_m)
        return np.asarray(gas + self.friction_N)

    def work_J(self, pressed_m: float) -> float:
        """The logarithm of what is left of the gas, and the friction's part [J]."""
        rise = self._rise_per_m
        left = 1.0 - (pressed_m - PRINTED_AT_MM * MM) * rise
        return self.force_N / rise * math.log((1.0 + PRINTED_AT_MM * MM * rise) / left) + self.friction_N * pressed_m

    def unranked(self) -> frozenset[str]:
        """Its friction counts: the printed force is short of it."""
        return super().unranked() - {"friction_N"}

    def stock(self) -> tuple[StockRow, ...]:
        """As it is asked for at the counter."""
        asked = f"{self.force_N:g} N (P1), progression {self.progression:g}, stroke {self.stroke_mm:g}"
        return (StockRow("gas strut", 1, self.extended_length_mm, asked=asked, measured="eye to eye, out"),)

    def remarks(self, mount: Mount) -> tuple[str, ...]:
        """What changes its force, and how it is mounted."""
        return (
            *super().remarks(mount),
            "a gas strut's force is for 20 degC; it changes by 0.34 % a degree (gas law), and a fast stroke presses "
            "harder than these figures",
            "mount a gas strut rod down, so that its oil wets the seal (common practice, no source)",
        )

    def shapes(self, pose: Pose) -> tuple[Shape, ...]:
        """The tube on the hull, the rod on the arm."""
        return *self._tube_and_rod(pose, self.extended_length_mm - self.stroke_mm, 20.0), *self._eyes(pose)

    def sketches(self, around: Around) -> tuple[Sketch, ...]:
        """On its arm, by itself out and in, its law."""
        out, home, under = self.longest_m / MM, self.shortest_m / MM, -70.0
        marks = (
            Span("extended_length_mm", (0.0, 0.0), (out, 0.0), "x"),
            Span("stroke_mm", (out, under), (home, under), "x"),
            *self.own_marks(),
        )
        shapes = (*self._lying(self.longest_m, 0.0), *self._lying(self.shortest_m, under))
        law, first = self.law_curve(), PRINTED_AT_MM / self.stroke_mm
        forces = (Note("force_N", law.on(first)), Note("progression", law.on(1.0 - first)))
        return (
            self.arm_sketch(around),
            Sketch("fully out, fully in", "side", shapes, marks),
            Sketch("force over how far the rod is in", "curve", law.shapes(), forces),
        )
