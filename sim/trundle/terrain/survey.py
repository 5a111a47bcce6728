"""Ground measured on the spot: a profile from a CSV file."""

from __future__ import annotations

import csv
import io
import itertools
import math
import re
from pathlib import Path
from typing import Annotated, Any, ClassVar, Literal

import numpy as np
from pydantic import Field, PrivateAttr, model_validator

from trundle.errors import ComputerError, InputError, Problem
from trundle.fields.base import PlacedError
from trundle.fields.shape import Shape, disc
from trundle.fields.sketch import Mark, Note
from trundle.fields.sketch_parts import placed, thin
from trundle.terrain.base import IS_FILE, FileName, Floats, Obstacle
from trundle.units import MM

COLUMNS = ("x_mm", "y_mm")
AS_WRITTEN = "numbers with a decimal point and a comma between cells, like 1250.5,38.2"
_BETWEEN = {";": "semicolons", "\t": "tabs"}
_WHOLE = re.compile(r"[-+]?[0-9]{1,9}")
MAX_BYTES = 8_000_000
MAX_ROWS = 200_000
MAX_LENGTH_MM = 2_000_000.0
MAX_HEIGHT_MM = 50_000.0
LEAST_LENGTH_MM, LEAST_APART_MM = 20.0, 0.1
MOST_DRAWN = 60
"""Of so many points each is drawn."""


_AlongMm = Annotated[float, Field(ge=-1e9, le=1e9)]
_UpMm = Annotated[float, Field(ge=-MAX_HEIGHT_MM, le=MAX_HEIGHT_MM)]


class SurveyedProfile(Obstacle):
    """Ground measured on the spot: points along it joined by straight lines. Only differences from the first point
    count.

    Also called: survey, measured ground, real ground, garden path
    """

    EXAMPLE: ClassVar[str] = (
        'kind = "surveyed profile"\n'
        "points_mm = [[0, 0], [250, -15], [600, 35], [900, 30], [1200, 95], [1500, 70], [2000, 80]]\n"
    )

    kind: Literal["surveyed profile"]
    file: Annotated[FileName | None, IS_FILE] = None
    """CSV file beside the course file, with a heading row and columns `x_mm` (along the course, rising) and `y_mm`
    (up); this or points_mm.

    Usual: left out for up to some ten points; a file for more.
    Measure: as points_mm, into a spreadsheet, saved as CSV with decimal points.
    If wrong: metres or centimetres in it are a thousand or ten times too flat.
    """

    points_mm: (
        Annotated[
            tuple[Annotated[tuple[_AlongMm, _UpMm], Field(strict=False)], ...],
            Field(strict=False, min_length=2, max_length=500),
        ]
        | None
    ) = None
    """Points [along the course, up], mm, each further along than the one before; this or file.

    Usual: a point wherever the slope changes, 100 to 500 mm apart.
    Measure: string pulled tight and level (spirit level, or a hose of water at both ends) with marks along it: rule
    down to the ground at each; up is the first reading less this one.
    If wrong: readings taken downwards and put in as they are turn the ground upside down.
    Also called: profile, cross-section
    """

    _content: bytes | None = PrivateAttr(default=None)
    _points_m: tuple[Floats, Floats] = PrivateAttr()

    @model_validator(mode="after")
    def _once(self) -> SurveyedProfile:
        if (self.file is None) == (self.points_mm is None):
            raise PlacedError("say where the ground is once: points_mm or file", "points_mm", allowed="one of the two")
        for i, (before, point) in enumerate(itertools.pairwise(self.points_mm or ()), 1):
            if point[0] < before[0] + LEAST_APART_MM:
                raise PlacedError(
                    f"{point[0]:g} does not lie beyond {before[0]:g} of the point before",
                    "points_mm",
                    i,
                    allowed=f"points further along by {LEAST_APART_MM:g} mm or more",
                )
        if self.points_mm is not None:
            self._points_m = _from_first(np.array(self.points_mm))
            if problem := _length_problem(self.length_m() / MM):
                raise PlacedError(problem[0], "points_mm", allowed=problem[1])
        return self

    def model_post_init(self, context: Any) -> None:
        """Reads the file. Raises InputError naming the CSV file and line."""
        if self.file is not None and self.points_mm is None:
            self._content = _read(Path(self.file))
            self._points_m = profile_in(self._content, self.file)

    def files_read(self) -> dict[str, bytes]:
        """As it was read: the file may be another by now, or gone."""
        return {} if self._content is None else {"file": self._content}

    def length_m(self) -> float:
        """From the first point to the last."""
        return float(self._points_m[0][-1])

    def heights_m(self, x_m: Floats) -> Floats:
        """Straight lines between the points."""
        return np.interp(x_m, *self._points_m)

    def rise_m(self) -> float:
        """Last point less first."""
        return float(self._points_m[1][-1])

    def title(self) -> str:
        """`surveyed profile garden-path`, `surveyed profile 2 m`."""
        return f"surveyed profile {Path(self.file).stem if self.file is not None else f'{self.length_m():.3g} m'}"

    def _size(self, field: str, value: object) -> str:
        return f"{len(self._points_m[0])} points" if field == "points_mm" else super()._size(field, value)

    def marks(self) -> tuple[Mark, ...]:
        """Its first and last points, and between them; of what counts, differences from the first."""
        x, y = (a / MM for a in self._points_m)
        high = int(np.argmax(np.abs(y)))
        top = (float(x[high]), float(y[high]))
        shown = self.points_mm is not None and self.points_mm[0] == (0.0, 0.0)
        points: tuple[Mark, ...] = placed("points_mm", top) if shown else (Note("points_mm", top),)
        return *points, Note("file", (float(x[-1]), float(y[-1]))), Note("kind", (float(x[0]), float(y[0])))

    def in_front(self) -> tuple[Shape, ...]:
        """Its points, and the level string that heights are measured from."""
        x, y = (a / MM for a in self._points_m)
        size = 0.006 * float(x[-1])
        level = thin(((0.0, 0.0), (float(x[-1]), 0.0)))
        if len(x) > MOST_DRAWN:
            return (level,)
        return level, *(disc("mark", float(a), float(b), size) for a, b in zip(x, y, strict=True))


def read_profile(path: Path) -> tuple[Floats, Floats]:
    """Distance and height from the first point [m], each (n,), of a CSV file.

    Raises InputError with file and line: not there, too big, and what `profile_in` raises.
    """
    return profile_in(_read(path), str(path))


def profile_in(content: bytes, file: str) -> tuple[Floats, Floats]:
    """The same of what stands in the file.

    Raises InputError with file and line: not UTF-8, a column missing, a cell empty or not a number, more cells than
    headings, `x_mm` not rising, fewer than two points.
    """
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError as e:
        line = content[: e.start].count(b"\n") + 1
        raise _wrong(file, line, "is not UTF-8 text; save it as UTF-8 CSV") from None
    rows = csv.reader(io.StringIO(text, newline=""))
    try:
        points = _points(rows, file)
    except csv.Error as e:
        raise _wrong(file, rows.line_num, f"not readable as CSV: {e}") from None
    return _from_first(points)


def _from_first(points_mm: Floats) -> tuple[Floats, Floats]:
    x, y = points_mm[:, 0], points_mm[:, 1]
    return (x - x[0]) * MM, (y - y[0]) * MM


def _points(rows: Any, file: str) -> Floats:
    heading: list[str] = next(rows, [])
    where = _columns(heading, file)
    named = max(i for i, name in enumerate(heading, 1) if name.strip())
    found: list[tuple[float, float]] = []
    blank = 0
    split = _SplitNumbers()
    for row in rows:
        line = rows.line_num
        if not any(cell.strip() for cell in row):
            blank = blank or line
            continue
        if blank:
            raise _wrong(file, blank, "an empty row: a gap in the profile")
        # A word under no heading is a remark.
        if any(cell.strip() for cell in row[len(heading) :]) or any(_WHOLE.fullmatch(c.strip()) for c in row[named:]):
            raise _wrong(
                file,
                line,
                f"{len(row)} cells where the heading has {named}; a decimal comma splits a number in two",
                allowed=AS_WRITTEN,
            )
        split.look(row, line)
        x, y = (_number(row, i, name, file, line) for i, name in zip(where, COLUMNS, strict=True))
        if found and x < found[-1][0] + LEAST_APART_MM:
            raise _wrong(
                file,
                line,
                f"{x:g} does not lie beyond {found[-1][0]:g} in the row before{split.hint(row)}",
                "x_mm",
                f"x_mm rising by {LEAST_APART_MM:g} mm or more from row to row",
            )
        found.append((x, y))
        if len(found) > MAX_ROWS:
            raise _wrong(file, line, "too many points", allowed=f"up to {MAX_ROWS} rows")
    if split.line:
        raise _wrong(
            file,
            split.line,
            "four whole numbers: two with a decimal comma, which splits each in two, or spare columns?",
            allowed=f"{AS_WRITTEN}; without the spare columns if there is none",
        )
    long = found[-1][0] - found[0][0] if len(found) > 1 else 0.0
    if problem := _length_problem(long):
        raise _wrong(file, rows.line_num, problem[0], "x_mm" if long > LEAST_LENGTH_MM else "", problem[1])
    return np.array(found)


def _length_problem(long_mm: float) -> tuple[str, str] | None:
    """What is wrong with a profile so long, and what is allowed."""
    if long_mm < LEAST_LENGTH_MM:
        return "too short a profile", f"two points or more over {LEAST_LENGTH_MM:g} mm or more"
    return ("too long a profile", "up to 2 km") if long_mm > MAX_LENGTH_MM else None


def _read(path: Path) -> bytes:
    try:
        if path.is_dir():
            raise _wrong(path, 0, "is a folder; a .csv file is wanted")
        if path.exists() and not path.is_file():  # a device or pipe has no end that its size could tell
            raise _wrong(path, 0, "is not a file; a .csv file is wanted")
        size = path.stat().st_size
        if size > MAX_BYTES:
            raise _wrong(path, 0, f"is {size / 1e6:.0f} MB", allowed=f"up to {MAX_BYTES / 1e6:.0f} MB")
        return path.read_bytes()
    except InputError:
        raise
    except FileNotFoundError:
        raise _wrong(path, 0, "no such file") from None
    except (OSError, ValueError) as e:
        what = f"cannot be read: {getattr(e, 'strerror', None) or e}"
        raise ComputerError(Problem(what, file=str(path))) from None


class _SplitNumbers:
    """Rows that may be two numbers with a decimal comma, under a heading with room for their four parts.

    `1250,5,38,2` is four whole numbers, and nothing about one row tells. But numbers without decimals are not split: so
    either other rows have two cells, or all rows are four whole numbers.
    """

    def __init__(self) -> None:
        self._suspect, self._two, self._other = 0, False, False

    def look(self, row: list[str], line: int) -> None:
        """One row more."""
        if self._is_whole(row):
            self._suspect = self._suspect or line
        elif sum(bool(cell.strip()) for cell in row) == 2:
            self._two = True
        else:
            self._other = True

    @property
    def line(self) -> int:
        """The first row that looks split in two, or 0."""
        return self._suspect if self._two or not self._other else 0

    def hint(self, row: list[str]) -> str:
        """What else may be wrong with a row."""
        return "; is there a decimal comma, which splits a number in two?" if self._is_whole(row) else ""

    @staticmethod
    def _is_whole(row: list[str]) -> bool:
        cells = [cell.strip() for cell in row if cell.strip()]
        return len(cells) == 4 and all(_WHOLE.fullmatch(cell) for cell in cells)


def _columns(heading: list[str], file: str) -> tuple[int, int]:
    names = [cell.strip() for cell in heading]
    missing = [c for c in COLUMNS if c not in names]
    if missing:
        between = next((word for sign, word in _BETWEEN.items() if len(names) == 1 and sign in names[0]), "")
        if between:
            raise _wrong(
                file,
                1,
                f"columns are separated by {between}; separate columns by commas",
                allowed=f"{AS_WRITTEN}; save it anew as CSV, with English (decimal point) for its language",
            )
        has = ", ".join(names)
        hint = f"; it has: {has[:80]}" if has else ""
        raise _wrong(file, 1, f'the heading row has no column "{missing[0]}"{hint}', allowed="x_mm, y_mm")
    return names.index("x_mm"), names.index("y_mm")


def _number(row: list[str], i: int, name: str, file: str, line: int) -> float:
    text = row[i].strip() if i < len(row) else ""
    if not text:
        raise _wrong(file, line, "this cell is empty: a gap in the profile", name)
    try:
        value = float(text)
    except ValueError:
        value = math.nan
    if not math.isfinite(value):
        shown = text if len(text) <= 40 else text[:37] + "..."
        raise _wrong(file, line, f'"{shown}" is not a number', name, "digits with a decimal point")
    limit = MAX_HEIGHT_MM if name == "y_mm" else 1e9
    if abs(value) > limit:
        raise _wrong(file, line, f"out of range (it is {value:g})", name, f"-{limit:g} to {limit:g}")
    return value


def _wrong(file: Path | str, line: int, problem: str, field: str = "", allowed: str = "") -> InputError:
    return InputError(Problem(problem, field=field, allowed=allowed, file=str(file), line=line))
