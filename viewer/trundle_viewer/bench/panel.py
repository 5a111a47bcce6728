"""What stands beside the picture: figures before and now, each wheel's, the fields of the part in hand, the changes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

import pygame

from trundle_viewer import ink
from trundle_viewer.bench.design import Design
from trundle_viewer.bench.fields import Field, unit_of, words
from trundle_viewer.bench.figures import Against, Figure, Station, against, figures, stations
from trundle_viewer.bench.stood import Stood
from trundle_viewer.palette import Colour, Palette

Surface = pygame.Surface

WIDE = 408.0
"""Its width [screen units]."""

ROW = 16.5
"""Height of a line [screen units]."""

MOST = 10
"""Wheels and arms that it has lines for; the least of all are above them."""

BETTER, WORSE = "\N{BLACK UP-POINTING TRIANGLE} better", "\N{BLACK DOWN-POINTING TRIANGLE} worse"


@dataclass
class Choice:
    """What is chosen on the bench. part: path of the table in hand, "" if none; row: which of its fields; typing: what
    is being typed for it, None if nothing."""

    part: str = ""
    row: int = 0
    typing: str | None = None
    note: str = ""
    alike: bool = True
    spots: list[tuple[pygame.Rect, int]] = field(default_factory=list)


class Panel:
    """Draws into `rect` [px]."""

    def __init__(self, rect: pygame.Rect, palette: Palette, u: float) -> None:
        self.rect, self.p, self.u = rect, palette, u
        self.size = round(11.5 * u)
        self._key: object = None
        self._image: Surface | None = None

    def draw(
        self,
        to: Surface,
        design: Design,
        first: Stood | None,
        good: Stood | None,
        choice: Choice,
        known: bool,
        refused: bool,
    ) -> None:
        """known: whether the figures are of the state that is drawn."""
        key = (id(first), id(good), known, refused)
        if key != self._key or self._image is None:
            self._image, self._key = self._figures(design.first.name, first, good, known, refused), key
        pygame.draw.rect(to, self.p.panel, self.rect)
        clip = to.get_clip()
        to.set_clip(self.rect)
        to.blit(self._image, self.rect.topleft)
        pygame.draw.line(to, self.p.panel_edge, self.rect.topleft, self.rect.bottomleft)
        y = self.rect.top + self._image.get_height()
        foot = self._changes(to, design)
        self._fields(to, y + 6 * self.u, foot - 6 * self.u, design, choice)
        to.set_clip(clip)

    def _figures(self, name: str, first: Stood | None, good: Stood | None, known: bool, refused: bool) -> Surface:
        """The upper part: kept until it changes, since a hand that drags has sixty frames a second drawn."""
        rows = against(figures(first) if first else (), figures(good)) if good else []
        now = stations(good) if good else ()
        before = stations(first) if first else now
        lines = len(rows) + min(len(now), MOST + 1) + 2
        height = 26 + 5 + lines * ROW + 12
        image = pygame.Surface((self.rect.width, round(height * self.u)), depth=32)
        image.fill(self.p.panel)
        whole = Panel(image.get_rect(), self.p, self.u)
        y = whole._head(image, name, known, refused, good is not None)
        y = whole._table(image, y, rows, known)
        whole._stations(image, y + 5 * self.u, before, now, known)
        return image

    def _x(self, right_of: float) -> float:
        return self.rect.left + right_of * self.u

    def _head(self, to: Surface, name: str, known: bool, refused: bool, stood: bool) -> float:
        p, y = self.p, self.rect.top + 9 * self.u
        ink.write(to, name, (self._x(14), y), round(16 * self.u), p.text, True)
        said, colour = ("", p.text_dim)
        if refused:
            last = ": last good figures" if stood else ", and has no figures yet"
            said, colour = f"\N{MULTIPLICATION X} cannot be so{last}", p.failed
        elif not known:
            said = "working it out \N{HORIZONTAL ELLIPSIS}"
        ink.write(to, said, (self.rect.right - 14 * self.u, y + 4 * self.u), self.size, colour, True, "ne")
        return y + 26 * self.u

    def _line(self, to: Surface, y: float) -> None:
        x0, x1 = self.rect.left + 12 * self.u, self.rect.right - 12 * self.u
        pygame.draw.line(to, self.p.panel_edge, (round(x0), round(y)), (round(x1), round(y)))

    def _table(self, to: Surface, y: float, rows: Sequence[Against], known: bool) -> float:
        p, u, size = self.p, self.u, self.size
        text = p.text if known else p.text_dim
        for title, x in (("opened", 212), ("now", 266), ("change", 318)):
            ink.write(to, title, (self._x(x), y), size, p.text_dim, anchor="ne")
        y += ROW * u
        self._line(to, y - 1)
        for row in rows:
            name = row.now.name
            end = ink.write(to, name, (self._x(14), y), size, text).right
            if row.now.where:
                room = self._x(170) - end - 5 * u
                short = ink.shortened(row.now.where, round(10 * u), room) if room > 14 * u else ""
                ink.write(to, short, (end + 5 * u, y + 1.5 * u), round(10 * u), p.text_dim)
            ink.write(to, row.before.shown, (self._x(212), y), size, p.text_dim, anchor="ne")
            ink.write(to, row.now.shown, (self._x(266), y), size, text, True, "ne")
            colour = self._colour(row.verdict, text)
            ink.write(to, row.change_shown, (self._x(318), y), size, colour, True, "ne")
            said = {1: BETTER, -1: WORSE}.get(row.verdict, row.now.unit)
            if row.now.alarm:
                # What is wrong is not outshone by being less wrong than it was.
                said, colour = f"\N{MULTIPLICATION X} {row.now.alarm}", p.failed
            told = bool(row.verdict or row.now.alarm)
            ink.write(to, said, (self._x(330), y), size, colour if told else p.text_dim, told)
            y += ROW * u
        return y

    def _colour(self, verdict: int, otherwise: Colour) -> Colour:
        return {1: self.p.fine, -1: self.p.failed}.get(verdict, otherwise)

    def _stations(self, to: Surface, y: float, before: Sequence[Station], now: Sequence[Station], known: bool) -> float:
        p, u, size = self.p, self.u, self.size
        text = p.text if known else p.text_dim
        for title, x in (("load, N", 162), ("travel left to bump, mm", 316), ("droop, mm", 394)):
            ink.write(to, title, (self._x(x), y), size, p.text_dim, anchor="ne")
        y += ROW * u
        self._line(to, y - 1)
        for was, one in list(zip(before, now, strict=True))[:MOST]:
            ink.write(to, ink.shortened(one.wheel, size, 90 * u), (self._x(14), y), size, text)
            if one.arm != one.wheel:
                ink.write(to, ink.shortened(one.arm, size, 74 * u), (self._x(176), y), size, text)
            for a, b, x in ((was.load, one.load, 162), (was.bump, one.bump, 316), (was.droop, one.droop, 394)):
                if b is not None:
                    self._cell(to, (self._x(x), y), a or b, b, text)
            y += ROW * u
        if len(now) > MOST:
            ink.write(to, f"and {len(now) - MOST} more, on the sheet", (self._x(14), y), size, p.text_dim)
            y += ROW * u
        return y

    def _cell(self, to: Surface, at: tuple[float, float], a: Figure, b: Figure, text: Colour) -> None:
        """`123  +4`, its right end at a point."""
        row = Against(a, b)
        colour = self._colour(row.verdict, text)
        left = at[0]
        text = self.p.failed if b.alarm else text
        if row.change_shown:
            sign = {1: "\N{BLACK UP-POINTING TRIANGLE}", -1: "\N{BLACK DOWN-POINTING TRIANGLE}"}.get(row.verdict, "")
            said = ink.write(to, f"{row.change_shown}{sign}", at, self.size, colour, anchor="ne")
            left = said.left - 5 * self.u
        ink.write(to, b.shown, (left, at[1]), self.size, text, True, "ne")

    def _changes(self, to: Surface, design: Design) -> float:
        """What was changed, above the panel's foot. Returns where it begins."""
        p, u, size = self.p, self.u, round(10.5 * self.u)
        lines = design.changes()
        shown = lines[-4:]
        top = self.rect.bottom - (26 + 15 * max(len(shown), 1)) * u
        self._line(to, top)
        head = f"changed ({len(lines)})" if lines else "nothing changed yet"
        ink.write(to, head, (self._x(14), top + 4 * u), self.size, p.text, True)
        keys = "Ctrl+Z undo   Ctrl+S save"
        ink.write(to, keys, (self.rect.right - 14 * u, top + 5 * u), size, p.text_dim, anchor="ne")
        for k, line in enumerate(shown):
            said = ink.shortened(line, size, self.rect.width - 28 * u)
            ink.write(to, said, (self._x(14), top + (22 + 15 * k) * u), size, p.mark)
        return top

    def _fields(self, to: Surface, y: float, foot: float, design: Design, choice: Choice) -> None:
        p, u, size = self.p, self.u, self.size
        choice.spots = []
        self._line(to, y)
        if not choice.part:
            said = (
                "Take hold of a part in the picture with the mouse, or press Tab to choose one and type a number.",
                "H shows the keys.",
            )
            for k, line in enumerate(w for s in said for w in ink.wrapped(s, size, self.rect.width - 28 * u)):
                ink.write(to, line, (self._x(14), y + (6 + 16 * k) * u), size, p.text_dim)
            return
        ink.write(to, choice.part, (self._x(14), y + 4 * u), self.size, p.text, True)
        alike = "A: all alike" if choice.alike else "A: this one only"
        ink.write(to, alike, (self.rect.right - 14 * u, y + 4 * u), size, p.mark, True, "ne")
        y += (ROW + 5) * u
        fields = design.fields(choice.part)
        note = ink.wrapped(choice.note, size, self.rect.width - 28 * u)[:2]
        room = max(1, int((foot - y - len(note) * ROW * u) / (ROW * u)))
        begin = min(max(choice.row - room // 2, 0), max(len(fields) - room, 0))
        for k, one in enumerate(fields[begin : begin + room]):
            self._field(to, y + k * ROW * u, design, choice, begin + k, one)
        for k, line in enumerate(note):
            ink.write(to, line, (self._x(14), foot - (len(note) - k) * ROW * u), size, p.failed, True)

    def _field(self, to: Surface, y: float, design: Design, choice: Choice, k: int, one: Field) -> None:
        p, u, size = self.p, self.u, self.size
        line = pygame.Rect(self.rect.left + round(8 * u), round(y - u), self.rect.width - round(16 * u), round(ROW * u))
        chosen = k == choice.row
        if chosen:
            ink.rounded(to, p.button_on, line, round(4 * u))
        name = one.path.removeprefix(choice.part + ".") + ("" if one.axis is None else f" {one.name.split()[-1]}")
        ink.write(to, ink.shortened(name, size, 220 * u), (self._x(14), y), size, p.text, chosen)
        value, first = design.number(one), design.number_at_first(one)
        unit = unit_of(one.path)
        if chosen and choice.typing is not None:
            ink.write(to, f"{choice.typing}▏", (self._x(394), y), size, p.mark, True, "ne")
        else:
            new = value != first
            said = f"{words(first)} \N{RIGHTWARDS ARROW} {words(value)} {unit}" if new else f"{words(value)} {unit}"
            ink.write(to, said.strip(), (self._x(394), y), size, p.mark if new else p.text, new, "ne")
        choice.spots.append((line, k))
