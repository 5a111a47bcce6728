"""The course with the vehicle on it, to a stated scale, with pitch and belly clearance below."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from trundle.findings.record import Record
from trundle.model.arrays import Floats
from trundle.report.frame import BLUE, INK, LEFT_IN, RIGHT_IN, WIDE_IN, Moment, Sheet
from trundle.report.thin import thin
from trundle.units import DEG, MM

SCALES = (1, 2, 3, 5)
"""How much larger heights may be drawn than lengths."""

TALLEST_IN, LOWEST_IN = 2.0, 0.9
MOST_GHOSTS = 9
_TURN = np.linspace(0.0, 2.0 * np.pi, 33)


def course_picture(result: Record, moments: Sequence[Moment] = ()) -> tuple[Sheet, int]:
    """The picture, and how many times larger its heights are than its lengths."""
    ground, timeline = result.ground, result.log
    x = np.asarray(timeline["hull.x_mm"].to_numpy() * MM)
    y = np.asarray(timeline["hull.y_mm"].to_numpy() * MM)
    above = result.vehicle.hull.height_mm * MM - result.assembly.com[1]
    low = float(ground.height_m.min()) - 0.05
    high = max(float(y.max()) + max(above, 0.0), float(ground.height_m.max())) + 0.05
    per_m = (WIDE_IN - LEFT_IN - RIGHT_IN) / ground.length_m
    scale = max((s for s in SCALES if s * per_m * (high - low) <= TALLEST_IN), default=1)
    tall = max(LOWEST_IN, scale * per_m * (high - low))
    sheet = Sheet([tall, 0.95, 0.95], ground.spans, ground.length_m, "course position [m]", moments)
    land, pitch, belly = sheet.panels

    along = np.arange(len(ground.height_m), dtype=np.float64) * ground.dx_m
    gx, gy = thin(along, ground.height_m, 3000)
    spare = 0.5 * (tall / (scale * per_m) - (high - low))
    floor = low - spare
    land.limits(floor, high + spare)
    land.area(gx, gy, floor, "#c9bfa8")
    land.curve(gx, gy, colour="#6b5d3f")
    land.outlines(_ghosts(result), "#59738c", 0.18, "#5a6b7a")
    land.curve(x, y, colour=BLUE, wide=1.1)
    land.label = "height [m]"

    pitch.curve(x, np.asarray(timeline["hull.pitch_deg"].to_numpy()))
    pitch.rule(0.0)
    pitch.label = "nose up [deg]"
    clear = np.asarray(timeline["belly.clearance_mm"].to_numpy())
    belly.curve(x, clear, colour=INK)
    belly.rule(0.0, "belly on the ground")
    belly.limits(min(0.0, float(clear.min())) - 8.0, 1.12 * max(float(clear.max()), 10.0))
    belly.label = "clear [mm]"
    return sheet, scale


def _ghosts(result: Record) -> list[Floats]:
    """Outlines of hull and wheels at a few moments, evenly along the way, each (n, 2) [m]."""
    timeline, vehicle, assembly = result.log, result.vehicle, result.assembly
    x = timeline["hull.x_mm"].to_numpy() * MM
    reach = float(assembly.model.hull.nose_x - assembly.model.hull.tail_x)
    rings = [f"wheel.{n}" for n in assembly.wheel] + (["sprocket", "idler"] if vehicle.track else [])
    com = np.array(assembly.com)
    hull = vehicle.hull
    box = [(hull.length_mm * MM, hull.height_mm * MM), (0.0, hull.height_mm * MM)]
    outline = np.array([(px * MM, py * MM) for px, py in hull.belly_mm] + box) - com
    count = int(min(MOST_GHOSTS, max(3.0, 1.0 + (x.max() - x.min()) / (1.35 * max(reach, 0.2)))))
    furthest = np.maximum.accumulate(x)
    rows = [int(np.argmax(furthest >= at - 1e-9)) for at in np.linspace(x.min(), x.max(), count)]
    wanted = ["hull.x_mm", "hull.y_mm", "hull.pitch_deg", *(f"{name}.{q}" for name in rings for q in ("x_mm", "y_mm"))]
    at_rows = {name: timeline[name].to_numpy()[rows] for name in wanted}
    shapes: list[Floats] = []
    for k in range(count):
        row = {name: values[k] for name, values in at_rows.items()}
        p = float(row["hull.pitch_deg"]) * DEG
        turn = np.array([[np.cos(p), -np.sin(p)], [np.sin(p), np.cos(p)]])
        shapes.append(outline @ turn.T + np.array([row["hull.x_mm"], row["hull.y_mm"]]) * MM)
        for name, radius in zip(rings, assembly.model.rings["radius"], strict=True):
            centre = np.array([row[f"{name}.x_mm"], row[f"{name}.y_mm"]]) * MM
            shapes.append(centre + radius * np.column_stack([np.cos(_TURN), np.sin(_TURN)]))
    return shapes
