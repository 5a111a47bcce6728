"""What can be done on the bench, in one table: name, keys, words of the help page, and the function that does it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING

import pygame

from trundle.fields.step import BACK, DOWN, FORWARD, LESS, MORE, UP, step_of
from trundle_viewer.bench.courses import Chooser, courses
from trundle_viewer.bench.fields import Field, info_of
from trundle_viewer.bench.saving import save, save_picture

if TYPE_CHECKING:
    from trundle_viewer.bench.app import Bench

Do = Callable[["Bench", bool], None]
"""Takes the bench, and whether Shift is held."""


@dataclass(frozen=True)
class Action:
    """keys: pygame's, ctrl: with Ctrl held; named: what they are called; words: what it does."""

    name: str
    do: Do
    keys: tuple[int, ...]
    named: str
    words: str
    ctrl: bool = False


def _undo(bench: Bench, shift: bool) -> None:
    if shift:
        _redo(bench, False)
    elif bench.design.undo():
        bench.again()
    else:
        bench.say("nothing to undo: this is the vehicle as it was opened")


def _redo(bench: Bench, _: bool) -> None:
    if bench.design.redo():
        bench.again()
    else:
        bench.say("nothing to redo")


def _reset_field(bench: Bench, _: bool) -> None:
    field = chosen(bench)
    if field is None:
        bench.say("choose a field first: take hold of a part, or Tab")
    elif field.path in bench.design.now:
        bench.change(bench.design.without(field.path))
        bench.design.keep()
    else:
        bench.say(f"{field.path} is as it was opened")


def _reset_all(bench: Bench, _: bool) -> None:
    bench.design.reset()
    bench.again()


def _alike(bench: Bench, _: bool) -> None:
    bench.choice.alike = not bench.choice.alike
    bench.say(
        "bogies of one kind with the same value change together"
        if bench.choice.alike
        else "only what is taken hold of changes"
    )


def _field(by: int) -> Do:
    def do(bench: Bench, shift: bool) -> None:
        if not bench.choice.part:
            _part(1)(bench, False)
            return
        count = len(bench.design.fields(bench.choice.part))
        bench.choice.row = (bench.choice.row + (-by if shift else by)) % count
        bench.choice.typing, bench.choice.note = None, ""

    return do


def parts(bench: Bench) -> list[str]:
    """Paths of all parts that can be chosen."""
    vehicle = bench.vehicle
    found = ["hull", *(f"wheel.{n}" for n in vehicle.wheel), *(f"bogie.{n}" for n in vehicle.bogie)]
    if vehicle.track is not None:
        found += ["track.sprocket", "track.idler"]
        found += [f"track.roller.{k}" for k in range(1, len(vehicle.track.roller) + 1)]
        found.append("track")
    return [*found, "drive"]


def _part(by: int) -> Do:
    def do(bench: Bench, _: bool) -> None:
        known = parts(bench)
        at = known.index(bench.choice.part) + by if bench.choice.part in known else 0
        bench.choose(known[at % len(known)])

    return do


def _nudge(sign: int) -> Do:
    """By the field's own step: what a builder would change it by."""

    def do(bench: Bench, shift: bool) -> None:
        field = chosen(bench)
        if field is None:
            bench.say("choose a field first: take hold of a part, or Tab")
            return
        for _ in range(5 if shift else 1):
            bench.set_number(stepped(bench, field, sign))

    return do


def chosen(bench: Bench) -> Field | None:
    """The field in hand; None if no part is chosen."""
    fields = bench.design.fields(bench.choice.part) if bench.choice.part else []
    return fields[min(bench.choice.row, len(fields) - 1)] if fields else None


def stepped(bench: Bench, field: Field, sign: int) -> float:
    """A number one step up or down, as its field's type has it; by a hundredth where that names no step."""
    value = bench.design.number(field)
    info = info_of(bench.vehicle, field.path)
    step = None if info is None else step_of(info)
    if step is not None:
        moves = step.moves(bench.design.value(field.path))
        way = (LESS, MORE) if field.axis is None else (BACK, FORWARD) if field.axis == 0 else (DOWN, UP)
        new = moves.get(way[sign > 0])
        if new is not None:
            return float(new[field.axis]) if field.axis is not None else new
    return int(value + sign) if isinstance(value, int) else float(f"{value + sign * max(abs(value) * 0.01, 0.01):.4g}")


def _type(bench: Bench, _: bool) -> None:
    if chosen(bench) is None:
        _field(1)(bench, False)
    elif bench.choice.typing is None:
        bench.choice.typing = ""


def _roll(bench: Bench, _: bool) -> None:
    bench.sheet.courses = Chooser(courses(bench.folder, bench.last_course))


def _save(bench: Bench, _: bool) -> None:
    save(bench)


def _picture(bench: Bench, _: bool) -> None:
    save_picture(bench)


def _fit(bench: Bench, _: bool) -> None:
    bench.picture.fit(bench.pose)


def _zoom(factor: float) -> Do:
    return lambda bench, _: bench.picture.camera.zoom(factor, *bench.picture.rect.center)


def _theme(bench: Bench, _: bool) -> None:
    bench.other_theme()


def _help(bench: Bench, _: bool) -> None:
    bench.sheet.help = not bench.sheet.help


def _quit(bench: Bench, _: bool) -> None:
    bench.closed = True


ACTIONS = (
    Action("next field", _field(1), (pygame.K_TAB, pygame.K_DOWN), "Tab, Down", "the next field of the part in hand"),
    Action("previous field", _field(-1), (pygame.K_UP,), "Shift+Tab, Up", "the field before"),
    Action("next part", _part(1), (pygame.K_PAGEDOWN,), "Page down", "the next part"),
    Action("previous part", _part(-1), (pygame.K_PAGEUP,), "Page up", "the part before"),
    Action("type", _type, (pygame.K_RETURN, pygame.K_KP_ENTER), "Enter", "type a number, Enter again to take it"),
    Action("less", _nudge(-1), (pygame.K_LEFT,), "Left", "one step less (Shift: five)"),
    Action("more", _nudge(1), (pygame.K_RIGHT,), "Right", "one step more (Shift: five)"),
    Action("alike", _alike, (pygame.K_a,), "A", "all bogies that are alike, or this one only"),
    Action("undo", _undo, (pygame.K_z,), "Ctrl+Z", "undo the last change", ctrl=True),
    Action("redo", _redo, (pygame.K_y,), "Ctrl+Y, Shift+Ctrl+Z", "redo it", ctrl=True),
    Action("reset field", _reset_field, (pygame.K_DELETE, pygame.K_BACKSPACE), "Delete", "this field as it was opened"),
    Action("reset all", _reset_all, (pygame.K_r,), "Ctrl+R", "all fields as they were opened", ctrl=True),
    Action("roll", _roll, (pygame.K_r,), "R", "roll it over a course (Esc: back)"),
    Action("save", _save, (pygame.K_s,), "Ctrl+S", "save as a new file, comments kept", ctrl=True),
    Action("picture", _picture, (pygame.K_s,), "S", "save this picture (PNG)"),
    Action("fit", _fit, (pygame.K_f,), "F", "the whole vehicle in the middle"),
    Action("zoom in", _zoom(1.25), (pygame.K_KP_PLUS,), "Wheel", "closer, further away"),
    Action("zoom out", _zoom(0.8), (pygame.K_KP_MINUS,), "", ""),
    Action("theme", _theme, (pygame.K_t,), "T", "light or dark"),
    Action("help", _help, (pygame.K_h,), "H", "show this page"),
    Action("quit", _quit, (pygame.K_q,), "Q, Esc", "close the bench"),
)

MOUSE = (
    ("drag a handle", "change its field: in whole mm, half degrees; Shift: steps of 5; Ctrl: only along or only up"),
    ("drag elsewhere", "move the picture"),
    ("click a field", "choose it, then type a number or nudge it"),
)


def action_of(key: int, ctrl: bool) -> Action | None:
    """What a key does."""
    return next((a for a in ACTIONS if key in a.keys and a.ctrl == ctrl), None)
