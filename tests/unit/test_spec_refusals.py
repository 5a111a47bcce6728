"""A vehicle file that cannot be meant so: one message per mistake, with file, line, field and what is allowed."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from trundle.engine.standing import stand
from trundle.errors import InputError
from trundle.model import arrays
from trundle.model.ground import ground_arrays
from trundle.spec.course import load_course
from trundle.spec.doubts import doubts
from trundle.spec.reader import MAX_FILE_BYTES, parse_settings
from trundle.spec.shipped import find
from trundle.spec.track import MOST_ROLLERS
from trundle.spec.vehicle import MOST_BOGIES, load_vehicle

TEASEL = find("vehicles", "teasel")


def said(settings: dict[str, Any], path: Path = TEASEL, standing: bool = False) -> list[str]:
    """What is said about a vehicle that cannot be used."""

    def use() -> None:
        vehicle = load_vehicle(path, settings)
        if standing:
            stand(vehicle, ground_arrays(np.zeros(2000), 0.005, np.zeros(1), np.full(1, np.nan)))

    with pytest.raises(InputError) as caught:
        use()
    return [str(p) for p in caught.value.problems]


OUT_OF_RANGE = {
    "hull.mass_kg": 4,
    "hull.pitch_inertia_kg_m2": 0,
    "hull.length_mm": -1,
    "hull.height_mm": 0.1,
    "hull.belly_rate_N_per_mm": 1,
    "hull.belly_sheet_mm": 0.1,
    "hull.belly_span_mm": 0,
    "hull.belly_width_mm": 0,
    "hull.belly_loss": 1,
    "hull.ring_Hz": 5,
    "hull.belly_grip": -0.1,
    "wheel.road.radius_mm": 0,
    "wheel.road.width_mm": 6000,
    "wheel.road.mass_kg": 0,
    "wheel.road.abreast": 0,
    "wheel.road.rubber_rate_N_per_mm": 4,
    "wheel.road.rubber_loss": 1,
    "wheel.road.rated_load_N": 0,
    "wheel.road.spin_inertia_kg_m2": -1,
    "bogie.front.pivots_apart_mm": -1,
    "bogie.front.arm_mm": 0,
    "bogie.front.arm_mass_kg": 0,
    "bogie.front.pivot_friction_Nm": -1,
    "bogie.front.stops.bump_below_level_deg": 81,
    "bogie.front.stops.droop_below_level_deg": -81,
    "bogie.front.stops.pad_rate_N_per_mm": 0,
    "bogie.front.stops.pad_loss": 1,
    "track.links": 9,
    "track.pitch_mm": 0,
    "track.mass_kg_per_m": 0,
    "track.thickness_mm": 0,
    "track.width_mm": 0,
    "track.tooth_mm": -1,
    "track.link_steel_mm2": 0,
    "track.sag_mm": 0,
    "track.tension_limit_N": 0,
    "track.rolling_drag": 0.6,
    "wheel.road.rolling_drag": 0.6,
    "track.end_rate_N_per_mm": 1,
    "track.end_loss": 1,
    "track.pad_mm": 201,
    "track.rubber_hardness_irhd": 20,
    "track.sprocket.rim_rubber_mm": 300,
    "track.sprocket.axle_mm": 1,
    "track.idler.overhang_mm": 1,
    "track.sprocket.teeth": 4,
    "track.sprocket.links_per_tooth": 0,
    "track.idler.radius_mm": 0,
    "track.roller.1.radius_mm": 0,
    "drive.speed_m_s": 0,
    "drive.acceleration_m_s2": 0,
    "drive.torque_Nm": 0,
    "drive.power_W": 0,
    "drive.brake_N": -1,
    "drive.grip": 0,
    "drive.grip_shear_mm": 0,
}


@pytest.mark.parametrize("path", OUT_OF_RANGE)
def test_every_number_has_a_range(path: str) -> None:
    """Outside it, at 1e308 and below it: the field, the value and the range, once. nan and inf: not finite."""
    dotted = re.sub(r"\.(\d+)\.", r"[\1].", path)
    outside: list[float] = [OUT_OF_RANGE[path], -(10**9)]
    for bad in outside:
        (line,) = said({path: bad})
        assert line.startswith(f"{TEASEL}: {dotted}: out of range (it is {bad})"), line
        assert "(allowed: " in line
    for odd in (float("nan"), float("inf"), "seven", True, [1]):
        (line,) = said({path: odd})
        assert f"{dotted}: a " in line
        assert "wanted" in line


@pytest.mark.parametrize("path", ["hull.com_mm", "hull.seat_mm", "bogie.front.at_mm", "track.idler.at_mm"])
@pytest.mark.parametrize(
    ("bad", "words"),
    [
        ([1e308, 0], "[1]: out of range (it is 1e+308) (allowed: 20000 or less)"),
        ([0, -1e308], "[2]: out of range (it is -1e+308) (allowed: -20000 or more)"),
        ([1], "[2]: this field is missing"),
        ([1, 2, 3], ": too many entries (there are 3); a decimal comma splits a number in two (allowed: up to 2)"),
        ([1, 2, "a"], ": too many entries (there are 3) (allowed: up to 2)"),
        (["a", 1], '[1]: a number is wanted (it is "a")'),
        (5, ": a list is wanted (it is 5)"),
    ],
)
def test_a_point_is_two_numbers_near_the_vehicle(path: str, bad: Any, words: str) -> None:
    """Each coordinate is named."""
    assert f"{path}{words}" in said({path: bad})[0]


TEXT = TEASEL.read_text(encoding="utf-8")


def in_file(tmp_path: Path, pattern: str, new: str) -> Path:
    """The shipped vehicle with the first line that matches replaced."""
    text, count = re.subn(pattern, lambda _: new, TEXT, count=1, flags=re.MULTILINE)
    assert count == 1
    path = tmp_path / "mine.toml"
    path.write_text(text, encoding="utf-8")
    return path


@pytest.mark.parametrize(
    ("pattern", "new", "words"),
    [
        (r"^mass_kg = 265.*$", "", "hull.mass_kg: give the mass once: mass_kg (of the hull"),
        (r"^mass_kg = 265.*$", "mas_kg = 265", 'hull.mas_kg: unknown field; did you mean "mass_kg"?'),
        (r"^\[hull\]$", "[hul]", 'hul: unknown field; did you mean "hull"? (allowed: name, note, hull'),
        (r'^kind = "paired arms"$', 'kind = "pared arms"', 'unknown kind "pared arms"; did you mean "paired'),
        (r'^wheel = "road"$', 'wheel = "raod"', 'there is no wheel called "raod" (allowed: road)'),
        (r"^arm_mm = 200$", "arm_mm = 0", "bogie.front.arm_mm: out of range (it is 0)"),
        (r"^mass_kg = 265.*$", "mass_kg = 1" + "0" * 5000, "a number has too many digits"),
        (
            r"^mass_kg = 265.*$",
            "mass_kg = 265 kg",
            'a number with a unit stands in quotes (allowed: "265 kg", or a number)',
        ),
        (r"^name = .*$", 'name = "a\\u001b[2J"', "name: control characters are not allowed in a text"),
        (r"^name = .*$", f'name = "{"x" * 61}"', "name: this text is too long (allowed: up to 60"),
        (r"^\[wheel.road\]$", '[wheel."../road"]', 'wheel: "../road" is no name (allowed: letters, digits'),
    ],
)
def test_the_line_is_named(tmp_path: Path, pattern: str, new: str, words: str) -> None:
    """The line on which the field stands, or that of its table if the field is missing."""
    path = in_file(tmp_path, pattern, new)
    lines = said({}, path)
    (line,) = [m for m in lines if words in m]
    found = re.match(rf"{re.escape(str(path))}:(\d+): ", line)
    assert found, line
    rows = path.read_text(encoding="utf-8").splitlines()
    row = rows[int(found.group(1)) - 1]
    assert row.startswith("[") or row == new


@pytest.mark.parametrize(
    ("settings", "words"),
    [
        ({"bogie.middle.at_mm": [1200, -9]}, "wheels middle.fore and front.aft overlap by"),
        ({"bogie.middle.at_mm": [802, 300]}, "wheel middle.fore at its bump stop is wholly above the belly"),
        ({"hull.com_mm": [-600, 250]}, "the centre of mass (-600 mm forward of the tail) lies beyond every"),
        ({"track.sprocket.at_mm": [120, -50]}, "the sprocket must lie beyond the outermost road wheel"),
        ({"track.sprocket.at_mm": [0, -50]}, "and wheel rear.aft are"),
        ({"track.roller.1.at_mm": [520, -200]}, "a return roller must be above the road wheels"),
        ({"track.roller.1.at_mm": [-900, 165]}, "a return roller must lie between sprocket and idler"),
        ({"track.tension_N": 500}, "say how it is set once: sag_mm or tension_N"),
        ({"drive.push_N": 500}, "drive.push_N: how hard it pushes is given by torque_Nm and by push_N"),
        (
            {"bogie.front.stops.bump_axle_above_pivot_mm": 3},
            "give the bump stop once (bump_below_level_deg and bump_axle_above_pivot_mm given)",
        ),
        ({"hull.belly_mm": [[0, 0]]}, "2 to 60 points are wanted (there are 1)"),
        ({"hull.belly_mm": [[0, 0], [0, 5]]}, "points must run from tail to nose (after 0 comes 0)"),
        ({"hull.belly_rate_N_per_mm": 400}, "say how the belly gives once: belly_rate_N_per_mm, or its plate"),
        (
            {"track.end_rate_N_per_mm": 1500},
            "say how the ends give once: end_rate_N_per_mm, or what they are made of (pad_mm, sprocket.axle_mm",
        ),
        ({"track.pad_mm": 16}, "pad_mm is 16, more than the whole track (thickness_mm 15)"),
        ({"hull.belly_rate_N_per_mm": 400, "hull.belly_steel": "S355"}, "belly_width_mm, belly_steel)"),
        ({"track.end_rate_N_per_mm": 1500, "track.rubber_hardness_irhd": 60}, "pad_mm, rubber_hardness_irhd, sprocket"),
        ({"hull.blow_rates": "softest"}, "hull.blow_rates"),
        ({"hull.belly_steel": "51CrV5"}, "hull.belly_steel"),
        ({"track.pitch_mm": 200}, "less than the track is thick"),
        ({"wheel": {}}, "wheel: there are none (allowed: 1 or more)"),
        ({"bogie": {}}, "bogie: there are none (allowed: 1 or more)"),
    ],
)
def test_parts_in_each_others_way(settings: dict[str, Any], words: str) -> None:
    """Found before anything is run, with the parts named."""
    assert any(words in line for line in said(settings)), said(settings)


@pytest.mark.parametrize(
    ("settings", "words"),
    [
        (
            {"bogie.front.stops.bump_below_level_deg": 32, "bogie.front.stops.droop_below_level_deg": 11},
            "the stops are the wrong way",
        ),
        ({"track.links": 60}, "the track is too short: 60 links of 60 mm differ from the path"),
        ({"track.links": 90}, "the track is too long: 90 links of 60 mm differ from the path"),
        (
            {"track.sprocket.axle_mm": 5, "track.sprocket.overhang_mm": 900},
            "the sprocket gives so much that a blow at 1",
        ),
        ({"track.sag_mm": 400}, "is more than a quarter of the longest top span"),
    ],
)
def test_a_vehicle_that_cannot_stand(settings: dict[str, Any], words: str) -> None:
    """By how much it falls short, in one line."""
    (line,) = said(settings, standing=True)
    assert words in line
    assert re.search(r"\d", line)


def test_springs_that_cannot_carry_the_hull() -> None:
    """The sheet says how much of the weight they hold."""
    from trundle.papers.document import whole_sheet

    with pytest.raises(InputError, match=r"springs cannot carry the hull.*they give \d+%"):
        whole_sheet(load_vehicle(TEASEL, {"hull.mass_kg": 1500}), "teasel", None, 3.0, False, None)


def test_a_tyre_too_soft_for_its_load() -> None:
    """Said at its stiffness."""
    soft = {"wheel.road.rubber_rate_N_per_mm": 5, "wheel.road.rated_load_N": 5000}
    (line,) = said(soft, standing=True)
    assert "wheel.road.rubber_rate_N_per_mm: the tyre is so soft that it would be squeezed to half" in line


@pytest.mark.parametrize(
    ("settings", "words"),
    [
        ({"hull.mass_kg": 6}, "is the mass in kg and the length in mm?"),
        ({"hull.pitch_inertia_kg_m2": 0.06}, "an even box of this mass and size has"),
        ({"hull.com_mm": [800, 2500]}, "lies outside the hull"),
        ({"hull.com_mm": [8, 250]}, "not between the first and the last road wheel"),
        ({"wheel.road.mass_kg": 90}, "a quarter of the hull or more"),
        ({"hull.belly_span_mm": 3500}, "hull.belly_span_mm: it is 3500, more than the whole hull is long (1780 mm)"),
        ({"hull.belly_sheet_mm": 40}, "hull.belly_sheet_mm: it is 40, more than a tenth of what it spans"),
        ({"track.width_mm": 15}, "the track is 15 mm wide"),
        ({"track.tooth_mm": 250}, "higher than a wheel's radius"),
    ],
)
def test_a_slip_of_the_pen_is_doubted(settings: dict[str, Any], words: str) -> None:
    """Possible, so not refused."""
    assert any(words in doubt for doubt in doubts(load_vehicle(TEASEL, settings)))


def test_shipped_vehicles_raise_no_doubts() -> None:
    """Else every run of theirs would begin with a note."""
    for path in TEASEL.parent.glob("*.toml"):
        assert doubts(load_vehicle(path)) == [], path


HOSTILE = {
    "deep lists": "x = " + "[" * 5_000 + "]" * 5_000,
    "deep tables": "[" + ".".join(["a"] * 5_000) + "]",
    "deep inline": "x = " + "{a = " * 3_000 + "1" + "}" * 3_000,
    "fairly deep": "x = " + "[" * 60 + "]" * 60,
    "twice": 'name = "a"\nname = "b"',
    "control": 'name = "a\0b"',
    "huge list": "x = [" + "1," * 300_000 + "]",
    "huge text": f'name = "{"x" * 1_000_000}"',
    "empty": "",
}


@pytest.mark.parametrize("case", HOSTILE)
def test_hostile_text_is_refused(tmp_path: Path, case: str) -> None:
    """As a vehicle and as a course, each line short enough to read."""
    path = tmp_path / "hostile.toml"
    path.write_text(HOSTILE[case], encoding="utf-8")
    for load in (load_vehicle, load_course):
        with pytest.raises(InputError) as caught:
            load(path)
        assert all(str(p).startswith(str(path)) and len(str(p)) < 600 for p in caught.value.problems)


def test_files_that_are_no_text(tmp_path: Path) -> None:
    """Not UTF-8 (with the line), too big, a folder, a device, a name no system allows."""
    path = tmp_path / "v.toml"
    cases: list[tuple[bytes, str]] = [(b'\n\nname = "\xff\xfe"', ":3: is not UTF-8 text"), (b"\xff\xfen\0", ":1: ")]
    for raw, words in cases:
        path.write_bytes(raw)
        assert f"{path}{words}" in said({}, path)[0]
    with path.open("wb") as f:
        f.truncate(100_000_000)
    assert said({}, path) == [f"{path}: is 100 MB (allowed: up to {MAX_FILE_BYTES // 10**6} MB)"]
    assert said({}, tmp_path) == [f"{tmp_path}: is a folder; a .toml file is wanted"]
    assert said({}, tmp_path / "none.toml") == [f"{tmp_path / 'none.toml'}: no such file"]
    assert said({}, Path("/dev/zero")) == ["/dev/zero: is not a file; a .toml file is wanted"]
    path.write_text('[[obstacle]]\nkind = "surveyed profile"\nfile = "/dev/zero"')
    with pytest.raises(InputError, match="/dev/zero: is not a file"):
        load_course(path)


def test_vehicle_and_course_the_wrong_way_round() -> None:
    """One line instead of one for every field."""
    kerb = find("courses", "kerb-100")
    assert said({}, kerb) == [f"{kerb}: is a course; a vehicle is wanted here"]
    with pytest.raises(InputError, match="is a vehicle; a course is wanted here"):
        load_course(TEASEL)


@pytest.mark.parametrize("option", ["hull.mass_kg", "=3", " =3", "a" * 5_000 + "=1"])
def test_settings_that_are_none(option: str) -> None:
    """Named by the option, in a short line."""
    with pytest.raises(InputError) as caught:
        parse_settings([option])
    assert str(caught.value).startswith("--set: ")
    assert len(str(caught.value)) < 200


def test_settings_never_break_the_reader() -> None:
    """What is not TOML is text; a second line or a deep list does not slip in."""
    values = {"1\nx = 2": "1\nx = 2", "[" * 5000 + "]" * 5000: "[" * 5000 + "]" * 5000, "[1, 2": "[1, 2"}
    for text, read in values.items():
        assert parse_settings([f"a={text}"]) == {"a": read}


def test_the_model_has_room_for_as_many_bogies_and_rollers_as_a_file_may_have() -> None:
    """Its records are of a fixed size: a file with more would be written past their end."""
    assert arrays.MOST_ROLLERS == MOST_ROLLERS
    roller = {"at_mm": [800, 300], "radius_mm": 20}
    told = said({"track.roller": [roller] * (MOST_ROLLERS + 1)})
    assert told == [f"{TEASEL}: track.roller: too many entries (there are 11) (allowed: up to 10)"]
    assert arrays.MOST_BOGIES == MOST_BOGIES
    bogie = load_vehicle(TEASEL).bogie["front"].model_dump(exclude_unset=True)
    told = said({"bogie": {f"b{k}": bogie for k in range(MOST_BOGIES + 1)}})
    assert told == [f"{TEASEL}: bogie: too many entries (there are 13) (allowed: up to 12)"]
