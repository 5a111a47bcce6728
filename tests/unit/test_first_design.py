"""A first design from a builder's answers: it stands, first try, and says what it had to assume."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest

from tests.unit.builders import BUILDERS
from trundle.design.answers import Answers, load_answers
from trundle.design.judged import Judged, past
from trundle.design.kerb import course_words
from trundle.design.layout import wanted_arm_mm
from trundle.design.proposal import Proposal, proposed
from trundle.design.stock import STOCKS, GasStrutAtHand, LeafStrip, RoundBar
from trundle.design.told import told
from trundle.design.written import file_text, guesses
from trundle.errors import InputError
from trundle.making.fits import remarks
from trundle.papers.standing import StandingSheet, standing_sheet
from trundle.spec.course import load_course
from trundle.spec.shipped import find
from trundle.spec.vehicle import Vehicle, load_vehicle

LOW_HZ, HIGH_HZ = 1.5, 5.0
"""Heave within which a first design has to be."""


@cache
def made(builder: str) -> Proposal:
    return proposed(load_answers("answers.toml", BUILDERS[builder]))


@cache
def written(builder: str) -> str:
    return file_text(made(builder), "x.toml", "2026-11-28")


@cache
def read(builder: str) -> tuple[Vehicle, StandingSheet]:
    """The written file, read and stood: what the builder has in hand, not what was planned."""
    vehicle = load_vehicle("x.toml", text=written(builder))
    return vehicle, standing_sheet(vehicle, adjusters=False)


def test_there_is_a_builder_for_each_kind_of_stock() -> None:
    given = [load_answers("a.toml", text).stock for text in BUILDERS.values()]
    have = {stock.kind_name() for stock in given if stock is not None}
    assert have == {kind.kind_name() for kind in STOCKS}


@pytest.mark.parametrize("builder", BUILDERS)
def test_it_stands(builder: str) -> None:
    """At the planned height, level, with a heave that rides, nothing that yields, on links that fit."""
    vehicle, sheet = read(builder)
    design = made(builder).stood.design
    assert 0.5 * (sheet.front_mm + sheet.rear_mm) == pytest.approx(design.belly_mm, abs=2.0)
    assert abs(sheet.pitch_deg) < 0.3
    assert sheet.mass_kg == pytest.approx(design.known.mass_kg, rel=0.002)
    heave = [m.frequency_Hz for m in sheet.modes if m.kind == "heave"]
    assert LOW_HZ < min(heave) <= max(heave) < HIGH_HZ
    for spring in sheet.springs:
        assert spring.load_margin("standing") > 1.0
        assert spring.load_margin("bump") > 1.0
    assert sheet.track is not None
    assert abs(sheet.track.idler_moved_mm) < 1.0
    assert all(w.load_N > 0.0 for w in sheet.wheels)
    assert min(a.to_bump_mm for a in sheet.arms) > 10.0
    assert min(a.to_droop_mm for a in sheet.arms) > 5.0
    assert vehicle.track is not None


@pytest.mark.parametrize("builder", BUILDERS)
def test_its_parts_can_be_built(builder: str) -> None:
    """No fault of fit: sleeves, welds, wheels, brackets, springs, sizes that are sold."""
    assert [str(r) for r in remarks(read(builder)[0])] == []


@pytest.mark.parametrize("builder", BUILDERS)
def test_it_gets_up_its_kerb(builder: str) -> None:
    """In one run; the arms are as long as the rule says, the belly clear of it, the edge meets the ramp."""
    proposal = made(builder)
    design, kerb = proposal.stood.design, proposal.kerb
    assert kerb is not None
    assert kerb.climbs, kerb.why
    assert kerb.least is None or kerb.least > 1.0
    short = design.arm_mm < wanted_arm_mm(design.known) - 5.0
    assert short == any(line.startswith("The arms are") for line in dict(told(proposal))["Mind"])
    assert proposal.stood.height_mm > design.known.kerb_mm
    assert design.nose_mm > design.known.kerb_mm


@pytest.mark.parametrize("builder", BUILDERS)
def test_it_keeps_within_its_length_and_its_stock(builder: str) -> None:
    """Over all, with the track; springs of what is at hand, no longer than it is."""
    proposal = made(builder)
    known, track = proposal.stood.design.known, proposal.stood.tables["track"]
    half = known.thickness_mm
    front = track["idler"]["at_mm"][0] + track["idler"]["radius_mm"] + half
    rear = track["sprocket"]["at_mm"][0] - proposal.stood.design.layout.sprocket_radius_mm - half
    # The idler stands back from where the file has it by what the track presses its spring in.
    assert front - rear - 25.0 < known.length_mm + known.pitch_mm
    spring = proposal.stood.tables["bogie"]["one"]["spring"]
    stock = known.stock
    if isinstance(stock, (LeafStrip, RoundBar)):
        assert spring["steel" if "steel" in spring else "kind"] in (stock.steel, spring["kind"])
        assert stock.length_mm is None or spring["length_mm"] <= stock.length_mm
    assert not proposal.judged.faults
    assert not proposal.instead


@pytest.mark.parametrize("builder", BUILDERS)
def test_every_line_has_its_comment_and_every_guess_its_mark(builder: str) -> None:
    """What nobody said is marked; what was said is not."""
    text, proposal = written(builder), made(builder)
    marked = [line for line in text.splitlines() if "# GUESS: " in line]
    assert len(marked) == len(guesses(proposal.stood))
    for path in ("wheels.diameter_mm", "track.pitch_mm"):
        field = {"wheels.diameter_mm": "radius_mm = ", "track.pitch_mm": "pitch_mm = "}[path]
        line = next(x for x in text.splitlines() if x.startswith(field))
        assert ("GUESS" in line) == (path in proposal.stood.design.known.why)
    said = dict(told(proposal))
    assumed = next(lines for title, lines in said.items() if title.startswith("Assumed"))
    assert len(assumed) == len(proposal.stood.design.known.why)


def test_what_is_known_is_taken_as_it_is() -> None:
    """The wheels, track and motor that a builder has are in the file."""
    vehicle, _ = read("ride-on on bars")
    assert vehicle.wheel["road"].radius_mm == 100.0
    assert vehicle.wheel["road"].width_mm == 45.0
    assert len(vehicle.bogie) == 5
    assert vehicle.track is not None
    assert (vehicle.track.pitch_mm, vehicle.track.width_mm) == (60.0, 160.0)
    assert vehicle.drive.torque_Nm == 260.0
    hob, _ = read("ride-on on a scrap car leaf")
    assert hob.hull.seat_kg == 75.0


def test_inches_are_the_millimetres_they_are() -> None:
    """132 lb are 59.87 kg, 5 1/2 in 139.7 mm (the inch is 25.4 mm, the pound 0.45359237 kg, by definition)."""
    given = load_answers("a.toml", BUILDERS["carrier on coils, in inches"])
    assert given.all_up_kg == pytest.approx(132 * 0.45359237)
    assert given.wheels.diameter_mm == pytest.approx(5.5 * 25.4)


def test_stock_that_is_too_stiff_is_told_with_what_would_do() -> None:
    """A thick leaf under a light carrier: figures, a better size, and a file all the same, marked."""
    given = Answers(
        use="radio-controlled", all_up_kg=60.0, stock=LeafStrip(width_mm=60.0, thickness_mm=6.0, length_mm=300.0)
    )
    proposal = proposed(given)
    (first, *_), better = proposal.judged.faults, proposal.judged.better
    assert "too stiff: heave at" in first
    assert better is not None
    assert isinstance(better, (LeafStrip, RoundBar))
    text = file_text(proposal, "x.toml", "2026-11-28")
    assert "DOES NOT DO: " in text
    assert load_vehicle("x.toml", text=text).name == "My hull"
    assert told(proposal)[0][0] == "What this stock cannot do"


def test_stock_that_hardly_gives_is_replaced_by_what_would_do() -> None:
    """A truck's leaf of 12 mm."""
    given = Answers(
        use="radio-controlled", all_up_kg=60.0, stock=LeafStrip(width_mm=90.0, thickness_mm=12.0, length_mm=900.0)
    )
    proposal = proposed(given)
    assert "far too stiff" in proposal.instead
    assert not proposal.judged.faults
    assert "NOT AT HAND: " in file_text(proposal, "x.toml", "2026-11-28")
    assert told(proposal)[0][0] == "The stock at hand cannot do it"


@pytest.mark.parametrize(
    "answers",
    [
        {
            "all_up_kg": 150.0,
            "length_mm": 1241.5,
            "kerb_mm": 52.7,
            "wheels": {"each_side": 6},
            "stock": {"kind": "leaf strip", "width_mm": 51.937, "thickness_mm": 2.5, "steel": "51CrV4"},
        },
        {
            "all_up_kg": 814.0,
            "kerb_mm": 46.0,
            "stock": {"kind": "rubber block", "width_mm": 80.0, "length_mm": 70.0, "thickness_mm": 25.0},
        },
        pytest.param(
            {
                "all_up_kg": 257.0,
                "length_mm": 421.0,
                "stock": {"kind": "leaf strip", "width_mm": 18.8, "thickness_mm": 12.85},
            },
            marks=pytest.mark.slow,
        ),
    ],
)
def test_what_is_named_in_its_place_does(answers: dict[str, object]) -> None:
    """Bought and put into the answers, nothing is wrong with it."""
    given = Answers.model_validate(answers)
    first = proposed(given)
    assert first.judged.faults
    assert first.judged.better is not None
    assert f"This would do in its place: {first.judged.better.words()}" in told(first)[0][1]
    again = proposed(given.model_copy(update={"stock": first.judged.better}))
    assert not again.judged.faults
    assert not again.instead


@pytest.mark.parametrize(
    "answers",
    [
        {
            "all_up_kg": 89.114,
            "kerb_mm": 337.2,
            "stock": {"kind": "rubber block", "width_mm": 38.018, "length_mm": 233.306, "thickness_mm": 14.195},
        },
        {
            "all_up_kg": 34.635,
            "stock": {
                "kind": "spring and damper",
                "rate_N_per_mm": 511.0,
                "free_length_mm": 250.0,
                "solid_length_mm": 190.0,
            },
        },
    ],
)
def test_other_stock_is_said_to_do_only_where_it_does(answers: dict[str, object]) -> None:
    """The first size that merely carries heaves at 7 Hz and more."""
    proposal = proposed(Answers.model_validate(answers))
    assert proposal.instead
    assert not proposal.judged.faults
    assert 2.0 <= proposal.stood.heave_Hz <= 4.0
    assert "for other stock, which would do: " in told(proposal)[0][1][1]


def test_other_stock_that_does_not_do_is_told_with_its_faults() -> None:
    """What is wrong with it stands at the head of what is told, and in the file."""
    stiff = made("ride-on on bars")
    fault = "it is too stiff: heave at 7.1 Hz, 2 to 4 is wanted"
    proposal = replace(stiff, instead="string carries nothing", judged=Judged((fault,), None))
    title, lines = told(proposal)[0]
    assert title == "The stock at hand cannot do it"
    assert any(line.endswith(fault) for line in lines)
    assert not any("would do:" in line for line in lines)
    assert f"DOES NOT DO: {fault}" in file_text(proposal, "x.toml", "2026-11-28")


def test_a_figure_past_its_bound_is_not_told_as_the_bound() -> None:
    assert [past(v, 4.0) for v in (4.3, 4.04, 4.0021)] == ["4.3", "4.04", "4.002"]
    assert [past(v, 60.0, 0) for v in (64.2, 60.2, 60.04)] == ["64", "60.2", "60.04"]


@pytest.mark.parametrize(
    ("kerb_mm", "words"),
    [
        (0.0, "ripples"),
        (50.0, "kerb-50"),
        (50.8, "kerb-100 --set obstacle.1.height_mm=50.8"),
        (100.0, "kerb-100"),
        (127.0, "kerb-150 --set obstacle.1.height_mm=127"),
        (400.0, "kerb-150 --set obstacle.1.height_mm=400"),
    ],
)
def test_the_run_that_is_advised_is_over_the_kerb_that_is_wanted(kerb_mm: float, words: str) -> None:
    """A course that comes with Trundle, at that height."""
    assert course_words(kerb_mm) == words
    name, *setting = words.split()
    changed = {"obstacle.1.height_mm": kerb_mm} if setting else {}
    course = load_course(find("courses", name), changed)
    if kerb_mm > 0.0:
        assert course.model_dump()["obstacle"][0]["height_mm"] == kerb_mm


def test_a_weak_strut_is_offered_no_strut_of_no_force() -> None:
    """A quarter of 1 N rounds to nothing."""
    weak = GasStrutAtHand(force_N=1.0, stroke_mm=100.0, extended_length_mm=265.0)
    assert min(s.force_N for s in weak.others() if isinstance(s, GasStrutAtHand)) >= 1.0
    assert "gas strut of 1 N" in proposed(Answers(all_up_kg=60.0, stock=weak)).instead


def test_stock_that_is_too_weak_is_replaced_and_said() -> None:
    """A 4 mm bar under half a tonne."""
    given = Answers(all_up_kg=500.0, stock=RoundBar(diameter_mm=4.0, length_mm=400.0))
    proposal = proposed(given)
    assert proposal.instead or any("yield" in fault or "soft" in fault for fault in proposal.judged.faults)
    text = file_text(proposal, "x.toml", "2026-11-28")
    assert "NOT AT HAND: " in text or "DOES NOT DO: " in text


@pytest.mark.parametrize(
    ("answers", "field", "words"),
    [
        ({"length_mm": 400.0, "wheels": {"diameter_mm": 300.0}}, "length_mm", "have no room within 400 mm"),
        ({"all_up_kg": 1500.0, "length_mm": 300.0}, "length_mm", "of round bar, as it is sold, every size is too weak"),
        ({"kerb_mm": 400.0, "length_mm": 600.0}, "kerb_mm", "a kerb of 400 mm, a length of 600 mm and wheels of 50 mm"),
        ({"length_mm": 1500.0, "wheels": {"diameter_mm": 300.0, "each_side": 8}}, "wheels.each_side", "allowed: up to"),
        ({"all_up_kg": 30.0, "wheels": {"diameter_mm": 200.0, "width_mm": 100.0}}, "all_up_kg", "are left for hull"),
        ({"wheels": {"width_mm": 100.0, "abreast": 3}, "track": {"width_mm": 120.0}}, "track.width_mm", "300 mm wide"),
    ],
)
def test_answers_of_no_vehicle_are_refused_with_the_cause(answers: dict[str, object], field: str, words: str) -> None:
    """What has no room, what weighs more than all."""
    with pytest.raises(InputError) as caught:
        proposed(Answers.model_validate(answers))
    assert caught.value.problems[0].field == field
    assert words in str(caught.value)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("all_up_kg = 'heavy'", "a.toml:1: all_up_kg: a number is wanted"),
        ("all_up = 3", 'a.toml:1: all_up: unknown field; did you mean "all_up_kg"?'),
        ("use = 'boat'", "a.toml:1: use: not one of the choices"),
        ("all_up_kg = 1e9", "a.toml:1: all_up_kg: out of range"),
        ("\n[stock]\nkind = 'string'", 'a.toml:3: stock.kind: unknown kind "string"'),
        ("[stock]\nkind = 'leaf strip'", "this field is missing"),
        ("empty_kg = 100", "empty_kg is without rider or load"),
        ("empty_kg = 100\nall_up_kg = 200\nload_kg = 10", "give the mass once"),
        ("[hull]\n", "is a vehicle; a file of answers is wanted here"),
        ("[[obstacle]]\n", "is a course; a file of answers is wanted here"),
        ("[stock]\nkind='coil'\nwire_mm=6\noutside_mm=10\ncoils=5\nfree_length_mm=100", "too tight for wire of 6 mm"),
        ("[stock]\nkind='coil'\nwire_mm=6\noutside_mm=50\ncoils=20\nfree_length_mm=100", "leaves no travel"),
        ("[stock]\nkind='leaf strip'\nwidth_mm=40\nthickness_mm=3\nsteel='butter'", 'unknown steel "butter"'),
    ],
)
def test_a_wrong_file_of_answers(text: str, words: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """File, line, field, what is allowed."""
    monkeypatch.chdir(tmp_path)
    Path("a.toml").write_text(text)
    with pytest.raises(InputError) as caught:
        load_answers("a.toml")
    assert words in str(caught.value)
