"""Kerbs and steps: the ground is higher or lower behind them than before."""

from __future__ import annotations

from abc import abstractmethod
from typing import ClassVar, Literal

import numpy as np
from pydantic import model_validator

from trundle.fields.base import PlacedError
from trundle.fields.sketch import XY, Mark, Note, Round, Span
from trundle.terrain.base import EDGE_M, Count, FaceMm, Floats, HeightMm, Obstacle, RunMm, cap
from trundle.units import MM


class _Kerb(Obstacle):
    """A kerb stone: a face, upright, battered or with a rounded top edge, and the stone's flat top."""

    height_mm: HeightMm
    """From the lower ground to the upper, mm.

    Usual: 50 at a driveway, 100 to 125 along a road.
    Measure: spirit level on the top, out over the lower ground, rule down from it.
    If wrong: the blow goes with it; higher than the nose's axle hardly anything climbs it.
    Also called: step height, upstand
    """

    edge_radius_mm: FaceMm = 0.0
    """Radius of the rounded top edge (bullnose), mm, at most the height; 0: a sharp edge.

    Usual: 0 to 25.
    Measure: coins or sockets held to the edge until one fits: half its diameter.
    If wrong: a sharp edge hits harder and grips better.
    Also called: bullnose, chamfer
    """

    batter_mm: FaceMm = 0.0
    """How far the top edge lies behind the foot of the face, along the course, mm; 0: an upright face.

    Usual: 0 to 20.
    Measure: level held upright against the foot, rule from it to the top edge.
    If wrong: an upright face stops what a leaning one lets climb.
    Also called: lean, draft
    """

    stone_mm: RunMm = 125.0
    """Width of the stone along the course, its face counted, mm: the part that the verdict calls the kerb.

    Usual: 125.
    Measure: rule across its top.
    If wrong: only what is told of the kerb and what of the ground behind it.
    """

    @model_validator(mode="after")
    def _one_face(self) -> _Kerb:
        if self.edge_radius_mm and self.batter_mm:
            raise PlacedError(
                "edge_radius_mm and batter_mm are both given; a kerb has one or the other",
                "batter_mm",
                allowed="one of them",
            )
        if self.edge_radius_mm > self.height_mm:
            raise PlacedError(
                f"edge_radius_mm is more than the height ({self.height_mm:g} mm)",
                "edge_radius_mm",
                allowed=f"up to {self.height_mm:g}",
            )
        return self

    def length_m(self) -> float:
        """The stone, and never less than its face."""
        return max(self.stone_mm, self.edge_radius_mm, self.batter_mm) * MM

    def _climb_m(self, x_m: Floats) -> Floats:
        """Height of the face and the stone [m], met from the lower side, shape (n,)."""
        h, r, b = self.height_mm * MM, self.edge_radius_mm * MM, self.batter_mm * MM
        if r:
            return np.where(x_m < r, cap(np.minimum(x_m, r), r, h - r, r), h)
        if b:
            return np.asarray(h * np.clip(x_m / b, 0.0, 1.0), dtype=np.float64)
        return np.full_like(x_m, h)

    @abstractmethod
    def _there_mm(self, x_mm: float, y_mm: float) -> XY:
        """Where a place of the stone lies that is met from the lower side [mm]."""

    def marks(self) -> tuple[Mark, ...]:
        """At the face and on the stone."""
        h, r, b, there = self.height_mm, self.edge_radius_mm, self.batter_mm, self._there_mm
        face = r or b
        return (
            Span("height_mm", there(0.0, 0.0), there(face, h), "y"),
            Round(
                "edge_radius_mm",
                there(r, h - r),
                r,
                "radius",
                135.0 if there(1.0, 0.0)[0] > there(0.0, 0.0)[0] else 45.0,
            )
            if r
            else Note("edge_radius_mm", there(face, h)),
            Span("batter_mm", there(0.0, 0.0), there(b, h), "x") if b else Note("batter_mm", there(0.0, 0.4 * h)),
            Span("stone_mm", there(0.0, h), there(self.length_m() / MM, h), "x"),
            Note("kind", there(0.7 * self.length_m() / MM, 0.6 * h)),
        )


class KerbUp(_Kerb):
    """A kerb to climb: a face, upright, battered or with a rounded edge, and the stone's flat top.

    Also called: curb, pavement edge, sidewalk, kerbstone
    """

    EXAMPLE: ClassVar[str] = 'kind = "kerb up"\nheight_mm = 100\nedge_radius_mm = 20\n'

    kind: Literal["kerb up"]

    def heights_m(self, x_m: Floats) -> Floats:
        """The face starts at 0."""
        return self._climb_m(x_m)

    def rise_m(self) -> float:
        """Up by the kerb's height."""
        return self.height_mm * MM

    def title(self) -> str:
        """`kerb 100 mm`."""
        return f"kerb {self.height_mm:g} mm"

    def _there_mm(self, x_mm: float, y_mm: float) -> XY:
        return x_mm, y_mm


class KerbDown(_Kerb):
    """A kerb to drop off: the same stone, met from behind.

    Also called: curb drop, drop off
    """

    EXAMPLE: ClassVar[str] = 'kind = "kerb down"\nheight_mm = 100\nbatter_mm = 15\n'

    kind: Literal["kerb down"]

    def heights_m(self, x_m: Floats) -> Floats:
        """The foot of the face is at the end."""
        return self._climb_m(np.maximum(self.length_m() - x_m, 0.0)) - self.height_mm * MM

    def rise_m(self) -> float:
        """Down by the kerb's height."""
        return -self.height_mm * MM

    def title(self) -> str:
        """`kerb down 100 mm`."""
        return f"kerb down {self.height_mm:g} mm"

    def _there_mm(self, x_mm: float, y_mm: float) -> XY:
        return self.length_m() / MM - x_mm, y_mm - self.height_mm


class _Steps(Obstacle):
    """One step, or a flight of equal ones, with upright faces."""

    height_mm: HeightMm
    """Height of each step, mm.

    Usual: 150 to 190 of stairs, 50 to 150 of a doorstep.
    Measure: rule from tread to tread; or the whole flight by a level and rule, divided by their number.
    If wrong: the blow goes with it; higher than the nose's axle hardly anything climbs it.
    Also called: riser
    """

    going_mm: RunMm = 280.0
    """Depth of each tread along the course, from face to face, mm.

    Usual: 250 to 300 of stairs.
    Measure: rule from the edge of one tread to the edge of the next, level.
    If wrong: shorter than the track's flat part lies over three edges, longer drops it into each.
    Also called: tread, run
    """

    count: Count = 1
    """How many steps.

    Usual: 1 to 5.
    Measure: count the upright faces.
    If wrong: the vehicle is higher or lower behind it than in life.
    """

    def length_m(self) -> float:
        """All treads."""
        return self.count * self.going_mm * MM

    def _climb_m(self, x_m: Floats) -> Floats:
        treads = np.floor((x_m + EDGE_M) / (self.going_mm * MM)) + 1.0
        return np.asarray(np.clip(treads, 1, self.count) * (self.height_mm * MM), dtype=np.float64)

    def _total_m(self) -> float:
        return self.count * self.height_mm * MM

    def _many(self) -> str:
        return f"{self.height_mm:g} mm" if self.count == 1 else f"{self.count} x {self.height_mm:g} mm"

    @abstractmethod
    def _there_mm(self, x_mm: float, y_mm: float) -> XY:
        """Where a place of the steps lies that are met from the lower side [mm]."""

    def marks(self) -> tuple[Mark, ...]:
        """At the lowest step, and the number at the last."""
        h, g, n, there = self.height_mm, self.going_mm, self.count, self._there_mm
        return (
            Span("height_mm", there(0.0, 0.0), there(0.0, h), "y"),
            Span("going_mm", there(0.0, h), there(g, h), "x"),
            Note("count", there((n - 1) * g, n * h)),
            Note("kind", there(0.5 * g, 0.4 * h)),
        )


class StepUp(_Steps):
    """Steps to climb: each rises at the start of its tread.

    Also called: stairs, doorstep, ledge
    """

    EXAMPLE: ClassVar[str] = 'kind = "step up"\nheight_mm = 150\ncount = 3\n'

    kind: Literal["step up"]

    def heights_m(self, x_m: Floats) -> Floats:
        """The first face is at 0."""
        return self._climb_m(x_m)

    def rise_m(self) -> float:
        """Up by all steps."""
        return self._total_m()

    def title(self) -> str:
        """`step 150 mm`, `steps 3 x 150 mm`."""
        return f"{'step' if self.count == 1 else 'steps'} {self._many()}"

    def _there_mm(self, x_mm: float, y_mm: float) -> XY:
        return x_mm, y_mm


class StepDown(_Steps):
    """Steps to drop off: each falls at the end of its tread.

    Also called: stairs down, drop
    """

    EXAMPLE: ClassVar[str] = 'kind = "step down"\nheight_mm = 150\ncount = 3\n'

    kind: Literal["step down"]

    def heights_m(self, x_m: Floats) -> Floats:
        """The last face is at the end."""
        return self._climb_m(np.maximum(self.length_m() - x_m, 0.0)) - self._total_m()

    def rise_m(self) -> float:
        """Down by all steps."""
        return -self._total_m()

    def title(self) -> str:
        """`step down 150 mm`, `steps down 3 x 150 mm`."""
        return f"{'step' if self.count == 1 else 'steps'} down {self._many()}"

    def _there_mm(self, x_mm: float, y_mm: float) -> XY:
        return self.length_m() / MM - x_mm, y_mm - self.count * self.height_mm
