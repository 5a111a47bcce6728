"""What happened during a run, one row each: stops hit, wheels off, belly down, track loose.

A new kind is one entry in the list of its subject (a file of this package).
"""

from __future__ import annotations

from operator import itemgetter
from typing import TYPE_CHECKING

import numpy as np

from trundle.findings.events import drive, hull, stops, track, wheels
from trundle.findings.events.drive import BACK, SPIN, STILL, WAIT
from trundle.findings.events.finder import FIRST_COLUMNS, SIZES, Finder, obstacle_at, wheels_of
from trundle.findings.events.hull import BELLY, NOSE
from trundle.findings.events.kind import About, Event, EventKind, Events
from trundle.findings.events.stops import BUMP, DROOP
from trundle.findings.events.track import LOOSE, TIGHT, TOOTH
from trundle.findings.events.wheels import OFF
from trundle.record.event_columns import WORDS

if TYPE_CHECKING:
    import pandas as pd

    from trundle.model.assembly import Assembly
    from trundle.record.long import Timeline
    from trundle.terrain.ground import Ground

__all__ = [
    "BACK", "BELLY", "BUMP", "COLUMNS", "DROOP", "KINDS", "LOOSE", "NOSE", "OFF", "SIZES", "SPIN", "STILL", "TIGHT",
    "TOOTH", "WAIT", "About", "Event", "EventKind", "Events", "events_of", "find_events", "obstacle_at", "wheels_of",
]  # fmt: skip

COLUMNS = (*FIRST_COLUMNS, *SIZES)
"""Columns that hold text; the others hold numbers."""

KINDS: tuple[EventKind, ...] = (*stops.KINDS, *wheels.KINDS, *hull.KINDS, *track.KINDS, *drive.KINDS)
"""All kinds, in the order in which the verdict tells of them."""


def events_of(table: pd.DataFrame) -> Events:
    """The rows of a table of events as such."""
    return [Event(*row) for row in zip(*(table[name].tolist() for name in COLUMNS), strict=True)]


def find_events(timeline: Timeline, assembly: Assembly, ground: Ground) -> pd.DataFrame:
    """Every event of a run in order of time.

    Columns: kind, where (wheel, arm or part), time_s, duration_s, course_mm (of the wheel, the middle of the
    wheels that an arm or beam carries, else the hull's centre of mass), obstacle, peak_N (one wheel, arm side
    or track), closing_mm_s and energy_J (stops, at the axle), height_mm (wheel above ground, off the track,
    belly clearance, or loose length of track). A size that a kind does not have is nan.
    """
    import pandas as pd

    finder = Finder(timeline, assembly, ground)
    # Sorted and typed here, not by pandas: that took half the time of the whole search.
    rows = sorted((row for kind in KINDS for row in kind.find(finder)), key=itemgetter("time_s", "kind", "where"))
    return pd.DataFrame(
        {
            name: pd.array([row[name] for row in rows], dtype="str")
            if name in WORDS
            else np.array([row[name] for row in rows], dtype=np.float64)
            for name in COLUMNS
        }
    )
