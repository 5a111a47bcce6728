"""A road wheel on paper: from the side, and cut through its axle with those beside it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from trundle.fields.shape import Shape
from trundle.fields.sketch import Note, Round, Sketch, Span
from trundle.fields.sketch_parts import arrow, box, polar, thin, wheel

if TYPE_CHECKING:
    from trundle.spec.wheel import Wheel

GAP_MM = 44.0
"""Between two wheels side by side as drawn, mm: an axle's own table has the true one."""


def wheel_sketches(spec: Wheel) -> tuple[Sketch, ...]:
    """From the side on the ground; along the hull, all that are abreast."""
    return _side(spec), _cut(spec)


def _side(spec: Wheel) -> Sketch:
    r, foot = spec.radius_mm, (0.0, -spec.radius_mm)
    ground = thin(((-1.6 * r, -r), (1.6 * r, -r)))
    marks = (
        Round("radius_mm", (0.0, 0.0), r, towards_deg=60.0),
        Note("mass_kg", polar((0.0, 0.0), 0.4 * r, 150.0)),
        Note("spin_inertia_kg_m2", polar((0.0, 0.0), 0.55 * r, 20.0)),
        Note("rubber_rate_N_per_mm", polar((0.0, 0.0), 0.84 * r, 270.0)),
        Note("rubber_loss", polar((0.0, 0.0), 0.84 * r, 300.0)),
        Note("rated_load_N", polar(foot, 0.35 * r, -90.0)),
        Note("rolling_drag", (0.3 * r, -r)),
    )
    return Sketch("road wheel", "side", (*wheel((0.0, 0.0), r), ground, *arrow(foot, 90.0, 0.5 * r)), marks)


def _cut(spec: Wheel) -> Sketch:
    r, wide, n = spec.radius_mm, spec.width_mm, spec.abreast
    whole = n * wide + (n - 1) * GAP_MM
    shapes: list[Shape] = [box("steel", -0.5 * whole - 15.0, -7.0, 0.5 * whole + 15.0, 7.0)]
    for k in range(n):
        left = -0.5 * whole + k * (wide + GAP_MM)
        for s in (1.0, -1.0):
            shapes.append(box("steel", left + 0.1 * wide, s * 9.0, left + 0.9 * wide, s * 0.68 * r))
            shapes.append(box("rubber", left, s * 0.68 * r, left + wide, s * r))
    left = -0.5 * whole
    hub, bore = spec.hub_mm, 0.5 * (spec.hub_bore_mm if spec.hub_bore_mm is not None else 14.0)
    middle = left + 0.5 * wide
    for s in (1.0, -1.0):
        shapes.append(box("steel", middle - 0.5 * hub, s * bore, middle + 0.5 * hub, s * (bore + 5.0)))
    marks = (
        Span("width_mm", (left, r), (left + wide, r), "x"),
        Note("abreast", (0.5 * whole - 0.5 * wide, 0.85 * r)),
        Note("edge_mm", (left + wide, r)),
        Span("hub_width_mm", (middle - 0.5 * hub, -bore - 5.0), (middle + 0.5 * hub, -bore - 5.0), "x"),
        Span("hub_bore_mm", (middle - 0.5 * hub, -bore), (middle - 0.5 * hub, bore), "y"),
    )
    return Sketch("wheels on one axle, cut through it", "section", tuple(shapes), marks)
