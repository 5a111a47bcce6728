"""What a builder types finds its place: paths, names, words of the trade."""

from __future__ import annotations

import pytest

from trundle.guide.entries import Entry
from trundle.guide.find import Family, asked_for, find
from trundle.guide.tables import Table


def first(words: str) -> list[str]:
    """How to ask for each thing that is found."""
    return [asked_for(t) for t in find(words).topics]


@pytest.mark.parametrize(
    ("words", "found"),
    [
        ("hull.com_mm", "hull.com_mm"),
        ("com_mm", "hull.com_mm"),
        ("com", "hull.com_mm"),
        ("Com mm", "hull.com_mm"),
        ("[bogie.front.stops]", "stops"),
        ("[[obstacle]]", "obstacle"),
        ("bogie.*.spring.free_radius_mm", "leaf across.free_radius_mm"),
        ("bogie.front.spring.free_radius_mm", "leaf across.free_radius_mm"),
        ("bogie.spring.free_radius_mm", "leaf across.free_radius_mm"),
        ("spring.free_radius_mm", "leaf across.free_radius_mm"),
        ("leaf across.width_mm", "leaf across.width_mm"),
        ("leaf across width", "leaf across.width_mm"),
        ("'leaf across'", "leaf across"),
        ("Leaf-across", "leaf across"),
        ("kerb up", "kerb up"),
        ("kerb up.height_mm", "kerb up.height_mm"),
        ("obstacle.1.iso_class", "rough ground.iso_class"),
        ("hull", "hull"),
        ("course", "course"),
        ("vehicle", "vehicle"),
        ("track", "track"),
        ("bogie", "bogie"),
        ("springs", "spring"),
        ("bogies", "bogies"),
        ("[[bogies]]", "bogies"),
        ("bogies.spacing_mm", "bogies.spacing_mm"),
        ("like", "like"),
        ("tail datum", "tail datum"),
        ("inches", "units"),
        ("obstacle.gap_mm", "log.gap_mm"),
    ],
)
def test_a_path_or_name_finds_one_thing(words: str, found: str) -> None:
    assert first(words) == [found]


def test_what_is_several_things_is_listed() -> None:
    """Each with words that find it alone."""
    several = first("rate_N_per_mm")
    assert len(several) >= 4
    assert "track.idler.tensioner.rate_N_per_mm" in several
    for words in several:
        assert first(words) == [words]
    assert set(first("bogie.spring.length_mm")) >= {"leaf.length_mm", "torsion bar.length_mm", "rubber block.length_mm"}


def test_a_field_that_kinds_share_is_told_once() -> None:
    """With the other kinds named; kinds of things are topics of their own kind."""
    found = find("obstacle.gap_mm")
    assert {t.name for t in found.alike[found.topics[0]]} >= {"kerb up", "rough ground"}
    assert isinstance(find("bogie").topics[0], Family)
    assert isinstance(find("hull").topics[0], Table)
    assert isinstance(find("hull.com_mm").topics[0], Entry)


def test_every_topic_is_found_by_its_own_words() -> None:
    """What the listing says to type does what it says."""
    from trundle.guide.entries import entries
    from trundle.guide.tables import families, tables

    for name in (*(t.name for t in tables()), *families()):
        assert first(name) == [name]
    for entry in entries():
        if not entry.holds:
            found = find(entry.asked)
            (topic,) = found.topics
            assert entry is topic or entry.table in found.alike[topic]


def test_a_slip_is_answered_with_what_is_near() -> None:
    assert first("coom_mm") == []
    assert "hull.com_mm" in find("coom_mm").near
    assert "leaf across" in find("leef acros").near
    assert find("xq" * 300).near == ()
    assert find("") == find("  ")
    for nothing in (".", "[/x]", "{{7*7}}", "..", "a\x1b[2J"):
        assert first(nothing) == []


def test_what_else_goes_by_a_word_stands_beside() -> None:
    """A table's name that is also a field's, or another name of something; not every name that begins so."""
    assert {asked_for(t) for t in find("axle").beside} >= {"track.sprocket.axle_mm"}
    assert find("hull").beside == ()
    assert find("hull.com_mm").beside == ()
