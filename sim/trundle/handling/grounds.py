"""Grounds to turn, tip and park on: what grips, what resists sideways, what it takes more to roll."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from trundle.errors import InputError, Problem, did_you_mean

TABOREK = "Taborek 1957, table of road adhesion, as in Wong, Theory of Ground Vehicles, ch. 1 (from memory)"
HAYASHI = "Hayashi 1975, side resistance of track shoes, as in Wong, Theory of Ground Vehicles, ch. 6 (from memory)"
PRACTICE = "Common practice, no source"
GIVEN = "As given"

LEAST, MOST = 0.02, 1.5
"""Frictions that a ground may have."""


@dataclass(frozen=True)
class Ground:
    """name: as it is asked for. grip: the most that a track or tyre pulls over its load [-]; side: what it takes to
    drag it sideways over its load [-]; drag: what rolling takes over what it takes on tarmac, as a share of the load
    [-]. source, says: where grip and side are from, and what that says."""

    name: str
    grip: float
    side: float
    drag: float
    source: str
    says: str = ""


def _all(rows: tuple[tuple[str, float, float, str, str], ...]) -> Mapping[str, Ground]:
    return {name: Ground(name, mu, mu, drag, source, says) for name, mu, drag, source, says in rows}


ON_RUBBER = _all(
    (
        ("tarmac", 0.80, 0.0, TABOREK, "0.8 to 0.9 at its peak, 0.75 sliding"),
        ("wet tarmac", 0.55, 0.0, TABOREK, "0.5 to 0.7 at its peak, 0.45 to 0.6 sliding"),
        ("concrete", 0.90, 0.0, HAYASHI, "0.90 to 0.91 sideways under rubber shoes"),
        ("wet concrete", 0.70, 0.0, TABOREK, "0.8 at its peak, 0.7 sliding"),
        ("gravel", 0.55, 0.01, TABOREK, "0.6 at its peak, 0.55 sliding"),
        ("grass", 0.75, 0.04, HAYASHI, "0.67 to 1.14 sideways under rubber shoes"),
        ("wet grass", 0.35, 0.05, PRACTICE, "0.3 to 0.4"),
        ("snow", 0.18, 0.03, TABOREK, "hard-packed 0.2 at its peak, 0.15 sliding"),
    )
)
"""Under rubber: tyres, rubber tracks, rubber pads. What rolling takes more: common practice, no source."""

ON_STEEL = _all(
    (
        ("tarmac", 0.50, 0.0, PRACTICE, "as concrete"),
        ("wet tarmac", 0.40, 0.0, PRACTICE, "as wet concrete"),
        ("concrete", 0.50, 0.0, HAYASHI, "0.50 to 0.51 sideways under steel shoes"),
        ("wet concrete", 0.40, 0.0, PRACTICE, "0.35 to 0.45"),
        ("gravel", 0.56, 0.01, HAYASHI, "0.55 to 0.58 sideways under steel shoes on hard ground"),
        ("grass", 0.95, 0.04, HAYASHI, "0.87 to 1.11 sideways under steel shoes"),
        ("wet grass", 0.60, 0.05, PRACTICE, "0.5 to 0.7"),
        ("snow", 0.25, 0.03, PRACTICE, "0.2 to 0.3"),
    )
)
"""Under bare steel links."""


def grounds(rubber: bool) -> Mapping[str, Ground]:
    """By name, under rubber or under bare steel."""
    return ON_RUBBER if rubber else ON_STEEL


def ground(asked: str, rubber: bool) -> Ground:
    """The one of a name, or of a friction given as a number ("0.6"). Raises InputError for what is neither."""
    name = " ".join(asked.replace("-", " ").replace("_", " ").lower().split())
    known = grounds(rubber)
    if name in known:
        return known[name]
    allowed = f"{', '.join(known)}, or a friction from {LEAST:g} to {MOST:g}"
    try:
        friction = float(asked)
    except ValueError:
        raise InputError(
            Problem(f'there is no ground "{asked}"{did_you_mean(name, known)}', argument="on", allowed=allowed)
        ) from None
    if not LEAST <= friction <= MOST:
        raise InputError(Problem(f"{asked} is no friction of a ground", argument="on", allowed=allowed))
    return Ground(f"friction {friction:g}", friction, friction, 0.0, GIVEN)
