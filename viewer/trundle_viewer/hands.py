"""Keyboard and mouse: which of the window's events mean what."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pygame

from trundle_viewer.keys import action_of

if TYPE_CHECKING:
    from trundle_viewer.app import App


def take(app: App, event: pygame.event.Event) -> None:
    """One event of the window."""
    if event.type == pygame.QUIT:
        app.closed = app.quit = True
    elif event.type == pygame.VIDEORESIZE:
        if app.recorder.on:
            app.recorder.stop()
        app.screen = pygame.display.get_surface() or app.screen
        app.painter.size = app.screen.get_size()
        app.painter.u = max(0.5, min(app.painter.size[0] / 1280.0, app.painter.size[1] / 720.0))
        app.painter.build()
    elif event.type == pygame.KEYDOWN:
        _key(app, event)
    elif event.type == pygame.MOUSEBUTTONDOWN and event.button == 1:
        _press(app, *event.pos)
    elif event.type == pygame.MOUSEBUTTONUP and event.button == 1:
        app.drag = ""
    elif event.type == pygame.MOUSEMOTION:
        _move(app, event)
    elif event.type == pygame.MOUSEWHEEL:
        sheet = app.changing.sheet
        if sheet is not None and app.view.hover and sheet.box.collidepoint(app.view.hover):
            sheet.move(-event.y)
        else:
            at = app.view.hover or app.painter.rect.center
            app.painter.zoom(1.15**event.y, at)


def _key(app: App, event: pygame.event.Event) -> None:
    shift = bool(event.mod & pygame.KMOD_SHIFT)
    if event.key == pygame.K_ESCAPE:
        if app.view.help:
            app.view.help = False
        elif app.changing.sheet is not None:
            app.do("tweak")
        elif app.layers_open:
            app.layers_open = False
        elif app.view.measuring or app.view.measured:
            app.view.measuring, app.view.measured = False, []
        else:
            app.closed = True
        return
    if app.changing.sheet is not None:
        app.changing.key(event, shift)
        return
    # The question mark is Shift and another key on most keyboards.
    action = "help" if event.unicode == "?" else action_of(event.key)
    if action is not None:
        app.do(action, shift)


def _press(app: App, x: float, y: float) -> None:
    painter, view = app.painter, app.view
    if view.help:
        view.help = False
        return
    if app.layers_open and (name := app.layers.at(x, y)) is not None:
        app.layer(name)
        return
    if (action := painter.toolbar.at(x, y)) is not None:
        app.do(action)
    elif app.changing.sheet is not None and (path := app.changing.sheet.at(x, y)) is not None:
        app.changing.sheet.chosen = app.changing.sheet.shown().index(path)
    elif (found := _finding(app, x, y)) is not None:
        app.to_finding(found)
    elif painter.strip.rect.collidepoint(x, y):
        event = painter.strip.event_at(view.film, x, y)
        if event is not None:
            view.playing = False
            app.go(view.film.time(event.row))
            app.say(f"{event.kind} {event.where}")
        else:
            app.drag = "strip"
            app.go(painter.strip.time_at(view.film, x))
    elif painter.traces is not None and painter.traces.rect.collidepoint(x, y):
        app.drag = "traces"
        view.playing = False
    elif view.measuring:
        at = painter.camera.to_mm(x, y)
        view.measured = [*view.measured, at] if len(view.measured) == 1 else [at]
    else:
        app.drag = "picture"


def _finding(app: App, x: float, y: float) -> int | None:
    """The finding under a pixel, in the list or on the strip."""
    found = app.painter.head.at(x, y)
    return app.painter.strip.finding_at(app.view.film, x, y) if found is None else found


def _move(app: App, event: pygame.event.Event) -> None:
    app.view.hover = (float(event.pos[0]), float(event.pos[1]))
    if app.drag == "picture":
        app.painter.pan(*event.rel)
    elif app.drag == "strip":
        app.go(app.painter.strip.time_at(app.view.film, event.pos[0]))
    elif app.drag == "traces" and app.painter.traces is not None:
        now = app.view.time_s
        a = app.painter.traces.time_at(event.pos[0], now)
        b = app.painter.traces.time_at(event.pos[0] - event.rel[0], now)
        if a is not None and b is not None:
            app.go(now - (a - b))
