"""A torsion bar (or a bundle of equal ones) on the pivot of one arm."""

from __future__ import annotations

from functools import partial
from typing import Annotated, ClassVar, Literal

import numpy as np
from pydantic import Field, model_validator

from trundle.fields.base import PlacedError
from trundle.fields.shape import Shape, disc, line
from trundle.fields.sketch import Around, Mark, Note, Round, Sketch, Span
from trundle.fields.sketch_parts import box
from trundle.fields.step import Better, By, Kept, Stock
from trundle.fields.stock import Count, SpanMm, SteelName, StockMm, TurnDeg
from trundle.springs.answers import Adjuster, ArmHole, Bending, MadeOf, Pose, StockRow
from trundle.springs.base import ArmSpring
from trundle.springs.doubtful import Doubts, On
from trundle.springs.figures import SpringFigures
from trundle.springs.laws import Arm, Floats, Mount, PivotLaw
from trundle.springs.on_arm import above_free, in_hull, on_arm
from trundle.steel.bars import twist_rate, twist_stress
from trundle.steel.forms import Form
from trundle.steel.materials import UNKNOWN_SCRAP, steel
from trundle.steel.sizes import ROUNDS_MM, SPRING_STEELS
from trundle.units import DEG, MM

GRIP_DIAMETERS = 2.0
"""How long each of its two grips is, in diameters: an estimate (common practice, no source)."""


class TorsionBar(ArmSpring):
    """A round bar, or several alike, along the pivot of one arm, gripped at both ends: torque = G J / L x (free angle -
    arm angle), both ways. The free angle is the preload of its anchor: turn that by a degree and it moves by a degree.

    Also called: torsion spring, torsion rod, twist bar
    """

    EXAMPLE: ClassVar[str] = (
        'kind = "torsion bar"\ndiameter_mm = 12\nlength_mm = 500\nfree_angle_deg = 38\nsteel = "51CrV4"\n'
    )

    kind: Literal["torsion bar"] = "torsion bar"

    diameter_mm: Annotated[StockMm, Stock(ROUNDS_MM)]
    """Diameter of the round bar where it twists, mm.

    Usual: 10 to 20.
    Measure: calliper at three places along it; the thinnest counts.
    If wrong: stiffness goes with its fourth power: 5 % too thick and the spring is a fifth too stiff.
    """

    length_mm: Annotated[SpanMm, By(50)]
    """Length that twists, between the inner edges of the two grips (anchor and arm), mm.

    Usual: 300 to 700: as far across as the hull allows.
    Measure: rule between the edges of the grips, or between the ends of the splines or squares.
    If wrong: the spring is stiffer by as much as it is shorter, and so is its stress.
    Also called: free length, working length
    """

    free_angle_deg: Annotated[TurnDeg, By(2)]
    """Arm angle with the bar untwisted, as the anchor is set: from the hull's horizontal down to the line from pivot to
    axle, deg.

    Usual: 10 to 25 deg lower than the arm stands.
    Measure: lift the hull, disconnect the damper: phone or level on the arm as it hangs without touching its stop.
    If wrong: a degree too low and the hull stands about arm length / 60 too high.
    Also called: preload, anchor angle, clocking
    """

    bore_mm: Annotated[float, Field(ge=0, le=500), Kept("follows from what it joins")] = 0.0
    """Hole all along the bar, mm; 0: solid.

    Usual: 0.
    Measure: calliper or drill shank in the end.
    If wrong: a bore of half the diameter takes off 6 % of stiffness, one of three quarters a third.
    """

    bars: Annotated[Count, By(1, least=1)] = 1
    """Equal bars that work on this arm, each twisted by the whole angle.

    Usual: 1.
    Measure: count them.
    If wrong: two for one is twice the stiffness.
    """

    steel: Annotated[SteelName, Better((SPRING_STEELS,))] = UNKNOWN_SCRAP
    """Spring steel it is made of, in its condition.

    Usual: unknown scrap for a bar off a vehicle, 51CrV4 for one bought hardened to a standard.
    Measure: twist it as it will be twisted, arm's length of pipe on it, a few degrees more each time: the twist from
    which it does not come back by a hair is its yield. Clamp it, stand aside. A bar heated red since is soft.
    If wrong: the margins are wrong: a soft bar takes a set within the first hour and the hull sinks.
    Also called: material, grade, alloy
    """

    @model_validator(mode="after")
    def _bore_inside(self) -> TorsionBar:
        if self.bore_mm >= self.diameter_mm:
            raise PlacedError(
                f"bore_mm {self.bore_mm:g} leaves nothing of a {self.diameter_mm:g} mm bar",
                "bore_mm",
                allowed=f"below {self.diameter_mm:g}",
            )
        return self

    @property
    def rate_Nm_per_rad(self) -> float:
        """Torque per twist of all bars together [N.m/rad]."""
        return self.bars * twist_rate(self.diameter_mm * MM, self.length_mm * MM, self.bore_mm * MM)

    def _torque(self, angle_rad: Floats) -> Floats:
        return np.asarray(self.rate_Nm_per_rad * (self.free_angle_deg * DEG - angle_rad))

    def law(self, arm: Arm) -> PivotLaw:
        """The bar's law on this arm."""
        angles = arm.angles()
        return PivotLaw(angles, self._torque(angles))

    def figures(self, angle_rad: float, arm: Arm) -> SpringFigures:
        """Torque, twist, surface shear stress and stored energy at `angle_rad` [rad]."""
        torque = float(self._torque(np.array([angle_rad]))[0])
        twist = self.free_angle_deg * DEG - angle_rad
        stress = twist_stress(self.diameter_mm * MM, self.length_mm * MM, twist)
        notes = ("the bar is twisted against its working direction",) if twist < 0 else ()
        return SpringFigures(
            torque,
            0.0,
            twist,
            "rad",
            stress,
            "shear",
            0.5 * torque * twist,
            steel(self.steel).shear_yield_Pa,
            partial(tuple, notes),
        )

    def bears_m(self, mount: Mount) -> float:
        """It turns the pivot itself."""
        return 0.0

    def made_of(self) -> MadeOf:
        """Its spring steel."""
        return MadeOf(steel(self.steel))

    def stock(self) -> tuple[StockRow, ...]:
        """Every bar, with an estimate of what its two grips hold."""
        held, d = 2.0 * GRIP_DIAMETERS * self.diameter_mm, self.diameter_mm
        form: Form = "round tube" if self.bore_mm else "round bar"
        sizes = (d, 0.5 * (d - self.bore_mm)) if self.bore_mm else (d,)
        return (StockRow("torsion bar", self.bars, self.length_mm, form, sizes, self.steel, held, "both grips"),)

    def adjuster(self) -> Adjuster | None:
        """Its anchor, turned by the degree."""
        return Adjuster("free_angle_deg", 1.0, "1 deg", None)

    def bending(self, bump_deflection_m: float) -> Bending | None:
        """It stays straight."""
        return None

    def arm_holes(self) -> tuple[ArmHole, ...]:
        """None: it sits in the pivot."""
        return ()

    def remarks(self, mount: Mount) -> tuple[str, ...]:
        """Nothing beyond its figures."""
        return ()

    def doubtful(self, on: On) -> Doubts:
        """A bar is no longer than the vehicle is wide, and no peg."""
        if self.length_mm > 1.8 * on.hull_wide_mm:
            yield (
                "length_mm",
                f"a bar of {self.length_mm:g} mm in a hull about {on.hull_wide_mm:.0f} mm wide: that of one side?",
            )
        if self.length_mm < 10.0 * self.diameter_mm:
            yield "length_mm", f"a bar {self.length_mm:g} mm long and {self.diameter_mm:g} mm thick: mm?"
        if self.free_angle_deg < 5.0:
            yield (
                "free_angle_deg",
                f"unloaded, its arm is {self.free_angle_deg:g} deg below level: below is positive, and a load "
                "brings it up",
            )

    def not_in_file(self) -> tuple[str, ...]:
        """It lies on the pivot's own axis, where the pivot's bolt is too, and the other side's bar."""
        return (
            "torsion bars: how a bar and the pivot's bolt share one axis, how arm and anchor grip it, how it passes "
            "the other side's bar and whether the hull is wide enough for both: no field has it",
        )

    def unranked(self) -> frozenset[str]:
        """Every field counts."""
        return frozenset()

    def shapes(self, pose: Pose) -> tuple[Shape, ...]:
        """The bar end-on; the spread between the two strokes is its twist."""
        turn = pose.sign * (pose.angles_rad[0] - self.free_angle_deg * DEG)
        radius = max(0.5 * self.diameter_mm, 8.0)
        a = np.linspace(0.0, turn, 16) + 0.5 * np.pi
        arc = np.stack([np.cos(a), np.sin(a)], axis=1)
        strokes = [line("mark", radius * np.array([[0.0, 0.0], 2.6 * end])) for end in (arc[0], arc[-1])]
        return disc("spring", 0.0, 0.0, radius), line("mark", 2.2 * radius * arc), *strokes

    def sketches(self, around: Around) -> tuple[Sketch, ...]:
        """Its arm from the side; from above; cut across."""
        arm = on_arm(around, above_free(self.free_angle_deg))
        lines, turn = arm.free("free_angle_deg", self.free_angle_deg)
        side = Sketch(
            "the arm, its bar end-on",
            "side",
            (*lines, *arm.shapes(), *self.shapes(arm.pose())),
            (turn, Note("kind", (0.0, 0.0))),
        )
        return in_hull(side, around), self._from_above(around), self._cut_across()

    def _from_above(self, around: Around) -> Sketch:
        """The bar across the hull: its anchor's grip, and the arm's."""
        d, long, s = self.diameter_mm, self.length_mm, around.sign
        places = [(k - 0.5 * (self.bars - 1)) * 1.5 * d for k in range(self.bars)]
        wide = places[-1] + 1.6 * d
        shapes = (
            *(box("spring", x - 0.5 * d, 0.0, x + 0.5 * d, long) for x in places),
            box("steel", -wide, -45.0, wide, 0.0),
            box("steel", -wide, long, wide, long + 45.0),
            box("steel", s * wide, long + 12.0, s * around.arm_mm, long + 33.0),
            box("rubber", s * around.arm_mm - around.wheel_radius_mm, long + 45.0,
                s * around.arm_mm + around.wheel_radius_mm, long + 45.0 + around.wheel_width_mm),
        )  # fmt: skip
        marks: tuple[Mark, ...] = (
            Span("length_mm", (-s * wide, 0.0), (-s * wide, long), "y"),
            Note("bars", (places[-1], 0.3 * long)),
            Note("steel", (places[-1], 0.7 * long)),
        )
        return Sketch("anchor, bar, arm", "top", shapes, marks)

    def _cut_across(self) -> Sketch:
        r, hole = 0.5 * self.diameter_mm, 0.5 * self.bore_mm
        bore: Mark = Round("bore_mm", (0.0, 0.0), hole, "diameter", 200.0) if hole else Note("bore_mm", (0.0, 0.0))
        shapes = (disc("spring", 0.0, 0.0, r), *((disc("hole", 0.0, 0.0, hole),) if hole else ()))
        return Sketch("the bar", "section", shapes, (Round("diameter_mm", (0.0, 0.0), r, "diameter"), bore))
