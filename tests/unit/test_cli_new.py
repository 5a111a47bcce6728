"""A vehicle file of one's own: from what it may be copied, what it may be called, and that nothing else is touched."""

from __future__ import annotations

import errno
import os
from pathlib import Path
from typing import IO, Any

import pytest

from tests.unit.test_cli_refusals import call
from trundle.spec.shipped import find
from trundle.spec.vehicle import load_vehicle

TEASEL = find("vehicles", "teasel")


@pytest.fixture(autouse=True)
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    return tmp_path


def test_a_copy_is_a_vehicle_of_that_name(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Whatever the name; it can be read at once."""
    for i, name in enumerate(("My hull", "[/x]", 'a "b" \\ c', "Ünïcode ✓", "..", "a/b")):
        out = f"{i}.toml"
        assert call(capsys, "new", name, "--out", out)[0] == 0
        assert load_vehicle(out).name == name
    assert call(capsys, "new", "My  Hull")[0] == 0
    assert load_vehicle("my-hull.toml").name == "My  Hull"


@pytest.mark.parametrize(
    ("name", "words"),
    [
        ("", "NAME: this text is empty"),
        ("x" * 61, "NAME: this text is too long (allowed: up to 60 characters)"),
        ("a\x1b[2J", "NAME: control characters are not allowed"),
        ("b\udcff", "NAME: this is no text: some of it is no UTF-8"),
    ],
)
def test_a_name_that_no_file_may_hold(name: str, words: str, folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Refused before anything is written; an empty file was left behind."""
    for out in ([], ["--out", "a.toml"]):
        code, said, err = call(capsys, "new", name, *out)
        assert (code, said) == (2, "")
        assert words in err
    assert list(folder.iterdir()) == []


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b"x =\n", "a.toml:1: not readable as TOML"),
        (b"\xff\xfe", "a.toml:1: is not UTF-8 text"),
        (b"", "a.toml: hull: this field is missing"),
        (b"a" + b".a" * 200 + b" = 1\n", "a.toml:1: lists or tables are nested too deeply"),
        (find("courses", "kerb-50").read_bytes(), "a.toml: is a course; a vehicle is wanted here"),
        (TEASEL.read_bytes().replace(b"mass_kg", b"mas_kg", 1), 'hull.mas_kg: unknown field; did you mean "mass_kg"'),
    ],
)
def test_a_copy_of_a_broken_file(content: bytes, words: str, folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Told what is wrong with that file, in the words of every other command."""
    (folder / "a.toml").write_bytes(content)
    code, out, err = call(capsys, "new", "Mine", "--like", "a.toml")
    assert (code, out) == (2, "")
    assert words in err
    assert [p.name for p in folder.iterdir()] == ["a.toml"]


@pytest.mark.skipif(os.name != "posix", reason="needs a fifo, and names that are no text")
def test_a_copy_of_a_folder_or_fifo_or_of_a_file_whose_name_is_no_text(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (folder / "f").mkdir()
    os.mkfifo(folder / "p")
    assert "is a folder" in call(capsys, "new", "Mine", "--like", "f")[2]
    assert "no such vehicle file" in call(capsys, "new", "Mine", "--like", "p")[2]
    try:
        Path("b\udcff.toml").write_bytes(TEASEL.read_bytes())
    except OSError:
        pytest.skip("this file system takes no such name")
    assert call(capsys, "new", "Mine", "--like", "b\udcff.toml")[0] == 0
    assert load_vehicle("mine.toml").note == "Begun as a copy of b?."
    assert call(capsys, "sheet", "b\udcff.toml", "--html", "s.html")[0] == 0
    assert "b?.toml" in (folder / "s.html").read_text(encoding="utf-8")


def test_no_file_is_written_over_and_no_folder_made(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (folder / "mine.toml").write_text("keep me")
    (folder / "f").mkdir()
    for out, words in (("mine.toml", "is there already"), ("f", "is there already"), ("no/m.toml", "No such file")):
        code, _, err = call(capsys, "new", "Mine", "--out", out)
        assert code == 2
        assert words in err
    assert (folder / "mine.toml").read_text() == "keep me"
    assert sorted(p.name for p in folder.iterdir()) == ["f", "mine.toml"]


def test_a_full_disk_leaves_no_half_file(
    folder: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Or the next try would be told that it is there already."""

    class Full:
        def __init__(self, file: IO[bytes]) -> None:
            self.file = file

        def __enter__(self) -> Full:
            return self

        def __exit__(self, *_: object) -> None:
            self.file.close()

        def write(self, text: bytes) -> None:
            self.file.write(text[:100])
            raise OSError(errno.ENOSPC, "No space left on device")

    real = Path.open

    def opened(path: Path, mode: str = "r", *args: Any, **kwargs: Any) -> Any:
        file = real(path, mode, *args, **kwargs)
        return Full(file) if mode == "xb" else file

    monkeypatch.setattr(Path, "open", opened)
    code, _, err = call(capsys, "new", "Mine")
    assert code == 2
    assert "mine.toml: cannot be written: No space left on device" in err
    assert list(folder.iterdir()) == []
