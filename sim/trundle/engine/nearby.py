"""The same start, met a little differently: every target speed times a factor, and begun a little further on."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from trundle.engine.length import LEAST_ROAD_M
from trundle.engine.roll import Limits
from trundle.engine.simulate import Start
from trundle.engine.standing import stand
from trundle.model.arrays import Model
from trundle.terrain.ground import Ground

LEVEL_M = 1e-9
"""Heights that differ by less are level [m]."""

AROUND_M = 0.5
"""Level ground is wanted so far before the hull and behind it: wheels and track may reach out [m]."""


@dataclass(frozen=True)
class Draw:
    """How a near run differs. speed: factor on every target speed, the vehicle's, the course's, an obstacle's and the
    driver's when he backs up; shift_m: how much further on it starts [m]."""

    speed: float = 1.0
    shift_m: float = 0.0


def room_m(start: Start, ground: Ground) -> float:
    """How much further on a vehicle may start [m]: some road, and all that its driver is told, lie before it yet."""
    standing = start.standing
    at, nose = float(standing.q[0]), float(standing.assembly.model.hull.nose_x)
    ends = [ground.length_m - nose - LEAST_ROAD_M, *(min(t.at_m, t.to_m) for t in ground.tasks if t.at_m > 0.0)]
    return max(min(ends) - at, 0.0)


def drawn(start: Start, draw: Draw, ground: Ground) -> Start:
    """The start of a near run; `start` itself for a draw that changes nothing.

    On level ground the vehicle as it stands is put further on, elsewhere it is stood there anew.
    """
    if draw == Draw():
        return start
    standing = start.standing
    if draw.shift_m != 0.0:
        if _level(start, draw.shift_m, ground):
            state, q = standing.state.copy(), standing.q.copy()
            state.bodies[:, 0] += draw.shift_m
            q[0] += draw.shift_m
            standing = replace(standing, state=state, q=q)
        else:
            assembly = standing.assembly
            tail_m = float(standing.q[0]) - assembly.com[0]
            standing = stand(assembly.vehicle, assembly.model.ground, tail_m + draw.shift_m)
    model = faster(standing.assembly.model, draw.speed)
    standing = replace(standing, assembly=replace(standing.assembly, model=model))
    limits = start.limits
    return Start(standing, start.dt_s, Limits(limits.end_m, limits.start_m, limits.time_s / min(draw.speed, 1.0)))


def faster(model: Model, factor: float) -> Model:
    """The same with every target speed times a factor."""
    vehicle, speeds, tasks = model.vehicle.copy(), model.ground.speeds.copy(), model.ground.tasks.copy()
    vehicle[0].drive.speed *= factor
    speeds["speed"] *= factor
    tasks["speed"] *= factor
    return model._replace(vehicle=vehicle, ground=model.ground._replace(speeds=speeds, tasks=tasks))


def _level(start: Start, shift_m: float, ground: Ground) -> bool:
    """Whether the ground is level all round where the vehicle stands, here and there."""
    x, hull = float(start.standing.q[0]), start.standing.assembly.model.hull
    rear, front = x + float(hull.tail_x) - AROUND_M, x + float(hull.nose_x) + shift_m + AROUND_M
    heights = ground.height_at(np.arange(rear, front, 0.5 * ground.dx_m))
    return bool(np.ptp(heights) < LEVEL_M)
