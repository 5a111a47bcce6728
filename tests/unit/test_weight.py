"""The hull's mass, given as its own or as that of the whole vehicle; what its parts weigh."""

from __future__ import annotations

from pathlib import Path

import pytest
from record_parts import assembled
from test_cli_refusals import call

import trundle
from trundle.errors import InputError
from trundle.papers.document import whole_sheet
from trundle.papers.standing import changed
from trundle.result.inputs import vehicle_input
from trundle.spec.doubts import doubts
from trundle.spec.shipped import find, names
from trundle.spec.weight import weight_of


@pytest.mark.parametrize("name", names("vehicles"))
def test_parts_and_hull_are_the_vehicle(name: str) -> None:
    """Against the sum of the bodies that the engine moves; from all_up_kg the hull's own mass comes back."""
    vehicle = trundle.load_vehicle(name)
    whole = assembled(vehicle).mass_kg
    assert vehicle.hull.mass_kg + weight_of(vehicle).parts_kg == pytest.approx(whole, rel=1e-12)
    again = trundle.load_vehicle(name, {"hull.all_up_kg": whole})
    assert again.hull.mass_kg == pytest.approx(vehicle.hull.mass_kg, rel=1e-12)
    assert assembled(again).mass_kg == pytest.approx(whole, rel=1e-12)


def test_teasels_wheels_by_hand() -> None:
    """Three bogies of two stations, two abreast, both sides: 24 wheels; 12 arms."""
    vehicle = trundle.load_vehicle("teasel")
    weight = weight_of(vehicle)
    track = vehicle.track
    assert track is not None
    assert (weight.wheels, weight.wheels_kg) == (24, pytest.approx(24 * vehicle.wheel["road"].mass_kg))
    assert weight.arms_kg == pytest.approx(12 * vehicle.bogie["front"].model_dump()["arm_mass_kg"])
    assert weight.tracks_kg == pytest.approx(2 * track.links * track.pitch_mm / 1000 * track.mass_kg_per_m)


def test_the_mass_is_given_once(tmp_path: Path) -> None:
    """Both or none is refused with both named; an option takes the place of what the file has."""
    text = find("vehicles", "teasel").read_text(encoding="utf-8")
    file = tmp_path / "a.toml"
    for now in ("mass_kg = 265\nall_up_kg = 400 # ", "# "):
        file.write_text(text.replace("mass_kg = 265", now, 1), encoding="utf-8")
        with pytest.raises(InputError) as caught:
            trundle.load_vehicle(file)
        (problem,) = caught.value.problems
        assert problem.field == "hull.mass_kg"
        assert "give the mass once: mass_kg (of the hull with riders" in problem.problem
        assert "or all_up_kg (of the whole vehicle" in problem.problem
    file.write_text(text.replace("mass_kg = 265", "all_up_kg = 380", 1), encoding="utf-8")
    assert trundle.load_vehicle(file, {"hull.mass_kg": 265}) == trundle.load_vehicle("teasel")
    with pytest.raises(InputError, match="give the mass once"):
        trundle.load_vehicle("teasel", {"hull.mass_kg": 265, "hull.all_up_kg": 380})


def test_what_is_kept_has_the_mass_as_it_was_given(tmp_path: Path) -> None:
    """A kept file, a dump with one field changed, and an option on top of a kept one."""
    given = vehicle_input("teasel", {"hull.all_up_kg": 380})
    kept = tmp_path / "vehicle.toml"
    kept.write_text(given.text_as_used(), encoding="utf-8")
    assert "\nall_up_kg = 380" in kept.read_text(encoding="utf-8")
    assert "\nmass_kg = 265" not in kept.read_text(encoding="utf-8")
    assert trundle.load_vehicle(kept) == given.vehicle
    lighter = changed(given.vehicle, "bogie.*.arm_mass_kg", 1.0)
    assert lighter.hull.all_up_kg == 380
    assert lighter.hull.mass_kg == pytest.approx(380 - weight_of(lighter).parts_kg)
    plain = vehicle_input(given.vehicle).text_as_used()
    assert trundle.load_vehicle(_written(tmp_path / "b.toml", plain)) == given.vehicle


def _written(file: Path, text: str) -> Path:
    file.write_text(text, encoding="utf-8")
    return file


@pytest.mark.parametrize(
    ("all_up", "words"),
    [
        (90, "all_up_kg is 90, but arms "),
        (120, "it is part of mass_kg, which is "),
    ],
)
def test_too_little_is_left_for_the_hull(all_up: float, words: str) -> None:
    """What arms, wheels and tracks weigh is told; a rider does not weigh more than the hull that he is part of."""
    with pytest.raises(InputError) as caught:
        trundle.load_vehicle("teasel", {"hull.all_up_kg": all_up, "hull.seat_kg": 75})
    (problem,) = caught.value.problems
    assert words in problem.problem
    assert problem.field == ("hull.all_up_kg" if all_up == 90 else "hull.seat_kg")


def test_the_sheet_says_what_the_hull_weighs(capsys: pytest.CaptureFixture[str]) -> None:
    """So that 180 kg all up, written as the hull's, is seen; and how many wheels that is."""
    document = whole_sheet(trundle.load_vehicle("teasel"), "teasel").document
    rows = [row for part in document.parts for table in part.tables for row in table.rows]
    (row,) = [r for r in rows if r[0] == "of that the hull"]
    assert row[1] == "265 kg"
    assert row[2].startswith("hull.mass_kg; the rest: arms ")
    assert ", 24 wheels " in row[2]


def test_wheels_abreast_that_are_assumed_are_said(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """On the sheet, and by the run's command; of parts that weigh as much as the hull too."""
    text = find("vehicles", "teasel").read_text(encoding="utf-8")
    file = _written(tmp_path / "a.toml", text.replace("\nabreast = ", "\n# ", 1))
    said = "wheel.road.abreast: left out: two wheels abreast on each side are assumed, 24 wheels in all"
    assert said in doubts(trundle.load_vehicle(file))
    assert f"is this right? {said}" in " ".join(call(capsys, "sheet", str(file))[1].split())
    heavy = trundle.load_vehicle("teasel", {"track.mass_kg_per_m": 40})
    assert any("one metre of one track" in doubt and "hull.mass_kg" in doubt for doubt in doubts(heavy))
