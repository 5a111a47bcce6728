"""Makes obstacles and bare courses for the terrain tests."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

from pydantic import TypeAdapter

from trundle.terrain import Obstacle, ObstacleKind

_ONE_OF = TypeAdapter[Obstacle](ObstacleKind)


def make(kind: str, **fields: Any) -> Obstacle:
    """An obstacle from the fields a builder would write."""
    return _ONE_OF.validate_python({"kind": kind, **fields})


def course(*parts: Obstacle, **fields: Any) -> Any:
    """What `lay` needs, without the course file: 1 m of run-up and run-out unless told otherwise."""
    return SimpleNamespace(
        **{"driver": (), "obstacle": parts, "run_up_mm": 1000.0, "run_out_mm": 1000.0, "speed_m_s": None} | fields
    )
