"""What is better and what is worse of the second of two runs, in a column beside the picture."""

from __future__ import annotations

import pygame

from trundle.findings.near_row import OVER, RUNS
from trundle.study.beside import Change, Pair, alike_told, counted_told, differing, main, pairs
from trundle_viewer import ink, pair
from trundle_viewer.film import Film
from trundle_viewer.palette import Colour, Palette
from trundle_viewer.view import View

Surface = pygame.Surface

SIDE = 312.0
"""Width of the column [screen units]."""

LATER = "What is better and worse is known when both have been worked out, with runs close by."
NOT_KNOWN = "Not compared: what was kept of one of them has no figures. Run it again for them."


class Compared:
    """The column in `rect` [px]. It is drawn once and kept until what it says changes."""

    def __init__(self, rect: pygame.Rect, palette: Palette, u: float) -> None:
        self.rect, self.p, self.u = rect, palette, u
        self._key: object = None
        self._image: Surface | None = None

    def draw(self, to: Surface, view: View) -> None:
        """For the two runs of a view; nothing where there is only one."""
        if view.ghost is None:
            return
        key = (id(view.film), id(view.ghost), view.film.told, view.ghost.told)
        if self._image is None or key != self._key:
            self._image, self._key = self._built(view.film, view.ghost), key
        to.blit(self._image, self.rect)

    def _built(self, film: Film, other: Film) -> Surface:
        p, u = self.p, self.u
        image = pygame.Surface(self.rect.size)
        image.fill(p.panel)
        pygame.draw.line(image, p.panel_edge, (0, 0), (0, self.rect.height))
        x, y, wide = 14 * u, 8 * u, self.rect.width - 28 * u
        ink.write(image, "Better and worse", (x, y), round(14 * u), p.text, True)
        ink.write(
            image, "D hides this", (self.rect.width - 14 * u, y + 2 * u), ink.small(10 * u), p.text_dim, anchor="ne"
        )
        y += 23 * u
        for sign, how, run, colour in zip(pair.SIGNS, pair.DRAWN, (film, other), (p.text, p.ghost), strict=True):
            said = run.told.headline.text if run.told is not None else pair.names(film, other)[sign == pair.SIGNS[1]]
            y = _lines(image, f"{sign} ({how}): {said}", (x, y), ink.small(11 * u), colour, wide, 4)
        y += 5 * u
        told, why = told_pairs(film, other)
        if why:
            _lines(image, why, (x, y), ink.small(12 * u), p.mark, wide, 4)
            return image
        shown = main(told)
        summed = f"{counted_told(shown)} in {pair.SIGNS[1]}:"
        y = _lines(image, summed, (x, y), ink.small(12 * u), p.text, wide, 2, True) + 5 * u
        foot = _feet(shown, film, other)
        small = ink.small(10 * u)
        last = self.rect.height - (sum(len(ink.wrapped(f, small, wide)) for f in foot) * 13 + 8) * u
        for k, one in enumerate(rows := differing(shown)):
            if y + 33 * u > last:
                ink.write(image, f"and {len(rows) - k} more", (x, y), small, p.text_dim)
                break
            y = self._row(image, one, x, y, wide)
        y = last
        for words in foot:
            y = _lines(image, words, (x, y), small, p.text_dim, wide, 5, high=13 * u)
        return image

    def _row(self, to: Surface, one: Pair, x: float, y: float, wide: float) -> float:
        """Its name, below it both values, and on the right what the second is: a sign, a word and a colour."""
        p, u = self.p, self.u
        worse = one.change is Change.WORSE
        colour = p.failed if worse else p.fine
        size, right = ink.small(11 * u), x + wide
        verdict = ink.write(to, str(one.change), (right, y), size, colour, True, "ne")
        ink.mark(to, "down" if worse else "up", (verdict.left - 8 * u, y + 7 * u), 4.0 * u, colour)
        ink.write(to, ink.shortened(one.figure.title, size, wide - 76 * u, True), (x, y), size, p.text, True)
        a, b = (one.figure.text(r.median) for r in (one.one, one.other))
        ink.write(to, f"{a}  →  {b}", (x, y + 15 * u), size, p.text)
        ink.write(to, one.by, (right, y + 15 * u), size, p.text_dim, anchor="ne")
        pygame.draw.line(to, p.grid, (round(x), round(y + 31 * u)), (round(right), round(y + 31 * u)))
        return y + 34 * u


def told_pairs(film: Film, other: Film) -> tuple[list[Pair], str]:
    """The figures beside each other, and why there are none."""
    if film.told is None or other.told is None:
        return [], LATER
    one, two = film.told.figures, other.told.figures
    if one is None or two is None:
        return [], NOT_KNOWN
    short = [sign for sign, row in zip(pair.SIGNS, (one, two), strict=True) if not row.get("completed")]
    if short:
        return [], f"Not compared figure by figure: {' and '.join(short)} did not get over."
    return pairs(one, two), ""


def _feet(shown: list[Pair], film: Film, other: Film) -> list[str]:
    """What is said at the foot: what does not differ, and what the figures are of."""
    assert film.told is not None
    assert film.told.figures is not None
    runs = film.told.figures.get(RUNS, 1)
    luck = f"Medians of {runs} runs close by; better or worse where neither lies in the other's range."
    once = "Rolled once each: a percent of speed may change a single hit by a sixth."
    known = film.told.figures.get(OVER) is not None and other.told is not None
    return [w for w in (alike_told(shown), luck if runs > 1 and known else once) if w]


def _lines(
    to: Surface, words: str, at: tuple[float, float], size: int, colour: Colour, width: float, most: int,
    bold: bool = False, high: float | None = None,
) -> float:  # fmt: skip
    """Words in lines, at most so many; where they end [px]."""
    x, y = at
    for line in ink.wrapped(words, size, width, bold)[:most]:
        ink.write(to, line, (x, y), size, colour, bold)
        y += high or 1.3 * size
    return y
