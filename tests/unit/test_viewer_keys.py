"""Every key that does something stands on the help page, by the name that pygame has for it."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pygame
import pytest
from viewer_parts import film

from trundle_viewer import ink, layers
from trundle_viewer.actions import ACTIONS
from trundle_viewer.app import App
from trundle_viewer.export import offscreen
from trundle_viewer.keys import SHEET_KEYS, action_of
from trundle_viewer.palette import DARK
from trundle_viewer.sheets import help_page

CODES = {name: code for name, code in vars(pygame).items() if name.startswith("K_")}
"""Every key that there is, by pygame."""


@pytest.fixture
def app(tmp_path: Path) -> Iterator[App]:
    one = App(film(), size=(1280, 720), folder=tmp_path)
    one.view.playing = False
    one.tick(0.0)
    yield one
    if not one.closed or pygame.display.get_init():
        one.close()


@pytest.fixture
def page(monkeypatch: pytest.MonkeyPatch) -> str:
    """All words of the help page, one to a line."""
    said: list[str] = []
    write = ink.write

    def listen(to: pygame.Surface, words: str, *more: object, **named: object) -> pygame.Rect:
        said.append(words)
        return write(to, words, *more, **named)  # type: ignore[arg-type]

    with offscreen():
        monkeypatch.setattr(ink, "write", listen)
        help_page(pygame.Surface((1280, 720)), DARK, 1.0)
    return "\n".join(said)


def named_on(page: str, code: int) -> bool:
    """Whether a key's name is an entry's of the page; a key of the number pad has the entry of all of them."""
    name = pygame.key.name(code).lower()
    if name.startswith("[") and len(name) == 3:
        return "number pad" in page
    spoken = {"escape": "esc", "return": "enter", "=": "+"}.get(name, name)
    entries = [part.strip() for line in page.lower().split("\n") for part in line.replace("ctrl+", "").split(", ")]
    return spoken in entries or (spoken == "," and "," in page.split("\n"))


def test_every_key_that_does_something_is_on_the_help_page(page: str) -> None:
    doing = {name: code for name, code in CODES.items() if action_of(code) is not None}
    assert len(doing) > 40
    with offscreen():
        pygame.display.init()
        missing = [name for name, code in doing.items() if not named_on(page, code)]
        missing += [name for name in ("K_ESCAPE",) if not named_on(page, CODES[name])]
        pygame.display.quit()
    assert not missing


def test_a_key_that_is_not_on_the_page_changes_nothing(app: App, page: str) -> None:
    """Sent to the window, with and without the list of numbers open."""

    def state() -> object:
        view, sheet = app.view, app.changing.sheet
        seen = (view.time_s, view.playing, view.speed, frozenset(view.layers), view.theme, view.camera, view.wheel,
                view.match, view.measuring, view.help, view.aside, app.layers_open, app.closed, app.recorder.on,
                app.painter.zoomed)  # fmt: skip
        return (*seen, sheet and (sheet.search, sheet.chosen, sheet.typing, len(sheet.changes)))

    sheet_keys = {code for _, _, codes in SHEET_KEYS for code in codes}
    for opened in (False, True):
        if opened:
            app.do("tweak")
        for code in CODES.values():
            known = code in sheet_keys if opened else action_of(code) is not None
            if known or code == pygame.K_ESCAPE:
                continue
            before = state()
            app.take(pygame.event.Event(pygame.KEYDOWN, key=code, mod=0, unicode=""))
            assert state() == before, pygame.key.name(code)


def test_each_key_of_the_list_of_numbers_does_what_the_page_says(app: App, page: str) -> None:
    app.do("tweak")
    sheet = app.changing.sheet
    assert sheet is not None
    app.draw()
    for named, does, codes in SHEET_KEYS:
        assert named in page
        assert does in page
        for code in codes:
            assert named_on(page, code) or named == "Page up, down"

    def press(code: int, mod: int = 0, text: str = "") -> None:
        app.take(pygame.event.Event(pygame.KEYDOWN, key=code, mod=mod, unicode=text))

    press(pygame.K_PAGEDOWN)
    press(pygame.K_DOWN)
    press(pygame.K_UP)
    assert sheet.chosen == 10
    press(pygame.K_m, text="m")
    assert sheet.search == "m"
    press(pygame.K_BACKSPACE)
    assert sheet.search == ""
    press(pygame.K_s, mod=pygame.KMOD_CTRL)
    assert len(list(app.folder.glob("*.toml"))) == 1
    press(pygame.K_RETURN)
    assert sheet.typing == ""
    press(pygame.K_ESCAPE)
    assert app.changing.sheet is None
    assert app.view.aside == 0.0


def test_no_two_actions_or_layers_are_called_alike() -> None:
    names = [action.named for action in ACTIONS if action.keys] + [layer.named for layer in layers.listed()]
    assert len(set(names)) == len(names)
    assert all(names)
