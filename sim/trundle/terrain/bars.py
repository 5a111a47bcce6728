"""Sleepers and logs: loose timber lying across the course."""

from __future__ import annotations

import math
from typing import Annotated, ClassVar, Literal

import numpy as np
from pydantic import Field, model_validator

from trundle.fields.base import PlacedError
from trundle.fields.shape import Shape, disc
from trundle.fields.sketch import Mark, Note, Round, Span
from trundle.terrain.base import EDGE_M, Count, Floats, HeightMm, LevelObstacle, RunMm, cap, within
from trundle.units import MM


class Sleepers(LevelObstacle):
    """Square-cut bars, equally spaced, lying on the ground.

    Also called: railway sleepers, railroad ties, planks, beams, cattle grid
    """

    EXAMPLE: ClassVar[str] = 'kind = "sleepers"\nheight_mm = 80\nwidth_mm = 200\npitch_mm = 700\ncount = 3\n'

    kind: Literal["sleepers"]
    height_mm: HeightMm
    """Of each bar, from the ground to its top, mm.

    Usual: 50 to 150.
    Measure: rule beside the bar, or a level across two and a rule down.
    If wrong: the blow goes with it.
    """

    width_mm: RunMm
    """Of each bar along the course, mm.

    Usual: 100 to 250.
    Measure: rule across its top.
    If wrong: on a narrow one a wheel turns, on a wide one it lands.
    """

    pitch_mm: RunMm
    """From the front of one bar to the front of the next, mm; 20 mm or more wider than a bar.

    Usual: 500 to 800.
    Measure: tape from edge to the same edge of the next; over ten of them, divided by ten.
    If wrong: near the distance of the wheels all of them fall at once: some spacing is the worst.
    Also called: spacing, centres
    """

    count: Count
    """How many bars.

    Usual: 3 to 10.
    Measure: count them.
    If wrong: too few, and a pitching that grows from bar to bar is not seen.
    """

    @model_validator(mode="after")
    def _apart(self) -> Sleepers:
        if self.count > 1 and self.pitch_mm < self.width_mm + 20.0:
            raise PlacedError(
                f"pitch_mm must leave 20 mm or more between bars {self.width_mm:g} mm wide",
                "pitch_mm",
                allowed=f"{self.width_mm + 20:g} mm or more",
            )
        return self

    def length_m(self) -> float:
        """From the front of the first to the back of the last."""
        return ((self.count - 1) * self.pitch_mm + self.width_mm) * MM

    def heights_m(self, x_m: Floats) -> Floats:
        """Full height on a bar, zero between."""
        along = np.mod(x_m + EDGE_M, self.pitch_mm * MM) - EDGE_M
        on_bar = along <= self.width_mm * MM + EDGE_M if self.count > 1 else np.ones_like(x_m, dtype=bool)
        return np.where(on_bar, self.height_mm * MM, 0.0)

    def title(self) -> str:
        """`sleepers 5 x 100 mm`."""
        return f"{'sleeper' if self.count == 1 else f'sleepers {self.count} x'} {self.height_mm:g} mm"

    def marks(self) -> tuple[Mark, ...]:
        """On the first bar, from it to the next, and the last."""
        h, w, p, n = self.height_mm, self.width_mm, self.pitch_mm, self.count
        return (
            Span("height_mm", (0.0, 0.0), (0.0, h), "y"),
            Span("width_mm", (0.0, h), (w, h), "x"),
            Span("pitch_mm", (0.0, 0.0), (p, 0.0), "x") if n > 1 else Note("pitch_mm", (w, 0.5 * h)),
            Note("count", ((n - 1) * p + 0.5 * w, h)),
            Note("kind", (0.5 * w, 0.4 * h)),
        )


class Log(LevelObstacle):
    """A round log lying on the ground, or sunk into it. The heights are its upper side; below its middle it curves back
    in, which heights cannot show, so there it stands upright (a track or wheel cannot reach under it either).

    Also called: tree trunk, pole, pipe, branch
    """

    EXAMPLE: ClassVar[str] = 'kind = "log"\ndiameter_mm = 140\nsunk_mm = 40\n'

    kind: Literal["log"]
    diameter_mm: Annotated[float, Field(ge=20, le=2_000)]
    """Across the log, mm.

    Usual: 80 to 250.
    Measure: tape round it, divided by 3.14.
    If wrong: the blow goes with it.
    """

    sunk_mm: Annotated[float, Field(ge=0, le=2_000)] = 0.0
    """How far its underside lies below the ground, mm; 0: it lies on the ground.

    Usual: a third of the diameter in soft ground.
    Measure: diameter less what stands out, by a level over the top and a rule down to the ground.
    If wrong: what stands out is what counts.
    """

    @model_validator(mode="after")
    def _shows(self) -> Log:
        if self.sunk_mm >= self.diameter_mm:
            raise PlacedError(
                f"sunk_mm must be less than the diameter ({self.diameter_mm:g} mm)",
                "sunk_mm",
                allowed=f"below {self.diameter_mm:g}",
            )
        return self

    def _half_m(self) -> float:
        r, s = self.diameter_mm * MM / 2.0, self.sunk_mm * MM
        return r if s <= r else math.sqrt(r * r - (s - r) ** 2)

    def length_m(self) -> float:
        """As much of its width as lies above the ground."""
        return 2.0 * self._half_m()

    def heights_m(self, x_m: Floats) -> Floats:
        """Top of the circle."""
        r, half = self.diameter_mm * MM / 2.0, self._half_m()
        heights = cap(np.clip(x_m, 0.0, 2.0 * half), half, r - self.sunk_mm * MM, r)
        return np.where(within(x_m, 0.0, 2.0 * half), np.maximum(heights, 0.0), 0.0)

    def title(self) -> str:
        """`log 150 mm`, `log 150 mm sunk 50 mm`."""
        return f"log {self.diameter_mm:g} mm" + (f" sunk {self.sunk_mm:g} mm" if self.sunk_mm else "")

    def marks(self) -> tuple[Mark, ...]:
        """Across it, and down from the ground."""
        r, half, sunk = 0.5 * self.diameter_mm, self._half_m() / MM, self.sunk_mm
        return (
            Round("diameter_mm", (half, r - sunk), r, "diameter", 60.0),
            Span("sunk_mm", (half, 0.0), (half, -sunk), "y") if sunk else Note("sunk_mm", (half, 0.0)),
            Note("kind", (half - 0.5 * r, r - sunk)),
        )

    def in_front(self) -> tuple[Shape, ...]:
        """The log itself, whose lower half heights cannot show."""
        r = 0.5 * self.diameter_mm
        return (disc("spring", self._half_m() / MM, r - self.sunk_mm, r),)
