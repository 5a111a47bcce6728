"""What the tests of drawings share: a plan of a vehicle, what stands in its pages, read back from SVG."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cache
from html import unescape
from pathlib import Path

import numpy as np

from trundle.drawing.clash import overlap
from trundle.drawing.holds import box_of
from trundle.drawing.marks import Text
from trundle.drawing.sheet import Drawing
from trundle.elevation.plan import Plan, drawn_plan
from trundle.elevation.subject import Subject, standing_subject
from trundle.papers.ground import stand_level
from trundle.spec.readable import read_anyhow
from trundle.spec.shipped import find

Corner = tuple[float, float]


@cache
def subject(name: str) -> Subject:
    """A shipped vehicle as it stands."""
    reading = read_anyhow(find("vehicles", name))
    return standing_subject(reading, stand_level(reading.vehicle))


@cache
def plan(name: str) -> Plan:
    """Its pages."""
    return drawn_plan(subject(name), f"{name}.toml", "2026-01-02")


@dataclass(frozen=True)
class ReadBack:
    """What an SVG has on it, in mm of paper, y down as there."""

    circles: list[tuple[float, float, float]]
    tips: list[Corner]
    texts: list[str]


def read_back(svg: str) -> ReadBack:
    """From its text alone. tips: first corners of what is filled without an outline: arrowheads."""
    circles = re.findall(r'<circle cx="([-\d.]+)" cy="([-\d.]+)" r="([-\d.]+)"', svg)
    tips = re.findall(r'<polygon points="([-\d.]+),([-\d.]+) [^"]*" fill="[^"]*" stroke="none"', svg)
    return ReadBack(
        [(float(x), float(y), float(r)) for x, y, r in circles],
        [(float(x), float(y)) for x, y in tips],
        [unescape(t) for t in re.findall(r"<text [^>]*>([^<]*)</text>", svg)],
    )


def scale_on(svg: str) -> float:
    """Of the vehicle, from the title block."""
    found = re.search(r">1 : ([\d.]+) on A3<", svg)
    assert found is not None
    return 1.0 / float(found.group(1))


def words_that_meet(page: Drawing) -> list[tuple[str, str]]:
    """Texts that lie on each other by more than a fifth of a millimetre."""
    texts = [m for m in page.marks if isinstance(m, Text) and m.text]
    boxes = np.array([box_of(t) for t in texts])
    deep = np.triu(overlap(boxes, boxes), 1)
    return [(texts[i].text, texts[j].text) for i, j in zip(*np.nonzero(deep > 0.2), strict=True)]


def written(folder: Path, text: str) -> Path:
    """A vehicle file of this text."""
    file = folder / "mine.toml"
    file.write_text(text)
    return file
