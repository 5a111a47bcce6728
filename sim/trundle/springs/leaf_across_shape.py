"""The leaf across two arms as it lies on the bench and in its seat without load: its fields, and lengths from them."""

from __future__ import annotations

import math
from typing import Annotated, Literal

from pydantic import Field, model_validator

from trundle.fields.base import PlacedError
from trundle.fields.step import By, Kept, Times
from trundle.fields.stock import SpanMm
from trundle.springs.leaf_stack import LeafStack
from trundle.steel import leaf as formulas
from trundle.steel.leaf_contact import Sharing
from trundle.units import MM

MOST_HELD = 0.8
"""Largest share of a leaf that a clamp may grip, or that may lie between two seats."""


class AcrossShape(LeafStack):
    """Its main leaf is an arc of length_mm and free_radius_mm, pressed down in its middle by a seat."""

    length_mm: Annotated[SpanMm, By(20)]
    """Whole length of the main leaf along its curve, from end to end, mm: as cut, before it is bent.

    Usual: twice the arms and the distance of the pivots, less 20 to 40.
    Measure: tape laid along the leaf's inside; flat stock: as cut.
    If wrong: rate goes with its third power: 5 % is 16 %; and the ends bear elsewhere on the arms.
    Also called: main leaf length
    """

    free_radius_mm: Annotated[float, Field(gt=0, le=100_000), Times(1.1)]
    """Radius to which the main leaf is bent with nothing on it, at the middle of its thickness, mm: not a diameter.

    Usual: 500 to 1500.
    Measure: straightedge across the hollow side, touching at c apart; rule for the greatest gap h in the middle: c^2 /
    8h + h/2, and half the thickness.
    If wrong: the hull stands too high or too low by about as much as the rise in the middle differs.
    Also called: camber, arch, bend radius
    """

    seat_above_pivots_mm: Annotated[float, Field(ge=-1_000, le=1_000), By(5)]
    """From the line through both pivots up to the face of the seat, which is the top of the leaves in the middle, mm;
    adjuster screwed out.

    Usual: 10 to 60.
    Measure: straightedge under both pivot bolts' middles, rule up to the plate that the stack lies against.
    If wrong: the hull stands too high or too low by about as much.
    Also called: seat height
    """

    adjuster_mm: Annotated[float, Field(ge=-200, le=200), By(1.75)] = 0.0
    """How far the seat is screwed down from there, mm; negative: up.

    Usual: 0: keep it for what turns out on the day.
    Measure: turns of the screw x its pitch (M12: 1.75 mm).
    If wrong: the hull stands lower or higher by about as much: down pushes the arms down and lifts the hull.
    Also called: preload screw, jacking screw
    """

    seat: Literal["point", "pair", "clamp"] = "point"
    """How the middle is held. point: one seat, the leaf rocks on it; pair: two seats with straps; clamp: gripped.

    Usual: point, for two wheels that share their load like a balance beam.
    Measure: push one wheel up by hand: does the other go down as easily? Then it is a point.
    If wrong: one wheel of the two carries too little or too much wherever the ground is uneven.
    Also called: saddle, U-bolts, spring perch
    """

    seat_apart_mm: Annotated[float, Field(gt=0, le=5_000), By(10)] | None = None
    """Of a "pair": from the middle of one seat to the middle of the other, mm, up to 0.8 of the leaf's length.

    Usual: 60 to 120.
    Measure: rule from middle to middle of the two seats.
    If wrong: further apart is stiffer when one wheel rises alone, and when both do.
    """

    clamp_mm: Annotated[float, Field(gt=0, le=5_000), By(10)] | None = None
    """Of a "clamp": length of leaf between its outer edges, mm, up to 0.8 of the leaf's length.

    Usual: 60 to 100.
    Measure: rule along the plates, U-bolt to U-bolt outside.
    If wrong: the free ends are told longer and softer than they are, or the reverse.
    """

    clamp_fit: Literal["pressed flat", "bent flat", "curved"] | None = None
    """Of a "clamp": how leaf and plates fit. pressed flat (or left out): flat plates press the curved leaf flat, which
    stresses it for ever; bent flat: the leaf is made flat where it is clamped; curved: the plates have the leaf's
    curve.

    Usual: bent flat.
    Measure: loosen it: does the leaf spring away from the plates in the middle or at their edges? Then it was pressed
    flat.
    If wrong: the stress that stands in the leaf is left out or added for nothing: E x thickness / (2 x radius).
    """

    sleeve_clearance_mm: Annotated[float, Field(ge=0, le=500), By(2, least=0)] | None = None
    """Gap from the main leaf's underside down to the pivot sleeves, arms level with each other, mm; left out: it never
    touches.

    Usual: 3 to 8.
    Measure: feeler gauge or drill shank between leaf and sleeve.
    If wrong: too small, and a leaf that rocks bends over the sleeve, where no figure looks for its stress.
    """

    end_room_mm: Annotated[float, Field(ge=0, le=500), Kept("follows from what it joins")] | None = None
    """Free room beyond each end of the free leaf before it meets something (wheel, axle boss), mm; left out: plenty.

    Usual: 10.
    Measure: rule from the leaf's tip outwards along the arm.
    If wrong: the end jams as the leaf flattens; a jammed leaf is many times as stiff.
    """

    @model_validator(mode="after")
    def _fits_itself(self) -> AcrossShape:
        if self.free_radius_mm < self.thickness_mm:
            raise PlacedError(
                f"free_radius_mm {self.free_radius_mm:g} is smaller than the thickness, {self.thickness_mm:g} mm",
                "free_radius_mm",
                allowed=f"{self.thickness_mm:g} or more",
            )
        if self.length_mm / (2.0 * self.free_radius_mm) > 1.2:
            raise PlacedError(
                f"a {self.length_mm:g} mm leaf bent to a {self.free_radius_mm:g} mm radius stands too steep "
                "at its ends to bear on arms",
                "free_radius_mm",
                allowed=f"{math.ceil(self.length_mm / 2.4)} mm or more",
            )
        most = f"above 0, up to {MOST_HELD * self.length_mm:g}"
        for seat, field, value, meaning in (
            ("pair", "seat_apart_mm", self.seat_apart_mm, "the distance between two seats"),
            ("clamp", "clamp_mm", self.clamp_mm, "the length of leaf that a clamp grips"),
        ):
            needed = self.seat == seat
            if needed != (value is not None):
                word = "needs" if needed else "has no"
                raise PlacedError(
                    f'a "{self.seat}" seat {word} {field}, {meaning}', field, allowed=most if needed else ""
                )
            if value is not None and value > MOST_HELD * self.length_mm:
                raise PlacedError(
                    f"{field} {value:g}, {meaning}, leaves nothing of a {self.length_mm:g} mm leaf to bend",
                    field,
                    allowed=most,
                )
        if self.seat != "clamp" and self.clamp_fit is not None:
            raise PlacedError(f'a "{self.seat}" seat has no clamp_fit', "clamp_fit", allowed='none, or seat = "clamp"')
        return self

    @property
    def arc(self) -> formulas.Arc:
        """The free shape of the main leaf."""
        return formulas.Arc(self.length_mm * MM, self.free_radius_mm * MM)

    @property
    def held_m(self) -> float:
        """Half the length between the outermost held points [m]."""
        return ((self.seat_apart_mm or 0.0) + (self.clamp_mm or 0.0)) / 2.0 * MM

    @property
    def flat_m(self) -> float:
        """Length in the middle that lies flat with the leaf in its seat [m]."""
        return 2.0 * self.held_m if self.seat == "clamp" and self.clamp_fit != "curved" else 0.0

    @property
    def pressed_flat(self) -> bool:
        """Whether a clamp presses flat what is bent."""
        return self.flat_m > 0.0 and self.clamp_fit != "bent flat"

    @property
    def half_chord_m(self) -> float:
        """Middle of the leaf to where an end bears, horizontally, in its seat with no load [m]."""
        flat = self.flat_m
        return (flat + formulas.Arc(self.length_mm * MM - flat, self.free_radius_mm * MM).chord_m) / 2.0

    @property
    def rise_m(self) -> float:
        """Height of the seat's face of contact over the ends without load, along the same side of the leaf [m].

        A curved clamp's face is taken at its middle.
        """
        radius = self.free_radius_mm * MM
        rise = formulas.Arc(self.length_mm * MM - self.flat_m, radius).rise_m
        if self.seat == "pair":
            # Two seats rest on the arc a little lower than its middle.
            rise -= formulas.Arc(2.0 * self.held_m, radius).rise_m
        return rise

    @property
    def free_tip_m(self) -> float:
        """Height of the free ends' underside above the pivots [m]."""
        return (self.seat_above_pivots_mm - self.adjuster_mm) * MM - self.stack.height_m - self.rise_m

    @property
    def overhang_m(self) -> float:
        """Length of leaf from the outermost held point to the end [m]."""
        return self.length_mm * MM / 2.0 - self.held_m

    @property
    def shared(self) -> Sharing:
        """How its leaves share a load at the ends."""
        return self.stack.shared(self.length_mm * MM / 2.0, self.held_m, self.seat == "pair")

    @property
    def end_stiffness_Nm2(self) -> float:
        """E I of one beam as stiff at its ends as the stack, both lifted alike [N.m2]."""
        return self.stack.one_leaf_Nm2 * self.shared.even
