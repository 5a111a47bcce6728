"""One input of the fuzz: a command line in a folder of its own, with all that it reads."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path

CANARY = "x_mm,y_mm\n0,0\n500,20\n1000,0\n"
"""A survey that lies outside: good to read, never to be written."""


@dataclass(frozen=True)
class Place:
    """Where an input lives. The command runs in `work`; nothing else below `root` may change."""

    root: Path
    stock: Path
    """Kept runs, a study and a baseline to damage copies of."""

    @property
    def work(self) -> Path:
        """The command's working folder."""
        return self.root / "work"

    @property
    def home(self) -> Path:
        """Its HOME."""
        return self.root / "home"

    @property
    def temporary(self) -> Path:
        """Its TMPDIR."""
        return self.root / "tmp"

    def furnish(self) -> None:
        """Makes the folders, and files around them whose change would tell of a write outside."""
        for folder in (self.work, self.home, self.temporary):
            folder.mkdir(parents=True)
        for name in ("canary.csv", "timeline.parquet", "canary.toml"):
            (self.root / name).write_text(CANARY, encoding="utf-8")
        (self.home / ".bashrc").write_text("mine\n", encoding="utf-8")


@dataclass(frozen=True)
class Case:
    """What to run and how.

    args: the command line behind `trundle`. names: a refusal mentions one of them (none: any text will do). writes:
    what in the working folder may change, beside `results`. kept: the run folder it writes, if it ends well. process: a
    Python process of its own instead of a forked one, with env changed and the closed streams (0 to 2) shut.
    interrupt_s: Ctrl-C after that time.
    """

    args: tuple[str, ...]
    names: tuple[str, ...] = ()
    writes: tuple[str, ...] = ()
    kept: str = ""
    process: bool = False
    env: Mapping[str, str | None] = field(default_factory=dict)
    closed: tuple[int, ...] = ()
    interrupt_s: float | None = None
