"""How an arm is made, on paper: bolts cut through, the arm with its holes, the bracket's plate, the weld, the screw."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np

from trundle.bogies.arm_drawing import PIN_MM
from trundle.fields.shape import Points, Shape, area, disc, line
from trundle.fields.sketch import XY, Around, Mark, Note, Round, Sketch, Span
from trundle.fields.sketch_parts import arc, between, box, polar, thin
from trundle.steel.bolts import thread
from trundle.steel.outline import Edge, rounded_rectangle
from trundle.steel.sections import channel_outline, corner_radius
from trundle.units import MM

if TYPE_CHECKING:
    from trundle.bogies.build import ArmBuild, Bracket
    from trundle.bogies.joints import Adjuster, AxleBolt, AxleWeld, PivotBolt
    from trundle.bogies.section import ArmSection

ARM_MM, PLATE_MM = 40.0, 8.0
"""Width of an arm and of a bracket's plate as drawn where their own tables are not at hand, mm."""


def bolt_mm(name: str) -> float:
    """Diameter of a thread [mm]."""
    return thread(name).diameter_m / MM


def _bolt(left: float, right: float, d: float) -> tuple[Shape, ...]:
    """A bolt along x with its head on the left and nut on the right, of what it grips."""
    shank = box("spring", left, -0.5 * d, right + 0.4 * d + 0.8 * d, 0.5 * d)
    head = box("spring", left - 0.65 * d, -0.85 * d, left, 0.85 * d)
    nut = box("spring", right, -0.85 * d, right + 0.8 * d, 0.85 * d)
    return shank, head, nut


def _cut_wheel(left: float, wide: float, radius: float, bore: float) -> list[Shape]:
    """A wheel cut through its axle, above and below it."""
    out: list[Shape] = []
    for s in (1.0, -1.0):
        out.append(box("steel", left + 0.08 * wide, s * bore, left + 0.92 * wide, s * 0.68 * radius))
        out.append(box("rubber", left, s * 0.68 * radius, left + wide, s * radius))
    return out


def axle_sketches(axle: AxleBolt, around: Around) -> tuple[Sketch, ...]:
    """Seen along the hull, cut through the axle; between wheels no washer counts: how it would be on one side too."""
    if axle.held != "between wheels":
        return (_axle_cut(axle, axle.held, around),)
    other = _axle_cut(axle, "one side", around)
    gap = tuple(m for m in other.marks if m.field == "side_gap_mm")
    beside = replace(other, title="the same held on one side", marks=gap)
    return _axle_cut(axle, axle.held, around), beside


def _axle_cut(axle: AxleBolt, held: str, around: Around) -> Sketch:
    """Wheels, guide tooth, arm, washers, bolt."""
    d, wide, radius = bolt_mm(axle.thread), around.wheel_width_mm, around.wheel_radius_mm
    n, gap, side = around.wheels_abreast, axle.wheels_apart_mm, axle.side_gap_mm
    between_two = held == "between wheels"
    across = n * wide + (n - 1) * gap
    lefts = [k * (wide + gap) for k in range(n)]
    shapes: list[Shape] = [s for left in lefts for s in _cut_wheel(left, wide, radius, 0.5 * d)]
    arm = max(gap - 2.0 * side, 0.5 * gap) if between_two else ARM_MM
    tall = 0.5 * min(ARM_MM, radius)
    low, high = 0.0, across
    if between_two:
        middle = wide + 0.5 * gap
        holds = [(middle - 0.5 * arm, middle + 0.5 * arm)]
        washers = [(wide, holds[0][0]), (holds[0][1], wide + gap)]
    elif held == "one side":
        holds, low = [(-side - arm, -side)], -side - arm
        washers = [(-side, 0.0)]
    else:
        plates = (-side - PLATE_MM, -side), (across + side, across + side + PLATE_MM)
        holds, low, high = [*plates], plates[0][0], plates[1][1]
        washers = [(-side, 0.0), (across, across + side)]
    shapes += [box("steel", a, -tall, b, tall) for a, b in holds]
    shapes += [box("spring", a, -0.9 * d, b, 0.9 * d) for a, b in washers if b > a]
    if not between_two:
        # The spacers between the hubs.
        shapes += [box("steel", x - gap, -0.8 * d, x, 0.8 * d) for x in lefts[1:] if gap > 0.0]
    shapes += _bolt(low, high, d)
    ground = -radius
    track = box("rubber", -0.15 * across, ground - around.track_thickness_mm, 1.15 * across, ground)
    tooth = axle.tooth_width_mm if axle.tooth_width_mm is not None else max(gap - 14.0, 0.5 * gap)
    marks: list[Mark] = [
        Note("thread", (high + 0.8 * d, 0.0)),
        Note("grade", (low - 0.4 * d, 0.0)),
        Note("held", (0.5 * (holds[0][0] + holds[0][1]), tall)),
        Note("threads_in_bend", (lefts[0] + 0.25 * wide if between_two else 0.2 * wide, 0.0)),
        Span("length_mm", (low, -0.5 * d), (high + 1.2 * d, -0.5 * d), "x"),
    ]
    if n > 1 and gap > 0.0:
        foot, tip, a = ground, ground + 0.38 * radius, wide + 0.5 * gap
        horn = [[a - 0.5 * tooth, foot], [a + 0.5 * tooth, foot], [a + 0.3 * tooth, tip], [a - 0.3 * tooth, tip]]
        shapes.append(area("steel", np.array(horn)))
        marks.append(Span("wheels_apart_mm", (wide, radius), (wide + gap, radius), "x"))
        marks.append(Span("tooth_width_mm", (a - 0.5 * tooth, foot), (a + 0.5 * tooth, foot), "x"))
    else:
        marks += [Note("wheels_apart_mm", (across, 0.8 * radius)), Note("tooth_width_mm", (0.5 * across, ground))]
    washer = washers[0]
    if not between_two and side > 0.0:
        marks.append(Span("side_gap_mm", (washer[0], 0.9 * d), (washer[1], 0.9 * d), "x"))
    elif not between_two:
        marks.append(Note("side_gap_mm", (washer[0], 0.9 * d)))
    return Sketch("axle cut through, seen along the hull", "section", (track, *shapes), tuple(marks))


def pivot_sketches(pivot: PivotBolt, around: Around) -> tuple[Sketch, ...]:
    """Seen along the hull, cut through the pivot: sleeve, play, plates, bolt."""
    d, sleeve, gap = bolt_mm(pivot.thread), pivot.sleeve_mm, pivot.gap_mm
    both = pivot.held == "both sides"
    bore = 0.5 * pivot.bore_mm
    wall = 0.5 * pivot.sleeve_outside_mm if pivot.sleeve_outside_mm is not None else bore + max(0.3 * d, 4.0)
    shapes: list[Shape] = [box("steel", 0.0, s * bore, sleeve, s * wall) for s in (1.0, -1.0)]
    shapes.append(box("steel", 0.15 * sleeve, wall, 0.85 * sleeve, wall + 0.5 * sleeve))
    plates = [(-gap - PLATE_MM, -gap)] + ([(sleeve + gap, sleeve + gap + PLATE_MM)] if both else [])
    shapes += [box("steel", a, -1.6 * d, b, 4.0 * d) for a, b in plates]
    gaps = [(-gap, 0.0), (sleeve, sleeve + gap)]
    shapes += [box("spring", a, -0.9 * d, b, 0.9 * d) for a, b in gaps if gap > 0.0]
    high = plates[-1][1] if both else sleeve + gap
    shapes += _bolt(plates[0][0], high, d)
    play: Mark = Span("gap_mm", (0.0, -0.9 * d), (-gap, -0.9 * d), "x") if gap > 0.0 else Note("gap_mm", (0.0, 0.0))
    marks = (
        Span("sleeve_mm", (0.0, -wall), (sleeve, -wall), "x"),
        Span("sleeve_outside_mm", (0.0, -wall), (0.0, wall), "y"),
        Span("sleeve_bore_mm", (sleeve, -bore), (sleeve, bore), "y"),
        play,
        Note("thread", (high + 0.8 * d, 0.0)),
        Note("grade", (plates[0][0] - 0.4 * d, 0.0)),
        Note("held", (0.5 * sum(plates[0]), 3.0 * d)),
        Note("threads_in_bend", (0.5 * sleeve, 0.0)),
        Span("length_mm", (plates[0][0], -0.5 * d), (high + 1.2 * d, -0.5 * d), "x"),
    )
    return (Sketch("pivot cut through, seen along the hull", "section", tuple(shapes), marks),)


def section_sketches(arm: ArmSection, around: Around) -> tuple[Sketch, ...]:
    """The arm from the side with its holes; its stock cut across."""
    return _arm_side(arm, around), _arm_cut(arm), _arm_kinds(arm)


def _arm_side(arm: ArmSection, around: Around) -> Sketch:
    """Level, its pivot's end on the left; x from the datum edge. A beam has its pivot between two axles."""
    tall, up = arm.height_mm, arm.holes_up_mm
    pivot, axle = (arm.pivot_from_end_mm, up), (arm.pivot_from_end_mm + around.arm_mm, up)
    end = axle[0] + arm.axle_to_end_mm
    holes = [(pivot, arm.pivot_hole_mm), (axle, arm.axle_hole_mm)]
    aft = [((pivot[0] - around.arm_mm, up), arm.axle_hole_mm)] if around.both_ends else []
    wall = arm.thickness_mm if arm.kind in ("channel", "square tube") and arm.thickness_mm is not None else 0.0
    shapes: list[Shape] = [box("steel", 0.0, 0.0, end, tall)]
    if wall > 0.0:
        shapes.append(thin(((0.0, wall), (end, wall))))
        if arm.kind == "square tube":
            shapes.append(thin(((0.0, tall - wall), (end, tall - wall))))
    shapes += [disc("hole", *at, 0.5 * (size if size is not None else 2.0 * PIN_MM)) for at, size in (*holes, *aft)]
    marks: list[Mark] = [
        Span("pivot_from_end_mm", (0.0, tall), (pivot[0], tall), "x"),
        Span("axle_to_end_mm", (axle[0], tall), (end, tall), "x"),
        Span("holes_from_back_mm", (0.5 * (pivot[0] + axle[0]), 0.0), (0.5 * (pivot[0] + axle[0]), up), "y"),
    ]
    for name, (at, size) in zip(("pivot_hole_mm", "axle_hole_mm"), holes, strict=True):
        marks.append(Note(name, at) if size is None else Round(name, at, 0.5 * size, "diameter", towards_deg=-45.0))
    what = "beam" if around.both_ends else "arm"
    return Sketch(f"{what} from the side", "side", tuple(shapes), tuple(marks))


def _arm_cut(arm: ArmSection) -> Sketch:
    """Its section, back or lower edge at the bottom, with the hole through its side as a line."""
    side, tall, up = arm.side_mm, arm.height_mm, arm.holes_up_mm
    half, wall = 0.5 * arm.width_mm, arm.thickness_mm
    match arm.kind:
        case "square tube":
            assert wall is not None
            shapes = _tube(side, wall)
            edge = (-half, 0.7 * side), (-half + wall, 0.7 * side)
        case "channel":
            assert wall is not None
            shapes = _channel(side, wall, tall)
            edge = (-half, 0.6 * tall), (-half + wall, 0.6 * tall)
        case "flat":
            assert wall is not None
            shapes = (box("steel", -half, 0.0, half, tall),)
            edge = (-half, tall), (half, tall)
        case "round":
            bore = 0.0 if wall is None else max(0.5 * side - wall, 0.0)
            shapes = (disc("steel", 0.0, 0.5 * side, 0.5 * side),)
            shapes += (disc("hole", 0.0, 0.5 * side, bore),) if bore > 0.0 else ()
            edge = (-0.5 * side, 0.5 * side), (-bore, 0.5 * side)
    through: Shape = line("mark", np.array([[-half - 8.0, up], [half + 8.0, up]]))
    steel = (
        (0.0, 0.5 * (wall or side))
        if arm.kind != "round"
        else polar((0.0, 0.5 * side), 0.5 * side - 0.4 * (wall or 5), 250.0)
    )
    across: Mark = Span("side_mm", (-half, 0.0), (half, 0.0), "x")
    if arm.kind == "flat":
        across = Span("side_mm", (half, 0.0), (half, tall), "y")
    marks: tuple[Mark, ...] = (
        across,
        Span("thickness_mm", *edge, "x") if wall is not None else Note("thickness_mm", (0.0, 0.5 * side)),
        Note("steel", steel),
        Span("depth_mm", (half, 0.0), (half, tall), "y") if arm.kind == "channel" else Note("depth_mm", (0.0, tall)),
        Note("cut", (0.5 * (wall or 0.0) - half, tall) if arm.kind == "channel" else (0.3 * half, tall)),
    )
    return Sketch(f"the arm's {arm.kind} cut across", "section", (*shapes, through), marks)


def _arm_kinds(arm: ArmSection) -> Sketch:
    """One of each beside each other, a leader to the one that it is: tube, channel cut from it, flat, round."""
    side, wall, step = 40.0, 4.0, 56.0
    tube, channel = _tube(side, wall), _channel(side, wall, side - wall)
    flat, rod = (box("steel", -5.0, 0.0, 5.0, side),), (disc("steel", 0.0, 0.5 * side, 0.4 * side),)
    shapes = [s.moved(0.0, np.array([k * step, 0.0])) for k, of in enumerate((tube, channel, flat, rod)) for s in of]
    shapes.append(thin(((step - 0.5 * side, side), (step + 0.5 * side, side))))
    title = "square tube, channel cut from it, flat, round"
    which = ("square tube", "channel", "flat", "round").index(arm.kind)
    return Sketch(title, "section", tuple(shapes), (Note("kind", (which * step, 0.5 * wall + 4.0 * (which == 3))),))


def _tube(side: float, wall: float) -> tuple[Shape, ...]:
    out = corner_radius(wall * MM)
    if side * MM <= 2.0 * out:  # no such tube: its message says so, its corners are left square here
        return box("steel", -0.5 * side, 0.0, 0.5 * side, side), box(
            "hole", wall - 0.5 * side, wall, 0.5 * side - wall, side - wall
        )
    outer = _outline(rounded_rectangle(side * MM, side * MM, out))
    inner = _outline(rounded_rectangle((side - 2.0 * wall) * MM, (side - 2.0 * wall) * MM, out - wall * MM))
    up = np.array([0.0, 0.5 * side])
    return area("steel", outer + up), area("hole", inner + up)


def _channel(side: float, wall: float, tall: float) -> tuple[Shape, ...]:
    out = corner_radius(wall * MM)
    if side * MM <= 2.0 * out or not out < tall * MM <= (side - wall) * MM:  # as above
        half = 0.5 * side
        legs = [box("steel", s * half, 0.0, s * (half - wall), tall) for s in (-1.0, 1.0)]
        return box("steel", -half, 0.0, half, min(wall, tall)), *legs
    return (area("steel", _outline(channel_outline(side * MM, wall * MM, tall * MM))),)


def _outline(edges: Sequence[Edge]) -> Points:
    """Points along lines and arcs [mm]."""
    t = np.linspace(0.0, 1.0, 9)[:-1]
    rows = [np.stack(edge.points(t)[:2], axis=1) for edge in edges]
    out: Points = np.concatenate(rows) / MM
    return out


def bracket_shapes(plate: Bracket, middle: XY, pivots_mm: Sequence[float], pivot_mm: float) -> tuple[Shape, ...]:
    """The plate from the side, by the middle of its pivots in the hull; pivots_mm: from that middle; pivot_mm: their
    holes' diameter."""
    x, y = middle
    low = y - plate.pivots_from_bottom_mm
    top = low + plate.height_mm
    half = 0.5 * plate.length_mm
    shapes: list[Shape] = [box("steel", x - half, low, x + half, top)]
    shapes += [disc("hole", x + at, y, 0.5 * pivot_mm) for at in pivots_mm]
    if plate.hull_thread is not None:
        hole = 0.5 * (bolt_mm(plate.hull_thread) + 1.0)
        shapes += [disc("hole", *at, hole) for at in _hull_bolts(plate, middle)]
    return tuple(shapes)


def _hull_bolts(plate: Bracket, middle: XY) -> tuple[XY, XY]:
    """Of the two outer ones; where the file has none, where they might be."""
    apart = plate.hull_bolts_apart_mm if plate.hull_bolts_apart_mm is not None else 0.7 * plate.length_mm
    down = plate.hull_bolts_from_top_mm if plate.hull_bolts_from_top_mm is not None else 0.16 * plate.height_mm
    y = middle[1] - plate.pivots_from_bottom_mm + plate.height_mm - down
    return (middle[0] - 0.5 * apart, y), (middle[0] + 0.5 * apart, y)


def bracket_sketches(plate: Bracket, around: Around) -> tuple[Sketch, ...]:
    """From the side under the hull, its pivots' holes on the x axis; and its edge beside it."""
    apart = around.pivots_apart_mm
    pivots = (-0.5 * apart, 0.5 * apart) if 0.0 < apart < 0.8 * plate.length_mm else (0.0,)
    low, half = -plate.pivots_from_bottom_mm, 0.5 * plate.length_mm
    top = low + plate.height_mm
    aft, fore = _hull_bolts(plate, (0.0, 0.0))
    given = plate.hull_thread is not None
    edge = half + 40.0
    shapes = (
        box("steel", -half - 25.0, top, edge + plate.plate_mm + 25.0, top + 6.0),
        *bracket_shapes(plate, (0.0, 0.0), pivots, 2.0 * PIN_MM),
        box("steel", edge, low, edge + plate.plate_mm, top),
    )
    marks: tuple[Mark, ...] = (
        Span("plate_mm", (edge, low), (edge + plate.plate_mm, low), "x"),
        Span("length_mm", (-half, low), (half, low), "x"),
        Span("height_mm", (-half, top), (-half, low), "y"),
        Span("pivots_from_bottom_mm", (pivots[-1], low), (pivots[-1], 0.0), "y"),
        Span("hull_bolts_apart_mm", aft, fore, "x") if given else Note("hull_bolts_apart_mm", fore),
        Span("hull_bolts_from_top_mm", (fore[0], top), fore, "y") if given else Note("hull_bolts_from_top_mm", fore),
        Note("hull_thread", aft),
        Note("hull_grade", aft),
        Note("steel", (0.6 * half, 0.5 * (top + low))),
    )
    return (Sketch("bracket's plate from the side, its edge beside it", "side", shapes, marks),)


def weld_sketches(weld: AxleWeld, around: Around) -> tuple[Sketch, ...]:
    """The sleeve in the arm's side with the weld round it; the fillet cut through; along the hull."""
    r, throat = 0.5 * weld.sleeve_mm, weld.throat_mm
    leg = throat * math.sqrt(2.0)
    wall = box("steel", -2.2 * r, -1.9 * r, 2.2 * r, 1.9 * r)
    face = (wall, disc("spring", 0.0, 0.0, r + leg), disc("steel", 0.0, 0.0, r), disc("hole", 0.0, 0.0, 0.65 * r))
    front = Sketch(
        "sleeve in the arm's side, welded all round",
        "side",
        face,
        (Round("sleeve_mm", (0.0, 0.0), r, "diameter"),),
    )
    # Cut through the sleeve's axis: the arm's wall upright, the sleeve out of it to the right.
    thick, out = 4.0, 2.6 * leg
    fillet = np.array([[0.0, r], [leg, r], [0.0, r + leg]])
    cut = (
        box("steel", -thick, r, 0.0, r + 2.5 * leg),
        box("steel", -2.0 * thick, 0.65 * r, out, r),
        area("spring", fillet),
    )
    root = (0.0, r)
    marks = (Span("throat_mm", root, (root[0] + 0.5 * leg, root[1] + 0.5 * leg)),)
    # Along the hull: the arm's tube upright, the sleeve across it, as long as it is, or as the arm is wide.
    long = weld.sleeve_length_mm if weld.sleeve_length_mm is not None else ARM_MM
    half, tall = min(0.5 * ARM_MM, 0.4 * long), 1.6 * r + 6.0
    along = (
        box("steel", -half, -tall, half, tall),
        box("steel", -0.5 * long, -r, 0.5 * long, r),
        box("hole", -0.5 * long, -0.6 * r, 0.5 * long, 0.6 * r),
    )
    length = Span("sleeve_length_mm", (-0.5 * long, -r), (0.5 * long, -r), "x")
    return (
        front,
        Sketch("the weld cut through", "section", cut, marks),
        Sketch("the sleeve through the arm, seen along it", "section", along, (length,)),
    )


def adjuster_sketches(screw: Adjuster) -> tuple[Sketch, ...]:
    """A screw through the hull's plate that pushes the spring's seat down, all the way out and in."""
    d, travel = bolt_mm(screw.thread), screw.travel_mm
    seat = -1.6 * d
    shapes = (
        box("spring", -0.5 * d, seat, 0.5 * d, 2.2 * d + travel),
        box("spring", -0.85 * d, 2.2 * d + travel, 0.85 * d, 2.9 * d + travel),
        box("steel", -5.0 * d, 0.0, 5.0 * d, 0.5 * d),
        box("steel", -0.9 * d, 0.5 * d, 0.9 * d, 1.3 * d),
        box("steel", -2.5 * d, seat - 0.6 * d, 2.5 * d, seat),
        thin(((-2.5 * d, seat - travel), (2.5 * d, seat - travel))),
    )
    marks = (
        Span("travel_mm", (2.5 * d, seat), (2.5 * d, seat - travel), "y"),
        Note("thread", (0.0, 1.7 * d)),
    )
    return (Sketch("screw that sets the spring", "section", shapes, marks),)


def build_sketches(build: ArmBuild, around: Around) -> tuple[Sketch, ...]:
    """The arm on its bracket, with what each table inside is about."""
    arm, r = around.arm_mm, around.wheel_radius_mm
    section, bracket = build.arm, build.bracket
    tall = section.height_mm if section is not None else ARM_MM
    ends = (section.pivot_from_end_mm, section.axle_to_end_mm) if section is not None else (20.0, 20.0)
    aft = (-arm,) if around.both_ends else ()
    shapes: list[Shape] = [line("mark", arc((x, 0.0), r, 0.0, 360.0)) for x in (arm, *aft)]
    if bracket is not None:
        shapes += bracket_shapes(bracket, (0.0, 0.0), (0.0,), 2.0 * PIN_MM)
    left = -arm - ends[1] if around.both_ends else -ends[0]
    shapes.append(box("steel", left, -0.5 * tall, arm + ends[1], 0.5 * tall))
    sleeve = 0.5 * build.weld.sleeve_mm if build.weld is not None else 1.3 * PIN_MM
    for x in (arm, *aft):
        shapes += [disc("spring", x, 0.0, 1.3 * sleeve), disc("steel", x, 0.0, sleeve)]
    shapes += [disc("hole", x, 0.0, 0.6 * sleeve) for x in (0.0, arm, *aft)]
    held = bracket.height_mm - bracket.pivots_from_bottom_mm if bracket is not None else 2.0 * tall
    marks = (
        Note("axle", (arm, 0.0)),
        Note("pivot", (0.0, 0.0)),
        Note("arm", (0.5 * arm, 0.0)),
        Note("bracket", (0.0, 0.8 * held)),
        Note("weld", polar((arm, 0.0), 1.2 * sleeve, 120.0)),
        Note("adjuster", between((0.0, held), (arm, held), 0.15)),
    )
    return (Sketch("arm on its bracket", "side", tuple(shapes), marks),)
