"""A study's journal with cells of the wrong type, lost rows, flipped bytes; then the same command again."""

from __future__ import annotations

import json
import shutil
import sqlite3
from pathlib import Path
from random import Random

from tests.fuzz import mutate, shelf
from tests.fuzz.case import Case, Place


def make(rng: Random, place: Place) -> Case:
    """The stock study, damaged."""
    work = place.work
    shutil.copytree(place.stock / "study", work / "study")
    for name in ("wren.toml", "short.toml"):
        shutil.copy(place.stock / name, work / name)
    file = work / "study" / "study.sqlite"
    kind = rng.random()
    if kind < 0.6:
        for _ in range(rng.choice((1, 1, 2))):
            cells(rng, file)
    elif kind < 0.8:
        file.write_bytes(mutate.unstructured(rng, file.read_bytes()))
    elif kind < 0.9:
        mutate.instead(rng, file, place.root / "canary.csv")
    elif kind < 0.95:
        beside = work / "study" / rng.choice(("study.sqlite-wal", "study.sqlite-shm", "study.sqlite-journal"))
        beside.write_bytes(rng.randbytes(rng.choice((0, 100, 5000))))
    else:
        mutate.instead(
            rng, work / "study" / rng.choice(("runs.csv", "runs.parquet", "report.html")), place.root / "canary.csv"
        )
    return Case(shelf.STUDY, ("study", "compare"), ("study",))


VALUES = (
    None,
    "",
    "text",
    "done",
    "failed",
    "killed",
    0,
    -1,
    1.5,
    1e308,
    float("inf"),
    2**62,
    b"\x00\xff",
    "[]",
    "{}",
    "null",
    "nan",
)


def cells(rng: Random, file: Path) -> None:
    """One statement of mischief: a cell, a figure inside one, a row, the table, the layout's number."""
    db = sqlite3.connect(file)
    try:
        rows = db.execute("SELECT key, figures FROM run ORDER BY key").fetchall()
        if not rows:
            return
        key, figures = rng.choice(rows)
        kind = rng.randrange(8)
        if kind < 2:
            column = rng.choice(("kind", "inputs", "figures", "reason", "wall_s"))
            db.execute(f"UPDATE OR IGNORE run SET {column} = ? WHERE key = ?", (rng.choice(VALUES), key))
        elif kind < 6 and isinstance(figures, str):
            try:
                changed = mutate.structured(rng, json.loads(figures))
            except (ValueError, TypeError, AttributeError):
                return
            db.execute("UPDATE run SET figures = ? WHERE key = ?", (json.dumps(changed, default=str), key))
        elif kind == 6:
            db.execute(rng.choice((
                "DELETE FROM run WHERE key = ?", "UPDATE run SET key = 'x' || key WHERE key = ?",
                "UPDATE run SET kind = 'failed', figures = NULL, reason = 'x' WHERE key = ?",
                "UPDATE run SET kind = 'killed', figures = NULL WHERE key = ?",
            )), (key,))  # fmt: skip
        else:
            db.execute(rng.choice((
                "DROP TABLE run", "ALTER TABLE run DROP COLUMN reason", "ALTER TABLE run ADD COLUMN more TEXT",
                "CREATE TABLE x (y)",
                "PRAGMA user_version = 7", "ALTER TABLE run RENAME TO runs", "PRAGMA user_version = 0",
            )))  # fmt: skip
        db.commit()
    except sqlite3.Error:
        db.rollback()  # NOT NULL and the like: this change cannot be made
    finally:
        db.close()
