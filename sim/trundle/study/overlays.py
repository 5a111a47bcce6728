"""Runs a few variants once more for their time series, to lay them over each other."""

from __future__ import annotations

import functools
from collections.abc import Iterable, Mapping, Sequence
from typing import Any

import numpy as np

from trundle.errors import InputError
from trundle.record.long import Timeline, columns_of
from trundle.study.case import Case, Files, name_of, payload_of, result_of
from trundle.study.plots import Series

LONGEST = 110
"""Letters of a legend's line, at most: the width of the picture."""


def series_of(
    cases: Iterable[Case],
    variants: Sequence[int],
    options: Mapping[str, Any] | None = None,
    signs: Mapping[int, str] | None = None,
) -> list[Series]:
    """Time series of the named variants, in their order, over the first course and speed of the cases. signs: what each
    is called for short; by its number without.

    A run repeats bit for bit, so these are the curves of the first of the near runs in the table, the one as asked.
    """
    first: dict[int, Case] = {}
    vehicles: set[str] = set()
    for case in cases:
        vehicles.add(_vehicle(case))
        if case.variant in variants:
            first.setdefault(case.variant, case)
    files = Files()
    found = []
    for number in variants:
        try:
            timeline = result_of(payload_of(first[number], {**(options or {}), "near": 1}, files)).log
        except InputError:
            continue
        sign = (signs or {}).get(number)
        found.append(_series(first[number], timeline, len(vehicles) > 1, sign))
    return found


def _vehicle(case: Case) -> str:
    return case.vehicle_name or name_of(case.vehicle)


def _label(case: Case, several: bool, sign: str | None) -> str:
    """What the legend calls a run. several: vehicles are compared, so the settings do not say which it is; sign: of a
    whole vehicle, whose settings are those of all."""
    if sign is not None:
        return f"{sign}: {_vehicle(case)}"
    tails = [path.rsplit(".", 1)[-1] for path in case.settings]
    # The last part of a path is enough where no other setting ends alike.
    told = [
        f"{tail if tails.count(tail) == 1 else path} {value}"
        for (path, value), tail in zip(case.settings.items(), tails, strict=True)
    ]
    if not told and case.speed_m_s is not None:  # then the speeds are the variants
        told.append(f"{case.speed_m_s:g} m/s")
    label = f"variant {case.variant}: {', '.join([_vehicle(case)] * (several or not told) + told)}"
    return label if len(label) <= LONGEST else f"{label[: LONGEST - 3]}..."


def _series(case: Case, timeline: Timeline, several: bool, sign: str | None = None) -> Series:
    columns = columns_of(timeline)
    loads = (columns[n] for n in columns if n.startswith("wheel.") and n.endswith(".load_N"))
    return Series(
        _label(case, several, sign),
        case.course_name or name_of(case.course),
        columns["hull.x_mm"] * 1e-3,
        functools.reduce(np.maximum, loads),
        columns["hull.pitch_deg"],
        columns.get("track.slack_N"),
        case.speed_m_s,
        sign or str(case.variant),
    )
