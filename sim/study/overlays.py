"""Runs a few variants once more for their time series, to lay them over each other."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

import pandas as pd

from sim.errors import InputError
from sim.study.case import Case, Files, name_of, payload_of, result_of
from sim.study.plots import Series


def series_of(
    cases: Iterable[Case], variants: Sequence[int], options: Mapping[str, Any] | None = None
) -> list[Series]:
    """Time series of the named variants, in their order, over the first course of the cases.

    A run repeats bit for bit, so these are the curves of the runs in the table.
    """
    first: dict[int, Case] = {}
    for case in cases:
        if case.variant in variants:
            first.setdefault(case.variant, case)
    files = Files()
    found = []
    for number in variants:
        try:
            timeline = result_of(payload_of(first[number], options or {}, files)).timeline
        except InputError:
            continue
        found.append(_series(first[number], timeline))
    return found


def _series(case: Case, timeline: pd.DataFrame) -> Series:
    loads = [c for c in map(str, timeline.columns) if c.startswith("wheel.") and c.endswith(".load_N")]
    told = ", ".join(f"{path.split('.')[-1]} {value}" for path, value in case.settings.items())
    label = f"variant {case.variant}: {told}" if told else f"variant {case.variant}: {name_of(case.vehicle)}"
    return Series(
        label if len(label) < 70 else label[:67] + "...",
        name_of(case.course),
        timeline["hull.x_mm"].to_numpy() * 1e-3,
        timeline[loads].max(axis=1).to_numpy(),
        timeline["hull.pitch_deg"].to_numpy(),
        timeline["track.slack_N"].to_numpy() if "track.slack_N" in timeline else None,
    )
