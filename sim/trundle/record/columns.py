"""From the raw log (SI, both sides) to the timeline's columns (mm, N, deg, one wheel, one track)."""

from __future__ import annotations

import numpy as np
import pandas as pd

from trundle.law.log import columns as log_columns
from trundle.model.arrays import SIDES, Floats
from trundle.model.assembly import Assembly
from trundle.units import DEG, MM

_HULL = {
    "time": ("time_s", 1.0),
    "x": ("hull.x_mm", 1.0 / MM),
    "y": ("hull.y_mm", 1.0 / MM),
    "pitch": ("hull.pitch_deg", 1.0 / DEG),
    "vx": ("hull.speed_m_s", 1.0),
    "vy": ("hull.rise_m_s", 1.0),
    "pitch_rate": ("hull.pitch_rate_deg_s", 1.0 / DEG),
    "seat_up": ("seat.up_m_s2", 1.0),
    "seat_forward": ("seat.forward_m_s2", 1.0),
    "belly_clear": ("belly.clearance_mm", 1.0 / MM),
    "belly_N": ("belly.load_N", 1.0),
    "target": ("drive.target_m_s", 1.0),
    "u": ("drive.running_m_s", 1.0),
    "push": ("drive.push_N", 1.0),
    "traction": ("drive.traction_N", 1.0),
    "drag": ("drive.drag_N", 1.0),
    "slip": ("drive.grip_used", 1.0),
    "slip_speed": ("drive.slip_m_s", 1.0),
}
_TRACK = {
    "tight": ("track.tight_N", 1.0 / SIDES),
    "slack": ("track.slack_N", 1.0 / SIDES),
    "top": ("track.top_N", 1.0 / SIDES),
    "path": ("track.path_mm", 1.0 / MM),
    "spare": ("track.spare_mm", 1.0 / MM),
    "span_N": ("track.span_load_N", 1.0 / SIDES),
    "idler_shift": ("track.idler_shift_mm", 1.0 / MM),
}
_JOINT = {
    "angle": ("angle_deg", 1.0 / DEG),
    "spring": ("spring_Nm", 1.0 / SIDES),
    "stop": ("stop_N", 1.0 / SIDES),
    "friction": ("friction_Nm", 1.0 / SIDES),
}
_RING = {
    "x": ("x_mm", 1.0 / MM),
    "y": ("y_mm", 1.0 / MM),
    "load": ("load_N", 1.0),
    "traction": ("traction_N", 1.0),
    "slip": ("slip_m_s", 1.0),
    "gap": ("band_gap_mm", 1.0 / MM),
}
_WORKED_OUT = ("sprocket.torque_Nm", "sprocket.power_W")
ENDS = ("sprocket", "idler")
"""Names of the two rings after the road wheels."""


def timeline_frame(values: Floats, assembly: Assembly) -> pd.DataFrame:
    """The timeline of a raw log (n, width). One row per step; every column names its unit.

    hull.x_mm, hull.y_mm: the hull's centre of mass. drive.*: both sides. wheel.<name>.load_N: one wheel.
    arm.<name>.stop_N: one side, at the axle, positive for bump and negative for droop.
    """
    names: list[str] = []
    scale: list[float] = []
    tracked = assembly.vehicle.track is not None
    keep: list[int] = []
    wheels = [*(f"wheel.{n}" for n in assembly.wheel), *ENDS]
    per = [*assembly.per_station, SIDES, SIDES]
    for k, (group, number, quantity) in enumerate(log_columns(len(assembly.joint), len(assembly.model.rings))):
        if group == "hull":
            name, factor = _HULL[quantity]
        elif group == "track":
            if not tracked:
                continue
            name, factor = _TRACK[quantity]
        elif group == "joint":
            tail, factor = _JOINT[quantity]
            name = f"arm.{assembly.joint[number]}.{tail}"
        elif group == "ring":
            if quantity == "gap" and (not tracked or number >= len(assembly.wheel)):
                continue
            tail, factor = _RING[quantity]
            name = f"{wheels[number]}.{tail}"
            if quantity in ("load", "traction"):
                factor = 1.0 / per[number]
        else:
            name, factor = f"energy.{quantity}_J", 1.0
        keep.append(k)
        names.append(name)
        scale.append(factor)
    # One row of memory per column, and each read many times after: laid out so at once, not copied again.
    table = np.empty((len(keep) + len(_WORKED_OUT) + tracked, len(values)))
    np.multiply(values.T[keep], np.array(scale)[:, None], out=table[: len(keep)])
    at = {name: table[k] for k, name in enumerate(names)}
    if tracked:
        assert assembly.vehicle.track is not None
        band = assembly.model.band[0]
        radius = assembly.vehicle.track.sprocket_radius_m
        sag_N = band.weight / SIDES * band.longest**2 / 8.0
        np.divide(sag_N / MM, at["track.top_N"], out=table[-3])
        names.append("track.sag_mm")
    else:
        radius = float(assembly.model.rings[0].radius)
    np.multiply(at["drive.push_N"], radius, out=table[-2])
    np.multiply(at["drive.push_N"], at["drive.running_m_s"], out=table[-1])
    return pd.DataFrame(table.T, columns=[*names, *_WORKED_OUT], copy=False)
