"""The part that has least left, marked on the vehicle; and every part that gives, from the moment in which it does."""

from __future__ import annotations

import math

import pygame

from trundle.findings.serious.breaks import HOW
from trundle.findings.strength_lines import LITTLE
from trundle.findings.words import spoken
from trundle.strength.margin import PartMargin
from trundle_viewer import ink
from trundle_viewer.camera import Camera
from trundle_viewer.notes import Note
from trundle_viewer.palette import Colour, Palette
from trundle_viewer.scene import Scene
from trundle_viewer.view import View
from trundle_viewer.whereabouts import place_of

Surface = pygame.Surface

NAMED = 4
"""Parts that give are named up to so many, the weakest first; the others have their mark."""


def marked(view: View, time_s: float) -> list[PartMargin]:
    """What is to be marked now, the weakest first: the weakest of all, and those that have given by now."""
    told = view.film.told
    known = [m for m in (told.margins if told is not None else ()) if math.isfinite(m.margin)]
    known.sort(key=lambda m: m.margin)
    return known[:1] + [m for m in known[1:] if has_given(m, time_s)]


def has_given(margin: PartMargin, time_s: float) -> bool:
    """Whether a part has given for good by a time [s]."""
    return margin.gives_s is not None and time_s >= margin.gives_s


def bearing(to: Surface, cam: Camera, p: Palette, u: float, s: Scene, view: View) -> list[Note]:
    """Draw the marks on the parts; gives the words to them."""
    notes: list[Note] = []
    for margin in marked(view, s.time_s):
        at = place_of(f"{margin.kind} {margin.name}", s)
        if at is None:
            continue
        x, y = cam.px(*at)
        given, colour = has_given(margin, s.time_s), _colour(p, margin)
        for r in (13.0 * u, 13.0 * u + 1.0):
            ink.ring(to, colour, x, y, r)
        if given:
            for a, b in (((-5, -5), (5, 5)), ((-5, 5), (5, -5))):
                ink.line(to, colour, (x + a[0] * u, y + a[1] * u), (x + b[0] * u, y + b[1] * u), 2.5 * u)
        if len(notes) < NAMED:
            notes.append(Note(x, y - 13.0 * u, words_of(margin, s.time_s), "cross" if given else "ring", colour))
    return notes


def words_of(margin: PartMargin, time_s: float) -> str:
    """`least left: front fore arm 1.36, at 3.11 s`; once it has given `front fore arm bends, 0.69`."""
    part = f"{spoken(margin.name)} {margin.kind}"
    if has_given(margin, time_s):
        how = HOW[margin.kind]
        return f"{part} {how.many if margin.kind == 'hull bolts' else how.one}, {margin.margin:.2f}"
    return f"least left: {part} {margin.margin:.2f}, at {margin.time_s:.2f} s"


def _colour(p: Palette, margin: PartMargin) -> Colour:
    if margin.yields:
        return p.failed
    return p.risk if margin.margin < LITTLE else p.text
