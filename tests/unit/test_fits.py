"""Whether every part can be made and put together: spoiled vehicles have the right remark, shipped ones none.

Geometry is held against plain sums and against points sampled from the outlines themselves.
"""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
from click.testing import CliRunner

from trundle.cli.fits import fits as command
from trundle.making.fits import KINDS, Remark, remarks, unchecked
from trundle.making.fits.case import cases
from trundle.making.fits.common import washers_mm
from trundle.making.fits.outline import Outline, box, disc, room_mm
from trundle.papers.fit_parts import fits_part
from trundle.result.inputs import vehicle_input
from trundle.spec.shipped import names
from trundle.spec.vehicle import Vehicle


def spoiled(name: str, **change: Any) -> Vehicle:
    """A shipped vehicle with fields changed; __ stands for a dot, of all bogies: b__."""
    paths = {k.replace("__", ".").replace("b.", "bogie.*.", 1) if k.startswith("b__") else k.replace("__", "."): v
             for k, v in change.items()}  # fmt: skip
    return vehicle_input(name, paths).vehicle


@pytest.mark.parametrize("name", names("vehicles"))
def test_what_is_shipped_can_be_built(name: str) -> None:
    """No remark at all."""
    assert [str(r) for r in remarks(vehicle_input(name).vehicle)] == []


CANNOT, FOULS, WEARS, SOLD = KINDS
SPOILED: dict[str, tuple[str, dict[str, Any], str, str, str]] = {
    # what: vehicle, change, kind, the field's path below the first bogie (or whole), words with the mm.
    "sleeve too fat for its hole": (
        "teasel", {"b__build__pivot__sleeve_outside_mm": 26, "b__build__arm__pivot_hole_mm": 22},
        CANNOT, "build.arm.pivot_hole_mm", "26 outside, does not pass the arm's hole of 22"),
    "sleeve rattles in its hole": (
        "teasel", {"b__build__arm__pivot_hole_mm": 25}, WEARS, "build.arm.pivot_hole_mm", "3 mm of play"),
    "bolt too fat for its sleeve": (
        "teasel", {"b__build__pivot__sleeve_bore_mm": 15}, CANNOT, "build.pivot.sleeve_bore_mm",
        "1 mm more than the sleeve's bore of 15"),
    "sleeve bored as wide as its bolt": (
        "teasel", {"b__build__pivot__sleeve_bore_mm": 16}, CANNOT, "build.pivot.sleeve_bore_mm", "as wide as the bore"),
    "sleeve wobbles on its bolt": (
        "otter", {"b__build__pivot__sleeve_bore_mm": 21.5}, WEARS, "build.pivot.sleeve_bore_mm", "1.5 mm of play"),
    "sleeve's wall too thin": (
        "teasel", {"b__build__pivot__sleeve_outside_mm": 20}, WEARS, "build.pivot.sleeve_outside_mm",
        "wall is 1.8 mm (20 outside, 16.3 bore)"),
    "axle sleeve without a wall": (
        "otter", {"b__build__weld__sleeve_mm": 16}, CANNOT, "build.weld.sleeve_mm", "no wall round its bore of 16.3"),
    "arm wider than between its plates": (
        "barrow", {"b__build__pivot__sleeve_mm": 36}, CANNOT, "build.pivot.sleeve_mm", "plates 38 apart"),
    "arm's sides rub on its plates": (
        "barrow", {"b__build__pivot__sleeve_mm": 38.4}, FOULS, "build.pivot.sleeve_mm", "turns 0.2 mm from"),
    "beam wider than between its wheels": (
        "otter", {"b__build__axle__wheels_apart_mm": 38}, CANNOT, "build.axle.wheels_apart_mm",
        "40 wide, does not go between wheels 38 apart"),
    "beam's sides rub on the tyres": (
        "otter", {"b__build__axle__wheels_apart_mm": 42}, FOULS, "build.axle.wheels_apart_mm", "1 mm from the tyres"),
    "no room for the sleeve's weld": (
        "teasel", {"b__build__weld__sleeve_length_mm": 46}, FOULS, "build.weld.sleeve_length_mm",
        "sticks 3 mm out of the arm's side, its weld's leg is 4.9"),
    "axle sleeve too short for its arm": (
        "teasel", {"b__build__weld__sleeve_length_mm": 36}, CANNOT, "build.weld.sleeve_length_mm",
        "36 long, does not reach through the arm, 40 wide"),
    "axle sleeve too long for its hubs": (
        "teasel", {"b__build__weld__sleeve_length_mm": 56}, CANNOT, "build.weld.sleeve_length_mm",
        "hubs 54 apart: 1 mm too little on each side"),
    "washers that nobody sells": (
        "teasel", {"b__build__weld__sleeve_length_mm": 50.3}, SOLD, "build.weld.sleeve_length_mm", "1.85 mm on each"),
    "hubs overlap": (
        "teasel", {"wheel__road__hub_width_mm": 100}, CANNOT, "build.axle.wheels_apart_mm", "overlap by 4 mm"),
    "hub too tight for its bolt": (
        "teasel", {"wheel__road__hub_bore_mm": 12}, CANNOT, "wheel.road.hub_bore_mm", "does not pass the hub's bore"),
    "hub loose on its bolt": (
        "teasel", {"wheel__road__hub_bore_mm": 15}, WEARS, "wheel.road.hub_bore_mm", "1 mm of play on its M14"),
    "pivot bolt too short": (
        "teasel", {"b__build__pivot__length_mm": 80}, CANNOT, "build.pivot.length_mm",
        "80 long, is 15.1 mm too short"),
    "axle bolt too short": (
        "teasel", {"b__build__axle__length_mm": 160}, CANNOT, "build.axle.length_mm", "4 mm too short: it grips 143"),
    "pivot bolt's thread where it is bent": (
        "teasel", {"b__build__pivot__length_mm": 100}, WEARS, "build.pivot.length_mm", "62 mm of plain shank"),
    "axle bolt so long that its nut has no thread": (
        "teasel", {"b__build__axle__length_mm": 260}, CANNOT, "build.axle.length_mm", "mm past what it grips"),
    "bolt longer than any sold": (
        "teasel", {"wheel__road__width_mm": 220, "wheel__road__hub_width_mm": 222, "track__width_mm": 520},
        SOLD, "build.axle.thread", "longer than any sold"),
    "pivot hole near the plate's edge": (
        "barrow", {"b__build__bracket__pivots_from_bottom_mm": 15}, WEARS, "build.bracket.pivots_from_bottom_mm",
        "15 mm from the plate's edge"),
    "hull bolts near the plate's top": (
        "barrow", {"b__build__bracket__hull_bolts_from_top_mm": 12}, WEARS, "build.bracket.hull_bolts_from_top_mm",
        "12 mm from the plate's edge"),
    "hull bolts near the plate's ends": (
        "barrow", {"b__build__bracket__length_mm": 80}, WEARS, "build.bracket.length_mm", "10 mm from the plate's end"),
    "arm swings into hull bolts": (
        "barrow", {"b__build__bracket__height_mm": 60}, FOULS, "build.bracket.height_mm", "into the hull bolt's head"),
    "washer wider than the sleeve's end": (
        "barrow", {"b__build__weld__sleeve_mm": 20, "b__build__weld__throat_mm": 1.9}, WEARS, "build.weld.sleeve_mm",
        "hangs 4 mm over the end"),
    "throat too thick for the wall": (
        "barrow", {"b__build__weld__throat_mm": 4}, WEARS, "build.weld.throat_mm", "sleeve's wall of 3.8"),
    "hole runs over the arm's end": (
        "barrow", {"b__build__arm__pivot_from_end_mm": 10}, CANNOT, "build.arm.pivot_from_end_mm",
        "does not lie inside the piece: it runs 1 mm over its end"),
    "too little left at the axle's end": (
        "barrow", {"b__build__arm__axle_to_end_mm": 13}, WEARS, "build.arm.axle_to_end_mm", "leaves 2 mm of steel"),
    "hole wider than the arm": (
        "barrow", {"b__build__arm__holes_from_back_mm": 9}, CANNOT, "build.arm.holes_from_back_mm",
        "runs 2 mm over its edge"),
    "arms of a pair meet": (
        "teasel", {"b__build__arm__pivot_from_end_mm": 22}, FOULS, "build.arm.pivot_from_end_mm",
        "into the other arm with arms 32 deg below level"),
    "wheel meets its bracket": (
        "barrow", {"b__build__axle__side_gap_mm": 4, "b__build__weld__sleeve_length_mm": 46,
                   "b__build__weld__throat_mm": 2}, FOULS, "build.bracket.length_mm", "13 mm into the bracket's plate"),
    "leaf meets the arms": (
        "teasel", {"b__spring__seat_above_pivots_mm": 38}, FOULS, "spring.seat_above_pivots_mm", "inner ends"),
    "leaf's ends have no room": (
        "teasel", {"b__spring__end_room_mm": 1}, FOULS, "spring.end_room_mm", "outwards to full bump and has 1"),
    "leaf wider than between its plates": (
        "teasel", {"b__build__pivot__sleeve_mm": 39.5}, FOULS, "spring.width_mm", "40 wide lies between plates 41.5"),
    "coil's seat inside the arm": (
        "mole", {"b__spring__above_arm_mm": 10}, FOULS, "spring.above_arm_mm", "7.5 mm below the arm's upper face"),
    "coil meets the wheels": (
        "mole", {"b__build__axle__wheels_apart_mm": 50, "b__build__axle__tooth_width_mm": 36,
                 "b__build__weld__sleeve_length_mm": 46}, FOULS, "build.axle.wheels_apart_mm", "56.5 wide"),
    "adjuster beyond its travel": (
        "teasel", {"b__spring__adjuster_mm": -2}, CANNOT, "spring.adjuster_mm", "stands at -2 mm"),
    "tooth too wide": (
        "teasel", {"b__build__axle__tooth_width_mm": 54}, FOULS, "build.axle.wheels_apart_mm", "1 mm on each side"),
    "tooth too high": ("teasel", {"track__tooth_mm": 70}, FOULS, "track.tooth_mm", "into the arm"),
    "wheels wider than the track": (
        "teasel", {"track__width_mm": 120}, WEARS, "track.width_mm", "hang over by 8 mm a side"),
    "tube that is not sold": (
        "otter", {"b__arm__build__arm__side_mm": 51}, SOLD, "arm.build.arm.side_mm", "50 or 60 is sold"),
    "plate that is not sold": (
        "barrow", {"b__build__bracket__plate_mm": 7}, SOLD, "build.bracket.plate_mm", "6 or 8 is sold"),
    "sleeve that is not sold": (
        "wren", {"b__build__pivot__sleeve_outside_mm": 17.3}, SOLD, "build.pivot.sleeve_outside_mm", "17 or 18"),
    "torsion bar that is not sold": (
        "otter", {"b__arm__spring__diameter_mm": 16.7}, SOLD, "arm.spring.diameter_mm", "16.5 or 17 is sold"),
}  # fmt: skip


@pytest.mark.parametrize("what", SPOILED)
def test_a_spoiled_vehicle_has_the_right_remark(what: str) -> None:
    """That one and no other, of all bogies at once, with the field to change and what is wrong in mm."""
    name, change, kind, field, words = SPOILED[what]
    vehicle = spoiled(name, **change)
    [remark] = remarks(vehicle)
    first = next(iter(vehicle.bogie))
    of_bogie = not field.startswith(("wheel.", "track."))
    assert remark.path == (f"bogie.{first}.{field}" if of_bogie else field)
    assert remark.where == (f"bogie.*.{field}" if of_bogie else field)
    assert remark.kind == kind
    assert words in f"{remark.wrong}; {remark.mend}"
    assert remark.mend
    assert remark.bogies == tuple(vehicle.bogie)


def test_there_are_thirty_spoiled_files() -> None:
    """As many as the check is to be held by, and every kind of fault among them."""
    assert len(SPOILED) >= 30
    assert {kind for _, _, kind, _, _ in SPOILED.values()} == set(KINDS)


def test_bogies_too_near_each_other() -> None:
    """Teasel's front bogie 8 mm further back: level arms reach 225 from both middles, wheels of 95 are 190 apart on
    640, so that 636 leave -4 mm (arms at 1 deg: cos takes 0.06)."""
    [remark] = remarks(vehicle_input("teasel", {"bogie.front.at_mm": [1516, 0]}).vehicle)
    assert remark.path == "bogie.middle.at_mm"
    assert "3.9 mm into one of front" in remark.wrong


def test_one_bogie_of_three_is_named() -> None:
    """A fault of one bogie names its field, of two both."""
    one = remarks(vehicle_input("teasel", {"bogie.rear.build.pivot.sleeve_bore_mm": 15}).vehicle)
    assert [r.where for r in one] == ["bogie.rear.build.pivot.sleeve_bore_mm"]
    two = {f"bogie.{n}.build.pivot.sleeve_bore_mm": 15 for n in ("front", "rear")}
    [remark] = remarks(vehicle_input("teasel", two).vehicle)
    assert remark.where == "bogie.*.build.pivot.sleeve_bore_mm (front, rear)"


def test_worst_first() -> None:
    """What cannot be put together comes before what is only not sold."""
    found = remarks(spoiled("barrow", b__build__bracket__plate_mm=7, b__build__pivot__sleeve_mm=36))
    assert [r.kind for r in found] == [CANNOT, SOLD]


def test_what_is_not_given_is_told_with_its_field() -> None:
    """Hubs and tooth of a file that does not say them; a whole table left out."""
    file = vehicle_input("teasel").vehicle
    # What no field has is said of every vehicle: what carries a leaf, where brackets sit across it.
    assert all("no field has it" in line for line in unchecked(file))
    assert any("what carries its seat" in line for line in unchecked(file))
    assert any("torsion bars: how a bar and the pivot's bolt" in x for x in unchecked(vehicle_input("wren").vehicle))
    wheel = file.wheel["road"].model_copy(update={"hub_width_mm": None, "hub_bore_mm": None})
    told = " ".join(unchecked(file.model_copy(update={"wheel": {"road": wheel}})))
    assert "wheel.road.hub_width_mm" in told
    assert "wheel.road.hub_bore_mm" in told
    otter = " ".join(unchecked(vehicle_input("otter").vehicle))
    assert "where beam and arm lie across the vehicle" in otter


# --- the geometry under it ---


def _sampled(outline: Outline, rng: np.random.Generator) -> np.ndarray:
    """Points inside an outline's polygon, its corners and edges among them."""
    p = outline.points
    shares = rng.dirichlet(np.ones(len(p)), 4000)
    edges = [a + t * (b - a) for a, b in zip(p, np.roll(p, -1, axis=0), strict=True) for t in np.linspace(0, 1, 200)]
    return np.concatenate([shares @ p, np.array(edges)])


@pytest.mark.parametrize("seed", range(12))
def test_room_between_outlines_is_that_of_their_points(seed: int) -> None:
    """Of turned rectangles and discs clear of each other: the least distance of sampled points, to 1.5 mm. Overlapping
    ones: moved clear by what is told along some direction, they touch and no more."""
    rng = np.random.default_rng(seed)
    a = box(-20.0, -10.0, 60.0, 10.0).moved(rng.uniform(0, 6), *rng.uniform(-40, 40, 2))
    b = box(-30.0, -15.0, 20.0, 15.0).moved(rng.uniform(0, 6), *rng.uniform(-90, 90, 2))
    c = disc(*rng.uniform(-90, 90, 2), 12.0)
    for one, other in ((a, b), (a, c), (b, c)):
        room = room_mm(one, other)
        assert room == pytest.approx(room_mm(other, one), abs=1e-9)
        points, others = _sampled(one, rng)[::3], _sampled(other, rng)[::3]
        apart = np.hypot(*(points[:, None, :] - others[None, :, :]).transpose(2, 0, 1)).min() - other.round_mm
        if room > 0.0:
            assert room - 1e-6 <= apart < room + 1.5
            continue
        assert apart < 1.5
        ways = [np.array([np.cos(t), np.sin(t)]) for t in np.linspace(0, 2 * np.pi, 721)]
        clear = [room_mm(one, other.moved(0.0, *(w * (-room + 1e-6)))) for w in ways]
        assert max(clear) == pytest.approx(0.0, abs=0.05)


def test_arms_of_a_pair_by_hand() -> None:
    """Inner ends of Teasel's arms, 32 deg down: the lower corner stands e cos a + h sin a from its pivot, twice that
    against 50 between the pivots."""
    e, h, a = 22.0, 20.0, math.radians(32.0)
    into = 2.0 * (e * math.cos(a) + h * math.sin(a)) - 50.0
    # Both corners meet at one height, so the way apart is along the hull or up, whichever is less.
    [remark] = remarks(spoiled("teasel", b__build__arm__pivot_from_end_mm=e))
    told = float(remark.wrong.split(" mm into")[0].rsplit(" ", 1)[1])
    assert 0.0 < told <= into + 0.05


def test_wheel_and_bracket_by_hand() -> None:
    """Barrow's wheel of 160 at droop, 105 below its pivot on a 200 arm; the plate's lower corner at (45, -28)."""
    x = math.sqrt(200.0**2 - 105.0**2)
    into = 160.0 - math.hypot(x - 45.0, 105.0 - 28.0)
    _, change, *_ = SPOILED["wheel meets its bracket"][0:2]
    [remark] = remarks(spoiled("barrow", **SPOILED["wheel meets its bracket"][1]))
    assert f"{into:.0f} mm into" in remark.wrong or f"{into:.1f} mm into" in remark.wrong
    assert change


def test_washers_that_fill_a_gap() -> None:
    """M12: plain washers are 2.5; shims of 0.1 to 3 mm (ISO 7089, DIN 988, from memory)."""
    for gap in (0.5, 1.0, 2.5, 5.0, 7.5, 3.5, 0.3):
        assert washers_mm("M12", gap)
    for gap in (0.05, 1.87, 0.77):
        assert not washers_mm("M12", gap)


def test_a_remark_says_where_what_and_how() -> None:
    """As it is printed."""
    remark = Remark(CANNOT, "bogie.a.x", "it is 3 mm too long", "7 or less", ("a", "b"), everywhere=True)
    assert str(remark) == "bogie.*.x: it is 3 mm too long; 7 or less"


def test_every_bogie_with_a_build_is_looked_at() -> None:
    """Otter's beams and the arms under them."""
    looked = [(c.bogie_name, c.member.what) for c in cases(vehicle_input("otter").vehicle)]
    assert looked == [(n, w) for n in ("one", "two", "three", "four") for w in ("beam", "arm")]


def test_the_command_ends_with_1_where_anything_was_found() -> None:
    """Also where it fouls only."""
    good = CliRunner().invoke(command, ["teasel"])
    assert good.exit_code == 0, good.output
    fouls = CliRunner().invoke(command, ["teasel", "--set", "bogie.*.build.axle.tooth_width_mm=70"])
    assert fouls.exit_code == 1
    assert "foul" in fouls.output.lower()


def test_nothing_is_said_to_be_checked_where_nothing_is_given() -> None:
    """A vehicle that does not say how it is made."""
    file = vehicle_input("teasel").vehicle
    bare = {name: bogie.model_copy(update={"build": None}) for name, bogie in file.bogie.items()}
    part = fits_part(file.model_copy(update={"bogie": bare}))
    assert part.intro == "Nothing says how it is made: nothing was checked."
    assert not any(line.startswith("Checked") for line in part.lines)
