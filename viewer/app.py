"""The window: events in, frames out."""

from __future__ import annotations

import os
import time
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

import pygame

from sim.errors import InputError, Problem, TrundleError
from viewer import ink, tweak
from viewer.camera import MODES
from viewer.export import save_png, still
from viewer.film import Film, film_of_result
from viewer.keys import ACTION, LAYER_KEYS
from viewer.live import LiveRun, describe, restart
from viewer.movie import Movie, have_mp4
from viewer.painter import Painter
from viewer.sheets import LayerSheet, TweakSheet, help_page
from viewer.view import LAYERS, POSITION, SPEEDS, TIME, View

if TYPE_CHECKING:
    from sim.record.result import Result

FPS = 60
RECORD_FPS = {".mp4": 30, ".gif": 20}
NO_DISPLAY = ("offscreen", "dummy")


def open_window(size: tuple[int, int] | None) -> pygame.Surface:
    """The window. Raises InputError if there is no display to put it on."""
    asked = os.environ.get("SDL_VIDEODRIVER", "")
    if not asked:
        # Set to nothing it would be taken for the name of a driver.
        os.environ.pop("SDL_VIDEODRIVER", None)
    try:
        pygame.display.init()
        pygame.font.init()
        if pygame.display.get_driver() in NO_DISPLAY and asked not in NO_DISPLAY:
            raise pygame.error("only an invisible display was found")
        if size is None:
            size = _fitting()
        pygame.display.set_caption("Trundle")
        return pygame.display.set_mode(size, pygame.RESIZABLE)
    except pygame.error as e:
        pygame.display.quit()
        raise InputError(
            Problem(
                f"there is no display to open a window on ({e})",
                field="watch",
                allowed="--movie FILE.mp4, --movie FILE.gif or --frame SECONDS FILE.png, which need none",
            )
        ) from None


def _fitting() -> tuple[int, int]:
    """Most of the desktop, at least 1280 by 720, in 16:9."""
    sizes = pygame.display.get_desktop_sizes()
    w, h = sizes[0] if sizes else (1280, 720)
    width = max(1280, min(int(0.85 * w), int(0.85 * h * 16 / 9)))
    return width, round(width * 9 / 16)


class App:
    """One window on one film. `tick` is one turn of its loop; `run` turns until it is closed."""

    def __init__(
        self, film: Film, ghost: Film | None = None, live: LiveRun | None = None,
        size: tuple[int, int] | None = None, folder: Path | None = None,
    ) -> None:  # fmt: skip
        self.screen = open_window(size)
        self.folder = folder if folder is not None else Path.cwd()
        self.view = View(film, ghost, film.first_s, playing=True)
        self.live = live
        self.painter = Painter(self.screen.get_size(), self.view)
        self.layers = LayerSheet()
        self.layers_open = False
        self.tweak: TweakSheet | None = None
        self.movie: Movie | None = None
        self._record_next = 0.0
        self._start = film
        self._changes: dict[str, float] = {}
        self._drag = ""
        self._next: LiveRun | None = None
        self._spot = 0.0
        self.closed = False
        self.dirty = True
        self._shown = (-1, -1)
        pygame.key.set_repeat(300, 40)

    # -- the loop ------------------------------------------------------------------------------------------

    def run(self) -> None:
        """Until the window is closed. Frees the display whatever happens."""
        clock = pygame.time.Clock()
        try:
            while not self.closed:
                self.tick(clock.tick(FPS) * 1e-3)
        finally:
            self.close()

    def close(self) -> None:
        """Stop the live run, drop a movie that is not finished, close the window."""
        self.closed = True
        if self.movie is not None:
            self.movie.__exit__(KeyboardInterrupt, KeyboardInterrupt(), None)
            print(f"The window was closed while recording: {self.movie.file} was not written.")
            self.movie = None
        for run in (self.live, self._next):
            if run is not None:
                run.stop()
        ink.forget()
        pygame.font.quit()
        pygame.display.quit()

    def tick(self, passed_s: float) -> None:
        """Take what has happened, move time on, draw if anything changed."""
        for event in pygame.event.get():
            try:
                self.take(event)
            except TrundleError as e:
                self.say(str(e))
            self.dirty = True
        if self.closed:
            return
        if self.view.film.rows == 0:
            # A live run that has not made its first rows yet.
            if self.view.film.done:
                self.closed = True
                raise InputError(Problem(f"the run did not start: {self.view.film.ended}"))
            return
        self._play(passed_s)
        now = (self.view.row, self.view.film.rows if not self.view.film.done else -1)
        talking = bool(self.view.message)
        if talking and time.perf_counter() > self.view.message_until:
            self.view.message, self.dirty = "", True
        if self.dirty or now != self._shown:
            self.draw()
            pygame.display.flip()
            self._shown, self.dirty = now, False
        self._record()

    def _play(self, passed_s: float) -> None:
        view = self.view
        if self._next is not None:
            # A changed run takes over at the same spot as soon as it has got there; till then the picture
            # stands still, so that the spot is the one at which the key was pressed.
            film, spot = self._next.film, self._spot
            if film.rows > 1 and (film.done or film.at("hull.x_mm", film.rows - 1) >= spot):
                self._take_over(self._next, spot)
            elif film.done:
                self._next = None
                self.say(f"the changed vehicle does not run: {film.ended}")
            return
        if not view.playing:
            return
        view.time_s += min(passed_s, 0.1) * view.speed
        if view.time_s >= view.film.end_s:
            view.time_s = view.film.end_s
            if view.film.done:
                view.playing, self.dirty = False, True

    def draw(self) -> None:
        """One frame into the window."""
        view, u = self.view, self.painter.u
        pressed = {
            "layers": self.layers_open,
            "numbers": view.numbers,
            "measure": view.measuring,
            "help": view.help,
            "tweak": self.tweak is not None,
            "record": self.movie is not None,
        }
        active = frozenset(name for name, on in pressed.items() if on)
        self.painter.draw(self.screen, active, self.movie is not None, can_tweak=True)
        p = self.painter.palette
        if self.layers_open:
            self.layers.draw(self.screen, p, u, view, self.painter.toolbar.rect.top)
        if self.tweak is not None:
            self.tweak.draw(self.screen, p, u, self.painter.rect)
        if view.help:
            help_page(self.screen, p, u)
        if view.message:
            at = (self.painter.rect.centerx, self.painter.rect.bottom - 60 * u)
            ink.pill(self.screen, view.message[:150], at, round(13 * u), p.text, p.panel)

    def say(self, words: str) -> None:
        """Show a message for a while."""
        self.view.message = words.replace("\n", "; ")
        self.view.message_until = time.perf_counter() + 4.0
        self.dirty = True

    # -- events --------------------------------------------------------------------------------------------

    def take(self, event: pygame.event.Event) -> None:
        """One event of the window."""
        if event.type == pygame.QUIT:
            self.closed = True
        elif event.type == pygame.VIDEORESIZE:
            if self.movie is not None:
                self._stop_recording()
            self.screen = pygame.display.get_surface() or self.screen
            self.painter.size = self.screen.get_size()
            self.painter.u = max(0.5, min(self.painter.size[0] / 1280.0, self.painter.size[1] / 720.0))
            self.painter.build()
        elif event.type == pygame.KEYDOWN:
            self._key(event)
        elif event.type == pygame.MOUSEBUTTONDOWN and event.button == 1:
            self._press(*event.pos)
        elif event.type == pygame.MOUSEBUTTONUP and event.button == 1:
            self._drag = ""
        elif event.type == pygame.MOUSEMOTION:
            self._move(event)
        elif event.type == pygame.MOUSEWHEEL:
            if self.tweak is not None and self.view.hover and self.view.hover[0] < 450 * self.painter.u:
                self.tweak.move(-event.y)
            else:
                at = self.view.hover or self.painter.rect.center
                self.painter.zoom(1.15**event.y, at)

    def _key(self, event: pygame.event.Event) -> None:
        shift = bool(event.mod & pygame.KMOD_SHIFT)
        if event.key == pygame.K_ESCAPE:
            if self.view.help:
                self.view.help = False
            elif self.tweak is not None:
                self._leave_tweak()
            elif self.layers_open:
                self.layers_open = False
            elif self.view.measuring or self.view.measured:
                self.view.measuring, self.view.measured = False, []
            else:
                self.closed = True
            return
        if self.tweak is not None:
            self._tweak_key(event, shift)
            return
        if event.key in LAYER_KEYS:
            self._layer(LAYERS[LAYER_KEYS.index(event.key)])
            return
        # The question mark is Shift and another key on most keyboards.
        action = "help" if event.unicode == "?" else ACTION.get(event.key)
        if action is not None:
            self.do(action, shift)

    def do(self, action: str, shift: bool = False) -> None:
        """Carry out an action by name (keys and buttons both come here)."""
        view, film = self.view, self.view.film
        if action == "play":
            if not view.playing and film.done and view.time_s >= film.end_s - film.dt_s:
                view.time_s = film.first_s
            view.playing = not view.playing
        elif action in ("step back", "step on"):
            view.playing = False
            self._go(film.time(view.row + (1 if action == "step on" else -1) * (10 if shift else 1)))
        elif action in ("jump back", "jump on"):
            self._go(view.time_s + (1.0 if action == "jump on" else -1.0) * (5.0 if shift else 0.5))
        elif action in ("faster", "slower", "speed one"):
            k = min(range(len(SPEEDS)), key=lambda i: abs(SPEEDS[i] - view.speed))
            k = min(max(k + (1 if action == "faster" else -1), 0), len(SPEEDS) - 1)
            view.speed = 1.0 if action == "speed one" else SPEEDS[k]
        elif action in ("previous event", "next event"):
            self._event(action == "next event")
        elif action == "start":
            self._go(film.first_s)
        elif action == "end":
            self._go(film.end_s)
        elif action in ("zoom in", "zoom out"):
            self.painter.zoom(1.25 if action == "zoom in" else 0.8, self.painter.rect.center)
        elif action == "fit":
            self.painter.fit()
        elif action == "camera":
            view.camera = MODES[(MODES.index(view.camera) + 1) % len(MODES)]
            self.painter.hold()
            if view.camera == MODES[2]:
                wheels = film.assembly.wheel
                self.say(f"locked to {wheels[view.wheel % len(wheels)]}; Tab for the next")
        elif action == "next wheel":
            n = len(film.assembly.wheel)
            view.wheel = (view.wheel + (-1 if shift else 1)) % n
            self.say(f"wheel {film.assembly.wheel[view.wheel]}")
        elif action == "match":
            view.match = TIME if view.match == POSITION else POSITION
        elif action == "measure":
            view.measuring, view.measured = not view.measuring, []
        elif action == "numbers":
            view.numbers = not view.numbers
        elif action == "layers":
            self.layers_open = not self.layers_open
        elif action == "tweak":
            self._open_tweak()
        elif action == "save picture":
            self._picture()
        elif action == "record":
            self._stop_recording() if self.movie is not None else self._start_recording(".gif" if shift else ".mp4")
        elif action == "theme":
            view.theme = "light" if view.theme == "dark" else "dark"
            self.painter.build()
        elif action == "help":
            view.help = not view.help
        elif action == "quit":
            self.closed = True

    def _go(self, time_s: float) -> None:
        film = self.view.film
        self.view.time_s = min(max(time_s, film.first_s), film.end_s)

    def _event(self, on: bool) -> None:
        film, now = self.view.film, self.view.row
        rows = [e.row for e in film.events if (e.row > now if on else e.row < now)]
        if not rows:
            self.say("no further event" if on else "no event before this")
            return
        self.view.playing = False
        row = min(rows) if on else max(rows)
        self._go(film.time(row))
        self.say("; ".join(f"{e.kind} {e.where}" for e in film.events if e.row == row))

    def _layer(self, name: str) -> None:
        self.view.layers ^= {name}
        if name == "traces":
            self.painter.build()

    def _press(self, x: float, y: float) -> None:
        painter, view = self.painter, self.view
        if view.help:
            view.help = False
            return
        if self.layers_open and (name := self.layers.at(x, y)) is not None:
            self._layer(name)
            return
        if (action := painter.toolbar.at(x, y)) is not None:
            self.do(action)
        elif self.tweak is not None and (path := self.tweak.at(x, y)) is not None:
            self.tweak.chosen = self.tweak.shown().index(path)
        elif painter.strip.rect.collidepoint(x, y):
            event = painter.strip.event_at(view.film, x, y)
            if event is not None:
                view.playing = False
                self._go(view.film.time(event.row))
                self.say(f"{event.kind} {event.where}")
            else:
                self._drag = "strip"
                self._go(painter.strip.time_at(view.film, x))
        elif painter.traces is not None and painter.traces.rect.collidepoint(x, y):
            self._drag = "traces"
            view.playing = False
        elif view.measuring:
            at = painter.camera.to_mm(x, y)
            view.measured = [*view.measured, at] if len(view.measured) == 1 else [at]
        else:
            self._drag = "picture"

    def _move(self, event: pygame.event.Event) -> None:
        self.view.hover = (float(event.pos[0]), float(event.pos[1]))
        if self._drag == "picture":
            self.painter.pan(*event.rel)
        elif self._drag == "strip":
            self._go(self.painter.strip.time_at(self.view.film, event.pos[0]))
        elif self._drag == "traces" and self.painter.traces is not None:
            now = self.view.time_s
            a = self.painter.traces.time_at(event.pos[0], now)
            b = self.painter.traces.time_at(event.pos[0] - event.rel[0], now)
            if a is not None and b is not None:
                self._go(now - (a - b))

    # -- pictures and movies -------------------------------------------------------------------------------

    def _stem(self) -> str:
        return "-".join(self.view.film.title.lower().replace(" over ", " ").split())

    def _picture(self) -> None:
        out = tweak.free_name(self.folder, self._stem(), ".png")
        save_png(still(self._copy(), self.screen.get_size()), out)
        self.say(f"saved {out.name}")

    def _copy(self) -> View:
        return replace(self.view, hover=None, help=False, message="")

    def _start_recording(self, kind: str) -> None:
        note = ""
        if kind == ".mp4" and not have_mp4():
            kind, note = ".gif", " (an MP4 needs imageio-ffmpeg: pip install trundle[video])"
        out = tweak.free_name(self.folder, self._stem(), kind)
        w, h = self.screen.get_size()
        size = (w - w % 2, h - h % 2) if kind == ".mp4" else (w // 2, h // 2)
        self.movie = Movie(out, size, RECORD_FPS[kind]).__enter__()
        self._record_next = time.perf_counter()
        self.say(f"recording {out.name}{note}; R stops")

    def _record(self) -> None:
        movie = self.movie
        if movie is None or time.perf_counter() < self._record_next:
            return
        self._record_next = max(self._record_next + 1.0 / movie.fps, time.perf_counter() - 0.25)
        frame = self.screen
        if movie.size != frame.get_size():
            if movie.file.suffix == ".gif":
                frame = pygame.transform.smoothscale(frame, movie.size)
            else:
                frame = frame.subsurface((0, 0, *movie.size)).copy()
        try:
            movie.add(frame)
        except InputError as e:
            self._stop_recording()
            self.say(str(e))

    def _stop_recording(self) -> None:
        movie, self.movie = self.movie, None
        if movie is not None:
            movie.__exit__(None, None, None)
            self.say(f"saved {movie.file.name}, {movie.frames} frames")

    # -- changing the vehicle ------------------------------------------------------------------------------

    def _open_tweak(self) -> None:
        if self.tweak is not None:
            self._leave_tweak()
            return
        self.tweak = TweakSheet(tweak.numbers(self._start.vehicle), dict(self._changes))

    def _leave_tweak(self) -> None:
        self.tweak = None

    def _tweak_key(self, event: pygame.event.Event, shift: bool) -> None:
        sheet = self.tweak
        assert sheet is not None
        path = sheet.path
        if event.key == pygame.K_s and event.mod & (pygame.KMOD_CTRL | pygame.KMOD_META):
            self._save_vehicle()
        elif sheet.typing is not None:
            if event.key in (pygame.K_RETURN, pygame.K_KP_ENTER):
                text, sheet.typing = sheet.typing, None
                if path is not None and text:
                    self._type(path, text)
            elif event.key == pygame.K_BACKSPACE:
                sheet.typing = sheet.typing[:-1]
            elif event.unicode and event.unicode in "0123456789.-+e":
                sheet.typing += event.unicode
        elif event.key in (pygame.K_UP, pygame.K_DOWN):
            sheet.move(1 if event.key == pygame.K_DOWN else -1)
        elif event.key in (pygame.K_PAGEUP, pygame.K_PAGEDOWN):
            sheet.move(10 if event.key == pygame.K_PAGEDOWN else -10)
        elif event.key in (pygame.K_LEFT, pygame.K_RIGHT) and path is not None:
            times = 1 if event.key == pygame.K_RIGHT else -1
            self._change(path, tweak.nudged(sheet.value(path), times, shift))
        elif event.key in (pygame.K_RETURN, pygame.K_KP_ENTER):
            sheet.typing = ""
        elif event.key == pygame.K_BACKSPACE:
            sheet.search, sheet.chosen = sheet.search[:-1], 0
        elif event.unicode and event.unicode.isprintable():
            sheet.search, sheet.chosen = sheet.search + event.unicode, 0

    def _type(self, path: str, text: str) -> None:
        sheet = self.tweak
        assert sheet is not None
        try:
            value: float = float(text)
        except ValueError:
            sheet.note = f'"{text}" is not a number'
            return
        if isinstance(sheet.values[path], int) and value == int(value):
            value = int(value)
        self._change(path, value)

    def _change(self, path: str, value: float) -> None:
        """Set a field and run again; the run so far becomes the ghost. What is refused changes nothing."""
        sheet = self.tweak
        assert sheet is not None
        sheet.note = ""
        changes = {**self._changes, path: value}
        if value == sheet.values[path]:
            del changes[path]
        view = self.view
        try:
            vehicle = tweak.changed(self._start.vehicle, changes)
            live, spot = restart(view.film, vehicle, view.row)
        except InputError as e:
            sheet.note = str(e.problems[0])
            return
        if self._next is not None:
            self._next.stop()
        live.film.vehicle_file = self._start.vehicle_file
        said = [live.film.note, f"changed: {describe(changes)}" if changes else "as it was"]
        live.film.note = "; ".join(n for n in said if n)
        self._changes, sheet.changes = changes, dict(changes)
        self._next, self._spot = live, spot

    def _take_over(self, live: LiveRun, spot: float) -> None:
        """Show the changed run from the spot on; the run so far becomes the ghost."""
        if self.live is not None and not self.live.film.done:
            # Half a run is still a ghost; it only gets no longer.
            self.live.stop()
        view = self.view
        view.ghost, view.film = view.film, live.film
        view.ghost.note = view.ghost.note or "before the change"
        self.live, self._next = live, None
        view.time_s = live.film.time(live.film.row_at_x(spot))
        self.painter.build()
        self.dirty = True

    def _save_vehicle(self) -> None:
        sheet = self.tweak
        assert sheet is not None
        original = self._start.vehicle_file
        stem = original.stem if original is not None else self._start.vehicle.name.lower().replace(" ", "-")
        out = tweak.free_name(self.folder, f"{stem}-changed", ".toml")
        tweak.save(self._start.vehicle, self._changes, original, out)
        self.say(f"saved {out.name}")


def watch(
    film: Film, ghost: Film | None = None, live: LiveRun | None = None, size: tuple[int, int] | None = None
) -> None:
    """Open a window on a film until it is closed. Raises InputError if there is no display."""
    try:
        App(film, ghost, live, size).run()
    except KeyboardInterrupt:
        pass
    finally:
        if live is not None:
            live.stop()


def watch_result(result: Result) -> None:
    """Open a window on a fresh run (`trundle run --watch`). Raises InputError if there is no display."""
    watch(film_of_result(result))
