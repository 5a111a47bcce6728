"""A file written with a comment on every line: the same values come back, the words are the fields' own."""

from __future__ import annotations

import tomllib

import pytest

from trundle.fields.commented import MOST_LETTERS, commented, short, toml_value
from trundle.spec.course import Course
from trundle.spec.shipped import find, names
from trundle.spec.vehicle import Vehicle


@pytest.mark.parametrize("vehicle", names("vehicles"))
def test_a_vehicle_comes_back_as_it_was(vehicle: str) -> None:
    """Tables, points, texts of several lines, kinds within kinds."""
    data = tomllib.loads(find("vehicles", vehicle).read_text(encoding="utf-8"))
    assert tomllib.loads(commented(Vehicle, data)) == data


@pytest.mark.parametrize("course", names("courses"))
def test_a_course_comes_back_as_it_was(course: str) -> None:
    """Tables in a row, each with its own header; what the driver is told."""
    data = tomllib.loads(find("courses", course).read_text(encoding="utf-8"))
    assert tomllib.loads(commented(Course, data)) == data


def test_a_line_says_what_its_field_is() -> None:
    """From the docstring, its first words; the kind's line says what the kind is; comments stand in one column."""
    text = commented(Course, {"run_up_mm": 2500.0, "obstacle": [{"kind": "kerb up", "height_mm": 100, "name": None}]})
    lines = text.splitlines()
    assert lines[0].startswith("run_up_mm = 2500  # Flat ground before the first obstacle")
    assert lines[1:3] == ["", "[[obstacle]]"]
    assert lines[3].startswith('kind = "kerb up"  # A kerb ')
    assert lines[4].startswith("height_mm = 100   # From the lower ground to the upper")
    assert len(lines) == 5


def test_a_guess_says_so_and_from_what() -> None:
    """By the field's path, obstacles counted from 1; a guess of what is not in the file is a slip of the program."""
    values = {"obstacle": [{"kind": "kerb up", "height_mm": 100.0}, {"kind": "kerb down", "height_mm": 80.0}]}
    text = commented(Course, values, guesses={"obstacle.2.height_mm": "a look from the window"})
    (line,) = [row for row in text.splitlines() if "GUESS" in row]
    assert line.startswith("height_mm = 80 ")
    assert "# GUESS: a look from the window. " in line
    with pytest.raises(KeyError, match=r"obstacle\.3"):
        commented(Course, values, guesses={"obstacle.3.height_mm": "nothing"})


def test_what_is_no_field_wants_words() -> None:
    """A name that the table does not know is refused, unless the writer says what it is."""
    with pytest.raises(KeyError, match=r"obstacle\.1\.colour"):
        commented(Course, {"obstacle": [{"kind": "kerb up", "colour": "red"}]})
    assert "# as painted" in commented(
        Course, {"obstacle": [{"kind": "kerb up", "colour": "red"}]}, said={"obstacle.1.colour": "as painted"}
    )


def test_a_comment_is_short() -> None:
    """Cut at the end of a sentence or clause, never inside brackets, and never longer than allowed."""
    assert short("Width of a leaf, mm.") == "Width of a leaf, mm"
    assert short("One thing. Another thing.") == "One thing"
    points = "The underside from tail to nose, as points [forward of the tail datum, above the belly datum], mm"
    assert short(points) == "The underside from tail to nose"
    endless = "word " * 40
    assert len(short(endless)) <= MOST_LETTERS
    assert short(endless).endswith(" ...")


def test_a_value_as_a_builder_would_write_it() -> None:
    """No 12.0, no 0.30000000000000004; text in quotes, with what TOML wants escaped."""
    assert toml_value(12.0) == "12"
    assert toml_value(0.1 + 0.2) == "0.3"
    assert toml_value((1.0, -2.5)) == "[1, -2.5]"
    assert toml_value(True) == "true"
    for text in ('a "b" \\ c', "two\nlines", 'three """\nlines'):
        assert tomllib.loads(f"x = {toml_value(text)}")["x"] == text
