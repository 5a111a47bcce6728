"""Which key does what, read from the tables of actions and layers; and what the mouse does."""

from __future__ import annotations

import pygame

from trundle_viewer import layers
from trundle_viewer.actions import ACTIONS

ALWAYS = (
    ("Esc", "close what is open, or else leave"),
    ("number pad", "its figures, + and − do as those above"),
)
"""What stands in no table of actions: words of the help page."""

SHEET_KEYS = (
    ("Up, Down", "another number", (pygame.K_UP, pygame.K_DOWN)),
    ("Page up, down", "ten further", (pygame.K_PAGEUP, pygame.K_PAGEDOWN)),
    ("Left, Right", "a step of 2 % (Shift: 10 %)", (pygame.K_LEFT, pygame.K_RIGHT)),
    ("Enter", "type a value; Enter again takes it", (pygame.K_RETURN, pygame.K_KP_ENTER)),
    ("Backspace", "take a letter back", (pygame.K_BACKSPACE,)),
    ("Ctrl+S", "save as a new file", (pygame.K_s,)),
)
"""Keys of the list of numbers: what they are called, what they do, pygame's. Letters search it."""

MOUSE = (
    ("drag", "move the picture"),
    ("wheel", "zoom there, or move a list"),
    ("point at a wheel", "its figures"),
    ("click, drag on the strip", "go there; on a tick: to its event"),
    ("click a numbered finding", "to just before it"),
    ("drag on a trace", "wind through time"),
)


def action_of(key: int) -> str | None:
    """What a key does: the name of an action, or of the layer it shows or hides."""
    names = [action.name for action in ACTIONS if key in action.keys]
    names += [layer.name for layer in layers.listed() if key in layer.keys]
    return names[0] if names else None
