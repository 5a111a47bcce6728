"""Keys and what they do, in one table: the help page is written from it. Layers bring their own (layers.py)."""

from __future__ import annotations

import pygame

from trundle_viewer import layers

KEYS: tuple[tuple[str, tuple[int, ...], str, str], ...] = (
    # action, keys, how they are named, what it does
    ("play", (pygame.K_SPACE,), "Space", "play or pause"),
    ("step back", (pygame.K_COMMA,), ",", "one step back (Shift: ten)"),
    ("step on", (pygame.K_PERIOD,), ".", "one step on (Shift: ten)"),
    ("jump back", (pygame.K_LEFT,), "Left", "half a second back (Shift: 5 s)"),
    ("jump on", (pygame.K_RIGHT,), "Right", "half a second on (Shift: 5 s)"),
    ("faster", (pygame.K_UP,), "Up", "play faster, up to 4 times"),
    ("slower", (pygame.K_DOWN,), "Down", "play slower, down to 1/20"),
    ("previous event", (pygame.K_PAGEUP, pygame.K_p), "Page up, P", "to the event before"),
    ("next event", (pygame.K_PAGEDOWN, pygame.K_n), "Page down, N", "to the next event"),
    ("start", (pygame.K_HOME,), "Home", "to the start"),
    ("end", (pygame.K_END,), "End", "to the end"),
    ("zoom in", (pygame.K_PLUS, pygame.K_EQUALS, pygame.K_KP_PLUS), "+", "closer (or the mouse wheel)"),
    ("zoom out", (pygame.K_MINUS, pygame.K_KP_MINUS), "-", "further away"),
    ("fit", (pygame.K_0, pygame.K_KP0), "0", "the whole vehicle in the middle"),
    ("camera", (pygame.K_c,), "C", "follow the hull, hold still, lock to a wheel"),
    ("next wheel", (pygame.K_TAB,), "Tab", "choose the next wheel (traces, lock)"),
    ("match", (pygame.K_g,), "G", "match the ghost by position or by time"),
    ("measure", (pygame.K_m,), "M", "measure: two clicks, in mm"),
    ("layers", (pygame.K_l,), "L", "the list of layers, to show or hide"),
    ("tweak", (pygame.K_e,), "E", "change a number of the vehicle and run again"),
    ("save picture", (pygame.K_s,), "S", "save this picture (PNG)"),
    ("record", (pygame.K_r,), "R", "record a movie, or stop (MP4; Shift: GIF)"),
    ("theme", (pygame.K_t,), "T", "dark or light"),
    ("help", (pygame.K_h, pygame.K_QUESTION), "H, ?", "this page"),
    ("quit", (pygame.K_q,), "Q", "leave"),
)

MOUSE = (
    ("drag", "move the picture"),
    ("wheel", "zoom about the pointer"),
    ("point at a wheel", "its figures"),
    ("click or drag on the strip", "go there; click a tick for its event"),
    ("drag on a trace", "wind through time"),
)


def action_of(key: int) -> str | None:
    """What a key does: an action's name, or that of the layer it shows or hides."""
    for action, keys, _, _ in KEYS:
        if key in keys:
            return action
    return next((layer.name for layer in layers.listed() if key in layer.keys), None)
