"""Tables of measurements are written by commands, with where and when, and no other file lies among them."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from tests import measured
from tests.measure import AGAINST, WHERE, main, measurement
from tests.measured import FOLDER, PICTURES, Measurement, table


def test_a_measurement_writes_table_and_picture(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(measured, "ROOT", tmp_path)
    monkeypatch.setattr(measured, "FOLDER", tmp_path / "tables")
    monkeypatch.setattr(measured, "PICTURES", tmp_path / "pictures")
    rows = [table(("what", "N"), [("load", "3")])]
    made = Measurement("weight", "How heavy", lambda: rows, lambda p: p.write_text("drawn") and None, "w.png").make()
    assert [p.relative_to(tmp_path).as_posix() for p in made] == ["tables/weight.md", "pictures/w.png"]
    text = made[0].read_text(encoding="utf-8")
    assert text.startswith("# How heavy\n\nWritten by `python -m tests.measure weight` in 0 s on 20")
    assert re.search(r"processor \S+, \d+ cores, load .*Python 3", text)
    assert "no commit known" in text
    assert text.endswith("\n\n| what | N |\n| --- | --- |\n| load | 3 |\n")
    assert rows[0] in capsys.readouterr().out


def test_the_commit_is_named() -> None:
    """In a checkout its hash; with a word if there are changes."""
    if not (measured.ROOT / ".git").exists():
        pytest.skip("no checkout")
    assert re.fullmatch(r"commit [0-9a-f]{7,}( with changes)?", measured.commit())


@pytest.mark.parametrize("name", WHERE)
def test_every_measurement_can_be_found(name: str) -> None:
    """Each module holds the one of its name, which makes something; what of it is kept says where it is from."""
    found = measurement(name)
    assert found.name == name
    assert found.tables is not None or found.picture is not None
    kept = FOLDER / f"{name}.md"
    if kept.exists():
        text = kept.read_text(encoding="utf-8")
        assert text.startswith(f"# {found.title}\n\nWritten by `python -m tests.measure {name}` in ")
    if found.picture is not None:
        assert (PICTURES / found.drawn).stat().st_size < 2**20


def test_nothing_else_is_kept() -> None:
    every = [measurement(name) for name in WHERE]
    assert {p.name for p in FOLDER.iterdir()} <= {f"{name}.md" for name in (*WHERE, *AGAINST)}
    assert {p.name for p in PICTURES.iterdir()} <= {m.drawn for m in every} | {f"{name}.png" for name in AGAINST}


def test_an_unknown_name_is_refused(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["convergance"]) == 2
    assert "no measurement convergance (allowed: convergence, " in capsys.readouterr().err
