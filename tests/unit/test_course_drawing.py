"""`trundle course`: a table on the screen, a picture in a file, labels that do not overlap."""

from __future__ import annotations

from itertools import pairwise
from pathlib import Path

import pytest
from click.testing import CliRunner, Result
from hypothesis import given, settings
from hypothesis import strategies as st

from trundle.cli.course import course
from trundle.cli.course_labels import MOST_LEVELS, Flag, place
from trundle.errors import InputError

PNG = b"\x89PNG\r\n"


def invoke(*args: str) -> Result:
    """The command as typed, without the group round it that turns InputError into exit code 2."""
    return CliRunner().invoke(course, list(args))


def test_table_and_picture(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Default file in results/, made if missing; no half-written file left behind."""
    monkeypatch.chdir(tmp_path)
    result = invoke("kerb-100", "--set", "obstacle.1.height_mm=120")
    assert result.exit_code == 0, result.output
    lines = result.output.splitlines()
    assert lines[0] == "Kerb 100 mm: 8.1 m, 1 obstacle"
    assert lines[2].split() == ["obstacle", "from", "m", "to", "m", "size"]
    assert lines[3] == "1  kerb 120 mm   4.000  4.125  height 120 mm, stone 125 mm"
    assert (tmp_path / "results" / "course-kerb-100.png").read_bytes().startswith(PNG)
    assert len(list((tmp_path / "results").iterdir())) == 1


def test_names_with_signs_and_scripts_are_drawn_as_they_are(tmp_path: Path) -> None:
    """`$` starts no formula, a missing letter no warning."""
    (tmp_path / "odd.toml").write_text(
        'name = "$x_"\nnote = "橋 $"\n[[obstacle]]\nkind = "flat"\nlength_mm = 900\nname = "$a^ 橋"\n',
        encoding="utf-8",
    )
    out = tmp_path / "deep" / "odd.svg"
    result = invoke(str(tmp_path / "odd.toml"), "--out", str(out))
    assert result.exit_code == 0, result.exception
    assert b"<svg" in out.read_bytes()


def test_a_picture_that_cannot_be_written_is_one_message(tmp_path: Path) -> None:
    """A file in the way of the folder, a folder in the way of the file, a strange ending."""
    (tmp_path / "taken").write_text("")
    (tmp_path / "dir.png").mkdir()
    for out, says in (
        ("taken/a.png", "cannot be written"),
        ("dir.png", "is a folder"),
        ("a.xyz", "allowed: .png"),
    ):
        error = invoke("kerb-50", "--out", str(tmp_path / out)).exception
        assert isinstance(error, InputError)
        assert says in str(error)
    assert sorted(p.name for p in tmp_path.iterdir()) == ["dir.png", "taken"]


def overlap(a: Flag, b: Flag) -> bool:
    """Whether two texts lie on each other, or one's pole runs through the other's text."""
    low, high = sorted((a, b), key=lambda f: f.level)
    if low.level == high.level:
        return a.left < b.right and b.left < a.right
    return low.left < high.at < low.right


@settings(max_examples=200, deadline=None)
@given(st.lists(st.tuples(st.floats(0, 12), st.floats(0.5, 3)), max_size=25))
def test_labels_never_overlap(wanted: list[tuple[float, float]]) -> None:
    """Whatever stands where; and a few labels always all find room."""
    wanted.sort()
    flags = place([at for at, _ in wanted], [width for _, width in wanted], 12.1, 0.1)
    assert not any(overlap(a, b) for i, a in enumerate(flags) for b in flags[:i])
    assert all(f.right <= 12.1 or f.right == f.at for f in flags)
    if all(at + width <= 12.1 for at, width in wanted):
        poles = [at for at, _ in wanted]
        apart = all(b - a > 0.1 for a, b in pairwise(poles))
        if apart and len(wanted) <= MOST_LEVELS:
            assert len(flags) == len(wanted)
