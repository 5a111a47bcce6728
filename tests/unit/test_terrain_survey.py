"""Surveyed profiles: read from CSV as measured; anything doubtful named with file and line."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from trundle.errors import InputError
from trundle.spec.course import load_course
from trundle.terrain import survey
from trundle.terrain.ground import lay
from trundle.terrain.survey import read_profile


def test_points_are_taken_from_the_first_and_joined_by_lines(tmp_path: Path) -> None:
    """Columns in any order, others ignored, BOM and blank last lines accepted."""
    (tmp_path / "p.csv").write_bytes(
        "\ufeffy_mm,what,x_mm\r\n50,a,1000\r\n 70 ,b, 1100\r\n10,c,1300.5\r\n\r\n".encode()
    )
    (tmp_path / "c.toml").write_text('[[obstacle]]\nkind = "surveyed profile"\nfile = "p.csv"\n')
    course = load_course(tmp_path / "c.toml")
    part = course.obstacle[0]
    assert part.length_m() == pytest.approx(0.3005)
    assert part.rise_m() == pytest.approx(-0.040)
    assert part.heights_m(np.array([0, 0.05, 0.1, 0.3005])) == pytest.approx([0, 0.010, 0.020, -0.040])
    assert part.title() == "surveyed profile p"
    assert lay(course).height_m[-1] == pytest.approx(-0.040)


BAD = {
    "x_mm,y_mm\n0,0\n100,\n200,5\n": (3, "y_mm: this cell is empty"),
    "x_mm,y_mm\n0,0\n100\n200,5\n": (3, "y_mm: this cell is empty"),
    "x_mm,y_mm\n0,0\n\n200,5\n": (3, "an empty row"),
    "x_mm,y_mm\n0,0\n100,5\n100,9\n": (4, "100 does not lie beyond 100"),
    "x_mm,y_mm\n0,0\n100,5\n50,9\n": (4, "50 does not lie beyond 100"),
    "x_mm,y_mm\n0,0\n100,five\n": (3, '"five" is not a number'),
    "x_mm,y_mm\n0,0\n100,nan\n": (3, '"nan" is not a number'),
    "x_mm,y_mm\n0,0\n100,1e300\n": (3, "out of range"),
    "x_mm,y_mm\n0,0\n0,5,1,2\n": (3, "4 cells where the heading has 2; a decimal comma"),
    "x_mm,y_mm\n0,0,0,0\n100,5,1,2\n": (2, "(allowed: numbers with a decimal point and a comma between"),
    "x_mm,y_mm\n0,0\n100,5;2,0\n": (3, "3 cells where the heading has 2; a decimal comma"),
    "x_mm,y_mm\n0,0\n1,5;2\n": (3, '"5;2" is not a number'),
    'x_mm,y_mm\n0,0\n"100,5","2,0"\n': (3, '"100,5" is not a number (allowed: digits with a decimal point)'),
    "x_mm,y_mm,note\n0,0\n100,5,2,0\n": (3, "4 cells where the heading has 3; a decimal comma"),
    "x_mm;y_mm\n1,5;2,0\n": (1, "separate columns by commas"),
    "x_mm,height\n0,0\n100,5\n": (1, 'no column "y_mm"'),
    "x_mm,z_mm\n0,0\n100,5\n": (1, 'no column "y_mm"; it has: x_mm, z_mm'),
    "x_mm;y_mm\n0;0\n100;5\n": (1, "separate columns by commas"),
    "": (1, 'no column "x_mm"'),
    "x_mm,y_mm\n": (1, "too short a profile"),
    "x_mm,y_mm\n0,0\n5,1\n": (3, "too short a profile"),
    "x_mm,y_mm\n0,0\n3e6,1\n": (3, "too long a profile"),
}


@pytest.mark.parametrize("text", BAD, ids=lambda t: repr(t)[:30])
def test_doubtful_csv_is_refused_with_its_line(tmp_path: Path, text: str) -> None:
    """One message: which file, which line, what is wrong."""
    file = tmp_path / "p.csv"
    file.write_text(text)
    line, says = BAD[text]
    with pytest.raises(InputError) as caught:
        read_profile(file)
    (problem,) = caught.value.problems
    assert (problem.file, problem.line) == (str(file), line)
    assert says in str(problem)


def test_empty_cells_beyond_the_heading_do_no_harm(tmp_path: Path) -> None:
    """A spreadsheet writes them when a column beside the table was once used."""
    (tmp_path / "p.csv").write_text("x_mm,y_mm\n0,0,,\n100,5, \n200,7\n")
    x, y = read_profile(tmp_path / "p.csv")
    assert x == pytest.approx([0.0, 0.1, 0.2])
    assert y == pytest.approx([0.0, 0.005, 0.007])


def test_files_that_are_no_text_or_too_big_are_refused(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Not there, a folder, not UTF-8, too many bytes, too many rows."""
    (tmp_path / "latin.csv").write_bytes(b"x_mm,y_mm\n0,0\n10,\xe9\n")
    (tmp_path / "big.csv").write_text("x_mm,y_mm\n" + "".join(f"{i},0\n" for i in range(60)))
    with pytest.raises(InputError, match="no such file"):
        read_profile(tmp_path / "none.csv")
    with pytest.raises(InputError, match="is a folder"):
        read_profile(tmp_path)
    with pytest.raises(InputError, match=r"latin\.csv:3: is not UTF-8"):
        read_profile(tmp_path / "latin.csv")
    monkeypatch.setattr(survey, "MAX_ROWS", 50)
    with pytest.raises(InputError, match="too many points"):
        read_profile(tmp_path / "big.csv")
    monkeypatch.setattr(survey, "MAX_BYTES", 50)
    with pytest.raises(InputError, match="MB"):
        read_profile(tmp_path / "big.csv")
    with pytest.raises(InputError, match="cannot be read"):
        read_profile(Path("a\0b.csv"))


@settings(max_examples=150, deadline=None)
@given(st.one_of(st.binary(max_size=200), st.text('0123456789.,-e\n"x_my ', max_size=200).map(str.encode)))
def test_random_text_never_gives_a_traceback(tmp_path_factory: pytest.TempPathFactory, body: bytes) -> None:
    """Either a clean error or heights that are finite and places that rise."""
    file = tmp_path_factory.getbasetemp() / "random.csv"
    file.write_bytes(b"x_mm,y_mm\n0,0\n" + body)
    try:
        x, y = read_profile(file)
    except InputError:
        return
    assert np.isfinite(y).all()
    assert (np.diff(x) > 0).all()


def test_points_in_the_course_file_are_the_same_ground(tmp_path: Path) -> None:
    """As from a CSV file, with no file beside it."""
    (tmp_path / "p.csv").write_text("x_mm,y_mm\n1000,50\n1100,70\n1300.5,10\n")
    text = '[[obstacle]]\nkind = "surveyed profile"\n{}\n'
    (tmp_path / "file.toml").write_text(text.format('file = "p.csv"'))
    (tmp_path / "here.toml").write_text(text.format("points_mm = [[1000, 50], [1100, 70], [1300.5, 10]]"))
    (a,), (b,) = (load_course(tmp_path / f"{name}.toml").obstacle for name in ("file", "here"))
    x = np.linspace(0.0, 0.3005, 40)
    assert (a.length_m(), a.rise_m()) == (b.length_m(), b.rise_m())
    assert a.heights_m(x) == pytest.approx(b.heights_m(x), abs=1e-15)
    assert b.title() == "surveyed profile 0.3 m"
    assert b.sizes() == ("3 points",)
    assert b.files_read() == {}


@pytest.mark.parametrize(
    ("fields", "words"),
    [
        ("", ":1: obstacle[1].points_mm: say where the ground is once: points_mm or file"),
        ('file = "p.csv"\npoints_mm = [[0, 0], [50, 1]]', ":4: obstacle[1].points_mm: say where the ground is once"),
        ("points_mm = [[0, 0], [50, 1], [50, 2]]", ":3: obstacle[1].points_mm[3]: 50 does not lie beyond 50"),
        ("points_mm = [[0, 0], [10, 1]]", ":3: obstacle[1].points_mm: too short a profile"),
        ("points_mm = [[0, 0], [3e6, 1]]", ":3: obstacle[1].points_mm: too long a profile (allowed: up to 2 km)"),
        ("points_mm = [[0, 0]]", ":3: obstacle[1].points_mm:"),
    ],
)
def test_points_that_are_no_ground(fields: str, words: str, tmp_path: Path) -> None:
    """Named with line and field."""
    (tmp_path / "p.csv").write_text("x_mm,y_mm\n0,0\n100,70\n")
    (tmp_path / "c.toml").write_text(f'[[obstacle]]\nkind = "surveyed profile"\n{fields}\n')
    with pytest.raises(InputError) as e:
        load_course(tmp_path / "c.toml")
    assert words in str(e.value)
