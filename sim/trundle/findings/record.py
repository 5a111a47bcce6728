"""What a run leaves: its inputs, its tables and its figures. Findings judge it, reports draw it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import pandas as pd

from trundle.findings.states import ledger_closes
from trundle.model.assembly import Assembly
from trundle.spec.course import Course
from trundle.spec.vehicle import Vehicle
from trundle.terrain.ground import Ground


@dataclass(frozen=True, eq=False, repr=False)
class Record:
    """A finished run.

    timeline: one row per step, events: one row per event (see trundle.record.columns, trundle.findings.events);
    summary: figures by name (see trundle.findings.summary). All mm, N, deg, with the unit in every name.
    """

    vehicle: Vehicle
    course: Course
    ground: Ground
    assembly: Assembly
    timeline: pd.DataFrame
    events: pd.DataFrame
    summary: dict[str, Any]

    @property
    def completed(self) -> bool:
        """True if the vehicle reached the end of the course."""
        return bool(self.summary["completed"])

    @property
    def trusted(self) -> bool:
        """False if the energy ledger does not close: then the figures are not to be relied on."""
        return bool(ledger_closes(self.summary["energy_error"]))
