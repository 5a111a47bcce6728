"""Two runs over each other: told apart without colour, named by what differs, with what is better and worse."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pygame
import pytest
from click.testing import CliRunner
from viewer_parts import film, keep, result

from trundle.cli.watch import watch
from trundle.errors import InputError
from trundle.spec.shipped import find
from trundle.study.beside import Change, differing, main, pairs
from trundle_viewer import compared, ink, layers
from trundle_viewer.app import App
from trundle_viewer.export import offscreen
from trundle_viewer.film import Film, film_of_folder, film_of_result
from trundle_viewer.painter import Painter
from trundle_viewer.pair import COMPARED
from trundle_viewer.view import View


def heavy() -> Film:
    """The same vehicle over the same course, 35 kg heavier."""
    made = film_of_result(result(mass_kg=300.0))
    made.source = "heavy"
    return made


def painted(view: View, size: tuple[int, int] = (1280, 720)) -> tuple[Painter, np.ndarray]:
    sheet = pygame.Surface(size, depth=32)
    painter = Painter(size, view, tools=False)
    painter.draw(sheet)
    return painter, pygame.surfarray.array3d(sheet).astype(int)


def test_a_run_that_is_watched_has_its_figures(tmp_path: Path) -> None:
    """Fresh and kept: the same numbers that the run's summary has."""
    fresh, kept = film().told, film_of_folder(keep(tmp_path / "run")).told
    assert fresh is not None
    assert kept is not None
    for told in (fresh, kept):
        assert told.figures is not None
        assert told.figures["peak_wheel_load_N"] == pytest.approx(result().summary["peak_wheel_load_N"], rel=1e-5)


def test_the_table_has_what_the_figures_say() -> None:
    one, two = film(), heavy()
    told, why = compared.told_pairs(one, two)
    assert why == ""
    by = {p.figure.name: p for p in told}
    load = by["peak_wheel_load_N"]
    a, b = (r.summary["peak_wheel_load_N"] for r in (result(), result(mass_kg=300.0)))
    assert (load.one.median, load.other.median) == (a, b)
    assert load.change is (Change.WORSE if b > a else Change.BETTER)


def test_what_is_not_known_yet_is_said() -> None:
    one, two = film(), heavy()
    two.told = None
    assert compared.told_pairs(one, two) == ([], compared.LATER)


@pytest.mark.parametrize("size", [(1280, 720), (1920, 1080), (1024, 600)])
def test_the_column_stands_beside_the_picture(size: tuple[int, int], monkeypatch: pytest.MonkeyPatch) -> None:
    """Its words end inside it, none on another; each figure that differs and counts is there with its word."""
    said: list[tuple[str, pygame.Rect]] = []
    write = ink.write

    def listen(to: pygame.Surface, words: str, *more: object, **named: object) -> pygame.Rect:
        rect = write(to, words, *more, **named)  # type: ignore[arg-type]
        said.append((words, rect))
        return rect

    view = View(film(), heavy(), 3.0, layers=layers.shown_at_first() | {COMPARED})
    with offscreen():
        painter = Painter(size, view, tools=True)
        column = painter.compared
        assert column is not None
        assert column.rect.left == painter.rect.right
        assert painter.traces is not None
        assert column.rect.right == painter.traces.rect.left
        monkeypatch.setattr(ink, "write", listen)
        column._built(view.film, view.ghost)  # type: ignore[arg-type]
    told = differing(main(compared.told_pairs(film(), heavy())[0]))
    assert told
    words = [w for w, _ in said]
    assert sum(w in ("worse", "better") for w in words) == len(told)
    for k, (one, rect) in enumerate(said):
        assert rect.right <= column.rect.width, one
        assert rect.bottom <= column.rect.height, one
        for other, there in said[k + 1 :]:
            assert rect.clip(there).width == 0 or rect.clip(there).height <= 3, (one, other)


def test_without_a_second_run_there_is_no_column() -> None:
    with offscreen():
        painter = Painter((1280, 720), View(film(), layers=layers.shown_at_first() | {COMPARED}))
    assert painter.compared is None
    assert painter.rect.right == 1280 - round(268 * painter.u)


def test_curves_are_told_apart_without_colour() -> None:
    """In greys: the other run's curve has gaps, its own has none, and both have a letter."""
    with offscreen():
        one, two = film(), heavy()
        shown = {"traces", "ghost"}
        painter, both = painted(View(one, two, 4.4, layers=shown))
        _, alone = painted(View(one, None, 4.4, layers=shown))
    assert painter.traces is not None
    pitch = painter.traces._plot(painter.traces._boxes()[1])
    drawn = (both != alone).any(axis=2)[pitch.left + 2 : pitch.right - 14, pitch.top : pitch.bottom]
    columns = drawn.any(axis=1)
    assert 0.2 < columns.mean() < 0.9
    runs = np.flatnonzero(np.diff(columns.astype(int)) == 1)
    assert len(runs) > 8, "dashes"


def test_two_vehicles_are_watched_over_one_course(tmp_path: Path) -> None:
    """From the command line: a picture, and the fields in which they differ."""
    text = find("vehicles", "teasel").read_text(encoding="utf-8")
    other = tmp_path / "mine.toml"
    other.write_text(text.replace("mass_kg = 265", "mass_kg = 300"), encoding="utf-8")
    out = tmp_path / "both.png"
    args = ["teasel", str(other), "kerb-50", "--frame", "2", str(out), "--size", "640x360"]
    done = CliRunner().invoke(watch, args)
    assert done.exception is None, done.output
    assert "hull.mass_kg 300 instead of 265" in done.output
    assert "A, solid: teasel.toml; B, dashed: mine.toml" in done.output
    assert out.stat().st_size > 10_000


@pytest.mark.parametrize(
    ("args", "says"),
    [
        (["teasel", "teasel", "kerb-50"], "given twice"),
        (["teasel", "kerb-50", "kerb-100"], "one course"),
        (["teasel", "kerb-50", "otter"], "behind a course"),
        (["teasel", "otter"], "a course is wanted"),
        (["teasel", "otter", "wren", "kerb-50"], "too many"),
    ],
)
def test_names_that_do_not_go_together_are_refused(args: list[str], says: str) -> None:
    done = CliRunner().invoke(watch, args)
    assert isinstance(done.exception, InputError)
    assert says in str(done.exception)


def test_a_key_shows_and_hides_the_column(tmp_path: Path) -> None:
    app = App(film(), heavy(), size=(1280, 720), folder=tmp_path)
    try:
        app.view.playing = False
        app.tick(0.0)
        before = app.painter.rect.width
        app.take(pygame.event.Event(pygame.KEYDOWN, key=pygame.K_d, mod=0, unicode="d"))
        app.tick(0.0)
        assert app.painter.rect.width == before - round(compared.SIDE * app.painter.u)
        app.take(pygame.event.Event(pygame.KEYDOWN, key=pygame.K_d, mod=0, unicode="d"))
        assert app.painter.rect.width == before
    finally:
        app.close()


def test_pairs_leave_out_what_neither_is_better_for() -> None:
    told = pairs(result().summary, result(mass_kg=300.0).summary)
    names = [p.figure.name for p in told]
    assert "weight_N" not in names
    assert len(set(names)) == len(names)
