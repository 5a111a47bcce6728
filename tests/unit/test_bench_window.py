"""The bench under a display that shows nothing: parts are dragged and typed, figures follow, nothing is lost."""

from __future__ import annotations

import math
import time
from collections.abc import Iterator
from pathlib import Path

import pygame
import pytest
from bench_parts import bench_of, drag, key, move, place, press, release, type_in

from trundle.papers.loads import by_factor
from trundle.papers.standing import standing_sheet
from trundle.papers.strength import strength
from trundle.result.inputs import vehicle_input
from trundle.spec.shipped import find
from trundle.spec.vehicle import load_vehicle
from trundle_viewer.bench.actions import ACTIONS
from trundle_viewer.bench.app import Bench
from trundle_viewer.bench.bar import BUTTONS
from trundle_viewer.bench.figures import against, figures
from trundle_viewer.bench.panel import WIDE


@pytest.fixture(scope="module")
def kept(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Bench]:
    one = bench_of("teasel", tmp_path_factory.mktemp("bench"))
    yield one
    one.close()


@pytest.fixture
def bench(kept: Bench, tmp_path: Path) -> Bench:
    """As if it had just been opened."""
    kept.design.reset()
    kept.again()
    kept.choice.part, kept.choice.alike, kept.choice.typing = "", True, None
    kept.folder, kept.saved = tmp_path, None
    kept.sheet.help, kept.sheet.courses = False, None
    kept.settle()
    kept.tick(0.0)
    return kept


def pixel(bench: Bench) -> float:
    """How far a hand can be off [mm]: a pixel, and half of what it snaps to."""
    return 1.0 / bench.picture.camera.scale + 0.5


def test_a_pivot_that_is_dragged_changes_its_field_and_the_figures_are_the_sheets(bench: Bench) -> None:
    before = bench.good.sheet.front_mm
    drag(bench, "bogie.front.at_mm", 40.0, -20.0)
    x, y = bench.vehicle.bogie["front"].at_mm
    assert (x, y) == (pytest.approx(1564.0, abs=pixel(bench)), pytest.approx(-20.0, abs=pixel(bench)))
    assert (x, y) == (round(x), round(y))
    assert bench.known
    assert bench.good.sheet.front_mm > before + 10.0
    mine = standing_sheet(bench.vehicle, adjusters=False)
    assert bench.good.sheet.heights == mine.heights
    assert bench.good.sheet.wheels == mine.wheels
    assert bench.design.at_first("bogie.front.at_mm") == (1524.0, 0.0)


def test_the_table_holds_now_against_the_vehicle_as_opened_not_the_last_nudge(bench: Bench) -> None:
    first = bench.first.sheet.front_mm
    for _ in range(2):
        drag(bench, "bogie.front.at_mm", 0.0, -10.0)
    row = next(r for r in against(figures(bench.first), figures(bench.good)) if r.now.name == "height, front")
    assert row.before.value == first
    assert row.now.value == bench.good.sheet.front_mm
    assert row.change == pytest.approx(round(bench.good.sheet.front_mm) - round(first))
    assert row.change >= 15.0


def test_the_least_margin_is_the_sheets(bench: Bench) -> None:
    at = bench.pose.assembly
    sheet = standing_sheet(bench.vehicle, adjusters=False)
    assert bench.good is not None
    least = min(strength(at, by_factor(sheet)), key=lambda m: m.margin)
    assert bench.good.least is not None
    assert (bench.good.least.kind, bench.good.least.margin) == (least.kind, pytest.approx(least.margin, rel=1e-9))


@pytest.mark.parametrize(
    ("path", "along", "up", "value"),
    [
        ("bogie.middle.arm_mm", -15.0, 0.0, 185.0),
        ("track.idler.at_mm", 5.0, 0.0, (2010.0, 60.0)),
        ("track.roller.1.at_mm", 30.0, 10.0, (611.0, 220.0)),
        ("hull.com_mm", -30.0, 20.0, (840.0, 270.0)),
        ("hull.seat_mm", 50.0, 0.0, (820.0, 330.0)),
        ("track.sprocket.at_mm", 0.0, 8.0, (-160.0, 88.0)),
    ],
)
def test_each_part_follows_the_hand(
    bench: Bench, path: str, along: float, up: float, value: float | tuple[float, float]
) -> None:
    bench.choice.alike = False
    drag(bench, path, along, up)
    assert bench.design.value(path) == pytest.approx(value, abs=pixel(bench) + 0.6)
    assert bench.choice.part == ".".join(path.split(".")[:-1])


def test_a_stop_moves_on_its_arc(bench: Bench) -> None:
    """Where its pad is drawn the pointer is, at the angle of the pointer about the pivot."""
    path = "bogie.front.stops.droop_below_level_deg"
    pivot = place(bench, "bogie.front.at_mm")
    apart = 0.5 * bench.vehicle.bogie["front"].pivots_apart_mm * bench.picture.camera.scale  # type: ignore[attr-defined]
    x, y = place(bench, path)
    reach = math.hypot(x - pivot[0] - apart, y - pivot[1])
    press(bench, x, y)
    to = math.radians(40.0)
    move(bench, pivot[0] + apart + reach * math.cos(to), pivot[1] + reach * math.sin(to))
    release(bench)
    assert bench.settle()
    assert bench.design.value(path) == pytest.approx(40.0, abs=math.degrees(1.5 / reach) + 0.5)


def test_a_wheel_is_taken_at_its_tyre(bench: Bench) -> None:
    wheel = next(h for h in bench.handles() if h.path == "wheel.road.radius_mm")
    assert wheel.rim is not None
    drag(bench, "wheel.road.radius_mm", -10.0, 0.0)
    assert bench.vehicle.wheel["road"].radius_mm == pytest.approx(85.0, abs=pixel(bench))


def test_alike_bogies_change_together_or_one_alone(bench: Bench) -> None:
    drag(bench, "bogie.middle.arm_mm", -10.0, 0.0)
    arms = {bench.design.value(f"bogie.{n}.arm_mm") for n in ("front", "middle", "rear")}
    assert len(arms) == 1
    assert arms != {200.0}
    key(bench, pygame.K_a)
    drag(bench, "bogie.middle.arm_mm", -10.0, 0.0)
    assert bench.design.value("bogie.front.arm_mm") == bench.design.value("bogie.rear.arm_mm")
    assert bench.design.value("bogie.middle.arm_mm") != bench.design.value("bogie.front.arm_mm")


def test_alike_pivots_keep_their_own_place_along_the_hull(bench: Bench) -> None:
    drag(bench, "bogie.front.at_mm", 0.0, -10.0)
    _, y = bench.design.value("bogie.front.at_mm")  # type: ignore[misc]
    assert y < -5.0
    assert bench.design.value("bogie.rear.at_mm") == (236.0, y)


def test_undo_redo_and_reset(bench: Bench) -> None:
    states = [bench.vehicle.hull.com_mm]
    for _ in range(2):
        drag(bench, "hull.com_mm", -20.0, 0.0)
        states.append(bench.vehicle.hull.com_mm)
    assert len(set(states)) == 3
    key(bench, pygame.K_z, pygame.KMOD_CTRL)
    assert bench.vehicle.hull.com_mm == states[1]
    key(bench, pygame.K_z, pygame.KMOD_CTRL)
    assert bench.vehicle.hull.com_mm == states[0]
    key(bench, pygame.K_y, pygame.KMOD_CTRL)
    key(bench, pygame.K_z, pygame.KMOD_CTRL | pygame.KMOD_SHIFT)
    assert bench.vehicle.hull.com_mm == states[2]
    drag(bench, "hull.seat_mm", 30.0, 0.0)
    key(bench, pygame.K_DELETE)
    assert "hull.seat_mm" not in bench.design.now
    assert bench.vehicle.hull.com_mm == states[2]
    key(bench, pygame.K_r, pygame.KMOD_CTRL)
    assert bench.design.now == {}
    assert bench.settle()
    assert bench.good.sheet == bench.first.sheet


def test_a_drag_is_one_state_and_escape_takes_it_back(bench: Bench) -> None:
    drag(bench, "hull.com_mm", -40.0, 0.0)
    there = bench.vehicle.hull.com_mm
    drag(bench, "hull.com_mm", -40.0, 0.0, let_go=False)
    assert bench.vehicle.hull.com_mm != there
    key(bench, pygame.K_ESCAPE)
    assert bench.vehicle.hull.com_mm == there
    release(bench)
    key(bench, pygame.K_z, pygame.KMOD_CTRL)
    assert bench.vehicle.hull.com_mm == (870.0, 250.0)


def test_a_number_is_typed_in_the_builders_own_unit(bench: Bench) -> None:
    press(bench, *place(bench, "bogie.front.arm_mm"))
    release(bench)
    type_in(bench, "190,5")
    assert [bench.design.value(f"bogie.{n}.arm_mm") for n in ("front", "middle", "rear")] == [190.5] * 3
    type_in(bench, "7 3/4 in")
    # 7.75 inches of 25.4 mm.
    assert bench.vehicle.bogie["front"].arm_mm == pytest.approx(196.85)  # type: ignore[attr-defined]
    before = dict(bench.design.now)
    type_in(bench, "8 kg")
    assert "a length is wanted" in bench.choice.note
    type_in(bench, "-5")
    assert "out of range" in bench.choice.note
    assert bench.design.now == before


def test_what_cannot_be_is_said_where_it_is_and_the_last_figures_stay(bench: Bench) -> None:
    bench.choice.alike = False
    good = bench.good
    drag(bench, "bogie.front.at_mm", -300.0, 0.0)
    assert not bench.known
    (problem, *_) = bench.refused
    assert "overlap" in problem.problem
    assert problem.field.startswith("bogie.")
    assert bench.good.vehicle.bogie["front"].at_mm[0] > bench.vehicle.bogie["front"].at_mm[0]
    key(bench, pygame.K_z, pygame.KMOD_CTRL)
    assert bench.settle()
    assert bench.known
    assert bench.good.sheet == good.sheet


def test_arms_that_spring_and_stop_cannot_be_put_together_with_are_drawn_as_wanted(bench: Bench) -> None:
    press(bench, *place(bench, "bogie.front.arm_mm"))
    release(bench)
    type_in(bench, "150")
    assert bench.refused
    assert bench.apart
    bench.dirty = True
    bench.tick(0.0)


def test_a_saved_file_keeps_comments_and_gives_the_vehicle_back(bench: Bench, tmp_path: Path) -> None:
    drag(bench, "bogie.front.at_mm", 0.0, -12.0)
    drag(bench, "hull.com_mm", -20.0, 0.0)
    key(bench, pygame.K_s, pygame.KMOD_CTRL)
    out = tmp_path / "teasel-bench.toml"
    assert bench.saved == out
    assert load_vehicle(out) == bench.vehicle
    source = find("vehicles", "teasel").read_text()
    comments = [line.split("#", 1)[1] for line in source.splitlines() if "#" in line]
    assert comments
    assert all(c in out.read_text() for c in comments)
    # Again over its own, and not over another's.
    key(bench, pygame.K_s, pygame.KMOD_CTRL)
    assert [p.name for p in tmp_path.iterdir()] == ["teasel-bench.toml"]
    bench.saved = None
    key(bench, pygame.K_s, pygame.KMOD_CTRL)
    assert (tmp_path / "teasel-bench-2.toml").exists()
    assert find("vehicles", "teasel").read_text() == source


def test_the_options_that_are_printed_make_the_same_vehicle(bench: Bench) -> None:
    drag(bench, "bogie.front.at_mm", 0.0, -12.0)
    drag(bench, "track.roller.2.at_mm", 15.0, 5.0)
    words = bench.design.options().replace("'", "").split()
    settings = [w for w in words if w != "--set"]
    from trundle.spec.reader import parse_settings

    again = vehicle_input("teasel", parse_settings(settings)).vehicle
    assert again.model_dump() == bench.vehicle.model_dump()


def test_what_cannot_be_is_not_saved(bench: Bench, tmp_path: Path) -> None:
    bench.choice.alike = False
    drag(bench, "bogie.front.at_mm", -300.0, 0.0)
    key(bench, pygame.K_s, pygame.KMOD_CTRL)
    assert not list(tmp_path.iterdir())
    assert "not saved" in bench.sheet.message


def test_over_a_course_and_back_with_everything_kept(bench: Bench) -> None:
    drag(bench, "hull.com_mm", -20.0, 0.0)
    changed = dict(bench.design.now)
    key(bench, pygame.K_r)
    assert bench.sheet.courses is not None
    while bench.sheet.courses.files[bench.sheet.courses.chosen].stem != "kerb-50":
        key(bench, pygame.K_DOWN)
    key(bench, pygame.K_RETURN)
    assert bench.rolling is not None
    film = bench.rolling.view.film
    assert film.vehicle.hull.com_mm == bench.vehicle.hull.com_mm
    until = time.monotonic() + 60.0
    while film.end_s < 0.5 and time.monotonic() < until:
        bench.tick(0.02)
    assert film.end_s >= 0.5
    key(bench, pygame.K_ESCAPE)
    bench.tick(0.0)
    assert bench.rolling is None
    assert not bench.closed
    assert bench.design.now == changed
    key(bench, pygame.K_r)
    assert bench.sheet.courses.files[0].stem == "kerb-50"
    key(bench, pygame.K_ESCAPE)


@pytest.mark.parametrize("size", [(1280, 720), (1920, 1080), (640, 480)])
def test_the_panel_covers_nothing_of_the_vehicle(bench: Bench, size: tuple[int, int]) -> None:
    bench.screen = pygame.display.set_mode(size, pygame.RESIZABLE)
    pygame.event.post(pygame.event.Event(pygame.VIDEORESIZE, size=size, w=size[0], h=size[1]))
    bench.tick(0.0)
    u = max(0.5, min(size[0] / 1280, size[1] / 720))
    assert bench.panel.rect.width == round(WIDE * u)
    for path in ("track.idler.at_mm", "track.sprocket.at_mm", "hull.com_mm"):
        assert bench.picture.rect.collidepoint(place(bench, path))
    assert not bench.panel.rect.colliderect(bench.picture.rect)
    bench.screen = pygame.display.set_mode((1280, 720), pygame.RESIZABLE)
    pygame.event.post(pygame.event.Event(pygame.VIDEORESIZE, size=(1280, 720), w=1280, h=720))
    bench.tick(0.0)


def test_every_key_and_button_does_something_without_fail(bench: Bench) -> None:
    for action in ACTIONS:
        if action.name == "quit":
            continue
        for code in action.keys:
            key(bench, code, pygame.KMOD_CTRL if action.ctrl else 0)
            key(bench, pygame.K_ESCAPE if action.name in ("help", "roll", "type") else 0)
    named = {a.name for a in ACTIONS}
    assert {name for name, _ in BUTTONS} <= named
    for rect, name in list(bench.bar.spots):
        press(bench, *rect.center)
        release(bench)
        if name in ("help", "roll"):
            key(bench, pygame.K_ESCAPE)
    assert not bench.closed
    assert bench.settle()


def test_a_click_on_a_field_chooses_it_and_arrows_nudge_by_its_own_step(bench: Bench) -> None:
    key(bench, pygame.K_TAB)
    assert bench.choice.part == "hull"
    key(bench, pygame.K_PAGEDOWN)
    key(bench, pygame.K_PAGEDOWN)
    assert bench.choice.part == "bogie.front"
    fields = bench.design.fields("bogie.front")
    k = next(k for k, f in enumerate(fields) if f.path.endswith("arm_mm"))
    rect = next(r for r, n in bench.choice.spots if n == k)
    press(bench, *rect.center)
    release(bench)
    key(bench, pygame.K_LEFT)
    # arm_mm says of itself that a builder changes it by 10 mm.
    assert bench.design.value("bogie.front.arm_mm") == 190.0
    assert bench.design.value("bogie.rear.arm_mm") == 190.0
