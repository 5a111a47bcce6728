"""The table of layers: one entry brings a key, a line of help, a tick, a button, an option and what it draws."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import numpy as np
import pygame
import pytest
from viewer_parts import film, keep

from trundle.cli.main import main
from trundle.errors import InputError
from trundle_viewer import ink, layers, sheets
from trundle_viewer.actions import ACTIONS, do
from trundle_viewer.app import App
from trundle_viewer.export import offscreen, still
from trundle_viewer.frame import Frame
from trundle_viewer.keys import action_of
from trundle_viewer.layers import Layer, chosen, listed, shown_at_first
from trundle_viewer.palette import DARK
from trundle_viewer.toolbar import buttons
from trundle_viewer.view import View

PINK = (255, 0, 222)
"""A colour of no palette."""


def _cross(f: Frame) -> None:
    f.to.fill(PINK, (f.rect.centerx - 20, f.rect.centery - 20, 40, 40))


NEW = Layer("cross", (pygame.K_F15,), "F15", "in the middle of the picture", shown=False, button=True, over=_cross)


@pytest.fixture
def with_cross(monkeypatch: pytest.MonkeyPatch) -> None:
    """The table with one more entry, and nothing else told of it."""
    monkeypatch.setattr(layers, "LAYERS", (*layers.LAYERS, NEW))


@pytest.fixture
def app(tmp_path: Path) -> Iterator[App]:
    made = App(film(), folder=tmp_path, size=(1280, 720))
    made.view.playing = False
    yield made
    made.close()


def pink(image: pygame.Surface) -> int:
    """Pixels of the new layer's colour."""
    return int((pygame.surfarray.array3d(image) == PINK).all(axis=2).sum())


@pytest.mark.usefixtures("with_cross")
def test_a_new_entry_is_everywhere(app: App, monkeypatch: pytest.MonkeyPatch) -> None:
    """Key, list, button and picture of a window; help page; option."""
    assert "cross" not in app.view.layers
    app.draw()
    assert pink(app.screen) == 0
    pygame.event.post(pygame.event.Event(pygame.KEYDOWN, key=pygame.K_F15, mod=0, unicode=""))
    app.tick(0.0)
    assert "cross" in app.view.layers
    assert pink(app.screen) == 1600

    app.do("layers")
    app.draw()
    spot = next(rect for rect, name in app.layers.spots if name == "cross")
    assert app.layers.at(*spot.center) == "cross"

    button = next(rect for rect, b in app.painter.toolbar.spots if b.action == "cross")
    pygame.event.post(pygame.event.Event(pygame.MOUSEBUTTONDOWN, pos=button.center, button=1))
    app.tick(0.0)
    assert "cross" not in app.view.layers

    written: list[str] = []
    write = ink.write

    def listen(to: pygame.Surface, words: str, *more: object, **named: object) -> object:
        written.append(words)
        return write(to, words, *more, **named)  # type: ignore[arg-type]

    monkeypatch.setattr(sheets.ink, "write", listen)
    sheets.help_page(app.screen, DARK, 1.0)
    assert "F15" in written
    assert "cross: in the middle of the picture" in written
    assert chosen(shown_at_first(), ["cross"], []) - shown_at_first() == {"cross"}


@pytest.mark.usefixtures("with_cross")
def test_a_new_entry_can_be_asked_for_on_the_command_line(tmp_path: Path) -> None:
    run, out = keep(tmp_path / "run"), tmp_path / "a.png"  # a picture is drawn at twice its size
    with pytest.raises(SystemExit) as left:
        main(["watch", str(run), "--frame", "1", str(out), "--show", "cross"])
    assert left.value.code == 0
    with offscreen():
        assert pink(pygame.image.load(out)) == 400


def test_what_is_drawn_first_is_furthest_back(monkeypatch: pytest.MonkeyPatch) -> None:
    """The same entry before all others is under the sky; after them it is on top."""
    always = Layer("cross", draw=_cross)
    seen = []
    for table in ((always, *layers.LAYERS), (*layers.LAYERS, always)):
        monkeypatch.setattr(layers, "LAYERS", table)
        with offscreen():
            seen.append(pink(still(View(film(), time_s=1.0, layers=shown_at_first()), (640, 360))))
        monkeypatch.undo()
    assert seen[0] == 0
    assert seen[1] > 100


@pytest.mark.parametrize("name", [layer.name for layer in listed()])
def test_every_layer_can_be_seen(name: str) -> None:
    """Hidden, a layer leaves another picture than shown; at a moment when a stop is hit and a wheel hangs."""
    every = {layer.name for layer in listed()}
    with offscreen():
        view = View(film(), film(), 2.76, layers=every)
        whole, less = (still(v, (1280, 720)) for v in (view, View(film(), film(), 2.76, layers=every - {name})))
        a, b = (pygame.surfarray.array3d(image) for image in (whole, less))
    assert np.count_nonzero((a != b).any(axis=2)) > 50


def test_no_two_keys_or_names_are_the_same() -> None:
    """A key has one meaning, and a layer's name is no action's, since buttons and keys look both up."""
    keys = [key for of in (*ACTIONS, *listed()) for key in of.keys]
    assert len(set(keys)) == len(keys)
    names = [layer.name for layer in layers.LAYERS]
    assert len(set(names)) == len(names)
    assert not set(names) & {action.name for action in ACTIONS}
    for layer in listed():
        assert [action_of(key) for key in layer.keys] == [layer.name] * len(layer.keys)
        assert layer.named
        assert layer.words


def test_every_button_does_something_that_there_is() -> None:
    every = {of.name for of in (*ACTIONS, *listed())}
    assert {b.action for b in buttons(View(film(), film(), layers=set()), False, True)} <= every


def test_a_name_that_is_nothing_is_an_error(app: App) -> None:
    with pytest.raises(KeyError, match="fly"):
        do(app, "fly")


def test_a_key_that_means_nothing_does_nothing() -> None:
    assert action_of(pygame.K_F14) is None


def test_toolbar_has_the_layers_that_ask_for_a_button() -> None:
    words = [b.words for b in buttons(View(film(), layers=set()), False, True)]
    assert [w for w in words if layers.find(w) is not None] == ["numbers"]


def test_room_beside_the_picture_is_given_back(app: App) -> None:
    """The traces take 268 px of 1280; hidden, the picture is as wide as the window."""
    assert app.painter.rect.width == 1280 - 268
    do(app, "traces")
    assert app.painter.rect.width == 1280
    assert app.painter.traces is None
    app.draw()


def test_an_unknown_layer_is_refused_with_the_nearest(capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(InputError, match='no layer "whels"; did you mean "wheels"'):
        chosen(set(), [], ["whels"])
    with pytest.raises(SystemExit) as left:
        main(["watch", "teasel", "kerb-50", "--show", "sky"])
    assert left.value.code == 2
    assert '--show: no layer "sky"' in capsys.readouterr().err
