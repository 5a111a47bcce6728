"""Keyboard and mouse of the bench: which of the window's events mean what."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pygame

from trundle_viewer.bench.actions import ACTIONS, action_of, chosen
from trundle_viewer.bench.fields import unit_of
from trundle_viewer.bench.typed import typed

if TYPE_CHECKING:
    from trundle_viewer.bench.app import Bench

FINE, COARSE = 1.0, 5.0
"""What a dragged value is rounded to, with Shift: [mm]."""

FINE_DEG = 0.5
"""The same of an angle, without Shift [deg]."""


def take(bench: Bench, event: pygame.event.Event) -> None:
    """One event of the window."""
    if event.type == pygame.QUIT:
        bench.closed = True
    elif event.type == pygame.VIDEORESIZE:
        bench.resized()
    elif event.type == pygame.KEYDOWN:
        _key(bench, event)
    elif event.type == pygame.MOUSEBUTTONDOWN and event.button == 1:
        _press(bench, (float(event.pos[0]), float(event.pos[1])))
    elif event.type == pygame.MOUSEBUTTONUP and event.button == 1:
        bench.panning = False
        if bench.grip is not None:
            bench.let_go()
    elif event.type == pygame.MOUSEMOTION:
        _move(bench, event)
    elif event.type == pygame.MOUSEWHEEL:
        _wheel(bench, event.y)


def _key(bench: Bench, event: pygame.event.Event) -> None:
    shift, ctrl = bool(event.mod & pygame.KMOD_SHIFT), bool(event.mod & (pygame.KMOD_CTRL | pygame.KMOD_META))
    sheet, choice = bench.sheet, bench.choice
    if event.key == pygame.K_ESCAPE:
        _escape(bench)
    elif sheet.courses is not None:
        if event.key in (pygame.K_UP, pygame.K_DOWN):
            sheet.courses.move(1 if event.key == pygame.K_DOWN else -1)
        elif event.key in (pygame.K_RETURN, pygame.K_KP_ENTER):
            bench.roll(sheet.courses.files[sheet.courses.chosen])
    elif choice.typing is not None and not ctrl:
        _typing(bench, event)
    elif not ctrl and event.unicode and event.unicode in "0123456789.,-" and chosen(bench) is not None:
        choice.typing = event.unicode
    elif (action := action_of(event.key, ctrl)) is not None:
        action.do(bench, shift)
    elif event.unicode == "?":
        sheet.help = not sheet.help


def _typing(bench: Bench, event: pygame.event.Event) -> None:
    """A key while a number is typed: Enter or Tab take it."""
    choice = bench.choice
    assert choice.typing is not None
    if event.key in (pygame.K_RETURN, pygame.K_KP_ENTER, pygame.K_TAB):
        text, choice.typing = choice.typing.strip(), None
        one = chosen(bench)
        if one is not None and text:
            try:
                value = typed(text, one.path)
            except ValueError as e:
                choice.note = str(e)
                return
            bench.set_number(value)
        if event.key == pygame.K_TAB:
            choice.row = (choice.row + 1) % len(bench.design.fields(choice.part))
    elif event.key == pygame.K_BACKSPACE:
        choice.typing = choice.typing[:-1]
    elif event.unicode and event.unicode.isprintable() and len(choice.typing) < 30:
        choice.typing += event.unicode


def _escape(bench: Bench) -> None:
    sheet, choice = bench.sheet, bench.choice
    if sheet.help:
        sheet.help = False
    elif sheet.courses is not None:
        sheet.courses = None
    elif choice.typing is not None:
        choice.typing = None
    elif bench.grip is not None:
        bench.grip = None
        bench.design.drop()
        bench.again()
    elif choice.part:
        choice.part, choice.note = "", ""
    else:
        bench.closed = True


def _press(bench: Bench, px: tuple[float, float]) -> None:
    sheet = bench.sheet
    if sheet.help:
        sheet.help = False
    elif sheet.courses is not None:
        k = sheet.courses.at(*px)
        if k is not None:
            bench.roll(sheet.courses.files[k])
    elif (name := bench.bar.at(*px)) is not None:
        next(a for a in ACTIONS if a.name == name).do(bench, False)
    elif bench.panel.rect.collidepoint(px):
        k = next((k for rect, k in bench.choice.spots if rect.collidepoint(px)), None)
        if k is not None:
            bench.choice.row, bench.choice.typing = k, None
    elif not bench.take_hold(px):
        bench.panning = True


def _move(bench: Bench, event: pygame.event.Event) -> None:
    before, bench.hover = bench.hover, (float(event.pos[0]), float(event.pos[1]))
    if bench.grip is not None:
        mods = pygame.key.get_mods() if pygame.display.get_init() else 0
        fine = FINE_DEG if unit_of(bench.grip.pull.handle.path) == "deg" else FINE
        step = COARSE if mods & pygame.KMOD_SHIFT else fine
        bench.drag(bench.hover, step, bool(mods & pygame.KMOD_CTRL))
    elif bench.panning and before is not None:
        camera = bench.picture.camera
        camera.x -= (bench.hover[0] - before[0]) / camera.scale
        camera.y += (bench.hover[1] - before[1]) / camera.scale


def _wheel(bench: Bench, turns: float) -> None:
    if bench.hover is not None and bench.panel.rect.collidepoint(bench.hover):
        if bench.choice.part:
            count = len(bench.design.fields(bench.choice.part))
            bench.choice.row = min(max(bench.choice.row - int(turns), 0), count - 1)
    else:
        bench.picture.camera.zoom(1.15**turns, *(bench.hover or bench.picture.rect.center))
