"""What can be read of a refused file: a whole vehicle, what it is refused with, and which values are not its."""

from __future__ import annotations

from pathlib import Path

import pytest

from trundle.bogies import PairedArms
from trundle.errors import InputError
from trundle.spec.readable import Reading, read_anyhow
from trundle.spec.shipped import find, names
from trundle.spec.vehicle import Vehicle, load_vehicle

TEASEL = find("vehicles", "teasel").read_text()


def read(tmp_path: Path, text: str) -> Reading:
    """The file of this text; its problems are held against those of loading it."""
    file = tmp_path / "vehicle.toml"
    file.write_text(text)
    reading = read_anyhow(file)
    with pytest.raises(InputError) as refused:
        load_vehicle(file)
    told = refused.value.problems
    if told[0].field == "like":  # loading stops there
        assert reading.problems[0] == told[0]
    elif "not readable as TOML" in str(refused.value):  # loading stops there, and knows no field
        assert reading.problems[0].line == told[0].line
    else:
        assert reading.problems == told
    return reading


def paths(reading: Reading) -> set[str]:
    return {".".join(map(str, path)) for path in reading.supplied}


@pytest.mark.parametrize("name", names("vehicles"))
def test_a_sound_file_is_read_as_it_is(name: str) -> None:
    reading = read_anyhow(find("vehicles", name))
    assert reading == Reading(load_vehicle(find("vehicles", name)))


def test_a_value_out_of_range_comes_from_the_example(tmp_path: Path) -> None:
    reading = read(tmp_path, TEASEL.replace("mass_kg = 265", "mass_kg = -3"))
    assert paths(reading) == {"hull.mass_kg"}
    assert reading.vehicle.hull.mass_kg == 180.0  # of Hull.EXAMPLE
    assert reading.vehicle.hull.com_mm == (870.0, 250.0)
    assert reading.is_supplied("hull.mass_kg")
    assert not reading.is_supplied("hull.com_mm")


def test_a_missing_length_comes_from_a_bogie_of_the_same_kind(tmp_path: Path) -> None:
    """Also where that stands further down the file; a place is never taken over, two bogies would lie on each other."""
    reading = read(tmp_path, TEASEL.replace("arm_mm = 200\n", "", 1).replace("at_mm = [1524, 0]\n", "", 1))
    front, middle = reading.vehicle.bogie["front"], reading.vehicle.bogie["middle"]
    assert isinstance(front, PairedArms)
    assert front.arm_mm == 200.0
    assert front.at_mm != middle.at_mm
    assert paths(reading) == {"bogie.front.arm_mm", "bogie.front.at_mm"}


def test_a_misspelt_field_is_read_as_what_it_is_meant_for(tmp_path: Path) -> None:
    reading = read(tmp_path, TEASEL.replace("length_mm = 1780", "lenght_mm = 1780"))
    assert reading.refused
    assert reading.vehicle.hull.length_mm == 1780.0
    assert not reading.supplied


def test_a_misspelt_kind_is_the_nearest_one(tmp_path: Path) -> None:
    reading = read(tmp_path, TEASEL.replace('"paired arms"', '"pared arms"', 1))
    assert isinstance(reading.vehicle.bogie["front"], PairedArms)
    assert reading.vehicle.bogie["front"].at_mm == (1524.0, 0.0)


def test_a_line_that_is_no_toml_is_passed_over_and_named(tmp_path: Path) -> None:
    """All that stands below it is read; the field that it was meant for is not told of as missing as well."""
    reading = read(tmp_path, TEASEL.replace("com_mm = [870, 250]", "com_mm = [870 250]"))
    assert [p.field for p in reading.problems] == ["hull.com_mm"]
    assert (
        reading.problems[0].line
        == TEASEL.split("\n").index(next(row for row in TEASEL.split("\n") if row.startswith("com_mm"))) + 1
    )
    assert reading.vehicle.track is not None
    assert reading.vehicle.track.links == 82
    assert reading.is_supplied("hull.com_mm")


def test_a_list_entry_below_a_bad_line_keeps_its_number(tmp_path: Path) -> None:
    text = TEASEL.replace("at_mm = [1279, 210]", "at_mm = 1279, 210]")
    reading = read(tmp_path, text)
    assert [p.field for p in reading.problems] == ["track.roller[2].at_mm"]


@pytest.mark.parametrize(
    ("old", "new", "field"),
    [
        ("belly_mm = [[0, 150], [110, 0]", "belly_mm = [[0, 150], [-5, 0]", "hull.belly_mm"),
        ("teeth = 10", "teeth = 10.5", "track.sprocket.teeth"),
        ("radius_mm = 95", 'radius_mm = "large"', "wheel.road.radius_mm"),
        ("links = 82", "links = 1", "track.links"),
        ("[hull]", "[hul]", "hul"),
        ("bump_below_level_deg = 1, ", "", "bogie.front.stops"),
    ],
)  # fmt: skip
def test_one_fault_leaves_all_the_rest(tmp_path: Path, old: str, new: str, field: str) -> None:
    assert old in TEASEL
    reading = read(tmp_path, TEASEL.replace(old, new, 1))
    assert reading.problems[0].field.startswith(field)
    sound = load_vehicle(find("vehicles", "teasel"))
    assert set(reading.vehicle.bogie) == set(sound.bogie)
    assert reading.vehicle.drive == sound.drive
    assert len(reading.supplied) <= 1


def test_of_a_file_with_nothing_in_it_there_is_the_example(tmp_path: Path) -> None:
    reading = read(tmp_path, "note = 'to be measured'\n")
    assert isinstance(reading.vehicle, Vehicle)
    assert {p.field for p in reading.problems} == {"name", "hull", "wheel", "bogie", "drive"}
    assert paths(reading) == {"name", "hull", "wheel", "bogie", "drive"}


def test_what_is_no_vehicle_at_all_is_refused(tmp_path: Path) -> None:
    for text in ("[[obstacle]]\nkind = 'kerb'\n", "\n".join("{{{" for _ in range(50))):
        file = tmp_path / "other.toml"
        file.write_text(text)
        with pytest.raises(InputError):
            read_anyhow(file)
    with pytest.raises(InputError, match="no such file"):
        read_anyhow(tmp_path / "none.toml")


def test_what_a_file_is_like_is_read_too(tmp_path: Path) -> None:
    """A short file with a fault of its own has the rest from the other; of one that is like nothing its own is read."""
    reading = read(tmp_path, 'like = "teasel"\nname = "Mine"\n[hull]\nmass_kg = -1\n')
    assert [p.field for p in reading.problems] == ["hull.mass_kg"]
    assert reading.vehicle.name == "Mine"
    assert reading.vehicle.bogie == load_vehicle(find("vehicles", "teasel")).bogie
    reading = read(tmp_path, 'like = "nothing"\nname = "Mine"\n[hull]\nlength_mm = 990\n')
    assert reading.problems[0].field == "like"
    assert reading.vehicle.hull.length_mm == 990.0


def test_a_setting_is_read_like_the_file(tmp_path: Path) -> None:
    reading = read_anyhow(find("vehicles", "teasel"), {"bogie.*.arm_mm": -1.0})
    assert {p.field for p in reading.problems} == {"bogie.*.arm_mm (front, middle, rear)"}
    assert reading.vehicle.bogie["rear"].at_mm == (236.0, 0.0)
