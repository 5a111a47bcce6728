"""Tables as CSV that is safe to open in a spreadsheet: no cell of text is taken for a formula.

Names of wheels, files and vehicles come from whoever wrote them, and a spreadsheet runs a cell that begins with =, +,
- or @. Source: OWASP, "CSV Injection": such a cell gets an apostrophe in front, which spreadsheets take as "this is
text". So does such a beginning behind a semicolon, a tab or a line's end inside a cell: where the comma is the decimal
sign, spreadsheets part cells there. Numbers stay numbers.
"""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pandas as pd

# Those of full width too: a spreadsheet in Japanese takes them for the same.
_STARTS = "=+\\-@\t\r\n\uff1d\uff0b\uff0d\uff20"
_RISKY = re.compile(f"(?:^|(?<=[;\t\r\n]))(?='*[{_STARTS}])")
_MARKED = re.compile(f"(?:^|(?<=[;\t\r\n]))'(?='*[{_STARTS}])")
_NUMBER = re.compile(r"[+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?")


def harmless(text: str) -> str:
    """The text as a spreadsheet shows it and does not run it; a number as it is. `meant` undoes it."""
    return text if _NUMBER.fullmatch(text) else _RISKY.sub("'", text)


def meant(text: str) -> str:
    """The text that `harmless` was given."""
    return _MARKED.sub("", text)


def write_cells(frame: pd.DataFrame, path: Path, **options: Any) -> None:
    """The table as CSV without its index, headings and cells of text made harmless. options: of DataFrame.to_csv.

    Raises OSError.
    """
    _each(frame, harmless).to_csv(path, index=False, **options)


def read_cells(path: Path, **options: Any) -> pd.DataFrame:
    """A table that write_cells has written. options: of pandas.read_csv, whose errors it raises."""
    return _each(pd.read_csv(path, **options), meant)


def _each(frame: pd.DataFrame, change: Any) -> pd.DataFrame:
    """The table with its headings and cells of text changed."""
    out = frame.set_axis([change(str(c)) for c in frame.columns], axis=1)
    for i in range(out.shape[1]):
        if out.dtypes.iloc[i].kind not in "biufM":
            cells = list(out.iloc[:, i])
            changed = [change(v) if isinstance(v, str) else v for v in cells]
            if changed != cells:
                out.isetitem(i, changed)
    return out
