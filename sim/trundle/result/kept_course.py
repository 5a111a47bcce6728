"""A course as it is kept beside a run: its text, and the files that it names, under safe names beside it."""

from __future__ import annotations

import re
from collections.abc import Iterable, MutableMapping, Sequence
from dataclasses import dataclass
from pathlib import Path, PureWindowsPath
from typing import cast

import tomlkit

from trundle.spec.course import Course

_UNSAFE = re.compile(r"[^\w -]+")
LONGEST = 60
"""Letters of a kept file's name: with its number and ending it fits every disk, whatever its letters."""

DEVICES = frozenset(["con", "prn", "aux", "nul", *(f"{port}{n}" for port in ("com", "lpt") for n in range(10))])
"""Names that Windows gives to devices, with any ending."""

TAKEN = frozenset(["events"])
"""Tables of the run folder itself that end in .csv."""


@dataclass(frozen=True)
class KeptCourse:
    """The course file's text, and what is to lie beside it by the names that the text has for it."""

    text: str
    files: dict[str, bytes]

    def write(self, file: Path) -> None:
        """The text into `file`, the others beside it. Raises OSError."""
        file.write_text(self.text, encoding="utf-8")
        for name, content in self.files.items():
            (file.parent / name).write_bytes(content)


def kept_course(text: str, course: Course) -> KeptCourse:
    """The course and what its obstacles read, `text` (its file, settings put in) naming it by bare names.

    The folder then needs nothing outside it, and nothing in a course can write outside the folder or onto the run's
    own files, whatever path it names.
    """
    found: list[tuple[int, str, str, bytes]] = [
        (entry, field, str(getattr(obstacle, field)), content)
        for entry, obstacle in enumerate(course.obstacle)
        for field, content in obstacle.files_read().items()
    ]
    names = safe_names(path for _, _, path, _ in found)
    document = tomlkit.parse(text)
    obstacles = cast("Sequence[MutableMapping[str, str]]", document.get("obstacle", ()))
    changed = False
    for entry, field, path, _ in found:
        if obstacles[entry][field] != names[path]:
            obstacles[entry][field] = names[path]
            changed = True
    # Only then: it is the builder's own text to the last blank otherwise.
    return KeptCourse(tomlkit.dumps(document) if changed else text, {names[p]: c for _, _, p, c in found})


def safe_names(paths: Iterable[str]) -> dict[str, str]:
    """A bare name for each path, `.csv` at its end, that any disk takes and none takes for another's.

    Its own name where that is one: disks differ in what they take for the same (capital letters), Windows has names
    for devices, and a separator of either kind leads elsewhere.
    """
    taken: set[str] = set(TAKEN)
    names: dict[str, str] = {}
    for path in dict.fromkeys(paths):
        # Both kinds of separator, wherever it was written; a name of Windows may hold the others.
        own = PureWindowsPath(Path(path).name).name.removesuffix(".csv")
        stem = _UNSAFE.sub("-", own)[:LONGEST].strip(" -") or "profile"
        if stem.casefold() in DEVICES:
            stem = f"profile-{stem}"
        free = next(n for n in _numbered(stem) if n.casefold() not in taken)
        taken.add(free.casefold())
        names[path] = f"{free}.csv"
    return names


def _numbered(stem: str) -> Iterable[str]:
    yield stem
    number = 2
    while True:
        yield f"{stem}-{number}"
        number += 1
