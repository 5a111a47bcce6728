"""What keys and buttons do, by name."""

from __future__ import annotations

from typing import TYPE_CHECKING

from trundle_viewer import layers
from trundle_viewer.camera import MODES
from trundle_viewer.view import POSITION, SPEEDS, TIME

if TYPE_CHECKING:
    from trundle_viewer.app import App


def do(app: App, action: str, shift: bool = False) -> None:
    """Carry out an action, or show or hide a layer, by name (keys and buttons both come here)."""
    view, film = app.view, app.view.film
    if layers.find(action) is not None:
        app.layer(action)
    elif action == "play":
        if not view.playing and film.done and view.time_s >= film.end_s - film.dt_s:
            view.time_s = film.first_s
        view.playing = not view.playing
    elif action in ("step back", "step on"):
        view.playing = False
        app.go(film.time(view.row + (1 if action == "step on" else -1) * (10 if shift else 1)))
    elif action in ("jump back", "jump on"):
        app.go(view.time_s + (1.0 if action == "jump on" else -1.0) * (5.0 if shift else 0.5))
    elif action in ("faster", "slower", "speed one"):
        k = min(range(len(SPEEDS)), key=lambda i: abs(SPEEDS[i] - view.speed))
        k = min(max(k + (1 if action == "faster" else -1), 0), len(SPEEDS) - 1)
        view.speed = 1.0 if action == "speed one" else SPEEDS[k]
    elif action in ("previous event", "next event"):
        _event(app, action == "next event")
    elif action == "start":
        app.go(film.first_s)
    elif action == "end":
        app.go(film.end_s)
    elif action in ("zoom in", "zoom out"):
        app.painter.zoom(1.25 if action == "zoom in" else 0.8, app.painter.rect.center)
    elif action == "fit":
        app.painter.fit()
    elif action == "camera":
        view.camera = MODES[(MODES.index(view.camera) + 1) % len(MODES)]
        app.painter.hold()
        if view.camera == MODES[2]:
            wheels = film.assembly.wheel
            app.say(f"locked to {wheels[view.wheel % len(wheels)]}; Tab for the next")
    elif action == "next wheel":
        n = len(film.assembly.wheel)
        view.wheel = (view.wheel + (-1 if shift else 1)) % n
        app.say(f"wheel {film.assembly.wheel[view.wheel]}")
    elif action == "match":
        view.match = TIME if view.match == POSITION else POSITION
    elif action == "measure":
        view.measuring, view.measured = not view.measuring, []
    elif action == "layers":
        app.layers_open = not app.layers_open
    elif action == "tweak":
        app.changing.toggle()
    elif action == "save picture":
        app.recorder.picture(view, app.screen.get_size())
    elif action == "record":
        _record(app, ".gif" if shift else ".mp4")
    elif action == "theme":
        view.theme = "light" if view.theme == "dark" else "dark"
        app.painter.build()
    elif action == "help":
        view.help = not view.help
    elif action == "quit":
        app.closed = True


def _event(app: App, on: bool) -> None:
    """To the next event, or the one before."""
    film, now = app.view.film, app.view.row
    rows = [e.row for e in film.events if (e.row > now if on else e.row < now)]
    if not rows:
        app.say("no further event" if on else "no event before this")
        return
    app.view.playing = False
    row = min(rows) if on else max(rows)
    app.go(film.time(row))
    app.say("; ".join(f"{e.kind} {e.where}" for e in film.events if e.row == row))


def _record(app: App, kind: str) -> None:
    if app.recorder.on:
        app.recorder.stop()
    else:
        app.recorder.start(app.view, app.screen.get_size(), kind)
