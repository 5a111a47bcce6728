"""A run as the viewer holds it: the columns it draws, in single precision, growing while a live run goes on.

Single precision places a wheel to 0.06 mm at 600 m along a course, and keeps a 10 minute run at 1 ms of a
vehicle with 8 stations within 250 MB. A kept run with more than a stated size of it has it in a file.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from trundle.engine import spill
from trundle.engine.spill import Aside
from trundle.errors import InputError, Problem
from trundle.findings.events import find_events
from trundle.findings.record import Record
from trundle.findings.verdict import verdict_of
from trundle.model.assembly import Assembly, assemble
from trundle.model.ground import course_arrays
from trundle.record.columns import ENDS, timeline_frame
from trundle.record.long import LongTimeline, Timeline
from trundle.record.store import COURSE, TIMELINE, VEHICLE, read_run, read_summary
from trundle.spec.course import Course, load_course
from trundle.spec.vehicle import Vehicle, load_vehicle
from trundle.terrain.ground import Ground, lay
from trundle.units import MM
from trundle_viewer.told import Told, nothing_told, told_of

if TYPE_CHECKING:
    from trundle.result.result import Result

COARSE_M = 0.01
"""Grid on which two courses are compared [m]."""

MOST_IDLER_MM = 5_000.0
"""Further out than the longest tensioner sets an idler [mm]."""

Singles = NDArray[np.float32]

BRAKE_HOLDS = "drive.brake_holds"

FORCES = ("force_forward_N", "force_up_N")
"""What pushes on one wheel, along the course and upwards."""


def _later(name: str) -> bool:
    """Whether runs from before it was there lack a column: taken as 0 (no brake that holds, no push drawn)."""
    return name == BRAKE_HOLDS or name.endswith(FORCES)


HULL = (
    "hull.x_mm", "hull.y_mm", "hull.pitch_deg", "hull.speed_m_s", "seat.up_m_s2", "seat.forward_m_s2",
    "belly.clearance_mm",
    "belly.load_N", "drive.running_m_s", "drive.target_m_s", "drive.grip_used", "drive.push_N", "sprocket.torque_Nm",
    BRAKE_HOLDS,
)  # fmt: skip
TRACK = ("track.tight_N", "track.slack_N", "track.sag_mm", "track.spare_mm")


@dataclass(frozen=True)
class Event:
    """One event of a run. `row`: where it begins; `x_mm`: place on the course of what it happens to, a wheel or the
    hull; peak_N nan where none."""

    kind: str
    where: str
    time_s: float
    duration_s: float
    row: int
    x_mm: float
    peak_N: float
    height_mm: float
    obstacle: str


def wanted(assembly: Assembly) -> list[str]:
    """The timeline columns that are drawn or that events are found in."""
    names = list(HULL)
    tracked = assembly.vehicle.track is not None
    if tracked:
        names += TRACK
    for joint in assembly.joint:
        names += [f"arm.{joint}.{q}" for q in ("angle_deg", "spring_Nm", "stop_N")]
    for wheel in assembly.wheel:
        names += [f"wheel.{wheel}.{q}" for q in ("x_mm", "y_mm", "load_N", *FORCES)]
        if tracked:
            names.append(f"wheel.{wheel}.band_gap_mm")
    if tracked:
        names += [f"{end}.{q}" for end in ENDS for q in ("x_mm", "y_mm", "load_N", *FORCES)]
    return names


class _Filed:
    """The columns of a long run in a file: a picture takes some hundred numbers of it."""

    def __init__(self, rows: int) -> None:
        self._rows, self._aside = rows, Aside()

    def put(self, number: int, values: Any) -> None:
        self._aside.write(4 * number * self._rows, np.ascontiguousarray(values, dtype=np.float32))

    def rows(self, number: int, begin: int, end: int) -> Singles:
        """A column's rows."""
        values = np.empty(end - begin, dtype=np.float32)
        if len(values):
            self._aside.read(4 * (number * self._rows + begin), values)
        return values


class Film:
    """The columns of one run by name, with what is needed to draw them. Rows are dt_s apart."""

    def __init__(
        self,
        vehicle: Vehicle,
        course: Course,
        ground: Ground,
        assembly: Assembly,
        dt_s: float,
        first_s: float,
    ) -> None:
        self.vehicle, self.course, self.ground, self.assembly = vehicle, course, ground, assembly
        self.dt_s, self.first_s = dt_s, first_s
        self.place = {name: k for k, name in enumerate(wanted(assembly))}
        self.rows = 0
        self.done = False
        self.ended = ""
        self.events: list[Event] = []
        self.vehicle_file: Path | None = None
        """The file the vehicle was read from, if it is still there."""
        self.source = ""
        """The folder or file that it was read from, as one would say it: tells apart two runs of one name."""
        self.state = ""
        """Which state of the vehicle it is, where it has been changed: "changed", "before the change"."""
        self.note = ""
        self.told: Told | None = None
        """What the whole run has to say, once it is over."""
        self.told_later = False
        """Whether that is being worked out."""
        self.has_forces = False
        """Whether its record says how the forces on its wheels point."""
        self._data: Singles = np.empty((len(self.place), 0), np.float32)
        self._travel = np.empty(0)
        self._filed: _Filed | None = None

    def append(self, columns: Mapping[str, Any]) -> None:
        """Add rows: name -> values, every wanted name. Others may read meanwhile: `rows` rises last."""
        n = len(columns[HULL[0]])
        self.has_forces = all(f"{ring}.{FORCES[0]}" in columns for ring in self.assembly.ring_names)
        if not self.rows and 4 * n * len(self.place) > spill.SPILL_BYTES:
            # A long run that is there already: it is shown as it stands, and nothing is added to it later.
            self._filed = _Filed(n)
            for name, k in self.place.items():
                self._filed.put(k, columns[name])
            self._travel = self._travelled(0.0, columns)
            self.rows = n
            return
        if self.rows + n > self._data.shape[1]:
            size = max(2 * self._data.shape[1], self.rows + n)
            data = np.empty((len(self.place), size), np.float32)
            data[:, : self.rows] = self._data[:, : self.rows]
            travel = np.empty(size)
            travel[: self.rows] = self._travel[: self.rows]
            self._data, self._travel = data, travel
        for name, k in self.place.items():
            self._data[k, self.rows : self.rows + n] = columns[name]
        start = self._travel[self.rows - 1] if self.rows else 0.0
        self._travel[self.rows : self.rows + n] = self._travelled(start, columns)
        self.rows += n

    def _travelled(self, start: float, columns: Mapping[str, Any]) -> NDArray[np.float64]:
        """How far the band has run by each row [mm], of rows before which it had run by `start`."""
        step = np.asarray(columns["drive.running_m_s"], dtype=np.float64) * (self.dt_s / MM)
        travel = np.cumsum(step, out=step)
        travel += start
        return travel

    def append_raw(self, values: NDArray[np.float64]) -> None:
        """Add rows of the engine's raw log (n, width)."""
        frame = timeline_frame([values], self.assembly)
        self.append(_Drawn(frame))

    def col(self, name: str) -> Singles:
        """All rows of a column so far."""
        if self._filed is not None:
            return self._filed.rows(self.place[name], 0, self.rows)
        return self._data[self.place[name], : self.rows]

    def at(self, name: str, row: int) -> float:
        """One value."""
        if self._filed is not None:
            return float(self._filed.rows(self.place[name], row, row + 1)[0])
        return float(self._data[self.place[name], row])

    def block(self, names: list[str], begin: int, end: int) -> Singles:
        """Several columns over a range of rows, shape (len(names), end - begin)."""
        if self._filed is not None:
            begin, end, _ = slice(begin, end).indices(self.rows)
            return np.array([self._filed.rows(self.place[n], begin, max(begin, end)) for n in names])
        return self._data[[self.place[n] for n in names], begin:end]

    def travel_mm(self, row: int) -> float:
        """How far the band (or the tyres) have run since the start [mm]."""
        return float(self._travel[row])

    @property
    def end_s(self) -> float:
        """Time of the last row so far [s]."""
        return self.first_s + max(self.rows - 1, 0) * self.dt_s

    def time(self, row: int) -> float:
        """Time of a row [s]."""
        return self.first_s + row * self.dt_s

    def row(self, time_s: float) -> int:
        """The row nearest to a time, kept inside the run."""
        return min(max(round((time_s - self.first_s) / self.dt_s), 0), max(self.rows - 1, 0))

    def row_at_x(self, x_mm: float) -> int:
        """The first row at which the hull has come as far as x_mm (else the last row)."""
        x = self.col("hull.x_mm")
        far = np.flatnonzero(x >= x_mm)
        return int(far[0]) if len(far) else self.rows - 1

    @property
    def title(self) -> str:
        """`Teasel over Kerb 100 mm`."""
        return f"{self.vehicle.name} over {self.course.name}"

    def find_events(self) -> None:
        """Look for events in the rows so far."""
        if self.rows < 2:
            return
        time = self.first_s + self.dt_s * np.arange(self.rows)
        frame = pd.DataFrame({"time_s": time} | {name: self.col(name) for name in self.place}, copy=False)
        self.set_events(find_events(frame, self.assembly, self.ground))

    def set_events(self, frame: pd.DataFrame) -> None:
        """Take the events of a record (see trundle.findings.events)."""
        found = []
        for e in frame.to_dict("records"):
            row = self.row(float(e["time_s"]))
            found.append(
                Event(
                    str(e["kind"]), str(e["where"]), float(e["time_s"]), float(e["duration_s"]), row,
                    float(e["course_mm"]), float(e["peak_N"]), float(e["height_mm"]), str(e["obstacle"]),
                )
            )  # fmt: skip
        self.events = found


class _Drawn(Mapping[str, Any]):
    """The columns of a whole run, one at a time: all that are drawn would be twice what the film itself keeps."""

    def __init__(self, timeline: Timeline) -> None:
        self._timeline = timeline

    def __getitem__(self, name: str) -> Any:
        if _later(name) and name not in self._timeline.columns:
            return np.zeros(len(self._timeline))
        if isinstance(self._timeline, LongTimeline):
            return self._timeline.once(name)
        return self._timeline[name].to_numpy()

    def __contains__(self, name: object) -> bool:
        return name in self._timeline.columns

    def __iter__(self) -> Iterator[str]:
        return iter(self._timeline.columns)

    def __len__(self) -> int:
        return len(self._timeline.columns)


def film_of_result(result: Result) -> Film:
    """A fresh run, in memory."""
    film = _film(result)
    film.told = told_of(result.verdict, result)
    return film


def film_of_folder(folder: str | Path) -> Film:
    """A kept run. Raises InputError if it is missing, cut short, of another version, or its inputs are."""
    folder = Path(folder)
    summary = read_summary(folder)
    try:
        vehicle = load_vehicle(folder / VEHICLE)
        course = load_course(folder / COURSE)
        ground = lay(course, float(summary["ground_mm"]) * MM)
        idler_mm = float(summary.get("idler_set_mm") or 0.0)
        if not abs(idler_mm) < MOST_IDLER_MM:
            raise ValueError("idler_set_mm")
        arrays = course_arrays(ground)
        assembly = assemble(vehicle, arrays, idler_mm * MM)
        str(summary["ended_because"])
    except InputError:
        raise
    except (KeyError, TypeError, ValueError) as e:
        raise InputError(Problem(f"the summary is cut short: {e} is wrong or missing", file=str(folder))) from None
    kept = read_run(folder)
    time = kept.log["time_s"]
    if not float(time.iloc[-1]) > float(time.iloc[0]):
        raise InputError(Problem("no time passes in it", field="time_s", file=str(folder / TIMELINE)))
    missing = [n for n in wanted(assembly) if n not in kept.log.columns and not _later(n)]
    if missing:
        raise InputError(
            Problem(
                f"does not belong to the vehicle beside it: no column {missing[0]}",
                file=str(folder / TIMELINE),
            )
        )
    record = Record(vehicle, course, ground, assembly, kept.log, kept.events, kept.summary)
    film = _film(record)
    film.vehicle_file = folder / VEHICLE
    film.source = folder.resolve().name
    film.told = _told_of_kept(record)
    return film


def _told_of_kept(record: Record) -> Told:
    """The verdict of a kept run, which an older version may have kept, or a hand have changed."""
    try:
        return told_of(verdict_of(record), record)
    except InputError:
        raise
    except (KeyError, TypeError, ValueError) as e:
        why = f"no verdict: what the run kept lacks {e}, or has it otherwise. Run it again for one"
        return nothing_told(f"{record.vehicle.name} over {record.course.name}: {why}.")


def _film(record: Record) -> Film:
    """The columns and events of a record."""
    time = _Drawn(record.log)["time_s"]
    first, last, rows = float(time[0]), float(time[-1]), len(time)
    del time
    film = Film(record.vehicle, record.course, record.ground, record.assembly, (last - first) / (rows - 1), first)
    film.append(_Drawn(record.log))
    film.set_events(record.events)
    film.done, film.ended = True, str(record.summary["ended_because"])
    return film


def same_course(a: Film, b: Film) -> bool:
    """True if both runs went over the same ground."""
    # Laid anew on one grid, since two runs may have been worked out on grids of different spacing.
    one, other = lay(a.course, COARSE_M), lay(b.course, COARSE_M)
    return bool(np.array_equal(one.height_m, other.height_m))


def check_same_course(a: Film, b: Film) -> None:
    """Raises InputError if two runs cannot be laid over each other."""
    if not same_course(a, b):
        raise InputError(
            Problem(
                f'two runs over different courses: "{a.course.name}" and "{b.course.name}"',
                field="RUN RUN",
                allowed="two runs over the same course",
            )
        )
