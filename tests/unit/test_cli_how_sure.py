"""`trundle run --how-sure` as it is printed; and terminals that know few characters."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from sim.cli.how_sure import _FIGURES
from tests.unit.test_cli_refusals import call


def test_every_figure_has_its_unit_and_an_error(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Three runs, one line a figure; a vehicle without a track has none of its tension."""
    code, out, _ = call(capsys, "run", "barrow", "kerb-50", "--how-sure", "--out", str(tmp_path / "run"))
    assert code == 0
    rows = out[out.index("How sure") :]
    for key, title, _ in _FIGURES:
        assert (title in rows) == ("tension" not in key), title
    assert "highest wheel load [N]" in rows
    assert "(0." in rows
    assert "Ended: course end; course end; course end." in rows


@pytest.mark.parametrize("words", [["sheet", "badger"], ["course", "yard"]])
def test_a_terminal_that_knows_few_characters(words: list[str], tmp_path: Path) -> None:
    """ASCII only: what it cannot show is replaced, nothing stops."""
    done = subprocess.run(
        [sys.executable, "-c", f"from sim.cli.main import main; main({words})"],
        cwd=tmp_path, env={**os.environ, "PYTHONIOENCODING": "ascii", "PYTHONPATH": str(Path(__file__).parents[2])},
        capture_output=True, check=False,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    assert done.stdout.isascii()
    assert b"Traceback" not in done.stderr
