"""References on disk: one parquet file of columns for each vehicle, and one JSON file of figures for all.

Columns are whole numbers of a quantum (see reference_tolerance) and change little from row to row: kept as
differences and compressed, they take about a byte each. Every column `c` has a column `c allowed` beside it.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import numpy as np
import pyarrow as pa
import pyarrow.parquet as pq

from tests.verification.reference_runs import EVERY_S, Trace
from tests.verification.reference_tolerance import WINDOW, Reference, quantum

FOLDER = Path(__file__).with_name("references")
FIGURES = FOLDER / "figures.json"
ALLOWED = " allowed"


def write_vehicle(vehicle: str, of: dict[str, Reference]) -> None:
    """The columns of one vehicle, its courses one below the other."""
    FOLDER.mkdir(exist_ok=True)
    columns: dict[str, pa.Array] = {}
    course = np.concatenate([np.full(r.trace.length, k) for k, r in enumerate(of.values())])
    columns["course"] = pa.array(course.astype(np.int32))
    for name in next(iter(of.values())).trace.columns:
        q = quantum(name)
        values = np.concatenate([r.trace.columns[name] for r in of.values()])
        allowed = np.concatenate([np.repeat(r.allowed[name], WINDOW)[: r.trace.length] for r in of.values()])
        columns[name] = pa.array(np.rint(values / q).astype(np.int32))
        columns[name + ALLOWED] = pa.array(np.ceil(allowed / q).astype(np.int32))
    about = {"courses": json.dumps(list(of)), "every_s": str(EVERY_S)}
    about |= {name: str(quantum(name)) for name in columns if name != "course" and not name.endswith(ALLOWED)}
    table = pa.table(columns).replace_schema_metadata(about)
    pq.write_table(
        table,
        FOLDER / f"{vehicle}.parquet",
        compression="zstd",
        compression_level=19,
        use_dictionary=False,
        write_statistics=False,
        column_encoding=dict.fromkeys(columns, "DELTA_BINARY_PACKED"),
    )


def write_figures(all_of: dict[str, dict[str, Reference]], about: dict[str, str]) -> None:
    """Value and tolerance of every figure, one a line, and how long each run is compared. about: made with what."""
    lines = [json.dumps({"made_with": about})[:-1] + ', "runs": {']
    for vehicle, of in all_of.items():
        lines.append(f'"{vehicle}": {{')
        for course, r in of.items():
            until = json.dumps(round(r.until_s, 3) if r.sensitive else None)
            lines.append(
                f'"{course}": {{"compared_until_s": {until}, "left_out": {json.dumps(r.left_out)}, "figures": {{'
            )
            figures = r.trace.figures.items()
            lines += [f' "{n}": {json.dumps([_short(v), _short(r.figures_allowed.get(n))])},' for n, v in figures]
            lines[-1] = lines[-1][:-1] + "}},"
        lines[-1] = lines[-1][:-1] + "},"
    lines[-1] = lines[-1][:-1] + "}}"
    FIGURES.write_text("\n".join(lines) + "\n", encoding="utf-8")


def _short(value: float | bool | None) -> float | bool | None:
    return value if value is None or isinstance(value, bool) else float(f"{value:.9g}")


def read(vehicle: str) -> dict[str, Reference]:
    """References of one vehicle by course. Raises FileNotFoundError if none are kept."""
    table = pq.read_table(FOLDER / f"{vehicle}.parquet")
    about = {k.decode(): v.decode() for k, v in table.schema.metadata.items()}
    figures: dict[str, Any] = json.loads(FIGURES.read_text(encoding="utf-8"))["runs"][vehicle]
    course = table.column("course").to_numpy()
    out = {}
    for k, name in enumerate(json.loads(about["courses"])):
        rows = course == k
        columns, allowed = {}, {}
        for c in table.column_names:
            if c == "course" or c.endswith(ALLOWED):
                continue
            columns[c] = table.column(c).to_numpy()[rows] * float(about[c])
            allowed[c] = table.column(c + ALLOWED).to_numpy()[rows][::WINDOW] * float(about[c])
        kept = figures[name]
        trace = Trace(columns, {n: pair[0] for n, pair in kept["figures"].items()})
        until = trace.length if kept["compared_until_s"] is None else round(kept["compared_until_s"] / EVERY_S)
        tolerance = {n: pair[1] for n, pair in kept["figures"].items() if pair[1] is not None}
        out[name] = Reference(trace, allowed, until, tolerance, tuple(kept["left_out"]))
    return out
