"""Numbers with a unit, in files, settings, lists of values and tolerances."""

from __future__ import annotations

import subprocess
import sys
import tomllib
from pathlib import Path

import pytest

import trundle
from tests.unit.test_cli_refusals import call
from tests.unit.test_steps import _is_dimension, tables
from trundle.errors import InputError
from trundle.fields.differences import differences
from trundle.fields.quantity import QuantityError, in_units, number, unit_of
from trundle.result.inputs import course_input, vehicle_input
from trundle.spec.course import Course
from trundle.spec.reader import parse_toml
from trundle.spec.shipped import find
from trundle.spec.vehicle import Vehicle
from trundle.study.grid import make_plan, parse_axis, remarks
from trundle.study.tolerance import parse_tolerance

IN, LB, G = 25.4, 0.45359237, 9.80665
"""Exact: international yard and pound (1959), standard acceleration of fall (3rd CGPM, 1901)."""

TEASEL = find("vehicles", "teasel")


@pytest.mark.parametrize(
    ("text", "field", "value"),
    [
        ("3/16 in", "thickness_mm", 3 / 16 * IN),
        ("1 1/2 in", "arm_mm", 1.5 * IN),
        ('1-1/2"', "arm_mm", 1.5 * IN),
        ("1½ inches", "arm_mm", 1.5 * IN),
        ("2 ft", "arm_mm", 24 * IN),
        ("2 ft 3 1/4 in", "arm_mm", 27.25 * IN),
        ("12,5 mm", "arm_mm", 12.5),
        ("12,5", "arm_mm", 12.5),
        ("-3.5 cm", "arm_mm", -35.0),
        ("0.31 m", "arm_mm", 310.0),
        ("40 lb", "arm_mass_kg", 40 * LB),
        ("900 g", "arm_mass_kg", 0.9),
        ("300 lbf/in", "rate_N_per_mm", 300 * LB * G / IN),
        ("300 lb/in", "rate_N_per_mm", 300 * LB * G / IN),
        ("2 kgf/mm", "rate_N_per_mm", 2 * G),
        ("1.2e4 N/m", "rate_N_per_mm", 12.0),
        ("50 ft lbf", "torque_Nm", 50 * 12 * IN / 1000 * LB * G),
        ("50 ft-lb", "torque_Nm", 50 * 12 * IN / 1000 * LB * G),
        ("25 Nm", "torque_Nm", 25.0),
        ("40 lb", "preload_N", 40 * LB * G),
        ("1.8 km/h", "speed_m_s", 0.5),
        ("5 mph", "speed_m_s", 5 * 63360 * IN / 1000 / 3600),
        ("30 deg", "slope_deg", 30.0),
        ("30°", "slope_deg", 30.0),
        ("3.141592653589793 rad", "slope_deg", 180.0),
        ("2 lb/ft", "mass_kg_per_m", 2 * LB / (12 * IN / 1000)),
        ("1000 N s/m", "bump_N_s_per_mm", 1.0),
        ("1000 Ns/m", "bump_N_s_per_mm", 1.0),
        ("57.29577951308232 Nm/deg", "rate_Nm_per_deg", 57.29577951308232),
        ("57.29577951308232 Nm/rad", "rate_Nm_per_deg", 1.0),
        ("2 in2", "link_steel_mm2", 2 * IN**2),
        ("2 cm²", "link_steel_mm2", 200.0),
        ("1.5 kW", "power_W", 1500.0),
        ("0.8 kWh", "energy_Wh", 800.0),
        ("3.6 kJ", "energy_Wh", 1.0),
        ("3000 rpm", "no_load_rpm", 3000.0),
        ("80 mohm", "resistance_ohm", 0.08),
        ("88 mNm/A", "torque_Nm_per_A", 0.088),
        ("120 A", "most_A", 120.0),
        ("36 V", "voltage_V", 36.0),
        ("15 min", "heats_up_s", 900.0),
        ("60 Shore A", "rubber_hardness_irhd", 60.0),
        ("5 kg m2", "pitch_inertia_kg_m2", 5.0),
        ("250 ms", "for_s", 0.25),
    ],
)
def test_a_quantity_in_the_fields_unit(text: str, field: str, value: float) -> None:
    """Against the definitions of inch, pound and standard fall."""
    assert number(text, field) == pytest.approx(value, rel=1e-9)
    assert in_units({field: [text, 3]}) == {field: [number(text, field), 3]}


@pytest.mark.parametrize(
    ("text", "field", "words"),
    [
        ("2 kg", "length_mm", '"2 kg" is a mass; a length is wanted'),
        ("20 mm", "slope_deg", '"20 mm" is a length; an angle is wanted'),
        ("10 %", "slope_deg", '"%" is no unit'),
        ("10 Nm", "rate_Nm_per_deg", '"10 Nm" is a torque; a torsional rate is wanted'),
        ("50 kg", "preload_N", 'a force is written "50 kgf"'),
        ("300 N", "rate_N_per_mm", "is a force; a rate is wanted"),
        ("60 Shore D", "hardness_irhd", '"Shore D" is no unit'),
        ("1,250 lb", "mass_kg", "can be read two ways, 1.250 or 1250"),
        ("3/0 in", "arm_mm", "divides by zero"),
        ("heavy", "mass_kg", 'a number is wanted (it is "heavy")'),
        ("3 " + "m " * 200, "arm_mm", "a number is wanted"),
        ("1e9999 mm", "arm_mm", "no unit"),
    ],
)
def test_what_is_no_such_quantity(text: str, field: str, words: str) -> None:
    """The reason, and the units that would do; the text is left for the message."""
    with pytest.raises(QuantityError) as caught:
        number(text, field)
    assert words in caught.value.text
    assert in_units({field: text}) == {field: text}


def test_every_field_with_a_unit_is_one_that_is_known() -> None:
    """A field that no unit is known for is counted, or a share, or a name."""
    bare = {
        name
        for root in (Vehicle, Course)
        for table in tables(root, set())
        for name, field in table.model_fields.items()
        if _is_dimension(field.annotation) and unit_of(name) is None
    }
    assert bare == {
        "abreast", "bars", "belly_grip", "belly_loss", "blocks", "coils", "count", "efficiency", "end_coils",
        "end_loss", "friction", "full_leaves", "graduated_leaves", "grip", "links", "links_per_tooth",
        "motor_efficiency",
        "pad_loss", "points", "progression", "ratio", "rolling_drag", "rubber_loss", "seed", "teeth",
        "tooth_friction", "usable",
    }  # fmt: skip


def with_units(folder: Path) -> Path:
    """Teasel, some of it as an imperial builder has it."""
    text = TEASEL.read_text(encoding="utf-8")
    mass = tomllib.loads(text)["hull"]["mass_kg"]
    assert f"mass_kg = {mass}" in text
    file = folder / "mine.toml"
    text = text.replace(f"mass_kg = {mass}", f'mass_kg = "{mass / LB!r} lb" # weighed', 1)
    x, y = tomllib.loads(text)["hull"]["seat_mm"]
    assert f"seat_mm = [{x}, {y}]" in text
    file.write_text(text.replace(f"seat_mm = [{x}, {y}]", f'seat_mm = ["{x / IN!r} in", {y}]'), encoding="utf-8")
    return file


def test_a_vehicle_with_units_is_the_same_vehicle(tmp_path: Path) -> None:
    """In fields and in points; what is kept of it has the builder's text, and reloads."""
    file = with_units(tmp_path)
    given = vehicle_input(file, {"bogie.*.arm_mass_kg": "3 lb"})
    want = trundle.load_vehicle("teasel", {"bogie.*.arm_mass_kg": 3 * LB})
    assert given.vehicle.hull == want.hull
    kept = tmp_path / "kept.toml"
    kept.write_text(given.text_as_used(), encoding="utf-8")
    assert 'lb" # weighed' in kept.read_text(encoding="utf-8")
    assert trundle.load_vehicle(kept) == given.vehicle
    here, there = (parse_toml(f.read_text(encoding="utf-8"), "") for f in (TEASEL, file))
    assert differences(here, there) == []


def test_a_course_with_units(tmp_path: Path) -> None:
    """The same for a course, its kept text too."""
    file = tmp_path / "c.toml"
    file.write_text('run_up_mm = "10 ft"\n[[obstacle]]\nkind = "kerb up"\nheight_mm = "4 in"\n', encoding="utf-8")
    made = course_input(file, {"speed_m_s": "1.8 km/h"})
    assert (made.course.run_up_mm, made.course.speed_m_s) == (3048.0, 0.5)
    assert made.course.obstacle[0].height_mm == 101.6
    (tmp_path / "kept.toml").write_text(made.kept().text, encoding="utf-8")
    assert course_input(tmp_path / "kept.toml").course == made.course


@pytest.mark.parametrize(
    ("was", "now", "words"),
    [
        (
            "mass_kg = ",
            'mass_kg = "2 in" # ',
            'hull.mass_kg: "2 in" is a length; a mass is wanted',
        ),
        ("mass_kg = ", "mass_kg = 40 lb # ", 'a number with a unit stands in quotes (allowed: "40 lb", or a number)'),
        ("mass_kg = ", "mass_kg = 12,5 # ", ": a decimal comma (allowed"),
        ("stops = {", "stops = { pad_loss = 0,5,", ": a decimal comma (allowed"),
        ("mass_kg = ", 'mass_kg = ["40 lb"] # ', "a number is wanted"),
    ],
)
def test_a_wrong_one_is_told_with_line_and_field(tmp_path: Path, was: str, now: str, words: str) -> None:
    """One line for it."""
    text = TEASEL.read_text(encoding="utf-8").replace(was, now, 1)
    line = text[: text.index(now)].count("\n") + 1
    file = tmp_path / "a.toml"
    file.write_text(text, encoding="utf-8")
    with pytest.raises(InputError) as caught:
        trundle.load_vehicle(file)
    (said,) = str(caught.value).splitlines()
    assert said.startswith(f"{file}:{line}: ")
    assert words in said


def test_values_and_tolerances_of_a_study() -> None:
    """Lists, ranges and tolerances in any unit; what is wrong with a value is said."""
    assert parse_axis("bogie.*.spring.thickness_mm=1/4 in,5/16 in,7").values == (6.35, 7.9375, 7)
    assert parse_axis("hull.com_mm.1=1 in:2 in:1/2 in").values == (25.4, 38.1, 50.8)
    assert parse_tolerance("bogie.*.arm_mm=1/16 in").amount == 1.5875
    assert parse_tolerance("bogie.*.arm_mm=1,5").amount == 1.5
    assert parse_tolerance("hull.mass_kg=2,5%").amount == 0.025
    for wrong in ("hull.mass_kg=2 in", "hull.mass_kg=-1 lb"):
        with pytest.raises(InputError, match="is not a tolerance"):
            parse_tolerance(wrong)
    with pytest.raises(InputError, match='"2 in" is a length; a mass is wanted'):
        make_plan("teasel", ["kerb-50"], ["hull.mass_kg=300,2 in"])
    said = remarks(make_plan("teasel", ["kerb-50"], ["hull.mass_kg=262,5", "bogie.*.arm_mm=150,160"]))
    assert said == ["note: hull.mass_kg=262,5 are two values; for 262.5 write a point"]


def test_an_option_takes_units_too(capsys: pytest.CaptureFixture[str]) -> None:
    """And a decimal comma; a wrong unit is one line."""
    assert call(capsys, "sheet", "teasel", "--set", "hull.mass_kg=400 lb")[0] == 0
    code, _, err = call(capsys, "sheet", "teasel", "--set", "hull.mass_kg=400 N")
    assert code == 2
    assert err.splitlines() == [
        f'{TEASEL}: hull.mass_kg: "400 N" is a force; a mass is wanted '
        "(allowed: a number of kg, or with its unit, as text: kg, g, t, lb, oz)"
    ]


def test_the_library_is_loaded_only_for_a_unit() -> None:
    """A file of plain numbers does not pay for it."""
    code = (
        "import sys; import trundle; trundle.load_vehicle('teasel', {'hull.mass_kg': %r}); print('pint' in sys.modules)"
    )
    for value, loaded in (('"180"', "False"), ('"400 lb"', "True")):
        done = subprocess.run(
            [sys.executable, "-c", code % value.strip('"')], capture_output=True, text=True, check=True
        )
        assert done.stdout.strip() == loaded
