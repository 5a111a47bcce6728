"""Sheets of jigs, read back: bushes, pins and stops lie where the part's holes are; every jig is listed; what the
errors do is said with what is allowed."""

from __future__ import annotations

import re

import pytest
from svg_parts import Sheet, read

from trundle.errors import InputError
from trundle.making.made import made
from trundle.making.part import Hole, Made
from trundle.plans import jig_drill, jig_effects, jig_hull, jig_plates, jig_weld, jigs
from trundle.plans.jig_error import OUTPUTS, Care
from trundle.plans.jig_page import Jig, jig_page
from trundle.plans.jig_work import BUSHES_MM, bushes, works
from trundle.plans.page import Page
from trundle.plans.paper import PAPERS
from trundle.plans.subject import Subject, subject_of
from trundle.result.inputs import vehicle_input
from trundle.spec.vehicle import Vehicle

NAMES = ("teasel", "otter", "barrow", "mole", "wren")


def vehicle(name: str, settings: dict[str, object] | None = None) -> Vehicle:
    return vehicle_input(name, settings or {}).vehicle


def subject(name: str, paper: str = "A4") -> Subject:
    return subject_of(vehicle(name), None, f"{name}.toml", "2026-11-28", PAPERS[paper])


def sheet(of: Subject, page: Page) -> Sheet:
    """As a reader of its file has it."""
    return read(page.drawing(of.vehicle.name, of.source, of.date, 1, 1).svg())


def scale(page: Page) -> float:
    over, under = page.scale.split(":")
    return float(over) / float(under)


def part(of: Subject, mark: str) -> Made:
    return next(p for p in of.made if p.mark == mark)


@pytest.mark.parametrize("name", NAMES)
def test_bushes_lie_at_the_holes(name: str) -> None:
    """Circles of the bushes' outsides, read from the sheet and divided by its scale: from each other as the part's
    holes within 0.05 mm, and from stop and fence, too: the long lines that meet the part's corner."""
    of = subject(name)
    found = list(jig_drill.jigs(of))
    assert len(found) == sum(bool(p.holes) for p in of.made)
    for jig in found:
        page = jig_page(of, jig)
        piece, k = part(of, jig.mark[3:]), scale(page)
        rings = sheet(of, page).rings
        guides = bushes(piece)
        assert len(guides) == len(piece.holes)
        for b in guides:
            assert any(r[2] / k == pytest.approx(0.5 * b.outside_mm, abs=0.01) for r in rings)
        outside = {b.outside_mm for b in guides}
        at = sorted((x / k, y / k) for x, y, r, _ in rings if any(abs(2.0 * r / k - o) < 0.01 for o in outside))
        holes = sorted((h.along_mm, h.up_mm) for h in piece.holes)
        assert len(at) == len(holes)
        x0, y0 = at[0][0] - holes[0][0], at[0][1] - holes[0][1]
        for a, h in zip(at, holes, strict=True):
            assert (a[0] - x0, a[1] - y0) == pytest.approx(h, abs=0.05)
        # Stop's and fence's inner faces: where the part's corner must lie.
        upright = [s for s in sheet(of, page).strokes if abs(s.a[0] / k - x0) < 0.05 and abs(s.b[0] / k - x0) < 0.05]
        level = [s for s in sheet(of, page).strokes if abs(s.a[1] / k - y0) < 0.05 and abs(s.b[1] / k - y0) < 0.05]
        assert max(s.length / k for s in upright) >= piece.height_mm - jig_drill.RELIEF_MM - 0.05
        assert max(s.length / k for s in level) >= piece.length_mm - jig_drill.RELIEF_MM - 0.05


def test_bushes_by_the_holes() -> None:
    """Up to 13 mm in one go, wider by a pilot of 6; sizes are those of the table; bushes that would touch are smaller,
    and left out where even that does not do, which the sheet says."""
    of = subject("teasel")
    by_hole = {b.hole.diameter_mm: b for p in of.made for b in bushes(p)}
    for size, b in by_hole.items():
        assert b.pilot == (size > 13.0)
        assert b.bore_mm == (6.0 if size > 13.0 else size)
        assert (b.outside_mm, b.length_mm) in {row[1:] for row in BUSHES_MM}
    near = made(vehicle("teasel"))[0]
    holes = tuple(Hole(f"h{k}", 30.0 + x, 20.0, 12.0, 0.5) for k, x in enumerate((0.0, 14.0, 80.0, 83.0)))
    close = Made(**{**vars(near), "holes": holes})
    kept = bushes(close)
    assert [b.hole.name for b in kept] == ["h0", "h1"]
    assert {b.bore_mm for b in kept} == {6.0}
    [jig] = list(jig_drill.jigs(Subject(**{**vars(of), "made": (close,)})))
    assert any("h2 and h3: too close together" in n for n in jig.notes)


@pytest.mark.parametrize("name", NAMES)
def test_pins_hold_every_sleeve(name: str) -> None:
    """Pins as far apart as the holes, 0.1 under the sleeves' bores; rings and packing bring every middle to one height,
    so that sleeves stick out alike on both sides."""
    of = subject(name)
    for work in works(of.vehicle, of.made):
        held = jig_weld.pinned_sleeves(work, of.made)
        assert {p.hole.name for p in held} == {h.name for h in work.sleeved}
        middle, packing = jig_weld.middle_mm(work), jig_weld.packing_mm(work)
        assert packing >= 0.0
        assert packing + 0.5 * work.part.width_mm == pytest.approx(middle)
        for p in held:
            assert p.foot_mm >= 0.0
            assert p.foot_mm + 0.5 * p.long_mm == pytest.approx(middle)
            sleeve = next(s for s in of.made if s.what == p.hole.passes and s.length_mm == p.long_mm)
            assert sleeve.bore_mm == pytest.approx(p.pin_mm + Care().pin_play_mm)
    for jig in jig_weld.jigs(of):
        page = jig_page(of, jig)
        piece, k = part(of, jig.mark[3:]), scale(page)
        work = next(w for w in works(of.vehicle, of.made) if w.part.mark == piece.mark)
        pins = jig_weld.pinned_sleeves(work, of.made)
        at = sorted(
            x / k for x, _, r, ink in sheet(of, page).rings
            if any(abs(2.0 * r / k - p.pin_mm) < 0.01 for p in pins) and ink == "rgb(0,0,0)"
        )  # fmt: skip
        holes = sorted(p.hole.along_mm for p in pins)
        assert [a - at[0] for a in at] == pytest.approx([h - holes[0] for h in holes], abs=0.05)


def test_plates_stand_as_far_apart_as_sleeve_and_play() -> None:
    """Teasel: the pivot's sleeve and its play on both sides; the distance tube is as long."""
    of = subject("teasel")
    pivot = of.vehicle.bogie["front"].members("front")[0].build.pivot  # type: ignore[union-attr]
    assert pivot is not None
    [jig] = list(jig_plates.jigs(of))
    inside = pivot.sleeve_mm + 2.0 * pivot.gap_mm
    [tube] = [i for i in jig.items if i.what == "distance tube"]
    assert tube.length == f"{inside:g} ±0.1"
    assert tube.count == 2
    assert f"For the {part(of, 'P1').count // 2} pairs" in jig.notes[0]


def test_hull_bolts_are_the_brackets_own() -> None:
    """On the hull: hull bolts from the pivots as they are in the bracket plate; pivots where the file has them."""
    of = subject("teasel")
    plate = part(of, "P1")
    pivots = sorted((h.along_mm, h.up_mm) for h in plate.holes if h.passes == "pivot bolt")
    bolts = sorted((h.along_mm, h.up_mm) for h in plate.holes if "hull" in h.passes)
    found = list(jig_hull.on_hull(of.vehicle))
    assert [b.bogie for b in found] == ["rear", "middle", "front"]
    for b in found:
        at = of.vehicle.bogie[b.bogie].at_mm
        assert sum(p[0] for p in b.pivots) / 2.0 == pytest.approx(at[0])
        for own, there in zip((*pivots, *bolts), (*b.pivots, *b.bolts), strict=True):
            assert there[0] - b.pivots[0][0] == pytest.approx(own[0] - pivots[0][0])
            assert there[1] - b.pivots[0][1] == pytest.approx(own[1] - pivots[0][1])


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("paper", ["A4", "Letter", "A3"])
def test_every_sheet_keeps_to_its_frame(name: str, paper: str) -> None:
    """Nothing is drawn over the frame's edge on any paper; each jig's items are on the list."""
    of = subject(name, paper)
    pages = list(jigs.pages(of))
    left, low, right, high = PAPERS[paper].frame
    for page in pages:
        found = sheet(of, Page(**{**vars(page), "block": False}))
        for s in found.strokes:
            for x, y in (s.a, s.b):
                assert left - 0.01 <= x <= right + 0.01
                assert low - 0.01 <= y <= high + 0.01
    listed = {t for p in pages if p.mark == "JL" for _, _, t in sheet(of, p).words}
    every: list[Jig] = [j for kind in (jig_drill, jig_weld, jig_plates) for j in kind.jigs(of)]
    assert {j.mark for j in every} <= listed
    marks = {p.mark for p in pages}
    assert {f"JE-{w.part.mark}" for w in works(of.vehicle, of.made)} <= marks


def test_effects_are_told_with_what_is_allowed() -> None:
    """Teasel's tooth has 7 mm on each side ((56 - 42) / 2); figures are those of the propagation; a gap that the likely
    error uses up is told as what does not hold."""
    of = subject("teasel")
    work = next(iter(works(of.vehicle, of.made)))
    assert work.room_mm == 7.0
    sources = work.by_pins(Care())
    place, tread = jig_effects.verdict(work, sources)
    assert place[0]
    assert "allowed ±0.25" in place[1]
    likely = sources.likely[OUTPUTS.index("tread_fore")]
    assert f"likely ±{likely:.2f}" in tread[1]
    assert "allowed ±7.00" in tread[1]
    tight = next(iter(works(vehicle("teasel", {"bogie.*.build.axle.tooth_width_mm": 54.0}), of.made)))
    holds, words = jig_effects.verdict(tight, sources)[1]
    assert not holds
    assert "DOES NOT HOLD" in words
    cart = next(iter(works(vehicle("barrow"), made(vehicle("barrow")))))
    assert cart.room_mm is None
    assert "No pair of wheels" in jig_effects.verdict(cart, sources)[1][1]


def test_a_jig_too_large_for_its_paper_is_told() -> None:
    """A part of 20 m goes on no sheet at any scale: its jig and the papers that are larger are named."""
    of = subject("teasel")
    jig = next(iter(jig_drill.jigs(of)))
    piece = Made(**{**vars(part(of, "A1")), "length_mm": 20_000.0})
    long = Jig(**{**vars(jig), "rows": next(iter(jig_drill.jigs(Subject(**{**vars(of), "made": (piece,)})))).rows})
    with pytest.raises(InputError, match=r"A4 is too small for JD-A1, drilling jig for A1.*A3"):
        jig_page(of, long)


def test_an_arm_under_a_beam_reaches_on_to_its_wheels() -> None:
    """Otter: the arm's errors swing the beam's far wheel, half of 240 mm beyond its end; the tooth is the beam's."""
    of = subject("otter")
    arm, beam = works(of.vehicle, of.made)
    assert arm.beyond_mm == pytest.approx(120.0)
    assert beam.beyond_mm == 0.0
    assert beam.reach.reach_mm == pytest.approx(120.0)
    assert arm.room_mm == beam.room_mm == 9.0


def test_rows_add_up() -> None:
    """The worst case is the sum of the rows above it, as printed."""
    of = subject("barrow")
    work = next(iter(works(of.vehicle, of.made)))
    rows = jig_effects.rows_of(work.by_pins(Care()))
    worst = next(k for k, r in enumerate(rows) if r[0] == "all, worst case")
    for c in range(2, 8):
        total = sum(float(r[c]) for r in rows[:worst])
        assert float(rows[worst][c]) == pytest.approx(total, abs=0.005 * (worst + 1))
    assert all(re.fullmatch(r"\d+\.\d\d", cell) for r in rows for cell in r[2:])
