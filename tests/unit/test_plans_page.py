"""Frame, title block and paper of a sheet, against ISO 5457, ISO 7200 and ISO 5455 (sizes from memory)."""

from __future__ import annotations

import numpy as np
import pytest
from draw_parts import words_that_meet

from trundle.drawing.clash import outer
from trundle.drawing.holds import box_of, texts_of
from trundle.drawing.marks import Line
from trundle.plans.page import BLOCK_HIGH, BLOCK_WIDE, Page, room
from trundle.plans.paper import PAPERS
from trundle.plans.scales import SCALES, scale_words, scales_for

PAPER_WORDS = [(name, upright) for name in PAPERS for upright in (False, True)]


@pytest.mark.parametrize(("name", "upright"), PAPER_WORDS)
def test_words_of_a_title_block_keep_to_the_frame(name: str, upright: bool) -> None:
    """On any paper, with names as long as a file may have them: no words on each other, none outside the frame, and
    what is drawn lies clear of the block."""
    paper = PAPERS[name].turned(upright)
    page = Page(
        "A12", "axle bolt of front.fore, middle.fore and rear.aft", paper, "1:2", (), "square tube " * 9, 12, 0.77
    )
    sheet = page.drawing("A vehicle with a long name " * 3, "a-file-with-a-name.toml" * 3, "2026-11-28", 12, 34)
    assert not words_that_meet(sheet)
    left, low, right, _high = paper.frame
    boxes = outer(np.array([box_of(t) for t in texts_of(sheet.marks)]))
    assert boxes[:, 0].min() >= left
    assert boxes[:, 1].min() >= low - 0.1
    assert boxes[:, 2].max() <= right
    assert boxes[:, 3].max() <= low + BLOCK_HIGH
    free = room(paper)
    assert free[1] > low + BLOCK_HIGH
    assert (sheet.width, sheet.height) == (paper.width, paper.height)
    assert right - left >= BLOCK_WIDE


def test_frame_of_a4() -> None:
    """ISO 5457: 20 mm to be bound by on the left, 10 mm elsewhere, a line of 0.7 mm."""
    page = Page("A1", "arm", PAPERS["A4"].turned(True), "1:1", ())
    frame = [m for m in page.drawing("x", "x.toml", "", 1, 1).marks if isinstance(m, Line) and m.pen == "frame"][:4]
    assert {(m.x0, m.y0) for m in frame} == {(20.0, 10.0), (200.0, 10.0), (200.0, 287.0), (20.0, 287.0)}


def test_scales_are_the_usual_ones() -> None:
    """ISO 5455: 5:1, 2:1, full size, 1:2, 1:5, 1:10, 1:20, 1:50; the largest that fits comes first."""
    assert [scale_words(s) for s in SCALES] == ["5:1", "2:1", "1:1", "1:2", "1:5", "1:10", "1:20", "1:50"]
    assert next(scales_for(300.0, 100.0, (160.0, 160.0))) == 0.5
    assert list(scales_for(1e6, 1e6, (160.0, 160.0))) == [1.0 / 50.0]
