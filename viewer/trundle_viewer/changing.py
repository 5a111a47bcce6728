"""Changing the vehicle while it is watched: the sheet of its numbers, and the run made from the changes."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pygame

from trundle.errors import InputError
from trundle_viewer import tweak
from trundle_viewer.film import Film
from trundle_viewer.live import LiveRun, describe, restart
from trundle_viewer.sheets import TweakSheet
from trundle_viewer.view import View

SHEET = 380.0
"""Width of the sheet [screen units]."""


class Changing:
    """What has been changed so far, and the changed run until it takes over.

    start: the film with the vehicle as it came; folder: where a changed file goes; say: shows a message.
    """

    def __init__(self, view: View, folder: Path, say: Callable[[str], None]) -> None:
        self.view, self.folder, self.say = view, folder, say
        self.start: Film = view.film
        self.sheet: TweakSheet | None = None
        self.changes: dict[str, float] = {}
        self.next: LiveRun | None = None
        self.spot = 0.0

    def toggle(self) -> None:
        """Open the sheet beside the picture, or close it."""
        if self.sheet is not None:
            self.sheet, self.view.aside = None, 0.0
        else:
            self.view.aside = SHEET
            self.sheet = TweakSheet(tweak.numbers(self.start.vehicle), dict(self.changes))

    def arrived(self) -> LiveRun | None:
        """The changed run once it has got to the spot where the key was pressed; it is then no longer ours."""
        if self.next is None:
            return None
        live, film = self.next, self.next.film
        if film.rows > 1 and (film.done or film.at("hull.x_mm", film.rows - 1) >= self.spot):
            self.next = None
            return live
        if film.done:
            self.next = None
            self.say(f"the changed vehicle does not run: {film.ended}")
        return None

    def key(self, event: pygame.event.Event, shift: bool) -> None:
        """A key while the sheet is open."""
        sheet = self.sheet
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
        sheet = self.sheet
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
        sheet = self.sheet
        assert sheet is not None
        sheet.note = ""
        changes = {**self.changes, path: value}
        if value == sheet.values[path]:
            del changes[path]
        try:
            vehicle = tweak.changed(self.start.vehicle, changes)
            live, spot = restart(self.view.film, vehicle, self.view.row)
        except InputError as e:
            sheet.note = str(e.problems[0])
            return
        if self.next is not None:
            self.next.stop()
        live.film.vehicle_file = self.start.vehicle_file
        said = [live.film.note, f"changed: {describe(changes)}" if changes else "as it was"]
        live.film.note = "; ".join(n for n in said if n)
        live.film.state = "changed" if changes else ""
        self.changes, sheet.changes = changes, dict(changes)
        self.next, self.spot = live, spot

    def _save_vehicle(self) -> None:
        sheet = self.sheet
        assert sheet is not None
        original = self.start.vehicle_file
        stem = original.stem if original is not None else self.start.vehicle.name.lower().replace(" ", "-")
        out = tweak.free_name(self.folder, f"{stem}-changed", ".toml")
        tweak.save(self.start.vehicle, self.changes, original, out)
        self.say(f"saved {out.name}")
