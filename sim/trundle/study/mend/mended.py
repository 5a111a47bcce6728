"""What `trundle.mend` gives."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from trundle.study.mend.found import Found
from trundle.study.mend.page import write_page


@dataclass(frozen=True, eq=False, repr=False)
class Mended(Found):
    """What helps the worst finding of a run, to be printed, looked at and kept (see Found)."""

    def save(self, folder: str | Path) -> Path:
        """Writes the page with its pictures into a folder, and gives its path. Raises InputError."""
        return write_page(self, Path(folder))

    def __repr__(self) -> str:
        return "\n".join(self.lines())
