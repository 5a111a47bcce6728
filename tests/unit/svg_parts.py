"""Drawings read back from their SVG, as a reader of the file has them: strokes with pen and ends, circles, words."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from xml.etree import ElementTree

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
SVG = "{http://www.w3.org/2000/svg}"


@dataclass(frozen=True)
class Stroke:
    """A straight piece, y up from the sheet's lower edge [mm]."""

    a: tuple[float, float]
    b: tuple[float, float]
    ink: str
    width: float

    @property
    def length(self) -> float:
        """mm."""
        return float(np.hypot(self.b[0] - self.a[0], self.b[1] - self.a[1]))


@dataclass(frozen=True)
class Sheet:
    """All of a file. size: in mm as printed."""

    size: tuple[float, float]
    strokes: list[Stroke]
    rings: list[tuple[float, float, float, str]]
    words: list[tuple[float, float, str]]


def read(svg: str) -> Sheet:
    """A file at 1:1; raises AssertionError where a unit of it is no millimetre."""
    root = ElementTree.fromstring(svg)
    box = [float(v) for v in root.attrib["viewBox"].split()]
    for side, length in (("width", box[2]), ("height", box[3])):
        assert root.attrib[side].endswith("mm")
        assert abs(float(root.attrib[side][:-2]) - length) < 1e-6
    high = box[3]
    strokes: list[Stroke] = []
    rings, words = [], []
    for e in root.iter():
        ink, width = e.attrib.get("stroke", "none"), float(e.attrib.get("stroke-width", "0"))
        if e.tag == f"{SVG}line":
            x0, y0, x1, y1 = (float(e.attrib[k]) for k in ("x1", "y1", "x2", "y2"))
            strokes.append(Stroke((x0, high - y0), (x1, high - y1), ink, width))
        elif e.tag in (f"{SVG}polyline", f"{SVG}polygon"):
            points = [(float(x), high - float(y)) for x, y in (p.split(",") for p in e.attrib["points"].split())]
            closed = [points[0]] if e.tag == f"{SVG}polygon" else []
            pairs = zip(points, points[1:] + closed, strict=False)
            strokes += [Stroke(a, b, ink, width) for a, b in pairs]
        elif e.tag == f"{SVG}circle":
            rings.append((float(e.attrib["cx"]), high - float(e.attrib["cy"]), float(e.attrib["r"]), ink))
        elif e.tag == f"{SVG}text":
            words.append((float(e.attrib["x"]), high - float(e.attrib["y"]), e.text or ""))
    return Sheet((box[2], box[3]), strokes, rings, words)


def points_on(sheet: Sheet, ink: str, every_mm: float = 2.0) -> Floats:
    """Places along all strokes and rings of an ink, shape (n, 2)."""
    return np.array(list(_points(sheet, ink, every_mm)))


def _points(sheet: Sheet, ink: str, every: float) -> Iterator[tuple[float, float]]:
    for s in sheet.strokes:
        if s.ink == ink:
            for t in np.linspace(0.0, 1.0, max(2, int(s.length / every) + 1)):
                yield s.a[0] + t * (s.b[0] - s.a[0]), s.a[1] + t * (s.b[1] - s.a[1])
    for x, y, r, own in sheet.rings:
        if own == ink:
            for t in np.linspace(0.0, 2.0 * np.pi, max(8, int(2.0 * np.pi * r / every))):
                yield x + r * np.cos(t), y + r * np.sin(t)


def off(points: Floats, sheet: Sheet, ink: str) -> Floats:
    """How far each point lies off the nearest stroke or ring of an ink [mm]."""
    best = np.full(len(points), np.inf)
    for s in sheet.strokes:
        if s.ink == ink:
            a, d = np.array(s.a), np.array(s.b) - np.array(s.a)
            t = np.clip((points - a) @ d / max(float(d @ d), 1e-12), 0.0, 1.0)
            best = np.minimum(best, np.linalg.norm(points - a - t[:, None] * d, axis=1))
    for x, y, r, own in sheet.rings:
        if own == ink:
            best = np.minimum(best, np.abs(np.hypot(points[:, 0] - x, points[:, 1] - y) - r))
    return best
