"""Typical mistakes of a builder: wrong datum, sign, unit, an angle for travel, a diameter for a radius, one for all.

Each is refused, or answered with a remark on the sheet, and the answer names the field. They are collected from what
builders mix up (common practice, no source); none is told of a vehicle that is right.
"""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import Any

import pytest
from test_cli_refusals import call

import trundle
from tests.verification import invented
from trundle.errors import InputError
from trundle.papers.document import whole_sheet
from trundle.spec.doubts import doubts
from trundle.spec.shipped import names

MISTAKES: list[tuple[str, str, dict[str, Any], str]] = [
    ("com from the ground", "teasel", {"hull.com_mm": [870, 388]}, "hull.com_mm"),
    ("com from the nose", "teasel", {"hull.com_mm": [280, 250]}, "hull.com_mm"),
    ("com x sign", "teasel", {"hull.com_mm": [-870, 250]}, "hull.com_mm"),
    ("com cm", "teasel", {"hull.com_mm": [87, 25]}, "hull.com_mm"),
    ("com m", "teasel", {"hull.com_mm": [0.87, 0.25]}, "hull.com_mm"),
    ("com inches", "teasel", {"hull.com_mm": [34.25, 9.84]}, "hull.com_mm"),
    ("com swapped", "teasel", {"hull.com_mm": [250, 870]}, "hull.com_mm"),
    ("com y sign", "teasel", {"hull.com_mm": [870, -250]}, "hull.com_mm"),
    ("one at_mm from nose", "teasel", {"bogie.front.at_mm": [260, 0]}, "bogie.front"),
    ("at_mm height from ground", "teasel", {"bogie.*.at_mm": [1520, 138]}, "at_mm"),
    ("at_mm heights from ground", "otter", {"bogie.one.at_mm": [2050, 245], "bogie.two.at_mm": [1550, 245]}, "at_mm"),
    ("mass lb", "teasel", {"hull.mass_kg": 584}, "hull.mass_kg"),
    ("mass N", "teasel", {"hull.mass_kg": 2600}, "hull.mass_kg"),
    ("mass g", "teasel", {"hull.mass_kg": 265000}, "hull.mass_kg"),
    ("mass t", "teasel", {"hull.mass_kg": 0.265}, "hull.mass_kg"),
    ("mass without rider", "teasel", {"hull.mass_kg": 60}, "hull.mass_kg"),
    ("length m", "teasel", {"hull.length_mm": 1.78}, "hull.length_mm"),
    ("length cm", "teasel", {"hull.length_mm": 178}, "hull.length_mm"),
    ("length in", "teasel", {"hull.length_mm": 70}, "hull.length_mm"),
    ("height cm", "teasel", {"hull.height_mm": 52}, "hull.height_mm"),
    ("inertia g m2", "teasel", {"hull.pitch_inertia_kg_m2": 64000}, "pitch_inertia"),
    ("inertia kg cm", "teasel", {"hull.pitch_inertia_kg_m2": 0.64}, "pitch_inertia"),
    ("belly reversed", "teasel", {"hull.belly_mm": [[1820, 120], [1660, 0], [110, 0], [0, 150]]}, "hull.belly_mm"),
    (
        "belly from the ground",
        "teasel",
        {"hull.belly_mm": [[0, 290], [110, 140], [1660, 140], [1820, 260]]},
        "hull.belly_mm",
    ),
    ("belly cm", "teasel", {"hull.belly_mm": [[0, 15], [11, 0], [166, 0], [182, 12]]}, "hull.belly_mm"),
    ("belly [up, forward]", "teasel", {"hull.belly_mm": [[150, 0], [0, 110], [0, 1660], [120, 1820]]}, "hull.belly_mm"),
    ("belly plate m", "teasel", {"hull.belly_sheet_mm": 0.004}, "belly_sheet"),
    ("belly sheet cm", "teasel", {"hull.belly_sheet_mm": 0.4}, "belly_sheet"),
    ("belly span m", "teasel", {"hull.belly_span_mm": 3500}, "belly_span"),
    ("seat from ground", "teasel", {"hull.seat_mm": [770, 1030]}, "hull.seat_mm"),
    ("seat from the nose neg", "teasel", {"hull.seat_mm": [-770, 330]}, "hull.seat_mm"),
    ("seat cm", "teasel", {"hull.seat_mm": [77, 33]}, "hull.seat_mm"),
    ("seat_kg whole", "teasel", {"hull.seat_kg": 300}, "seat_kg"),
    ("wheel diameter", "teasel", {"wheel.road.radius_mm": 190}, "radius_mm"),
    ("wheel diameter wren", "wren", {"wheel.road.radius_mm": 140}, "radius_mm"),
    ("wheel diameter barrow", "barrow", {"wheel.road.radius_mm": 320}, "radius_mm"),
    ("wheel radius in", "teasel", {"wheel.road.radius_mm": 3.74}, "radius_mm"),
    ("wheel radius cm", "teasel", {"wheel.road.radius_mm": 9.5}, "radius_mm"),
    ("wheel mass pair", "teasel", {"wheel.road.mass_kg": 3.2}, "mass_kg"),
    ("wheel mass all", "teasel", {"wheel.road.mass_kg": 38.4}, "mass_kg"),
    ("wheel mass g", "teasel", {"wheel.road.mass_kg": 160}, "mass_kg"),
    ("wheel width pair", "teasel", {"wheel.road.width_mm": 84}, "width_mm"),
    ("wheel width cm", "teasel", {"wheel.road.width_mm": 4}, "width_mm"),
    ("wheel rate N/m", "teasel", {"wheel.road.rubber_rate_N_per_mm": 350000}, "rubber_rate"),
    ("wheel rate in hundredths", "teasel", {"wheel.road.rubber_rate_N_per_mm": 3.5}, "rubber_rate"),
    ("wheel rate soft", "teasel", {"wheel.road.rubber_rate_N_per_mm": 6}, "rubber_rate"),
    ("wheel rate lbf/in", "teasel", {"wheel.road.rubber_rate_N_per_mm": 2000}, "rubber_rate"),
    ("abreast one side both", "teasel", {"wheel.road.abreast": 4}, "abreast"),
    ("rated load kg", "teasel", {"wheel.road.rated_load_N": 10}, "rated_load"),
    ("loss percent", "teasel", {"wheel.road.rubber_loss": 35}, "rubber_loss"),
    ("arm cm", "teasel", {"bogie.*.arm_mm": 20}, "arm_mm"),
    ("arm m", "teasel", {"bogie.*.arm_mm": 0.2}, "arm_mm"),
    ("arm in", "teasel", {"bogie.*.arm_mm": 7.87}, "arm_mm"),
    ("arm mass both/all", "teasel", {"bogie.*.arm_mass_kg": 21.6}, "arm_mass"),
    ("arm mass g", "teasel", {"bogie.*.arm_mass_kg": 1800}, "arm_mass"),
    (
        "droop travel for angle",
        "teasel",
        {"bogie.*.stops.droop_below_level_deg": 20, "bogie.*.stops.bump_below_level_deg": 12},
        "droop_below_level",
    ),
    ("droop travel for angle 2", "otter", {"bogie.*.arm.stops.droop_below_level_deg": 20}, "droop_below_level"),
    ("droop above bump", "teasel", {"bogie.*.stops.droop_below_level_deg": -20}, "stops"),
    (
        "stops swapped",
        "teasel",
        {"bogie.*.stops.droop_below_level_deg": 1, "bogie.*.stops.bump_below_level_deg": 32},
        "stops",
    ),
    ("bump sign", "teasel", {"bogie.*.stops.bump_below_level_deg": -32}, "bump"),
    ("droop sign", "teasel", {"bogie.*.stops.droop_below_level_deg": -32}, "stops"),
    ("droop axle sign", "barrow", {"bogie.*.stops.droop_axle_above_pivot_mm": 105}, "droop"),
    (
        "bump axle sign: positive both",
        "barrow",
        {"bogie.*.stops.bump_axle_above_pivot_mm": 105, "bogie.*.stops.droop_axle_above_pivot_mm": 15},
        "droop_axle",
    ),
    (
        "stops rad",
        "otter",
        {"bogie.*.arm.stops.droop_below_level_deg": 0.66, "bogie.*.arm.stops.bump_below_level_deg": 0.07},
        "stops",
    ),
    ("pad rate N/m", "teasel", {"bogie.*.stops.pad_rate_N_per_mm": 120000}, "pad_rate"),
    ("pad rate kN/mm", "teasel", {"bogie.*.stops.pad_rate_N_per_mm": 1}, "pad_rate"),
    ("damper N s/m", "teasel", {"bogie.*.damper.bump_N_s_per_mm": 600}, "bump_N_s"),
    ("damper N s/m small", "teasel", {"bogie.*.damper.bump_N_s_per_mm": 60}, "bump_N_s"),
    ("pivots apart cm", "teasel", {"bogie.*.pivots_apart_mm": 5}, "pivots_apart"),
    ("pivot friction", "teasel", {"bogie.*.pivot_friction_Nm": 1000}, "pivot_friction"),
    ("leaf free radius as diameter", "teasel", {"bogie.*.spring.free_radius_mm": 1400}, "free_radius"),
    ("leaf half length", "teasel", {"bogie.*.spring.length_mm": 220}, "length_mm"),
    ("leaf length cm", "teasel", {"bogie.*.spring.length_mm": 44}, "length_mm"),
    ("leaf full leaves 0", "teasel", {"bogie.*.spring.full_leaves": 0}, "full_leaves"),
    ("leaf thickness of the stack", "teasel", {"bogie.*.spring.thickness_mm": 18}, "thickness_mm"),
    ("leaf thickness in", "teasel", {"bogie.*.spring.thickness_mm": 0.08}, "thickness_mm"),
    ("leaf width in", "teasel", {"bogie.*.spring.width_mm": 1.57}, "width_mm"),
    ("leaf seat from belly", "teasel", {"bogie.*.spring.seat_above_pivots_mm": 222}, "seat_above"),
    ("bar dia radius", "otter", {"bogie.*.arm.spring.diameter_mm": 8}, "diameter"),
    ("bar dia cm", "otter", {"bogie.*.arm.spring.diameter_mm": 1.6}, "diameter"),
    ("bar length both", "otter", {"bogie.*.arm.spring.length_mm": 1300}, "length"),
    ("bar length m", "otter", {"bogie.*.arm.spring.length_mm": 0.65}, "length"),
    ("bar free angle as twist", "otter", {"bogie.*.arm.spring.free_angle_deg": -34}, "free_angle"),
    ("coil anchor from hull", "mole", {"bogie.front.spring.anchor_mm": [950, 110]}, "anchor"),
    ("coil anchor sign", "mole", {"bogie.*.spring.anchor_mm": [70, -100]}, "anchor"),
    ("coil outer radius for mean diameter", "mole", {"bogie.*.spring.mean_diameter_mm": 25}, "mean_diameter"),
    ("coil wire radius", "mole", {"bogie.*.spring.wire_mm": 3.25}, "wire"),
    ("coil length cm", "mole", {"bogie.*.spring.free_length_mm": 15}, "free_length"),
    ("coil free length under load", "mole", {"bogie.*.spring.free_length_mm": 110}, "free_length"),
    ("coil on arm from axle", "mole", {"bogie.*.spring.on_arm_mm": 310}, "on_arm"),
    ("axle rate N/m", "barrow", {"bogie.rear.spring.rate_N_per_mm": 4500}, "rate_N_per_mm"),
    ("axle rate kgf/mm", "barrow", {"bogie.rear.spring.rate_N_per_mm": 0.45}, "rate_N_per_mm"),
    ("pivot rate Nm/rad", "barrow", {"bogie.front.spring.rate_Nm_per_deg": 160}, "rate_Nm"),
    ("track whole mass", "teasel", {"track.mass_kg_per_m": 19.7}, "track.mass_kg_per_m"),
    ("track pitch two links", "teasel", {"track.pitch_mm": 120}, "track.pitch_mm"),
    ("track pitch cm", "teasel", {"track.pitch_mm": 6}, "track.pitch"),
    ("track links both", "teasel", {"track.links": 164}, "track.links"),
    ("track thickness cm", "teasel", {"track.thickness_mm": 150}, "track.thickness"),
    ("track width both", "teasel", {"track.width_mm": 1500}, "track.width"),
    ("track width cm", "teasel", {"track.width_mm": 15}, "track.width"),
    ("track sag cm", "teasel", {"track.sag_mm": 0.9}, "track.sag"),
    ("track sag m", "teasel", {"track.sag_mm": 90}, "track.sag"),
    ("track tension kgf", "teasel", {"track.tension_limit_N": 600}, "tension_limit"),
    ("idler diameter", "teasel", {"track.idler.radius_mm": 160}, "idler.radius"),
    ("idler at from nose", "teasel", {"track.idler.at_mm": [-225, 60]}, "idler"),
    ("sprocket teeth as links", "teasel", {"track.sprocket.teeth": 20}, "sprocket"),
    ("sprocket at height ground", "teasel", {"track.sprocket.at_mm": [-160, 220]}, "sprocket"),
    ("sprocket end wrong", "teasel", {"track.sprocket.end": "front"}, "sprocket"),
    ("roller diameter", "teasel", {"track.roller.*.radius_mm": 60}, "roller"),
    ("link steel cm2", "teasel", {"track.link_steel_mm2": 1.2}, "link_steel"),
    ("stretch a hundred times", "wren", {"track.stretch_N": 40000000}, "stretch"),
    ("tensioner rate N/m", "teasel", {"track.idler.tensioner.rate_N_per_mm": 20000}, "tensioner"),
    ("tensioner preload kN", "wren", {"track.idler.tensioner.preload_N": 12000}, "preload"),
    ("hardness shore D", "teasel", {"track.rubber_hardness_irhd": 20}, "hardness"),
    ("speed km/h", "teasel", {"drive.speed_m_s": 4.3}, "drive.speed"),
    ("speed km/h fast", "teasel", {"drive.speed_m_s": 12}, "drive.speed"),
    ("torque motor before gear", "teasel", {"drive.torque_Nm": 10}, "drive.torque"),
    ("torque kgfm", "teasel", {"drive.torque_Nm": 26}, "drive.torque"),
    ("power kW", "teasel", {"drive.power_W": 3}, "drive.power"),
    ("push kN", "teasel", {"drive.torque_Nm": 260000}, "torque"),
    ("motor ratio forgotten", "wren", {"drive.motor.ratio": 1}, "drive.motor"),
    ("motor ratio upside down", "mole", {"drive.motor.ratio": 0.0714}, "drive.motor.ratio"),
    ("motor speed rad/s", "mole", {"drive.motor.no_load_rpm": 408}, "drive.motor.ratio"),
    ("motor torque N.cm", "mole", {"drive.motor.stall_Nm": 870}, "drive.motor"),
    ("continuous at the sprocket", "mole", {"drive.motor.continuous_Nm": 22}, "continuous_Nm"),
    ("torque constant as kV", "wren", {"drive.motor.torque_Nm_per_A": 0.258}, "torque_Nm_per_A"),
    ("torque constant mN.m", "wren", {"drive.motor.torque_Nm_per_A": 3.7}, "torque_Nm_per_A"),
    ("brake kgf", "teasel", {"drive.brake_N": 150}, "drive.brake"),
    ("grip percent", "teasel", {"drive.grip": 75}, "drive.grip"),
    ("grip 7.5", "teasel", {"drive.grip": 0.0075}, "drive.grip"),
    ("acceleration g", "teasel", {"drive.acceleration_m_s2": 8}, "acceleration"),
]
"""What is mistaken, the vehicle, the fields as they are written then, what the answer names."""


def answer(vehicle: str, settings: dict[str, Any]) -> list[str]:
    """All that a builder is told by `trundle sheet`: why it is refused, what is doubted, the sheet's warnings."""
    try:
        made = trundle.load_vehicle(vehicle, settings)
    except InputError as e:
        return str(e).splitlines()
    doubted = doubts(made)
    try:
        document = whole_sheet(made, vehicle).document
    except InputError as e:
        return [*doubted, *str(e).splitlines()]
    return [*doubted, *(w for p in document.parts if p.title == "Warnings" for w in (*p.loud, *p.lines))]


@cache
def _usual(vehicle: str) -> frozenset[str]:
    """What is told of the vehicle as it is shipped."""
    return frozenset(answer(vehicle, {}))


@pytest.mark.parametrize(("what", "vehicle", "settings", "field"), MISTAKES, ids=[m[0] for m in MISTAKES])
def test_a_typical_mistake_is_answered(what: str, vehicle: str, settings: dict[str, Any], field: str) -> None:
    """And the vehicle without it is not told so."""
    usual = _usual(vehicle)
    said = [line for line in answer(vehicle, settings) if line not in usual]
    assert any(field in line for line in said), (what, said)


def test_there_are_enough_of_them() -> None:
    """Different ones."""
    assert len({what for what, *_ in MISTAKES}) == len(MISTAKES) >= 60


RIGHT = [
    *names("vehicles"),
    *(str(p) for p in sorted((Path(__file__).parents[1] / "vehicles").glob("*.toml"))),
]


@pytest.mark.parametrize("vehicle", RIGHT, ids=[Path(v).stem for v in RIGHT])
def test_a_vehicle_that_is_right_is_not_doubted(vehicle: str) -> None:
    """The shipped ones, with their flaws, and those of the tests."""
    assert doubts(trundle.load_vehicle(vehicle)) == []


@pytest.mark.parametrize("seed", range(12))
def test_an_invented_vehicle_is_not_doubted(seed: int) -> None:
    """Of every kind of bogie, 30 to 570 kg."""
    assert doubts(invented.vehicle(seed)) == []


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(12, 120))
def test_none_of_many_invented_vehicles_is_doubted(seed: int) -> None:
    """The long list."""
    assert doubts(invented.vehicle(seed)) == []


def test_all_up_for_the_hull_shows_on_the_sheet() -> None:
    """No vehicle says by itself that it was weighed whole: the sheet tells the hull's mass beside the whole's."""
    document = whole_sheet(trundle.load_vehicle("teasel", {"hull.mass_kg": 364}), "teasel").document
    rows = [" ".join(row) for part in document.parts for table in part.tables for row in table.rows]
    assert any("of that the hull 364 kg hull.mass_kg; the rest: arms" in row for row in rows)


def test_commands_tell_them(capsys: pytest.CaptureFixture[str]) -> None:
    """The sheet among its warnings, or before the refusal if it cannot stand; a run before it begins."""
    code, out, err = call(capsys, "sheet", "teasel", "--set", "drive.torque_Nm=10")
    assert (code, err) == (0, "")
    assert "is this right? drive.torque_Nm: it pushes the vehicle with" in " ".join(out.split())
    code, _, err = call(capsys, "sheet", "teasel", "--set", "bogie.*.spring.width_mm=1.57")
    assert code == 2
    assert "note: " in err
    assert "bogie.*.spring.width_mm (front, middle, rear): a leaf 1.57 mm wide" in err
    code, _, err = call(
        capsys, "run", "teasel", "kerb-50", "--near", "1", "--set", "drive.torque_Nm=10", "--out", "/dev/null/x"
    )
    assert code == 2
    assert "drive.torque_Nm: it pushes" in err


@pytest.mark.parametrize(
    ("row", "says"),
    [
        (
            "stops = { bump_below_level_deg = 1 droop_below_level_deg = 32 }",
            "comma is missing before droop_below_level",
        ),
        ("stops = { bump_below_level_deg = 1, bump_below_level_deg = 2 }", "bump_below_level_deg: is given twice"),
        ("arm_mm = 200\narm_mm = 210", "is given twice"),
        ("arm_mm = 3/16 in", "a number with a unit stands in quotes"),
    ],
)
def test_slips_of_writing_are_named(row: str, says: str, tmp_path: Path) -> None:
    """A comma left out, a field given twice, a unit without quotes: each by what it is."""
    file = tmp_path / "mine.toml"
    file.write_text(f'like = "teasel"\n[bogie.front]\n{row}\n')
    with pytest.raises(InputError, match=says):
        trundle.load_vehicle(file)


def test_no_thousands_begin_with_nought() -> None:
    """0,590 in can be read one way only."""
    found = trundle.load_vehicle("teasel", {"wheel.road.width_mm": "0,590 in"})
    assert found.wheel["road"].width_mm == pytest.approx(0.590 * 25.4)
