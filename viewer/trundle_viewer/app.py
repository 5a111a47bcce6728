"""The loop: events in, time on, frames out."""

from __future__ import annotations

import time
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

import pygame

from trundle.errors import InputError, Problem, TrundleError
from trundle_viewer import ink
from trundle_viewer.actions import do
from trundle_viewer.changing import Changing
from trundle_viewer.film import Film, film_of_result
from trundle_viewer.hands import take
from trundle_viewer.layers import find, shown_at_first
from trundle_viewer.live import LiveRun
from trundle_viewer.painter import Painter
from trundle_viewer.recorder import Recorder
from trundle_viewer.sheets import LayerSheet, help_page
from trundle_viewer.told import BEFORE_S
from trundle_viewer.view import View
from trundle_viewer.window import open_window

if TYPE_CHECKING:
    from trundle.result.result import Result

FPS = 60


class App:
    """One window on one film. `tick` is one turn of its loop; `run` turns until it is closed."""

    def __init__(
        self, film: Film, ghost: Film | None = None, live: Sequence[LiveRun] = (),
        size: tuple[int, int] | None = None, folder: Path | None = None, layers: set[str] | None = None,
        screen: pygame.Surface | None = None,
    ) -> None:  # fmt: skip
        """screen: that of a window which is there already, in place of a new one."""
        self.screen = open_window(size) if screen is None else screen
        self.folder = folder if folder is not None else Path.cwd()
        shown = shown_at_first() if layers is None else layers
        self.view = View(film, ghost, film.first_s, playing=True, layers=shown)
        self.live = live[0] if live else None
        self.other = live[1] if len(live) > 1 else None
        self.painter = Painter(self.screen.get_size(), self.view)
        self.layers = LayerSheet()
        self.layers_open = False
        self.recorder = Recorder(self.folder, self.say)
        self.changing = Changing(self.view, self.folder, self.say)
        self.drag = ""
        self.closed = False
        self.quit = False
        """Whether it was closed for good, and not only left."""
        self.dirty = True
        self._shown: object = None
        pygame.key.set_repeat(300, 40)

    def run(self) -> None:
        """Until the window is closed. Frees the display whatever happens."""
        clock = pygame.time.Clock()
        try:
            while not self.closed:
                self.tick(clock.tick(FPS) * 1e-3)
        finally:
            self.close()

    def stop_runs(self) -> None:
        """Stop the live run, drop a movie that is not finished."""
        self.closed = True
        self.recorder.drop()
        for run in (self.live, self.other, self.changing.next):
            if run is not None:
                run.stop()

    def close(self) -> None:
        """Stop what goes on, close the window."""
        self.stop_runs()
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
        ghost = self.view.ghost
        now = (self.view.row, self.view.film.rows if not self.view.film.done else -1, self.view.film.told,
               ghost and (ghost.rows, ghost.told))  # fmt: skip
        talking = bool(self.view.message)
        if talking and time.perf_counter() > self.view.message_until:
            self.view.message, self.dirty = "", True
        if self.dirty or now != self._shown:
            self.draw()
            pygame.display.flip()
            self._shown, self.dirty = now, False
        self.recorder.take(self.screen)

    def _play(self, passed_s: float) -> None:
        view = self.view
        if self.changing.next is not None:
            # A changed run takes over at the same spot as soon as it has got there; till then the picture
            # stands still, so that the spot is the one at which the key was pressed.
            live = self.changing.arrived()
            if live is not None:
                self._take_over(live, self.changing.spot)
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
        view, u, sheet = self.view, self.painter.u, self.changing.sheet
        pressed = {
            "layers": self.layers_open,
            "measure": view.measuring,
            "help": view.help,
            "tweak": sheet is not None,
            "record": self.recorder.on,
        }
        active = frozenset(name for name, on in pressed.items() if on) | view.layers
        self.painter.draw(self.screen, active, self.recorder.on, can_tweak=True)
        p = self.painter.palette
        if self.layers_open:
            self.layers.draw(self.screen, p, u, view, self.painter.toolbar.rect.top)
        if sheet is not None:
            sheet.draw(self.screen, p, u, self.painter.side)
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

    def take(self, event: pygame.event.Event) -> None:
        """One event of the window."""
        take(self, event)

    def do(self, action: str, shift: bool = False) -> None:
        """Carry out an action by name (keys and buttons both come here)."""
        do(self, action, shift)

    def go(self, time_s: float) -> None:
        """To this time [s], or the nearest that there is."""
        film = self.view.film
        self.view.time_s = min(max(time_s, film.first_s), film.end_s)

    def to_finding(self, k: int) -> None:
        """A moment before the finding of that place among the worst, and stand still there."""
        told = self.view.film.told
        if told is None:
            self.say("what is worst is known when the whole run has been worked out")
        elif k >= len(told.findings):
            self.say("nothing that matters was found" if k == 0 else f"no more than {len(told.findings)} found")
        elif not told.findings[k].has_moment:
            self.say(f"of the whole run: {told.findings[k].text}")
        else:
            self.view.playing, self.view.finding = False, k
            self.go(told.findings[k].time_s - BEFORE_S)

    def layer(self, name: str) -> None:
        """Show a layer, or hide it. Raises KeyError if there is none of this name."""
        layer = find(name)
        if layer is None:
            raise KeyError(name)
        self.view.layers ^= {name}
        if layer.side:
            self.painter.build()

    def _take_over(self, live: LiveRun, spot: float) -> None:
        """Show the changed run from the spot on; the run so far becomes the ghost."""
        if self.live is not None and not self.live.film.done:
            # Half a run is still a ghost; it only gets no longer.
            self.live.stop()
        view = self.view
        view.ghost, view.film = view.film, live.film
        view.ghost.state = "before the change"
        self.live = live
        view.time_s = live.film.time(live.film.row_at_x(spot))
        self.painter.build()
        self.dirty = True


def watch(
    film: Film, ghost: Film | None = None, live: Sequence[LiveRun] = (),
    size: tuple[int, int] | None = None, layers: set[str] | None = None,
) -> None:  # fmt: skip
    """Open a window on a film until it is closed, or on two. live: those of them that are still being worked out;
    layers: shown at first (None: as the table has it).

    Raises InputError if there is no display.
    """
    try:
        App(film, ghost, live, size, layers=layers).run()
    except KeyboardInterrupt:
        pass
    finally:
        for run in live:
            run.stop()


def watch_result(result: Result) -> None:
    """Open a window on a fresh run (`trundle run --watch`). Raises InputError if there is no display."""
    watch(film_of_result(result))
