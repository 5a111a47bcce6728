"""What the tests of drawings to build from share: their sheets, and what is read back from their SVG alone."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from functools import cache
from importlib import import_module
from xml.etree import ElementTree

import numpy as np

from trundle.drawing.clash import outer, overlap
from trundle.drawing.holds import box_of, texts_of
from trundle.plans.page import Page
from trundle.plans.paper import PAPERS
from trundle.plans.subject import Subject, subject_of
from trundle.result.inputs import vehicle_input
from trundle.spec.vehicle import Vehicle

SVG = "{http://www.w3.org/2000/svg}"
Corner = tuple[float, float]


@cache
def subject(name: str, paper: str = "A3") -> Subject:
    """A shipped vehicle's, not stood."""
    return subject_of(vehicle_input(name).vehicle, None, f"{name}.toml", "2026-11-28", PAPERS[paper])


def subject_with(vehicle: Vehicle, paper: str = "A3") -> Subject:
    """Of a vehicle of a test's own."""
    return subject_of(vehicle, None, "mine.toml", "2026-11-28", PAPERS[paper])


def sheets(of: Subject, kind: str) -> list[Page]:
    """All of one kind: the name of its file."""
    return list(import_module(f"trundle.plans.{kind}").pages(of))


@cache
def shipped_sheets(name: str, kind: str, paper: str = "A3") -> tuple[Page, ...]:
    """Of a shipped vehicle, drawn once."""
    return tuple(sheets(subject(name, paper), kind))


def svg_of(page: Page) -> str:
    """The whole sheet."""
    return page.drawing("A name", "file.toml", "2026-11-28", 1, 1).svg()


@dataclass(frozen=True)
class Read:
    """A group of an SVG: tips of arrowheads, middles of dots and rings (mm of paper, y down), words."""

    name: str
    tips: list[Corner]
    dots: list[Corner]
    words: str

    @property
    def length(self) -> float:
        """From tip to tip, or from dot to dot [mm of paper]."""
        a, b = self.tips if len(self.tips) == 2 else self.dots
        return math.dist(a, b)

    @property
    def told(self) -> float:
        """The number in its words: behind a sign of a diameter if there is one."""
        found = re.search(r"Ø([\d.]+)", self.words) or re.search(r"([\d.]+)", self.words)
        assert found is not None, self.words
        return float(found.group(1))


def groups(svg: str) -> dict[str, Read]:
    """All named groups."""
    found = {}
    for g in ElementTree.fromstring(svg).iter(f"{SVG}g"):
        tips = [p.get("points", "").split()[0].split(",") for p in g.iter(f"{SVG}polygon") if p.get("stroke") == "none"]
        dots = [(c.get("cx", ""), c.get("cy", "")) for c in g.iter(f"{SVG}circle")]
        words = " ".join(t.text or "" for t in g.iter(f"{SVG}text"))
        name = g.get("data-field", "")
        assert name not in found, f"{name} twice on a sheet"
        found[name] = Read(
            name, [(float(x), float(y)) for x, y in tips], [(float(x), float(y)) for x, y in dots], words
        )
    return found


def texts(svg: str) -> list[tuple[float, float, str]]:
    """All words with their places."""
    return [
        (float(t.get("x", "")), float(t.get("y", "")), t.text or "")
        for t in ElementTree.fromstring(svg).iter(f"{SVG}text")
    ]


def scale_of(words: str) -> float:
    """Paper over model, from `1:2`."""
    a, b = words.split(":")
    return float(a) / float(b)


def scales(page: Page, svg: str) -> dict[str, float]:
    """By the mark of each part on a sheet: the sheet's own, or what stands beside the part's name."""
    if page.scale != "as stated" and "," not in page.mark and " to " not in page.mark:
        return {page.mark: scale_of(page.scale)}
    found = {}
    words = texts(svg)
    for x, y, text in words:
        if head := re.match(r"([A-Z]+\d+)  ", text):
            beside = [(u, t) for u, v, t in words if abs(v - y) < 0.1 and u > x and t.startswith("make ")]
            found[head.group(1)] = scale_of(min(beside)[1].split()[-1])
    return found


def measured(page: Page) -> dict[str, tuple[float, float]]:
    """By group: what is drawn in the model's mm, from arrowhead to arrowhead or from a tape's beginning, and what its
    words say. Without radii, of which only one end is drawn, and notes, that measure nothing."""
    svg = svg_of(page)
    by_part = scales(page, svg)
    found = {}
    read = groups(svg)
    for name, group in read.items():
        mark = name.split(".")[0]
        if ".datum." in name or mark not in by_part:
            continue
        begin = {".along.": "along", ".up.": "up"}
        which = next((b for key, b in begin.items() if key in name), "")
        if not which and name == f"{mark}.length" and len(group.tips) == 1:
            which = "along"
        if which and len(group.tips) == 1:
            zero, tip = read[f"{mark}.datum.{which}"].dots[0], group.tips[0]
            length = abs(tip[0] - zero[0]) if which == "along" else abs(tip[1] - zero[1])
        elif len(group.tips) == 2 or (not group.tips and len(group.dots) == 2):
            length = group.length
        else:
            continue
        found[name] = length / by_part[mark], group.told
    return found


def words_that_meet(page: Page) -> list[tuple[str, str]]:
    """Texts of a whole sheet that lie on each other by more than a fifth of a millimetre."""
    marks = page.drawing("A name", "file.toml", "2026-11-28", 1, 1).marks
    found = [t for t in texts_of(marks) if t.text]
    boxes = np.array([box_of(t) for t in found])
    deep = np.triu(overlap(boxes, boxes), 1)
    return [(found[i].text, found[j].text) for i, j in zip(*np.nonzero(deep > 0.2), strict=True)]


def words_outside(page: Page) -> list[str]:
    """Texts of a whole sheet that reach beyond its frame."""
    left, low, right, high = page.paper.frame
    found = [t for t in texts_of(page.drawing("A name", "file.toml", "2026-11-28", 1, 1).marks) if t.text]
    boxes = outer(np.array([box_of(t) for t in found]))
    out = (boxes[:, 0] < left) | (boxes[:, 1] < low - 0.1) | (boxes[:, 2] > right) | (boxes[:, 3] > high)
    return [t.text for t, o in zip(found, out, strict=True) if o]
