"""Two runs beside each other: what each is called, and the fields in which their vehicles differ."""

from __future__ import annotations

from trundle.fields.differences import Difference, spoken
from trundle.study.beside import differing_fields
from trundle_viewer.film import Film

SIGNS = ("A", "B")
"""What the two are called for short, in picture, traces and table."""

DRAWN = ("solid", "dashed")
"""How they are drawn."""

COMPARED = "compared"
"""The layer with what is better and worse."""


def names(film: Film, other: Film) -> tuple[str, str]:
    """What the two are called: by their vehicles, or where these are called alike, by where they come from."""
    one, two = _called(film), _called(other)
    if one == two and film.source and other.source and film.source != other.source:
        return film.source, other.source
    return (one, two) if one != two else (one, f"{two}, the other run")


def _called(film: Film) -> str:
    return f"{film.vehicle.name} {film.state}" if film.state else film.vehicle.name


def differing(film: Film, other: Film) -> list[Difference]:
    """The fields in which the other's vehicle differs from the film's."""
    return differing_fields(film.vehicle, other.vehicle)


def words(film: Film, other: Film) -> str:
    """`A, solid: Teasel; B, dashed: Mine (hull.mass_kg 310 instead of 265)`."""
    one, two = names(film, other)
    fields = differing(film, other)
    (a, b), (solid, dashed) = SIGNS, DRAWN
    return f"{a}, {solid}: {one}; {b}, {dashed}: {two} ({spoken(fields) if fields else 'the same vehicle'})"
