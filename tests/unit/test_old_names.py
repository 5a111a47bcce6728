"""Files in the words of before are read, with one line on what to change; what was kept of them still opens."""

from __future__ import annotations

import json
import warnings
from pathlib import Path
from typing import Any

import pytest

import trundle
from tests.unit.test_cli_refusals import call
from trundle.result.inputs import vehicle_input
from trundle.spec.old_names import NOW, OldNameWarning, modern, modern_path, modern_tables
from trundle.study.kept import read_kept
from trundle.study.paths import named_by

OLD = Path(__file__).parent / "old_words"


@pytest.mark.parametrize("name", ["teasel", "barrow"])
def test_a_file_of_before_is_the_vehicle_of_now(name: str) -> None:
    """Stops as angles in one, as heights in the other; the warning names line, old words and new ones."""
    with pytest.warns(OldNameWarning) as said:
        before = trundle.load_vehicle(OLD / f"{name}.toml")
    assert {k: b.stops for k, b in before.bogie.items()} == {
        k: b.stops for k, b in trundle.load_vehicle(name).bogie.items()
    }
    words = [w for w in NOW.items() if ("axle" in w[0]) == (name == "barrow")]
    line = (OLD / f"{name}.toml").read_text(encoding="utf-8").split("stops = {")[0].count("\n") + 1
    told = {str(w.message) for w in said}
    assert told == {
        f"{OLD / f'{name}.toml'}:{line}: "
        + ", ".join(f"{old} is now called {now}" for old, now in words)
        + "; the old names still work"
    }


def test_only_keys_are_renamed_and_lines_stay() -> None:
    """Not in comments, texts or longer names; in dotted, quoted and inline keys."""
    text = (
        '# bump_deg = 1\nnote = "droop_deg = 3"\nstops.bump_deg = 1\nstops = { "droop_deg" = 2, bump_axle_mm=3 }\n'
        'to_bump_deg = 4\nkind = "bump_deg"\n"a" . droop_axle_mm = 5\n'
    )
    with pytest.warns(OldNameWarning, match=r"^x\.toml:3: bump_deg is now"):
        now = modern(text, "x.toml")
    assert now == (
        '# bump_deg = 1\nnote = "droop_deg = 3"\nstops.bump_below_level_deg = 1\n'
        "stops = { droop_below_level_deg = 2, bump_axle_above_pivot_mm=3 }\n"
        'to_bump_deg = 4\nkind = "bump_deg"\n"a" . droop_axle_above_pivot_mm = 5\n'
    )


def test_nothing_is_said_of_words_of_now() -> None:
    """And no old word is part of one of now, or it would be looked for in every file."""
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        for path in ("bogie.*.stops.bump_below_level_deg", "hull.com_mm"):
            assert modern_path(path) == path
        assert modern('note = "bump_deg"\n', "a") == 'note = "bump_deg"\n'
    assert not [(old, now) for old in NOW for now in NOW.values() if old in now]


def test_paths_of_before_name_the_fields_of_now() -> None:
    """In --set, --vary and tables of settings."""
    with pytest.warns(OldNameWarning, match="bump_deg is now called bump_below_level_deg; the old name still works"):
        changed = trundle.load_vehicle("teasel", {"bogie.*.stops.bump_deg": -4})
    assert {b.model_dump()["stops"]["bump_below_level_deg"] for b in changed.bogie.values()} == {-4}
    tables = {"bogie": {"a": {"kind": "single arm", "stops": {"bump_below_level_deg": 3}}}}
    with pytest.warns(OldNameWarning):
        assert named_by("bogie.*.stops.bump_deg", tables, "") == {"bogie.a.stops.bump_below_level_deg": 3}


def test_the_command_says_it_once(capsys: pytest.CaptureFixture[str]) -> None:
    """For three bogies, in a file that is read more than once; an option is a line of its own."""
    code, _, said = call(capsys, "sheet", str(OLD / "teasel.toml"), "--set", "bogie.*.stops.droop_deg=33")
    notes = [line for line in said.splitlines() if "is now called" in line]
    assert code == 0
    assert len(notes) == 2, notes
    assert notes[0].startswith(
        f"note: {OLD / 'teasel.toml'}:36: bump_deg is now called bump_below_level_deg, droop_deg"
    )
    assert notes[1].startswith("note: bogie.*.stops.droop_deg: droop_deg is now called droop_below_level_deg; ")


def test_a_kept_run_with_a_setting_reloads(tmp_path: Path) -> None:
    """The file that is kept has one name for each stop."""
    with pytest.warns(OldNameWarning):
        given = vehicle_input(OLD / "teasel.toml", {"bogie.front.stops.bump_deg": -4})
    kept = tmp_path / "vehicle.toml"
    with pytest.warns(OldNameWarning):
        kept.write_text(given.text_as_used(), encoding="utf-8")
    assert trundle.load_vehicle(kept) == given.vehicle


def test_a_baseline_in_words_of_before_has_not_changed(tmp_path: Path) -> None:
    """What was kept is compared under the names of now."""
    shipped = Path(__file__).parents[2] / "scenarios/baselines/shipped.kept.json"
    content: dict[str, Any] = json.loads(shipped.read_text(encoding="utf-8"))
    stops = {"bump_deg": 1, "droop_axle_mm": -3}
    content["vehicles"]["teasel"]["bogie"]["front"]["stops"] = stops
    content["settings"] = {"bogie.*.stops.bump_deg": 2}
    file = tmp_path / "a.kept.json"
    file.write_text(json.dumps(content), encoding="utf-8")
    kept = read_kept(file)
    assert kept.vehicles["teasel"]["bogie"]["front"]["stops"] == {NOW[k]: v for k, v in stops.items()}
    assert kept.settings == {"bogie.*.stops.bump_below_level_deg": 2}
    assert modern_tables([{"droop_deg": [1]}]) == [{"droop_below_level_deg": [1]}]
