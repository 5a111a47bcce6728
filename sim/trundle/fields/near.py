"""How often a run is rolled close by."""

from __future__ import annotations

from trundle.errors import InputError, Problem

NEAR = 8
"""Runs that a verdict and a study's variant are told from."""

MOST_NEAR = 1000
"""More is a slip of the pen."""


def check_near(near: int | None) -> None:
    """Raises InputError on a number of runs that nobody means; None leaves it open."""
    if near is not None and not 1 <= near <= MOST_NEAR:
        raise InputError(Problem(f"{near} near runs", argument="near", allowed=f"1 to {MOST_NEAR}"))
