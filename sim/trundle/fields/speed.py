"""Target speeds: what a vehicle, a course, an obstacle and a run take."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from trundle.errors import InputError, Problem

SLOWEST_M_S, FASTEST_M_S = 0.01, 30.0
"""Bounds of a target speed [m/s]: slower is standing still, faster is no vehicle of this size."""

ALLOWED = f"{SLOWEST_M_S:g} to {FASTEST_M_S:g}"
"""The bounds in words, m/s."""

SpeedMS = Annotated[float, Field(ge=SLOWEST_M_S, le=FASTEST_M_S)]
"""A target speed in the builder's file, m/s."""


def check_speed(speed_m_s: float | None, argument: str = "speed_m_s") -> None:
    """Raises InputError, which names `argument`, on a target speed that no run takes [m/s]; None sets none."""
    if speed_m_s is not None and not SLOWEST_M_S <= speed_m_s <= FASTEST_M_S:
        raise InputError(Problem(f"a speed of {speed_m_s:g} m/s", argument=argument, allowed=ALLOWED))
