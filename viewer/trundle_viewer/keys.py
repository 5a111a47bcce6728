"""Which key does what, read from the tables of actions and layers; and what the mouse does."""

from __future__ import annotations

from trundle_viewer import layers
from trundle_viewer.actions import ACTIONS

MOUSE = (
    ("drag", "move the picture"),
    ("wheel", "zoom about the pointer"),
    ("point at a wheel", "its figures"),
    ("click or drag on the strip", "go there; click a tick for its event"),
    ("click a numbered finding", "to just before it"),
    ("drag on a trace", "wind through time"),
)


def action_of(key: int) -> str | None:
    """What a key does: the name of an action, or of the layer it shows or hides."""
    names = [action.name for action in ACTIONS if key in action.keys]
    names += [layer.name for layer in layers.listed() if key in layer.keys]
    return names[0] if names else None
