"""What a run has to say, in the viewer: the headline, what is worst, and how the forces point."""

from __future__ import annotations

import math
import pickle
import threading
import time
from collections.abc import Iterator
from pathlib import Path
from typing import get_args

import numpy as np
import pygame
import pytest
from viewer_parts import film, keep, result

import trundle
from trundle.findings.finding import NUMBERED, Finding, Harm
from trundle.findings.grades import Grade, Line
from trundle.spec.course import load_course
from trundle.spec.hull import Hull
from trundle.spec.shipped import find
from trundle.spec.vehicle import load_vehicle
from trundle.terrain.ground import lay
from trundle_viewer import forces, head, ink, readings, sheets
from trundle_viewer.apart import Apart, answer
from trundle_viewer.app import App
from trundle_viewer.export import offscreen
from trundle_viewer.film import Film, film_of_folder, film_of_result
from trundle_viewer.layers import shown_at_first
from trundle_viewer.live import start
from trundle_viewer.painter import Painter
from trundle_viewer.palette import DARK
from trundle_viewer.readings import pushed_words
from trundle_viewer.scene import SceneMaker
from trundle_viewer.told import BEFORE_S, SEEN_UNTIL_S, Told, nothing_told
from trundle_viewer.view import View
from trundle_viewer.whereabouts import place_of

LONG = (
    "Teasel over Kerb 100 mm: gets over, but the front arms bend for good in 5 of 8 runs and the rider is thrown "
    "forward at 4.7 g (6.5 m in 6.3 s)."
)


RUBBER = "rubber 350 N/mm"


def _finding(time_s: float, grade: Grade, short: str, part: str) -> Finding:
    text = f"{short}: 612 MPa where 355 is its limit (at the pivot, bending; margin 0.58 (0.51 to 0.63)), at 4.02 m."
    causes = (
        "on kerb 100 mm at 1.2 m/s",
        "the arm points into the blow",
        "9° left to the bump stop",
        "rubber 350 N/mm",
    )
    return Finding(Harm.BREAKS, grade, 1.0, short, text, "arm_margin", part, time_s, 4.02, causes)


TOLD = Told(
    Line(Grade.FAIL, LONG),
    (
        _finding(2.9, Grade.FAIL, "the front arms bend for good in 5 of 8 runs", "arm front.fore"),
        _finding(3.4, Grade.RISK, "the idler is run into the ground", "idler"),
        _finding(0.0, Grade.NOTE, "in 2 of 8 runs it does not get over", ""),
    ),
)


@pytest.fixture
def app(tmp_path: Path) -> Iterator[App]:
    shown = film_of_result(result())
    shown.told = TOLD
    one = App(shown, size=(1280, 720), folder=tmp_path)
    one.view.playing = False
    one.tick(0.0)
    yield one
    one.close()


def key(app: App, code: int) -> None:
    pygame.event.post(pygame.event.Event(pygame.KEYDOWN, key=code, mod=0, unicode=""))
    app.tick(0.0)


def click(app: App, x: float, y: float) -> None:
    pygame.event.post(pygame.event.Event(pygame.MOUSEBUTTONDOWN, pos=(round(x), round(y)), button=1))
    pygame.event.post(pygame.event.Event(pygame.MOUSEBUTTONUP, pos=(round(x), round(y)), button=1))
    app.tick(0.0)


def written(monkeypatch: pytest.MonkeyPatch) -> list[tuple[str, pygame.Rect]]:
    """What is written from now on, each with the pixels that it takes in its own surface."""
    said: list[tuple[str, pygame.Rect]] = []
    write = ink.write

    def listen(to: pygame.Surface, words: str, *more: object, **named: object) -> pygame.Rect:
        rect = write(to, words, *more, **named)  # type: ignore[arg-type]
        said.append((words, rect))
        return rect

    monkeypatch.setattr(head.ink, "write", listen)
    return said


def test_the_headline_is_the_verdicts() -> None:
    """Of a fresh run, and of the same as it was kept; with the findings in its order, three at most."""
    said = result().verdict
    told = film().told
    assert told is not None
    assert told.headline == said.headline
    assert told.findings == said.findings[:NUMBERED]


def test_a_kept_run_has_its_verdict(tmp_path: Path) -> None:
    """The same in words: a kept table of events is rounded to six digits."""
    kept, fresh = film_of_folder(keep(tmp_path / "run")).told, film().told
    assert kept is not None
    assert fresh is not None
    assert kept.headline == fresh.headline
    assert [(f.text, f.causes) for f in kept.findings] == [(f.text, f.causes) for f in fresh.findings]


@pytest.mark.parametrize("size", [(1280, 720), (960, 540), (640, 360), (1920, 1080), (432, 244)])
@pytest.mark.parametrize("time_s", [1.0, 2.9])
def test_the_head_is_wrapped_and_nothing_of_it_overlaps(
    size: tuple[int, int], time_s: float, monkeypatch: pytest.MonkeyPatch
) -> None:
    """All words end inside the picture, and no two lines share a pixel, with and without the causes."""
    with offscreen():
        shown = film_of_result(result())
        shown.told = TOLD
        painter = Painter(size, View(shown, time_s=time_s, layers=shown_at_first() - {"tags", "loads", "grid"}), False)
        said = written(monkeypatch)
        painter.head.lay(painter.scene(), painter.view)
        drawn = [(words, rect) for words, rect in said if len(words) > 1]
        painter.head.draw(pygame.Surface(size), painter.scene(), painter.view)
    assert painter.head.bottom <= painter.rect.top + head.SHARE * painter.rect.height + 1 or size[1] < 300
    whole = " ".join(words for words, _ in drawn)
    assert LONG in whole
    # Of what was laid out last: a list that is too high for the picture is laid out once without.
    boxes = [rect for _, rect in drawn[-(len(drawn) if painter.head.spots else 4) :]]
    for k, rect in enumerate(boxes):
        assert rect.right <= painter.rect.right
        for other in boxes[k + 1 :]:
            assert rect.clip(other).height <= 3, (rect, other)
    if painter.head.spots and time_s == 2.9:
        assert RUBBER in whole
    if time_s == 1.0:
        assert "rubber" not in whole


def test_the_verdict_is_not_worked_out_while_frames_are_drawn(app: App, monkeypatch: pytest.MonkeyPatch) -> None:
    """Nor are the words laid out again, but when the list opens on a finding or closes."""
    from trundle.findings import verdict

    def never(*_: object) -> None:
        raise AssertionError("worked out again")

    monkeypatch.setattr(verdict, "verdict", never)
    laid = []
    built = head.Head._built
    monkeypatch.setattr(head.Head, "_built", lambda *args: laid.append(1) or built(*args))
    for k in range(100):
        app.go(2.0 + 0.03 * k)
        app.dirty = True
        app.tick(0.0)
    # It opens on the first, goes over to the second and closes.
    assert len(laid) == 3


def test_keys_go_to_the_worst_a_moment_before_it(app: App, monkeypatch: pytest.MonkeyPatch) -> None:
    app.view.playing = True
    key(app, pygame.K_1)
    assert app.view.time_s == pytest.approx(2.9 - BEFORE_S)
    assert not app.view.playing
    said = written(monkeypatch)
    key(app, pygame.K_2)
    assert app.view.time_s == pytest.approx(3.4 - BEFORE_S)
    assert any("because:" in words for words, _ in said)
    key(app, pygame.K_3)
    assert "of the whole run" in app.view.message
    assert app.view.time_s == pytest.approx(3.4 - BEFORE_S)


def test_a_click_goes_to_a_finding_in_the_list_and_on_the_strip(app: App) -> None:
    spots = {k: rect for rect, k in app.painter.head.spots}
    click(app, *spots[1].center)
    assert app.view.time_s == pytest.approx(3.4 - BEFORE_S)
    (number, x, y), *_ = app.painter.strip._marks(app.view.film)
    assert number == 0
    click(app, x, y)
    assert app.view.time_s == pytest.approx(2.9 - BEFORE_S)


def test_marks_on_the_strip_stand_apart(app: App) -> None:
    shown = app.view.film
    shown.told = Told(TOLD.headline, tuple(_finding(2.9, Grade.FAIL, f"part {k}", "idler") for k in range(3)))
    x = [x for _, x, _ in app.painter.strip._marks(shown)]
    assert min(b - a for a, b in zip(sorted(x)[:-1], sorted(x)[1:], strict=True)) >= 13.9


def test_one_finding_at_a_time_is_told_at_length() -> None:
    """The one gone to, if it is near; else the worst of those near; none elsewhere."""
    assert TOLD.there(3.3) == 0
    assert TOLD.there(3.3, chosen=1) == 1
    assert TOLD.there(2.9 + SEEN_UNTIL_S + 0.1) == 1
    assert TOLD.there(1.0, chosen=1) is None


def test_a_run_without_findings_has_a_tick_and_no_list(app: App) -> None:
    app.view.film.told = Told(Line(Grade.FINE, "Teasel over Kerb 50 mm: gets over, 6.5 m in 6.3 s."))
    app.dirty = True
    app.tick(0.0)
    assert app.painter.head.spots == []
    key(app, pygame.K_1)
    assert "nothing that matters" in app.view.message


def test_a_live_run_says_the_same_as_a_run() -> None:
    """With the runs close by, as `trundle run` has it."""
    course = load_course(find("courses", "kerb-50"))
    live = start(load_vehicle(find("vehicles", "teasel")), course, lay(course))
    live.finish()
    told, said = live.film.told, trundle.run("teasel", "kerb-50").verdict
    assert told is not None
    assert told.headline == said.headline
    assert told.findings == said.findings[:NUMBERED]


def test_a_run_of_an_older_version_says_that_it_has_no_verdict(tmp_path: Path) -> None:
    run = keep(tmp_path / "run")
    text = (run / "summary.json").read_text()
    (run / "summary.json").write_text(text.replace('"energy_error"', '"energy_mistake"'))
    told = film_of_folder(run).told
    assert told is not None
    assert "no verdict" in told.headline.text
    assert "energy_error" in told.headline.text
    assert told.findings == ()


@pytest.mark.parametrize(("forward", "up"), [(-800.0, 600.0), (0.0, 900.0), (700.0, 200.0), (-900.0, -300.0)])
def test_arrows_point_as_the_force_does(forward: float, up: float) -> None:
    """The pixels of one wheel's arrow lie on the line through its middle along the force, on the side it comes from."""
    one, row, wheel = film_of_result(result()), 1500, 3
    for k, axis in enumerate(forces.FORCES):
        for ring in one.assembly.ring_names:
            one._data[one.place[f"{ring}.{axis}"], :] = 0.0
        name = one.assembly.ring_names[wheel]
        one._data[one.place[f"{name}.{axis}"], :] = (forward, up)[k]
    one.has_forces = True
    with offscreen():
        painter = Painter((1280, 720), View(one, time_s=one.time(row), layers={"loads"}), tools=False)
        s = painter.scene()
        painter.aim(s)
        sheet = pygame.Surface((1280, 720), depth=32)
        forces.arrows(sheet, painter.camera, DARK, 1.0, s, painter.view)
        at = np.argwhere((pygame.surfarray.array3d(sheet) == DARK.load).all(axis=2))
    middle = np.array(painter.camera.px(s.wheels[wheel].x, s.wheels[wheel].y))
    seen = at.mean(axis=0) + 0.5 - middle
    force = np.array([forward, -up]) / math.hypot(forward, up)
    assert float(-seen @ force) == pytest.approx(float(np.hypot(*seen)), rel=2e-3)
    # As far out as rim, track and half an arrow.
    assert float(np.hypot(*seen)) > s.wheels[wheel].radius * painter.camera.scale
    assert len(at) > 100


def test_without_the_directions_no_arrow_is_drawn_and_it_is_said(monkeypatch: pytest.MonkeyPatch) -> None:
    one = film_of_result(result())
    one.has_forces = False
    said = written(monkeypatch)
    with offscreen():
        painter = Painter((1280, 720), View(one, time_s=2.9, layers={"loads"}), tools=False)
        sheet = pygame.Surface((1280, 720), depth=32)
        painter.draw(sheet)
        area = pygame.surfarray.array3d(sheet)[: painter.rect.right, : painter.rect.bottom]
    assert not (area == DARK.load).all(axis=2).any()
    assert forces.NO_FORCES in [words for words, _ in said]


def test_a_wheel_pointed_at_says_how_it_is_pushed(app: App, monkeypatch: pytest.MonkeyPatch) -> None:
    """As the record has it, in words."""
    assert pushed_words(-3571.2, 2061.4) == "pushed 3571 N back, 2061 N up"
    assert pushed_words(12.0, -5.0) == "pushed 12 N forward, 5 N down"
    app.go(2.76)
    w = app.painter.scene().wheels[0]
    app.view.hover = app.painter.camera.px(w.x, w.y)
    seen: list[list[str]] = []
    monkeypatch.setattr(readings, "card", lambda *args: seen.append(args[3]))
    app.draw()
    app.view.hover = app.painter.camera.px(w.x, w.y)
    app.draw()
    row = result().timeline.iloc[app.view.row]
    wanted = pushed_words(*(float(row[f"wheel.{w.name}.{axis}"]) for axis in forces.FORCES))
    assert wanted in seen[-1]


def test_the_hardest_push_of_half_a_second_is_the_longest_vector() -> None:
    one = film_of_result(result())
    row, ring = 3000, one.assembly.ring_names[0]
    now, most = forces.pushes(one, row)
    forward, up = (one.col(f"{ring}.{axis}")[row - 500 : row + 1] for axis in forces.FORCES)
    assert math.hypot(*most[0]) == pytest.approx(float(np.hypot(forward, up).max()))
    assert now[0].tolist() == [forward[-1], up[-1]]


@pytest.mark.parametrize(
    ("part", "named"),
    [
        ("front.fore", "wheel"), ("axle bolt front.fore", "wheel"), ("arm front.fore", "arm"),
        ("pivot bolt front.fore", "pivot"), ("idler", "idler"),
    ],
)  # fmt: skip
def test_a_part_is_where_the_scene_has_it(part: str, named: str) -> None:
    s = SceneMaker(film()).make(1500)
    wheel = next(w for w in s.wheels if w.name == "front.fore")
    arm = next(a for a in s.arms if a.name == "front.fore")
    end = next(r for r in s.rounds if r.what == "idler")
    places = {
        "wheel": (wheel.x, wheel.y), "pivot": arm.pivot, "idler": (end.x, end.y),
        "arm": tuple(0.5 * (a + b) for a, b in zip(arm.pivot, arm.tip, strict=True)),
    }  # fmt: skip
    assert place_of(part, s) == pytest.approx(places[named])


def test_every_part_that_a_finding_names_has_its_place() -> None:
    """Those of the shipped vehicle over a kerb, and what all vehicles have."""
    one: Film = film()
    s = SceneMaker(one).make(1500)
    told = one.told
    assert told is not None
    at_seat = get_args(Hull.model_fields["at_seat"].annotation)
    for part in [*(f.part for f in told.findings if f.part), *at_seat, "belly", "hull", "track", "spring front"]:
        assert place_of(part, s) is not None, part
    assert place_of("anchor", s) is None


def test_what_cannot_be_told_is_a_note() -> None:
    assert nothing_told("why").headline.grade is Grade.NOTE


@pytest.mark.parametrize("u", [0.5, 0.75, 1.0, 2.0])
def test_the_help_page_is_clear(u: float, monkeypatch: pytest.MonkeyPatch) -> None:
    """Its words do not run into each other, nor over its edge."""
    with offscreen():
        said = written(monkeypatch)
        sheet = pygame.Surface((round(1280 * u), round(720 * u)))
        sheets.help_page(sheet, DARK, u)
    boxes = [rect for _, rect in said]
    edge = round(0.5 * sheet.get_width() + 608 * u)
    for k, rect in enumerate(boxes):
        assert rect.right <= edge, said[k]
        assert rect.top > 0, said[k]
        assert rect.bottom < sheet.get_height(), said[k]
        assert not [other for other in boxes[k + 1 :] if rect.clip(other).width and rect.clip(other).height > 3], said[
            k
        ]


def test_what_a_live_run_says_is_worked_out_in_a_process_that_goes_when_it_is_not_wanted() -> None:
    """Asked and given up at once, it answers nothing; asked what cannot stand, it says why and does not fall over."""
    course, vehicle = load_course(find("courses", "kerb-50")), load_vehicle(find("vehicles", "teasel"))
    halt = threading.Event()
    halt.set()
    begin = time.perf_counter()
    assert Apart(vehicle, course, 1.0, 5.0).told(halt) is None
    assert time.perf_counter() - begin < 30.0
    heavy = load_vehicle(find("vehicles", "teasel"), {"hull.mass_kg": 4900})
    told = pickle.loads(answer(pickle.dumps((heavy, course, 1.0, 5.0))))
    assert "no verdict" in told.headline.text
    assert told.headline.grade is Grade.NOTE


def test_while_that_is_worked_out_the_head_says_so(app: App, monkeypatch: pytest.MonkeyPatch) -> None:
    said = written(monkeypatch)
    app.view.film.told, app.view.film.told_later, app.dirty = None, True, True
    app.tick(0.0)
    assert "what is worst is being worked out, with runs close by" in [words for words, _ in said]
    key(app, pygame.K_1)
    assert "is known when" in app.view.message
