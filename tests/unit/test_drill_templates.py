"""Templates of what is drilled: true to scale on every sheet in both forms, with all holes; all files or none."""

from __future__ import annotations

import re
import zlib
from dataclasses import replace
from pathlib import Path

import pytest
from sheet_parts import built
from svg_parts import read

from trundle.drawing.sheet import Drawing
from trundle.errors import InputError
from trundle.making.made import made
from trundle.making.part import Made
from trundle.plans.drill import drill_templates, template
from trundle.plans.paper import PAPERS
from trundle.plans.template_files import true_size_pdf, write_templates
from trundle.plans.tile import BAR_MM, tiles
from trundle.result.inputs import vehicle_input

POINT_MM = 25.4 / 72.0
"""A PDF user unit is 1/72 inch (ISO 32000-1, 8.3.2.3)."""


def arm() -> Made:
    return next(p for p in made(built()) if p.what == "arm")


def sheet(piece: Made) -> Drawing:
    """Its only one on A4."""
    [tile] = tiles(template(piece, "Teasel"), PAPERS["A4"])
    return tile.drawing


def pdf_lines(content: bytes) -> list[tuple[float, float, float, float, float]]:
    """(width, x0, y0, x1, y1) of every straight stroke of a page, in points, from its content stream."""
    found = []
    for raw in re.findall(rb"stream\r?\n(.*?)\r?\nendstream", content, re.DOTALL):
        try:
            text = zlib.decompress(raw).decode("latin-1")
        except zlib.error:
            continue
        width = 0.0
        pattern = r"([\d.]+) w\b|([\d.-]+) ([\d.-]+) m ([\d.-]+) ([\d.-]+) l S"
        for m in re.finditer(pattern, text):
            if m.group(1):
                width = float(m.group(1))
            else:
                found.append((width, *(float(v) for v in m.groups()[1:])))
    return found


def test_pdf_bars_are_100_mm() -> None:
    """The heaviest strokes of the template's page are the bars: 100 mm in the PDF's own units, one across and one up,
    on a page of its true size, with the viewer asked not to scale."""
    content = true_size_pdf([sheet(arm())])
    strokes = pdf_lines(content)
    heavy = max(s[0] for s in strokes)
    across, up = (s for s in strokes if s[0] == heavy)
    assert abs(across[3] - across[1]) * POINT_MM == pytest.approx(100.0, abs=0.02)
    assert across[2] == across[4]
    assert abs(up[4] - up[2]) * POINT_MM == pytest.approx(100.0, abs=0.02)
    assert up[1] == up[3]
    [page] = [o for o in content.split(b"endobj") if re.search(rb"/Type /Page\s", o)]
    box = re.search(rb"/MediaBox \[0 0 ([\d.]+) ([\d.]+)\]", page)
    assert box is not None
    assert [float(v) * POINT_MM for v in box.groups()] == pytest.approx([297.0, 210.0], abs=0.02)
    assert b"/PrintScaling /None" in content


def test_svg_is_true_to_scale() -> None:
    """width and height in mm equal the viewBox, so a unit is a millimetre; bar, hole distance and outline follow."""
    found = read(sheet(arm()).svg())
    assert found.size == (297.0, 210.0)
    assert [s.length for s in found.strokes if s.width == 0.6] == pytest.approx([BAR_MM, BAR_MM])
    (x0, y0, r0, _), (x1, y1, r1, _) = sorted(found.rings)
    assert x1 - x0 == pytest.approx(150.0)
    assert y1 == pytest.approx(y0)
    assert [2.0 * r0, 2.0 * r1] == pytest.approx([14.0, 18.0])
    outline = [s for s in found.strokes if s.width == 0.35 and s.length > 20.0]
    assert sorted(s.length for s in outline) == pytest.approx([36.0, 36.0, 196.0, 196.0], abs=1e-3)
    left, low = min(s.a[0] for s in outline), min(s.a[1] for s in outline)
    assert (x0 - left, y0 - low) == pytest.approx((22.0, 18.0), abs=1e-3)


def test_long_piece_takes_several_sheets() -> None:
    """Nothing is scaled down to fit: 900 mm lie over four sheets of A4, its two holes 150 mm apart on the first."""
    piece = replace(arm(), length_mm=900.0, height_mm=60.0)
    found = tiles(template(piece, "Long"), PAPERS["A4"])
    assert [t.name for t in found] == ["a1", "a2", "a3", "a4"]
    rings = sorted(r for r in read(found[0].drawing.svg()).rings if r[2] > 5.0)
    assert rings[1][0] - rings[0][0] == pytest.approx(150.0, abs=1e-3)


@pytest.mark.parametrize("name", ["teasel", "otter", "barrow", "mole", "wren"])
def test_every_drilled_part_has_one(name: str) -> None:
    """A template for each part with holes, under a name of its own; every hole and its tolerance in words."""
    vehicle = vehicle_input(name).vehicle
    drilled = [p for p in made(vehicle) if p.holes]
    found = dict(drill_templates(vehicle))
    assert len(found) == len(drilled) > 0
    for part, drawing in zip(drilled, found.values(), strict=True):
        words = " ".join(m.text for m in drawing.marks if hasattr(m, "text"))
        for hole in part.holes:
            place = f"{hole.name}: {hole.along_mm:.1f} along, {hole.up_mm:.1f} up, ± {hole.tolerance_mm:g} mm"
            assert place in re.sub(r"\s+", " ", words)
        assert f"Make {part.count} of" in words


def test_all_files_or_none(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Both forms of every template; a disk that fills up at the last one leaves what was there before."""
    out = tmp_path / "t"
    wrote = write_templates(built(), out, PAPERS["A4"])
    assert {p.suffix for p in wrote} == {".pdf", ".svg"}
    assert sorted(wrote) == sorted(out.iterdir())
    kept = dict.fromkeys(wrote, b"old")
    for file in wrote:
        file.write_bytes(b"old")
    whole = Path.write_bytes
    count = 0

    def full(self: Path, data: bytes) -> int:
        nonlocal count
        count += 1
        if count == len(wrote):
            raise OSError(28, "No space left on device")
        return whole(self, data)

    monkeypatch.setattr(Path, "write_bytes", full)
    with pytest.raises(InputError, match="No space left"):
        write_templates(built(), out, PAPERS["A4"])
    assert {p: p.read_bytes() for p in out.iterdir()} == kept


def test_nothing_to_draw_is_told(tmp_path: Path) -> None:
    """A vehicle of which nothing is said how it is made, without a leaf: the tables that would add something."""
    vehicle = vehicle_input("barrow", {"bogie.front.build": None, "bogie.rear.build": None}).vehicle
    with pytest.raises(InputError, match=r"nothing to draw.*bogie.NAME.build.arm"):
        write_templates(vehicle, tmp_path / "t", PAPERS["A4"])
    assert not (tmp_path / "t").exists()
