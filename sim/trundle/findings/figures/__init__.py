"""The table of figures: every number that a run is judged by is one entry, and all else reads it here.

A new figure is one entry in the list of its subject (a file of this package). From there it goes into summary.json,
the verdict on screen and page, the tables, ranking and spreads of studies, `run --how-sure` and baselines.
"""

from __future__ import annotations

from trundle.findings.figures import belly, computed, course, drive, energy, parts, seat, stops, track, wheels
from trundle.findings.figures.figure import Bad, Better, Figure, Needs, Told, Value

__all__ = ["TABLE", "Bad", "Better", "Figure", "Needs", "Told", "Value", "better_of", "figure_of", "guarded", "known"]

TABLE: tuple[Figure, ...] = (
    *course.FIGURES,
    *wheels.FIGURES,
    *stops.FIGURES,
    *belly.FIGURES,
    *seat.FIGURES,
    *track.FIGURES,
    *drive.FIGURES,
    *parts.FIGURES,
    *energy.FIGURES,
    *computed.FIGURES,
)
"""All figures, in the order of summary and tables."""


def figure_of(name: str) -> Figure:
    """The figure of a name. Raises KeyError if there is none."""
    for figure in TABLE:
        if figure.name == name:
            return figure
    raise KeyError(name)


def known(column: str) -> Figure | None:
    """The figure that a column of a table is, or is a part of (`peak_pitch_deg`, `wheels.front.fore.peak_N`)."""
    return next((figure for figure in TABLE if figure.covers(column)), None)


def guarded(column: str) -> bool:
    """Whether a baseline keeps a column; one that is no figure of ours it does."""
    figure = known(column)
    return figure is None or figure.guarded


def better_of(column: str) -> Better:
    """Which value of a column is the better one."""
    figure = known(column)
    return Better.NEITHER if figure is None else figure.better
