"""What a run leaves: its inputs, its tables and its figures. Findings judge it, reports draw it."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import Any

import pandas as pd

from trundle.findings.near import Near, near_in
from trundle.findings.states import ledger_closes
from trundle.model.assembly import Assembly
from trundle.record.long import Timeline, frame_of
from trundle.spec.course import Course
from trundle.spec.vehicle import Vehicle
from trundle.terrain.ground import Ground


@dataclass(frozen=True, eq=False, repr=False)
class Record:
    """A finished run.

    log: the timeline, one row per step, of a long run column by column from a file (see trundle.record.columns and
    .long); events: one row per event (see trundle.findings.events);
    summary: figures by name (see trundle.findings.summary), those of near runs under `near`. All mm, N, deg, with the
    unit in every name.
    """

    vehicle: Vehicle
    course: Course
    ground: Ground
    assembly: Assembly
    log: Timeline
    events: pd.DataFrame
    summary: dict[str, Any]

    @cached_property
    def timeline(self) -> pd.DataFrame:
        """The timeline: one row per step, the unit in every column's name.

        That of a long run (above 256 MB, five minutes at 1 ms with six stations) is read into memory when it is first
        asked for here, 8 bytes a number: of an hour some 3 GB. `.log["hull.x_mm"]` gives one column without the rest.
        """
        return frame_of(self.log)

    @cached_property
    def near(self) -> Near | None:
        """This run among its neighbours, of which only the figures are kept; None if it was rolled once."""
        return near_in(self.summary)

    @property
    def completed(self) -> bool:
        """True if the vehicle reached the end of the course."""
        return bool(self.summary["completed"])

    @property
    def trusted(self) -> bool:
        """False if the energy ledger does not close: then the figures are not to be relied on."""
        return bool(ledger_closes(self.summary["energy_error"]))
