"""`trundle compare A B COURSE`: what it prints, what its page has, and which names are vehicles."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from trundle.cli.designs import is_course, split
from trundle.cli.main import main
from trundle.spec.shipped import find, names


def call(capsys: pytest.CaptureFixture[str], *args: object) -> tuple[int, str, str]:
    with pytest.raises(SystemExit) as caught:
        main([str(a) for a in args])
    out, err = capsys.readouterr()
    assert isinstance(caught.value.code, int)
    return caught.value.code, out, err


@pytest.fixture
def mine(tmp_path: Path) -> Path:
    """Teasel with thicker leaves and its centre of mass moved."""
    text = find("vehicles", "teasel").read_text(encoding="utf-8")
    text = text.replace("thickness_mm = 2,", "thickness_mm = 2.5,").replace("com_mm = [870,", "com_mm = [820,")
    file = tmp_path / "mine.toml"
    file.write_text(text.replace('name = "Teasel"', 'name = "Mine"'), encoding="utf-8")
    return file


def test_two_vehicles_beside_each_other(mine: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    out = tmp_path / "out"
    code, said, err = call(capsys, "compare", "teasel", mine, "kerb-50", "--near", 2, "--out", out, "--workers", 1)
    assert code == 0, err
    flat = " ".join(said.split())
    assert "A teasel (Teasel)" in flat
    assert "hull.com_mm [820, 250] instead of [870, 250], bogie.*.spring.thickness_mm 2.5 instead of 2" in flat
    assert "A Teasel over Kerb 50 mm: gets over" in flat
    assert "B Mine over Kerb 50 mm: gets over" in flat
    assert re.search(r"least belly clearance \[mm\].*better", said)
    assert "variant" not in said
    page = (out / "report.html").read_text(encoding="utf-8")
    assert page.count("standing, from the side</title>") == 2
    for words in ("What differs", "B against A over kerb-50", "hull.com_mm", "A: Teasel", "B: Mine"):
        assert words in page
    # Of the curves one is whole and one is dashed, each with its letter.
    assert "stroke-dasharray" in page
    assert re.search(r">A</text>", page)
    assert re.search(r">B</text>", page)


def test_vary_on_one_vehicle_is_ranked_as_before(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A margin that is the least one again stands once; of variants none of which is beaten no list is made."""
    vary = "bogie.*.spring.thickness_mm=1.8,2"
    asked = ("compare", "teasel", "kerb-50", "--vary", vary, "--near", 1, "--out", tmp_path / "o", "--workers", 1)
    code, said, err = call(capsys, *asked)
    assert code == 0, err
    assert "variant" in said
    assert "spring margin" not in said
    assert "least margin" in said
    assert "all of them" not in said


@pytest.mark.parametrize("name", names("courses"))
def test_shipped_courses_are_known_for_courses(name: str, tmp_path: Path) -> None:
    copy = tmp_path / "anything.toml"
    copy.write_bytes(find("courses", name).read_bytes())
    assert is_course(name)
    assert is_course(str(copy))


@pytest.mark.parametrize("name", names("vehicles"))
def test_shipped_vehicles_are_not(name: str, tmp_path: Path) -> None:
    copy = tmp_path / "course.toml"
    copy.write_bytes(find("vehicles", name).read_bytes())
    assert not is_course(name)
    assert not is_course(str(copy))
    assert split([name, str(copy), "yard", "kerb-50"]) == ([name, str(copy)], ["yard", "kerb-50"])


def test_one_vehicle_and_courses_go_as_they_did() -> None:
    assert split(["teasel", "yard", "kerb-50"]) == (["teasel"], ["yard", "kerb-50"])
    assert split(["teasel", "no-such-course"]) == (["teasel"], ["no-such-course"])


@pytest.mark.parametrize(
    ("asked", "says"),
    [
        (("teasel", "otter"), "a course is wanted"),
        (("teasel",), "a course is wanted"),
        (("teasel", "teasel.toml", "yard"), "given twice"),
        (("teasel", "yard", "otter"), "behind a course"),
        (("teasel", "otter", "yard", "--find", "--vary", "hull.mass_kg=250:300"), "of one vehicle"),
        (("teasel", "otter", "yard", "--tolerance", "hull.mass_kg=5%"), "of one vehicle"),
    ],
)
def test_what_does_not_go_together_is_refused(
    asked: tuple[str, ...], says: str, capsys: pytest.CaptureFixture[str]
) -> None:
    code, _, err = call(capsys, "compare", *asked)
    assert code == 2
    assert says in err
    assert "Traceback" not in err
