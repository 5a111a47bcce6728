"""The report page: the same bytes each time, closed to the network, safe with any name, well-formed."""

from __future__ import annotations

import dataclasses
import re
import subprocess
import sys
import xml.etree.ElementTree as ET
from pathlib import Path
from typing import Any

import numpy as np
import pandas as pd
import pytest
from record_parts import assembly_of, flat_ground, made, put, rolling

from trundle.errors import InputError
from trundle.findings import events as ev
from trundle.findings.finding import NUMBERED
from trundle.report.energy import account
from trundle.report.frame import LEFT_IN, LETTER_IN, RIGHT_IN, WIDE_IN, place_labels
from trundle.report.page import report_html, write_report
from trundle.report.thin import thin
from trundle.result.result import Result
from trundle.spec.course import Course
from trundle.terrain.slopes import Flat

NASTY = "<script>alert(\"x\")</script> & 'more'"


def result(vehicle: str = "teasel", title: str = "kerb", ended: str = "course end", **course: Any) -> Result:
    """A made-up run with a hit, a wheel off and a loose spell in it."""
    assembly = assembly_of(vehicle)
    t = rolling(assembly)
    joint, wheel = assembly.joint[0], assembly.wheel[-1]
    put(t, f"arm.{joint}.stop_N", 4.0, 0.05, 900.0)
    put(t, f"arm.{joint}.stop_N", 5.0, 0.05, -900.0)
    put(t, f"wheel.{wheel}.load_N", 5.0, 0.5, 0.0)
    if assembly.vehicle.track is not None:
        put(t, "track.slack_N", 5.0, 0.5, 0.0)
    spans = ((title, 6.0, 6.2), ("second", 9.0, 9.5))
    record = made(assembly, t, spans, ended)
    made_up = Course(obstacle=(Flat(kind="flat", length_mm=1000.0),), **course)
    return Result(
        assembly.vehicle,
        made_up,
        flat_ground(spans),
        assembly,
        record.timeline,
        record.events,
        record.summary,
    )


def text_of(page: str) -> str:
    """All text on the page, tags taken off, by an XML parser."""
    return "".join(ET.fromstring(page.replace("<!DOCTYPE html>", "")).itertext())


@pytest.mark.parametrize("vehicle", ["teasel", "barrow"])
def test_well_formed_and_complete(vehicle: str) -> None:
    """An XML parser takes the page; verdict, plots, inputs, cautions and limits of the model are there."""
    page = report_html(result(vehicle), "mass_kg = 1", "height_mm = 2")
    root = ET.fromstring(page.replace("<!DOCTYPE html>", ""))
    assert len(root.findall(".//figure/svg")) == (6 if vehicle == "teasel" else 5)
    text = text_of(page)
    for wanted in (
        "Kerb at 1.0 m/s",
        "mass_kg = 1",
        "height_mm = 2",
        "not a certificate",
        "kill switch",
        "licensed engineer",
        "What the model leaves out",
        "Where the energy went",
    ):
        assert wanted in text


def test_nothing_is_fetched() -> None:
    """No address, no script, no picture or style from elsewhere."""
    page = report_html(result(), "a = 1", "b = 2")
    assert not re.search(r"https?:|//[a-z]|<script|<img|<link|@import|url\((?!#)", page)
    references = re.findall(r'\b(?:href|src)="([^"]*)"', page)
    assert all(r.startswith("#") for r in references)


def test_every_reference_inside_the_page_has_its_target_once() -> None:
    """Clip paths and markers of several inline pictures do not get mixed up."""
    page = report_html(result(), "", "")
    ids = re.findall(r'\bid="([^"]*)"', page)
    wanted = set(re.findall(r'(?:href="#|url\(#)([^")]*)', page))
    assert wanted
    assert wanted <= set(ids)
    parts = {i: re.findall(rf'<(\w+)[^>]*\bid="{i}"[^>]*>\s*<?([^>]*)', page) for i in set(ids)}
    assert all(len(set(found)) == 1 for found in parts.values())  # twice only if the same thing


def test_markup_in_names_stays_text() -> None:
    """Names and file texts with tags in them come out as they were written, and as nothing else."""
    plain = report_html(result(), "", "")
    page = report_html(result(title=NASTY, name="<b>Yard</b>", note=NASTY), NASTY, f"# {NASTY}")
    assert "<script" not in page
    assert page.count("<b>") == plain.count("<b>")
    text = text_of(page)
    assert text.count(NASTY) >= 4
    assert "<b>Yard</b>" in text


def test_dollar_signs_and_control_characters_in_names_do_no_harm() -> None:
    """XML knows no control characters; letters of any alphabet stay."""
    page = report_html(result(title="kerb $\\frac{1$ _x_\x07 縁石"), "a = 1\x00\x1b[31m", "")
    assert text_of(page).count("kerb $\\frac{1$ _x_ 縁石") >= 5
    assert "a = 1[31m" in text_of(page)


def test_the_same_run_gives_the_same_bytes_in_another_process(tmp_path: Path) -> None:
    """Two fresh interpreters with different hash seeds."""
    script = (
        "import sys; sys.path.insert(0, sys.argv[1])\n"
        "from test_report_page import result, report_html\n"
        "open(sys.argv[2], 'w', encoding='utf-8').write(report_html(result(), 'a', 'b'))\n"
    )
    pages = []
    for seed in ("1", "2"):
        file = tmp_path / f"{seed}.html"
        subprocess.run(
            [sys.executable, "-c", script, str(Path(__file__).parent), str(file)],
            check=True,
            env={
                "PYTHONHASHSEED": seed,
                "PYTHONPATH": str(Path(__file__).parents[2]),
                "PATH": "/usr/bin:/bin",
            },
        )
        pages.append(file.read_bytes())
    assert pages[0] == pages[1]


def test_timing_and_folder_are_not_in_the_page(tmp_path: Path) -> None:
    """Only what was computed: another speed of the machine, another folder, the same page."""
    one, two = result(), result()
    one.summary["speed_times_real_time"], two.summary["speed_times_real_time"] = 123.0, 456.0
    (tmp_path / "a").mkdir()
    (tmp_path / "b").mkdir()
    first, second = write_report(one, tmp_path / "a", "", ""), write_report(two, tmp_path / "b", "", "")
    assert first.name == "report.html"
    assert first.read_bytes() == second.read_bytes()


def test_a_folder_that_cannot_be_written(tmp_path: Path) -> None:
    """One clear message."""
    with pytest.raises(InputError, match="cannot be written"):
        write_report(result(), tmp_path / "missing", "", "")


@pytest.mark.parametrize("ended", ["numbers blew up", "overturned", "stalled: the motor is at its limit"])
def test_a_run_that_ended_early_has_a_page_too(ended: str) -> None:
    """With the reason in it."""
    assert ended in text_of(report_html(result(ended=ended), "", ""))


def test_thinned_curves_keep_every_peak() -> None:
    """The greatest and least value, the ends and the order stay; the number of points is held down."""
    rng = np.random.default_rng(3)
    for n in (10, 1500, 1501, 20_000, 31_337):
        x, y = np.linspace(0.0, 1.0, n), rng.normal(size=n)
        tx, ty = thin(x, y)
        assert len(ty) <= 1504
        assert (ty.max(), ty.min(), ty[0], ty[-1]) == (y.max(), y.min(), y[0], y[-1])
        assert (np.diff(tx) > 0.0).all()


def test_labels_never_lie_over_each_other() -> None:
    """Many long names: rows first, then numbers; no two in one row overlap, none hangs over the edge."""
    for count in (1, 3, 8, 40, 300):
        spans = [(f"a rather long name {i}", i * 30.0 / count, i * 30.0 / count + 0.05) for i in range(count)]
        placed = place_labels(spans, 30.0, 8.0)
        assert placed
        for row in {p.row for p in placed}:
            ends = -1.0
            for p in sorted((p for p in placed if p.row == row), key=lambda p: p.x_m):
                half = 0.5 * len(p.text) * LETTER_IN / 8.0 * 30.0
                assert p.x_m - half >= ends - 1e-9
                ends = p.x_m + half
            assert ends <= 30.0 + 1e-9


def test_the_energy_account_adds_up() -> None:
    """What the motor put in is what was spent, held, moving and not accounted for."""
    t = rolling(assembly_of())
    last = len(t) - 1
    booked = {"motor": 900.0, "brake": -100.0, "slip": 50.0, "drag": 80.0, "stop": -40.0, "gravity": -300.0}
    for name, value in booked.items():
        t.loc[last, f"energy.{name}_J"] = value
    t.loc[last, "energy.stored_J"] = 12.0
    t.loc[last, "energy.error_J"] = 3.0
    lines = account(t)
    assert (lines[0].what, lines[0].joules) == ("put in by the motor", 900.0)
    assert sum(line.joules for line in lines[1:]) == pytest.approx(900.0)
    moving = next(line.joules for line in lines if "moving" in line.what)
    assert moving == pytest.approx(900.0 - 100.0 - 50.0 - 80.0 - 40.0 - 300.0 - 12.0 - 3.0)


def test_pictures_number_the_findings_as_the_table_does() -> None:
    """The worst three, each where the hull was then; the table counts all of them."""
    run = result()
    page = report_html(run, "", "")
    said = run.verdict.findings
    assert said
    rows = page.partition("The worst first")[2].partition("</table>")[0]
    assert re.findall(r'<td class="num">(\d+)</td>', rows) == [str(k + 1) for k in range(len(said))]
    x = run.timeline["hull.x_mm"].to_numpy() * 1e-3
    t = run.timeline["time_s"].to_numpy()
    picture = page.partition("Is the motor strong enough")[2].partition("</svg>")[0]
    wide = (WIDE_IN - LEFT_IN - RIGHT_IN) * 72.0
    lines = [float(m) for m in re.findall(r'd="M([\d.]+) [\d.]+v[\d.]+" [^>]*stroke-dasharray="2 2"', picture)]
    wanted = [
        LEFT_IN * 72.0 + float(np.interp(f.time_s, t, x)) / run.ground.length_m * wide
        for f in said[:NUMBERED]
        if f.has_moment
    ]
    assert lines == pytest.approx(sorted(wanted), abs=0.05)


def test_stops_and_backing_up_are_marked_below_the_speed() -> None:
    """In words and marks, where the run has them and nowhere else."""
    run = result()
    one = run.events.iloc[[0]]
    told = [one.assign(kind=kind, where="drive", course_mm=at) for kind, at in ((ev.WAIT, 3000.0), (ev.BACK, 5000.0))]

    def picture(of: Result) -> str:
        return report_html(of, "", "").partition("Is the motor strong enough")[2].partition("</svg>")[0]

    with_both = picture(dataclasses.replace(run, events=pd.concat([run.events, *told])))
    for kind in (ev.WAIT, ev.BACK):
        assert f">{kind}</text>" in with_both
        assert f">{kind}</text>" not in picture(run)
