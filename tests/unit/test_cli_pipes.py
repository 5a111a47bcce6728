"""Files are written even when nobody reads what is printed (| head)."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

COMMANDS = [
    (["sheet", "teasel", "--html", "s.html", "--pdf", "s.pdf"], ["s.html", "s.pdf"]),
    (["course", "kerb-50", "--out", "c.svg"], ["c.svg"]),
    (["run", "teasel", "kerb-50", "--out", "r"], ["r/report.html", "r/timeline.parquet"]),
    (
        ["compare", "teasel", "kerb-50", "--vary", "hull.mass_kg=250,260", "--workers", "1", "--out", "s"],
        ["s/runs.csv", "s/runs.parquet", "s/report.html"],
    ),
    (
        ["compare", "teasel", "kerb-50", "--tolerance", "hull.mass_kg=5%", "--samples", "2", "--workers", "1",
         "--out", "t"],
        ["t/runs.csv", "t/report.html"],
    ),
    (
        ["compare", "teasel", "kerb-50", "--vary", "hull.mass_kg=250,260", "--find", "--samples", "2",
         "--workers", "1", "--out", "f"],
        ["f/runs.csv", "f/report.html"],
    ),
]  # fmt: skip


def as_a_builder_has_it() -> dict[str, str]:
    """The environment without what makes Python write each line at once: output then waits, and fails at the end."""
    return {name: value for name, value in os.environ.items() if name != "PYTHONUNBUFFERED"}


@pytest.mark.parametrize(("args", "files"), COMMANDS, ids=lambda v: " ".join(v)[:30])
def test_files_are_written_though_nobody_reads(args: list[str], files: list[str], tmp_path: Path) -> None:
    """The pipe's other end is closed from the start: the first line printed meets EPIPE."""
    root = Path(__file__).parents[2]
    reader, writer = os.pipe()
    os.close(reader)
    try:
        done = subprocess.run(
            [sys.executable, "-m", "trundle.cli.main", *args],
            stdout=writer,
            stderr=subprocess.PIPE,
            cwd=tmp_path,
            env=as_a_builder_has_it() | {"PYTHONPATH": str(root)},
            check=False,
        )
    finally:
        os.close(writer)
    assert b"Traceback" not in done.stderr
    assert done.returncode == 0, done.stderr
    for name in files:
        assert (tmp_path / name).stat().st_size > 1_000 or name.endswith(".csv")
        assert (tmp_path / name).is_file()
