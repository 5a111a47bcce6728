"""A finished run, as Python has it."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from pathlib import Path

from trundle.findings import figures
from trundle.findings.record import Record
from trundle.findings.verdict import Verdict, verdict_of
from trundle.record.store import COURSE, VEHICLE, free_folder, whole_folder, write_tables
from trundle.result.inputs import CourseInput, VehicleInput


@dataclass(frozen=True, eq=False, repr=False)
class Result(Record):
    """What `trundle.run` gives: the run's timeline, events and summary, what to say of it, and how to keep it.

    vehicle_input, course_input: where vehicle and course came from (None: they were objects).
    """

    vehicle_input: VehicleInput | None = None
    course_input: CourseInput | None = None

    @cached_property
    def verdict(self) -> Verdict:
        """What `trundle run` prints, as data: headline, obstacles, wheels, and lines by subject, each with its grade.

        `print(result.verdict)` shows it.
        """
        return verdict_of(self)

    def save(self, folder: str | Path, *, replace: bool = True) -> Path:
        """Writes the run folder as `trundle run` does, whole or not at all, and gives its path.

        report.html, timeline.parquet, events.csv, summary.json, vehicle and course as used, and the profiles that the
        course names: all that the folder needs, wherever it is moved. replace: an older run there is replaced; if
        False, the first free name of folder, folder-2, folder-3, ... is taken. Raises InputError if the folder cannot
        be written or holds something else.
        """
        if not replace:
            return Path(folder).with_name(free_folder(Path(folder), self._fill).name)
        with whole_folder(Path(folder)) as part:
            self._fill(part)
        return Path(folder)

    def _fill(self, folder: Path) -> None:
        # Only now: a page needs more libraries than a run.
        from trundle.report.page import write_report

        vehicle = self.vehicle_input or VehicleInput(self.vehicle)
        course = self.course_input or CourseInput(self.course)
        vehicle_text, kept = vehicle.text_as_used(), course.kept()
        write_tables(folder, self.log, self.events, self.summary)
        (folder / VEHICLE).write_text(vehicle_text, encoding="utf-8")
        kept.write(folder / COURSE)
        write_report(self, folder, vehicle_text, kept.text, self.verdict)

    def __repr__(self) -> str:
        told = [
            f"{figure.title} {figure.text(self.summary[figure.name])}"
            for figure in figures.TABLE
            if figure.ranked and self.summary.get(figure.name) is not None
        ]
        left = f".timeline ({len(self.log)} rows), .events ({len(self.events)} rows), .summary"
        lines = [str(self.verdict.headline), ", ".join(told), f"print(.verdict) for all of it; {left}; .save(folder)"]
        return "\n".join(lines)
