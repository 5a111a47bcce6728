"""A figure that is put into the table, and nowhere else, is told of everywhere."""

from __future__ import annotations

import io
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest
from rich.console import Console
from study_fakes import rising_run

from tests.unit.record_parts import assembly_of, flat_ground, made, put, rolling
from trundle.cli import how_sure
from trundle.cli.inputs import course_file, vehicle_file
from trundle.findings import figures
from trundle.findings.figures import Bad, Better, Figure
from trundle.findings.grades import Grade, Subject
from trundle.findings.readings import Readings
from trundle.report.page import report_html
from trundle.report.terminal import print_said
from trundle.result.result import Result
from trundle.spec.course import Course
from trundle.spec.shipped import find as shipped
from trundle.study.baseline import check, keep, open_baseline
from trundle.study.find import find
from trundle.study.grid import make_plan
from trundle.study.printed import print_ranking
from trundle.study.rank import rank
from trundle.study.runs import How, run_cases
from trundle.study.tolerance import tolerance_study

HOW = How(workers=1, function=rising_run)
SPANS = (("kerb", 6.0, 6.1),)


def rise(readings: Readings) -> float:
    return float(readings.column("hull.rise_m_s").max())


def rises(readings: Readings) -> dict[str, float]:
    return {wheel: 10.0 * i for i, wheel in enumerate(readings.wheels, start=1)}


@pytest.fixture(autouse=True)
def entries(monkeypatch: pytest.MonkeyPatch) -> None:
    """Two new entries: one of the run, one of every wheel."""
    new = (
        Figure(
            name="peak_rise_m_s", title="fastest rise", unit="m/s", digits=2, better=Better.LOWER,
            subject=Subject.HULL, of=rise, ranked=True, bad=Bad("is thrown up", "<=", 1.0),
        ),
        Figure(name="wheels.*.bounce_mm", title="bounce", unit="mm", subject=Subject.HULL, of=rises),
    )  # fmt: skip
    monkeypatch.setattr(figures, "TABLE", (*figures.TABLE, *new))


def result() -> Result:
    """A made-up run that rises at 1.5 m/s for a moment."""
    assembly = assembly_of()
    timeline = rolling(assembly)
    put(timeline, "hull.rise_m_s", 5.0, 0.1, 1.5)
    record = made(assembly, timeline, SPANS)
    course = Course.model_validate({"obstacle": [{"kind": "flat", "length_mm": 1000.0}]})
    return Result(
        assembly.vehicle, course, flat_ground(SPANS), assembly, record.timeline, record.events, record.summary
    )


def test_the_summary_has_it() -> None:
    summary = result().summary
    assert summary["peak_rise_m_s"] == 1.5
    assert summary["wheels"]["front.aft"]["bounce_mm"] == 20.0


def test_the_screen_tells_of_it_and_grades_it(tmp_path: Path) -> None:
    said = made(assembly_of(), result().timeline, SPANS).said
    line = next(x for s in said.sections if s.title == Subject.HULL for x in s.lines if "rise" in x.text)
    assert (line.text, line.grade) == ("Fastest rise 1.50 m/s.", Grade.RISK)
    out = io.StringIO()
    print_said(said, Console(file=out, width=200))
    assert "Fastest rise 1.50 m/s." in out.getvalue()
    assert "bounce [mm]" in out.getvalue()


def test_a_result_shows_it() -> None:
    assert "fastest rise 1.50 m/s" in repr(result())


def test_the_page_tells_of_it() -> None:
    page = report_html(result(), "", "")
    assert "Fastest rise 1.50 m/s." in page
    assert '<th class="num">bounce [mm]</th>' in page


def test_its_error_is_told(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    """The runs at half the step and half the grid rise at 1.4 and 1.45 m/s: twice 0.1 and 0.05, together 0.3."""
    first = result()
    finer = iter((1.4, 1.45))

    def again(*_: Any, **__: Any) -> Any:
        return SimpleNamespace(summary={**first.summary, "peak_rise_m_s": next(finer)})

    monkeypatch.setattr(how_sure, "run_it", again)
    vehicle = vehicle_file(str(shipped("vehicles", "teasel")))
    how_sure.print_how_sure(first, vehicle, course_file(str(shipped("courses", "kerb-50"))), None)
    row = next(line for line in capsys.readouterr().out.splitlines() if line.startswith("fastest rise [m/s]"))
    assert row.split()[3:7] == ["1.50", "1.40", "1.45", "0.30"]


def test_variants_are_ranked_by_it(capsys: pytest.CaptureFixture[str]) -> None:
    plan = make_plan(shipped("vehicles", "teasel"), ["kerb-50"], ["hull.mass_kg=250,300"])
    table = run_cases(plan, HOW).table
    order = rank(table)
    assert list(order.set_index("variant")["peak_rise_m_s"]) == [2.5, 3.0]
    assert order.set_index("variant").loc[1, "best_on"] == "fastest rise"
    print_ranking(table)
    assert "rise" in capsys.readouterr().out


def test_tolerances_spread_it_and_count_what_is_bad() -> None:
    found = tolerance_study("teasel", ["kerb-50"], ["hull.mass_kg=5%"], samples=8, how=HOW)
    chance = found.chances.set_index("what").loc["is thrown up"]
    assert (chance["bad"], chance["runs"]) == (8, 8)
    assert "peak_rise_m_s" in set(found.spread["figure"])
    assert float(found.drivers.set_index("figure").loc["peak_rise_m_s", "rank_correlation"]) == pytest.approx(1.0)


def test_a_search_takes_it_for_its_goal_and_its_limit() -> None:
    found = find(
        "teasel", ["kerb-50"], ["hull.mass_kg=220,250,300"], ["peak_rise_m_s<2.9"], goal="peak_rise_m_s", how=HOW
    )
    assert found.best == {"hull.mass_kg": 220}


def test_a_baseline_guards_it(tmp_path: Path) -> None:
    text = shipped("vehicles", "teasel").read_text()
    (tmp_path / "v.toml").write_text(text)
    (tmp_path / "set.toml").write_text(
        'vehicles = ["v.toml"]\ncourses = ["kerb-50"]\n[tolerance]\npeak_rise_m_s = 0.01\n'
    )
    baseline = open_baseline(tmp_path / "set.toml")
    keep(baseline, HOW)
    mass = next(line for line in text.splitlines() if line.startswith("mass_kg"))
    (tmp_path / "v.toml").write_text(text.replace(mass, "mass_kg = 400.0", 1))
    moved = check(open_baseline(tmp_path / "set.toml"), HOW).moved.set_index("figure")
    assert moved.loc["peak_rise_m_s", "verdict"] == "worse"
