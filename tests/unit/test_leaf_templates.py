"""Templates of leaves, read back from every sheet's file: curves against an integration of their curvature of their
own, former against the springback formula solved apart, marks of ends, middle and clamp, what alike leaves share."""

from __future__ import annotations

import math
from itertools import pairwise
from typing import Any

import numpy as np
import pytest
from click.testing import CliRunner
from scipy.integrate import solve_ivp
from scipy.optimize import brentq
from sheet_parts import built
from svg_parts import Floats, Sheet, read

from trundle.drawing.pens import INK, css
from trundle.errors import InputError
from trundle.plans.leaf_curve import Curve
from trundle.plans.leaf_template import HELD_DEG, SHARED_MM, alike_leaves, leaf_templates
from trundle.plans.paper import PAPERS
from trundle.plans.tile import tiles
from trundle.result.inputs import vehicle_input
from trundle.spec.vehicle import Vehicle

CUT = css(INK["cut"])


def shipped(name: str, **settings: Any) -> Vehicle:
    return vehicle_input(name, {k.replace("__", "."): v for k, v in settings.items()}).vehicle


def integrated(half_mm: float, flat_mm: float, radius_mm: float, off_mm: float) -> Floats:
    """The right half of a line parallel to a leaf's middle, from its middle on: the direction turns by 1/R along the
    leaf, by an initial value solver (scipy), middle at (0, 0)."""

    def slope(s: float, y: Floats) -> Floats:
        turn = -max(s - 0.5 * flat_mm, 0.0) / radius_mm
        return np.array([math.cos(turn), math.sin(turn)])

    along = np.linspace(0.0, half_mm, 400)
    parts = [along[along <= 0.5 * flat_mm], along[along > 0.5 * flat_mm]]
    start, at, found = np.zeros(2), 0.0, []
    for part in parts:
        if len(part) and part[-1] == at:
            found.append(start[None, :])
        elif len(part):
            got = solve_ivp(slope, (at, part[-1]), start, t_eval=part, rtol=1e-10, atol=1e-10, max_step=1.0)
            found.append(got.y.T)
            start, at = got.y[:, -1], float(part[-1])
    middle = np.vstack(found)
    turn = -np.maximum(along - 0.5 * flat_mm, 0.0) / radius_mm
    return middle + off_mm * np.column_stack([-np.sin(turn), np.cos(turn)])


def both(half: Floats) -> Floats:
    """The left half, mirrored, and the right one."""
    return np.vstack([(half * [-1.0, 1.0])[:0:-1], half])


def far_off(points: Floats, line: Floats) -> Floats:
    """How far points lie off a line of many corners [mm]."""
    best = np.full(len(points), np.inf)
    for a, b in pairwise(line):
        d = b - a
        t = np.clip((points - a) @ d / float(d @ d), 0.0, 1.0)
        best = np.minimum(best, np.linalg.norm(points - a - t[:, None] * d, axis=1))
    return best


def laid(stem: str, vehicle: Vehicle, paper: str) -> list[tuple[Sheet, Floats]]:
    """Each sheet of one template as read, and where its (0, 0) lies on the whole drawing."""
    drawing = dict(leaf_templates(vehicle))[stem]
    return [
        (read(t.drawing.svg()), np.array([t.window.left, t.window.low]) - np.array(t.at))
        for t in tiles(drawing, PAPERS[paper])
    ]


def middle_of(sheets: list[tuple[Sheet, Floats]]) -> tuple[float, float]:
    """Where the middle of the leaf lies in the whole drawing: the mark M's stroke, half way between its faces."""
    for sheet, shift in sheets:
        for x, y, text in sheet.words:
            if text == "middle M":
                upright = [s for s in sheet.strokes if s.a[0] == s.b[0] and abs(s.a[0] - x) < 4.0 and s.width == 0.18]
                [stroke] = [s for s in upright if min(s.a[1], s.b[1]) < y < max(s.a[1], s.b[1]) + 1.0]
                # From 6 below the lower face to 8 over the upper one.
                low, high = sorted((stroke.a[1], stroke.b[1]))
                return stroke.a[0] + shift[0], 0.5 * (low + 6.0 + high - 8.0) + shift[1]
    raise AssertionError("no middle is marked")


@pytest.mark.parametrize("paper", ["A4", "Letter", "A3"])
def test_free_curve_on_every_sheet(paper: str) -> None:
    """Both faces of Teasel's leaves as they lie free: every corner that is drawn lies on the integrated curve of each
    of the leaves within 0.2 mm plus rounding, of the middle radius within 0.01."""
    vehicle = shipped("teasel")
    alike = next(alike_leaves(vehicle))
    sheets = laid("L1-to-L5-leaf-free", vehicle, paper)
    assert len(sheets) == 2
    x0, y0 = middle_of(sheets)
    for radius, allowed in [(1.0 / alike.free_per_mm, 0.01), *((c.radius_mm, SHARED_MM) for _, c in alike.leaves)]:
        faces = [integrated(220.0, 0.0, radius, side) for side in (1.0, -1.0)]
        lines = [both(f) for f in faces]
        count = 0
        for sheet, shift in sheets:
            mine = [s for s in sheet.strokes if s.ink == CUT and s.width == 0.35]
            ends = np.array([p for s in mine for p in (s.a, s.b)]) + shift - [x0, y0]
            ends = ends[(ends[:, 1] < 1.5) & (ends[:, 1] > -40.0) & (np.abs(ends[:, 0]) < 222.0)]
            best = np.minimum(*(far_off(ends, line) for line in lines))
            assert best.max() < allowed + 0.005
            count += len(ends)
        assert count > 200


def bent_radius_mm(wanted: float, thick: float, ratio: float) -> float:
    """Ri/Rf = 4 X^3 - 3 X + 1 with X = Ri Y/(E t) (sheet-forming handbooks, from memory), ratio = Y/E, by scipy."""

    def off(ri: float) -> float:
        x = ri * ratio / thick
        return ri / wanted - (4.0 * x**3 - 3.0 * x + 1.0)

    return float(brentq(off, 1e-3 * wanted, min(0.4999 * thick / ratio, wanted)))


def test_former_is_the_springback_formulas() -> None:
    """The former's face of a thick, slow leaf read from its sheet: radius from the formula less half the thickness."""
    vehicle = shipped(
        "teasel",
        **{
            f"bogie__*__spring__{k}": v
            for k, v in {"thickness_mm": 6.0, "full_leaves": 1, "free_radius_mm": 500}.items()
        },
    )
    from trundle.steel.materials import E_STEEL, steel

    bent = bent_radius_mm(500.0, 6.0, steel("51CrV4").yield_Pa / E_STEEL)
    sheets = laid("L1-leaf-former", vehicle, "A4")
    x0, y0 = middle_of(sheets)
    half = min(220.0, math.radians(HELD_DEG) * bent)
    face = integrated(half, 0.0, bent, -3.0)
    line = both(face)
    count = 0
    for sheet, shift in sheets:
        mine = [s for s in sheet.strokes if s.ink == CUT and s.width == 0.35]
        ends = np.array([p for s in mine for p in (s.a, s.b)]).reshape(-1, 2) + shift - [x0, y0]
        # The face goes on for 14 mm past the ends; nothing else is drawn with this pen but the long check marks.
        ends = ends[(np.abs(ends[:, 0]) < face[-1][0]) & (ends[:, 1] < 0.0) & (ends[:, 1] > face[-1][1])]
        if len(ends):
            assert far_off(ends, line).max() < 0.02
            count += len(ends)
    assert count > 40
    said = [t for sheet, _ in sheets for _, _, t in sheet.words]
    assert f"former's face: radius {bent - 3.0:.1f} mm" in said


def test_end_marks_lie_at_the_leafs_length() -> None:
    """Graduated leaves that share a template have each its own ends: half its length along the curve each way."""
    vehicle = built(
        **{
            "bogie__*__spring__graduated_leaves": 2,
            "bogie__*__spring__thickness_mm": 3.0,
            "bogie__*__spring__full_leaves": 1,
        }
    )
    for alike in alike_leaves(vehicle):
        curve = alike.free(alike.longest_mm)
        for _, cut in alike.leaves:
            x, y = curve.at(0.5 * cut.length_mm)
            own = integrated(0.5 * cut.length_mm, alike.shop.flat_mm, curve.radius_mm, 0.0)[-1]
            assert (x, y) == pytest.approx(tuple(own), abs=1e-3)
    every = [cut.length_mm for alike in alike_leaves(vehicle) for _, cut in alike.leaves]
    assert len(set(every)) == 3
    words = [m.text for _, d in leaf_templates(vehicle) for m in d.marks if hasattr(m, "text")]
    for mark in ("L1", "L2", "L3"):
        assert sum(t.startswith("end") and mark in t for t in words) >= 2


def test_leaves_share_what_a_pencil_line_covers() -> None:
    """440 mm leaves of radius 700 to 716: their ends lie L^2/8 (1/R1 - 1/R2) apart, 0.77 mm in all, so that two lines
    serve and one does not; each leaf is in one template, and the sheet says how far it is off."""
    alike = list(alike_leaves(shipped("teasel")))
    radii = [[cut.radius_mm for _, cut in a.leaves] for a in alike]
    assert radii == [[700.0, 702.0, 704.0, 706.0, 708.0], [710.0, 712.0, 714.0, 716.0]]
    for a, own in zip(alike, radii, strict=True):
        most = 440.0**2 / 8.0 * max(abs(1.0 / r - a.free_per_mm) for r in own)
        assert a.off_mm == pytest.approx(most, rel=0.05)
        assert a.off_mm <= SHARED_MM
    [text] = [
        m.text for s, d in leaf_templates(shipped("teasel")) if s == "L6-to-L9-leaf-free"
        for m in d.marks if hasattr(m, "text") and "One template" in m.text
    ]  # fmt: skip
    assert f"{alike[1].off_mm:.2f} mm off at most" in text


def test_clamp_is_marked() -> None:
    """A clamp that presses the middle flat: two marks F as far apart as it is flat, and words that say so."""
    vehicle = shipped(
        "teasel",
        **{
            f"bogie__*__spring__{k}": v
            for k, v in {"seat": "clamp", "clamp_mm": 80, "clamp_fit": "pressed flat"}.items()
        },
    )
    alike = next(alike_leaves(vehicle))
    flat = alike.shop.shapes[1].flat_mm
    sheets = laid("L1-to-L5-leaf-free", vehicle, "A4")
    places = [x + shift[0] for sheet, shift in sheets for x, _, text in sheet.words if text == "F"]
    assert len(places) == 2
    assert abs(places[1] - places[0]) == pytest.approx(flat, abs=0.01)
    assert any(f"presses the middle {flat:.1f} mm flat" in t for sheet, _ in sheets for _, _, t in sheet.words)
    bent = shipped(
        "teasel",
        **{f"bogie__*__spring__{k}": v for k, v in {"seat": "clamp", "clamp_mm": 80, "clamp_fit": "bent flat"}.items()},
    )
    said = [m.text for _, d in leaf_templates(bent) for m in d.marks if hasattr(m, "text")]
    assert any("stays flat" in t for t in said)


def test_curve_with_a_flat_middle() -> None:
    """Chord and rise of flat + arcs in closed form; a parallel line is a circle about the same centres."""
    curve = Curve(440.0, 300.0, 60.0)
    turn = 190.0 / 300.0
    assert curve.chord_mm == pytest.approx(60.0 + 600.0 * math.sin(turn))
    assert curve.rise_mm == pytest.approx(300.0 * (1.0 - math.cos(turn)))
    for off in (-2.0, 0.0, 3.0):
        line = np.array(curve.line(off))
        right = line[line[:, 0] > 30.0]
        assert np.hypot(right[:, 0] - 30.0, right[:, 1] + 300.0) == pytest.approx(np.full(len(right), 300.0 + off))
        assert line[0] == pytest.approx([-line[-1][0], line[-1][1]])


def test_command_writes_templates_of_leaves_too(tmp_path: Any) -> None:
    """`--templates` on Letter: leaves beside arms and plates, on two sheets; a bad paper, nothing to draw and a folder
    that cannot be written are told, and nothing is half written."""
    from trundle.cli.sheet import sheet

    run = CliRunner()
    out = tmp_path / "t"
    result = run.invoke(sheet, ["teasel", "--templates", str(out), "--paper", "letter"], catch_exceptions=False)
    assert result.exit_code == 0
    names = {p.name for p in out.iterdir()}
    assert {"L1-to-L5-leaf-free.pdf", "L1-to-L5-leaf-free-a1.svg", "L1-to-L5-leaf-free-a2.svg"} <= names
    assert {"A1-arm-front-middle-rear.pdf", "P1-bracket-plate-front-middle-rear.svg"} <= names
    with pytest.raises(InputError, match=r"unknown paper \"A9\".*A4, A3, Letter"):
        run.invoke(sheet, ["teasel", "--templates", str(out), "--paper", "A9"], catch_exceptions=False)
    with pytest.raises(InputError, match="is of the templates"):
        run.invoke(sheet, ["teasel", "--paper", "A4"], catch_exceptions=False)
    blocked = tmp_path / "file"
    blocked.write_text("x", encoding="utf-8")
    with pytest.raises(InputError, match="cannot be written"):
        run.invoke(sheet, ["teasel", "--templates", str(blocked)], catch_exceptions=False)
    assert blocked.read_text(encoding="utf-8") == "x"


def test_a_crack_is_warned_of() -> None:
    """A thick leaf bent tighter than its steel stands cold says so on its former's template; every one says never to
    heat it."""
    settings = {"thickness_mm": 12.0, "full_leaves": 1, "free_radius_mm": 190.0, "seat_above_pivots_mm": 60.0}
    vehicle = shipped("teasel", **{f"bogie__*__spring__{k}": v for k, v in settings.items()})
    [alike] = alike_leaves(vehicle)
    assert alike.leaves[0][1].tight
    words = " ".join(m.text for s, d in leaf_templates(vehicle) if "former" in s for m in d.marks if hasattr(m, "text"))
    assert "CAUTION: bending L1 cold this tight risks a crack in 51CrV4" in words
    plain = " ".join(
        m.text for s, d in leaf_templates(shipped("teasel")) if "former" in s for m in d.marks if hasattr(m, "text")
    )
    assert "CAUTION" not in plain
    assert "Never weld on it" in plain
