"""One run of a study: what goes in, and the function that a worker calls for it."""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING, Any

from trundle.errors import ComputerError, Problem
from trundle.findings.near_row import row_of
from trundle.spec.course import Course, load_course
from trundle.spec.reader import parse_toml, read_text
from trundle.spec.short import Written, self_contained, tables_of
from trundle.spec.vehicle import vehicle_from
from trundle.study.figures import repeats
from trundle.study.files import valid
from trundle.study.identity import hash_of, identity
from trundle.study.paths import is_course_path, named_by
from trundle.terrain import named_files

if TYPE_CHECKING:
    from trundle.result.result import Result


@dataclass(frozen=True)
class Case:
    """One vehicle with its settings over one course.

    variant: number of the vehicle-with-settings; the same over several courses and speeds.
    settings: field path (wildcards allowed) to value, in the file's units.
    speed_m_s: target speed, None for the one the files say [m/s].
    vehicle_name, course_name: what tables call the files (empty: by their names without ending).
    """

    variant: int
    vehicle: Path
    course: Path
    settings: Mapping[str, Any] = field(default_factory=dict)
    speed_m_s: float | None = None
    vehicle_name: str = ""
    course_name: str = ""

    def columns(self) -> dict[str, Any]:
        """What the results table says of the case itself."""
        row: dict[str, Any] = {
            "variant": self.variant,
            "vehicle": self.vehicle_name or name_of(self.vehicle),
            "course": self.course_name or name_of(self.course),
        }
        if self.speed_m_s is not None:
            row["speed_m_s"] = self.speed_m_s
        return row | {path: _plain(value) for path, value in self.settings.items()}


def name_of(file: Path) -> str:
    """A file's name without its ending, as tables and pages can hold it."""
    return valid(file.stem)


def names_of(files: Iterable[Path]) -> dict[Path, str]:
    """What tables call each of several files: its name without ending, with folders in front where two share one."""
    left = dict.fromkeys(files)
    names: dict[Path, str] = {}
    deepest = max((len(f.parts) for f in left), default=0)
    for depth in range(1, deepest + 1):
        tried = {f: valid("/".join([*f.parts[-depth:-1], f.stem])) for f in left}
        told = Counter(tried.values())
        names |= {f: name for f, name in tried.items() if told[name] == 1 or depth == deepest}
        left = {f: None for f in left if f not in names}
    return names


def _plain(value: Any) -> Any:
    """A value as one cell of a table."""
    return value if isinstance(value, (int, float, str, bool)) else json.dumps(value)


class Files:
    """Texts of the input files, each read once, so that a study sees one state of them."""

    def __init__(self) -> None:
        self._texts: dict[Path, str] = {}
        self._hashes: dict[Path, str] = {}
        self._named: dict[tuple[str, Path], dict[str, Any]] = {}

    def text(self, path: Path) -> str:
        """Raises InputError if it cannot be read."""
        if path not in self._texts:
            self._texts[path] = self_contained(read_text(path), str(path))
        return self._texts[path]

    def hash(self, path: Path) -> str:
        """Of the file and of the surveyed profiles that it names. Raises InputError."""
        if path not in self._hashes:
            self._hashes[path] = content_hash(path, self.text(path))
        return self._hashes[path]

    def named_by(self, field_path: str, file: Path) -> dict[str, Any]:
        """The fields (and values written) that a path names in a file, see paths.named_by."""
        at = (field_path, file)
        if at not in self._named:
            data = tables_of(self.text(file), str(file)).data
            self._named[at] = named_by(field_path, data, str(file))
        return self._named[at]


def content_hash(path: Path, text: str) -> str:
    """Hash of a vehicle or course file's text and of the CSV files it names. Raises InputError."""
    parts = [text]
    for entry, key in named_files(parse_toml(text, str(path))):
        profile = path.parent / entry[key]
        parts.append(profile.read_text(encoding="utf-8", errors="replace") if profile.is_file() else "")
    return hash_of(parts)


def key_of(case: Case, options: Mapping[str, Any], files: Files) -> str:
    """Hash of everything the case's result depends on: files, settings, options, program version."""
    return hash_of(
        [
            files.hash(case.vehicle),
            files.hash(case.course),
            dict(case.settings),
            case.speed_m_s,
            dict(options),
            identity(),
        ]
    )


def payload_of(case: Case, options: Mapping[str, Any], files: Files, timeline: Path | None = None) -> dict[str, Any]:
    """The case as plain data for a worker. timeline: where to write the run's time series, if anywhere."""
    ours: dict[str, Any] = {}
    theirs: dict[str, Any] = {}
    for path, value in case.settings.items():
        course = is_course_path(path)
        for full in files.named_by(path, case.course if course else case.vehicle):
            (theirs if course else ours)[full] = value
    speed = {} if case.speed_m_s is None else {"speed_m_s": case.speed_m_s}
    return {
        "vehicle": str(case.vehicle),
        "vehicle_text": files.text(case.vehicle),
        "vehicle_settings": ours,
        "course": str(case.course),
        "course_hash": files.hash(case.course),
        "course_settings": json.dumps(theirs, sort_keys=True),
        "options": {**options, **speed},
        "timeline": str(timeline) if timeline else "",
    }


def run_case(payload: dict[str, Any]) -> dict[str, Any]:
    """The worker's function: one run and those near it, back comes their row (see trundle.findings.near_row).

    The time series is that of the run as asked. Raises InputError on an invalid vehicle.
    """
    result = result_of(payload)
    if payload["timeline"]:
        from trundle.study.files import write_timeline

        write_timeline(result.log, Path(payload["timeline"]))
    row = result.summary if result.near is None else row_of(result.summary, result.near)
    return {k: v for k, v in row.items() if repeats(k)}


def result_of(payload: dict[str, Any]) -> Result:
    """The run of a payload. Raises InputError."""
    # Only now: it loads the compiled model, which the supervising process has no use for.
    from trundle.result.run import run

    data, lines = _parsed(payload["vehicle_text"], payload["vehicle"])
    vehicle = vehicle_from(data, payload["vehicle_settings"], payload["vehicle"], lines)
    course = _course(payload["course"], payload["course_hash"], payload["course_settings"])
    # One run at a time: each core has a worker of its own.
    return run(vehicle, course, threads=1, **payload["options"])


# A worker does many runs over few files: what they share is read once.


@lru_cache(maxsize=32)
def _parsed(text: str, file: str) -> Written:
    return tables_of(text, file)


@lru_cache(maxsize=32)
def _course(file: str, expected: str, settings: str) -> Course:
    path = Path(file)
    if content_hash(path, read_text(path)) != expected:
        raise ComputerError(Problem("was changed while the study ran; start it again", file=file))
    return load_course(path, json.loads(settings))
