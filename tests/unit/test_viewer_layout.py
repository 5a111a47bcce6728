"""Where things are put in a frame: nothing over another, cut off, or in a place that it is not about."""

from __future__ import annotations

from itertools import combinations

import numpy as np
import pygame
import pytest
from viewer_parts import film, result

from trundle.spec.reader import matching_paths, node_at
from trundle.spec.shipped import find, names
from trundle.spec.vehicle import load_vehicle
from trundle.units import MM
from trundle_viewer import forces, ink, pair, tweak
from trundle_viewer.export import offscreen
from trundle_viewer.film import film_of_result
from trundle_viewer.layers import shown_at_first
from trundle_viewer.painter import Painter
from trundle_viewer.stage import FOOT
from trundle_viewer.traces import BACK_S
from trundle_viewer.view import View

SIZES = [(1280, 720), (1920, 1080), (1024, 600)]


def drawn(
    view: View, size: tuple[int, int], monkeypatch: pytest.MonkeyPatch
) -> tuple[Painter, list[tuple[str, pygame.Rect]]]:
    """A frame, and the words that were written in it, with where."""
    said: list[tuple[str, pygame.Rect]] = []
    write = ink.write

    def listen(to: pygame.Surface, words: str, *more: object, **named: object) -> pygame.Rect:
        rect = write(to, words, *more, **named)  # type: ignore[arg-type]
        if to.get_size() == size:
            said.append((words, rect))
        return rect

    with offscreen():
        monkeypatch.setattr(ink, "write", listen)
        painter = Painter(size, view)
        painter.draw(pygame.Surface(size, depth=32))
        monkeypatch.setattr(ink, "write", write)
    return painter, said


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize(("vehicle", "course"), [("teasel", "kerb-100"), ("barrow", "kerb-150")])
def test_words_at_the_foot_keep_clear_of_each_other(
    size: tuple[int, int], vehicle: str, course: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Metres, obstacles, scale: none runs into another, and none is cut at an edge."""
    f = film(vehicle, course)
    for time_s in (1.0, 2.9, 0.5 * f.end_s):
        painter, said = drawn(View(f, time_s=time_s, layers={"grid", "loads"}), size, monkeypatch)
        edge = painter.rect.bottom - FOOT * painter.u
        foot = [(words, rect) for words, rect in said if edge <= rect.top < painter.rect.bottom]
        assert any(words.endswith(" m") for words, _ in foot)
        assert any("on one wheel" in words for words, _ in foot)
        for words, rect in foot:
            assert painter.rect.contains(rect), words
        for (one, a), (two, b) in combinations(foot, 2):
            assert not a.colliderect(b), (one, two)


@pytest.mark.parametrize("size", SIZES)
def test_figures_of_forces_are_whole_and_apart(size: tuple[int, int], monkeypatch: pytest.MonkeyPatch) -> None:
    """Of the longest too, at the picture's edges; none on another, none below the ground's foot."""
    f = film()
    hardest = f.time(int(np.argmax(f.col("track.tight_N"))))
    spots: list[list[pygame.Rect]] = []
    put = forces.Numbers.put

    def listen(self: forces.Numbers, words: str, *more: object) -> None:
        put(self, words, *more)  # type: ignore[arg-type]
        spots.append(list(self.taken))

    monkeypatch.setattr(forces.Numbers, "put", listen)
    for time_s in (2.6, 2.9, 3.3, hardest):
        spots.clear()
        painter, _ = drawn(View(f, time_s=time_s, layers=shown_at_first() | {"numbers"}), size, monkeypatch)
        room = painter.rect.copy()
        room.height -= round(FOOT * painter.u)
        assert len(spots[-1]) >= 3
        for rect in spots[-1]:
            assert room.contains(rect)
        for a, b in combinations(spots[-1], 2):
            assert not a.colliderect(b)


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("vehicle", names("vehicles"))
def test_the_title_is_not_over_the_hull(vehicle: str, size: tuple[int, int], monkeypatch: pytest.MonkeyPatch) -> None:
    """On level ground, whatever is said at the head."""
    f = film(vehicle)
    painter, _ = drawn(View(f, time_s=f.first_s, layers=shown_at_first()), size, monkeypatch)
    s = painter.scene()
    roof = min(painter.camera.px(float(x), float(y))[1] for x, y in (*s.hull, *s.seat))
    assert roof > painter.rect.top + painter.head.most
    ground = painter.camera.px(s.hull_x, min(w.y - w.radius for w in s.wheels))[1]
    assert ground < painter.rect.bottom - FOOT * painter.u


def test_the_head_knows_how_high_it_gets(monkeypatch: pytest.MonkeyPatch) -> None:
    f = film()
    assert f.told is not None
    highest = 0.0
    for time_s in (1.0, *(finding.time_s for finding in f.told.findings)):
        painter, _ = drawn(View(f, time_s=time_s, layers=shown_at_first()), (1280, 720), monkeypatch)
        highest = max(highest, painter.head.bottom - painter.rect.top)
    assert painter.head.most == pytest.approx(highest, abs=1.0)


def test_an_event_stands_where_its_wheel_is() -> None:
    """On the strip: the wheel's own recorded place, which is not the hull's."""
    f = film()
    lifted = [e for e in f.events if e.kind == "wheel off"]
    assert lifted
    for e in lifted:
        assert e.x_mm == pytest.approx(f.at(f"wheel.{e.where}.x_mm", e.row), abs=1.0)
    assert max(abs(e.x_mm - f.at("hull.x_mm", e.row)) for e in lifted) > 300.0


def test_the_axis_of_the_traces_has_seconds_and_the_place_then(monkeypatch: pytest.MonkeyPatch) -> None:
    """The number below a line is the time that a pointer there winds to; the place is the record's."""
    f = film()
    view = View(f, time_s=3.3, layers={"traces"})
    painter, said = drawn(view, (1280, 720), monkeypatch)
    assert painter.traces is not None
    beside = [(words, rect) for words, rect in said if rect.left >= painter.side.left]
    seconds = {words: rect for words, rect in beside if words.endswith(" s")}
    assert {"2 s", "3 s"} <= set(seconds)
    for words, rect in seconds.items():
        time_s = float(words.removesuffix(" s"))
        assert painter.traces.time_at(rect.centerx, f.time(view.row)) == pytest.approx(time_s, abs=0.02)
        metres = f"{f.at('hull.x_mm', f.row(time_s)) * MM:.2f} m"
        place = next(other for said_there, other in beside if said_there == metres)
        assert place.top >= rect.bottom - 3
        assert abs(place.centerx - rect.centerx) <= 1
    assert BACK_S > 2.0


def test_a_number_to_change_is_named_as_set_names_it() -> None:
    """Every path of the list, put to what `--set` goes by, is that number."""
    vehicle = load_vehicle(find("vehicles", "teasel"))
    data = tweak.plain(vehicle.model_dump())
    numbers = tweak.numbers(vehicle)
    assert numbers["hull.com_mm[1]"] == data["hull"]["com_mm"][0]
    for path, value in numbers.items():
        (at,) = matching_paths(data, path)
        assert node_at(data, at) == value, path
    moved = tweak.changed(vehicle, {"hull.com_mm[1]": 850.0})
    assert moved.hull.com_mm == (850.0, vehicle.hull.com_mm[1])


def test_two_runs_are_told_apart_by_what_differs() -> None:
    """Both of one name: by folder, with every field that differs, and no other."""
    one, two = film_of_result(result()), film_of_result(result(mass_kg=300.0))
    one.source, two.source = "teasel-kerb-100", "teasel-kerb-100-2"
    mass = one.vehicle.hull.mass_kg
    assert pair.words(one, two) == (
        f"A, solid: teasel-kerb-100; B, dashed: teasel-kerb-100-2 (hull.mass_kg 300 instead of {mass:g})"
    )
    assert "the same vehicle" in pair.words(one, one)
    barrow = film("barrow")
    assert pair.names(one, barrow) == ("Teasel", "Barrow")
    one.state = "changed"
    assert pair.names(one, two) == ("Teasel changed", "Teasel")


@pytest.mark.parametrize("size", SIZES)
def test_a_page_beside_the_picture_covers_none_of_it(size: tuple[int, int]) -> None:
    from trundle_viewer.changing import SHEET

    with offscreen():
        view = View(film(), time_s=3.0, layers=shown_at_first(), aside=SHEET)
        painter = Painter(size, view)
        painter.draw(pygame.Surface(size, depth=32))
    assert painter.side.left == painter.rect.right
    assert painter.side.width == pytest.approx(SHEET * painter.u, abs=1)
    s = painter.scene()
    for x, y in (*s.hull, *((end.x, end.y) for end in s.rounds)):
        assert painter.rect.collidepoint(painter.camera.px(float(x), float(y)))
