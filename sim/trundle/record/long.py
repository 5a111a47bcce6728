"""A timeline that stays in a file and gives one column at a time: of a run too long for memory.

A short run's timeline is a DataFrame. A long one answers the few questions that findings, reports and viewer ask of
it: `timeline["hull.x_mm"]` (a Series), `timeline.columns`, `name in timeline`, `len(timeline)`.
"""

from __future__ import annotations

import threading
from abc import ABC, abstractmethod
from collections import OrderedDict
from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING, Any, TypeAlias

import numpy as np

from trundle.model.arrays import Floats

if TYPE_CHECKING:
    import pandas as pd

KEPT_BYTES = 400_000_000
"""What the columns that were asked for last may take in memory: a dozen of a run of an hour at 1 ms."""


class LongTimeline(ABC):
    """The columns of a run by name, each read when it is asked for; see trundle.record.columns."""

    def __init__(self, columns: tuple[str, ...], rows: int) -> None:
        self.columns, self.rows = columns, rows
        self._known = frozenset(columns)
        self._last: OrderedDict[str, Floats] = OrderedDict()
        self._turn = threading.RLock()

    @abstractmethod
    def _read(self, name: str) -> Floats:
        """A column from the file, shape (rows,)."""

    def column(self, name: str) -> Floats:
        """A column, shape (rows,), not to be written to. Raises KeyError if there is none of that name, and
        ComputerError if the file cannot be read."""
        if name not in self._known:
            raise KeyError(name)
        with self._turn:
            if name in self._last:
                self._last.move_to_end(name)
                return self._last[name]
            while self._last and 8 * self.rows * (len(self._last) + 1) > KEPT_BYTES:
                self._last.popitem(last=False)
            values = self._read(name)
            values.flags.writeable = False
            self._last[name] = values
            return values

    def once(self, name: str) -> Floats:
        """A column for one who will not ask for it again: it is not kept. Otherwise as `column`."""
        if name not in self._known:
            raise KeyError(name)
        with self._turn:
            return self._last[name] if name in self._last else self._read(name)

    def forget(self) -> None:
        """Keep no column in memory."""
        with self._turn:
            self._last.clear()

    def __getitem__(self, name: str) -> pd.Series[float]:
        import pandas as pd

        return pd.Series(self.column(name), name=name, copy=False)

    def __contains__(self, name: object) -> bool:
        return name in self._known

    def __len__(self) -> int:
        return self.rows

    def frame(self) -> pd.DataFrame:
        """All of it as one table: in memory, 8 bytes a number."""
        import pandas as pd

        table = np.empty((len(self.columns), self.rows))
        for k, name in enumerate(self.columns):
            table[k] = self._read(name)
        return pd.DataFrame(table.T, columns=list(self.columns), copy=False)

    @abstractmethod
    def pieces(self) -> Iterator[dict[str, Floats]]:
        """All of it, some rows at a time, as columns by name, in order."""

    def __reduce__(self) -> Any:
        # A copy in another process cannot share the file.
        return _same, (self.frame(),)


def _same(frame: pd.DataFrame) -> pd.DataFrame:
    return frame


class Head(LongTimeline):
    """The first rows of another."""

    def __init__(self, whole: LongTimeline, rows: int) -> None:
        super().__init__(whole.columns, min(rows, whole.rows))
        self._whole = whole

    def _read(self, name: str) -> Floats:
        return self._whole.column(name)[: self.rows]

    def pieces(self) -> Iterator[dict[str, Floats]]:
        left = self.rows
        for piece in self._whole.pieces():
            if left > 0:
                yield {name: values[:left] for name, values in piece.items()}
            left -= len(next(iter(piece.values())))


class ByName(Mapping[str, Floats]):
    """A long timeline's columns as a mapping."""

    def __init__(self, timeline: LongTimeline) -> None:
        self._timeline = timeline

    def __getitem__(self, name: str) -> Floats:
        return self._timeline.column(name)

    def __iter__(self) -> Iterator[str]:
        return iter(self._timeline.columns)

    def __len__(self) -> int:
        return len(self._timeline.columns)


Timeline: TypeAlias = "pd.DataFrame | LongTimeline"
"""A run's timeline: in memory, or column by column from a file."""


def columns_of(timeline: Timeline) -> Mapping[str, Floats]:
    """The columns by name, for one who asks for a hundred: by pandas a look-up takes longer than most figures."""
    if isinstance(timeline, LongTimeline):
        return ByName(timeline)
    return dict(zip(timeline.columns, timeline.to_numpy(dtype=np.float64).T, strict=True))


def head(timeline: Timeline, rows: int) -> Timeline:
    """The first rows."""
    return Head(timeline, rows) if isinstance(timeline, LongTimeline) else timeline.iloc[:rows]


def frame_of(timeline: Timeline) -> pd.DataFrame:
    """All of it in memory."""
    return timeline.frame() if isinstance(timeline, LongTimeline) else timeline


__all__ = ["ByName", "Head", "LongTimeline", "Timeline", "columns_of", "frame_of", "head"]
