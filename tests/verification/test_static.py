"""Standing loads, ride height, tension and idler of every shipped vehicle against statics.py, which has the file alone.

statics.py puts the equilibrium together from the file's millimetres and handbook formulas, minimises the energy and
closes the loop of the track by itself; its docstring names the sources. The single rigs of test_modes_rig.py check
the same for two made-up vehicles and their frequencies; here are the shipped ones, with beams, coils and tracks.

Tolerances: the design page asks for 0.5 mm and 0.5 %. Held here: 0.05 mm, 0.2 % of each wheel's load, 0.01 deg, 0.1 %
of tension, 0.1 mm of the idler's place. What remains is the ground grid under the tyre, 0.5 mm here (on the 5 mm grid
of a run single loads differ by up to 0.5 %), and steps of 0.05 deg in the springs' tables.
"""

from __future__ import annotations

import math
import tomllib
from typing import Any

import numpy as np
import pytest
from rigs import flat
from rigs import ground as ground_of
from statics import MM, Standing

from trundle.engine.standing import stand
from trundle.result.run import ride_height_mm, standing_loads
from trundle.spec.shipped import find, names
from trundle.spec.vehicle import load_vehicle, vehicle_from


def tables(name: str, track: bool) -> dict[str, Any]:
    data = tomllib.loads(find("vehicles", name).read_text(encoding="utf-8"))
    if not track:
        data.pop("track", None)
    else:
        data["track"]["idler"].pop("tensioner", None)  # the solution has none: the idler is bolted
    return data


def compare(data: dict[str, Any]) -> tuple[Standing, float]:
    """Stands both ways and compares all that has a number."""
    own = Standing(data)
    q = own.stand()
    found = stand(vehicle_from(data), flat(8.0, 0.0005))
    assert found.assembly.weight_N == pytest.approx(own.weight, rel=1e-9)
    want, got = own.loads(q), standing_loads(found)
    assert got == pytest.approx(want, rel=0.002)
    height = q[0] + math.tan(q[1]) * data["hull"]["com_mm"][0] * MM
    assert ride_height_mm(found) == pytest.approx(height / MM, abs=0.05)
    assert math.degrees(found.q[2]) == pytest.approx(math.degrees(q[1]), abs=0.01)
    return own, found.state["band.tension_N"]


@pytest.mark.parametrize("name", names("vehicles"))
def test_on_wheels(name: str) -> None:
    """Single arms on bars and on given rates, paired arms with leaf and with coils, beams on arms; track left off."""
    compare(tables(name, False))


def tracked(data: dict[str, Any]) -> None:
    own, tension = compare(data)
    assert tension / 2 == pytest.approx(own.tension(), rel=1e-3)
    idler = stand(vehicle_from(data), flat(8.0, 0.0005)).assembly.idler_mm
    assert idler is not None
    outward = -1.0 if data["track"]["sprocket"]["end"] == "front" else 1.0
    assert outward * (idler[0] - data["track"]["idler"]["at_mm"][0]) == pytest.approx(own.set_out / MM, abs=0.1)


@pytest.mark.parametrize(("name", "sag_mm"), [("teasel", 9.0), ("mole", 12.0), ("wren", 12.0)])
def test_on_the_track(name: str, sag_mm: float) -> None:
    """The tension lifts the outer wheels (Teasel's carry 104 N of 172) and sets the idler.

    Mole and Wren hang deeper than shipped (5 and 3.5 mm): as shipped their end wheels bear so little that loads differ
    by 0.4 % there (Mole, 0.3 N), or the solution's steps find no rest (Wren).
    """
    data = tables(name, True)
    data["track"]["sag_mm"] = sag_mm
    tracked(data)


def test_a_deep_sag_takes_up_its_length() -> None:
    """Teasel hung 40 mm deep: the top run is 8 s^2 / 3 a longer in each span, 16 mm in all, and the idler stands 8 mm
    further in (parabola, from memory; spans of one tension have sags as their lengths squared)."""
    data = tables("teasel", True)
    data["track"]["sag_mm"] = 40
    tracked(data)


def test_beams_on_the_track() -> None:
    """Otter, its middle roller 2 mm up, so that the taut top run bends over it."""
    data = tables("otter", True)
    data["track"]["roller"][1]["at_mm"][1] += 2
    tracked(data)


def test_a_roller_in_line_with_its_neighbours_bears_the_track() -> None:
    """Otter as shipped: three rollers of one height. The longest span that hangs free is 0.63 m, not 1.2 m."""
    tracked(tables("otter", True))


def test_a_wrong_spring_would_be_seen() -> None:
    """Statics with bars 3 % thicker (13 % stiffer) than the program was given: off by five tolerances."""
    data, other = tables("wren", False), tables("wren", False)
    for bogie in other["bogie"].values():
        bogie["spring"]["diameter_mm"] *= 1.03
    a, b = Standing(data), Standing(other)
    assert abs(a.stand()[0] - b.stand()[0]) > 5 * 0.05 * MM


@pytest.mark.parametrize("slope_deg", [-20.0, 20.0])
@pytest.mark.parametrize("name", ["teasel", "barrow"])
def test_stands_on_a_slope_on_its_wheels(name: str, slope_deg: float) -> None:
    """Set down in the middle of a steep ramp it lies along it, clear of its belly; what presses square to the slope
    holds it up (statics: sum of N = W / cos a, nothing holding it along the slope). 2 deg: the springs' give."""
    x = 0.005 * np.arange(2001)
    ground = ground_of(math.tan(math.radians(slope_deg)) * x, 0.005)
    found = stand(load_vehicle(find("vehicles", name)), ground, 4.0)
    work = found.scratch.work[0]
    assert work.belly_N == 0.0
    assert math.degrees(found.q[2]) == pytest.approx(slope_deg, abs=2.0)
    pressed = float(found.rings.load.sum()) + float(work.loop.span_N if found.assembly.vehicle.track else 0.0)
    assert pressed == pytest.approx(found.assembly.weight_N / math.cos(math.radians(slope_deg)), rel=0.01)


@pytest.mark.parametrize("sag_mm", [2.5, 2.7, 2.8, 2.9, 3.0, 3.1, 3.2, 4.0, 6.0])
def test_wren_stands_with_any_sag(sag_mm: float) -> None:
    """Also where its first wheel just touches the ground and forces jump: with no more than 0.3 % out of balance."""
    found = stand(load_vehicle(find("vehicles", "wren"), {"track.sag_mm": sag_mm}), flat(), 0.0)
    assert found.residual_N < 3e-3 * found.assembly.weight_N
