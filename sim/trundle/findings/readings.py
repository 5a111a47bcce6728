"""What figures are worked out from: one finished run as tables, with how the vehicle stood before it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from trundle.record.long import Timeline, columns_of
from trundle.units import G

if TYPE_CHECKING:
    import pandas as pd

    from trundle.findings.jolts import Slid, Stop, Thrown
    from trundle.findings.motor_use import MotorUse
    from trundle.model.assembly import Assembly
    from trundle.strength.margin import PartMargin

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Stood:
    """The vehicle at rest. load_N: of one wheel, by wheel; height_mm: belly above the ground, under the centre of
    mass; residual_N: what is left of the forces where they should balance."""

    load_N: Mapping[str, float]
    height_mm: float
    residual_N: float = 0.0


@dataclass(frozen=True, eq=False)
class Readings:
    """A finished run. timeline, events: as of trundle.record.columns and findings.events; dt_s: step [s];
    ground_mm: spacing of the ground grid [mm]; wall_s: time that the run took on a clock [s]."""

    timeline: Timeline
    events: pd.DataFrame
    assembly: Assembly
    stood: Stood
    dt_s: float
    ground_mm: float
    wall_s: float

    def column(self, name: str) -> Floats:
        """A column of the timeline, shape (rows,)."""
        return self._columns[name]

    def peaks_N(self, kind: str) -> Floats:
        """The highest force of each event of one kind [N], nan where the kind has none."""
        peaks: Floats = self._peaks_N[self._kinds == kind]
        return peaks

    # Looked up a hundred times a run: by pandas that takes longer than most figures.
    @cached_property
    def _columns(self) -> Mapping[str, Floats]:
        return columns_of(self.timeline)

    @cached_property
    def _kinds(self) -> NDArray[np.object_]:
        return self.events["kind"].to_numpy(dtype=object)

    @cached_property
    def _peaks_N(self) -> Floats:
        return self.events["peak_N"].to_numpy(dtype=np.float64)

    @cached_property
    def margins(self) -> tuple[PartMargin, ...]:
        """What each part has left, see trundle.strength.margins. Raises InputError where a stated size cannot exist."""
        # Only now: reading the table of figures is to load nothing heavy.
        from trundle.strength.margins import margins_of

        return margins_of(self.assembly, self.timeline)

    def seconds(self, holds: Any) -> float:
        """How long something held, of an array of True and False over the rows [s]."""
        return float(np.sum(holds) * self.dt_s)

    @property
    def wheels(self) -> tuple[str, ...]:
        """Names of the wheels, front to rear."""
        return self.assembly.wheel

    @property
    def tracked(self) -> bool:
        """Whether the vehicle has a track."""
        return self.assembly.vehicle.track is not None

    @cached_property
    def motor(self) -> MotorUse:
        """What one motor gives and all draw; see findings.motor_use."""
        from trundle.findings.motor_use import motor_use

        return motor_use(self)

    @cached_property
    def felt_m_s2(self) -> Floats:
        """Vertical acceleration of the seat after the weighting Wk [m/s2]; see ride.weighted."""
        from trundle.findings.ride import weighted

        return weighted(self.column("seat.up_m_s2"), 1.0 / self.dt_s)

    @cached_property
    def jolt_up_m_s2(self) -> Floats:
        """Acceleration of the seat along the hull's upward axis, filtered (findings.channel) [m/s2]."""
        from trundle.findings.channel import filtered

        return filtered(self.column("seat.up_m_s2"), self.dt_s)

    @cached_property
    def jolt_forward_m_s2(self) -> Floats:
        """The same along its forward axis [m/s2]: below 0 it is stopped, and what sits there goes on forward."""
        from trundle.findings.channel import filtered

        return filtered(self.column("seat.forward_m_s2"), self.dt_s)

    @cached_property
    def stop(self) -> Stop:
        """The hardest loss of speed."""
        from trundle.findings.jolts import hardest_stop

        return hardest_stop(self.column("hull.speed_m_s"), self.dt_s)

    @cached_property
    def slid(self) -> Slid:
        """How far what is at the seat slides on it, with what holds it; not at all if bolted."""
        from trundle.findings.holds import HOLDS, held_by
        from trundle.findings.jolts import Slid, slides_on_seat

        most_g = HOLDS[held_by(self.assembly.vehicle.hull)].along_g
        if most_g is None:
            return Slid(0.0, 0.0, 0, True)
        return slides_on_seat(self.column("seat.forward_m_s2"), self.column("hull.pitch_deg"), most_g * G, self.dt_s)

    @cached_property
    def thrown(self) -> Thrown:
        """What the seat's falling away does to what lies loose in it."""
        from trundle.findings.jolts import loose_in_seat

        return loose_in_seat(self.column("seat.up_m_s2"), self.column("hull.pitch_deg"), self.dt_s)
