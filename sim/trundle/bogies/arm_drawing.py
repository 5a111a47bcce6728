"""Arms and beams on paper, laid in the hull: plain geometry, which the kinds put their marks on."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from trundle.fields.shape import Points, Shape, area, disc, line
from trundle.fields.sketch import XY, Around, Mark, Note, Sketch, Span, Turn
from trundle.fields.sketch_parts import arc, arrow, axle_direction_deg, between, box, middle_of, polar, thin, wheel
from trundle.springs import Arm, Mount, Spring
from trundle.springs.answers import Pose
from trundle.units import DEG, MM

BEAM_MM = 26.0
"""Height of a beam as drawn, mm."""

SLEEVE_MM, PIN_MM = 20.0, 8.0
"""Radii of a pivot's sleeve and bolt as drawn, mm."""


def pins(x_mm: float = 0.0, y_mm: float = 0.0) -> tuple[Shape, ...]:
    """A pivot: its sleeve and its bolt."""
    return disc("steel", x_mm, y_mm, SLEEVE_MM), disc("hole", x_mm, y_mm, PIN_MM)


def arm_shapes(tip_mm: float) -> tuple[Shape, ...]:
    """An arm, level, from its pivot at the origin."""
    bar: Points = np.array([[0.0, 19.0], [tip_mm, 13.0], [tip_mm, -13.0], [0.0, -19.0]])
    return area("steel", bar), *pins()


def beam_shapes(half_mm: float, drop_mm: float) -> tuple[Shape, ...]:
    """A beam, level, from its pivot at the origin: its axles so far fore and aft, and so far below."""
    bent = np.array([[half_mm, -drop_mm], [0.0, 0.0], [-half_mm, -drop_mm]])
    return line("steel", bent, BEAM_MM), *pins()


@dataclass(frozen=True)
class Standing:
    """An arm as it stands in the hull. pivot: its place [mm]; turn_deg: of the arm against the hull, anticlockwise;
    angle_deg: of the arm below the hull's horizontal; sign: 1 if it points forward."""

    pivot: XY
    arm_mm: float
    sign: float
    angle_deg: float

    @property
    def turn_deg(self) -> float:
        """Anticlockwise from level."""
        return -self.sign * self.angle_deg

    @property
    def axle(self) -> XY:
        """Its end, in the hull [mm]."""
        return self.along(self.arm_mm)

    def along(self, at_mm: float, above_mm: float = 0.0) -> XY:
        """A place so far along it from the pivot, and so far above the line of pivot and axle."""
        x, y = polar(self.pivot, self.sign * at_mm, self.turn_deg)
        return polar((x, y), above_mm, self.turn_deg + 90.0)

    def direction_deg(self, below_deg: float) -> float:
        """From the pivot towards an axle so far below level, anticlockwise from forward."""
        return axle_direction_deg(self.sign, below_deg)

    def shapes(self) -> tuple[Shape, ...]:
        """The arm with its pivot."""
        return tuple(s.moved(self.turn_deg * DEG, np.array(self.pivot)) for s in arm_shapes(self.sign * self.arm_mm))


def below_deg(height_mm: float, arm_mm: float) -> float:
    """Angle below level of an arm whose axle is so high over its pivot; upright where it does not reach so far."""
    return -math.degrees(math.asin(max(-1.0, min(1.0, height_mm / arm_mm))))


def standing(around: Around, name: str, pivot: XY, sign: float, arm_mm: float, heights_mm: Sequence[float]) -> Standing:
    """An arm as it is said to stand; with nothing said, its axle half-way between the heights at its stops [mm]."""
    angle = around.arms_deg.get(name, around.arm_deg)
    if angle is None:
        angle = below_deg(0.5 * sum(heights_mm), arm_mm)
    return Standing(pivot, arm_mm, sign, angle)


def spring_shapes(spring: Spring, arms: Sequence[Standing], stops_deg: tuple[float, float]) -> tuple[Shape, ...]:
    """A spring on the arms that it works on, or one on each; unloaded where its law has no answer at their angles.

    stops_deg: bump and droop below level.
    """
    groups = [[a] for a in arms] if spring.arms == 1 else [list(arms)]
    out: list[Shape] = []
    for group in groups:
        first, last = group[0], group[-1]
        middle = between(first.pivot, last.pivot)
        apart = abs(first.pivot[0] - last.pivot[0])
        angles = tuple(a.angle_deg * DEG for a in group)
        bump, droop = (s * DEG for s in stops_deg)
        mount = Mount(Arm(first.arm_mm * MM, bump, droop), apart * MM)
        try:
            torques = spring.at(angles, mount).torques_Nm
        except ValueError:  # a spring that cannot work there is drawn all the same: its message says why
            torques = (0.0,) * len(group)
        pose = Pose(angles, torques, first.sign, first.arm_mm, apart)
        out += [s.moved(0.0, np.array(middle)) for s in spring.shapes(pose)]
    return tuple(out)


def axle_wheels(around: Around, axles: Sequence[XY]) -> tuple[Shape, ...]:
    """A road wheel on each axle."""
    return tuple(s for axle in axles for s in wheel(axle, around.wheel_radius_mm))


def stop_lines(arm: Standing, bump_deg: float, droop_deg: float) -> tuple[Shape, ...]:
    """Where the arm is at its two stops, as thin lines, and the arc between its axle's ends."""
    ends = [arm.direction_deg(d) for d in (bump_deg, droop_deg)]
    lines = [thin((arm.pivot, polar(arm.pivot, arm.arm_mm, e))) for e in ends]
    return *lines, line("mark", arc(arm.pivot, arm.arm_mm, *ends))


PAD_ALONG = 0.6
"""Where along its arm a pad is drawn that is only known as it is felt at the axle."""


def stop_pad(arm: Standing, bump_deg: float, from_pivot_mm: float | None = None) -> Shape:
    """The bump pad, on the hull where the arm meets it, so far from the pivot."""
    along = PAD_ALONG * arm.arm_mm if from_pivot_mm is None else from_pivot_mm
    at = polar(arm.pivot, along, arm.direction_deg(bump_deg))
    size = 0.07 * arm.arm_mm
    return box("rubber", at[0] - 1.5 * size, at[1] + 13.0, at[0] + 1.5 * size, at[1] + 13.0 + 1.6 * size)


def arm_marks(arm: Standing) -> tuple[Mark, ...]:
    """What arms of every kind have."""
    return (
        Span("arm_mm", arm.pivot, arm.axle),
        Note("arm_mass_kg", arm.along(0.5 * arm.arm_mm)),
        Note("pivot_friction_Nm", arm.pivot),
        Note("stops", arm.along(0.6 * arm.arm_mm, 13.0)),
        Note("damper", arm.along(0.75 * arm.arm_mm, 10.0)),
        Note("build", arm.along(0.3 * arm.arm_mm, -15.0)),
    )


def stops_sketches(low_mm: float, high_mm: float, around: Around, pad_mm: float | None) -> tuple[Sketch, ...]:
    """An arm between its stops, from its pivot: angles from the hull's horizontal, heights from the pivot's.

    low_mm, high_mm: of the axle over the pivot at droop and at bump. pad_mm: the pad from the pivot, if that is known.
    """
    arm = standing(around, around.name, around.at_mm, around.sign, around.arm_mm, (low_mm, high_mm))
    bump, droop = below_deg(high_mm, arm.arm_mm), below_deg(low_mm, arm.arm_mm)
    level, up, down = (arm.direction_deg(d) for d in (0.0, bump, droop))
    (x, y), reach = arm.pivot, arm.sign * arm.arm_mm
    axles = polar(arm.pivot, arm.arm_mm, up), polar(arm.pivot, arm.arm_mm, down)
    rubber = stop_pad(arm, bump, pad_mm)
    pad = middle_of((rubber,), arm.pivot)
    met = polar(arm.pivot, PAD_ALONG * arm.arm_mm if pad_mm is None else pad_mm, up)
    marks = (
        Turn("bump_below_level_deg", arm.pivot, 0.55 * arm.arm_mm, level, up),
        Turn("droop_below_level_deg", arm.pivot, 0.75 * arm.arm_mm, level, down),
        Turn("travel_deg", arm.pivot, 0.92 * arm.arm_mm, up, down),
        Span("bump_axle_above_pivot_mm", (x + 1.1 * reach, y), axles[0], "y"),
        Span("droop_axle_above_pivot_mm", (x + 1.2 * reach, y), axles[1], "y"),
        Span("travel_mm", (x + 1.3 * reach, axles[0][1]), axles[1], "y"),
        Note("pad_rate_N_per_mm", pad),
        Note("pad_loss", (pad[0], pad[1] - 4.0)),
        Note("pad", (pad[0], pad[1] + 4.0)),
        Span("pad_from_pivot_mm", arm.pivot, met),
    )
    level_line = thin((arm.pivot, (x + 1.35 * reach, y)))
    shapes = (level_line, *stop_lines(arm, bump, droop), rubber, *arm.shapes())
    placed = around.at_mm != Around().at_mm
    return (Sketch("an arm's travel between its stops", "side", shapes, marks, in_hull=placed),)


def damper_sketches(around: Around) -> tuple[Sketch, ...]:
    """A damper between arm and hull; its axle's speed is what it goes by."""
    arm = standing(around, around.name, (0.0, 0.0), around.sign, around.arm_mm, (-0.4 * around.arm_mm, 0.0))
    foot, size = arm.along(0.75 * arm.arm_mm), 0.04 * arm.arm_mm
    head = 0.5 * foot[0], 0.7 * arm.arm_mm
    tube = between(foot, head, 0.45)
    shapes = (
        *axle_wheels(around, (arm.axle,)),
        *arm.shapes(),
        line("steel", np.array([foot, head]), 0.8 * size),
        line("steel", np.array([foot, tube]), 3.0 * size),
        *(disc("hole", *p, 1.4 * size) for p in (foot, head)),
        box("steel", head[0] - 4.0 * size, head[1] + 1.4 * size, head[0] + 4.0 * size, head[1] + 2.4 * size),
        *arrow((arm.axle[0], arm.axle[1] + 0.5 * arm.arm_mm), 90.0, 0.3 * arm.arm_mm),
        *arrow((arm.axle[0], arm.axle[1] - 0.5 * arm.arm_mm), -90.0, 0.3 * arm.arm_mm),
    )
    marks = (
        Note("bump_N_s_per_mm", (arm.axle[0], arm.axle[1] + 0.35 * arm.arm_mm)),
        Note("droop_N_s_per_mm", (arm.axle[0], arm.axle[1] - 0.35 * arm.arm_mm)),
    )
    return (Sketch("damper, as felt at the axle", "side", shapes, marks),)
