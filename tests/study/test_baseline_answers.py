"""What `trundle baseline` answers: never a change that is not said, an allowance that is, and one message if wrong."""

from __future__ import annotations

import dataclasses
from pathlib import Path
from typing import Any

import pytest
from study_fakes import geometry_run

from trundle.cli.main import main
from trundle.errors import InputError
from trundle.spec.shipped import find
from trundle.study import baseline as guard
from trundle.study.kept import check_place
from trundle.study.runs import How

FRONT, MOVED = "at_mm = [1524, 0]", "at_mm = [1519, 0]"
README = Path(__file__).parents[2] / "README.md"


@pytest.fixture
def shop(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder with a car and its list, where runs are cheap."""
    (tmp_path / "car.toml").write_text(find("vehicles", "teasel").read_text())
    (tmp_path / "shop.toml").write_text('vehicles = ["car.toml"]\ncourses = ["kerb-100", "yard"]\n')
    monkeypatch.chdir(tmp_path)
    real = guard.run_cases

    def cheap(cases: Any, how: How, options: dict[str, Any] | None = None) -> Any:
        return real(cases, dataclasses.replace(how, workers=1, function=geometry_run), options)

    monkeypatch.setattr(guard, "run_cases", cheap)
    return tmp_path


@pytest.fixture
def moved(shop: Path, capsys: pytest.CaptureFixture[str]) -> Path:
    """The same, kept, and then the front pivot moved."""
    assert call(capsys, "keep", "shop.toml")[0] == 0
    car = shop / "car.toml"
    car.write_text(car.read_text().replace(FRONT, MOVED))
    return shop


def call(capsys: pytest.CaptureFixture[str], *words: str) -> tuple[int, str, str]:
    """Exit code, stdout and stderr of `trundle baseline`."""
    with pytest.raises(SystemExit) as caught:
        main(["baseline", *words])
    out, err = capsys.readouterr()
    assert isinstance(caught.value.code, int)
    return caught.value.code, out, err


# The JUnit file.


@pytest.mark.parametrize(
    ("file", "said"),
    [
        ("/proc/j.xml", "cannot be written"),
        (".", "is a folder"),
        ("/dev/null", "is not a file"),
        ("car.toml/j.xml", "cannot be written"),
        ("shop.kept.json", "baseline's own file"),
        ("shop.toml", "baseline's own file"),
    ],
)
def test_a_junit_file_that_cannot_be_is_said_before_anything_is_run(
    moved: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, file: str, said: str
) -> None:
    """Found out afterwards, the baseline was another one already."""
    if not Path("/proc/self").exists() and file.startswith(("/proc", "/dev")):
        pytest.skip("no such folder on this system")
    monkeypatch.setattr(guard, "run_cases", lambda *_: pytest.fail("was run"))
    before = {p.name: p.read_bytes() for p in moved.iterdir()}
    code, out, err = call(capsys, "check", "shop.toml", "--accept", "back by 5 mm", "--junit", file)
    assert (code, out) == (2, "")
    assert "--junit" in err
    assert said in err
    assert {p.name: p.read_bytes() for p in moved.iterdir()} == before


@pytest.mark.parametrize("accept", [[], ["--accept", "back by 5 mm"]])
def test_a_junit_file_that_fails_after_the_runs_hides_no_answer(
    moved: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, accept: list[str]
) -> None:
    real = guard.run_cases

    def full(*given: Any) -> Any:
        (moved / "j.xml").mkdir()  # meanwhile somebody else took the name
        return real(*given)

    monkeypatch.setattr(guard, "run_cases", full)
    code, out, err = call(capsys, "check", "shop.toml", *accept, "--junit", "j.xml")
    assert code == 2
    assert "ride_height_mm" in out or "peak_wheel_load_N" in out
    assert ("Accepted: back by 5 mm" if accept else "LOST") in out
    assert "j.xml: --junit: is a folder" in err


def test_a_folder_on_the_way_may_still_be_missing(moved: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert call(capsys, "check", "shop.toml", "--junit", "new/deep/j.xml")[0] == 1
    assert 'failures="2"' in (moved / "new/deep/j.xml").read_text()


def test_the_look_at_a_place_leaves_nothing(tmp_path: Path) -> None:
    check_place(tmp_path / "new" / "j.xml")
    with pytest.raises(InputError, match="cannot be written"):
        check_place(tmp_path / ("x" * 300))
    assert not list(tmp_path.iterdir())


# The file that a set is declared in.


def test_an_unknown_name_says_what_is_wanted(shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    code, _, err = call(capsys, "keep", "shop")
    assert code == 2
    assert 'did you mean "shop.toml"?' in err
    assert "lists vehicles and courses (trundle baseline --help shows one)" in err


@pytest.mark.parametrize("words", [["--help"], ["keep", "--help"], ["check", "--help"]])
def test_help_leads_to_an_example(capsys: pytest.CaptureFixture[str], words: list[str]) -> None:
    out = call(capsys, *words)[1]
    assert "shop.toml" in out
    if words == ["--help"]:
        assert all(part in out for part in ("vehicles = [", "courses = [", "[tolerance]", "3 %", "0.0025"))


def test_the_examples_of_readme_and_help_can_be_followed(shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (shop / "my-hull.toml").write_text((shop / "car.toml").read_text())
    help_ = call(capsys, "--help")[1]
    for text in (README.read_text(encoding="utf-8"), help_):
        rows = text[text.index("`shop.toml` for example:" if "`shop.toml`" in text else "shop.toml for example:") :]
        rows = rows[rows.index("vehicles = [") :]
        toml = "\n".join(row.strip() for row in rows[: rows.index("\n\n")].splitlines())
        (shop / "shop.toml").write_text(toml)
        declared = guard.open_baseline("shop.toml").declared
        assert declared.courses == ("kerb-100", "yard")
        assert {"my-hull.toml", "teasel"} == set(declared.vehicles)
        assert declared.tolerance["every"] == guard.UNLESS_SET["every"]


# What may move.


def test_a_set_without_tolerance_lets_small_moves_pass_and_says_so(
    moved: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """5 mm is 0.45 % of the jolt and 3.8 % of the load; the ride height, which hangs on no luck, may hardly move."""
    code, out, _ = call(capsys, "check", "shop.toml")
    assert code == 1
    assert "peak_wheel_load_N" in out
    assert "ride_height_mm" in out
    assert "peak_seat_g" not in out
    allowed = (
        "Allowed to move: every figure 3 % unless set, energy_error 0.0025 unless set, "
        "static_wheel_load_N 0.2 % unless set, ride_height_mm 0.2 unless set."
    )
    assert allowed in out
    assert 'Set by [tolerance] in shop.toml, like every = "2%"' in out
    assert "baseline check shop.toml --accept" in out


def test_a_tolerance_takes_the_place_of_the_default(moved: Path, capsys: pytest.CaptureFixture[str]) -> None:
    with (moved / "shop.toml").open("a") as file:
        file.write('[tolerance]\nevery = "10%"\nride_height_mm = 0.2\n')
    code, out, _ = call(capsys, "check", "shop.toml")
    assert code == 1
    assert "ride_height_mm" in out
    assert "peak_wheel_load_N" not in out
    assert (
        "every figure 10 %, energy_error 0.0025 unless set, static_wheel_load_N 0.2 % unless set, ride_height_mm 0.2."
        in out
    )


@pytest.mark.parametrize("amount", ["nan", '"3 mm"', "-1", "true", "[1]", '"-2%"', '"a\\u001b[2J"', "1" + "0" * 400])
def test_a_wrong_amount_is_one_line_with_the_line_that_it_stands_on(
    shop: Path, capsys: pytest.CaptureFixture[str], amount: str
) -> None:
    with (shop / "shop.toml").open("a") as file:
        file.write(f"\n[tolerance]\npeak_seat_g = 0.1\nevery = {amount}\n")
    code, _, err = call(capsys, "keep", "shop.toml")
    assert code == 2
    assert len(err.splitlines()) == 1
    assert err.startswith("shop.toml:6: tolerance.every: ")
    assert "is not an amount (allowed: 0 or more" in err
    assert err.strip().isprintable()


# Ctrl-C.


@pytest.mark.parametrize("command", ["keep", "check"])
@pytest.mark.parametrize("where", ["while workers start", "while they run"])
def test_stopped_runs_are_exit_code_3_and_change_nothing(
    shop: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, command: str, where: str
) -> None:
    if command == "check":
        assert call(capsys, "keep", "shop.toml")[0] == 0
    real, before = guard.run_cases, {p.name: p.read_bytes() for p in shop.iterdir()}

    def stop(*given: Any) -> Any:
        if where == "while workers start":
            raise KeyboardInterrupt
        return dataclasses.replace(real(*given), interrupted=True)

    monkeypatch.setattr(guard, "run_cases", stop)
    accept = ["--accept", "why"] if command == "check" else []
    code, out, err = call(capsys, command, "shop.toml", *accept)
    assert (code, out) == (3, "")
    assert "the baseline's runs were stopped: nothing was kept or compared; the same command starts over" in err
    assert {p.name: p.read_bytes() for p in shop.iterdir()} == before


def test_ctrl_c_before_the_runs_is_exit_code_3(
    shop: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """While the libraries load, or the list is read."""

    def stop(name: str) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(guard, "open_baseline", stop)
    for command in ("keep", "check"):
        code, out, err = call(capsys, command, "shop.toml")
        assert (code, out) == (3, "")
        assert "the baseline was stopped: nothing was kept or compared" in err


def test_an_empty_cluster_is_no_address(shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    for empty in ("", "  "):
        code, _, err = call(capsys, "keep", "shop.toml", "--cluster", empty)
        assert code == 2
        assert "--cluster: is no address (allowed: like tcp://" in err


def test_a_kept_file_that_is_a_link_to_itself_is_told(shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Also where it is compared with the JUnit file's name before it is read."""
    (shop / "shop.kept.json").symlink_to("shop.kept.json")
    code, _, err = call(capsys, "check", "shop.toml", "--junit", "out.xml")
    assert code in (2, 3)
    assert err.startswith("shop.kept.json: cannot be read")


@pytest.mark.parametrize("number", ["NaN", "-Infinity"])
def test_a_kept_file_holds_numbers_only(shop: Path, capsys: pytest.CaptureFixture[str], number: str) -> None:
    """JSON has no such numbers, in the vehicle's fields neither."""
    assert call(capsys, "keep", "shop.toml")[0] == 0
    kept = shop / "shop.kept.json"
    kept.write_text(kept.read_text().replace('"mass_kg": 265', f'"mass_kg": {number}', 1))
    code, _, err = call(capsys, "check", "shop.toml")
    assert code == 2
    assert "cannot be read" in err
