"""What must hold of every input, whatever it was."""

from __future__ import annotations

import hashlib
import json
import math
import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from tests.fuzz.case import Case, Place

CODES = (0, 1, 2, 3, 130)
MOST_MB = 2_000.0
LONGEST_LINE = 2_000

TABLES = ("bogie.", "wheel.", "hull.", "track.", "drive.", "driver[", "run_out_mm", "--frame")
"""A field of one of these names the place as well as a file does."""

Snapshot = dict[str, str]


@dataclass(frozen=True)
class Ended:
    """How a command ended. code: negative: killed by that signal. memory_MB: its peak."""

    code: int
    out: str
    err: str
    wall_s: float
    memory_MB: float


def snapshot(folder: Path) -> Snapshot:
    """Every path below a folder with what it is: kind, link target, hash of its content."""
    found: Snapshot = {}
    for path in sorted(folder.rglob("*")):
        name = str(path.relative_to(folder))
        if path.is_symlink():
            found[name] = f"link {path.readlink()}"
        elif path.is_dir():
            found[name] = "folder"
        elif path.is_file():
            found[name] = (
                f"file {hashlib.sha1(path.read_bytes()).hexdigest()}" if path.stat().st_mode & 0o400 else "file"
            )
        else:
            found[name] = "special"
    return found


def outside(place: Place) -> Snapshot:
    """All of the sandbox but the working folder."""
    return {name: what for name, what in snapshot(place.root).items() if name.split("/")[0] != "work"}


def complaints(case: Case, place: Place, before: tuple[Snapshot, Snapshot], ended: Ended) -> list[str]:
    """All that is wrong with how an input ended; none: it held. before: snapshots outside and inside."""
    return [
        *_codes(case, ended),
        *_words(case, ended),
        *_places(case, place, before),
        *_kept(case, place, ended),
    ]


def _codes(case: Case, ended: Ended) -> Iterator[str]:
    last = ended.err.strip().splitlines()[-1:] or [""]
    if ended.code not in CODES:
        yield f"ended with code {ended.code}: {last[0][:300]}"
    if ended.code == 130 and case.interrupt_s is None:
        yield f"ended with code 130 without a Ctrl-C: {last[0][:300]}"
    if ended.code == 1 and case.args[:2] != ("baseline", "check"):
        yield f"ended with code 1, which is a failed check's: {last[0][:300]}"
    if ended.memory_MB > MOST_MB:
        yield f"took {ended.memory_MB:.0f} MB of memory"


def _words(case: Case, ended: Ended) -> Iterator[str]:
    both = ended.out + ended.err
    if "Traceback (most recent call last)" in both:
        yield f"a traceback: {both.strip().splitlines()[-1][:300]}"
    if re.search(r"^Exception ignored|^Fatal Python error", both, re.MULTILINE):
        yield f"Python's own words: {both.strip()[:300]}"
    steering = re.search(r"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f]", both)
    if steering and "FORCE_COLOR" not in case.env and "utf-16" not in str(case.env):
        yield f"a control character {steering.group()!r} in what is said"
    if ended.code == 2 and 2 not in case.closed:
        said = ended.err.strip()
        if not said:
            yield "refused without a word"
        elif case.names and not any(name in said for name in (*case.names, *TABLES)):
            yield f"refused without naming the file or field: {said[:300]}"
        if any(len(line) > LONGEST_LINE for line in said.splitlines()):
            yield f"a message of {max(map(len, said.splitlines()))} characters"
    if ended.code in (0, 1, 3) and (found := _no_number(ended.out)):
        yield f"no number in what is said: {found}"


_NO_NUMBER = re.compile(r"(?<![\w+/=.\-])-?(?:nan|NaN|inf|Infinity)(?![\w+/=.\-])")


def _no_number(text: str) -> str:
    found = _NO_NUMBER.search(text)
    return "" if found is None else text[max(found.start() - 60, 0) : found.end() + 30].replace("\n", " ")


def _places(case: Case, place: Place, before: tuple[Snapshot, Snapshot]) -> Iterator[str]:
    for name in _changed(before[0], outside(place)):
        yield f"written outside its folder: {name}"
    after = snapshot(place.work)
    for name in _changed(before[1], after):
        hidden = any(part.startswith(".") for part in Path(name).parts) and case.args[:1] != ("new",)
        if name not in before[1] and hidden:  # `new` may be asked for such a name
            if not any(Path(name).is_relative_to(w) and w.startswith(".") for w in case.writes if w != "."):
                yield f"left half made: {name}"
        elif name in before[1] and not any(
            name == w or Path(name).is_relative_to(w) for w in (*case.writes, "results")
        ):
            yield f"changed or removed what it was not asked to: {name}"


def _changed(before: Snapshot, after: Snapshot) -> list[str]:
    return [name for name in sorted({*before, *after}) if before.get(name) != after.get(name)]


def _kept(case: Case, place: Place, ended: Ended) -> Iterator[str]:
    """The run folder that it says it has kept: finite, no load or pull below zero, complete in itself."""
    if not case.kept or ended.code not in (0, 3):
        return
    try:
        yield from _finite(place.work / case.kept)
    except Exception as e:  # whatever cannot be read back
        yield f"the kept run cannot be read: {type(e).__name__}: {e}"


def _finite(folder: Path) -> Iterator[str]:
    from pyarrow import parquet

    summary = json.loads((folder / "summary.json").read_text(encoding="utf-8"), parse_constant=lambda name: math.nan)
    for name, value in _figures(summary):
        if not math.isfinite(value):
            yield f"summary.json: {name} is {value}"
        elif value < 0 and name.endswith(("load_N", "tension_N", "standing_N", "mean_N", "peak_N", "stop_N")):
            yield f"summary.json: {name} is {value:g}"
    table = parquet.read_table(folder / "timeline.parquet", use_threads=False)
    for name in table.column_names:
        values = table.column(name).to_numpy()
        if not all(map(math.isfinite, (values.min(), values.max(), values.sum()))):
            yield f"timeline: {name} holds what is no finite number"
        elif values.min() < 0 and (
            name.endswith((".load_N", ".span_load_N")) or name in ("track.tight_N", "track.slack_N", "track.top_N")
        ):
            yield f"timeline: {name} falls to {values.min():g}"
    if re.search(
        r"(?:^|,)-?(?:nan|inf)(?:,|$)",
        (folder / "events.csv").read_text(encoding="utf-8"),
        re.MULTILINE | re.IGNORECASE,
    ):
        yield "events.csv holds a nan or inf"
    if found := _no_number(re.sub(r"base64,[^\"']*", "", (folder / "report.html").read_text(encoding="utf-8"))):
        yield f"report.html: no number: {found}"
    yield from _self_contained(folder)


def _figures(node: Any, at: str = "") -> Iterator[tuple[str, float]]:
    if isinstance(node, dict):
        for key, value in node.items():
            yield from _figures(value, f"{at}.{key}" if at else key)
    elif isinstance(node, list):
        for value in node:
            yield from _figures(value, at)
    elif isinstance(node, float):
        yield at, node


def _self_contained(folder: Path) -> Iterator[str]:
    """The kept course loads from the folder alone: its surveys are plain names beside it."""
    import tomllib

    course = tomllib.loads((folder / "course.toml").read_text(encoding="utf-8"))
    for part in course.get("obstacle", []):
        if part.get("kind") == "surveyed profile" and "file" in part:
            name = part["file"]
            if Path(name).name != name or not (folder / name).is_file() or (folder / name).is_symlink():
                yield f"the kept course names {name!r}, which is not in its folder"
