"""Kept runs with any of their files damaged, replaced or linked elsewhere."""

from __future__ import annotations

import json
import shutil
from pathlib import Path
from random import Random

from tests.fuzz import mutate
from tests.fuzz.case import Case, Place
from tests.fuzz.tables import spoil_csv, spoil_parquet

FILES = ("timeline.parquet", "timeline.parquet", "events.csv", "events.csv", "summary.json", "summary.json",
    "vehicle.toml", "course.toml",
         "report.html")  # fmt: skip


def make(rng: Random, place: Place) -> Case:
    """One damaged run, or one beside a good one; read by every command that reads a run, or written over."""
    work = place.work
    for name in ("kept", "other"):
        shutil.copytree(place.stock / name, work / name)
    for name in ("wren.toml", "short.toml"):
        shutil.copy(place.stock / name, work / name)
    for _ in range(rng.choice((1, 1, 1, 2))):
        damage(rng, work / "kept" / rng.choice(FILES), place)
    if rng.random() < 0.05:
        whole(rng, work, place)
    which = rng.random()
    names = ("kept", "timeline", "events", "summary", "vehicle", "course")
    if which < 0.3:
        return Case(("watch", "kept", "--frame", "0.8", "out.png", "--size", "320x240"), names, ("out.png",))
    if which < 0.38:
        return Case(
            ("watch", "kept", "--movie", "out.gif", "--from", "1", "--to", "1.1", "--size", "320x240"),
            names,
            ("out.gif",),
        )
    if which < 0.5:
        pair = rng.choice((("kept", "other"), ("other", "kept"), ("kept", "kept")))
        return Case(("watch", *pair, "--frame", "0.5", "out.png", "--size", "320x240"), names, ("out.png",))
    if which < 0.85:
        vehicle = rng.choice(("wren.toml", "wren.toml", "wren", "teasel", "kept/vehicle.toml"))
        return Case(
            ("sheet", vehicle, "--run", "kept", *rng.choice(((), ("--html", "out.html")))), names, ("out.html",)
        )
    return Case(("run", "wren.toml", "short.toml", "--out", "kept"), names, ("kept",), kept="kept")


def damage(rng: Random, file: Path, place: Place) -> None:
    """One file of a run, by bytes, by sense, or put in its place."""
    if not file.is_file() or file.is_symlink():
        return
    kind = rng.random()
    if kind < 0.25:
        mutate.instead(rng, file, place.root / "canary.csv")
    elif kind < 0.5:
        file.write_bytes(mutate.unstructured(rng, file.read_bytes()))
    elif kind < 0.6:
        shutil.copy(place.stock / "other" / file.name, file)
    else:
        try:
            SPOILERS.get(file.suffix, _bytes)(rng, file)
        except Exception:  # damaged before, so that it cannot be read any more
            _bytes(rng, file)


def _bytes(rng: Random, file: Path) -> None:
    file.write_bytes(mutate.unstructured(rng, file.read_bytes()))


def _spoil_json(rng: Random, file: Path) -> None:
    tables = mutate.structured(rng, json.loads(file.read_text(encoding="utf-8")))
    file.write_text(json.dumps(tables, default=str), encoding="utf-8")


SPOILERS = {".json": _spoil_json, ".csv": spoil_csv, ".parquet": spoil_parquet}
"""What makes a file wrong in its sense rather than in its bytes, by its ending."""


def whole(rng: Random, work: Path, place: Place) -> None:
    """The folder itself is something else."""
    shutil.rmtree(work / "kept")
    if rng.random() < 0.5:
        (work / "kept").symlink_to(rng.choice(("kept", "other", "nowhere", str(place.stock / "kept"))))
    else:
        mutate.instead(rng, work / "kept", place.root / "canary.csv")
