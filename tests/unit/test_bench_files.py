"""Vehicles on the bench by how they are written: short files, ones that do not stand, changes given as options."""

from __future__ import annotations

from pathlib import Path

import pygame
import pytest
from bench_parts import bench_of, drag, key, move, place, press, release, type_in
from test_cli_refusals import call
from test_short_files import LIKE, row_text

from trundle.spec.shipped import find
from trundle.spec.vehicle import load_vehicle
from trundle_viewer.bench.figures import against, figures


@pytest.mark.parametrize(("text", "rear"), [(LIKE, "rear"), (row_text(), "road3")])
def test_one_bogie_of_a_short_file_is_changed_and_saved_alone(tmp_path: Path, text: str, rear: str) -> None:
    """The file written gives the vehicle back; the others stay as they are written once."""
    file = tmp_path / "short.toml"
    file.write_text(text, encoding="utf-8")
    bench = bench_of(file, tmp_path)
    try:
        bench.choice.alike = False
        before = bench.vehicle
        drag(bench, f"bogie.{rear}.at_mm", 8.0, 0.0)
        assert bench.refused == ()
        assert [n for n in before.bogie if before.bogie[n] != bench.vehicle.bogie[n]] == [rear]
        key(bench, pygame.K_s, pygame.KMOD_CTRL)
        saved = tmp_path / "short-bench.toml"
        assert bench.saved == saved, bench.sheet.message
        assert load_vehicle(saved).model_dump() == bench.vehicle.model_dump()
        assert file.read_text(encoding="utf-8") == text
        assert "# plates, motor, battery and one rider" in saved.read_text(encoding="utf-8")
    finally:
        bench.close()


def test_a_vehicle_that_does_not_stand_is_mended_on_the_bench(tmp_path: Path) -> None:
    file = tmp_path / "long.toml"
    text = find("vehicles", "teasel").read_text(encoding="utf-8")
    file.write_text(text.replace("links = 82", "links = 90"), encoding="utf-8")
    bench = bench_of(file, tmp_path)
    try:
        assert bench.good is None
        (problem,) = bench.refused
        assert "the track is too long" in problem.problem
        while bench.choice.part != "track":
            key(bench, pygame.K_PAGEDOWN)
        assert bench.design.fields("track")[bench.choice.row].path == "track.links"
        type_in(bench, "82")
        bench.tick(0.0)
        assert bench.known
        assert bench.good is not None
        rows = against((), figures(bench.good))
        assert {r.before.shown for r in rows} == {"\N{EN DASH}"}
        assert all(r.verdict == 0 for r in rows)
    finally:
        bench.close()


def test_options_are_changes_against_the_file(tmp_path: Path) -> None:
    bench = bench_of("otter", tmp_path, bogie__two__arm__arm_mm=210.0)
    try:
        assert bench.first is not None
        assert bench.good is not None
        assert bench.design.changes() == ["bogie.two.arm.arm_mm 200 to 210"]
        assert bench.first.vehicle.bogie["two"] != bench.good.vehicle.bogie["two"]
        key(bench, pygame.K_z, pygame.KMOD_CTRL)
        assert bench.settle()
        assert bench.good.sheet == bench.first.sheet
    finally:
        bench.close()


def test_a_spring_seat_is_taken_hold_of_where_its_table_marks_it(tmp_path: Path) -> None:
    """Of a coil between seats: its upper seat on the hull, measured from the pivot."""
    bench = bench_of("mole", tmp_path)
    try:
        before = bench.design.value("bogie.front.spring.anchor_mm")
        assert isinstance(before, tuple)
        press(bench, *place(bench, "bogie.front.spring.anchor_mm"))
        release(bench)
        drag(bench, "bogie.front.spring.anchor_mm", 0.0, 12.0)
        after = bench.design.value("bogie.front.spring.anchor_mm")
        assert isinstance(after, tuple)
        assert after[1] - before[1] == pytest.approx(12.0, abs=1.0 / bench.picture.camera.scale + 1.0)
        assert bench.known
    finally:
        bench.close()


def test_a_picture_of_the_bench_without_a_screen(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    monkeypatch.delenv("SDL_VIDEODRIVER", raising=False)
    args = ["watch", "teasel", "--frame", "0", "bench.png", "--set", "bogie.*.at_mm=[1520, -10]"]
    code, _, err = call(capsys, *args)
    assert code == 2
    assert "overlap" in err
    code, out, err = call(capsys, *args[:-1], "bogie.*.stops.bump_below_level_deg=-4")
    assert (code, err) == (0, "")
    assert "bench.png" in out
    image = pygame.image.load(str(tmp_path / "bench.png"))
    assert image.get_size() == (1280, 720)
    # Picture and panel both have something drawn: many colours in each.
    for x0, x1 in ((0, 860), (880, 1280)):
        seen = {tuple(image.get_at((x, y))) for x in range(x0, x1, 3) for y in range(0, 680, 3)}
        assert len(seen) > 100


@pytest.mark.parametrize(
    "vehicle", ["barrow", *(pytest.param(v, marks=pytest.mark.slow) for v in ("mole", "otter", "teasel", "wren"))]
)
def test_a_hand_that_tears_at_everything_breaks_nothing(tmp_path: Path, vehicle: str) -> None:
    """Every handle of a vehicle to two corners of the picture: taken, refused with a reason, or left as it was."""
    bench = bench_of(vehicle, tmp_path)
    try:
        for path in dict.fromkeys(h.path for h in bench.handles()):
            x, y = place(bench, path)
            press(bench, x, y)
            assert bench.grip is not None
            for corner in ((0, 0), (870, 680)):
                move(bench, *corner)
            assert bench.settle()
            assert bench.known or bench.refused
            release(bench)
            key(bench, pygame.K_r, pygame.KMOD_CTRL)
            assert bench.design.now == {}
            assert bench.settle()
            assert bench.known
    finally:
        bench.close()
