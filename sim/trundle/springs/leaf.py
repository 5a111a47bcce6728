"""A leaf clamped to the hull whose free end bears on one arm (cantilever, quarter-elliptic)."""

from __future__ import annotations

from functools import partial
from typing import Annotated, Literal

import numpy as np
from pydantic import Field

from trundle.fields.shape import Shape, area, ribbon
from trundle.fields.step import Better, By, Kept, Stock
from trundle.fields.stock import Count, SpanMm, SteelName, StockMm, SwingDeg
from trundle.springs.answers import Adjuster, ArmHole, Bending, MadeOf, Pose, Push, StockRow
from trundle.springs.base import ArmSpring
from trundle.springs.bearing import SLIDES_OFF, bearing_height, bearing_lever, check_swing, refuse, slides_on
from trundle.springs.figures import SpringFigures, beam_notes
from trundle.springs.laws import Arm, Floats, Mount, PivotLaw
from trundle.springs.leaf_words import sharing_remarks, where_bent
from trundle.steel.leaf import DRY_STEEL_FRICTION, Stack, cantilever_rate, friction_share, leaf_lengths
from trundle.steel.leaf_contact import Sharing
from trundle.steel.materials import UNKNOWN_SCRAP, steel
from trundle.steel.sizes import LEAF_WIDTHS_MM, LEAVES_MM, SPRING_STEELS
from trundle.units import DEG, MM


class Leaf(ArmSpring):
    """End force = 3 E I / l^3 x lift of the bearing point; pushes only.

    The end slides on the arm's top and bears at a constant horizontal distance from the pivot (its own travel
    along the arm is left out). Beam theory of a leaf that is straight when free; `figures` says when that is
    more than 3 % off.
    """

    kind: Literal["leaf"] = "leaf"

    width_mm: Annotated[StockMm, Stock(LEAF_WIDTHS_MM)]
    """Width of a leaf, mm."""

    thickness_mm: Annotated[StockMm, Stock(LEAVES_MM)]
    """Thickness of one leaf, mm."""

    length_mm: Annotated[SpanMm, By(20)]
    """Edge of the clamp to where the end bears on the arm, mm."""

    bears_at_mm: Annotated[SpanMm, By(10)]
    """Pivot to the bearing point, measured horizontally, mm."""

    free_angle_deg: Annotated[SwingDeg, By(2)]
    """Arm angle below horizontal at which the end just touches the arm, deg."""

    full_leaves: Annotated[Count, By(1, least=1)] = 1
    """Leaves of full length, the main leaf counted."""

    graduated_leaves: Annotated[int, Field(ge=0, le=30), By(1, least=0)] = 0
    """Leaves that get shorter in even steps."""

    arm_top_mm: Annotated[float, Field(ge=-200, le=200), By(5)] = 0.0
    """Arm's bearing surface above the pivot-axle line, mm."""

    friction: Annotated[float, Field(ge=0, le=1), Kept("a property, not a choice")] = DRY_STEEL_FRICTION
    """Coefficient of friction between the leaves (dry steel about 0.3, greased 0.1)."""

    steel: Annotated[SteelName, Better((SPRING_STEELS,))] = UNKNOWN_SCRAP
    """Spring steel it is made of."""

    @property
    def stack(self) -> Stack:
        """The leaves as a beam."""
        return Stack(self.width_mm * MM, self.thickness_mm * MM, self.full_leaves, self.graduated_leaves)

    @property
    def _shared(self) -> Sharing:
        return self.stack.shared(self.length_mm * MM)

    @property
    def rate_N_per_m(self) -> float:
        """Rate at the leaf's end [N/m]."""
        return cantilever_rate(self.stack, self.length_mm * MM)

    def _lift(self, angle_rad: Floats) -> Floats:
        at, top = self.bears_at_mm * MM, self.arm_top_mm * MM
        free = bearing_height(np.array([self.free_angle_deg * DEG]), at, top)[0]
        return np.asarray(np.maximum(bearing_height(angle_rad, at, top) - free, 0.0))

    def _torque(self, angle_rad: Floats) -> Floats:
        lever = bearing_lever(angle_rad, self.bears_at_mm * MM, self.arm_top_mm * MM)
        return np.asarray(self.rate_N_per_m * self._lift(angle_rad) * lever)

    def law(self, arm: Arm) -> PivotLaw:
        """The leaf's law on this arm. Friction is taken at half the torque of full bump.

        Raises InputError if the bearing point lies beyond the arm, or the leaf never touches it.
        """
        check_swing(arm)
        if self.bears_at_mm * MM > arm.length_m:
            over = self.bears_at_mm - arm.length_m / MM
            raise refuse(f"the leaf bears {over:.0f} mm beyond the axle", "bears_at_mm", f"up to {arm.length_m / MM:g}")
        if self.free_angle_deg * DEG <= arm.highest_rad:
            raise refuse("the leaf never touches the arm: the arm cannot rise to it", "free_angle_deg")
        angles = arm.angles()
        if float(bearing_lever(angles, self.bears_at_mm * MM, self.arm_top_mm * MM).min()) <= 0.0:
            raise refuse(SLIDES_OFF, "arm_top_mm")
        torque = self._torque(angles)
        share = friction_share(self.stack, self.length_mm * MM, self.friction)
        full_Nm = float(self._torque(np.array([arm.bump_rad]))[0])
        return PivotLaw(angles, torque, share * full_Nm / 2.0)

    def figures(self, angle_rad: float, arm: Arm) -> SpringFigures:
        """Torque, end load, deflection, stress of the hardest bent leaf, stored energy at `angle_rad` [rad]."""
        lift, shared = float(self._lift(np.array([angle_rad]))[0]), self._shared
        load = self.rate_N_per_m * lift
        torque = float(self._torque(np.array([angle_rad]))[0])
        return SpringFigures(
            torque,
            load,
            lift,
            "m",
            self.stack.stress_Pa(load * self.length_mm * MM, shared),
            "bending",
            0.5 * load * lift,
            steel(self.steel).yield_Pa,
            partial(beam_notes, lift, self.length_mm * MM, self.stack.one_leaf_Nm2 * shared.even),
            where_bent(shared, self.length_mm, "the clamp") if load > 0.0 else "",
        )

    def bears_m(self, mount: Mount) -> float:
        """Where its end bears."""
        return self.bears_at_mm * MM

    def push(self, angle_rad: Floats, mount: Mount) -> Push:
        """Its end slides on the arm's top."""
        return slides_on(angle_rad, self.bears_at_mm * MM, self.arm_top_mm * MM)

    def made_of(self) -> MadeOf:
        """Its spring steel."""
        return MadeOf(steel(self.steel))

    def stock(self) -> tuple[StockRow, ...]:
        """Every leaf of the stack; the clamped length depends on the clamp."""
        stock = f"flat {self.width_mm:g} x {self.thickness_mm:g}"
        lengths = leaf_lengths(self.length_mm, self.full_leaves, self.graduated_leaves)
        return tuple(StockRow("leaf", 1, stock, self.steel, f"{n:g} + what the clamp holds") for n in lengths)

    def adjuster(self) -> Adjuster | None:
        """Its clamp is fixed."""
        return None

    def bending(self, bump_deflection_m: float) -> Bending | None:
        """It is straight when free."""
        return None

    def arm_holes(self) -> tuple[ArmHole, ...]:
        """None: its end slides on the arm."""
        return ()

    def remarks(self, mount: Mount) -> tuple[str, ...]:
        """How its leaves share the load."""
        friction = friction_share(self.stack, self.length_mm * MM, self.friction)
        return sharing_remarks(self._shared, friction)

    def unranked(self) -> frozenset[str]:
        """Friction only damps."""
        return frozenset({"friction"})

    def shapes(self, pose: Pose) -> tuple[Shape, ...]:
        """The leaf as the bent beam it is, and its clamp.

        The bending line of a cantilever with an end load is (3 s2 - s3)/2 of its end's deflection (any handbook of
        beams).
        """
        at, long, top = self.bears_at_mm, self.length_mm, self.arm_top_mm * MM
        clear = float(bearing_height(np.array([self.free_angle_deg * DEG]), at * MM, top)[0]) / MM
        lever = float(bearing_lever(np.array([pose.angles_rad[0]]), at * MM, top)[0])
        lift = max(pose.torques_Nm[0], 0.0) / max(lever, 1e-3) / self.rate_N_per_m / MM
        t = np.linspace(0.0, 1.0, 15)
        line = np.stack([pose.sign * (at - long * (1.0 - t)), clear + lift * (3.0 * t**2 - t**3) / 2.0], axis=1)
        height = self.stack.height_m / MM
        clamp = line[0] + np.array([[-14.0, -6.0], [14.0, -6.0], [14.0, height + 6.0], [-14.0, height + 6.0]])
        leaves = self.full_leaves + self.graduated_leaves
        return ribbon(line, height, leaves, self.full_leaves), area("steel", clamp)
