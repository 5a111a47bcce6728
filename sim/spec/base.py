"""The base of everything a builder writes: strict, frozen, complete."""

from __future__ import annotations

from typing import Annotated

from pydantic import BaseModel, ConfigDict, Field


class Spec(BaseModel):
    """A table in the builder's file. Unknown fields, text for numbers, nan and inf are refused."""

    model_config = ConfigDict(strict=True, extra="forbid", frozen=True, allow_inf_nan=False)


PointMm = Annotated[tuple[float, float], Field(strict=False)]
"""A point [forward, up] in mm."""

PolylineMm = Annotated[tuple[PointMm, ...], Field(strict=False)]
"""Points joined by straight lines, mm."""

LengthMm = Annotated[float, Field(gt=0, le=5_000)]
"""A length of something a builder makes, mm: above 0, at most 5 m."""

Name = Annotated[str, Field(min_length=1, max_length=40, pattern=r"^[A-Za-z][A-Za-z0-9_-]*$")]
"""A short name used in paths and columns: letters, digits, - and _."""
