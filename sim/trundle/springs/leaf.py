"""A leaf clamped to the hull whose free end bears on one arm (cantilever, quarter-elliptic).

End force = 3 E I / l^3 x lift of the bearing point, which is taken at a constant horizontal distance from the pivot
(its own travel along the arm is left out). Beam theory of a leaf that is straight when free; `figures` says when that
is more than 3 % off.
"""

from __future__ import annotations

from functools import partial
from typing import Annotated, ClassVar, Literal

import numpy as np

from trundle.fields.shape import Shape, area, ribbon
from trundle.fields.sketch import Around, Mark, Note, Sketch, Span
from trundle.fields.sketch_parts import thin
from trundle.fields.step import By
from trundle.fields.stock import SpanMm, SwingDeg
from trundle.springs.answers import Adjuster, ArmHole, Bending, MadeOf, Pose, Push, StockRow
from trundle.springs.base import ArmSpring
from trundle.springs.bearing import SLIDES_OFF, bearing_height, bearing_lever, check_swing, refuse, slides_on
from trundle.springs.doubtful import Doubts, On, leaf
from trundle.springs.figures import SpringFigures, beam_notes
from trundle.springs.laws import Arm, Floats, Mount, PivotLaw
from trundle.springs.leaf_stack import LeafStack
from trundle.springs.leaf_words import leaf_name, sharing_remarks, where_bent
from trundle.springs.misfits import Beside, Misfits, between_tyres
from trundle.springs.on_arm import above_free, in_hull, on_arm
from trundle.steel.leaf import cantilever_rate, friction_share, leaf_lengths
from trundle.steel.leaf_contact import Sharing
from trundle.units import DEG, MM

CLAMPED_MM = 60.0
"""How much longer than what bends a leaf is cut, for its clamp: an estimate (common practice, no source) [mm]."""


class Leaf(LeafStack, ArmSpring):
    """A leaf, or a stack, clamped to the hull at one end while its other end bears on one arm's top and slides there.
    It pushes only, and is straight when free.

    Also called: quarter-elliptic, cantilever leaf, leaf spring, half a leaf, blade
    """

    EXAMPLE: ClassVar[str] = (
        'kind = "leaf"\nwidth_mm = 40\nthickness_mm = 5\nlength_mm = 260\nbears_at_mm = 120\nfree_angle_deg = 20\n'
        'full_leaves = 2\ngraduated_leaves = 1\narm_top_mm = 30\nsteel = "51CrV4"\n'
    )

    kind: Literal["leaf"] = "leaf"

    length_mm: Annotated[SpanMm, By(20)]
    """From the edge of the clamp to where the end bears on the arm, along the leaf, mm.

    Usual: 200 to 400.
    Measure: rule from the clamp plate's edge to the middle of the polished spot on the arm.
    If wrong: rate goes with its third power: 5 % is 16 %.
    Also called: free length, working length
    """

    bears_at_mm: Annotated[SpanMm, By(10)]
    """From the pivot to where the end bears on the arm, measured horizontally, mm.

    Usual: half to all of the arm's length.
    Measure: rule from the middle of the pivot bolt to the middle of the polished spot, arm level.
    If wrong: rate at the axle goes with its square: 10 % is a fifth.
    """

    free_angle_deg: Annotated[SwingDeg, By(2)]
    """Arm angle at which the end just touches the arm: from the hull's horizontal down to the line from pivot to axle,
    deg.

    Usual: 10 to 25 deg lower than the arm stands.
    Measure: hull on blocks, lift the arm by hand until it just touches the leaf: phone or level on the arm.
    If wrong: a degree too low and the hull stands about arm length / 60 too high.
    Also called: preload
    """

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
            self.metal.yield_Pa,
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
        return MadeOf(self.metal)

    def stock(self) -> tuple[StockRow, ...]:
        """Every leaf of the stack; how much of it the clamp holds is an estimate."""
        sizes = self.width_mm, self.thickness_mm
        lengths = leaf_lengths(self.length_mm, self.full_leaves, self.graduated_leaves)
        root = self.bears_at_mm - self.length_mm
        return tuple(
            StockRow(
                "leaf", 1, length, "spring strip", sizes, self.steel, CLAMPED_MM, "what the clamp holds",
                root + 0.5 * (length - CLAMPED_MM), leaf_name(i),
            )
            for i, length in enumerate(lengths)
        )  # fmt: skip

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

    def doubtful(self, on: On) -> Doubts:
        """Each leaf."""
        yield from leaf(self.width_mm, self.thickness_mm)

    @property
    def wide_mm(self) -> float:
        """Its leaves."""
        return self.width_mm

    def misfits(self, beside: Beside) -> Misfits:
        """Between the wheels, where its end reaches so far out."""
        if beside.mount.arm.length_m / MM - self.bears_at_mm < beside.tyre_radius_mm:
            yield from between_tyres("the leaf", self.width_mm, beside)

    def not_in_file(self) -> tuple[str, ...]:
        """Its clamp's place in the hull."""
        return (
            "leaf: where its clamp sits, what that is bolted to, and whether leaf and clamp clear arm, plates and the "
            "next wheel: no field has it",
        )

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
        # The edge that the length is counted from lies where the leaf begins.
        back = -28.0 * pose.sign
        clamp = line[0] + np.array([[back, -6.0], [0.0, -6.0], [0.0, height + 6.0], [back, height + 6.0]])
        return ribbon(line, height, self.leaves, self.full_leaves, from_start=True), area("steel", clamp)

    def sketches(self, around: Around) -> tuple[Sketch, ...]:
        """On its arm from the side, the stack cut across, a bend test."""
        arm = on_arm(around, above_free(self.free_angle_deg))
        torque = float(self._torque(np.array([arm.angle_deg * DEG]))[0])
        lines, turn = arm.free("free_angle_deg", self.free_angle_deg)
        leaf, clamp = self.shapes(arm.pose(torque))
        s, at, long = around.sign, self.bears_at_mm, self.length_mm
        root = (s * (at - long), float(leaf.points[0, 1]))
        end = (s * at, float(bearing_height(np.array([arm.angle_deg * DEG]), at * MM, self.arm_top_mm * MM)[0]) / MM)
        along = 0.8 * around.arm_mm
        top = arm.along(along, self.arm_top_mm)
        marks: tuple[Mark, ...] = (
            Span("length_mm", root, end, "x"),
            Span("bears_at_mm", (0.0, 0.0), end, "x"),
            turn,
            Span("arm_top_mm", arm.along(along), top) if self.arm_top_mm else Note("arm_top_mm", top),
            Note("kind", (0.8 * root[0] + 0.2 * end[0], root[1])),
        )
        middle = thin((arm.along(0.0), arm.along(around.arm_mm)))
        side = Sketch(
            "on its arm",
            "side",
            (*lines, *arm.shapes(self.arm_top_mm), middle, clamp, leaf),
            marks,
        )
        return in_hull(side, around), self.section_sketch(), self.bend_test_sketch()
