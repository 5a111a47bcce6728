"""The guide as one page: whole, by itself, every field in its place."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from tests.unit.test_cli_refusals import call
from trundle.drawing.sheet import Drawing
from trundle.guide.entries import Entry, entries
from trundle.guide.page import guide_html
from trundle.guide.tables import tables


def articles(page: str) -> dict[str, str]:
    """Each field's part of the page, by its anchor."""
    return dict(re.findall(r'<article class="field" id="([^"]+)">(.*?)</article>', page, re.DOTALL))


@pytest.fixture
def undrawn(monkeypatch: pytest.MonkeyPatch) -> str:
    """The whole page, its pictures empty sheets: for all that is not drawn."""
    monkeypatch.setattr("trundle.guide.page.laid_out", lambda *args: Drawing(10.0, 10.0, "empty"))
    shares: list[float] = []
    page = guide_html(shares.append)
    assert shares == sorted(shares)
    assert len(shares) == len(tables())
    return page


def test_every_field_has_its_place(undrawn: str) -> None:
    """An anchor for each, in the order of the file; every link within leads somewhere; words as they are."""
    found = articles(undrawn)
    assert sorted(found) == sorted(e.anchor for e in entries())
    assert all(f'<section class="table" id="{t.anchor}">' in undrawn for t in tables())
    assert all("<svg" in a for a in found.values())
    wanted = set(re.findall(r'href="#([^"]+)"', undrawn))
    assert len(wanted) > 400
    assert wanted <= set(re.findall(r'id="([^"]+)"', undrawn))
    assert "forward of the tail datum" in found["hull-com_mm"]


def check_pictures(page: str, wanted: list[Entry]) -> None:
    """Each field drawn with its name in the accent's ink."""
    found = articles(page)
    name = re.compile(r'fill="rgb\(0,88,168\)"[^>]*>([^<]+)<')
    for entry in wanted:
        told = name.findall(found[entry.anchor])
        assert any(t.split()[0] == entry.name for t in told), entry.anchor


def check_stands_by_itself(page: str) -> None:
    """No link, picture, style or script from elsewhere."""
    assert not re.search(r'(?:src|href)="(?!#)', page)
    assert not re.search(r"https?:|@import|url\(", page)
    assert "<script>" in page
    assert "@media print" in page


def test_fields_are_drawn() -> None:
    """Of some tables, as the whole page draws them (see the slow test)."""
    some = tables()[1::9]
    page = guide_html(only=some)
    check_pictures(page, [e for e in entries() if e.table in some])
    check_stands_by_itself(page)


@pytest.mark.slow
def test_the_whole_page() -> None:
    """Every field drawn; small enough to send."""
    page = guide_html()
    check_pictures(page, list(entries()))
    check_stands_by_itself(page)
    assert len(page.encode()) < 6_000_000


def test_the_command_writes_it(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Also beside an answer. (The page itself is made above.)"""
    monkeypatch.setattr("trundle.guide.page.guide_html", lambda tell: "<p>all of it</p>")
    monkeypatch.chdir(tmp_path)
    code, out, err = call(capsys, "explain", "roller", "--page", "guide.html")
    assert code == 0
    assert "A return roller" in out
    assert err == "The guide is in guide.html.\n"
    assert (tmp_path / "guide.html").read_text() == "<p>all of it</p>"
