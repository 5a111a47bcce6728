"""`trundle turn` and `trundle tip`: every shipped vehicle, what is missing, what is wrong, their parts of the sheet."""

from __future__ import annotations

import math
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

import trundle
from trundle.cli.main import trundle as command
from trundle.errors import InputError
from trundle.papers.document import Sheet
from trundle.spec.shipped import find
from trundle.spec.vehicle import Vehicle, load_vehicle

STEMS = ("teasel", "mole", "otter", "wren", "barrow")


def call(*args: str) -> Result:
    return CliRunner().invoke(command, list(args), terminal_width=150)


def refused(*args: str) -> str:
    """The message of a command that must be refused."""
    with pytest.raises(InputError) as told:
        CliRunner().invoke(command, list(args), catch_exceptions=False)
    assert told.value.exit_code == 2
    return str(told.value)


def part(text: str, title: str) -> str:
    """The lines of one part."""
    blocks = text.split("\n\n")
    start = next(i for i, b in enumerate(blocks) if b.splitlines()[0].strip() == title)
    found = [blocks[start]]
    for block in blocks[start + 1 :]:
        if not block.startswith(" "):
            break
        found.append(block)
    return "\n".join(found)


@pytest.mark.parametrize("stem", STEMS)
def test_every_shipped_vehicle_turns(stem: str) -> None:
    """On tarmac each turns, some barely; nothing of it yields; the forces are those of the moment."""
    found = trundle.turning(stem)
    turned = found.turned
    assert turned.on.ground.name == "tarmac"
    assert turned.on.sides is not None
    assert not turned.on.sides.short
    assert turned.parts
    assert min(m.margin for m in turned.parts) > 2.0
    assert {m.kind for m in turned.parts} >= {"axle bolt", "pivot bolt", "arm", "bracket", "hull bolts", "weld"}
    assert turned.at.load_N.sum() == pytest.approx(0.5 * turned.at.weight_N)
    text = str(found)
    assert text.splitlines()[0].endswith(": turning")
    assert "nan" not in text
    assert "inf" not in text.replace("information", "")
    assert (turned.on.climb is None) == (stem == "barrow")
    assert "Guide tooth" not in text if stem == "barrow" else "Guide tooth" in text


@pytest.mark.parametrize("stem", STEMS)
def test_every_shipped_vehicle_tips(stem: str) -> None:
    """Springs always take some away; nose and tail too; nothing in the text is no number."""
    found = trundle.tipping(stem)
    slopes = found.slopes
    assert slopes.side is not None
    for tips in (slopes.side, slopes.tail, slopes.nose):
        assert 0.3 < tips.sprung_rad < tips.stiff_rad < 1.4
        assert 0.0 < tips.roll_rad < 0.4
    text = str(found)
    assert "nan" not in text
    assert "Rolling over is what kills" in text
    assert ("With the mast moved" in text) is False
    assert ("With the rider moved" in text) == (stem != "wren")


def test_one_motor_turns_about_its_braked_side() -> None:
    """Otter has a clutch and a brake a side: half of its gauge is the tightest turn, the inner side is held back, and
    all of the motor goes to the outer one."""
    sides = trundle.turning("otter").turned.on.sides
    assert sides is not None
    assert not sides.on_the_spot
    assert sides.radius_m == pytest.approx(0.53)
    assert sides.inner_N < 0.0 < sides.outer_N
    alone = trundle.turning(with_(load("otter"), steering="a motor each side")).turned.on.sides
    assert alone is not None
    assert alone.on_the_spot
    assert alone.pull_N == pytest.approx(0.5 * sides.pull_N)
    assert alone.inner_N == -alone.outer_N


def load(stem: str) -> Vehicle:
    return load_vehicle(find("vehicles", stem))


def with_(vehicle: Vehicle, **drive: object) -> Vehicle:
    return vehicle.model_copy(update={"drive": vehicle.drive.model_copy(update=drive)})


def test_a_weak_motor_is_told_loud() -> None:
    """It cannot even with slipping tracks: loud, first, and on the sheet's warnings."""
    weak = with_(load("teasel"), torque_Nm=60.0)
    found = trundle.turning(weak)
    assert found.turned.on.sides is not None
    assert found.turned.on.sides.short == ("motor",)
    loud = found.document.parts[0].loud
    assert any("does not turn on the spot on tarmac, the motor stalls" in line for line in loud)
    assert any("does not turn" in line for line in warnings(trundle.sheet(weak)))


def test_a_weak_brake_lets_the_inner_side_go() -> None:
    """The same of a brake that holds next to nothing."""
    found = trundle.turning(with_(load("otter"), brake_N=300.0))
    assert found.turned.on.sides is not None
    assert found.turned.on.sides.short == ("brake",)


def test_a_narrow_vehicle_turns_only_slipping() -> None:
    """Half of its gauge: grip alone does not turn it, and what it would take without slip is said to be too much."""
    found = trundle.turning("mole", on="wet-grass").turned
    assert found.on.sides is not None
    assert not found.on.sides.grips
    assert found.on.slender is not None
    assert not found.on.slender.steers
    assert "only with slipping tracks" in str(trundle.turning("mole", on="wet-grass"))


def warnings(sheet: Sheet) -> tuple[str, ...]:
    return sheet.document.parts[0].loud


def test_an_axle_bolt_that_yields_is_told_loud_everywhere() -> None:
    """An M6 of class 4.6 under a 265 kg vehicle holds it standing, and not turning on tarmac."""
    thin = load_vehicle(
        find("vehicles", "teasel"),
        {"bogie.*.build.axle.thread": "M6", "bogie.*.build.axle.grade": "4.6"},
    )
    found = trundle.turning(thin)
    first = found.document.parts[0].loud[0]
    assert first.startswith("axle bolt M6, 4.6 at ")
    assert "yields in a turn on the spot on tarmac" in first
    assert any(
        "axle bolt M6" in line and "in a turn on the spot on tarmac" in line for line in warnings(trundle.sheet(thin))
    )
    text = call(
        "turn", "teasel", "--set", "bogie.*.build.axle.thread=M6", "--set", 'bogie.*.build.axle.grade="4.6"'
    ).output
    assert "!! axle bolt M6, 4.6" in text


def test_a_low_tooth_may_be_climbed() -> None:
    """A flank that is stated and too flat is loud; one that is not given is a note with the estimate."""
    flat = load_vehicle(find("vehicles", "teasel"), {"track.tooth_flank_deg": 50})
    assert any("may climb its guide tooth" in line for line in trundle.turning(flat).document.parts[0].loud)
    data = load("teasel")
    assert data.track is not None
    untold = data.model_copy(update={"track": data.track.model_copy(update={"tooth_flank_deg": None})})
    part_ = trundle.turning(untold).document.parts[0]
    assert not part_.loud
    assert any("as it is not given (track.tooth_flank_deg)" in line for line in part_.lines)
    low = data.model_copy(update={"track": data.track.model_copy(update={"tooth_mm": 1.0})})
    climb, high = trundle.turning(low).turned.on.climb, trundle.turning(data).turned.on.climb
    assert climb is not None
    assert high is not None
    assert climb.most < high.most
    assert climb.flank_deg == pytest.approx(math.degrees(math.acos(1.0 - 1.0 / 3.0)))


def without_gauge(stem: str) -> Vehicle:
    vehicle = load(stem)
    return vehicle.model_copy(update={"hull": vehicle.hull.model_copy(update={"gauge_mm": None})})


def test_without_a_gauge_the_field_is_named() -> None:
    """What needs no width is told all the same."""
    vehicle = without_gauge("mole")
    turn, tip, sheet = str(trundle.turning(vehicle)), str(trundle.tipping(vehicle)), str(trundle.sheet(vehicle))
    for text in (turn, tip, sheet):
        assert "hull.gauge_mm" in text
        assert "nan" not in text
    assert f"{trundle.turning(vehicle).turned.on.moment_Nm:.0f} N.m resist it" in turn
    assert "axle bolt" in part(turn, "Parts in a turn on the spot on tarmac")
    assert "Nose up it tips over its tail" in tip
    assert trundle.tipping(vehicle).slopes.side is None


def test_what_is_not_built_is_said_to_be_unknown() -> None:
    """A bogie without its build: nothing is checked, and the table that adds it is named."""
    vehicle = load("mole")
    bare = {n: b.model_copy(update={"build": None}) for n, b in vehicle.bogie.items()}
    text = str(trundle.turning(vehicle.model_copy(update={"bogie": bare})))
    assert "Not known, so not checked" in text
    assert "bogie.front.build" in text


def test_a_run_counts_with_its_own_loads(tmp_path: Path) -> None:
    """Over a kerb every part has less left than standing; the hardest instant is named; another vehicle's run, or a
    folder that is none, is refused."""
    folder = tmp_path / "run"
    trundle.run("mole", "kerb-100", near=1).save(folder)
    found = trundle.turning("mole", run=folder).turned
    assert found.in_run is not None
    assert found.hardest is not None
    standing = {(m.kind, m.title): m.margin for m in found.parts}
    for m in found.in_run:
        assert m.margin <= standing[m.kind, m.title] * 1.001
    assert found.hardest.per_side_Nm > found.on.moment_Nm / found.on.ground.side
    text = call("turn", "mole", "--run", str(folder)).output
    assert "margin in the run" in text
    assert "In the run turning would be resisted most at" in text
    sheet = trundle.sheet("mole", run=folder)
    assert "margin in the run" in str(sheet)
    assert "Teasel" in refused("turn", "teasel", "--run", str(folder)) or "Mole" in refused(
        "turn", "teasel", "--run", str(folder)
    )
    empty = tmp_path / "none"
    empty.mkdir()
    assert "is it the folder of a run" in refused("turn", "mole", "--run", str(empty))
    (empty / "timeline.parquet").write_bytes(b"no table")
    assert "timeline cannot be used" in refused("turn", "mole", "--run", str(empty))


@pytest.mark.parametrize(
    ("args", "says"),
    [
        (("turn", "teasel", "--on", "lava"), 'no ground "lava"'),
        (("turn", "teasel", "--on", "wet-tarmak"), '"wet tarmac"'),
        (("turn", "teasel", "--on", "9"), "0.02 to 1.5"),
        (("turn", "teasel", "--on", "nan"), "0.02 to 1.5"),
        (("turn", "teasel", "--radius-m", "-1"), "0 to 1000 m"),
        (("turn", "teasel", "--radius-m", "nan"), "0 to 1000 m"),
        (("turn", "teasel", "--radius-m", "inf"), "0 to 1000 m"),
        (("turn", "teasel", "--run", "/nowhere/at/all"), "is it the folder of a run"),
        (("turn", "teasel", "--set", "hull.gauge_mm=140"), "left and right overlap"),
        (("turn", "barrow", "--set", "hull.gauge_mm=60"), "wheel.road.width_mm is 60"),
        (("tip", "teasel", "--up-mm", "99999"), "-2000 to 2000 mm"),
        (("tip", "teasel", "--aside-mm", "nan"), "-2000 to 2000 mm"),
        (("tip", "wren", "--up-mm", "50"), "hull.seat_kg"),
    ],
)
def test_bad_input(args: tuple[str, ...], says: str) -> None:
    """One message that says what is allowed."""
    assert says in refused(*args)


def test_arguments_are_named_as_they_are_given() -> None:
    """In Python by the argument's name."""
    with pytest.raises(InputError, match="radius_m"):
        trundle.turning("teasel", radius_m=-1.0)
    with pytest.raises(InputError, match="on: there is no ground"):
        trundle.turning("teasel", on="lava")
    with pytest.raises(InputError, match="up_mm"):
        trundle.tipping("teasel", up_mm=math.inf)


def test_bare_steel_grips_as_steel() -> None:
    """Links without rubber have their own frictions."""
    vehicle = load("teasel")
    assert vehicle.track is not None
    steel = vehicle.model_copy(update={"track": vehicle.track.model_copy(update={"pad_mm": 0.0})})
    assert trundle.turning(steel).turned.on.ground.side == 0.5
    assert trundle.turning(vehicle).turned.on.ground.side == 0.8


def test_a_wider_turn_takes_less() -> None:
    """And a friction of one's own is a ground too."""
    spot, wide = trundle.turning("mole", on="0.6").turned.on, trundle.turning("mole", on="0.6", radius_m=8.0).turned.on
    assert spot.ground.name == "friction 0.6"
    assert wide.moment_Nm < 0.4 * spot.moment_Nm
    assert "in a turn of 8 m" in str(trundle.turning("mole", on="0.6", radius_m=8.0))


def test_short_words_of_the_answers() -> None:
    """In a terminal of Python the first thing to know."""
    assert repr(trundle.turning("mole")).startswith("Mole: turning: It turns on the spot on tarmac")
    assert repr(trundle.tipping("mole")).startswith("Mole: tipping: Across a slope it tips at")


def test_the_sheet_has_both() -> None:
    """Concise, in its own words, with the commands that say more."""
    text = str(trundle.sheet("mole"))
    turning, tipping = part(text, "Turning"), part(text, "Tipping")
    assert "trundle turn has" in turning
    assert "axle bolt M12, 8.8" in turning
    assert "trundle tip has" in tipping
    assert "Rolling over is what kills" in tipping
    assert "across" in tipping


def test_ground_on_which_it_climbs_is_said_beside_the_asked_one() -> None:
    """Teasel on tarmac has 1.10 to climbing, on concrete less than 1: the short answer says both. A motor that falls
    short of what turning takes without slipping turns it with slipping tracks only, and is no "yes" or "barely"."""
    document = trundle.turning("teasel").document
    short = document.parts[0]
    told = [*short.loud, *short.lines]
    assert any("is near to climbing" in line and "on concrete it may climb" in line for line in told)
    assert any("only with slipping tracks, motor at the limit" in line for line in told)
