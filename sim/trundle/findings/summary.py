"""A run's figures as plain numbers by name: what summary.json holds."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from trundle.findings import figures
from trundle.findings.figures.figure import WHEEL, Figure, Value
from trundle.findings.readings import Readings


def summarise(readings: Readings) -> dict[str, Any]:
    """All figures of a run that come from its record alone, as plain numbers, ready for JSON.

    A wheel's own figures stand in tables by wheel: `wheels.*.peak_N` as wheels[NAME]["peak_N"]. One that the run
    does not give is None.
    """
    summary: dict[str, Any] = {}
    for figure in figures.TABLE:
        if figure.of is None:
            continue
        value = figure.value_in(readings)
        if not figure.of_wheel:
            summary[figure.name] = value
            continue
        before, after = figure.name.split(WHEEL)
        wheels = summary.setdefault(before.rstrip("."), {})
        for name in readings.wheels:
            one = value[name] if isinstance(value, Mapping) else None
            if after:
                wheels.setdefault(name, {})[after.lstrip(".")] = one
            else:
                wheels[name] = one
    return summary


def value_of(summary: Mapping[str, Any], figure: Figure, wheel: str = "") -> Value:
    """A figure in a summary; None where it is not given. wheel: whose, of a wheel's own."""
    value: Value
    if not figure.of_wheel:
        value = summary.get(figure.name)
    else:
        before, after = figure.name.split(WHEEL)
        own = summary.get(before.rstrip("."), {}).get(wheel)
        value = own.get(after.lstrip(".")) if after and own is not None else own
    return value
