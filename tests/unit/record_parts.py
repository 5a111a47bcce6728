"""A made-up record of a shipped vehicle that rolls at an even speed, for tests to write events into."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from typing import Any

import numpy as np
import pandas as pd

from trundle.findings.events import find_events
from trundle.findings.near import Near
from trundle.findings.readings import Readings, Stood
from trundle.findings.summary import summarise
from trundle.findings.verdict import Verdict, verdict
from trundle.law.timeline import entries
from trundle.model.assembly import Assembly, assemble, level_position
from trundle.model.ground import ground_arrays
from trundle.record.columns import timeline_frame
from trundle.spec.shipped import find
from trundle.spec.vehicle import Vehicle, load_vehicle
from trundle.terrain.ground import Ground

DT_S = 1e-3
Spans = tuple[tuple[str, float, float], ...]


@cache
def assembly_of(name: str = "teasel", changed: tuple[tuple[str, object], ...] = ()) -> Assembly:
    """A shipped vehicle, or that of a file, on flat ground, with fields changed; nothing is run."""
    return assembled(load_vehicle(name if name.endswith(".toml") else find("vehicles", name), dict(changed)))


def assembled(vehicle: Vehicle) -> Assembly:
    """A vehicle on flat ground; nothing is run."""
    level = ground_arrays(np.zeros(4001), 0.005, np.array([0.0]), np.array([np.nan]))
    return assemble(vehicle, level)


def flat_ground(spans: Spans) -> Ground:
    """20 m of flat ground with names on it."""
    return Ground(0.005, np.zeros(4001), spans, np.zeros(1), np.full(1, np.nan), np.array([0.0, 20.0]), np.zeros(2))


def rolling(assembly: Assembly, seconds: float = 10.0, from_m: float = 1.0, speed: float = 1.0) -> pd.DataFrame:
    """A timeline in which nothing happens: every wheel carries 100 N, the belly is 150 mm clear."""
    n = round(seconds / DT_S)
    tracked = assembly.vehicle.track is not None
    names = [e.column.name for e in entries(len(assembly.joint), len(assembly.model.rings), tracked)]
    raw = np.zeros((n, len(names)))
    if tracked:
        raw[:, names.index("track.top_N")] = 400.0
    t = timeline_frame([raw], assembly)
    t["time_s"] = DT_S * np.arange(1, n + 1)
    t["hull.x_mm"] = 1e3 * (from_m + speed * t["time_s"])
    t["hull.y_mm"] = 400.0
    t["hull.speed_m_s"] = t["drive.target_m_s"] = t["drive.running_m_s"] = speed
    t["belly.clearance_mm"] = 150.0
    t["energy.motor_J"] = 1_000.0
    for name, offset in wheel_offsets_m(assembly).items():
        t[f"wheel.{name}.x_mm"] = t["hull.x_mm"] + 1e3 * offset
        t[f"wheel.{name}.y_mm"] = 100.0
        t[f"wheel.{name}.load_N"] = 100.0
    for j, part in zip(assembly.joint, assembly.parts.swings, strict=True):
        t[f"arm.{j}.angle_deg"] = np.degrees(0.5 * (part.bump + part.droop))
    track = assembly.vehicle.track
    if track is not None:
        t["track.slack_N"], t["track.tight_N"] = 200.0, 300.0
        for end, at in (("sprocket", track.sprocket.at_mm[0]), ("idler", track.idler.at_mm[0])):
            t[f"{end}.x_mm"] = t["hull.x_mm"] + at - 1e3 * assembly.com[0]
    return t.copy()


def wheel_offsets_m(assembly: Assembly) -> dict[str, float]:
    """How far ahead of the hull's centre of mass each wheel stands with level arms [m]."""
    return {
        w.name: level_position(assembly.parts, s, w.x, w.y)[0] - assembly.com[0]
        for s, part in enumerate(assembly.parts.swings)
        for w in part.wheels
    }


def put(t: pd.DataFrame, column: str, begin_s: float, lasts_s: float, value: float) -> None:
    """Set a column for a while."""
    a = round(begin_s / DT_S)
    t.loc[a : a + round(lasts_s / DT_S) - 1, column] = value


def lift(t: pd.DataFrame, column: str, begin_s: float, lasts_s: float, by: float) -> None:
    """Lift a place and set it down again, as gently as a whole sine's wave from trough to trough."""
    a, n = round(begin_s / DT_S), round(lasts_s / DT_S)
    t.loc[a : a + n - 1, column] += by * np.sin(np.pi * np.linspace(0.0, 1.0, n)) ** 2


@dataclass(frozen=True, eq=False)
class Made:
    """A made-up record and what the findings say of it."""

    assembly: Assembly
    timeline: pd.DataFrame
    events: pd.DataFrame
    summary: dict[str, Any]
    said: Verdict


def near_with(each: Mapping[str, Sequence[float]], ended: Sequence[str] = 8 * ("course end",)) -> Near:
    """As many runs close by as have ended, with some figures of each."""
    return Near(tuple(ended), each, 3.0, 60.0, len(ended))


def made(
    assembly: Assembly,
    t: pd.DataFrame,
    spans: Sequence[tuple[str, float, float]],
    ended: str = "course end",
    near: Near | None = None,
) -> Made:
    """Events, summary and verdict of a made-up timeline, with made-up runs close by."""
    ground = flat_ground(tuple(spans))
    events = find_events(t, assembly, ground)
    stood = Stood(dict.fromkeys(assembly.wheel, 100.0), 150.0)
    summary = {
        "completed": ended == "course end",
        "ended_because": ended,
        "vehicle": "Try",
        "course": "Yard",
        **summarise(Readings(t, events, assembly, stood, DT_S, 5.0, 1.0)),
    }
    said = verdict(t, events, summary, ground.spans, assembly, near)
    return Made(assembly, t, events, summary, said)
