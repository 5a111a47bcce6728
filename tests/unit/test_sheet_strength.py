"""Strength checks against the formulas written out by hand, and what the file may say."""

from __future__ import annotations

import json
import math
from pathlib import Path

import pytest
from sheet_parts import built, teasel_data

import trundle
from trundle.errors import InputError
from trundle.papers.ground import stand_level
from trundle.papers.loads import WorstLoads, by_factor, from_run
from trundle.papers.pressure import mean_maximum_Pa, nominal_Pa
from trundle.papers.standing import standing_sheet
from trundle.papers.strength import strength
from trundle.spec.vehicle import Vehicle, vehicle_from
from trundle.steel.fatigue import pin_alternating, pin_endurance
from trundle.strength.margin import PartMargin


def checks_at(vehicle: Vehicle, worst_N: float) -> dict[str, PartMargin]:
    """Checks with every wheel at one worst load and a quarter of it standing; by the part's first words."""
    at = stand_level(vehicle)
    names = at.assembly.wheel
    loads = WorstLoads(dict.fromkeys(names, worst_N / 4), dict.fromkeys(names, worst_N), "test", False)
    return {" ".join(c.title.split()[:2]).rstrip(","): c for c in strength(at.assembly, loads)}


def test_axle_between_wheels_is_a_cantilever() -> None:
    """One wheel, F e: e = (44 - 40)/2 + 40/2 = 22 mm; M12 Z = pi d^3/32; bending and shear by distortion
    energy (pin formulas: Shigley). Made alike, three bogies are checked once."""
    check = checks_at(built(), 1000.0)["axle bolt"]
    bending = 1000 * 0.022 / (math.pi * 0.012**3 / 32)
    shear = 1000 / (math.pi * 0.012**2 / 4)
    assert check.load_N == 1000.0
    assert check.stress_MPa == pytest.approx(math.hypot(bending, math.sqrt(3) * shear) / 1e6, rel=1e-9)
    assert check.limit_MPa == 640.0
    assert check.margin == pytest.approx(640.0 / check.stress_MPa)


def test_axle_held_otherwise() -> None:
    """One side: both wheels at 2 + 124/2 = 64 mm. Both sides: F L/4 with L = 124 + 4."""
    one = checks_at(built(**{"bogie__*__build__axle__held": "one side"}), 1000.0)["axle bolt"]
    two = checks_at(built(**{"bogie__*__build__axle__held": "both sides"}), 1000.0)["axle bolt"]
    z, area = math.pi * 0.012**3 / 32, math.pi * 0.012**2 / 4
    assert one.stress_MPa * 1e6 == pytest.approx(math.hypot(2000 * 0.064 / z, math.sqrt(3) * 2000 / area))
    assert two.stress_MPa * 1e6 == pytest.approx(math.hypot(2000 * 0.128 / 4 / z, math.sqrt(3) * 1000 / area))


def test_threads_in_the_bend_are_flagged_and_weaker() -> None:
    """On the root the bending stress grows by (d/root)^3 (check value for 1/2-13: 1.873)."""
    plain = checks_at(built(), 1000.0)["axle bolt"]
    cut = checks_at(built(**{"bogie__*__build__axle__threads_in_bend": True}), 1000.0)["axle bolt"]
    assert cut.stress_MPa > 1.7 * plain.stress_MPa
    assert any("threads" in n for n in cut.notes)
    assert cut.endurance is not None
    assert plain.endurance is not None
    assert cut.endurance < plain.endurance


def test_clevis_pivot() -> None:
    """EN 1993-1-8 figure 3.11: M = F (b + 4c + 2a)/8 with a 8, b 42, c 1; F the whole axle load."""
    check = checks_at(built(), 1000.0)["pivot bolt"]
    bending = 2000 * (0.042 + 0.004 + 0.016) / 8 / (math.pi * 0.014**3 / 32)
    shear = 2000 / 2 / (math.pi * 0.014**2 / 4)
    assert check.stress_MPa * 1e6 == pytest.approx(math.hypot(bending, math.sqrt(3) * shear))


def test_open_channel_is_flagged() -> None:
    """An open channel is told to twist; the whole tube is not, and is many times stiffer."""
    channel = checks_at(built(), 1000.0)
    tube = checks_at(built(**{"bogie__*__build__arm__kind": "square tube"}), 1000.0)
    [open_] = [c for n, c in channel.items() if n.startswith("arm")]
    [whole] = [c for n, c in tube.items() if n.startswith("arm")]
    assert open_.on_stone is not None
    assert whole.on_stone is not None
    assert any("open channel" in n for n in open_.on_stone.notes)
    assert not any("open channel" in n for n in (*whole.notes, *whole.on_stone.notes, *open_.notes))
    assert whole.on_stone.margin > 2.0 * open_.on_stone.margin
    assert whole.margin > open_.margin


def test_pin_endurance_figures() -> None:
    """VDI 2230: 0.85 (150/12 + 45) = 48.9 MPa in an M12 thread; shank 0.35 Rm (from memory)."""
    assert pin_alternating(800e6, 0.012, True) == pytest.approx(48.875e6)
    assert pin_alternating(800e6, 0.012, False) == pytest.approx(280e6)
    assert pin_endurance(800e6, 0.012, False, 0.0, 400e6) == pytest.approx(280 * 0.75 / 200)
    assert pin_endurance(800e6, 0.012, False, 50e6, 50e6) == math.inf


def test_ground_pressure() -> None:
    """Check values: 300 kg, b 0.15, l 0.9 -> 10.896 kPa; five wheels of 0.15, pitch 0.08, A 0.9 -> 25.07 kPa
    (Rowland 1972)."""
    weight = 300 * 9.80665
    assert nominal_Pa(weight, 0.15, 0.9) == pytest.approx(10.896e3, rel=1e-3)
    assert mean_maximum_Pa(weight, 5, 0.15, 0.08, 0.15, 0.9) == pytest.approx(25.07e3, rel=1e-3)


def test_worst_of_a_run(tmp_path: Path) -> None:
    """peak_wheel_load_N of the summary is taken as it stands; another vehicle's is refused, both named."""
    sheet = standing_sheet(built(), adjusters=False)
    names = [w.name for w in sheet.wheels]
    peaks = {n: 900.0 + i for i, n in enumerate(names)}
    (tmp_path / "summary.json").write_text(json.dumps({"peak_wheel_load_N": peaks}))
    loads = from_run(sheet, tmp_path)
    assert loads.worst_N == peaks
    assert loads.from_run
    by_wheel = {n: {"peak_N": f, "off_s": 0.0} for n, f in peaks.items()}
    (tmp_path / "summary.json").write_text(json.dumps({"peak_wheel_load_N": 905.0, "wheels": by_wheel}))
    assert from_run(sheet, tmp_path).worst_N == peaks
    assert by_factor(sheet, 2.0).worst_N[names[0]] == pytest.approx(2.0 * sheet.wheels[0].load_N)
    (tmp_path / "summary.json").write_text(json.dumps({"peak_wheel_load_N": {"left": 1.0}}))
    with pytest.raises(InputError, match=r"left.*front\.fore"):
        from_run(sheet, tmp_path)
    (tmp_path / "summary.json").write_text("{")
    with pytest.raises(InputError, match="cannot be read"):
        from_run(sheet, tmp_path)
    with pytest.raises(InputError, match=r"no summary\.json"):
        from_run(sheet, tmp_path / "nowhere")


@pytest.mark.parametrize(
    ("path", "value", "said"),
    [
        ("bogie.front.build.axle.grade", "9.9", r"unknown bolt class.*8\.8.*10\.9"),
        ("bogie.front.build.axle.thread", "M13", "unknown thread.*M12"),
        ("bogie.front.build.arm.steel", "S999", "unknown steel.*S235"),
        ("bogie.front.build.arm.side_mm", -40.0, "side_mm"),
        ("bogie.front.build.arm.thickness_mm", 0.0, "thickness_mm"),
        ("bogie.front.build.arm.holes_from_back_mm", 70.0, "off the 40 mm section"),
        ("bogie.front.build.bracket.pivots_from_bottom_mm", 300.0, "above the plate"),
        (
            "bogie.front.build.bracket.pivots_from_bottom_mm",
            6.0,
            r"M14 pivot runs over.*above 7, below",
        ),
        ("bogie.front.build.bracket.pivots_from_bottom_mm", 104.0, r"runs over the plate's edge.*below 103"),
        ("bogie.front.pivots_apart_mm", 140.0, r"bracket.length_mm.*runs over the plate.s end.*above 154"),
        ("bogie.front.build.bracket.hull_bolts_apart_mm", 300.0, "wider than the plate"),
    ],
)
def test_wrong_build(path: str, value: object, said: str) -> None:
    """One clear message that names the field's trouble and the known names."""
    with pytest.raises(InputError, match=said):
        vehicle_from(teasel_data(), {path: value})


def test_a_bolt_too_thick_for_its_class() -> None:
    """A grade without figures for the size is refused when it is used."""
    vehicle = built(**{"bogie__*__build__axle__thread": "UNC 1", "bogie__*__build__axle__grade": "grade 5"})
    assert checks_at(vehicle, 1000.0)["axle bolt"].limit_MPa == 634.0


def test_springs_that_cannot_carry() -> None:
    """A leaf a tenth as wide leaves every arm on its bump stop: refused, with how much is missing."""
    with pytest.raises(InputError, match=r"cannot carry the hull.*%"):
        standing_sheet(built(**{"bogie__*__spring__width_mm": 4.0}), adjusters=False)


def test_a_run_of_another_vehicle_is_refused_and_an_older_one_said(tmp_path: Path) -> None:
    """By what the run folder keeps: its name and parts must be the same; a changed figure is told."""
    run = trundle.run("teasel", "kerb-50").save(tmp_path / "run")
    with pytest.raises(InputError, match='is a run of "Teasel", and this is the sheet of "Otter"'):
        trundle.sheet("otter", run=run)
    heavy = trundle.load_vehicle("teasel", {"hull.mass_kg": 90})
    assert "the vehicle has changed (hull.mass_kg" in str(trundle.sheet(heavy, run=run))
    assert "the vehicle has changed" not in str(trundle.sheet("teasel", run=run))
    alike = trundle.load_vehicle("teasel", {"name": "Twin"})
    with pytest.raises(InputError, match='is a run of "Teasel", and this is the sheet of "Twin"'):
        trundle.sheet(alike, run=run / "summary.json")
