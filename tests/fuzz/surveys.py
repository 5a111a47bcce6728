"""Surveyed profiles: wild numbers, odd files, and a `file` that points where it should not."""

from __future__ import annotations

import os
from pathlib import Path
from random import Random

from tests.fuzz import mutate
from tests.fuzz.case import Case, Place
from tests.fuzz.toml import toml
from trundle.errors import plain

PLACES = (
    "../canary.csv", "sub/../../canary.csv", "../timeline.parquet", "../home/.bashrc", ".", "..", "", "/", "/dev/null",
    "/dev/zero", "/dev/stdin", "/dev/tty", "/proc/self/mem", "/proc/self/fd/0", "/etc/passwd", "way.toml", "fifo",
    "loop", "link.csv",
    "sub", "sub/deep.csv", "a" * 300, "x\x00y.csv", "~/.bashrc", "$HOME/x.csv", "nothing.csv", "./profile.csv",
    "sub/../profile.csv",
)  # fmt: skip
TAKEN = ("timeline.parquet", "summary.json", "report.html", "events.csv", "vehicle.toml", "course.toml", ".held",
    "-.csv", "é☃.csv",
         "[red].csv", "a b.csv", "..csv", "profile.CSV", "{{7*7}}.csv")  # fmt: skip
"""Names of a survey that is good: some are those of a run's own files."""


def make(rng: Random, place: Place) -> Case:
    """A course of one or two surveys, run, drawn or compared."""
    work = place.work
    os.mkfifo(work / "fifo")
    (work / "loop").symlink_to("loop")
    (work / "sub").mkdir()
    (work / "link.csv").symlink_to("../canary.csv")
    (work / "sub" / "deep.csv").write_bytes(profile(rng))
    name = "profile.csv"
    kind = rng.random()
    if kind < 0.3:
        (work / name).write_bytes(profile(rng))
        name = rng.choice(PLACES)
    elif kind < 0.45:
        name = rng.choice(TAKEN)
        (work / name).write_bytes(profile(rng))
    elif kind < 0.6:
        (work / name).write_bytes(mutate.unstructured(rng, profile(rng)))
    elif kind < 0.65:
        (work / name).write_bytes(profile(rng))
        mutate.instead(rng, work / name, place.root / "canary.csv")
    else:
        (work / name).write_bytes(wild(rng, profile(rng)))
    if rng.random() < 0.05:
        name = str(work / name)
    parts = [{"kind": "surveyed profile", "file": name, "gap_mm": 100}]
    if rng.random() < 0.25:
        parts += [
            {"kind": "surveyed profile", "file": rng.choice(("sub/deep.csv", "../canary.csv", name)), "gap_mm": 0}
        ]
    if rng.random() < 0.1:
        points = [
            [rng.choice((i * 100.0, 0.0, -i, 1e9, 0.05 * i)), rng.uniform(-80.0, 80.0)]
            for i in range(rng.randint(0, 9))
        ]
        parts += [{"kind": "surveyed profile", "points_mm": points}]
    way = "course.toml" if name != "course.toml" and rng.random() < 0.2 else "way.toml"
    tables = {"name": "Survey", "run_up_mm": 1000, "run_out_mm": 600, "obstacle": parts}
    (work / way).write_text(toml(tables), encoding="utf-8")
    names = (
        way,
        "wren.toml",
        "barrow.toml",
        "profile",
        plain(Path(name).name or name),
        "canary.csv",
        "deep.csv",
        "--dt-ms",
    )
    which = rng.random()
    if which < 0.8:
        out = rng.choice(("out", "out", "results/out"))
        return Case(("run", rng.choice(("wren", "barrow")), way, "--out", out), names, ("out",), kept=out)
    if which < 0.98:
        return Case(("course", way, "--out", "out.svg"), names, ("out.svg",))
    return Case(
        ("compare", "wren", way, "--vary", "hull.mass_kg=44", "--workers", "1", "--out", "out"), names, ("out",)
    )


def profile(rng: Random) -> bytes:
    """Ground as someone measures it: every 50 to 200 mm."""
    x, y, lines = rng.uniform(-100, 100), rng.uniform(-50, 50), ["x_mm,y_mm"]
    for _ in range(rng.randint(2, 12)):
        lines.append(f"{x:.1f},{y:.1f}")
        x += rng.uniform(50, 200)
        y += rng.gauss(0, 15)
    return ("\n".join(lines) + "\n").encode()


def wild(rng: Random, content: bytes) -> bytes:
    """The same with cells, headings or columns spoilt."""
    rows = [row.split(",") for row in content.decode().splitlines()]
    for _ in range(rng.choice((1, 1, 2, 5))):
        row = rng.choice(rows)
        i = rng.randrange(len(row)) if row else 0
        kind = rng.randrange(8)
        if kind < 4 and row:
            value = row[i]
            row[i] = rng.choice(
                (
                    *mutate.CELLS,
                    *mutate.TEXTS[:6],
                    f'"{value}"',
                    f" {value} ",
                    f"{value}e1",
                    f"-{value}",
                    value.replace(".", ","),
                )
            )
        elif kind == 4:
            row.insert(i, rng.choice(mutate.CELLS))
        elif kind == 5 and row:
            del row[i]
        elif kind == 6:
            rows.insert(rng.randrange(len(rows) + 1), list(row))
        else:
            rng.shuffle(rows)
    if rng.random() < 0.2:  # steps a thousand times too fine or too coarse: m for mm, or the other way
        factor = 10.0 ** rng.uniform(-6, 5)
        for row in rows[1:]:
            try:
                row[0] = repr(float(row[0]) * factor)
            except (ValueError, IndexError):
                continue
    between = rng.choice((",", ",", ",", ",", ";", "\t", " ", ", "))
    return "\n".join(between.join(row) for row in rows).encode("utf-8", "surrogatepass")
