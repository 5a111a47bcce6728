"""Tables of a run, wrong in their cells rather than in their bytes."""

from __future__ import annotations

from pathlib import Path
from random import Random

import numpy as np
import pandas as pd

from tests.fuzz import mutate


def spoil_csv(rng: Random, file: Path) -> None:
    """Cells of other types, rows and columns lost or doubled."""
    rows = [row.split(",") for row in file.read_text(encoding="utf-8").splitlines()]
    for _ in range(rng.choice((1, 1, 3)) if rows else 0):
        row = rng.choice(rows)
        i = rng.randrange(len(row)) if row else 0
        kind = rng.randrange(6)
        if kind < 3 and row:
            row[i] = rng.choice((*mutate.CELLS, *mutate.TEXTS))
        elif kind == 3 and row:
            del row[i]
        elif kind == 4:
            rows.append(list(row))
        else:
            row.append("1")
    file.write_text("\n".join(",".join(row) for row in rows), encoding="utf-8")


def spoil_parquet(rng: Random, file: Path) -> None:
    """A timeline that is Parquet all right: columns lost or of text, gaps, wild numbers, no rows, time backwards."""
    table = pd.read_parquet(file)
    column = rng.choice((*table.columns, "time_s", "hull.x_mm", "hull.y_mm", "hull.pitch_deg"))
    kind = rng.randrange(11)
    if kind == 0:
        table = table.drop(columns=column)
    elif kind == 1:
        table[column] = rng.choice(("text", None, True, pd.Timestamp("2024-01-01")))
    elif kind == 2:
        table.loc[rng.randrange(len(table)), column] = rng.choice((np.nan, np.inf, -np.inf, 1e308, -1e6))
    elif kind == 3:
        table[column] = rng.choice((np.nan, np.inf, 0.0, -1e9, 1e300))
    elif kind == 4:
        table = table.iloc[: rng.choice((0, 1, 2, 3))]
    elif kind == 5:
        table = table.iloc[::-1]
    elif kind == 6:
        table = table.rename(columns={column: rng.choice(("x", "", "hull.x_mm ", "wheel.seven.load_N"))})
    elif kind == 7:
        table[column] = -table[column].abs()
    elif kind == 8:
        table[column] = rng.choice(
            (table[column].astype("float32"), table[column].round().astype("int64"), table[column].astype("string"))
        )
    elif kind == 9:
        table["wheel.seven.load_N"] = 1.0
    else:
        table[column] = np.array(rng.choices(table[column].to_list(), k=len(table)))
    table.to_parquet(file, index=False)
