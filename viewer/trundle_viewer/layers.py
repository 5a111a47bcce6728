"""The layers of the picture, in one table: drawing, keys, help, buttons and options all read it.

A layer is one entry here and the function that draws it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass

import pygame

from trundle.errors import InputError, Problem, did_you_mean
from trundle.units import MM
from trundle_viewer import forces, notes, readings
from trundle_viewer.bearing import bearing
from trundle_viewer.compared import SIDE
from trundle_viewer.frame import Frame
from trundle_viewer.head import FINDINGS, numbered
from trundle_viewer.pair import COMPARED
from trundle_viewer.whereabouts import place_of

Draw = Callable[[Frame], None]


def _nothing(_: Frame) -> None:
    """Of a layer that has no part there."""


@dataclass(frozen=True)
class Layer:
    """One layer. keys: pygame's, that show or hide it; none for a layer that is always shown; named: what they are
    called; words: go on from its name, on the help page; shown: at first; button: has one in the toolbar; side: room
    that it takes on the right of the picture [screen units].

    draw: on the picture; over: on top of all layers' `draw`; beside: outside the picture. Each in the table's order.
    """

    name: str
    keys: tuple[int, ...] = ()
    named: str = ""
    words: str = ""
    shown: bool = True
    button: bool = False
    side: float = 0.0
    draw: Draw = _nothing
    over: Draw = _nothing
    beside: Draw = _nothing


def _sky(f: Frame) -> None:
    lowest = float(f.view.film.ground.height_m.min()) / MM
    f.stage.sky(f.to, f.rect, f.cam.px(0.0, lowest)[1] + 3.0)


def _hull(f: Frame) -> None:
    f.stage.hull(f.to, f.cam, f.scene)
    f.stage.brackets(f.to, f.cam, f.scene)


def _foot(f: Frame) -> None:
    """The plate below what stands on it; nothing where that is hidden."""
    if f.view.layers & {"grid", "loads"}:
        f.stage.foot(f.to, f.cam)


def _along(f: Frame) -> None:
    f.stage.metres(f.to, f.cam)
    f.stage.names(f.to, f.cam, f.view.film.ground)


def _ghost(f: Frame) -> None:
    other = f.ghost()
    if other is not None:
        f.stage.ghost(f.to, f.cam, other)


def _scale_bar(f: Frame) -> None:
    at = (f.rect.left + 16 * f.u, f.rect.bottom - 12 * f.u)
    forces.scale_bar(f.to, at, f.p, f.u, f.view.film, f.cam)


def _tags(f: Frame) -> None:
    f.notes.extend(readings.tags(f.cam, f.p, f.scene, f.view))
    readings.on_the_spot(f.to, f.cam, f.p, f.u, f.scene)


def _at_parts(f: Frame) -> None:
    """The number of each finding that the picture is at, on its part of the vehicle."""
    told, taken = f.view.film.told, set[tuple[float, float]]()
    for k, finding in enumerate(told.findings if told is not None else ()):
        at = place_of(finding.part, f.scene) if told is not None and told.seen(k, f.scene.time_s) else None
        if at is not None:
            x, y = f.cam.px(*at)
            while (x, y) in taken:
                x += 18 * f.u
            taken.add((x, y))
            numbered(f.to, k, finding.grade, (x, y), 9 * f.u, f.p)


def _notes(f: Frame) -> None:
    if f.notes:
        _, roof = f.cam.px(f.scene.hull_x, float(f.scene.hull[:, 1].max()))
        notes.place(f.to, f.p, f.u, round(11 * f.u), f.notes, roof - 16 * f.u, f.head.bottom, f.rect)


def _pointer(f: Frame) -> None:
    readings.hover_card(f.to, f.cam, f.p, f.u, f.scene, f.view)
    readings.measure(f.to, f.cam, f.p, f.u, f.view)


def _traces(f: Frame) -> None:
    if f.traces is not None:
        f.traces.draw(f.to, f.view)


def _compared(f: Frame) -> None:
    if f.compared is not None:
        f.compared.draw(f.to, f.view)


LAYERS: tuple[Layer, ...] = (
    Layer("sky", draw=_sky),
    Layer("foot", over=_foot),
    Layer(
        "grid", (pygame.K_F10,), "F10", "metres of the course, its obstacles",
        draw=lambda f: f.stage.grid(f.to, f.cam), over=_along,
    ),
    Layer("hull", (pygame.K_F1,), "F1", "with seat, brackets, centre of mass", draw=_hull),
    Layer("ground", draw=lambda f: f.stage.ground(f.to, f.cam, f.view.film.ground)),
    Layer("sprocket and idler", draw=lambda f: f.stage.rounds(f.to, f.cam, f.scene)),
    Layer(
        "wheels", (pygame.K_F3,), "F3", "dashed where they carry nothing",
        draw=lambda f: f.stage.wheels(f.to, f.cam, f.scene),
    ),
    Layer("arms", draw=lambda f: f.stage.arms(f.to, f.cam, f.scene)),
    Layer("springs", (pygame.K_F2,), "F2", "each drawn as what it is",
          draw=lambda f: f.stage.springs(f.to, f.cam, f.scene)),
    Layer("track", (pygame.K_F4,), "F4", "wavy where it is slack",
          draw=lambda f: f.stage.band(f.to, f.cam, f.scene)),
    Layer("stops", (pygame.K_F6,), "F6", "each arm's travel between them",
          draw=lambda f: f.stage.gauges(f.to, f.cam, f.scene)),
    Layer("ghost", (pygame.K_F8,), "F8", "the other run, dashed", draw=_ghost),
    Layer(
        "loads", (pygame.K_F5,), "F5", "on each wheel, as they point",
        draw=lambda f: forces.arrows(f.to, f.cam, f.p, f.u, f.scene, f.view), over=_scale_bar,
    ),
    Layer("tags", (pygame.K_F7,), "F7", "on stops, hanging wheels, slack", over=_tags),
    Layer(
        "numbers", (pygame.K_F11, pygame.K_v), "F11, V", "at wheels and arms", shown=False, button=True,
        over=lambda f: readings.angles(f.to, f.cam, f.p, f.u, f.scene),
    ),
    Layer(FINDINGS, (pygame.K_F12, pygame.K_f), "F12, F", "what is worst, numbered on the vehicle",
          over=_at_parts),
    Layer("margins", (pygame.K_b,), "B", "what bears least, and what gives",
          over=lambda f: f.notes.extend(bearing(f.to, f.cam, f.p, f.u, f.scene, f.view))),
    Layer("notes", over=_notes),
    Layer("headline", over=lambda f: f.head.draw(f.to, f.scene, f.view)),
    Layer("pointer", over=_pointer),
    Layer(COMPARED, (pygame.K_d,), "D", "what is better and worse of two", shown=False, side=SIDE, beside=_compared),
    Layer("traces", (pygame.K_F9,), "F9", "of loads, pitch, seat, pull", side=268.0, beside=_traces),
)  # fmt: skip
"""In the order of drawing, the hindmost first."""


def listed() -> list[Layer]:
    """Those that can be shown or hidden, in the order of their keys, letters last."""
    return sorted((layer for layer in LAYERS if layer.keys), key=lambda a: (a.keys[0] < pygame.K_F1, a.keys[0]))


def find(name: str) -> Layer | None:
    """The layer of a name that can be shown or hidden, if there is one."""
    return next((layer for layer in listed() if layer.name == name), None)


def shown_at_first() -> set[str]:
    """Names of the layers that a view begins with."""
    return {layer.name for layer in listed() if layer.shown}


def visible(names: set[str]) -> list[Layer]:
    """Those to be drawn, in order: the always shown ones, and of the others those named."""
    return [layer for layer in LAYERS if not layer.keys or layer.name in names]


def chosen(begin: set[str], show: Iterable[str], hide: Iterable[str]) -> set[str]:
    """`begin` with some layers shown and some hidden. Raises InputError for a name that is no layer."""
    known = [layer.name for layer in listed()]
    for option, names in (("--show", show), ("--hide", hide)):
        for name in names:
            if name not in known:
                raise InputError(
                    Problem(f'no layer "{name}"{did_you_mean(name, known)}', field=option, allowed=", ".join(known))
                )
    return (begin | set(show)) - set(hide)
