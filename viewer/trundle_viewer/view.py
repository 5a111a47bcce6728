"""What is looked at and how: everything a frame depends on besides the films themselves."""

from __future__ import annotations

from dataclasses import dataclass, field

from trundle_viewer.camera import FOLLOW
from trundle_viewer.film import Film

POSITION, TIME = "position", "time"
"""How a ghost is matched: both hulls at one place of the course, or both at one time."""

SPEEDS = (0.05, 0.1, 0.2, 0.5, 1.0, 2.0, 4.0)


@dataclass
class View:
    """State of the view. time_s: what is shown; layers: those of the hideable ones that are shown; measured: up to two
    points [mm]; hover: pointer [px]; finding: the one gone to last, by its place among the worst; aside: width of a
    page that stands on the right in place of the traces [screen units]."""

    film: Film
    ghost: Film | None = None
    time_s: float = 0.0
    playing: bool = False
    speed: float = 1.0
    layers: set[str] = field(kw_only=True)
    theme: str = "dark"
    camera: str = FOLLOW
    wheel: int = 0
    match: str = POSITION
    measuring: bool = False
    measured: list[tuple[float, float]] = field(default_factory=list)
    hover: tuple[float, float] | None = None
    finding: int | None = None
    help: bool = False
    aside: float = 0.0
    message: str = ""
    message_until: float = 0.0

    @property
    def row(self) -> int:
        """The row shown."""
        return self.film.row(self.time_s)

    def ghost_row(self) -> int:
        """The row of the ghost that goes with the row shown."""
        assert self.ghost is not None
        if self.match == TIME:
            return self.ghost.row(self.time_s)
        return self.ghost.row_at_x(self.film.at("hull.x_mm", self.row))
