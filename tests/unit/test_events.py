"""Events: what counts as one, how long it lasts, how hard it was, and which obstacle it is put down to."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Any

import numpy as np
import pandas as pd
import pytest
from record_parts import DT_S, assembly_of, flat_ground, made, put, rolling, wheel_offsets_m

from trundle.findings import events as ev
from trundle.findings.events import find_events, obstacle_at, wheels_of
from trundle.findings.events.finder import Finder
from trundle.findings.grades import Grade, Line, Subject
from trundle.findings.intervals import stretches
from trundle.findings.passage import footprint
from trundle.terrain.instructions import Task

KERB = (("kerb", 6.0, 6.125),)


def found(t: pd.DataFrame, kind: str, name: str = "teasel", spans: tuple[tuple[str, float, float], ...] = KERB):
    """Events of one kind."""
    all_of_them = find_events(t, assembly_of(name), flat_ground(spans))
    return all_of_them[all_of_them["kind"] == kind].reset_index(drop=True)


def test_nothing_happens_on_a_quiet_run() -> None:
    """An even roll has no events, and the empty table still has every column."""
    table = find_events(rolling(assembly_of()), assembly_of(), flat_ground(KERB))
    assert len(table) == 0
    assert list(table.columns) == list(ev.COLUMNS)


def test_hits_closer_than_the_joining_time_are_one() -> None:
    """Two touches 20 ms apart are one hit from first to last; 40 ms apart they are two."""
    for gap_s, hits in ((0.020, 1), (0.040, 2)):
        t = rolling(assembly_of())
        put(t, "arm.front.fore.stop_N", 2.0, 0.030, 800.0)
        put(t, "arm.front.fore.stop_N", 2.030 + gap_s, 0.010, 1500.0)
        table = found(t, ev.BUMP)
        assert len(table) == hits
        assert table["peak_N"].max() == 1500.0
        assert table["duration_s"].sum() == pytest.approx(0.040 + (gap_s if hits == 1 else 0.0))


def test_bump_and_droop_are_told_apart_by_the_sign_of_the_force() -> None:
    """A negative stop force is the droop stop's, reported as a positive peak."""
    t = rolling(assembly_of())
    put(t, "arm.rear.aft.stop_N", 1.0, 0.02, -700.0)
    put(t, "arm.rear.aft.stop_N", 3.0, 0.02, 900.0)
    assert found(t, ev.DROOP)[["where", "peak_N"]].to_numpy().tolist() == [["rear.aft", 700.0]]
    assert found(t, ev.BUMP)[["where", "peak_N"]].to_numpy().tolist() == [["rear.aft", 900.0]]


def test_closing_speed_and_energy_of_a_hit() -> None:
    """An arm closing evenly: speed is rate x arm length, energy is force x path (closed form)."""
    assembly = assembly_of()
    t = rolling(assembly)
    rate_deg_s, force, lasts = -90.0, 1000.0, 0.05
    angle = t["arm.front.fore.angle_deg"].iloc[0] + rate_deg_s * np.clip(t["time_s"] - 1.9, 0.0, 0.5)
    t["arm.front.fore.angle_deg"] = angle
    put(t, "arm.front.fore.stop_N", 2.0, lasts, force)
    hit = found(t, ev.BUMP).iloc[0]
    arm_m = assembly.parts.swings[assembly.joint.index("front.fore")].radius
    speed_m_s = np.radians(-rate_deg_s) * arm_m
    assert hit["closing_mm_s"] == pytest.approx(1e3 * speed_m_s, rel=1e-6)
    assert hit["energy_J"] == pytest.approx(force * speed_m_s * lasts, rel=1e-6)


def test_a_wheel_off_has_its_duration_and_height() -> None:
    """Off for 0.2 s, 30 mm higher than where it would just touch; 5 ms off is not worth a line."""
    assembly = assembly_of()
    t = rolling(assembly)
    put(t, "wheel.rear.aft.load_N", 4.0, 0.2, 0.0)
    put(t, "wheel.front.fore.load_N", 4.0, 0.005, 0.0)
    radius_mm = 1e3 * float(assembly.model.rings["radius"][assembly.wheel.index("rear.aft")])
    put(t, "wheel.rear.aft.y_mm", 4.0, 0.2, radius_mm + 30.0)
    table = found(t, ev.OFF)
    assert table["where"].tolist() == ["rear.aft"]
    assert table["duration_s"][0] == pytest.approx(0.2)
    assert table["height_mm"][0] == pytest.approx(30.0)
    assert table["time_s"][0] == pytest.approx(4.001)  # the first row is one step after the start


def test_an_event_belongs_to_the_obstacle_its_wheel_is_at() -> None:
    """The course position is the wheel's, not the hull's, and names the obstacle there."""
    t = rolling(assembly_of(), from_m=1.0)
    ahead = wheel_offsets_m(assembly_of())["front.fore"]
    put(t, "arm.front.fore.stop_N", 5.0 - ahead, 0.01, 500.0)
    hit = found(t, ev.BUMP).iloc[0]
    assert hit["course_mm"] == pytest.approx(6000.0, abs=2.0)
    assert hit["obstacle"] == "kerb"


def test_a_rear_arm_pressed_down_by_a_kerb_under_the_front_is_put_down_to_the_kerb() -> None:
    """No obstacle within reach of the wheel, but one under the vehicle: that one."""
    t = rolling(assembly_of(), from_m=4.3)
    put(t, "arm.rear.aft.stop_N", 1.0, 0.01, 500.0)  # hull at 5.3 m, its nose beyond 6 m
    assert found(t, ev.BUMP)["obstacle"].tolist() == ["kerb"]
    t = rolling(assembly_of(), from_m=1.0)
    put(t, "arm.rear.aft.stop_N", 1.0, 0.01, 500.0)  # hull at 2 m: nothing near
    assert found(t, ev.BUMP)["obstacle"].tolist() == [""]


def test_standing_still_is_put_down_to_what_the_front_has_met() -> None:
    """Over one obstacle with the nose on the next, it is the next that stops it."""
    t = rolling(assembly_of(), from_m=4.3)
    put(t, "hull.speed_m_s", 1.0, 0.5, 0.0)
    spans = (("hump", 4.8, 5.4), ("wall", 6.05, 6.3))
    assert found(t, ev.STILL, spans=spans)["obstacle"].tolist() == ["wall"]


def test_nearest_obstacle_within_reach() -> None:
    """Inside counts as no distance; beyond the reach, and with nothing under the vehicle, there is none."""
    ground = flat_ground((("a", 2.0, 3.0), ("b", 3.2, 4.0)))
    assert obstacle_at(ground, 3.05) == "a"
    assert obstacle_at(ground, 3.15) == "b"
    assert obstacle_at(ground, 3.5) == "b"
    assert obstacle_at(ground, 5.0) == ""
    assert obstacle_at(ground, 5.0, 3.5, 6.0) == "b"
    assert obstacle_at(flat_ground(()), 1.0) == ""


def test_track_events() -> None:
    """Loose, clear of the guide tooth and over the stated limit, each with its size."""
    track = assembly_of().vehicle.track
    assert track is not None
    assert track.tension_limit_N is not None
    t = rolling(assembly_of())
    put(t, "track.slack_N", 1.0, 0.3, 0.0)
    put(t, "track.spare_mm", 1.1, 0.1, 12.0)
    put(t, "wheel.middle.fore.band_gap_mm", 2.0, 0.05, track.tooth_mm + 5.0)
    put(t, "track.tight_N", 3.0, 0.02, track.tension_limit_N + 500.0)
    loose, tooth, tight = found(t, ev.LOOSE), found(t, ev.TOOTH), found(t, ev.TIGHT)
    assert loose[["duration_s", "height_mm"]].to_numpy().ravel() == pytest.approx([0.3, 12.0])
    assert tooth[["where", "height_mm"]].to_numpy().tolist() == [["middle.fore", track.tooth_mm + 5.0]]
    assert tight["peak_N"].tolist() == [track.tension_limit_N + 500.0]


def test_a_beam_stop_is_placed_between_the_wheels_it_carries() -> None:
    """An arm that carries a beam carries the beam's wheels."""
    name = next(n for n in ("mole", "otter", "wren", "barrow", "teasel") if _beam(n) is not None)
    assembly, joint = assembly_of(name), _beam(name)
    assert joint is not None
    carried = wheels_of(assembly.parts, joint)
    assert len(carried) == 2
    t = rolling(assembly)
    put(t, f"arm.{assembly.joint[joint]}.stop_N", 2.0, 0.02, 300.0)
    offsets = wheel_offsets_m(assembly)
    middle = np.mean([offsets[w] for w in carried])
    hit = found(t, ev.BUMP, name).iloc[0]
    assert hit["course_mm"] == pytest.approx(1e3 * (3.0 + DT_S + middle), abs=0.1)


def _beam(name: str) -> int | None:
    parts = assembly_of(name).parts
    return next((i for i, p in enumerate(parts.swings) if p.what == "beam"), None)


def test_footprint_reaches_from_the_last_to_the_foremost_point() -> None:
    """With the track on, sprocket and idler stick out beyond the hull."""
    assembly = assembly_of()
    track = assembly.vehicle.track
    assert track is not None
    t = rolling(assembly)
    tail, nose = footprint(t, assembly)
    x = t["hull.x_mm"].to_numpy() * 1e-3 - assembly.com[0]
    rear = track.sprocket.at_mm[0] * 1e-3 - float(assembly.model.rings["radius"][-2])
    front = track.idler.at_mm[0] * 1e-3 + float(assembly.model.rings["radius"][-1])
    assert tail == pytest.approx(x + rear)
    assert nose == pytest.approx(x + front)


def test_stretches() -> None:
    """Runs of True with their ends; short gaps are bridged on request."""
    holds = np.array([1, 1, 0, 1, 0, 0, 0, 1], dtype=bool)
    assert stretches(holds) == [(0, 2), (3, 4), (7, 8)]
    assert stretches(holds, 1) == [(0, 4), (7, 8)]
    assert stretches(~np.ones(5, dtype=bool)) == []


def test_every_kind_fills_the_sizes_that_it_says() -> None:
    """All kinds at once on a tracked vehicle: each row has a kind that is known, its sizes and no others."""
    track = assembly_of().vehicle.track
    assert track is not None
    assert track.tension_limit_N is not None
    t = rolling(assembly_of())
    put(t, "arm.front.fore.stop_N", 1.0, 0.02, 700.0)
    put(t, "arm.front.fore.stop_N", 2.0, 0.02, -700.0)
    put(t, "wheel.rear.aft.load_N", 3.0, 0.1, 0.0)
    put(t, "wheel.middle.fore.band_gap_mm", 3.0, 0.1, track.tooth_mm + 5.0)
    put(t, "belly.load_N", 4.0, 0.1, 300.0)
    put(t, "idler.load_N", 5.0, 0.1, 300.0)
    put(t, "track.slack_N", 6.0, 0.1, 0.0)
    put(t, "track.tight_N", 7.0, 0.1, track.tension_limit_N + 1.0)
    put(t, "drive.grip_used", 8.0, 0.2, 1.0)
    put(t, "hull.speed_m_s", 9.0, 0.5, 0.0)
    for name, value in (("drive.target_m_s", 0.0), ("drive.brake_holds", 1.0), ("drive.push_N", -450.0)):
        put(t, name, 4.3, 0.4, value)
    put(t, "drive.target_m_s", 4.8, 0.1, -0.3)
    told = replace(flat_ground(KERB), tasks=(Task(5.3, 0.4, 5.3, 0.0, "stop"),))
    table = find_events(t, assembly_of(), told)
    assert set(table["kind"]) == {kind.name for kind in ev.KINDS}
    for kind in ev.KINDS:
        filled = table[table["kind"] == kind.name][list(ev.SIZES)].notna().all()
        assert set(filled.index[filled]) == set(kind.sizes), kind.name


def test_a_new_kind_is_one_entry(monkeypatch: pytest.MonkeyPatch) -> None:
    """It is found, and the verdict tells of it: on its obstacle, and over the whole course."""

    def find(f: Finder) -> Iterator[dict[str, Any]]:
        for _, _, row in f.spells(f.col("hull.pitch_deg") > 20.0, f.col("hull.x_mm"), "steep", "hull"):
            yield row

    def said(steep: ev.Events, _: ev.About) -> list[Line]:
        return [Line(Grade.RISK, f"Steep {len(steep)} times.")] if len(steep) else []

    kind = ev.EventKind("steep", Subject.HULL, (), find, said)
    # Both the search and the verdict hold the table.
    monkeypatch.setattr(ev, "KINDS", (*ev.KINDS, kind))
    t = rolling(assembly_of())
    put(t, "hull.pitch_deg", 5.0, 0.1, 25.0)
    record = made(assembly_of(), t, KERB)
    assert list(record.events["kind"]) == ["steep"]
    assert "Steep 1 times." in record.said.obstacles[0].detail
    section = next(s for s in record.said.sections if s.title == Subject.HULL)
    assert Line(Grade.RISK, "Steep 1 times.") in section.lines
