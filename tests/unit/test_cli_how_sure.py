"""`trundle run --how-sure` as it is printed; and terminals that know few characters."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest
from own_vehicles import LOW_BELLY, LOW_NOSE

from tests.unit.test_cli_refusals import call
from trundle.cli.how_sure import check_halves, doubted, error_of
from trundle.cli.size import check_numbers
from trundle.findings.figures import Needs


def test_every_figure_has_its_unit_and_an_error(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Three runs, one line a figure; without a track there is none of its tension, without pads nothing of them."""
    code, out, _ = call(capsys, "run", "barrow", "kerb-50", "--how-sure", "--out", str(tmp_path / "run"))
    assert code == 0
    rows = out[out.index("How sure") :]
    for figure in doubted():
        assert (figure.heading in rows) == (figure.needs not in (Needs.TRACK, Needs.PAD)), figure.name
    assert "highest wheel load [N]" in rows
    assert "(0." in rows
    assert "Ended: course end; course end; course end." in rows
    assert "an estimate from halving step and grid" in " ".join(rows.split())
    assert "soft to hard" not in rows


def test_what_struck_the_hull_is_run_at_both_ends_of_its_rates(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Barrow's belly comes down on the ditch: two more runs, which hit it softer and harder than this one; a run that
    nothing strikes has no such column (above)."""
    _, out, _ = call(capsys, "run", str(LOW_BELLY), "ditch", "--how-sure", "--out", str(tmp_path / "run"))
    rows = out[out.index("How sure") :]
    (heads,) = [line for line in rows.splitlines() if line.startswith("figure")]
    assert heads.rstrip().endswith("soft to hard rates")
    (belly,) = [line for line in rows.splitlines() if line.startswith("peak belly load [N]")]
    cells = belly.split()
    soft, hard, this = float(cells[-3]), float(cells[-1]), float(cells[4])
    assert soft < 0.9 * this < this < 0.9 * hard
    assert "either end of what their rates may be" in " ".join(rows.split())


def test_the_error_covers_what_was_measured() -> None:
    """Teasel over a 50 mm kerb: 1 ms and 5 mm, half the step, half the grid; and what 0.25 ms and 1 mm give."""
    for this, half_step, half_grid, fine in ((1439, 1484, 1483, 1522), (2614, 2732, 2609, 2747)):
        assert error_of(this, half_step, half_grid) >= abs(this - fine)


def test_a_count_has_no_part_of_a_hit_for_an_error() -> None:
    """Seven hits in all three runs are seven; a length that does not move is still not surer than half a percent."""
    assert error_of(7, 7, 7, counted=True) == 0.0
    assert error_of(7, 8, 7, counted=True) == 2.0
    assert error_of(7, 7, 7) == pytest.approx(0.035)
    assert [f.name for f in doubted() if f.counted] == ["bump_stop_hits"]


def test_an_end_of_the_rates_too_hard_for_the_step_is_left_out_and_said(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A stiff belly whose middle rate steps of 1 ms follow, and whose hard end they do not: the rest is told."""
    stiff = ("--set", "hull.ring_Hz=200", "--set", "hull.belly_sheet_mm=6")
    folder = tmp_path / "run"
    code, out, err = call(capsys, "run", str(LOW_NOSE), "sleepers", *stiff, "--how-sure", "--out", str(folder))
    assert (code, err) == (0, "")
    rows = out[out.index("How sure") :]
    (heads,) = [line for line in rows.splitlines() if line.startswith("figure")]
    assert heads.rstrip().endswith("about +/-  soft rates")
    said = " ".join(rows.split())
    assert "Soft rates: belly, sprocket and idler at the soft end of what their rates may be" in said
    assert "Not run with hard rates:" in said
    assert "hull.belly_sheet_mm: the belly is so hard" in said
    assert "or steps of 0.96 ms or less" in said
    assert "Kept in" in said


@pytest.mark.parametrize("power", [1, 2])
def test_the_error_covers_all_of_a_first_and_a_second_order(power: int) -> None:
    """Both errors point the same way: they add."""

    def figure(step: float, grid: float) -> float:
        return 100.0 + 7.0 * step**power + 3.0 * grid**power

    assert error_of(figure(1, 1), figure(0.5, 1), figure(1, 0.5)) >= 10.0 * (1 - 1e-9)


@pytest.mark.parametrize(
    ("option", "said"),
    [
        (["--ground-mm", "1"], "--ground-mm: with --how-sure 1 mm cannot be halved (allowed: 10, 5, 2.5 or 2 mm)"),
        (["--ground-mm", "1.25"], "--ground-mm: with --how-sure 1.25 mm cannot be halved"),
        (["--dt-ms", "0.01"], "--dt-ms: with --how-sure 0.01 ms cannot be halved (allowed: 0.02 ms or more)"),
    ],
)
def test_what_cannot_be_halved_is_said_before_the_run(
    option: list[str], said: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = tmp_path / "run"
    code, out, err = call(capsys, "run", "teasel", "kerb-50", "--how-sure", *option, "--out", str(folder))
    assert (code, out) == (2, "")
    assert err.startswith(said)
    assert not folder.exists()


@pytest.mark.parametrize(("dt_ms", "ground_mm"), [(0.02, 2.0), (None, 10.0)])
def test_what_may_be_halved_gives_runs_that_are_taken(dt_ms: float | None, ground_mm: float) -> None:
    check_halves(dt_ms, ground_mm)
    check_numbers(None if dt_ms is None else 0.5 * dt_ms, 0.5 * ground_mm)


@pytest.mark.parametrize("words", [["sheet", "teasel"], ["course", "yard"]])
def test_a_terminal_that_knows_few_characters(words: list[str], tmp_path: Path) -> None:
    """ASCII only: what it cannot show is replaced, nothing stops."""
    done = subprocess.run(
        [sys.executable, "-c", f"from trundle.cli.main import main; main({words})"],
        cwd=tmp_path, env={**os.environ, "PYTHONIOENCODING": "ascii", "PYTHONPATH": str(Path(__file__).parents[2])},
        capture_output=True, check=False,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    assert done.stdout.isascii()
    assert b"Traceback" not in done.stderr
