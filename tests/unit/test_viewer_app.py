"""The window's loop under a display that shows nothing: events in, state and files out."""

from __future__ import annotations

import time
import tomllib
from collections.abc import Iterator
from pathlib import Path

import pygame
import pytest
from viewer_parts import film, keep, result

from trundle.errors import InputError
from trundle.findings.events import BUMP
from trundle.spec.shipped import find
from trundle.spec.vehicle import load_vehicle
from trundle_viewer import tweak, window
from trundle_viewer.actions import ACTIONS
from trundle_viewer.app import App
from trundle_viewer.camera import STILL, WHEEL
from trundle_viewer.film import film_of_folder, film_of_result
from trundle_viewer.live import start
from trundle_viewer.readings import measured_words


@pytest.fixture
def app(tmp_path: Path) -> Iterator[App]:
    one = App(film_of_folder(keep(tmp_path / "run")), size=(1280, 720), folder=tmp_path)
    one.view.playing = False
    one.tick(0.0)
    yield one
    if not one.closed or pygame.display.get_init():
        one.close()


def key(app: App, code: int, mod: int = 0, text: str = "") -> None:
    pygame.event.post(pygame.event.Event(pygame.KEYDOWN, key=code, mod=mod, unicode=text))
    app.tick(0.0)


def click(app: App, x: float, y: float) -> None:
    at = (round(x), round(y))
    pygame.event.post(pygame.event.Event(pygame.MOUSEMOTION, pos=at, rel=(0, 0), buttons=(0, 0, 0)))
    pygame.event.post(pygame.event.Event(pygame.MOUSEBUTTONDOWN, pos=at, button=1))
    pygame.event.post(pygame.event.Event(pygame.MOUSEBUTTONUP, pos=at, button=1))
    app.tick(0.0)


def press(app: App, action: str) -> None:
    rect = next(r for r, b in app.painter.toolbar.spots if b.action == action)
    click(app, *rect.center)


def test_space_plays_and_time_passes_at_the_chosen_speed(app: App) -> None:
    key(app, pygame.K_SPACE)
    begin = app.view.time_s
    app.tick(0.05)
    assert app.view.time_s == pytest.approx(begin + 0.05)
    for _ in range(9):
        key(app, pygame.K_DOWN)
    assert app.view.speed == 0.05
    begin = app.view.time_s
    app.tick(0.1)
    assert app.view.time_s == pytest.approx(begin + 0.005)
    for _ in range(9):
        key(app, pygame.K_UP)
    assert app.view.speed == 4.0
    key(app, pygame.K_END)
    app.tick(0.1)
    assert not app.view.playing


def test_steps_and_jumps(app: App) -> None:
    key(app, pygame.K_PERIOD)
    key(app, pygame.K_PERIOD)
    assert app.view.row == 2
    key(app, pygame.K_COMMA)
    assert app.view.row == 1
    key(app, pygame.K_PERIOD, pygame.KMOD_SHIFT)
    assert app.view.row == 11
    key(app, pygame.K_RIGHT)
    assert app.view.row == 511
    key(app, pygame.K_HOME)
    assert app.view.row == 0


def test_the_next_event_is_the_next_event(app: App) -> None:
    rows = sorted({e.row for e in app.view.film.events})
    key(app, pygame.K_n)
    key(app, pygame.K_PAGEDOWN)
    assert app.view.row == rows[1]
    key(app, pygame.K_p)
    assert app.view.row == rows[0]
    press(app, "next event")
    assert app.view.row == rows[1]


def test_a_tick_on_the_strip_goes_to_its_event(app: App) -> None:
    strip, f = app.painter.strip, app.view.film
    event = next(e for e in f.events if e.kind == BUMP)
    click(app, strip.x_of(f, event.x_mm), strip._lane(event.kind))
    assert app.view.film.events
    there = [e for e in f.events if e.row == app.view.row]
    assert BUMP in {e.kind for e in there}


def test_a_click_on_the_strip_goes_to_that_place_of_the_course(app: App) -> None:
    strip, f = app.painter.strip, app.view.film
    click(app, strip.x_of(f, 2000.0), strip.rect.bottom - 4)
    # One pixel of the strip is as many mm as the course is long over its width.
    assert f.at("hull.x_mm", app.view.row) == pytest.approx(2000.0, abs=f.ground.length_m * 1e3 / 1100)


def test_measuring_gives_millimetres(app: App) -> None:
    """Two clicks on the axles of one bogie: their distance in the record, to a pixel or two."""
    a, b = (app.painter.scene().wheels[k] for k in (0, 1))
    key(app, pygame.K_m)
    for w in (a, b):
        click(app, *app.painter.camera.px(w.x, w.y))
    (ax, ay), (bx, by) = app.view.measured
    got = ((ax - bx) ** 2 + (ay - by) ** 2) ** 0.5
    true = ((a.x - b.x) ** 2 + (a.y - b.y) ** 2) ** 0.5
    assert got == pytest.approx(true, abs=2.0 / app.painter.camera.scale)
    assert measured_words((0.0, 0.0), (30.0, 40.0)) == "50 mm (30 along, 40 up)"


def test_zoom_keeps_the_place_under_the_pointer(app: App) -> None:
    at = (300.0, 200.0)
    app.view.hover = at
    before = app.painter.camera.to_mm(*at)
    pygame.event.post(pygame.event.Event(pygame.MOUSEWHEEL, x=0, y=3, flipped=False))
    app.tick(0.0)
    after = app.painter.camera.to_mm(*at)
    assert after == pytest.approx(before, abs=1.0)
    assert app.painter.camera.scale > app.painter.fit_scale()


def test_cameras(app: App) -> None:
    key(app, pygame.K_c)
    assert app.view.camera == STILL
    x = app.painter.camera.x
    app.go(2.5)
    app.dirty = True
    app.tick(0.0)
    assert app.painter.camera.x == x
    key(app, pygame.K_c)
    assert app.view.camera == WHEEL
    w = app.painter.scene().wheels[0]
    assert (app.painter.camera.x, app.painter.camera.y) == pytest.approx((w.x, w.y))
    key(app, pygame.K_TAB)
    assert app.view.wheel == 1


def test_layers_themes_help_and_size(app: App) -> None:
    key(app, pygame.K_F4)
    assert "track" not in app.view.layers
    press(app, "layers")
    click(app, *app.layers.spots[3][0].center)
    assert "track" in app.view.layers
    key(app, pygame.K_t)
    assert app.view.theme == "light"
    key(app, pygame.K_h)
    assert app.view.help
    key(app, pygame.K_ESCAPE)
    assert not app.view.help
    app.screen = pygame.display.set_mode((1600, 900), pygame.RESIZABLE)
    pygame.event.post(pygame.event.Event(pygame.VIDEORESIZE, size=(1600, 900), w=1600, h=900))
    app.tick(0.0)
    assert app.painter.u == pytest.approx(1.25)


def test_every_key_of_the_help_page_does_something_without_fail(app: App) -> None:
    for action in ACTIONS:
        if action.name in ("quit", "record"):
            continue
        for code in action.keys:
            key(app, code)
            key(app, pygame.K_ESCAPE if action.name in ("help", "tweak", "layers") else code)
    key(app, pygame.K_q)
    assert app.closed


def test_pictures_and_movies_are_saved(app: App, tmp_path: Path) -> None:
    key(app, pygame.K_s)
    assert len(list(tmp_path.glob("*.png"))) == 1
    key(app, pygame.K_r, pygame.KMOD_SHIFT)
    for _ in range(3):
        time.sleep(0.06)
        app.tick(0.06)
    assert not list(tmp_path.glob("[!.]*.gif"))
    key(app, pygame.K_r)
    (out,) = tmp_path.glob("[!.]*.gif")
    assert out.stat().st_size > 1000


def test_a_window_closed_while_recording_leaves_nothing(
    app: App, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    key(app, pygame.K_r)
    app.tick(0.0)
    pygame.event.post(pygame.event.Event(pygame.QUIT))
    app.run()
    assert not list(tmp_path.glob("*.mp4")) + list(tmp_path.glob("*.gif")) + list(tmp_path.glob(".*.mp4"))
    assert "was not written" in capsys.readouterr().out


def test_a_changed_number_runs_again_from_the_spot(app: App) -> None:
    """From the key to the first picture of the changed run at the old place; the old run is the ghost. How long that
    takes is for tests/benchmarks."""
    app.go(2.9)
    old, spot = app.view.film, app.view.film.at("hull.x_mm", app.view.row)
    key(app, pygame.K_e)
    for c in "hull mass":
        key(app, ord(c), 0, c)
    assert app.changing.sheet is not None
    assert app.changing.sheet.path == "hull.mass_kg"
    mass = old.vehicle.hull.mass_kg
    key(app, pygame.K_RIGHT)
    end = time.monotonic() + 60.0
    while app.changing.next is not None and time.monotonic() < end:
        app.tick(0.01)
    assert app.view.ghost is old
    assert app.view.film.vehicle.hull.mass_kg == pytest.approx(mass * 1.02, rel=0.02)
    assert app.view.film.vehicle.hull.mass_kg > mass
    assert app.view.film.at("hull.x_mm", app.view.row) == pytest.approx(spot, abs=5.0)
    app.dirty = True
    app.tick(0.0)


def test_a_number_that_cannot_be_is_refused_and_changes_nothing(app: App) -> None:
    key(app, pygame.K_e)
    for c in "mass_kg":
        key(app, ord(c), 0, c)
    old = app.view.film
    key(app, pygame.K_RETURN)
    for c in "-5":
        key(app, ord(c), 0, c)
    key(app, pygame.K_RETURN)
    assert app.changing.sheet is not None
    assert "out of range" in app.changing.sheet.note
    assert app.view.film is old
    assert app.view.ghost is None


def test_a_changed_vehicle_is_saved_with_its_comments(tmp_path: Path) -> None:
    source = find("vehicles", "teasel")
    vehicle = load_vehicle(source)
    numbers = tweak.numbers(vehicle)
    changes = {
        "hull.mass_kg": numbers["hull.mass_kg"] + 7,
        "hull.com_mm[1]": 260.0,
        "drive.grip_shear_mm": 8.0,
    }
    out = tmp_path / "changed.toml"
    tweak.save(vehicle, changes, source, out)
    comments = [line.split("#", 1)[1] for line in source.read_text().splitlines() if "#" in line]
    assert comments
    assert all(c in out.read_text() for c in comments)
    again = tweak.numbers(load_vehicle(out))
    assert again == {**numbers, **changes}
    with pytest.raises(InputError, match="is the original"):
        tweak.save(vehicle, changes, out, out)
    with pytest.raises(InputError, match="cannot be written"):
        tweak.save(vehicle, changes, source, tmp_path / "none" / "x.toml")
    assert tomllib.loads(source.read_text())["hull"]["mass_kg"] == numbers["hull.mass_kg"]


@pytest.mark.parametrize("value", [100.0, 3.0, 0.35, 12, 1, -9.0, 0.0])
def test_a_nudge_is_small_and_can_be_taken_back(value: float) -> None:
    up = tweak.nudged(value, 1)
    assert up > value
    assert type(up) is type(value)
    if value > 1:
        assert up - value <= max(0.04 * value, 1 if isinstance(value, int) else 0)


def test_a_live_run_is_the_run(tmp_path: Path) -> None:
    """Bit for bit the same rows as a run at one go, and the same events."""
    r = result()
    live = start(r.vehicle, r.course, r.ground)
    assert live.wait_for(1e9, 120.0)
    a, b = live.film, film()
    assert a.rows == b.rows
    for name in a.place:
        assert (a.col(name) == b.col(name)).all(), name
    assert [(e.kind, e.where, e.row) for e in a.events] == [(e.kind, e.where, e.row) for e in b.events]
    assert a.ended == b.ended


def test_a_live_run_refuses_what_its_steps_cannot_follow() -> None:
    """As a run of the command does: a belly so hard that a blow on it is unstable; at a finer step it is taken."""
    stiff = load_vehicle(find("vehicles", "wren"), {"hull.ring_Hz": 400, "hull.belly_sheet_mm": 20})
    with pytest.raises(InputError, match="the belly is so hard") as caught:
        start(stiff, film().course, film().ground)
    assert caught.value.problems[0].field.startswith("hull.")
    live = start(stiff, film().course, film().ground, 0.2e-3)
    live.stop()
    assert live.trouble is None


def test_no_display_is_said_and_a_movie_offered(monkeypatch: pytest.MonkeyPatch) -> None:
    """SDL falls back to a display nobody sees; that is no display unless it was asked for."""
    monkeypatch.setenv("SDL_VIDEODRIVER", "dummy")
    pygame.display.init()
    monkeypatch.delenv("SDL_VIDEODRIVER")
    with pytest.raises(InputError, match=r"no display.*--movie"):
        window.open_window((640, 480))


def test_a_ghost_is_matched_by_position_or_time(tmp_path: Path) -> None:
    other = film_of_result(result(mass_kg=300.0))
    one = App(film(), other, size=(1280, 720), folder=tmp_path)
    try:
        one.view.playing = False
        one.go(3.0)
        one.tick(0.0)
        f = one.view.film
        assert other.at("hull.x_mm", one.view.ghost_row()) == pytest.approx(f.at("hull.x_mm", one.view.row), abs=3.0)
        key(one, pygame.K_g)
        assert other.time(one.view.ghost_row()) == pytest.approx(3.0, abs=1e-3)
    finally:
        one.close()
