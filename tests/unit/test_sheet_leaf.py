"""What the sheet says of leaves: a clamp that presses a curved leaf flat, stacks, margins of a run."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from sheet_parts import built

from trundle.papers.document import Sheet, whole_sheet
from trundle.papers.ground import stand_level
from trundle.spec.vehicle import Vehicle
from trundle.strength.limbs import Instants
from trundle.strength.springs import spring_margins

SPRING = "bogie__*__spring__"


def clamped(**fields: Any) -> Vehicle:
    """Teasel with its leaves in clamps of 50 mm; fields: of the springs."""
    return built(**{SPRING + k: v for k, v in {"seat": "clamp", "clamp_mm": 50.0, **fields}.items()})


def loud(sheet: Sheet) -> tuple[str, ...]:
    return next(p.loud for p in sheet.document.parts if p.title == "Warnings")


def quiet(sheet: Sheet) -> tuple[str, ...]:
    return next(p.lines for p in sheet.document.parts if p.title == "Warnings")


def test_a_leaf_that_the_clamp_bends_for_good_is_said_first() -> None:
    """3 mm at R 170: E t/2R = 1818 MPa of 1200, and above the tensile strength; with what to do about it."""
    first = loud(whole_sheet(clamped(free_radius_mm=170.0), "x.toml"))[0]
    assert first.startswith("front, middle and rear: takes a set, and may crack as it is fitted")
    assert "1818 MPa" in first
    for remedy in (
        'clamp_fit = "bent flat"',
        '"curved"',
        "hang 19 mm lower",
        "430 mm or more",
        "1.15 mm or thinner",
        'seat = "point"',
    ):
        assert remedy in first


@pytest.mark.parametrize(
    ("radius", "share", "said_loudly"), [(300.0, "0.86", True), (400.0, "0.64", False), (440.0, None, False)]
)
def test_a_leaf_near_its_yield_in_the_clamp(radius: float, share: str | None, said_loudly: bool) -> None:
    """Above 0.75 of yield loudly, above 0.6 quietly, below not at all."""
    sheet = whole_sheet(clamped(free_radius_mm=radius), "x.toml")
    said = [t for t in (*loud(sheet), *quiet(sheet)) if "its flat clamp presses" in t]
    assert len(said) == (share is not None)
    if share is not None:
        assert f"{share} of its yield" in said[0]
        assert (said[0] in loud(sheet)) == said_loudly


def test_the_margin_at_every_state_counts_the_clamp() -> None:
    """E t/2R = 772.5 MPa at R 400, more than the load makes standing or hanging; less swing is then allowed."""
    flat, made = (whole_sheet(clamped(clamp_fit=fit), "x.toml").standing.springs[0] for fit in (None, "bent flat"))
    assert flat.state("droop").stress_MPa == pytest.approx(772.5)
    assert flat.yield_margin("droop") == pytest.approx(1200 / 772.5)
    assert flat.state("standing").where == "main leaf, in the clamp"
    assert any("at the clamp's edge" in r for r in flat.remarks)
    assert not any("at the clamp's edge" in r for r in made.remarks)
    assert made.fitted is None
    assert made.state("standing").stress_MPa == made.state("standing").load_MPa < 772.5
    assert made.state("bump").load_MPa == pytest.approx(flat.state("bump").load_MPa)
    assert flat.endurance < made.endurance


def test_the_margin_of_a_run_counts_the_clamp() -> None:
    """Arms hung out all along: nothing loads the leaf, the clamp does."""
    for fit, margin in ((None, 1200 / 772.5), ("curved", np.inf)):
        assembly = stand_level(clamped(clamp_fit=fit)).assembly
        hung = {name: np.full(3, np.radians(32.0)) for name in assembly.joint}
        zeros = np.zeros(3)
        at = Instants(zeros, zeros, hung, {}, dict.fromkeys(assembly.wheel, zeros))
        assert min((m.margin for m in spring_margins(assembly, at)), default=np.inf) == pytest.approx(margin)


def test_build_sheet_tells_both_states_of_a_clamped_leaf() -> None:
    """320 mm at R 400: 2R sin(L/2R) and R(1 - cos), whole on the bench, with 50 mm flat in the clamp."""
    text = str(whole_sheet(clamped(), "x.toml"))
    assert "Main leaf as bent on the bench: chord 311.5 mm, rise 31.6 mm." in text
    assert "Main leaf in its clamp, not loaded: chord 314.9 mm, rise 22.6 mm, the middle 50 mm flat." in text
    assert "clamped flat, MPa" in text
    alone = str(whole_sheet(clamped(clamp_fit="bent flat"), "x.toml"))
    assert "Main leaf as bent on the bench: chord 314.9 mm, rise 22.6 mm, the middle 50 mm flat." in alone
    assert "not loaded" not in alone
    assert "clamped flat, MPa" not in alone


def test_stacks_say_which_leaf_is_bent_hardest_and_what_is_taken() -> None:
    """The shortest leaf of 2 + 2 on one seat (test_leaf_contact.py); a single leaf has nothing of this to say."""
    text = str(whole_sheet(built(**{SPRING + "full_leaves": 2, SPRING + "graduated_leaves": 2}), "x.toml"))
    assert "leaf 4, at the seat" in " ".join(text.split())
    assert "slide on each other without friction" in " ".join(text.split())
    three = " ".join(str(whole_sheet(built(), "x.toml")).split())
    assert "slide on each other without friction" in three
    assert "stressed most" not in three
    one = str(whole_sheet(built(**{SPRING + "full_leaves": 1, SPRING + "thickness_mm": 4.5}), "x.toml"))
    assert "without friction" not in one
    assert "stressed most" not in one


def test_a_leaf_inside_its_clamp_is_told() -> None:
    """Four graduated leaves under 320 mm: the shortest is 64 mm, all in a clamp of 64."""
    short = clamped(clamp_mm=64.0, full_leaves=1, graduated_leaves=4, free_radius_mm=1200.0)
    assert "leaf 5 ends inside the seat" in " ".join(str(whole_sheet(short, "x.toml")).split())
