"""Studies of real runs: the same figures as `trundle.run`, and a guard that guards."""

from __future__ import annotations

import math
import re
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import pandas as pd
import pytest
from click.testing import CliRunner, Result

import trundle
from trundle.cli.baseline import baseline
from trundle.cli.compare import compare
from trundle.errors import InputError
from trundle.papers.ground import stand_level
from trundle.papers.loads import from_run, run_angles, run_margins
from trundle.papers.springs import WORST, spring_sheets
from trundle.papers.standing import standing_sheet
from trundle.papers.strength import strength
from trundle.record.store import write_tables
from trundle.spec.shipped import find
from trundle.study.api import How, check, keep, open_baseline, run_frame
from trundle.study.figures import repeats
from trundle.study.pool import open_engine
from trundle.study.runs import flat

KERB = find("courses", "kerb-100")
TEASEL = find("vehicles", "teasel")


@pytest.fixture(scope="module")
def how() -> Iterator[How]:
    """One worker for all tests here: it starts and loads the compiled model once."""
    with open_engine(1, None) as engine:
        yield How(engine=engine)


def same(a: Any, b: Any) -> bool:
    """Equal to the last bit; two nans are alike."""
    if isinstance(a, float) and isinstance(b, float):
        return a.hex() == b.hex() or (math.isnan(a) and math.isnan(b))
    return bool(a == b)


def test_a_study_gives_the_figures_of_single_runs_bit_for_bit(how: How) -> None:
    frame = pd.DataFrame({"hull.mass_kg": [250, 300], "bogie.*.pivot_friction_Nm": [1.0, 3.0]})
    table = run_frame(frame, TEASEL, [KERB], how=how, options={"near": 1}).table
    assert list(table["state"]) == ["done", "done"]
    for row, settings in zip(table.to_dict("records"), frame.to_dict("records"), strict=True):
        vehicle = trundle.load_vehicle(TEASEL, {str(k): v for k, v in settings.items()})
        alone = flat(trundle.run(vehicle, trundle.load_course(KERB), near=1).summary)
        for name in filter(repeats, alone.keys() - {"vehicle", "course"}):
            if alone[name] is not None:
                assert same(row[name], alone[name]), name


def test_time_series_are_kept_when_asked_for(how: How, tmp_path: Path) -> None:
    """One file per case, with the rows of its run as asked; a second call makes none again."""
    asked = replace(how, out=tmp_path, timelines=True)
    frame = pd.DataFrame({"hull.mass_kg": [265, 266]})
    table = run_frame(frame, TEASEL, [KERB], how=asked).table
    kept = [pd.read_parquet(p) for p in (tmp_path / "timelines").glob("*.parquet")]
    alone = run_frame(frame, TEASEL, [KERB], how=how, options={"near": 1}).table
    assert sorted(t["time_s"].iloc[-1] for t in kept) == sorted(alone["duration_s"])
    assert (table["near_runs"] == 8).all()
    assert run_frame(frame, TEASEL, [KERB], how=asked).ran == 0
    one, other = sorted((tmp_path / "timelines").glob("*.parquet"))
    whole = one.read_bytes(), other.read_bytes()
    one.write_bytes(whole[0][: len(whole[0]) // 2])
    other.write_bytes(b"")
    assert run_frame(frame, TEASEL, [KERB], how=asked).ran == 2  # a part of one is none
    assert (one.read_bytes(), other.read_bytes()) == whole


def test_what_is_refused_is_not_tried_again_for_its_time_series(how: How, tmp_path: Path) -> None:
    """It has none, and never will."""
    asked = replace(how, out=tmp_path, timelines=True)
    frame = pd.DataFrame({"hull.mass_kg": [-5]})
    assert [run_frame(frame, TEASEL, [KERB], how=asked).ran for _ in range(2)] == [1, 0]


def test_an_invalid_vehicle_is_a_row_that_says_so(how: How) -> None:
    table = run_frame(pd.DataFrame({"hull.mass_kg": [-5, 265]}), TEASEL, [KERB], how=how).table
    assert list(table["state"]) == ["refused", "done"]
    assert "hull.mass_kg" in table["reason"][0]
    assert str(TEASEL) in table["reason"][0]


def call(command: Any, *arguments: object) -> Result:
    return CliRunner().invoke(command, [str(a) for a in arguments])


def test_compare_prints_ranks_and_writes(tmp_path: Path) -> None:
    out = tmp_path / "out"
    done = call(compare, TEASEL, KERB, "--vary", "hull.mass_kg=240,300", "--workers", 1, "--out", out)
    assert done.exit_code == 0, done.output
    assert "2 runs made" in done.output
    assert sorted(p.name for p in out.iterdir()) == [
        "report.html",
        "runs.csv",
        "runs.parquet",
        "study.sqlite",
    ]
    assert len(pd.read_csv(out / "runs.csv")) == 2
    assert "Along the course" in (out / "report.html").read_text()
    again = call(compare, TEASEL, KERB, "--vary", "hull.mass_kg=240,300", "--out", out)
    assert "0 runs made, 2 were there already" in again.output


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (["--vary", "hull.mas_kg=1,2"], "did you mean"),
        (["--vary", "hull.mass_kg=1:3000:1"], "yes: that is 3000 runs"),
        (["--vary", "hull.mass_kg="], "no values"),
        (["--limit", "peak_seat_g<1"], "is only used with --find or --tolerance"),
        (["--vary", "hull.mass_kg=1,2", "--tolerance", "hull.mass_kg=5%"], "cannot be combined"),
        (["--speed", "fast"], "is not a speed"),
        (["--set", "hull.mass_kg"], "not PATH=VALUE"),
        (["--cluster", "nonsense"], "no scheduler answers|not an address"),
    ],
)
def test_wrong_questions_are_one_message(
    arguments: list[str], said: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("trundle.study.cluster.CONNECT_S", 1.0)
    done = call(compare, TEASEL, KERB, "--out", tmp_path / "o", *arguments)
    assert isinstance(done.exception, InputError)
    assert re.search(said, str(done.exception))


def test_the_guard_fails_when_a_pivot_moves_by_5_mm(tmp_path: Path, how: How) -> None:
    """Nothing moved: passes. 5 mm: fails and names figures and cause. Accepted: passes again."""
    (tmp_path / "car.toml").write_text(TEASEL.read_text())
    declared = tmp_path / "guard.toml"
    declared.write_text(f'vehicles = ["car.toml"]\ncourses = ["{KERB}"]\n[tolerance]\nevery = "0.1%"\n')
    keep(open_baseline(declared), how)
    assert not check(open_baseline(declared), how).lost
    text = (tmp_path / "car.toml").read_text()
    (tmp_path / "car.toml").write_text(text.replace("at_mm = [1524, 0]", "at_mm = [1519, 0]"))
    junit = tmp_path / "junit.xml"
    lost = call(baseline, "check", declared, "--junit", junit)
    assert lost.exit_code == 1
    assert "static_wheel_load_N.front.fore" in lost.output
    assert "bogie.front.at_mm.1 1524 -> 1519" in lost.output
    assert 'failures="1"' in junit.read_text()
    check(open_baseline(declared), how, accept="front bogie back, to clear the idler")
    held = call(baseline, "check", declared)
    assert held.exit_code == 0, held.output
    assert "Held: 1 run," in held.output


def test_margins_are_those_of_the_sheet_for_that_run(how: How, tmp_path: Path) -> None:
    """The study's spring and bolt margins against the sheet's own, worked out from a kept run's folder."""
    row = run_frame(pd.DataFrame({"hull.mass_kg": [265]}), TEASEL, [KERB], how=how, options={"near": 1}).table.iloc[0]
    vehicle = trundle.load_vehicle(TEASEL, {"hull.mass_kg": 265})
    result = trundle.run(vehicle, trundle.load_course(KERB), near=1)
    (tmp_path / "run").mkdir()
    write_tables(tmp_path / "run", result.timeline, result.events, result.summary)
    sheet = standing_sheet(vehicle)
    at = stand_level(vehicle)
    loads = replace(from_run(sheet, tmp_path / "run"), margins=run_margins(tmp_path / "run", at.assembly))
    checks = strength(at.assembly, loads)
    springs = spring_sheets(at, run_angles(tmp_path / "run", at.assembly.joint))
    assert row["spring_margin"] == pytest.approx(min(s.yield_margin(WORST) for s in springs), rel=1e-9)
    assert row["bolt_margin"] == pytest.approx(
        min(c.margin for c in checks if c.kind in ("axle bolt", "pivot bolt")), rel=1e-9
    )
    assert 0.5 < row["spring_margin"] < 5.0


SCRIPT = """
import trundle
print("once")
tried = trundle.compare("teasel", "kerb-50", {"hull.mass_kg": [280, 300]})
print(len(tried.ranking), "ranked")
"""


def test_a_script_needs_no_guard(tmp_path: Path) -> None:
    """Worker processes do not run the user's script again: a comparison may stand at its top level."""
    script = tmp_path / "compare.py"
    script.write_text(SCRIPT)
    done = subprocess.run([sys.executable, str(script)], capture_output=True, text=True, cwd=tmp_path, check=True)
    assert done.stdout.count("once") == 1
    assert "2 ranked" in done.stdout
    assert "Traceback" not in done.stderr
