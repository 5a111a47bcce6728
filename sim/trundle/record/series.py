"""A kept run's time series for other programs: CSV, or a spreadsheet with events and figures beside it."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from fnmatch import fnmatchcase
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np

from trundle.errors import InputError, Problem, did_you_mean
from trundle.model.arrays import Floats
from trundle.record.cells import harmless
from trundle.record.files import written
from trundle.record.long import Timeline, columns_of

if TYPE_CHECKING:
    from openpyxl.worksheet._write_only import WriteOnlyWorksheet

    from trundle.record.store import KeptRun

TIME = "time_s"
CSV, SHEET = ".csv", ".xlsx"

PIECE = 2_000
"""Rows between two words of progress."""

MOST_SHEET_ROWS = 1_048_575
"""Rows that a spreadsheet holds below its heading (ECMA-376, as its programs limit it)."""

Tell = Callable[[float], None]


def chosen_columns(log: Timeline, patterns: Sequence[str]) -> list[str]:
    """Time, and the columns that a pattern names (`wheel.*.load_N`); all without one, in the run's order.

    Raises InputError on a pattern that names none.
    """
    names = [str(c) for c in log.columns]
    for pattern in patterns:
        if not any(fnmatchcase(name, pattern) for name in names):
            near = did_you_mean(pattern, names)
            allowed = "names of columns, * for any part: wheel.*.load_N, hull.*, arm.*.angle_deg"
            raise InputError(Problem(f'no column is called "{pattern}"{near}', "--columns", allowed))
    wanted = [n for n in names if not patterns or any(fnmatchcase(n, p) for p in patterns)]
    return [TIME, *(n for n in wanted if n != TIME)]


def chosen_rows(log: Timeline, from_s: float | None, to_s: float | None, every_s: float | None) -> slice:
    """The rows from one time to another, both counted, one in as many as make `every_s` [s].

    Raises InputError if there are none, or every_s is no whole step.
    """
    time = columns_of(log)[TIME]
    step = float(time[1] - time[0]) if len(time) > 1 else 1.0
    stride = 1 if every_s is None else _whole(every_s / step)
    if every_s is not None and stride < 1:
        raise InputError(
            Problem(
                f"{every_s * 1e3:g} ms is no whole number of steps", "--every-ms", f"{step * 1e3:g} ms, or n times it"
            )
        )
    first = 0 if from_s is None else int(np.searchsorted(time, from_s - 1e-9))
    last = len(time) if to_s is None else int(np.searchsorted(time, to_s + 1e-9))
    if first >= last:
        field = "--from" if from_s is not None else "--to"
        raise InputError(Problem("there is no row in that time", field, f"{time[0]:g} to {time[-1]:g} s"))
    return slice(first, last, stride)


def _whole(steps: float) -> int:
    """A number of steps that is whole but for rounding, else 0."""
    return round(steps) if np.isfinite(steps) and abs(steps - round(steps)) < 1e-3 else 0


def write_series(run: KeptRun, file: Path, columns: Sequence[str], rows: slice, tell: Tell) -> int:
    """The columns and rows into a .csv or .xlsx, whole or not at all; gives how many rows. tell: told the share done.

    A spreadsheet has the events and the figures on sheets of their own. Raises InputError if it cannot be written, or
    does not fit in a spreadsheet.
    """
    kind = check_kind(file)
    count = len(range(*rows.indices(len(run.log))))
    if kind == SHEET and count > MOST_SHEET_ROWS:
        raise InputError(
            Problem(
                f"{count:,} rows are more than a spreadsheet holds",
                "--every-ms",
                f"at most {MOST_SHEET_ROWS:,} rows: a longer step, less time, or a .csv file",
            )
        )
    table = columns_of(run.log)
    with written(file) as temporary:
        (_csv if kind == CSV else _sheets)(run, temporary, _pieces(table, columns, rows, count, tell), columns)
    return count


def check_kind(file: Path) -> str:
    """Its suffix. Raises InputError if it is none that can be written."""
    kind = file.suffix.lower()
    if kind not in (CSV, SHEET):
        raise InputError(Problem(f'a "{file.suffix}" file cannot be written', "FILE", f"{CSV} or {SHEET}"))
    return kind


def _pieces(
    table: Mapping[str, Floats], columns: Sequence[str], rows: slice, count: int, tell: Tell
) -> Iterator[Floats]:
    whole = np.column_stack([table[name][rows] for name in columns])
    for start in range(0, count, PIECE):
        yield whole[start : start + PIECE]
        tell(min(start + PIECE, count) / count)


def _csv(run: KeptRun, file: Path, pieces: Iterator[Floats], columns: Sequence[str]) -> None:
    with file.open("w", encoding="utf-8", newline="") as out:
        out.write(",".join(_quoted(harmless(name)) for name in columns) + "\n")
        for piece in pieces:
            np.savetxt(out, piece, fmt="%.9g", delimiter=",")


def _quoted(name: str) -> str:
    doubled = name.replace('"', '""')
    return f'"{doubled}"' if set(name) & set(',"\r\n') else name


def _sheets(run: KeptRun, file: Path, pieces: Iterator[Floats], columns: Sequence[str]) -> None:
    from openpyxl import Workbook

    book = Workbook(write_only=True)
    sheet = _sheet(book, "timeline", columns)
    for piece in pieces:
        for row in piece.tolist():
            sheet.append(row)
    events = _sheet(book, "events", [str(c) for c in run.events.columns])
    for row in run.events.itertuples(index=False):
        events.append([_cell(v) for v in row])
    figures = _sheet(book, "figures", ["figure", "value"])
    for name, value in _flat(run.summary):
        figures.append([_cell(name), _cell(value)])
    book.save(file)


def _sheet(book: Any, title: str, headings: Sequence[str]) -> WriteOnlyWorksheet:
    sheet: WriteOnlyWorksheet = book.create_sheet(title)
    sheet.freeze_panes = "B2"
    sheet.append([harmless(h) for h in headings])
    return sheet


def _cell(value: object) -> object:
    """What a cell can hold: a number that is one, or text that no spreadsheet runs."""
    if isinstance(value, bool) or value is None:
        return value
    if isinstance(value, (int, float, np.integer, np.floating)):
        return float(value) if np.isfinite(value) else None
    return harmless(str(value))


def _flat(tree: Mapping[str, Any], path: str = "") -> Iterator[tuple[str, Any]]:
    """Every figure by its dotted name."""
    for name, value in tree.items():
        at = f"{path}.{name}" if path else name
        if isinstance(value, Mapping):
            yield from _flat(value, at)
        elif isinstance(value, list):
            yield from _flat({str(i): v for i, v in enumerate(value, 1)}, at)
        else:
            yield at, value
