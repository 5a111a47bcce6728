"""The guard: nothing moved passes, a moved pivot fails with names, an accepted change passes again."""

from __future__ import annotations

import json
import xml.etree.ElementTree as ET
from pathlib import Path

import pytest
from study_fakes import geometry_run

from trundle.errors import InputError
from trundle.spec.shipped import find
from trundle.study.baseline import Baseline, check, keep, open_baseline
from trundle.study.junit import junit_xml
from trundle.study.runs import How

HOW = How(workers=1, function=geometry_run)


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    (tmp_path / "car.toml").write_text(find("vehicles", "teasel").read_text())
    (tmp_path / "set.toml").write_text(
        'vehicles = ["car.toml"]\ncourses = ["kerb-100", "yard"]\n[tolerance]\nevery = "0.5%"\nride_height_mm = 0.2\n'
    )
    return tmp_path


def the_set(folder: Path) -> Baseline:
    return open_baseline(folder / "set.toml")


def edit(folder: Path, old: str, new: str, file: str = "car.toml") -> None:
    text = (folder / file).read_text()
    assert text.count(old) == 1
    (folder / file).write_text(text.replace(old, new))


def test_nothing_moved_passes(folder: Path) -> None:
    kept = keep(the_set(folder), HOW)
    assert len(kept.runs) == 2
    found = check(the_set(folder), HOW)
    assert not found.lost
    assert len(found.moved) == 0
    assert found.causes == []


def test_a_moved_pivot_fails_and_names_figures_and_cause(folder: Path) -> None:
    """5 mm: 100 N on 2650 N is beyond 0.5 %, 0.5 mm of ride height is beyond 0.2 mm."""
    keep(the_set(folder), HOW)
    edit(folder, "at_mm = [1524, 0]", "at_mm = [1519, 0]")
    found = check(the_set(folder), HOW)
    assert found.lost
    assert list(found.runs["loss"]) == [True, True]
    moved = found.moved[found.moved["course"] == "yard"].set_index("figure")
    assert set(moved.index) == {"peak_wheel_load_N", "ride_height_mm"}
    assert moved.loc["peak_wheel_load_N", "verdict"] == "worse"
    assert moved.loc["peak_wheel_load_N", "by"] == 100
    assert moved.loc["ride_height_mm", "verdict"] == "changed"
    assert found.causes == ["car: bogie.front.at_mm.1 1524 -> 1519"]


def test_better_is_told_but_is_no_loss(folder: Path) -> None:
    keep(the_set(folder), HOW)
    edit(folder, "at_mm = [1524, 0]", "at_mm = [1525.8, 0]")  # ride height moves by 0.18 mm: allowed
    found = check(the_set(folder), HOW)
    assert not found.lost
    assert list(found.moved["verdict"]) == ["better", "better"]


def test_an_accepted_change_passes_and_its_reason_is_kept(folder: Path) -> None:
    keep(the_set(folder), HOW)
    edit(folder, "at_mm = [1524, 0]", "at_mm = [1519, 0]")
    assert check(the_set(folder), HOW, accept="front bogie back by 5 mm to clear the idler").lost
    assert not check(the_set(folder), HOW).lost
    history = json.loads((folder / "set.kept.json").read_text())["history"]
    assert history[0]["reason"].startswith("front bogie back")
    assert history[0]["causes"] == ["car: bogie.front.at_mm.1 1524 -> 1519"]
    assert any("peak_wheel_load_N" in line for line in history[0]["moved"])


def test_a_run_that_no_longer_reaches_the_end_is_a_loss(folder: Path) -> None:
    keep(the_set(folder), HOW)
    edit(folder, "grip = 0.75", "grip = 0.25")
    found = check(the_set(folder), HOW)
    row = found.moved[found.moved["figure"] == "completed"].iloc[0]
    assert (row["was"], row["now"], row["verdict"]) == ("yes", "stalled", "worse")


def test_junit_counts_and_names(folder: Path) -> None:
    keep(the_set(folder), HOW)
    edit(folder, "mass_kg = 265 ", "mass_kg = 280 ")
    root = ET.fromstring(junit_xml(check(the_set(folder), HOW)))
    suite = root.find("testsuite")
    assert suite is not None
    assert (suite.get("tests"), suite.get("failures"), suite.get("errors")) == ("2", "2", "0")
    failure = suite.find("testcase/failure")
    assert failure is not None
    assert "peak_wheel_load_N 2570.0 to 2720.0: worse" in (failure.get("message") or "")
    assert "hull.mass_kg 265 -> 280" in (failure.text or "")


def test_kept_twice_is_refused(folder: Path) -> None:
    keep(the_set(folder), HOW)
    with pytest.raises(InputError, match="--accept"):
        keep(the_set(folder), HOW)


def test_not_kept_damaged_or_of_another_layout_is_said(folder: Path) -> None:
    with pytest.raises(InputError, match="nothing has been kept yet"):
        check(the_set(folder), HOW)
    file = folder / "set.kept.json"
    for text, said in (
        ("{", "cannot be read"),
        ('{"format": 9}', "another version"),
        ("[]", "another version"),
        ('{"format": 1, "runs": [{}]}', "damaged"),
    ):
        file.write_text(text)
        with pytest.raises(InputError, match=said):
            check(the_set(folder), HOW)


def test_a_list_that_changed_is_said(folder: Path) -> None:
    keep(the_set(folder), HOW)
    edit(folder, '"kerb-100", "yard"', '"kerb-50", "yard"', "set.toml")
    with pytest.raises(InputError, match=r"car over kerb-50 is listed but was not kept.*kerb-100 was kept"):
        check(the_set(folder), HOW)


def test_a_missing_vehicle_is_said_with_the_set(folder: Path) -> None:
    keep(the_set(folder), HOW)
    (folder / "car.toml").unlink()
    with pytest.raises(InputError, match=r"set.toml.*no such vehicle.*car.toml"):
        the_set(folder)


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ('every = "0.5%"', 'every = "much"', "is not an amount"),
        ('every = "0.5%"', "every = -1", "is not an amount"),
        ("courses", "course", 'did you mean "courses"|unknown field'),
        ('"car.toml"', '"car.toml", "car.toml"', "two files are called"),
    ],
)
def test_a_wrong_set_is_said(folder: Path, old: str, new: str, said: str) -> None:
    edit(folder, old, new, "set.toml")
    with pytest.raises(InputError, match=said):
        the_set(folder)


def test_an_unknown_name_is_said() -> None:
    with pytest.raises(InputError, match='no baseline is called "nonesuch"'):
        open_baseline("nonesuch")
