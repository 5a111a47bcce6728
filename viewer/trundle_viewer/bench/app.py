"""The bench in a window: events in, the newest state stood beside it, frames out."""

from __future__ import annotations

import time
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pygame

from trundle.errors import InputError, Problem, TrundleError
from trundle.fields.shape import Shape
from trundle.fields.sketch import XY
from trundle.result.inputs import VehicleInput
from trundle.spec.reader import set_values
from trundle.spec.short import tables_of
from trundle_viewer import ink
from trundle_viewer.app import FPS, App
from trundle_viewer.bench.asking import Asking
from trundle_viewer.bench.bar import Bar, help_page
from trundle_viewer.bench.courses import Chooser
from trundle_viewer.bench.design import Design, Settings, Twin, followed, twins
from trundle_viewer.bench.handles import Handle, Pull, drawn, handles
from trundle_viewer.bench.hands import take
from trundle_viewer.bench.panel import WIDE, Choice, Panel
from trundle_viewer.bench.picture import Frame, Picture
from trundle_viewer.bench.places import place_of
from trundle_viewer.bench.pose import Pose, placed
from trundle_viewer.bench.stander import Stander
from trundle_viewer.bench.stood import Refused, Stood, assembled, stood, unloaded
from trundle_viewer.live import LiveRun, start
from trundle_viewer.palette import PALETTES
from trundle_viewer.scene import Scene, SceneMaker
from trundle_viewer.window import open_window


@dataclass(frozen=True)
class Grip:
    """What the hand holds. frame: the hull as it stood then, since what is moved in it lifts or tips it, and the hand
    must not move by that; away: from the pointer to the handle in it [mm]; alike: what moves with it."""

    pull: Pull
    frame: Frame
    away: XY
    alike: list[Twin]


@dataclass
class Sheet:
    """What is laid over the picture, and what is said for a while."""

    help: bool = False
    courses: Chooser | None = None
    message: str = ""
    until: float = 0.0


class Bench:
    """A vehicle on the bench. `tick` is one turn of its loop; `run` turns until it is closed.

    opened: what all is held against; settings: changes to begin with, on top of it. folder: where files of a shipped
    vehicle go. screen: a surface to draw on in place of a window. Raises InputError if its parts do not fit together.
    """

    def __init__(
        self,
        opened: VehicleInput,
        settings: Settings | None = None,
        size: tuple[int, int] | None = None,
        folder: Path | None = None,
        screen: pygame.Surface | None = None,
        theme: str = "dark",
    ) -> None:
        vehicle = opened.vehicle
        self._stander = Stander()
        begin = stood(vehicle)
        try:
            self.pose: Pose = begin.pose if isinstance(begin, Stood) else unloaded(vehicle)
        except InputError:
            self._stander.close()
            raise
        self.first: Stood | None = begin if isinstance(begin, Stood) else None
        self.refused: tuple[Problem, ...] = begin.problems if isinstance(begin, Refused) else ()
        self.opened, self.folder = opened, folder if folder is not None else Path.cwd()
        self.screen = open_window(size) if screen is None else screen
        self.theme = theme
        self.design = Design(vehicle, settings, _tables(opened))
        self.choice, self.sheet = Choice(), Sheet()
        self.vehicle = vehicle
        self.good = self.first
        self.apart: tuple[Shape, ...] = ()
        self.first_scene: Scene = SceneMaker(self.pose).make(0)
        self.grip: Grip | None = None
        self.hover: XY | None = None
        self.panning = False
        self.rolling: App | None = None
        self.before: LiveRun | None = None
        """The vehicle as it was opened, over the same course: the ghost of the run."""
        self.saved: Path | None = None
        self.last_course: Path | None = None
        self.closed = False
        self.dirty = True
        self._handles: list[Handle] | None = None
        self._asked = self._answered = 0
        self._lay_out(None)
        self.picture.fit(self.pose)
        self.asking = Asking(self._stander)
        if self.design.now:
            self.change(self.design.now)
        if pygame.display.get_init():
            pygame.key.set_repeat(300, 40)

    def _lay_out(self, old: Picture | None) -> None:
        """For the size and theme of now; seen from where it was seen before."""
        w, h = self.screen.get_size()
        u = self.u = max(0.5, min(w / 1280.0, h / 720.0))
        p = self.palette = PALETTES[self.theme]
        side, bar = round(WIDE * u), round(38 * u)
        self.bar = Bar(pygame.Rect(0, h - bar, w, bar), p, u)
        self.panel = Panel(pygame.Rect(w - side, 0, side, h - bar), p, u)
        rect = pygame.Rect(0, 0, w - side, h - bar)
        self.picture: Picture = Picture(rect, p, u)
        if old is not None:
            camera = self.picture.camera
            camera.scale, camera.x, camera.y = old.camera.scale, old.camera.x, old.camera.y

    def resized(self) -> None:
        """After a change of the window's size."""
        self.screen = pygame.display.get_surface() or self.screen
        self._lay_out(None)
        self.picture.fit(self.pose)

    def other_theme(self) -> None:
        """Dark to light, or back."""
        self.theme = "light" if self.theme == "dark" else "dark"
        self._lay_out(self.picture)

    def run(self) -> None:
        """Until the window is closed. Frees the display whatever happens."""
        clock = pygame.time.Clock()
        try:
            while not self.closed:
                self.tick(clock.tick(FPS) * 1e-3)
        finally:
            self.close()

    def close(self) -> None:
        """End the run that may go on, and the thread; close the window."""
        self.closed = True
        if self.rolling is not None:
            self._stop(self.rolling)
        self.rest()
        ink.forget()
        pygame.font.quit()
        pygame.display.quit()

    def rest(self) -> None:
        """End the process and the thread that stand it."""
        self.asking.close(self._stander.close)

    def tick(self, passed_s: float) -> None:
        """Take what has happened and what has been worked out; draw if anything changed."""
        if self.rolling is not None:
            self._roll_on(self.rolling, passed_s)
            return
        events = pygame.event.get()
        for k, event in enumerate(events):
            if event.type == pygame.MOUSEMOTION and k + 1 < len(events) and events[k + 1].type == pygame.MOUSEMOTION:
                continue  # a mouse tells of its way a thousand times a second: where it is now is what matters
            try:
                take(self, event)
            except TrundleError as e:
                self.say(str(e))
            self.dirty = True
            if self.rolling is not None:
                return
        if self.closed:
            return
        self.look()
        if self.sheet.message and time.perf_counter() > self.sheet.until:
            self.sheet.message, self.dirty = "", True
        if self.dirty:
            self.draw()
            pygame.display.flip()
            self.dirty = False

    def look(self) -> None:
        """Take what the thread has worked out since."""
        told = self.asking.take()
        if told is None:
            return
        self._answered, outcome = told
        newest = self._answered == self._asked
        self.dirty = True
        if isinstance(outcome, Refused):
            if newest:
                self.refused = outcome.problems
            return
        self.good = outcome
        if newest:
            self.refused, self.apart, self.pose = (), (), outcome.pose
        else:
            self._place()
        self._handles = None

    def settle(self, timeout_s: float = 60.0) -> bool:
        """Wait until the newest state is worked out; False if that takes too long."""
        done = self.asking.wait(timeout_s)
        self.look()
        return done

    @property
    def known(self) -> bool:
        """Whether the figures are of the state that is drawn."""
        return self._answered == self._asked and not self.refused

    def say(self, words: str) -> None:
        """Show a message for a while."""
        self.sheet.message = words.replace("\n", "; ")
        self.sheet.until = time.perf_counter() + 5.0
        self.dirty = True

    # What is changed

    def change(self, settings: Settings) -> bool:
        """Make these the settings of now, and have them stood. False, with the reason beside the fields, where a field
        cannot be so: then nothing is changed."""
        try:
            self.vehicle = self.design.propose(settings)
        except InputError as e:
            self.choice.note = str(e.problems[0])
            self.dirty = True
            return False
        self.choice.note = ""
        self._asked = self.asking.ask(self.vehicle)
        self._place()
        self._handles = None
        self.dirty = True
        return True

    def again(self) -> None:
        """After undo, redo, reset: the settings that are now."""
        self.change(dict(self.design.now))

    def _place(self) -> None:
        """Draw the newest state with its arms as they last stood, until its balance is found."""
        good, self.apart = self.good, ()
        try:
            if good is None:
                self.pose = unloaded(self.vehicle)
            else:
                self.pose = placed(assembled(self.vehicle, good.idler_m), good.q, good.values)
        except (InputError, ValueError):
            # Why it cannot be put together is told by the process; what last could be stays drawn under its outline.
            with suppress(ValueError, ArithmeticError):
                self.apart = tuple(drawn(self.vehicle, self._arms_deg(), self.pose.assembly.vehicle))

    def take_hold(self, px: XY) -> bool:
        """Of what is under the pointer; False if there is nothing."""
        handle = self.picture.at(self.pose, self.handles(), px)
        if handle is None:
            return False
        frame = Frame(self.pose, self.picture.camera)
        hull = frame.to_hull(px)
        at = handle.nearest(hull)
        alike = twins(self.design, self.vehicle, handle.path) if self.choice.alike else []
        self.grip = Grip(Pull(handle), frame, (at[0] - hull[0], at[1] - hull[1]), alike)
        self.choose(handle.part, handle.path)
        return True

    def drag(self, px: XY, step: float, one_axis: bool) -> None:
        """Move what is held to under the pointer. step: what its value is rounded to; one_axis: of a point only the
        number that moves more."""
        grip = self.grip
        assert grip is not None
        hull = grip.frame.to_hull(px)
        handle = grip.pull.handle
        wanted = grip.pull.value_for((hull[0] + grip.away[0], hull[1] + grip.away[1]))
        value = snapped(wanted, handle.value, step, one_axis)
        if value != self.design.value(handle.path):
            self.change(self.design.with_values({handle.path: value, **followed(self.design, grip.alike, value)}))

    def let_go(self) -> None:
        """What was dragged becomes a state of its own."""
        self.grip = None
        self.design.keep()
        self._handles = None

    def choose(self, part: str, path: str = "") -> None:
        """A part, and one of its fields."""
        choice = self.choice
        if part != choice.part:
            choice.row = 0
        choice.part, choice.typing, choice.note = part, None, ""
        rows = [k for k, one in enumerate(self.design.fields(part)) if one.path == path]
        if rows and choice.row not in rows:
            choice.row = rows[0]

    def set_number(self, value: float) -> None:
        """The chosen field, and its twins where all are alike: a state of its own."""
        fields = self.design.fields(self.choice.part)
        one = fields[min(self.choice.row, len(fields) - 1)]
        if isinstance(self.design.number(one), int) and value == int(value):
            value = int(value)
        alike = twins(self.design, self.vehicle, one.path) if self.choice.alike else []
        alike = [t for t in alike if one.axis is None or one.axis in t.axes]
        settings = self.design.with_number(one, value)
        new = settings.get(one.path, self.design.at_first(one.path))
        if self.change(self.design.with_values({one.path: new, **followed(self.design, alike, new)})):
            self.design.keep()

    def handles(self) -> list[Handle]:
        """Of the vehicle as it is drawn."""
        if self._handles is None:
            axles = Frame(self.pose, self.picture.camera).axles(self.pose)
            self._handles = handles(self.vehicle, self._arms_deg(), axles)
        return self._handles

    def _arms_deg(self) -> dict[str, float]:
        return {name: self.pose.at(f"arm.{name}.angle_deg", 0) for name in self.pose.assembly.joint}

    # What is drawn

    def draw(self) -> None:
        """One frame."""
        to, picture = self.screen, self.picture
        ink.set_weight(self.u)
        scene = SceneMaker(self.pose).make(0)
        picture.draw(to, scene, self.first_scene if self.design.now else None)
        if self.good is not None:
            before = {w.name: w.load_N for w in self.first.sheet.wheels} if self.first is not None else {}
            picture.loads(to, scene, before, self.known)
        if self.grip is not None and self.hover is not None:
            held = self.grip.pull.held(self.design.value(self.grip.pull.handle.path))
            picture.handles(to, self.pose, (), self.hover, held)
        elif self.hover is not None and picture.rect.collidepoint(self.hover) and self.sheet.courses is None:
            picture.handles(to, self.pose, self.handles(), self.hover, None)
        picture.wanted(to, self.pose, self.apart)
        if self.refused:
            spots = [(place_of(self.vehicle, p.field), p.problem) for p in self.refused[:2]]
            picture.faults(to, self.pose, spots)
        self.panel.draw(to, self.design, self.first, self.good, self.choice, self.known, bool(self.refused))
        self.bar.draw(to, self.choice.alike, self.theme, self.hover)
        if self.sheet.courses is not None:
            self.sheet.courses.draw(to, self.palette, self.u, picture.rect)
        if self.sheet.help:
            help_page(to, self.palette, self.u)
        if self.sheet.message:
            at = (picture.rect.centerx, picture.rect.bottom - 60 * self.u)
            ink.pill(to, self.sheet.message[:150], at, round(13 * self.u), self.palette.text, self.palette.panel)

    # Over a course and back

    def roll(self, course: Path) -> None:
        """The vehicle as it is over a course, in this window."""
        from trundle.engine.length import GROUND_MM
        from trundle.spec.course import load_course
        from trundle.terrain.ground import lay
        from trundle.units import MM

        self.sheet.courses = None
        if self.refused:
            self.say("it does not stand yet: see the picture")
            return
        self.last_course = course
        read = load_course(course)
        ground = lay(read, GROUND_MM * MM)
        live = start(self.vehicle, read, ground)
        live.film.vehicle_file = self.opened.path if not self.design.now else None
        if self.design.now and self.first is not None:
            live.film.state = "as changed on the bench"
            self.before = start(self.first.vehicle, read, ground)
            self.before.film.state = "as it was opened"
        self.rolling = App(
            live.film, self.before.film if self.before else None, (live,), folder=self.folder, screen=self.screen
        )
        self.rolling.view.theme = self.theme
        self.rolling.painter.build()
        self.rolling.say("Esc: back to the bench")

    def _stop(self, app: App) -> None:
        app.stop_runs()
        if self.before is not None:
            self.before.stop()
            self.before = None

    def _roll_on(self, app: App, passed_s: float) -> None:
        try:
            app.tick(passed_s)
        except TrundleError as e:
            app.closed = True
            self.say(str(e))
        if app.closed:
            self._stop(app)
            self.rolling, self.dirty = None, True
            self.closed = app.quit
            if not self.closed and app.screen.get_size() != (self.bar.rect.width, self.bar.rect.bottom):
                self.resized()


def _tables(opened: VehicleInput) -> dict[str, Any] | None:
    """What its file says, spelled out, with what had to be set for it to be a vehicle."""
    if opened.path is None or not opened.text:
        return None
    return set_values(tables_of(opened.text, str(opened.path)).data, dict(opened.settings))


def snapped(wanted: float | XY, before: float | XY, step: float, one_axis: bool) -> float | XY:
    """To whole steps, in each number that has moved by half of one; a whole number stays one."""
    if isinstance(wanted, tuple) and isinstance(before, tuple):
        moved = [abs(w - b) for w, b in zip(wanted, before, strict=True)]
        kept = [one_axis and m < max(moved) for m in moved]
        x, y = (b if keep else _snapped(w, b, step) for w, b, keep in zip(wanted, before, kept, strict=True))
        return x, y
    assert not isinstance(wanted, tuple)
    assert not isinstance(before, tuple)
    return _snapped(wanted, before, step)


def _snapped(wanted: float, before: float, step: float) -> float:
    if isinstance(before, int) and step < 1.0:
        step = 1.0
    if abs(wanted - before) < 0.5 * step:
        return before
    value = round(round(wanted / step) * step, 6)
    return int(value) if isinstance(before, int) and value == int(value) else value
