"""Drawings of made parts and bolted stacks: each dimension read back from the SVG is the model's; no words meet."""

from __future__ import annotations

import math
import re
from xml.etree import ElementTree

import pytest
from kind_parts import springs, teasel_on
from plan_parts import (
    SVG,
    groups,
    measured,
    scale_of,
    sheets,
    shipped_sheets,
    subject,
    subject_with,
    svg_of,
    texts,
    words_outside,
    words_that_meet,
)
from sheet_parts import built

from trundle.errors import InputError
from trundle.fields.sketch import Around
from trundle.making.bolted import Bolted
from trundle.making.part import Made
from trundle.plans.ink import Path
from trundle.plans.page import room
from trundle.plans.paper import PAPERS
from trundle.plans.placing import in_rows, must_fit
from trundle.plans.view import View
from trundle.spec.shipped import names
from trundle.spec.track import Track
from trundle.springs import Spring

VEHICLES = names("vehicles")
KINDS = ("bars", "plates", "sleeves", "leaves", "stacks", "pair", "screws", "straights", "springs")
CLOSE_MM = 0.05


def of_made(part: Made, flat_mm: float) -> dict[str, float]:
    """What a part's sheet measures, from the part."""
    m = part.mark
    found: dict[str, float] = {}
    if part.what in ("arm", "beam", "bracket plate"):
        found = {f"{m}.length": part.length_mm, f"{m}.height": part.height_mm}
        found[f"{m}.thick" if part.what == "bracket plate" else f"{m}.width"] = part.width_mm
        found |= {f"{m}.along.{h.name}": h.along_mm for h in part.holes}
        alike: dict[tuple[float, str], list[str]] = {}
        for h in part.holes:
            alike.setdefault((h.diameter_mm, h.passes), []).append(f"{m}.hole.{h.name}")
        found |= {"; ".join(n): size for (size, _), n in alike.items()}
        found |= {
            f"{m}.apart.{h.name}": h.along_mm - part.holes[0].along_mm for h in part.holes[1:] if h.tolerance_mm < 0.5
        }
    elif part.what == "torsion bar":
        found = {f"{m}.length": part.length_mm, f"{m}.outside": part.height_mm}
    elif part.what in ("pivot sleeve", "axle sleeve", "spacer"):
        assert part.bore_mm is not None
        found = {f"{m}.length": part.length_mm, f"{m}.outside": part.height_mm, f"{m}.bore": part.bore_mm}
    elif part.what == "leaf":
        assert part.radius_mm is not None
        inside = part.radius_mm - 0.5 * part.height_mm
        turn = 0.5 * (part.length_mm - flat_mm) / part.radius_mm
        found = {
            f"{m}.chord": flat_mm + 2.0 * inside * math.sin(turn),
            f"{m}.rise": inside * (1.0 - math.cos(turn)),
            f"{m}.thick": part.height_mm,
            f"{m}.width": part.width_mm,
        }
        if flat_mm > 0.0:
            found[f"{m}.flat"] = flat_mm
    return found


def of_bolts(bolts: tuple[Bolted, ...]) -> dict[str, float]:
    """What the stacks' sheets measure."""
    found: dict[str, float] = {}
    numbers = {"axle bolt": 0, "pivot bolt": 0, "hull bolt": 0}
    for b in bolts:
        numbers[b.what] += 1
        m = f"{({'axle bolt': 'AX', 'pivot bolt': 'PV', 'hull bolt': 'HB'})[b.what]}{numbers[b.what]}"
        found |= {f"{m}.layer.{k}": x.thick_mm for k, x in enumerate(b.layers) if x.thick_mm > 0.0}
        if b.packing_mm > 0.0:
            found[f"{m}.packing"] = b.packing_mm
        found |= {f"{m}.grip": sum(x.thick_mm for x in b.layers), f"{m}.length": b.length_mm}
    return found


@pytest.mark.parametrize("name", VEHICLES)
def test_each_dimension_is_the_models(name: str) -> None:
    """Measured from arrowhead to arrowhead in the SVG and divided by the stated scale, and as it is written: both are
    the part's own within 0.05 mm; and nothing that a part has is without its dimension."""
    of = subject(name)
    expected: dict[str, float] = of_bolts(of.bolted)
    for part in of.made:
        sprung = of.vehicle.bogie[part.bogies[0]].sprung(part.bogies[0])
        bent = sprung.spring.bending(0.0) if sprung is not None else None
        expected |= of_made(part, bent.flat_mm if bent is not None else 0.0)
    read: dict[str, tuple[float, float]] = {}
    for kind in ("bars", "plates", "sleeves", "leaves", "straights", "stacks"):
        for page in shipped_sheets(name, kind):
            read |= measured(page)
    assert not set(expected) - set(read)
    others = {n for n in set(read) - set(expected) if not re.search(r"\.(section|up)\.", n)}
    assert not others
    for field, size in expected.items():
        drawn, told = read[field]
        assert drawn == pytest.approx(size, abs=CLOSE_MM), field
        assert told == pytest.approx(size, abs=CLOSE_MM), field
    # Sections of stock and heights of holes: what is written is what is drawn, and no hole has none.
    for field in set(read) - set(expected):
        drawn, told = read[field]
        assert drawn == pytest.approx(told, abs=CLOSE_MM), field
    for part in of.made:
        ups = {round(told, 2) for field, (_, told) in read.items() if field.startswith(f"{part.mark}.up.")}
        assert ups == {round(h.up_mm, 2) for h in part.holes}


@pytest.mark.parametrize("name", VEHICLES)
def test_wheels_over_the_tooth_measure_the_file(name: str) -> None:
    """Beside the tooth half of what the wheels are apart less the tooth; over it the wheel's radius less the tooth and
    half of the arm."""
    of = subject(name)
    track = of.vehicle.track
    pages = shipped_sheets(name, "pair")
    if track is None:
        assert not pages
        return
    assert isinstance(track, Track)
    for page in pages:
        read = measured(page)
        bogie = next(m.group(1) for _, _, t in texts(svg_of(page)) if (m := re.match(r"For (\w+)", t)))
        members = [m for m in of.vehicle.bogie[bogie].members(bogie) if m.carries_axle]
        axle = members[0].build.axle if members[0].build is not None else None
        assert axle is not None
        assert axle.tooth_width_mm is not None
        arm = next(p for p in of.made if p.what == members[0].what and bogie in p.bogies)
        wheel = of.vehicle.wheel[of.vehicle.bogie[bogie].wheel]
        expected = {
            "apart": axle.wheels_apart_mm,
            "tread": wheel.width_mm,
            "wheel": 2.0 * wheel.radius_mm,
            "track": track.width_mm,
            "thick": track.thickness_mm,
            "tooth": axle.tooth_width_mm,
            "tall": track.tooth_mm,
            "beside": 0.5 * (axle.wheels_apart_mm - axle.tooth_width_mm),
            "above": wheel.radius_mm - track.tooth_mm - 0.5 * arm.height_mm,
        }
        assert {n.split(".")[1] for n in read} == set(expected)
        for field, (drawn, told) in read.items():
            size = expected[field.split(".")[1]]
            assert drawn == pytest.approx(size, abs=CLOSE_MM), field
            assert told == pytest.approx(size, abs=CLOSE_MM), field


def test_an_adjuster_is_drawn_out_and_in() -> None:
    """Teasel's M12 moves 15 mm: 8.6 turns of its 1.75 mm pitch (ISO 724)."""
    (page,) = sheets(subject("teasel"), "screws")
    drawn, told = measured(page)["SC1.travel"]
    assert drawn == pytest.approx(15.0, abs=CLOSE_MM)
    assert told == 15.0
    assert any("8.6 turns of 1.75 mm" in text for _, _, text in texts(svg_of(page)))
    assert page.count == 6


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize(
    ("name", "paper"), [*((v, "A3") for v in VEHICLES), ("otter", "A4"), ("teasel", "Letter"), ("mole", "Tabloid")]
)
def test_no_words_meet_or_leave_the_frame(name: str, paper: str, kind: str) -> None:
    for page in shipped_sheets(name, kind, paper):
        assert not words_that_meet(page), (page.mark, page.title)
        assert not words_outside(page), (page.mark, page.title)


@pytest.mark.parametrize("name", VEHICLES)
def test_views_of_an_arm_line_up(name: str) -> None:
    """First angle projection: under each hole of the side view its hidden edges from above, at the same place across
    the sheet; and a circle for every hole."""
    of = subject(name)
    for page in shipped_sheets(name, "bars"):
        part = next(p for p in of.made if p.mark == page.mark)
        scale = scale_of(page.scale)
        root = ElementTree.fromstring(svg_of(page))
        lines = [
            (float(m.get("x1", "")), float(m.get("y1", "")), float(m.get("x2", "")))
            for m in root.iter(f"{SVG}line") if m.get("stroke-dasharray") == "2.4 0.9"
        ]  # fmt: skip
        circles = [
            (float(c.get("cx", "")), float(c.get("cy", "")), float(c.get("r", ""))) for c in root.iter(f"{SVG}circle")
        ]
        zero = groups(svg_of(page))[f"{page.mark}.datum.along"].dots[0][0]
        for hole in part.holes:
            x, r = zero + scale * hole.along_mm, 0.5 * scale * hole.diameter_mm
            rings = [c for c in circles if abs(c[0] - x) < 1e-3 and abs(c[2] - r) < 1e-3]
            assert len(rings) == 1
            for edge in (x - r, x + r):
                below = [m for m in lines if abs(m[0] - edge) < 1e-3 and abs(m[2] - edge) < 1e-3 and m[1] > rings[0][1]]
                assert len(below) == hole.walls


@pytest.mark.parametrize("name", VEHICLES)
def test_items_of_a_stack_are_on_its_list(name: str) -> None:
    """Each layer but a gap has a balloon, bolt and nut too; each number stands on the list, and washers for the vehicle
    add up."""
    of = subject(name)
    for page, bolts in zip(shipped_sheets(name, "stacks"), of.bolted, strict=True):
        words = texts(svg_of(page))
        numbers = [t for _, _, t in words if t.isdigit()]
        layers = [x for x in bolts.layers if x.what != "play"]
        packed = 1 if bolts.packing_mm > 0.0 else 0
        rows = len(set(layers)) + 2 + packed
        for k in range(1, rows + 1):
            assert str(k) in numbers
        assert page.count == bolts.count
        # Its balloons' numbers are the only bold ones.
        bold = [
            t.text for t in ElementTree.fromstring(svg_of(page)).iter(f"{SVG}text")
            if t.get("font-weight") == "bold" and (t.text or "").isdigit()
        ]  # fmt: skip
        assert len(bold) == len(layers) + 2 + packed


@pytest.mark.parametrize("name", VEHICLES)
def test_bars_and_coils_measure_the_file(name: str) -> None:
    """Lengths and diameters of springs that are no leaves, at the scale that stands under each view."""
    of = subject(name)
    for page in sheets(of, "springs"):
        svg = svg_of(page)
        (path,) = {m.group(1) for _, _, t in texts(svg) if (m := re.search(r"\[bogie\.(\w+)", t))}
        sprung = of.vehicle.bogie[path].sprung(path)
        assert sprung is not None
        titles = sorted((x, t) for x, _, t in texts(svg) if re.search(r", \d+:\d+$", t))
        read = groups(svg)
        assert len(read) > 2
        for field, group in read.items():
            _, view, name_of = field.split(".")
            if len(group.tips) == 2:
                size = getattr(sprung.spring, name_of)
                assert group.length / scale_of(titles[int(view)][1].split()[-1]) == pytest.approx(size, abs=CLOSE_MM)
                assert group.told == pytest.approx(size, abs=CLOSE_MM)


def test_what_is_not_given_is_told_with_its_field() -> None:
    """Whose wheel has no hub's width, whose weld no sleeve's length: its axle bolt's sheet names the fields."""
    page = next(iter(sheets(subject_with(built()), "stacks")))
    words = " ".join(t for _, _, t in texts(svg_of(page)))
    for field in ("wheel.road.hub_width_mm", "build.weld.sleeve_length_mm"):
        assert field in words


SECTIONS = {
    "channel": {},
    "square tube": {"kind": "square tube", "holes_from_back_mm": 20.0},
    "flat": {"kind": "flat", "side_mm": 40.0, "thickness_mm": 12.0},
    "round": {"kind": "round", "side_mm": 36.0, "thickness_mm": None},
    "round tube": {"kind": "round", "side_mm": 36.0, "thickness_mm": 6.0},
}
HELD = {
    "between wheels": {},
    "one side": {"axle__held": "one side", "pivot__held": "one side"},
    "both sides": {"axle__held": "both sides"},
}
WAYS = [*((s, "between wheels") for s in SECTIONS), ("channel", "one side"), ("flat", "both sides")]


@pytest.mark.parametrize(("section", "held"), WAYS)
def test_every_way_to_make_an_arm_is_drawn(section: str, held: str) -> None:
    """Any stock, any bolt's hold: what is drawn is what is written, no words meet, each hole has its place."""
    arm = {f"arm__{k}": v for k, v in SECTIONS[section].items()}
    settings = {**arm, **HELD[held], "pivot__sleeve_outside_mm": 22.0}
    of = subject_with(built(**{f"bogie__*__build__{k}": v for k, v in settings.items()}), "A4")
    for kind in ("bars", "plates", "sleeves", "stacks", "pair"):
        for page in sheets(of, kind):
            assert not words_that_meet(page), (kind, page.mark)
            assert not words_outside(page), (kind, page.mark)
            read = measured(page)
            for field, (drawn, told) in read.items():
                assert drawn == pytest.approx(told, abs=CLOSE_MM), field
            for part in of.made:
                if part.mark == page.mark:
                    assert {f"{part.mark}.along.{h.name}" for h in part.holes} <= set(read)


@pytest.mark.parametrize("spring", springs(), ids=lambda s: f"{s.kind_name()}")
def test_every_spring_is_drawn(spring: Spring) -> None:
    """Of any kind: a sheet where it is cut or wound from stock, without words on each other."""
    of = subject_with(teasel_on(spring), "A4")
    pages = [*sheets(of, "springs"), *sheets(of, "straights"), *sheets(of, "leaves")]
    assert bool(pages) == bool(spring.stock() and any(s.view in ("top", "section") for s in spring.sketches(Around())))
    for page in pages:
        assert not words_that_meet(page), page.mark
        assert not words_outside(page), page.mark


def test_paper_that_is_too_small_is_named() -> None:
    """A view that does not fit at any usual scale: a message with the paper that is larger, no sheet that runs over."""
    view = View("", (Path(((0.0, 0.0), (30_000.0, 0.0))),))
    placed = in_rows([[view]], room(PAPERS["A4"]))
    assert not placed.fits
    with pytest.raises(InputError, match="A4 is too small for A1, arm") as told:
        must_fit(placed, "A1, arm", PAPERS["A4"])
    assert "A3" in str(told.value)


def test_small_parts_share_fewer_a_sheet_where_they_must() -> None:
    """Teasel's nine leaves go three on A3, fewer on smaller paper, each of them once."""
    for paper in ("A3", "Letter"):
        pages = shipped_sheets("teasel", "leaves", paper)
        marks = [t.split()[0] for page in pages for _, _, t in texts(svg_of(page)) if re.match(r"L\d  ", t)]
        assert marks == [f"L{k}" for k in range(1, 10)]
    assert len(shipped_sheets("teasel", "leaves")) == 3


def test_a_ring_that_is_turned_is_on_the_list_by_its_mark() -> None:
    """An inch bolt has no shim rings: 3.3 mm beside its hubs is no pile of its 2.4 mm washers, so that a ring is made,
    drawn on a sheet, and named in the stack's list."""
    settings = {"axle__thread": "UNC 1/2", "axle__grade": "grade 5", "weld__sleeve_length_mm": 37.4}
    of = subject_with(built(**{f"bogie__*__build__{k}": v for k, v in settings.items()}))
    (ring,) = [p for p in of.made if p.what == "spacer"]
    assert ring.length_mm == pytest.approx(3.3)
    drawn, told = next(measured(p) for p in sheets(of, "sleeves"))[f"{ring.mark}.length"]
    assert drawn == pytest.approx(3.3, abs=CLOSE_MM)
    assert told == pytest.approx(3.3, abs=CLOSE_MM)
    assert ring.mark in [t for _, _, t in texts(svg_of(sheets(of, "stacks")[0]))]
