"""The base of everything a builder writes: strict, frozen, complete."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Annotated, ClassVar

from pydantic import AfterValidator, BaseModel, ConfigDict, Field

if TYPE_CHECKING:
    from trundle.fields.sketch import Around, Sketch


class Spec(BaseModel):
    """A table in the builder's file. Unknown fields, text for numbers, nan and inf are refused."""

    model_config = ConfigDict(defer_build=True, strict=True, extra="forbid", frozen=True, allow_inf_nan=False)

    EXAMPLE: ClassVar[str] = ""
    """As a builder would write it, in TOML without its header: for the guide, and drawn where nothing is known."""

    def sketches(self, around: Around) -> tuple[Sketch, ...]:
        """Views of it that between them show every field. Raises NotImplementedError of a table that has none yet."""
        raise NotImplementedError(type(self).__name__)

    def held_fields(self) -> frozenset[str]:
        """Fields that change nothing as the table is filled in, since another stands in their place: no step is
        tried."""
        return frozenset()

    def inside(self, around: Around, table: str = "") -> Around:
        """What lies about the table in its field of that name, as far as it knows more of that than what is around
        itself."""
        return around


class PlacedError(ValueError):
    """An error that a table finds in one of its parts: text, the part's field path below the table, what is allowed."""

    def __init__(self, text: str, *path: str | int, allowed: str = "") -> None:
        super().__init__(f"{text} (allowed: {allowed})" if allowed else text)
        self.text, self.path, self.allowed = text, path, allowed


PlaceMm = Annotated[float, Field(ge=-20_000, le=20_000)]
"""A coordinate on a vehicle, mm: within 20 m of its datum."""


@dataclass(frozen=True)
class Axes:
    """Stands in the type of a pair of numbers: what they are, where they are not [forward, up]."""

    first: str = "forward"
    second: str = "up"


PointMm = Annotated[tuple[PlaceMm, PlaceMm], Field(strict=False)]
"""A point [forward, up] in mm."""

PolylineMm = Annotated[tuple[PointMm, ...], Field(strict=False)]
"""Points joined by straight lines, mm."""

LengthMm = Annotated[float, Field(ge=1, le=5_000)]
"""A length of something a builder makes, mm: 1 mm to 5 m."""

Name = Annotated[str, Field(min_length=1, max_length=40, pattern=r"^[A-Za-z][A-Za-z0-9_-]*$")]
"""A short name used in paths and columns: letters, digits, - and _."""


def plain_text(text: str) -> str:
    """`text` itself. Raises ValueError if it holds control characters, which would garble a terminal."""
    if any(not c.isprintable() and c not in "\n\t" for c in text):
        raise ValueError("control characters are not allowed in a text")
    return text


PLAIN = AfterValidator(plain_text)
"""Puts `plain_text` behind the other rules of a text field."""
