"""Writes what a command has measured into results/measured: with the machine, the date, the commit and the command."""

from __future__ import annotations

import datetime
import os
import platform
import subprocess
import sys
import time
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from importlib.metadata import version
from pathlib import Path

ROOT = Path(__file__).parents[1]
FOLDER = ROOT / "results" / "measured"
PICTURES = ROOT / "results" / "picture"
LIBRARIES = ("numpy", "numba", "pymunk")


@dataclass(frozen=True)
class Measurement:
    """A table that a command makes. name: of the file and for `python -m tests.measure`; title: its heading; tables:
    gives pieces of markdown, each printed as soon as it is there; picture: draws one into a file; drawn: that file's
    name in results/picture."""

    name: str
    title: str
    tables: Callable[[], Iterable[str]] | None
    picture: Callable[[Path], None] | None = None
    drawn: str = ""

    def make(self) -> list[Path]:
        """Measure, print and write. Returns the files written."""
        written: list[Path] = []
        begin, busy = time.perf_counter(), load()
        print(f"# {self.title}\n", flush=True)
        if self.tables is not None:
            pieces = []
            for piece in self.tables():
                print(piece, flush=True)
                pieces.append(piece)
            FOLDER.mkdir(parents=True, exist_ok=True)
            command = f"python -m tests.measure {self.name}"
            text = page(self.title, "\n".join(pieces), command, time.perf_counter() - begin, busy)
            written.append(FOLDER / f"{self.name}.md")
            written[-1].write_text(text, encoding="utf-8")
        if self.picture is not None:
            PICTURES.mkdir(parents=True, exist_ok=True)
            written.append(PICTURES / self.drawn)
            self.picture(written[-1])
        for path in written:
            print(f"\nwritten: {path.relative_to(ROOT)}", flush=True)
        return written


def load() -> str:
    """How busy the computer is with other things, in words: times depend on it."""
    if not hasattr(os, "getloadavg"):
        return "load unknown"
    return f"load {os.getloadavg()[0]:.1f} before it began"


def page(title: str, body: str, command: str, took_s: float, busy: str) -> str:
    """The file: heading, where and when it was measured, the tables."""
    return f"# {title}\n\n{measured_with(command, took_s, busy)}\n\n{body.strip()}\n"


def measured_with(command: str, took_s: float, busy: str) -> str:
    """One paragraph: command, computer, versions, day, commit."""
    from llvmlite import binding

    libraries = ", ".join(f"{n} {version(n)}" for n in LIBRARIES)
    day = datetime.datetime.now(tz=datetime.UTC).date().isoformat()
    return (
        f"Written by `{command}` in {took_s:.0f} s on {day}: {commit()}; processor "
        f"{binding.get_host_cpu_name()}, {os.cpu_count()} cores, {busy}, {platform.system()}; "
        f"Python {platform.python_version()}, {libraries}."
    )


def commit(root: Path | None = None) -> str:
    """`commit 1a2b3c4`, with a word if files have been changed since; `no commit known` outside a checkout."""

    def git(*words: str) -> str:
        done = subprocess.run(["git", *words], cwd=root or ROOT, capture_output=True, text=True, check=False)
        return done.stdout.strip()

    head = git("rev-parse", "--short=7", "HEAD")
    if not head:
        return "no commit known"
    changed = git("status", "--porcelain", "--untracked-files=no", "--", "sim", "viewer", "scenarios", "tests")
    return f"commit {head}{' with changes' if changed else ''}"


def table(heads: tuple[str, ...], rows: Iterable[tuple[str, ...]]) -> str:
    """A markdown table."""
    return "\n".join(line(cells) for cells in (heads, ("---",) * len(heads), *rows))


def line(cells: tuple[str, ...]) -> str:
    """A row of one."""
    return f"| {' | '.join(cells)} |"


def no_arguments(measurement: Measurement) -> None:
    """What `python -m` of the module does: it takes no arguments."""
    if len(sys.argv) > 1:
        sys.exit(f"it takes no arguments, and writes into {FOLDER.relative_to(ROOT)}")
    measurement.make()
