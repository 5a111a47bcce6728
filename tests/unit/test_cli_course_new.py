"""A course file of one's own to start from, and the list of what it may hold."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.unit.test_cli_refusals import call
from trundle.cli.course_file import ALL, course_text, kinds_called
from trundle.fields.docs import table_doc
from trundle.spec.course import load_course
from trundle.terrain import KINDS as OBSTACLES
from trundle.terrain.instructions import KINDS as INSTRUCTIONS


@pytest.fixture(autouse=True)
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    return tmp_path


def test_a_new_course_holds_one_of_each_kind_and_can_be_drawn(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """With a comment on every line; as it was written it is a course."""
    code, said, _ = call(capsys, "course", "--new", "my-yard.toml")
    assert code == 0
    assert "trundle course my-yard.toml" in said
    course = load_course("my-yard.toml")
    assert course.name == "My yard"
    assert [type(o) for o in course.obstacle] == list(OBSTACLES)
    assert [type(i) for i in course.driver] == list(INSTRUCTIONS)
    lines = (folder / "my-yard.toml").read_text(encoding="utf-8").splitlines()
    assert all("  # " in line for line in lines if "=" in line and not line.startswith("#"))
    code, said, _ = call(capsys, "course", "my-yard.toml", "--out", "my-yard.svg")
    assert (code, (folder / "my-yard.svg").exists()) == (0, True)
    assert f"{len(OBSTACLES)} obstacles" in said


@pytest.mark.parametrize("kind", OBSTACLES, ids=lambda k: k.__name__)
def test_each_kind_makes_a_course_by_itself(kind: type, folder: Path) -> None:
    """Also with both instructions, whose places lie on the shortest of them."""
    (folder / "one.toml").write_text(course_text((kind, *INSTRUCTIONS), "one"), encoding="utf-8")
    (part,) = load_course("one.toml").obstacle
    assert isinstance(part, kind)


def test_kinds_go_by_their_names_and_by_words_of_the_trade(capsys: pytest.CaptureFixture[str]) -> None:
    """In the order asked for, each once; a file of no more than those."""
    code, _, _ = call(
        capsys, "course", "--new", "a.toml", "--with", "Speed  Bump", "--with", "ditch", "--with", "trench"
    )
    assert code == 0
    assert [o.kind_name() for o in load_course("a.toml").obstacle] == ["round-top hump", "trench"]
    for kind in ALL:
        assert kinds_called([kind.kind_name(), "flat"])[0] is kind


def test_no_word_is_another_kinds() -> None:
    """Each goes for one kind of obstacle or instruction, and is no kind's name."""
    words = [w.lower() for kind in ALL for w in (*table_doc(kind).also_called, kind.kind_name())]
    assert sorted(words) == sorted(set(words))


@pytest.mark.parametrize(
    ("args", "words"),
    [
        (["--new", "b.toml", "--with", "tranch"], '--with: no such kind "tranch"; did you mean "trench"?'),
        (["--new", "b.toml", "--with", "stop"], "--with: a course wants an obstacle (allowed: log, "),
        (["--with", "trench"], "--with: names what a new file holds (allowed: with --new FILE.toml)"),
        (["yard", "--new", "b.toml"], "--new: draws nothing, and stands alone"),
        (["yard", "--kinds"], "--kinds: draws nothing, and stands alone"),
        (["--new", "no/such/b.toml"], "b.toml: cannot be written: No such file or directory"),
        ([], "Missing argument 'COURSE'"),
    ],
)
def test_what_is_refused(args: list[str], words: str, folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """In one line, and nothing is left."""
    code, said, err = call(capsys, "course", *args)
    assert (code, said) == (2, "")
    assert words in err
    assert list(folder.iterdir()) == []


def test_no_file_is_written_over(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """It stays as it was."""
    (folder / "mine.toml").write_text("mine", encoding="utf-8")
    code, _, err = call(capsys, "course", "--new", "mine.toml")
    assert code == 2
    assert "mine.toml: is there already; name another with --new" in err
    assert (folder / "mine.toml").read_text(encoding="utf-8") == "mine"


def test_every_kind_is_listed(capsys: pytest.CaptureFixture[str]) -> None:
    """With other words for it, in lines that a terminal holds."""
    code, said, _ = call(capsys, "course", "--kinds")
    assert code == 0
    for kind in ALL:
        assert f"  {kind.kind_name()} " in said
        assert table_doc(kind).also_called[0] in said
    assert max(len(line) for line in said.splitlines()) <= 100
