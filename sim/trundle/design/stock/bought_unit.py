"""Units that are bought ready: a coil round a damper, a gas strut."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from typing import Annotated, Literal

from pydantic import Field, model_validator

from trundle.design.stock.base import Place, StockAtHand, Try
from trundle.design.stock.between import FURTHEST, anchor, seat_for
from trundle.fields.base import PlacedError
from trundle.springs.base import Spring
from trundle.springs.bought_unit import BoughtUnit
from trundle.springs.damper_unit import DamperUnit
from trundle.springs.figures import Figures
from trundle.springs.gas_strut import PRINTED_AT_MM, GasStrut
from trundle.steel.sizes import DAMPERS_N_S_PER_MM
from trundle.units import MM, G

DAMPED = 0.3
"""Share of critical damping that is wanted (usual of sprung vehicles, no source)."""


def stroke_share(spring: Spring, figures: Figures) -> float:
    """Stroke used up, its last millimetres left alone."""
    assert isinstance(spring, BoughtUnit)
    return figures.top_deflection / max(spring.stroke_m - 2.0 * MM, 1e-6)


class SpringAndDamper(StockAtHand):
    """A bought unit of a coil round a damper: one for each arm."""

    kind: Literal["spring and damper"] = "spring and damper"

    rate_N_per_mm: Annotated[float, Field(gt=0, le=10_000)]
    """Rate of its spring, N/mm (a rate of 850 lb/in is 149).

    Usual: 5 to 150.
    Measure: what is printed on the coil; else on a bathroom scale under a drill press.
    """

    free_length_mm: Annotated[float, Field(ge=50, le=1_000)]
    """Eye to eye with nothing on it, mm.

    Measure: rule, from the middle of the one eye to the middle of the other.
    """

    solid_length_mm: Annotated[float, Field(ge=30, le=1_000)]
    """Eye to eye pressed in as far as it goes, mm."""

    preload_N: Annotated[float, Field(ge=0, le=20_000)] = 0.0
    """Force at which it begins to shorten, N. Left out: none."""

    @model_validator(mode="after")
    def _has_a_stroke(self) -> SpringAndDamper:
        if self.solid_length_mm > self.free_length_mm - 10.0:
            raise PlacedError(
                f"solid_length_mm {self.solid_length_mm:g} leaves no stroke of {self.free_length_mm:g} mm free",
                "solid_length_mm",
                allowed=f"up to {self.free_length_mm - 10.0:g}",
            )
        return self

    def tries(self, place: Place) -> Iterator[Try]:
        """The eye where the lever gives the wanted rate, on a bolt through the arm; its damper is one that fits."""
        at = seat_for(self.rate_N_per_mm, place)
        lever = at / place.arm_mm
        mass = place.load_N / G
        # Critical damping at the axle, 2 sqrt(k m), through the square of the lever along the unit.
        along = DAMPED * 2.0 * math.sqrt(place.rate_N_per_mm / MM * mass) * MM / lever**2
        size = min(DAMPERS_N_S_PER_MM, key=lambda d: abs(math.log(d / along)))

        def made(pressed: float) -> Spring:
            return DamperUnit(
                rate_N_per_mm=self.rate_N_per_mm,
                free_length_mm=self.free_length_mm,
                solid_length_mm=self.solid_length_mm,
                preload_N=self.preload_N,
                on_arm_mm=at,
                anchor_mm=anchor(at, 0.0, self.free_length_mm - pressed, place.stands_rad),
                damping_bump_N_s_per_mm=size,
            )

        yield Try(made, 0.5, 0.97 * (self.free_length_mm - self.solid_length_mm))

    def share(self, spring: Spring, figures: Figures) -> float:
        """Stroke used up."""
        return stroke_share(spring, figures)

    def others(self) -> Iterator[StockAtHand]:
        """Rates in steps of a quarter; then longer ones."""
        for grow in (1.0, 1.25, 1.6):
            for k in (1.0, 1.25, 0.8, 1.6, 0.63, 2.0, 0.5, 2.5, 0.4, 3.2, 0.32, 4.0, 0.25):
                if grow * k != 1.0:
                    yield self.model_copy(
                        update={
                            "rate_N_per_mm": float(f"{self.rate_N_per_mm * k:.2g}"),
                            "free_length_mm": round(self.free_length_mm * grow),
                            "solid_length_mm": round(self.solid_length_mm * grow),
                        }
                    )

    def words(self) -> str:
        """`spring and damper of 30 N/mm, 250 mm free, 190 mm pressed in`."""
        return (
            f"spring and damper of {self.rate_N_per_mm:g} N/mm, {self.free_length_mm:g} mm free, "
            f"{self.solid_length_mm:g} mm pressed in"
        )

    def guesses(self) -> dict[str, str]:
        """Its damping."""
        return {"damping_bump_N_s_per_mm": "0.3 of critical; your unit's own is not known"}


class GasStrutAtHand(StockAtHand):
    """A bought gas strut: one for each arm."""

    kind: Literal["gas strut"] = "gas strut"

    force_N: Annotated[float, Field(gt=0, le=10_000)]
    """Force printed on the tube, N.

    Usual: 100 to 1200.
    Measure: read it off the tube; else press it on a bathroom scale, rod down: kilograms times 9.8.
    """

    progression: Annotated[float, Field(gt=1.02, le=3)] = 1.35
    """Force pressed in over force drawn out. Left out: 1.35.

    Usual: 1.2 to 1.5.
    """

    stroke_mm: Annotated[float, Field(ge=25, le=1_000)]
    """How far the rod goes in, mm."""

    extended_length_mm: Annotated[float, Field(ge=60, le=2_500)]
    """Eye to eye with the rod fully out, mm."""

    @model_validator(mode="after")
    def _has_a_tube(self) -> GasStrutAtHand:
        if self.extended_length_mm <= 2.0 * self.stroke_mm:
            raise PlacedError(
                f"extended_length_mm {self.extended_length_mm:g} leaves no tube for a stroke of {self.stroke_mm:g} mm",
                "extended_length_mm",
                allowed=f"above {2.0 * self.stroke_mm:g}",
            )
        return self

    def _force_N(self, pressed_mm: float) -> float:
        rise = (1.0 - 1.0 / self.progression) / (self.stroke_mm - 2.0 * PRINTED_AT_MM)
        return self.force_N / (1.0 - (pressed_mm - PRINTED_AT_MM) * rise)

    def tries(self, place: Place) -> Iterator[Try]:
        """Square to the arm where it is weak for its load; else leaning back over the pivot, so that its lever grows as
        the arm rises: a gas strut's own force hardly does."""
        for share in (0.4, 0.5, 0.3, 0.6):
            pressed = share * self.stroke_mm
            long, force = self.extended_length_mm - pressed, self._force_N(pressed)
            if 0.4 * FURTHEST < place.load_N / force < 1.15 * FURTHEST:
                yield Try(self._square(place, long), 0.1 * place.arm_mm, 0.97 * place.arm_mm, 0.2 * abs(share - 0.4))
            for on in (0.9, 0.7):
                yield Try(self._leaning(place, long, round(on * place.arm_mm)), 3.0, 75.0, 0.1 + 0.2 * abs(share - 0.4))

    def _square(self, place: Place, long_mm: float) -> Callable[[float], Spring]:
        """Set by its place on the arm [mm]."""

        def made(at: float) -> Spring:
            on = round(at, 1)
            return self._strut(on, anchor(on, place.top_mm, long_mm, place.stands_rad), place.top_mm)

        return made

    def _leaning(self, place: Place, long_mm: float, on_arm_mm: float) -> Callable[[float], Spring]:
        """Set by its angle to the arm [deg]."""

        def made(lean_deg: float) -> Spring:
            # Backwards along the arm, upwards by the lean.
            turn = math.pi - place.stands_rad - math.radians(lean_deg)
            x = on_arm_mm * math.cos(place.stands_rad) + long_mm * math.cos(turn)
            y = -on_arm_mm * math.sin(place.stands_rad) + long_mm * math.sin(turn)
            return self._strut(on_arm_mm, (round(x, 1), round(y, 1)), 0.0)

        return made

    def _strut(self, on_arm_mm: float, anchor_mm: tuple[float, float], above_mm: float) -> Spring:
        return GasStrut(
            force_N=self.force_N,
            progression=self.progression,
            stroke_mm=self.stroke_mm,
            extended_length_mm=self.extended_length_mm,
            on_arm_mm=on_arm_mm,
            anchor_mm=anchor_mm,
            above_arm_mm=above_mm,
        )

    def share(self, spring: Spring, figures: Figures) -> float:
        """Stroke used up."""
        return stroke_share(spring, figures)

    def others(self) -> Iterator[StockAtHand]:
        """Forces in steps of a quarter."""
        for k in (1.25, 0.8, 1.6, 0.63, 2.0, 0.5, 2.5, 0.4, 3.2, 0.32, 4.0, 0.25, 5.0, 6.3):
            force = self.force_N * k
            sold = float(round(force / 10.0) * 10 if force > 50.0 else round(force))
            if sold > 0.0:
                yield self.model_copy(update={"force_N": sold})

    def words(self) -> str:
        """`gas strut of 400 N, stroke 100 mm, 285 mm out`."""
        return f"gas strut of {self.force_N:g} N, stroke {self.stroke_mm:g} mm, {self.extended_length_mm:g} mm out"

    def guesses(self) -> dict[str, str]:
        """Its progression, if nobody gave it."""
        return {} if "progression" in self.model_fields_set else {"progression": "most struts have about this"}
