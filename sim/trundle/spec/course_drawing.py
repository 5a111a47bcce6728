"""A course on paper: its obstacles one after another, with the flat before and behind them."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from trundle.fields.shape import Shape
from trundle.fields.sketch import XY, Around, Mark, Note, Sketch, Span
from trundle.terrain.ground import lay
from trundle.terrain.profile import ground, heading
from trundle.units import MM

if TYPE_CHECKING:
    from trundle.spec.course import Course


def course_sketches(course: Course, around: Around) -> tuple[Sketch, ...]:
    """From the side, heights larger than lengths, with the vehicle at its start."""
    laid = lay(course)
    corners = np.stack([laid.outline_x_m, laid.outline_y_m], axis=1) / MM
    places = [(start / MM, end / MM) for _, start, end in laid.spans]
    first = course.run_up_mm
    last = places[-1][1]
    end_y = float(corners[-1, 1])
    high = max(float(np.ptp(corners[:, 1])), 50.0)

    def top(place: tuple[float, float]) -> XY:
        x = 0.5 * (place[0] + place[1])
        return x, float(laid.height_at(x * MM)) / MM

    told = laid.tasks[0].at_m / MM if laid.tasks else 0.5 * (first + places[0][0])
    up, out = course.run_up_mm, course.run_out_mm
    marks: list[Mark] = [
        Span("run_up_mm", (0.0, 0.0), (up, 0.0), "x") if up else Note("run_up_mm", (0.0, 0.0)),
        Span("run_out_mm", (last, end_y), (last + out, end_y), "x") if out else Note("run_out_mm", (last, end_y)),
        *(Note("obstacle", top(place)) for place in places[:1]),
        Note("driver", (told, float(laid.height_at(told * MM)) / MM)),
        Note("speed_m_s", (0.6 * first, 1.4 * high)),
        Note("name", (0.0, 0.0)),
        Note("note", (0.0, 0.0)),
    ]
    shapes: tuple[Shape, ...] = (ground(corners, 0.0, 0.0), *heading(0.4 * first, 1.4 * high, 0.4 * first))
    return (Sketch("course", "curve", shapes, tuple(marks)),)
