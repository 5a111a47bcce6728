"""A bought spring-and-damper unit: a coil round a damper, with an eye at each end."""

from __future__ import annotations

from typing import Annotated, ClassVar, Literal

import numpy as np
from pydantic import Field, model_validator

from trundle.fields.base import PlacedError
from trundle.fields.shape import Shape, line
from trundle.fields.sketch import Around, Note, Sketch, Span
from trundle.fields.step import By, Kept, Times
from trundle.fields.stock import SpanMm
from trundle.springs.answers import Pose, StockRow
from trundle.springs.bought_unit import BoughtUnit
from trundle.springs.laws import Floats
from trundle.units import MM, N_PER_MM


class DamperUnit(BoughtUnit):
    """A bought coil round a damper, with an eye at each end: force = preload + rate x (free length - length), its
    damper along the same line. Out at its free length the damper holds it together against its preload; in, it is
    solid. Between the stops the arm may ask for neither.

    Also called: shock, shock absorber, coilover, strut, scooter shock, mountain bike shock, spring damper unit
    """

    EXAMPLE: ClassVar[str] = (
        'kind = "spring and damper"\non_arm_mm = 110\nanchor_mm = [70, 165]\nabove_arm_mm = 10\nrate_N_per_mm = 18\n'
        "free_length_mm = 220\nsolid_length_mm = 160\npreload_N = 100\ndamping_bump_N_s_per_mm = 0.5\n"
        "damping_droop_N_s_per_mm = 1.2\n"
    )

    kind: Literal["spring and damper"] = "spring and damper"

    rate_N_per_mm: Annotated[float, Field(gt=0, le=10_000), Times(1.25)]
    """Force that shortens the unit by one millimetre, along it, N/mm.

    Usual: 15 to 80; what stands on the coil, as 350 in lb/in, x 0.175.
    Measure: on a bathroom scale under a drill press: kilograms more for 10 mm more, x 0.98.
    If wrong: ride height and heave are wrong with it: twice the rate is half the sag.
    Also called: spring rate, spring constant, stiffness
    """

    free_length_mm: Annotated[SpanMm, Kept("comes with the unit that is bought")]
    """From middle to middle of its eyes, nothing on it, mm.

    Usual: 190 to 330.
    Measure: rule from eye to eye, lying on the bench.
    If wrong: the hull stands higher or lower by the difference times the arm's leverage.
    Also called: eye to eye, open length
    """

    solid_length_mm: Annotated[SpanMm, Kept("comes with the unit that is bought")]
    """From middle to middle of its eyes pressed solid, or on to its own bump rubber, mm.

    Usual: free length less 40 to 70.
    Measure: coil off, push the rod home; or free length less the bright rod that can go in, less the bump rubber.
    If wrong: it goes solid before the bump stop, and a hard blow bends its rod or the arm.
    Also called: closed length, bottomed length
    """

    preload_N: Annotated[float, Field(ge=0, le=100_000), By(50, least=0)] = 0.0
    """Force at which it begins to shorten: the collar presses the spring together against the damper's end, N.

    Usual: 0 to 200.
    Measure: turns of the collar x thread pitch x rate; or press on a bathroom scale until it just gives, kilograms x
    9.81.
    If wrong: the hull stands too high or too low by the difference / rate, times the arm's leverage.
    Also called: collar, preload collar, spring preload
    """

    @model_validator(mode="after")
    def _has_a_stroke(self) -> DamperUnit:
        if self.solid_length_mm >= self.free_length_mm:
            raise PlacedError(
                f"solid_length_mm {self.solid_length_mm:g} leaves no stroke of {self.free_length_mm:g} mm free",
                "solid_length_mm",
                allowed=f"below {self.free_length_mm:g}",
            )
        return self

    @property
    def longest_m(self) -> float:
        """Its free length [m]."""
        return self.free_length_mm * MM

    @property
    def shortest_m(self) -> float:
        """Its solid length [m]."""
        return self.solid_length_mm * MM

    def force_at(self, pressed_m: Floats) -> Floats:
        """The preload and the spring [N]."""
        return np.asarray(self.preload_N + self.rate_N_per_mm * N_PER_MM * pressed_m)

    def work_J(self, pressed_m: float) -> float:
        """The preload's and the spring's [J]."""
        return self.preload_N * pressed_m + 0.5 * self.rate_N_per_mm * N_PER_MM * pressed_m**2

    def stock(self) -> tuple[StockRow, ...]:
        """As it is asked for at the counter."""
        preload = f", preload {self.preload_N:g} N" if self.preload_N else ""
        asked = f"{self.rate_N_per_mm:g} N/mm{preload}, solid at {self.solid_length_mm:g}, eyes {self.eye_mm:g}"
        return (StockRow("spring and damper", 1, self.free_length_mm, asked=asked, measured="eye to eye, free"),)

    def shapes(self, pose: Pose) -> tuple[Shape, ...]:
        """The damper's tube on the hull and its rod on the arm, and the coil round both."""
        low, high = self._seats_mm(pose)
        tube = self._tube_and_rod(pose, 0.6 * self.solid_length_mm, 18.0)
        along = (high - low) / max(float(np.hypot(*(high - low))), 1e-6)
        across = 20.0 * np.array([-along[1], along[0]])
        t = np.linspace(0.12, 0.88, 19)[:, None]
        swing = np.where(np.arange(19) % 2 == 0, -1.0, 1.0)[:, None]
        return *tube, line("spring", low + t * (high - low) + swing * across, 6.0), *self._eyes(pose)

    def sketches(self, around: Around) -> tuple[Sketch, ...]:
        """On its arm, by itself free and solid, its law."""
        free, solid, under = self.free_length_mm, self.solid_length_mm, -90.0
        marks = (
            Span("free_length_mm", (0.0, 0.0), (free, 0.0), "x"),
            Span("solid_length_mm", (0.0, under), (solid, under), "x"),
            *self.own_marks(),
        )
        shapes = (*self._lying(self.longest_m, 0.0), *self._lying(self.shortest_m, under))
        law = self.law_curve()
        forces = (Note("preload_N", law.on(0.0)), Note("rate_N_per_mm", law.on(0.6)))
        return (
            self.arm_sketch(around),
            Sketch("free, and pressed solid", "side", shapes, marks),
            Sketch("force over how far it is pressed", "curve", law.shapes(), forces),
        )
