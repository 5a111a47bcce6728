"""What leaf springs have in common: a stack of flat leaves, and where its ends bear."""

from __future__ import annotations

from typing import Annotated

import numpy as np
from pydantic import Field

from trundle.fields.base import Spec
from trundle.fields.shape import area, disc, line
from trundle.fields.sketch import Note, Sketch, Span
from trundle.fields.sketch_parts import thin
from trundle.fields.step import Better, By, Kept, Stock
from trundle.fields.stock import Count, SteelName, StockMm
from trundle.springs.on_arm import section
from trundle.steel.leaf import DRY_STEEL_FRICTION, Stack
from trundle.steel.materials import UNKNOWN_SCRAP, Steel, steel, tested
from trundle.steel.sizes import LEAF_WIDTHS_MM, LEAVES_MM, SPRING_STEELS
from trundle.units import MM


class LeafStack(Spec):
    """Leaves of one section on each other, of one steel."""

    width_mm: Annotated[StockMm, Stock(LEAF_WIDTHS_MM)]
    """Width of a leaf, mm.

    Usual: 40 to 60.
    Measure: calliper across the leaf, away from eyes and clips.
    If wrong: rate and strength are wrong by as much.
    """

    thickness_mm: Annotated[StockMm, Stock(LEAVES_MM)]
    """Thickness of one leaf, mm, not of the stack.

    Usual: 3 to 8.
    Measure: calliper at three places, rust filed off; the thinnest counts.
    If wrong: rate goes with its third power, stress with its second: 5 % is 16 %.
    Also called: gauge
    """

    full_leaves: Annotated[Count, By(1, least=1)] = 1
    """Leaves of full length, the main leaf counted.

    Usual: 1 to 3.
    Measure: count those that reach the ends.
    If wrong: the ends are told stiffer or weaker than they are.
    """

    graduated_leaves: Annotated[int, Field(ge=0, le=30), By(1, least=0)] = 0
    """Leaves that get shorter, in even steps.

    Usual: 0 to 6.
    Measure: count those that end before the ends.
    If wrong: rate and stress are wrong by about one leaf in all.
    Also called: helper leaves, short leaves
    """

    arm_top_mm: Annotated[float, Field(ge=-200, le=200), By(5)] = 0.0
    """Where the leaf bears on the arm: that face above the line from pivot to axle, square to it, mm; negative: below
    it.

    Usual: half the arm's height, 15 to 25.
    Measure: straightedge from pivot bolt to axle bolt along the arm's side, rule square to it up to the face.
    If wrong: the arm hangs lower or higher by about as much, and the hull with it.
    """

    friction: Annotated[float, Field(ge=0, le=1), Kept("a property, not a choice")] = DRY_STEEL_FRICTION
    """Coefficient of friction between the leaves.

    Usual: 0.3 dry, 0.1 greased; with a single leaf it does nothing.
    Measure: nothing in a garage does: take the usual.
    If wrong: only how soon it stops bouncing: nothing that stands.
    """

    steel: Annotated[SteelName, Better((SPRING_STEELS,))] = UNKNOWN_SCRAP
    """Spring steel it is made of, in its condition.

    Usual: unknown scrap for a leaf off a vehicle; 51CrV4 for one bought hardened to a standard.
    Measure: bend test of a scrap leaf: lay it on two supports, press in the middle, write down load and deflection, let
    go and see whether it comes back. Bend it further each time. The stress where it first stays bent by a hair is its
    yield: 1.5 x load x distance of the supports / (width x thickness^2), N and mm giving MPa. `trundle leaf test` works
    that out, with yield_MPa to paste; without a test use "unknown scrap". Nothing may fly: clamp it, and stand aside.
    If wrong: the margins are wrong: a soft leaf takes a set within the first hour and the hull sinks. One heated red
    since is soft.
    Also called: material, grade, alloy
    """

    yield_MPa: Annotated[float, Field(ge=100, le=2_500), Kept("what a test said of it")] | None = None
    """Stress up to which it was bent and came back, MPa: what a bend test said of this very leaf, in place of the yield
    that its `steel` is taken to have. Left out: that.

    Usual: 900 to 1400 of a leaf that was a spring, 250 to 400 of one that was heated red.
    Measure: bend test, as told at `steel`: `trundle leaf test` makes a figure of its loads and deflections, and says
    how sure that is.
    If wrong: told too high, the leaf takes a set where the sheet sees a margin, and the hull sinks.
    Also called: bend test, yield strength, Rp0.2, safe stress
    """

    modulus_GPa: Annotated[float, Field(ge=20, le=250), Kept("what a test said of it")] | None = None
    """How stiff the leaf's material is, Young's modulus, GPa: what a bend test said. Left out: 206, as of every steel.

    Usual: 200 to 210 of steel, whichever; 35 to 45 of glass fibre along the leaf.
    Measure: bend test, as for yield_MPa, from loads that it comes back from; `trundle leaf test`. A steel leaf that
    gives another figure is not as thick as it was taken to be: measure that again.
    If wrong: rates are wrong by as much, and with them how high the hull stands.
    Also called: Young's modulus, elastic modulus, E, stiffness of the material, composite leaf, glass fibre
    """

    @property
    def metal(self) -> Steel:
        """What it is made of, by the builder's test where there is one: nobody else reads `steel`."""
        return tested(steel(self.steel), self.yield_MPa, self.modulus_GPa)

    @property
    def stack(self) -> Stack:
        """The leaves as a beam."""
        return Stack(
            self.width_mm * MM, self.thickness_mm * MM, self.full_leaves, self.graduated_leaves, self.metal.E_Pa
        )

    def strip_width_field(self) -> str | None:
        """A leaf may be half of a wider one."""
        return "width_mm"

    def held_fields(self) -> frozenset[str]:
        """A tested yield stands in the place of the steel's: another name changes nothing."""
        return frozenset({"steel"}) if self.yield_MPa is not None else frozenset()

    @property
    def leaves(self) -> int:
        """How many leaves there are."""
        return self.full_leaves + self.graduated_leaves

    def section_sketch(self) -> Sketch:
        """Cut across where it is thickest, the main leaf undermost."""
        wide, each = self.width_mm, self.thickness_mm
        half, high = 0.5 * wide, each * self.leaves
        shorter = (0.0, (self.full_leaves + 0.5 * self.graduated_leaves) * each)
        marks = (
            Span("width_mm", (-half, 0.0), (half, 0.0), "x"),
            Span("thickness_mm", (half, 0.0), (half, each), "y"),
            Note("full_leaves", (-half, 0.5 * self.full_leaves * each)),
            Note("graduated_leaves", shorter if self.graduated_leaves else (0.0, high)),
            Note("friction", (-0.5 * half, each)),
        )
        return Sketch("the stack where it is held", "section", section(wide, each, self.leaves), marks)

    def bend_test_sketch(self) -> Sketch:
        """A scrap leaf on two supports, loaded in the middle."""
        half, each = 150.0, self.thickness_mm
        t = np.linspace(-1.0, 1.0, 25)
        # The bending line of a beam on two supports with a load in its middle: (3 s - s3)/2 of it at s of the half.
        s = 1.0 - np.abs(t)
        under = np.stack([half * t, -18.0 * (3.0 * s - s**3) / 2.0], axis=1)
        ends = np.array([[1.15 * half, 0.15 * half * 0.18], [-1.15 * half, 0.15 * half * 0.18]])
        under = np.concatenate([ends[1:], under, ends[:1]])
        bar = area("spring", np.concatenate([under, under[::-1] + np.array([0.0, each])]))
        props = [np.array([[x - 14.0, -70.0], [x, 0.0], [x + 14.0, -70.0]]) for x in (-half, half)]
        floor = line("mark", np.array([[-1.3 * half, -70.0], [1.3 * half, -70.0]]))
        top = -18.0 + each
        load = np.array([[-22.0, top + 16.0], [22.0, top + 16.0], [22.0, top + 60.0], [-22.0, top + 60.0]])
        press = disc("steel", 0.0, top + 8.0, 8.0)
        gauge = thin(((-1.1 * half, 0.0), (1.1 * half, 0.0)))
        shapes = (floor, *(area("steel", p) for p in props), gauge, bar, press, area("steel", load))
        marks = (
            Note("steel", (0.0, -18.0)),
            Note("yield_MPa", (-22.0, top + 38.0)),
            Note("modulus_GPa", (0.5 * half, -12.4)),
        )
        return Sketch("bend test of a scrap leaf", "side", shapes, marks)
