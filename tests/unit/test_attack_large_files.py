"""Two megabytes of anything in a vehicle's or a course's file: refused, or read, in seconds and little memory."""

from __future__ import annotations

import time
import tracemalloc
from pathlib import Path

import pytest

from tests.unit.test_cli_refusals import call
from trundle.errors import LONGEST_SLIP, MOST_TOLD, InputError, Problem, did_you_mean
from trundle.spec.course import load_course
from trundle.spec.lines import DEEPEST, line_numbers, too_deep_name
from trundle.spec.reader import MAX_FILE_BYTES, MOST_VALUES, parse_settings, parse_toml
from trundle.spec.shipped import find
from trundle.spec.vehicle import load_vehicle

SIZE = MAX_FILE_BYTES - 20_000
LONGEST_S = 5.0
VEHICLE = find("vehicles", "teasel").read_text(encoding="utf-8")
COURSE = find("courses", "kerb-50").read_text(encoding="utf-8")


def filled(rows: str, size: int = SIZE) -> str:
    return rows * (size // len(rows.encode()))


VEHICLES = {
    "dotted": "a" + ".a" * (SIZE // 2) + " = 1",
    "dotted header": "[a" + ".a" * (SIZE // 2) + "]",
    "dotted in a table": "x = {a" + ".a" * (SIZE // 2) + " = 1}",
    "dotted and quoted": '"a"' + '."a"' * (SIZE // 4) + " = 1",
    "dotted rows": "".join(f"a{i}" + ".a" * 10 + " = 1\n" for i in range(60_000)),
    "unknown fields": VEHICLE.replace("[hull]", "[hull]\n" + "".join(f"mas_kg{i} = 1\n" for i in range(95_000)), 1),
    "tables": "".join(f"[a{i}]\n" for i in range(180_000)),
    "wheels": VEHICLE + "".join(f"[wheel.a{i}]\n" for i in range(95_000)),
    "points": VEHICLE.replace("belly_mm", "belly_mm = [" + "1," * (SIZE // 2 - 9_000) + "]\nq", 1),
    "blanks in a text": 'note = """\n[a' + " " * (SIZE - 9_000) + '\n"""\n' + VEHICLE,
    "a name twice": 'x = {"' + " " * (SIZE // 3) + '" = 1, "' + " " * (SIZE // 3) + '" = 2}',
    "a long name": "a" * SIZE + " = 1",
    "digits, not quite too many": 'x = ["' + filled("1" * 999 + "x", SIZE - 9_000) + '"]\ny = ' + "9" * 5_000,
    "hexadecimal": VEHICLE.replace("mass_kg", "mass_kg = 0x" + "f" * (SIZE - 9_000) + "\n#", 1),
    "brackets": "x = " + "[" * SIZE,
    "quotes": "x = " + '"' * SIZE,
}
COURSES = {
    "obstacles": filled('[[obstacle]]\nkind = "kerb up"\nheight_mm = 20\n'),
    "kinds": filled('[[obstacle]]\nkind = "kerb upp"\n'),
    "slips": '[[obstacle]]\nkind = "kerb up"\nheight_mm = -1\n' * 2_000,
    "instructions": COURSE + filled('[[driver]]\nkind = "stop"\nat_mm = 1000\nfor_s = 1\n', SIZE - 9_000),
}


@pytest.mark.parametrize(
    ("text", "load"),
    [(t, load_vehicle) for t in VEHICLES.values()] + [(t, load_course) for t in COURSES.values()],
    ids=[*VEHICLES, *COURSES],
)
def test_two_megabytes_of_anything(text: str, load: object, tmp_path: Path) -> None:
    """Refused in LONGEST_S of the processor's time at most, in a message that a screen can hold."""
    path = tmp_path / "a.toml"
    path.write_text(text, encoding="utf-8")
    assert path.stat().st_size < MAX_FILE_BYTES
    begun = time.process_time()
    with pytest.raises(InputError) as found:
        load(path)  # type: ignore[operator]
    assert time.process_time() - begun < LONGEST_S
    said = str(found.value)
    assert str(path) in said
    assert said.count("\n") <= MOST_TOLD
    assert len(said) < 10_000


def test_dotted_names_take_no_more_memory_than_other_text() -> None:
    """35 kB of them took 8 s and 1.15 GB: both went with the square of the parts."""
    text = "a" + ".a" * 17_500 + " = 1"
    tracemalloc.start()
    try:
        with pytest.raises(InputError, match="nested too deeply"):
            parse_toml(text, "a.toml")
        peak_B = tracemalloc.get_traced_memory()[1]
    finally:
        tracemalloc.stop()
    assert peak_B < 20e6


def test_a_name_is_counted_by_its_parts() -> None:
    """Dots in quotes, in texts and in comments join nothing; the deepest name allowed is read, one more is not."""
    deepest = ".".join("a" * DEEPEST)
    assert too_deep_name(f"{deepest} = 1") == 0
    assert too_deep_name(f"\n\nb = 1\n{deepest}.a = 1") == 4
    assert too_deep_name(f"[{deepest}.a]") == 1
    dots = "a." * 40
    for text in (f'"{dots}" = 1', f"x = '{dots}'", f"# {dots}", f'x = """\n{dots}a = 1"""', f"x = '''{dots}a\n'''"):
        assert too_deep_name(text) == 0


def test_lines_are_those_that_an_editor_shows() -> None:
    """Lists over several rows, texts that look like TOML, quoted names, and characters that Python takes for the end
    of a line and TOML does not (TOML 1.0: newline is LF or CRLF)."""
    text = (
        "# \u2028 \x85\n"
        "[hull]\n"
        "belly_mm = [\n  [0, 1],\n  [2, 3],\n]\n"
        'note = """\n[wheel.x]\nmass_kg = 3\n"""\n'
        '"seat\\u005fmm" = [1, 2]\n'
        "[[obstacle]]\n[[obstacle]]\nsize.height_mm = { a = 1 }\n"
    )
    assert parse_toml(text, "a.toml")["hull"]["seat_mm"] == [1, 2]
    lines = line_numbers(text)
    assert {path: line for path, line in lines.items() if path[0] == "hull"} == {
        ("hull",): 2,
        ("hull", "belly_mm"): 3,
        ("hull", "note"): 7,
        ("hull", "seat_mm"): 11,
    }
    assert lines["obstacle", 0] == 12
    assert lines["obstacle", 1] == 13
    assert lines["obstacle", 1, "size", "height_mm"] == 14
    assert not any("wheel" in path for path in lines)


def test_many_problems_are_counted(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The first are told, from the top of the file; the rest is a number."""
    path = tmp_path / "c.toml"
    path.write_text('[[obstacle]]\nkind = "kerb up"\nheight_mm = -1\n' * 1_500)
    code, _, err = call(capsys, "course", str(path))
    lines = err.splitlines()
    assert code == 2
    assert [int(line.removeprefix(f"{path}:").split(":")[0]) for line in lines[:-1]] == list(range(3, 61, 3))
    assert lines[-1] == "... and 1,480 more problems"
    one_more = InputError([Problem(str(i)) for i in range(MOST_TOLD + 1)])
    assert str(one_more).endswith("... and 1 more problem")
    assert one_more.at("a.toml").told_as(one_more.problems).more == 0


def test_a_file_of_many_small_values_is_refused_by_their_number() -> None:
    with pytest.raises(InputError, match=r"holds too many tables and values \(allowed: up to 100,000"):
        parse_toml("x = [" + "1," * MOST_VALUES + "]", "a.toml")


def test_a_long_word_is_no_slip_of_the_pen() -> None:
    """difflib takes 40 s over two words of 20,000 letters that are alike in part."""
    begun = time.process_time()
    long = "ab" * 50_000
    assert did_you_mean(long, [long + "c", "mass_kg"]) == ""
    assert did_you_mean("mas_kg", [long, "mass_kg"]) == '; did you mean "mass_kg"?'
    assert did_you_mean("a" * LONGEST_SLIP, ["b" + "a" * (LONGEST_SLIP - 1)])
    assert time.process_time() - begun < 1.0


def test_a_setting_of_120_kB(tmp_path: Path) -> None:
    """As long as one argument may be (Linux: 128 kB). A dotted name behind a line break took minutes."""
    begun = time.process_time()
    for value in ("1\na" + ".a" * 60_000 + " = 1", "[" * 120_000, "9" * 120_000, "x" * 120_000, '"' * 120_000):
        found = parse_settings([f"hull.mass_kg={value}"])
        with pytest.raises(InputError) as refused:
            load_vehicle(find("vehicles", "teasel"), found)
        assert len(str(refused.value)) < 500
    assert time.process_time() - begun < LONGEST_S
