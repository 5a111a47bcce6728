"""What the tests of assembled drawings share: sheets of a shipped vehicle, and what groups of their SVG measure."""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from functools import cache
from html import unescape

import numpy as np

from trundle.engine.standing import Standing
from trundle.papers.ground import stand_level
from trundle.plans import bogie, general, run
from trundle.plans.page import Page
from trundle.plans.paper import PAPERS
from trundle.plans.subject import Subject, subject_of
from trundle.result.inputs import vehicle_input

Corner = tuple[float, float]
Ring = tuple[float, float, float]

PAGES: dict[str, Callable[[Subject], Iterator[Page]]] = {
    "general": general.pages, "bogie": bogie.pages, "run": run.pages
}  # fmt: skip


@cache
def standing(name: str) -> Standing:
    """A shipped vehicle at rest."""
    return stand_level(vehicle_input(name).vehicle)


@cache
def subject(name: str, paper: str = "A3") -> Subject:
    """What its sheets are of."""
    at = standing(name)
    return subject_of(at.assembly.vehicle, at, f"{name}.toml", "2026-01-02", PAPERS[paper])


@cache
def sheets(name: str, kind: str, paper: str = "A3") -> tuple[Page, ...]:
    """All sheets of a kind."""
    return tuple(PAGES[kind](subject(name, paper)))


@dataclass
class Group:
    """Marks under one name, in mm of the model (y up). tips: of arrowheads; legs: lines from their first to their
    second end; circles: place and radius; words: all texts. scale: of its sheet, paper over model."""

    scale: float
    tips: list[Corner] = field(default_factory=list)
    legs: list[tuple[Corner, Corner]] = field(default_factory=list)
    circles: list[tuple[float, float, float]] = field(default_factory=list)
    words: list[str] = field(default_factory=list)

    @property
    def length(self) -> float:
        """Between the two arrowheads [mm]."""
        assert len(self.tips) == 2, self
        return math.dist(*self.tips)

    @property
    def angle(self) -> float:
        """Between the two legs [deg]."""
        turns = [math.degrees(math.atan2(b[1] - a[1], b[0] - a[0])) for a, b in self.legs[:2]]
        return abs((turns[1] - turns[0] + 180.0) % 360.0 - 180.0)


def scale_of(page: Page) -> float:
    """From the words of its title block."""
    a, b = page.scale.split(":")
    return float(a) / float(b)


def groups(page: Page) -> dict[str, Group]:
    """Everything that has a name on a sheet, read back from its SVG alone."""
    scale = scale_of(page)
    svg = page.drawing("Name", "name.toml", "2026-01-02", 1, 1).svg()
    found = {}
    for name, inner in re.findall(r'<g data-field="([^"]*)">(.*?)</g>', svg, re.DOTALL):
        one = Group(scale)
        for x, y in re.findall(r'<polygon points="([-\d.]+),([-\d.]+) [^"]*" fill="[^"]*" stroke="none"', inner):
            one.tips.append((float(x) / scale, -float(y) / scale))
        for ends in re.findall(r'<line x1="([-\d.]+)" y1="([-\d.]+)" x2="([-\d.]+)" y2="([-\d.]+)"', inner):
            x0, y0, x1, y1 = (float(e) / scale for e in ends)
            one.legs.append(((x0, -y0), (x1, -y1)))
        for x, y, r in re.findall(r'<circle cx="([-\d.]+)" cy="([-\d.]+)" r="([-\d.]+)"', inner):
            one.circles.append((float(x) / scale, -float(y) / scale, float(r) / scale))
        one.words = [unescape(t) for t in re.findall(r"<text [^>]*>([^<]*)</text>", inner)]
        found[unescape(name)] = one
    return found


def measured(name: str, kind: str, paper: str = "A3") -> dict[str, Group]:
    """Of all sheets of a kind."""
    found: dict[str, Group] = {}
    for page in sheets(name, kind, paper):
        if ":" in page.scale:
            found.update(groups(page))
    return found


def on_tape(found: dict[str, Group], name: str, datum: str, axis: int) -> float:
    """How far a place on a tape lies from where the tape begins [mm]."""
    return found[name].tips[0][axis] - found[datum].circles[0][axis]


def axles(at: Standing) -> dict[str, tuple[float, float]]:
    """Where every axle is in the hull [mm]: chains of pivot and arm, turned by the joints' angles."""
    found: dict[str, tuple[float, float]] = {}
    frames: list[tuple[float, float, float]] = []
    for part, angle in zip(at.assembly.parts.swings, at.q[3:], strict=True):
        x, y, turn = frames[part.parent - 1] if part.parent else (0.0, 0.0, 0.0)
        z = complex(x, y) + complex(part.pivot_x, part.pivot_y) * np.exp(1j * turn)
        now = turn - part.sign * float(angle)
        frames.append((z.real, z.imag, now))
        for w in part.wheels:
            a = z + complex(w.x, w.y) * np.exp(1j * now)
            found[w.name] = (a.real * 1e3, a.imag * 1e3)
    return found


def rings(at: Standing) -> tuple[list[tuple[float, float, float]], list[tuple[float, float, float]]]:
    """(x, y, radius to the ground face) in the hull [mm]: of road wheels from front to rear; of the track's ends."""
    vehicle = at.assembly.vehicle
    thick = vehicle.track.thickness_mm if vehicle.track is not None else 0.0
    kinds = {w.name: vehicle.wheel[w.kind].radius_mm for p in at.assembly.parts.swings for w in p.wheels}
    wheels = sorted(((x, y, kinds[n] + thick) for n, (x, y) in axles(at).items()), key=lambda r: -r[0])
    track = vehicle.track
    if track is None:
        return wheels, []
    assert at.assembly.idler_mm is not None
    x, y = at.assembly.idler_mm
    x -= float(at.state["band.idler_shift_m"]) * 1e3 * (1.0 if track.sprocket.end == "rear" else -1.0)
    tooth = track.pitch_mm * track.sprocket.links_per_tooth
    pitch_radius = tooth / (2.0 * math.sin(math.pi / track.sprocket.teeth))
    ends = [(*track.sprocket.at_mm, pitch_radius + 0.5 * thick), (x, y, track.idler.radius_mm + thick)]
    return wheels, ends
