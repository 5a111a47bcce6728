"""Small traces that scroll with time: wheel loads, pitch, seat, pull in the track."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
import pygame
from numpy.typing import NDArray

from trundle.units import MM, G
from trundle_viewer import ink
from trundle_viewer.film import Film
from trundle_viewer.pair import SIGNS
from trundle_viewer.palette import Palette, mix
from trundle_viewer.view import View

Surface = pygame.Surface
Singles = NDArray[np.float32]

BACK_S, AHEAD_S = 2.4, 0.8
"""Time shown before and after now [s]."""

GUTTER = 34.0
"""Width of the numbers beside a trace [screen units]."""

AXIS = 40.0
"""Height of the axis below all traces: the time, and the hull's place on the course then [screen units]."""

TICK_S = 1.0
"""Between two of its ticks [s]; halves have a line without a number."""


@dataclass(frozen=True)
class Chart:
    """One trace: what it is called, how its value reads, and its columns."""

    title: str
    unit: str
    columns: tuple[str, ...]
    factor: float
    digits: int
    least: float
    """The axis spans at least this much [unit]."""

    said: Callable[[Singles], str] | None = None


def charts(film: Film) -> list[Chart]:
    """The traces of a run."""
    loads = tuple(f"wheel.{w}.load_N" for w in film.assembly.wheel)
    names = film.assembly.wheel

    def most(now: Singles) -> str:
        k = int(np.argmax(now))
        return f"{names[k]} {now[k]:.0f} N"

    out = [
        Chart("Wheel loads", "N", loads, 1.0, 0, 100.0, most),
        Chart("Pitch, nose up", "°", ("hull.pitch_deg",), 1.0, 1, 4.0),
        # What the verdict says of the seat is filtered, over the whole run: these are higher by a spike or two.
        Chart("Seat, up, raw", "g", ("seat.up_m_s2",), 1.0 / G, 2, 0.5),
        Chart("Seat, forward, raw", "g", ("seat.forward_m_s2",), 1.0 / G, 2, 0.5),
    ]
    if film.assembly.vehicle.track is not None:

        def both(now: Singles) -> str:
            return f"{now[1]:.0f} to {now[0]:.0f} N"

        out.append(Chart("Track pull", "N", ("track.tight_N", "track.slack_N"), 1.0, 0, 200.0, both))
    else:
        out.append(Chart("Speed", "m/s", ("hull.speed_m_s",), 1.0, 2, 1.0))
    return out


def number(value: float, digits: int, sign: str = "") -> str:
    """A value rounded, without the minus of a nothing."""
    return f"{round(float(value), digits) + 0.0:{sign}.{digits}f}"


class Traces:
    """All traces below each other in `rect` [px]."""

    def __init__(self, rect: pygame.Rect, film: Film, palette: Palette, u: float) -> None:
        self.rect, self.p, self.u = rect, palette, u
        self.charts = charts(film)
        self.film = film
        self._span: list[tuple[float, float]] = []
        self._ready: Surface | None = None
        self._spanned = -1
        self._pieces: dict[str, tuple[Singles, Singles]] = {}
        width = max(self._plot(self._boxes()[0]).width / (1.5 * max(u, 1.0)), 1.0)
        self._stride = max(1, round((BACK_S + AHEAD_S) / film.dt_s / width))

    def _boxes(self) -> list[pygame.Rect]:
        u, n = self.u, len(self.charts)
        gap = 8 * u
        each = (self.rect.height - AXIS * u - gap * n) / n
        return [
            pygame.Rect(
                round(self.rect.left + gap), round(self.rect.top + gap + k * (each + gap)),
                round(self.rect.width - 2 * gap), round(each),
            )
            for k in range(n)
        ]  # fmt: skip

    def _prepare(self) -> None:
        """Axes over the whole run, so that a trace does not jump as it scrolls; and the empty panels."""
        film, p, u = self.film, self.p, self.u
        self._span = []
        for c in self.charts:
            block = film.block(list(c.columns), 0, film.rows)
            low, high = float(block.min()) * c.factor, float(block.max()) * c.factor
            low, high = min(low, 0.0), max(high, 0.0)
            grow = max(c.least - (high - low), 0.0)
            self._span.append((low - (0.5 * grow if low < 0.0 else 0.0), high + grow))
        image = pygame.Surface(self.rect.size)
        image.fill(p.panel)
        pygame.draw.line(image, p.panel_edge, (0, 0), (0, self.rect.height))
        for c, box, (low, high) in zip(self.charts, self._boxes(), self._span, strict=True):
            here = box.move(-self.rect.left, -self.rect.top)
            plot = self._plot(here)
            pygame.draw.rect(image, mix(p.panel, p.sky, 0.7), plot)
            ink.write(image, c.title, (here.left, here.top), round(12 * u), p.text, True)
            zero = self._y(plot, 0.0, low, high)
            pygame.draw.line(image, p.panel_edge, (plot.left, round(zero)), (plot.right, round(zero)))
            size = ink.small(9 * u)
            # Beside the curves, not under them; the zero goes first where two would touch.
            marks = [(0.0, zero), (high, plot.top + 0.5 * size), (low, plot.bottom - 0.5 * size)]
            taken: list[float] = []
            for value, y in marks:
                y = min(max(y, plot.top + 0.5 * size), plot.bottom - 0.5 * size)
                if all(abs(y - other) > size for other in taken):
                    ink.write(image, number(value, c.digits), (plot.left - 4 * u, y), size, p.text_dim, anchor="e")
                    taken.append(y)
        self._ready, self._spanned = image, film.rows

    def _plot(self, box: pygame.Rect) -> pygame.Rect:
        head, side = round(17 * self.u), round(GUTTER * self.u)
        return pygame.Rect(box.left + side, box.top + head, box.width - side, box.height - head)

    def _y(self, plot: pygame.Rect, value: float, low: float, high: float) -> float:
        return plot.bottom - 2 - (value - low) / max(high - low, 1e-9) * (plot.height - 4)

    def time_at(self, px: float, now_s: float) -> float | None:
        """Time under a pixel [s]."""
        # All traces, and their axis, have one time at one place across.
        box = self._plot(self._boxes()[0])
        if not box.left <= px <= box.right:
            return None
        return now_s - BACK_S + (px - box.left) / box.width * (BACK_S + AHEAD_S)

    def draw(self, to: Surface, view: View) -> None:
        """The traces round now. Between pixels the extremes are kept, so no peak is lost."""
        film, p, u = self.film, self.p, self.u
        grown = film.rows > 1.3 * self._spanned or (film.done and film.rows != self._spanned)
        if self._ready is None or grown:
            self._prepare()
        assert self._ready is not None
        to.blit(self._ready, self.rect)
        now = view.row
        begin, end = now - round(BACK_S / film.dt_s), now + round(AHEAD_S / film.dt_s)
        first, last = max(begin, 0), min(end, film.rows)
        self._axis(to, now)
        for c, box, (low, high) in zip(self.charts, self._boxes(), self._span, strict=True):
            plot = self._plot(box)
            if last - first < 2:
                continue
            top, deep = self._extremes(c)
            stride = self._stride
            i, j = first // stride, min(-(-last // stride), top.shape[1])
            if j - i < 2:
                continue
            x = plot.left + ((np.arange(i, j) + 0.5) * stride - begin) / (end - begin) * plot.width
            x = np.clip(x, plot.left, plot.right)
            scale = (plot.height - 4) / max(high - low, 1e-9)
            hi = plot.bottom - 2 - (top[:, i:j].max(axis=0) - low) * scale
            lo = plot.bottom - 2 - (deep[:, i:j].min(axis=0) - low) * scale
            many = len(c.columns) > 2
            tint = p.load if many else p.text
            upper, lower = np.stack([x, hi], axis=1), np.stack([x, lo], axis=1)
            body = np.rint(np.concatenate([upper, lower[::-1]])).tolist()
            pygame.draw.polygon(to, mix(p.panel, tint, 0.45 if many else 0.3), body)
            pygame.draw.aalines(to, tint, False, upper.tolist())
            if many:
                chosen = plot.bottom - 2 - (top[view.wheel % len(top), i:j] - low) * scale
                pygame.draw.aalines(to, p.text, False, np.stack([x, chosen], axis=1).tolist())
            else:
                pygame.draw.aalines(to, tint, False, lower.tolist())
            if view.ghost is not None and view.ghost.rows and "ghost" in view.layers:
                own = chosen if many else hi
                self._signs(to, plot, (float(x[-1]), float(own[-1])), self._ghost(to, plot, c, view, low, scale))
            at = plot.left + BACK_S / (BACK_S + AHEAD_S) * plot.width
            pygame.draw.line(to, p.text, (round(at), plot.top), (round(at), plot.bottom))
            values = film.block(list(c.columns), now, now + 1)[:, 0] * np.float32(c.factor)
            words = c.said(values) if c.said is not None else f"{number(values[0], c.digits, '+')} {c.unit}"
            ink.write(to, words, (box.right, box.top), round(12 * u), p.text, anchor="ne")

    def _signs(
        self, to: Surface, plot: pygame.Rect, own: tuple[float, float], other: tuple[float, float] | None
    ) -> None:  # fmt: skip
        """The letters of both runs at the ends of their curves, apart where these end close together."""
        p, u, size = self.p, self.u, ink.small(10 * self.u)
        ends = [(own, SIGNS[0], p.text), *([(other, SIGNS[1], p.ghost)] if other is not None else [])]
        floor = float(plot.bottom)
        for (x, y), sign, colour in sorted(ends, key=lambda e: -e[0][1]):
            floor = min(y - 2 * u, floor)
            at = (min(x, plot.right - 2 * u), max(floor, plot.top + size))
            box = ink.text(sign, size, colour, True).get_rect(bottomright=(round(at[0]), round(at[1])))
            pygame.draw.rect(to, p.panel, box)
            ink.write(to, sign, box.topleft, size, colour, True)
            floor = at[1] - size

    def _axis(self, to: Surface, now: int) -> None:
        """Lines at whole and half seconds through all traces; below, the whole ones in numbers, with the place of the
        hull's centre of mass on the course at that time."""
        film, p, u = self.film, self.p, self.u
        boxes = self._boxes()
        first, now_s, size = self._plot(boxes[0]), film.time(now), ink.small(10 * u)
        y, free = boxes[-1].bottom, float(self.rect.left)
        for k in range(math.ceil(2 * (now_s - BACK_S) / TICK_S), math.floor(2 * (now_s + AHEAD_S) / TICK_S) + 1):
            time_s = 0.5 * k * TICK_S
            if not film.first_s - film.dt_s <= time_s <= film.end_s:
                continue
            x = first.left + (time_s - now_s + BACK_S) / (BACK_S + AHEAD_S) * first.width
            for box in boxes:
                plot = self._plot(box)
                pygame.draw.line(to, p.grid, (round(x), plot.top), (round(x), plot.bottom - 1))
            pygame.draw.line(to, p.text_dim, (round(x), y), (round(x), y + round((5 if k % 2 == 0 else 3) * u)))
            if k % 2:
                continue
            metres = f"{film.at('hull.x_mm', film.row(time_s)) * MM:.2f} m"
            half = 0.5 * ink.text(metres, size, p.text_dim).get_width()
            if x - half < free or x + half > self.rect.right:
                continue
            free = x + half + 4 * u
            ink.write(to, f"{time_s:g} s", (x, y + 6 * u), size, p.text, anchor="n")
            ink.write(to, metres, (x, y + 19 * u), size, p.text_dim, anchor="n")

    def _extremes(self, c: Chart) -> tuple[Singles, Singles]:
        """Highest and lowest value of each piece of `stride` rows, shape (columns, pieces); kept, and grown
        as a live run grows. The pieces lie fixed in time, so a trace does not shimmer as it scrolls."""
        stride = self._stride
        whole = self.film.rows // stride
        top, deep = self._pieces.get(c.title, (np.empty((len(c.columns), 0), np.float32),) * 2)
        done = top.shape[1]
        if whole > done:
            block = self.film.block(list(c.columns), done * stride, whole * stride) * np.float32(c.factor)
            block = block.reshape(len(c.columns), whole - done, stride)
            top = np.concatenate([top, block.max(axis=2)], axis=1)
            deep = np.concatenate([deep, block.min(axis=2)], axis=1)
            self._pieces[c.title] = (top, deep)
        return top, deep

    def _ghost(
        self, to: Surface, plot: pygame.Rect, c: Chart, view: View, low: float, scale: float
    ) -> tuple[float, float] | None:
        """The other run's trace, matched at now, dashed and in its colour; of wheel loads the chosen wheel. Where it
        ends [px]; None where it has none there."""
        film = view.ghost
        assert film is not None
        names = list(c.columns) if len(c.columns) <= 2 else [c.columns[view.wheel % len(c.columns)]]
        if any(n not in film.place for n in names):
            return None
        now = view.ghost_row()
        begin, end = now - round(BACK_S / film.dt_s), now + round(AHEAD_S / film.dt_s)
        first, last = max(begin, 0), min(end, film.rows)
        if last - first < 2:
            return None
        step = max(1, 2 * (end - begin) // plot.width)
        block = film.block(names, first, last)[0, ::step] * np.float32(c.factor)
        x = plot.left + (first - begin + step * np.arange(len(block))) / (end - begin) * plot.width
        y = np.clip(plot.bottom - 2 - (block - low) * scale, plot.top, plot.bottom)
        for more in (0.0, 1.0):
            ink.dashes(to, self.p.ghost, np.stack([x, y + more], axis=1), 7 * self.u, 5 * self.u)
        return float(x[-1]), float(y[-1])
