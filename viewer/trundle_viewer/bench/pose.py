"""A vehicle at rest in one position, as the scene wants it: one row of a run, without a run."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np

from trundle.engine.standing import Standing
from trundle.law.ask import place
from trundle.law.named import State
from trundle.model.arrays import SIDES, Floats
from trundle.model.assembly import Assembly
from trundle.units import DEG, MM


@dataclass(frozen=True, eq=False)
class Pose:
    """assembly: of what is drawn; q: x, y [m], pitch, joint angles [rad]; values: by the names of a run's columns."""

    assembly: Assembly
    q: Floats
    values: Mapping[str, float] = field(default_factory=dict)

    rows = 1

    def at(self, name: str, row: int) -> float:
        """A column's value; 0 where none is known."""
        return self.values.get(name, 0.0)

    def time(self, row: int) -> float:
        """No time passes."""
        return 0.0

    def travel_mm(self, row: int) -> float:
        """It does not roll."""
        return 0.0


def standing_pose(at: Standing) -> Pose:
    """As it stands, with what its wheels carry."""
    pose = placed(at.assembly, at.q)
    work, model = at.scratch.work[0], at.assembly.model
    values = dict(pose.values)
    for i, name in enumerate(at.assembly.wheel):
        values[f"wheel.{name}.load_N"] = float(at.rings[i].load) / at.assembly.per_station[i]
    for j, name in enumerate(at.assembly.joint):
        values[f"arm.{name}.stop_N"] = float(work.joint[j].stop) / SIDES
    if at.assembly.vehicle.track is not None:
        tension = at.state["band.tension_N"]
        values["track.slack_N"] = tension / SIDES
        values["track.sag_mm"] = float(model.band.weight) * float(model.band.longest) ** 2 / (8.0 * tension) / MM
    return Pose(at.assembly, at.q, values)


def placed(assembly: Assembly, q: Floats, before: Mapping[str, float] | None = None) -> Pose:
    """With its joints at these angles, whatever they would be under load. before: values of a pose to go on with where
    only a balance would tell (loads, sag)."""
    model, state = assembly.model, State.of(assembly)
    place(model, state, q)
    values = dict(before or {})
    values |= {"hull.x_mm": q[0] / MM, "hull.y_mm": q[1] / MM, "hull.pitch_deg": q[2] / DEG}
    values |= {f"arm.{name}.angle_deg": q[3 + j] / DEG for j, name in enumerate(assembly.joint)}
    body = state.bodies[np.asarray(model.rings.body, dtype=np.int64)]
    c, s, x, y = np.cos(body[:, 2]), np.sin(body[:, 2]), model.rings.x, model.rings.y
    rows = zip(assembly.ring_names, body[:, 0] + c * x - s * y, body[:, 1] + s * x + c * y, strict=True)
    for name, at_x, at_y in rows:
        values |= {f"{name}.x_mm": float(at_x) / MM, f"{name}.y_mm": float(at_y) / MM}
    for one in assembly.parts.springs:
        torques = one.spring.at(tuple(float(q[3 + j]) for j in one.swings), one.mount).torques_Nm
        values |= {f"arm.{assembly.joint[j]}.spring_Nm": t for j, t in zip(one.swings, torques, strict=True)}
    if assembly.vehicle.track is not None and assembly.vehicle.track.sag_mm is not None:
        values["track.sag_mm"] = assembly.vehicle.track.sag_mm
    return Pose(assembly, q, values)
