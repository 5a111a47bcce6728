"""One cambered leaf across the two arms of a bogie, pushed down in its middle by a seat.

End forces F = K d: K by beam theory for the seat, d how far each arm lifts its end of the free leaf, an arc; the leaves
of a stack share the load as beams in contact (trundle.steel.leaf_contact). What a flat clamp presses flat carries
E t / 2R for ever: the load cannot bend it there and adds nothing, and outside the clamp only the load counts. Each end
bears on its arm's top at a constant horizontal distance from the pivot, b = half chord of the free leaf - half the
pivot distance: the few mm that the end travels as the leaf flattens are left out of the lever (the sheet gives them as
the end gap).
"""

from __future__ import annotations

import math
from functools import partial
from typing import ClassVar, Literal

import numpy as np

from trundle.fields.shape import Shape
from trundle.fields.sketch import Around, Sketch
from trundle.springs.answers import Adjuster, ArmHole, Bending, MadeOf, Pose, Push, StockRow
from trundle.springs.base import PairSpring
from trundle.springs.bearing import SLIDES_OFF, bearing_height, bearing_lever, check_swing, refuse, slides_on
from trundle.springs.doubtful import Doubts, On, leaf
from trundle.springs.figures import Fitted, PairFigures, beam_notes
from trundle.springs.laws import Floats, Mount, PairLaw
from trundle.springs.leaf_across_shape import AcrossShape
from trundle.springs.leaf_bending import across_bending
from trundle.springs.leaf_drawing import across_shapes
from trundle.springs.leaf_sketches import across_sketches
from trundle.springs.leaf_words import leaf_name, pressed_flat, sharing_remarks, where_bent
from trundle.springs.misfits import BESIDE_MM, Beside, Misfits, between_tyres
from trundle.steel import leaf as formulas
from trundle.steel.beams import beam_theory_error, elastica_at_lift
from trundle.units import MM

NEAREST_M = 5 * MM
"""An end that bears closer to its pivot than this hardly turns the arm and is refused [m]."""

NEAR_SEAT_M = 1 * MM
"""A sleeve closer to the seat than this is under it: the leaf cannot rock on to it [m]."""

DEEPEST = 0.4
"""An end bent by more than this share of its free length with the arms at their lowest is refused."""


class LeafAcross(AcrossShape, PairSpring):
    """One cambered leaf, or a stack, across the two arms of a bogie, pushed down in its middle by a seat. Its ends hang
    down and slide on the arms' tops; its main leaf lies undermost. Lengths along it are taken at the middle of its
    thickness.

    Also called: leaf spring, semi-elliptic, half-elliptic, transverse leaf, balance leaf
    """

    EXAMPLE: ClassVar[str] = (
        'kind = "leaf across"\nwidth_mm = 40\nthickness_mm = 3\nlength_mm = 440\nfree_radius_mm = 700\n'
        'full_leaves = 2\ngraduated_leaves = 3\nseat = "point"\nseat_above_pivots_mm = 32\nadjuster_mm = 3.5\n'
        'arm_top_mm = 20\nsleeve_clearance_mm = 5\nend_room_mm = 10\nsteel = "51CrV4"\n'
    )

    kind: Literal["leaf across"] = "leaf across"

    def fitted(self) -> Fitted | None:
        """What a clamp that presses the arc flat does to the main leaf, the most curved one; None without one."""
        if not self.pressed_flat:
            return None
        stress = self.arc.flattening_stress_Pa(self.thickness_mm * MM, self.metal.E_Pa)
        lower = (self.arc.rise_m - self.rise_m) / MM
        return pressed_flat(stress, self.metal, self.free_radius_mm, self.thickness_mm, lower)

    def stiffness_N_per_m(self) -> Floats:
        """K, shape (2, 2) [N/m]."""
        half = self.length_mm * MM / 2.0
        if self.seat == "pair":
            return formulas.pair_seat(self.stack, half, 2.0 * self.held_m)
        if self.seat == "clamp":
            return formulas.clamp_seat(self.stack, half, 2.0 * self.held_m)
        return formulas.point_seat(self.stack, half)

    def bears_at_m(self, pair: Mount) -> float:
        """Pivot to where an end bears, horizontally [m]. Raises InputError if that is off the arm."""
        at = self.half_chord_m - pair.pivots_apart_m / 2.0
        if at < NEAREST_M:
            raise refuse(
                f"the leaf is too short: its ends, {2 * self.half_chord_m / MM:.0f} mm apart, "
                "do not reach past the pivots",
                "length_mm",
                f"a chord of {(pair.pivots_apart_m + 2 * NEAREST_M) / MM:.0f} mm or more",
            )
        if at > pair.arm.length_m:
            raise refuse(
                f"the leaf is longer than its arms allow: its ends, {2 * self.half_chord_m / MM:.0f} mm "
                f"apart, reach {(at - pair.arm.length_m) / MM:.0f} mm beyond the axles",
                "length_mm",
                f"a chord up to {(pair.pivots_apart_m + 2 * pair.arm.length_m) / MM:.0f} mm: pivots_apart_mm "
                "and two arm_mm",
            )
        return at

    def _rock(self, pair: Mount) -> tuple[float, float, float]:
        """(fall, gap, rate) of the contact with the pivot sleeves on the measure (d_fore - d_aft)/2 [m, N/m].

        fall: how far the leaf comes down on a sleeve for 1 m on that measure.
        """
        at = pair.pivots_apart_m / 2.0
        if self.sleeve_clearance_mm is None or self.seat == "clamp" or at < self.held_m + NEAR_SEAT_M:
            return 1.0, math.inf, 0.0
        fall, rate = formulas.sleeve_contact(self.stack, self.length_mm * MM / 2.0, 2.0 * self.held_m, at)
        return fall, self.sleeve_clearance_mm * MM / fall, rate

    def deflection_m(self, angle_rad: Floats, pair: Mount) -> Floats:
        """How far an arm lifts its end of the free leaf [m], shape of `angle_rad`; negative: clear of it."""
        at = self.bears_at_m(pair)
        return bearing_height(angle_rad, at, self.arm_top_mm * MM) - self.free_tip_m

    def pair_law(self, pair: Mount) -> PairLaw:
        """The leaf's law on this pair. Friction is taken at half the load of full bump.

        Raises InputError if the ends do not lie on the arms, slide past the pivots, or never touch.
        """
        arm = pair.arm
        check_swing(arm)
        angles = arm.angles()
        lever = bearing_lever(angles, self.bears_at_m(pair), self.arm_top_mm * MM)
        if float(lever.min()) <= 0.0:
            raise refuse(SLIDES_OFF, "arm_top_mm")
        lift = self.deflection_m(angles, pair)
        if lift[0] <= 0.0:
            raise refuse(
                f"the leaf never touches the arms: with them at their highest its ends are still "
                f"{-lift[0] / MM:.0f} mm clear",
                "seat_above_pivots_mm",
                "a lower seat, or more adjuster_mm",
            )
        if lift[-1] > DEEPEST * self.overhang_m:
            raise refuse(
                "the seat is screwed down further than the leaf can follow: with the arms at their lowest "
                f"its ends are already bent up by {lift[-1] / MM:.0f} mm",
                "adjuster_mm",
                f"{DEEPEST * self.overhang_m / MM:.0f} mm of bend or less there",
            )
        k = self.stiffness_N_per_m()
        bump = np.array([arm.bump_rad])
        half_load = float(k[0].sum()) * max(float(self.deflection_m(bump, pair)[0]), 0.0) / 2.0
        lever_there = float(bearing_lever(bump, self.bears_at_m(pair), self.arm_top_mm * MM)[0])
        share = formulas.friction_share(self.stack, self.overhang_m, self.friction)
        _, gap, rate = self._rock(pair)
        return PairLaw(angles, np.stack([lift, lift]), k, gap, rate, share * half_load * lever_there)

    def figures(self, fore_rad: float, aft_rad: float, pair: Mount) -> PairFigures:
        """Loads, bending stress, energy at two arm angles [rad]. Raises InputError as `bears_at_m`."""
        angles = np.array([fore_rad, aft_rad])
        lift = self.deflection_m(angles, pair)
        lever = bearing_lever(angles, self.bears_at_m(pair), self.arm_top_mm * MM)
        k = self.stiffness_N_per_m()
        fall, gap, rate = self._rock(pair)
        fore, aft, rock, energy = formulas.end_forces(
            float(k[0, 0]), float(k[0, 1]), float(k[1, 1]), gap, rate, float(lift[0]), float(lift[1])
        )
        sleeve = rock / fall
        # The bending moment is largest where the leaf is held, on the heavier side.
        stress = self.stack.stress_Pa(max(fore, aft) * self.overhang_m, self.shared)
        fitted = self.fitted()
        inside = fitted is not None and fitted.stress_Pa >= stress
        return PairFigures(
            torque_Nm=(fore * float(lever[0]), aft * float(lever[1])),
            load_N=(fore, aft),
            deflection_m=(float(lift[0]), float(lift[1])),
            rock_load_N=sleeve,
            seat_load_N=fore + aft + sleeve,
            load_stress_Pa=stress,
            measure="bending",
            energy_J=energy,
            yield_Pa=self.metal.yield_Pa,
            notes_of=partial(self._notes, fore, aft, float(lift.mean()), sleeve),
            where=f"{leaf_name(0)}, in the clamp" if inside else self._where_bent if stress > 0.0 else "",
            fitted=fitted,
        )

    @property
    def _where_bent(self) -> str:
        seat = {"point": "the seat", "pair": "its seat", "clamp": "the clamp"}[self.seat]
        return where_bent(self.shared, self.overhang_m / MM, seat)

    def _beam(self) -> tuple[float, float, float, float, float]:
        """(length, E I, curvature, held length, slope at the root) of one half, as the elastica takes them."""
        held = self.held_m if self.seat == "pair" else 0.0
        curve = -1.0 / (self.free_radius_mm * MM)
        root = self.held_m * curve if self.clamp_fit == "curved" else 0.0
        return self.overhang_m, self.end_stiffness_Nm2, curve, held, root

    def beam_theory_error(self, lift_m: float) -> float:
        """By what share the law misjudges the load with both ends lifted alike, (law - exact)/exact.

        Exact: the elastica of the curved leaf under vertical end loads. Raises ArithmeticError if the lift
        is beyond any bent shape.
        """
        return beam_theory_error(lift_m, *self._beam())

    def end_travel_m(self, lift_m: float) -> float:
        """How far each end moves outwards from the unloaded seat when both are lifted by `lift_m` [m], by the elastica.

        Raises ArithmeticError as above.
        """
        free = elastica_at_lift(0.0, *self._beam()).across_m
        return elastica_at_lift(lift_m, *self._beam()).across_m - free

    def _travel_needed(self, lift_m: float) -> float:
        """End travel by the elastica, or what a flat leaf would need where that finds no shape [m]."""
        try:
            return self.end_travel_m(lift_m)
        except ArithmeticError:
            return self.flat_room_m

    @property
    def flat_room_m(self) -> float:
        """How far each end moves outwards from the unloaded seat when the whole leaf is pressed flat [m]."""
        return self.length_mm * MM / 2.0 - self.half_chord_m

    def _notes(self, fore: float, aft: float, lift: float, sleeve: float) -> tuple[str, ...]:
        notes = []
        if min(fore, aft) <= 0.0:
            notes.append("an end of the leaf carries nothing")
        if sleeve > 0.0:
            notes.append(f"the rocking leaf presses on a pivot sleeve with {sleeve:.0f} N")
        if lift > self.rise_m:
            notes.append("the leaf is bent past flat")
        if self.seat == "pair":
            s, half = self.held_m, self.length_mm * MM / 2.0
            lighter = (min(fore, aft) * (half + s) - max(fore, aft) * (half - s)) / (2.0 * s)
            if lighter < 0.0:
                notes.append(f"the leaf pulls off one seat with {-lighter:.0f} N: it needs a strap there")
        if lift > 0.0:
            notes += beam_notes(lift, *self._beam())
            if self.end_room_mm is not None and (travel := self._travel_needed(lift) / MM) > self.end_room_mm:
                notes.append(f"each end travels {travel:.1f} mm outwards and has {self.end_room_mm:g} mm")
        return tuple(notes)

    def bears_m(self, mount: Mount) -> float:
        """As `bears_at_m`."""
        return self.bears_at_m(mount)

    def push(self, angle_rad: Floats, mount: Mount) -> Push:
        """Its end slides on the arm's top."""
        return slides_on(angle_rad, self.bears_at_m(mount), self.arm_top_mm * MM)

    def made_of(self) -> MadeOf:
        """Its spring steel."""
        return MadeOf(self.metal)

    def stock(self) -> tuple[StockRow, ...]:
        """Every leaf of the stack, cut to its own length."""
        sizes = self.width_mm, self.thickness_mm
        return tuple(
            StockRow("leaf", 1, length, "spring strip", sizes, self.steel, title=leaf_name(i))
            for i, length in enumerate(self.lengths_mm())
        )

    def adjuster(self) -> Adjuster | None:
        """The screw that presses its seat down."""
        return Adjuster("adjuster_mm", 1.0, "1 mm down", self.adjuster_mm)

    def arm_holes(self) -> tuple[ArmHole, ...]:
        """None: its ends slide on the arms."""
        return ()

    def remarks(self, mount: Mount) -> tuple[str, ...]:
        """How its leaves share the load."""
        friction = formulas.friction_share(self.stack, self.overhang_m, self.friction)
        edge = (
            "endurance is taken at the clamp's edge: the load's swing, at the mean stress that the clamp keeps there",
        )
        return *sharing_remarks(self.shared, friction), *(edge if self.pressed_flat else ())

    def doubtful(self, on: On) -> Doubts:
        """Each leaf; and it reaches from axle to axle."""
        yield from leaf(self.width_mm, self.thickness_mm)
        reach = 2.0 * on.arm_mm + on.apart_mm
        if not 0.65 < self.length_mm / reach < 1.3:
            yield (
                "length_mm",
                f"a leaf of {self.length_mm:g} mm across arms that reach over {reach:.0f} mm: the whole leaf, "
                "from end to end?",
            )

    @property
    def wide_mm(self) -> float:
        """Its leaves."""
        return self.width_mm

    def misfits(self, beside: Beside) -> Misfits:
        """Between the plates and the wheels; its ends at bump and droop."""
        wide = self.width_mm
        if beside.plates_mm is not None and wide + 2.0 * BESIDE_MM > beside.plates_mm + 0.05:
            yield (
                "width_mm",
                f"a leaf {wide:g} wide lies between plates {beside.plates_mm:g} apart",
                f"{beside.plates_mm - 2.0 * BESIDE_MM:g} or less, or a longer pivot sleeve (pivot.sleeve_mm)",
            )
        yield from between_tyres("the leaf", wide, beside)
        arm = beside.mount.arm
        lift = float(self.deflection_m(np.array([arm.bump_rad]), beside.mount)[0])
        if lift > 0.0 and self.end_room_mm is not None:
            travel = self._travel_needed(lift) / MM
            if travel > self.end_room_mm + 0.05:
                yield (
                    "end_room_mm",
                    f"each end of the leaf travels {travel:.1f} mm outwards to full bump and has {self.end_room_mm:g}",
                    f"{math.ceil(travel)} or more, or a shorter leaf (length_mm)",
                )
        if beside.arm_end_mm is None:
            return
        at = self.bears_at_m(beside.mount) / MM
        for angle, where in ((arm.bump_rad, "bump"), (arm.droop_rad, "droop")):
            reach = math.cos(angle) * (arm.length_m / MM + beside.arm_end_mm) + self.arm_top_mm * math.sin(angle)
            if at > reach + 0.05:
                yield (
                    "length_mm",
                    f"at {where} the leaf's ends reach {at - reach:.1f} mm beyond the arm's end and hook over it",
                    f"{2.0 * (at - reach):.0f} mm less, or longer arms' ends (arm.axle_to_end_mm)",
                )

    def not_in_file(self) -> tuple[str, ...]:
        """What carries its seat, what it bears on, what keeps it together."""
        return (
            "leaf: what carries its seat, the lugs or blocks on the arms that its ends bear on, and what keeps loose "
            "leaves together at droop: no field has it",
        )

    def unranked(self) -> frozenset[str]:
        """Friction only damps; room and gap only limit."""
        return frozenset({"friction", "sleeve_clearance_mm", "end_room_mm"})

    def bending(self, bump_deflection_m: float) -> Bending | None:
        """Lengths, formers, template and end room of the stack."""
        return across_bending(self, bump_deflection_m)

    def lengths_mm(self) -> list[float]:
        """Of its leaves along their curve, the main leaf first [mm]."""
        return formulas.leaf_lengths(self.length_mm, self.full_leaves, self.graduated_leaves)

    def shapes(self, pose: Pose) -> tuple[Shape, ...]:
        """The seat (or two) and the stack."""
        return across_shapes(self, pose)

    def sketches(self, around: Around) -> tuple[Sketch, ...]:
        """On its two arms from the side, by itself, cut across."""
        return across_sketches(self, around)
