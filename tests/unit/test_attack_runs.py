"""Whole commands under attack: markup in names, readers that leave, folders on a full disk."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from trundle.cli.main import main
from trundle.record.store import read_run
from trundle.spec.shipped import find

EVIL = "<script>alert(1)</script>/../[red]{{7*7}}"
COURSE = f'name = "{EVIL}"\nrun_up_mm = 500\nrun_out_mm = 2500\n[[obstacle]]\nkind = "kerb up"\nheight_mm = 30\n' + (
    f'name = "{EVIL}"\n'
)


@pytest.fixture
def files(tmp_path: Path) -> tuple[Path, Path]:
    """A vehicle and a course with markup for names, in a folder that is not ASCII."""
    folder = tmp_path / "dör ☃"
    folder.mkdir()
    vehicle, course = folder / "fähre.toml", folder / "weg.toml"
    text = find("vehicles", "wren").read_text(encoding="utf-8").splitlines()
    rows = [f'name = "{EVIL}"' if row.startswith("name = ") and i < 5 else row for i, row in enumerate(text)]
    vehicle.write_text("\n".join(rows), encoding="utf-8")
    course.write_text(COURSE, encoding="utf-8")
    return vehicle, course


def test_markup_in_names_is_shown_not_obeyed(files: tuple[Path, Path], capsys: pytest.CaptureFixture[str]) -> None:
    """report.html escapes it, the terminal prints it as it is, no file leaves the folder, the run reads back."""
    out = files[0].parent / "ergebnis"
    with pytest.raises(SystemExit) as caught:
        main(["run", *map(str, files), "--out", str(out)])
    assert caught.value.code in (0, 3)
    page = (out / "report.html").read_text(encoding="utf-8")
    assert "<script>alert" not in page
    assert "&lt;script&gt;alert(1)" in page
    assert ">49" not in page
    assert "[red]" in capsys.readouterr().out
    assert read_run(out).summary["vehicle"] == EVIL
    assert sorted(p.name for p in files[0].parent.iterdir()) == ["ergebnis", "fähre.toml", "weg.toml"]


TRUNDLE = [sys.executable, "-m", "trundle.cli.main"]


# On Windows a write into a pipe that nobody reads fails with EPIPE or EINVAL (from memory, never run there), and
# EINVAL cannot be told from a fault of ours: what should come of it is open.
@pytest.mark.skipif(os.name != "posix", reason="needs a pipe that closes as on POSIX")
def test_a_reader_that_leaves_is_no_failure() -> None:
    """`trundle sheet teasel | head -1`: code 0 and nothing on stderr."""
    with subprocess.Popen(
        [*TRUNDLE, "sheet", "teasel"], stdout=subprocess.PIPE, stderr=subprocess.PIPE, cwd=Path(__file__).parents[2]
    ) as process:
        assert process.stdout is not None
        assert process.stderr is not None
        process.stdout.close()
        said = process.stderr.read()
    assert (process.returncode, said) == (0, b"")


@pytest.mark.parametrize("unbuffered", ["", "1"])
def test_output_that_cannot_be_written_is_said(unbuffered: str) -> None:
    """stdout on a full device, met at once or only at the end: code 2 and one line."""
    if not Path("/dev/full").exists():
        pytest.skip("no /dev/full here")
    with Path("/dev/full").open("wb") as full:
        done = subprocess.run(
            [*TRUNDLE, "course", "kerb-50", "--help"],
            stdout=full, stderr=subprocess.PIPE, cwd=Path(__file__).parents[2], check=False,
            env=os.environ | {"PYTHONUNBUFFERED": unbuffered},
        )  # fmt: skip
    assert done.returncode == 2
    assert b"No space left on device" in done.stderr
    assert b"Traceback" not in done.stderr


def test_a_results_folder_that_is_a_file(files: tuple[Path, Path], capsys: pytest.CaptureFixture[str]) -> None:
    """Said with its name; the file stays."""
    taken = files[0].parent / "taken"
    taken.write_text("mine")
    with pytest.raises(SystemExit) as caught:
        main(["run", *map(str, files), "--out", str(taken)])
    assert caught.value.code == 2
    assert f"{taken}: --out: is in the way and is not a run folder" in capsys.readouterr().err
    assert taken.read_text() == "mine"
    shutil.rmtree(files[0].parent)
