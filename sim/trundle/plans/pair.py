"""A pair of wheels over the track's guide tooth, seen along the hull: the room beside the tooth and above it."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from trundle.bogies.answers import Member
from trundle.bogies.joints import AxleBolt
from trundle.fields.sketch import Span
from trundle.handling.turn import FLANK_DEG
from trundle.making.part import Made
from trundle.plans.ink import Centre, Cut, Ink, Path, Solid, rectangle
from trundle.plans.notes import with_notes
from trundle.plans.page import Page
from trundle.plans.placing import in_rows, must_fit
from trundle.plans.subject import Subject
from trundle.plans.view import Dim, View
from trundle.plans.words import mm
from trundle.spec.track import Track
from trundle.spec.wheel import Wheel
from trundle.steel.bolts import thread
from trundle.units import MM


@dataclass(frozen=True)
class Pair:
    """Two wheels of a bogie's member with what is between them. above_mm: of the lowest thing over the tooth: half the
    height of the arm, its sleeve or the bolt under the axle's middle."""

    bogie: str
    member: Member
    axle: AxleBolt
    wheel: Wheel
    track: Track
    arm: Made | None
    sleeve_mm: float | None

    @property
    def under_axle_mm(self) -> tuple[float, str]:
        """How far what is over the tooth reaches below the axle's middle, and what that is."""
        found = [(0.5 * thread(self.axle.thread).diameter_m / MM, "bolt")]
        if self.axle.held == "between wheels":
            if self.sleeve_mm is not None:
                found.append((0.5 * self.sleeve_mm, "sleeve"))
            if self.arm is not None:
                hole = next((h for h in self.arm.holes if h.passes.startswith("axle")), None)
                if hole is not None:
                    found.append((max(hole.up_mm, self.arm.height_mm - hole.up_mm), self.arm.what))
        return max(found)


def pages(subject: Subject) -> Iterator[Page]:
    """One sheet for each way in which two wheels stand astride a tooth."""
    alike: dict[tuple[object, ...], list[Pair]] = {}
    for pair in _pairs(subject):
        alike.setdefault((repr(pair.axle), repr(pair.wheel), pair.under_axle_mm), []).append(pair)
    for k, pairs in enumerate(alike.values(), 1):
        yield _page(subject, pairs[0], ", ".join(dict.fromkeys(p.bogie for p in pairs)), f"WT{k}")


def _pairs(subject: Subject) -> Iterator[Pair]:
    track = subject.vehicle.track
    for name, bogie in subject.vehicle.bogie.items():
        wheel = subject.vehicle.wheel[bogie.wheel]
        for member in bogie.members(name):
            build = member.build
            if track is None or wheel.abreast < 2 or build is None or build.axle is None or not member.carries_axle:
                continue
            near = [p for p in subject.made if p.what == member.what and name in p.bogies]
            sleeve = build.weld.sleeve_mm if build.weld is not None else None
            yield Pair(name, member, build.axle, wheel, track, near[0] if near else None, sleeve)


def _page(subject: Subject, pair: Pair, bogies: str, mark: str) -> Page:
    paper = subject.paper.turned(False)
    under, what = pair.under_axle_mm
    notes = [
        f"For {bogies}.",
        "Tyres not pressed, the tooth in the middle: in a turn it runs against one tyre.",
        f"Over the tooth: the {what}.",
    ]
    if pair.axle.tooth_width_mm is None:
        at = f"{pair.member.path}.build.axle.tooth_width_mm"
        notes.append(f"Left out: the tooth's width, and so the room beside it ({at}).")
    elif pair.track.tooth_flank_deg is None:
        notes.append(f"Left out: how its flanks lean, drawn at {FLANK_DEG:g} deg (track.tooth_flank_deg).")
    words, free = with_notes(paper, notes)
    placed = must_fit(in_rows([[_view(pair, mark, under)]], free), "wheels over the guide tooth", paper)
    return Page(mark, "wheels over the guide tooth", paper, placed.words, (*placed.marks, *words))


def _view(pair: Pair, mark: str, under: float) -> View:
    """x across from the middle of the tooth, y up from the face that the wheels run on."""
    wheel, track, axle = pair.wheel, pair.track, pair.axle
    r, wide, gap = wheel.radius_mm, wheel.width_mm, 0.5 * axle.wheels_apart_mm
    bolt = 0.5 * thread(axle.thread).diameter_m / MM
    out = gap + wide
    ink: list[Ink] = []
    hub = 0.5 * (wheel.hub_mm - wide)
    for side in (-1.0, 1.0):
        a, b = sorted((side * gap, side * out))
        ink.append(Path(rectangle(a, 0.0, b, 2.0 * r), closed=True))
        if hub > 0.0:
            ink.append(Path(rectangle(a - hub, r - 2.0 * bolt, b + hub, r + 2.0 * bolt), "hidden", closed=True))
        ink.append(Centre((side * (gap + 0.5 * wide), 0.0), (side * (gap + 0.5 * wide), 2.0 * r)))
    dims = [
        Dim(Span(f"{mark}.apart", (-gap, 2.0 * r), (gap, 2.0 * r), "x"), (mm(2.0 * gap),)),
        Dim(Span(f"{mark}.tread", (gap, 2.0 * r), (out, 2.0 * r), "x"), (mm(wide),)),
        Dim(Span(f"{mark}.wheel", (-out, 0.0), (-out, 2.0 * r), "y"), (f"Ø{mm(2.0 * r)}",)),
    ]
    if axle.held == "between wheels":
        if pair.arm is not None:
            hole = next((h for h in pair.arm.holes if h.passes.startswith("axle")), None)
            up = hole.up_mm if hole is not None else 0.5 * pair.arm.height_mm
            half = 0.5 * pair.arm.width_mm
            ink.append(Path(rectangle(-half, r - up, half, r - up + pair.arm.height_mm), closed=True))
        if pair.sleeve_mm is not None:
            half = 0.5 * (pair.member.build.axle_held_mm or 0.0) if pair.member.build is not None else 0.0
            s = 0.5 * pair.sleeve_mm
            ink.append(Path(rectangle(-half, r - s, half, r + s), "hidden", closed=True))
    ink += [
        Path(rectangle(-out - 8.0, r - bolt, out + 8.0, r + bolt), "hidden", closed=True),
        Centre((-out - 8.0, r), (out + 8.0, r)),
    ]
    across = 0.5 * track.width_mm
    ink.append(Solid(rectangle(-across, -track.thickness_mm, across, 0.0)))
    dims += [
        Dim(
            Span(f"{mark}.track", (-across, -track.thickness_mm), (across, -track.thickness_mm), "x"),
            (mm(2.0 * across),),
        ),
        Dim(Span(f"{mark}.thick", (across, -track.thickness_mm), (across, 0.0), "y"), (mm(track.thickness_mm),)),
    ]
    tooth = axle.tooth_width_mm
    if tooth is not None:
        foot = 0.5 * tooth
        lean = FLANK_DEG if track.tooth_flank_deg is None else track.tooth_flank_deg
        tip = max(foot - track.tooth_mm / math.tan(math.radians(lean)), 0.1 * foot)
        ring = (-foot, 0.0), (foot, 0.0), (tip, track.tooth_mm), (-tip, track.tooth_mm)
        ink.append(Cut((ring,), 45.0))
        dims += [
            Dim(Span(f"{mark}.tooth", (-foot, 0.0), (foot, 0.0), "x"), (mm(tooth),)),
            Dim(Span(f"{mark}.beside", (foot, 0.0), (gap, 0.0), "x"), (f"{mm(gap - foot)} free",)),
            Dim(Span(f"{mark}.tall", (-tip, 0.0), (-tip, track.tooth_mm), "y"), (mm(track.tooth_mm),)),
        ]
        if r - under > track.tooth_mm:
            clear = r - under - track.tooth_mm
            dims.append(
                Dim(Span(f"{mark}.above", (tip, track.tooth_mm), (tip, r - under), "y"), (f"{mm(clear)} free",))
            )
    return View("seen along the hull", tuple(ink), tuple(dims), beside_mm=40.0)
