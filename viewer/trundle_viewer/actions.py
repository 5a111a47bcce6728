"""What can be done, in one table: name, keys, words of the help page, and the function that does it.

Keys and buttons both come here by name. Layers bring their own keys (layers.py).
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING

import pygame

from trundle_viewer.camera import MODES, WHEEL
from trundle_viewer.view import POSITION, SPEEDS, TIME

if TYPE_CHECKING:
    from trundle_viewer.app import App

Do = Callable[["App", bool], None]
"""Takes the window, and whether Shift is held."""


@dataclass(frozen=True)
class Action:
    """keys: pygame's; named: what they are called; words: what it does (neither for a button without a key)."""

    name: str
    do: Do
    keys: tuple[int, ...] = ()
    named: str = ""
    words: str = ""


def _play(app: App, _: bool) -> None:
    view, film = app.view, app.view.film
    if not view.playing and film.done and view.time_s >= film.end_s - film.dt_s:
        view.time_s = film.first_s
    view.playing = not view.playing


def _step(by: int) -> Do:
    def do(app: App, shift: bool) -> None:
        app.view.playing = False
        app.go(app.view.film.time(app.view.row + by * (10 if shift else 1)))

    return do


def _jump(sign: float) -> Do:
    return lambda app, shift: app.go(app.view.time_s + sign * (5.0 if shift else 0.5))


def _speed(by: int) -> Do:
    def do(app: App, _: bool) -> None:
        k = min(range(len(SPEEDS)), key=lambda i: abs(SPEEDS[i] - app.view.speed))
        app.view.speed = SPEEDS[min(max(k + by, 0), len(SPEEDS) - 1)]

    return do


def _speed_one(app: App, _: bool) -> None:
    app.view.speed = 1.0


def _event(on: bool) -> Do:
    """To the next event, or the one before."""

    def do(app: App, _: bool) -> None:
        film, now = app.view.film, app.view.row
        rows = [e.row for e in film.events if (e.row > now if on else e.row < now)]
        if not rows:
            app.say("no further event" if on else "no event before this")
            return
        app.view.playing = False
        row = min(rows) if on else max(rows)
        app.go(film.time(row))
        app.say("; ".join(f"{e.kind} {e.where}" for e in film.events if e.row == row))

    return do


def _finding(k: int) -> Do:
    """To what is worst (or second, third), a moment before it."""

    def do(app: App, _: bool) -> None:
        app.to_finding(k)

    return do


def _start(app: App, _: bool) -> None:
    app.go(app.view.film.first_s)


def _end(app: App, _: bool) -> None:
    app.go(app.view.film.end_s)


def _zoom(factor: float) -> Do:
    return lambda app, _: app.painter.zoom(factor, app.painter.rect.center)


def _fit(app: App, _: bool) -> None:
    app.painter.fit()


def _camera(app: App, _: bool) -> None:
    view = app.view
    view.camera = MODES[(MODES.index(view.camera) + 1) % len(MODES)]
    app.painter.hold()
    if view.camera == WHEEL:
        wheels = view.film.assembly.wheel
        app.say(f"locked to {wheels[view.wheel % len(wheels)]}; Tab for the next")


def _next_wheel(app: App, shift: bool) -> None:
    wheels = app.view.film.assembly.wheel
    app.view.wheel = (app.view.wheel + (-1 if shift else 1)) % len(wheels)
    app.say(f"wheel {wheels[app.view.wheel]}")


def _match(app: App, _: bool) -> None:
    app.view.match = TIME if app.view.match == POSITION else POSITION


def _measure(app: App, _: bool) -> None:
    app.view.measuring, app.view.measured = not app.view.measuring, []


def _layers(app: App, _: bool) -> None:
    app.layers_open = not app.layers_open


def _tweak(app: App, _: bool) -> None:
    app.changing.toggle()
    app.painter.build()


def _picture(app: App, _: bool) -> None:
    app.recorder.picture(app.view, app.screen.get_size())


def _record(app: App, shift: bool) -> None:
    if app.recorder.on:
        app.recorder.stop()
    else:
        app.recorder.start(app.view, app.screen.get_size(), ".gif" if shift else ".mp4")


def _theme(app: App, _: bool) -> None:
    app.view.theme = "light" if app.view.theme == "dark" else "dark"
    app.painter.build()


def _help(app: App, _: bool) -> None:
    app.view.help = not app.view.help


def _quit(app: App, _: bool) -> None:
    app.closed = app.quit = True


ACTIONS = (
    Action("play", _play, (pygame.K_SPACE,), "Space", "play or pause"),
    Action("step back", _step(-1), (pygame.K_COMMA,), ",", "one step back (Shift: ten)"),
    Action("step on", _step(1), (pygame.K_PERIOD,), ".", "one step on (Shift: ten)"),
    Action("jump back", _jump(-1.0), (pygame.K_LEFT,), "Left", "half a second back (Shift: 5 s)"),
    Action("jump on", _jump(1.0), (pygame.K_RIGHT,), "Right", "half a second on (Shift: 5 s)"),
    Action("faster", _speed(1), (pygame.K_UP,), "Up", "play faster, up to 4 times"),
    Action("slower", _speed(-1), (pygame.K_DOWN,), "Down", "play slower, down to 1/20"),
    Action("speed one", _speed_one),
    Action("previous event", _event(False), (pygame.K_PAGEUP, pygame.K_p), "Page up, P", "to the event before"),
    Action("next event", _event(True), (pygame.K_PAGEDOWN, pygame.K_n), "Page down, N", "to the next event"),
    Action("worst", _finding(0), (pygame.K_1, pygame.K_KP1), "1", "to the worst finding, a moment before it"),
    Action("second worst", _finding(1), (pygame.K_2, pygame.K_KP2), "2", "to the second worst"),
    Action("third worst", _finding(2), (pygame.K_3, pygame.K_KP3), "3", "to the third"),
    Action("start", _start, (pygame.K_HOME,), "Home", "to the start"),
    Action("end", _end, (pygame.K_END,), "End", "to the end"),
    Action("zoom in", _zoom(1.25), (pygame.K_PLUS, pygame.K_EQUALS, pygame.K_KP_PLUS), "+",
           "closer (or the mouse wheel)"),
    Action("zoom out", _zoom(0.8), (pygame.K_MINUS, pygame.K_KP_MINUS), "-", "further away"),
    Action("fit", _fit, (pygame.K_0, pygame.K_KP0), "0", "the whole vehicle in the middle"),
    Action("camera", _camera, (pygame.K_c,), "C", "follow the hull, hold still, lock to a wheel"),
    Action("next wheel", _next_wheel, (pygame.K_TAB,), "Tab", "choose the next wheel (traces, lock)"),
    Action("match", _match, (pygame.K_g,), "G", "match the ghost by position or by time"),
    Action("measure", _measure, (pygame.K_m,), "M", "measure: two clicks, in mm"),
    Action("layers", _layers, (pygame.K_l,), "L", "the list of layers, to show or hide"),
    Action("tweak", _tweak, (pygame.K_e,), "E", "change a number and run again"),
    Action("save picture", _picture, (pygame.K_s,), "S", "save this picture (PNG)"),
    Action("record", _record, (pygame.K_r,), "R", "record a movie, or stop (MP4; Shift: GIF)"),
    Action("theme", _theme, (pygame.K_t,), "T", "dark or light"),
    Action("help", _help, (pygame.K_h, pygame.K_QUESTION), "H, ?", "this page"),
    Action("quit", _quit, (pygame.K_q,), "Q", "leave"),
)  # fmt: skip
"""In the order of the help page."""


def do(app: App, name: str, shift: bool = False) -> None:
    """Carry out an action, or show or hide a layer, by name. Raises KeyError if it is neither."""
    found = {action.name: action for action in ACTIONS}.get(name)
    if found is not None:
        found.do(app, shift)
    else:
        app.layer(name)
