"""Stress of parts from the force vectors of a run, against hand calculations that know nothing of the code's own.

A cart on four bare wheels, two arms on each of two brackets a side, sprung by slanting coils so that the direction of
the spring's push counts. Its forces are read from the record; all else is written out below, with the formulas of the
handbooks:

- an arm on a pivot, held by a spring whose line of action is known (any textbook of statics);
- bending M / W, direct stress N / A, torsion of a flat T / (a b t2), put together by distortion energy (Shigley);
- a pin on one side F e, a pin between two plates F (b + 4c + 2a) / 8 (EN 1993-1-8 figure 3.11);
- bearing 1.5 fy d t (EN 1993-1-8 table 3.10); shear in two planes to a plate's edge (handbooks of pins, from memory);
- two bolts under a force off their middle: half of it each, and its moment over their distance (Shigley, eccentrically
  loaded joints), against 0.6 fub As / 1.25 (EN 1993-1-8 table 3.4).
"""

from __future__ import annotations

import math
from functools import cache
from pathlib import Path

import numpy as np
import pytest

import trundle
from trundle.errors import InputError
from trundle.model.assembly import Assembly
from trundle.papers.ground import stand_level
from trundle.record.store import read_run
from trundle.result.result import Result
from trundle.spec.reader import parse_toml
from trundle.spec.vehicle import Vehicle, vehicle_from
from trundle.strength.limbs import Instants, in_run
from trundle.strength.margin import least_of
from trundle.strength.margins import margins_at, margins_of, stressed
from trundle.strength.missing import missing, unknown
from trundle.strength.stress import Stressed

G = 9.80665
WHEEL_KG = 3.0

BUILD = """
axle = { thread = "M14", grade = "8.8", held = "one side", side_gap_mm = 2 }
pivot = { thread = "M14", grade = "8.8", held = "both sides", sleeve_mm = 42, gap_mm = 1 }
arm = { kind = "flat", side_mm = 50, thickness_mm = 15, steel = "S355", pivot_from_end_mm = 22, axle_to_end_mm = 24 }
bracket = { plate_mm = 6, length_mm = 150, height_mm = 110, pivots_from_bottom_mm = 26, steel = "S235", \
hull_thread = "M8", hull_grade = "8.8", hull_bolts_apart_mm = 110, hull_bolts_from_top_mm = 18 }
weld = { sleeve_mm = 22, throat_mm = 4 }
"""

BOGIE = """
[bogie.NAME]
kind = "paired arms"
at_mm = [AT, 0]
pivots_apart_mm = 60
arm_mm = 200
arm_mass_kg = 1.0
wheel = "road"
stops = { bump_below_level_deg = -10, droop_below_level_deg = 35, pad_rate_N_per_mm = 400 }
damper = { bump_N_s_per_mm = 0.6 }
spring = { kind = "coil", wire_mm = 8, mean_diameter_mm = 50, coils = 8, free_length_mm = 182, on_arm_mm = 120, \
anchor_mm = [90, 130], steel = "51CrV4" }
"""

CART = f"""
name = "Hand"
[hull]
length_mm = 1400
height_mm = 300
mass_kg = 160
com_mm = [700, 150]
belly_mm = [[0, 0], [1400, 0]]
seat_mm = [650, 300]
[wheel.road]
radius_mm = 130
width_mm = 50
mass_kg = {WHEEL_KG}
abreast = 1
rubber_rate_N_per_mm = 200
[drive]
push_N = 900
speed_m_s = 1.5
brake_N = 900
grip = 0.8
"""


def cart(build: str = BUILD, abreast: int = 1) -> Vehicle:
    """The cart, with its arms made so, and so many wheels in each place."""
    text = CART.replace("abreast = 1", f"abreast = {abreast}")
    for name, at in (("front", 1100), ("rear", 300)):
        text += BOGIE.replace("NAME", name).replace("AT", str(at))
        text += f"[bogie.{name}.build]{build}" if build else ""
    return vehicle_from(parse_toml(text, "hand.toml"))


@cache
def rolled() -> Result:
    """The cart over a kerb."""
    return trundle.run(cart(), "kerb-50", near=1)


def parts_at(row: int) -> dict[tuple[str, str], Stressed]:
    """Every part in one row of the run, by the code."""
    log = rolled().log
    columns = {n: log[n].to_numpy() for n in log.columns}
    at = in_run(rolled().assembly, columns, row, row + 1, 1e-3 * rolled().summary["dt_ms"])
    return {(p.kind, p.name): p for p in stressed(rolled().assembly, at)}


def axle_force_N(arm: str, row: int) -> tuple[float, float]:
    """What a wheel hands on to its arm [N], forward and up: the record's force less m (a + g), a by three places."""
    log, wheel, dt = rolled().log, f"wheel.{arm}", 1e-3 * rolled().summary["dt_ms"]

    def gain(axis: str) -> float:
        before, now, after = (log[f"{wheel}.{axis}_mm"].to_numpy()[row + k] * 1e-3 for k in (-1, 0, 1))
        return float(after - 2 * now + before) / dt**2

    fx, fy = (float(log[f"{wheel}.force_{way}_N"].to_numpy()[row]) for way in ("forward", "up"))
    return fx - WHEEL_KG * gain("x"), fy - WHEEL_KG * (gain("y") + G)


def arm_by_hand(arm: str, row: int) -> dict[str, float]:
    """Stresses [MPa] of what belongs to one arm, and the force on its bracket in the hull's axes [N]."""
    log = rolled().log
    ahead = 1.0 if arm.endswith("fore") else -1.0
    pitch = math.radians(log["hull.pitch_deg"].to_numpy()[row])
    angle = math.radians(log[f"arm.{arm}.angle_deg"].to_numpy()[row])
    fx, fy = axle_force_N(arm, row)
    # Hull axes: turned back by the pitch. Then mirrored for an arm that points back: x from pivot to axle.
    hx, hy = fx * math.cos(pitch) + fy * math.sin(pitch), fy * math.cos(pitch) - fx * math.sin(pitch)
    ox, oy = ahead * hx, hy
    # Places from the pivot [m]: axle, and the coil's two seats.
    axle = 0.2 * math.cos(angle), -0.2 * math.sin(angle)
    low, high = (0.12 * math.cos(angle), -0.12 * math.sin(angle)), (0.09, 0.13)
    length = math.dist(low, high)
    line = (low[0] - high[0]) / length, (low[1] - high[1]) / length
    # The coil's push S along its line balances the moment of the axle's force about the pivot.
    push = -(axle[0] * oy - axle[1] * ox) / (low[0] * line[1] - low[1] * line[0])
    px, py = ox + push * line[0], oy + push * line[1]
    # Along the arm and square to it.
    along, across = ox * math.cos(angle) - oy * math.sin(angle), ox * math.sin(angle) + oy * math.cos(angle)
    p_along, p_across = px * math.cos(angle) - py * math.sin(angle), px * math.sin(angle) + py * math.cos(angle)
    force, pivot = math.hypot(fx, fy), math.hypot(px, py)

    # The arm: flat 15 x 50 on edge. W = b h2/6 upright and sideways; a 50 x 15 flat's torsion: Roark's 3T/(8ab2)(...).
    upright, sideways, area = 0.015 * 0.05**2 / 6, 0.05 * 0.015**2 / 6, 0.015 * 0.05
    outside = abs(across) * (0.2 - 0.12) / upright + abs(along) / area
    inside = abs(p_across) * 0.12 / upright + abs(p_along) / area
    off = 0.002 + 0.5 * 0.05 + 0.5 * 0.015  # half the arm, the washer, half the wheel
    bending = max(outside, inside) + abs(along) * off / sideways
    q = 15 / 50
    twist = abs(across) * off * 3 / (8 * 0.025 * 0.0075**2) * (
        1 + 0.6095 * q + 0.8865 * q**2 - 1.8023 * q**3 + 0.91 * q**4
    )  # fmt: skip
    z14, a14 = math.pi * 0.014**3 / 32, math.pi * 0.014**2 / 4
    axle_bolt = math.hypot(force * (0.002 + 0.025) / z14, math.sqrt(3) * force / a14)
    pivot_bolt = math.hypot(pivot * (0.042 + 4 * 0.001 + 2 * 0.006) / 8 / z14, math.sqrt(3) * pivot / (2 * a14))
    # The plate: the pivot lies 26 mm over its lower edge, 84 under its upper one, 30 mm off its middle.
    bx, by = ahead * px, py
    to_side = (75 - ahead * 30 if bx > 0 else 75 + ahead * 30) / (abs(bx) / pivot)
    to_edge = (84 if by > 0 else 26) / (abs(by) / pivot)
    left = 1e-3 * min(to_side, to_edge) - 0.007
    bearing = pivot / 2 / (0.014 * 0.006) / 1.5
    tearing = math.sqrt(3) * pivot / 2 / (2 * left * 0.006)
    # The sleeve's weld as a line all round 22 mm: 2V / pi d in shear, M / (pi d2/4) in bending, over a 4 mm throat.
    shear, bend = 2 * force / (math.pi * 0.022), force * (0.002 + 0.025) / (math.pi * 0.022**2 / 4)
    found = {
        "arm": math.hypot(bending, math.sqrt(3) * twist),
        "axle bolt": axle_bolt,
        "pivot bolt": pivot_bolt,
        "bracket": max(bearing, tearing),
        "weld": math.hypot(shear, bend) / 0.004,
    }
    return {k: v / 1e6 for k, v in found.items()} | {"bx": bx, "by": by}


def instants() -> tuple[int, int, int]:
    """Where the front wheel pushes hardest backwards, where it is pushed up hardest, and one in passing."""
    log = rolled().log
    back = int(np.argmin(log["wheel.front.fore.force_forward_N"].to_numpy()))
    up = int(np.argmax(log["wheel.front.fore.force_up_N"].to_numpy()))
    return back, up, up + 60


def test_parts_of_an_arm_against_a_hand_calculation_of_three_instants() -> None:
    """Held: 1 %. Both arms of the bracket, at three very different pushes."""
    rows = instants()
    assert len(set(rows)) == 3
    for row in rows:
        found = parts_at(row)
        for arm in ("front.fore", "front.aft"):
            for kind, stress in arm_by_hand(arm, row).items():
                if kind not in ("bx", "by"):
                    assert found[kind, arm].stress_Pa[0] / 1e6 == pytest.approx(stress, rel=1e-2), (kind, arm, row)


def test_hull_bolts_against_a_hand_calculation_of_three_instants() -> None:
    """Two M8 8.8 through each of two plates, 110 mm apart, 110 - 18 - 26 = 66 mm above the pivots. As of M8: 36.6 mm2
    (ISO 898-1)."""
    for row in instants():
        fore, aft = arm_by_hand("front.fore", row), arm_by_hand("front.aft", row)
        x, y = (fore["bx"] + aft["bx"]) / 2, (fore["by"] + aft["by"]) / 2
        moment = (0.03 * (fore["by"] - aft["by"]) + 0.066 * (fore["bx"] + aft["bx"])) / 2
        worst = max(math.hypot(x / 2, y / 2 + sign * moment / 0.11) for sign in (1, -1))
        share = worst / (0.6 * 800e6 * 36.6e-6 / 1.25)
        found = parts_at(row)["hull bolts", "front"]
        assert found.stress_Pa[0] / found.limit_Pa == pytest.approx(share, rel=1e-2)


def test_hull_bolts_hold_pull_alone_too() -> None:
    """EN 1993-1-8 table 3.4: Ft <= Ft,Rd = 0.9 fub As / 1.25 by itself, beside Fv/Fv,Rd + Ft/1.4 Ft,Rd <= 1. A stub
    on one plate (sleeve 150 mm) and bolts 8 mm above the plate's lower edge: pushed down by the arms, it tips about
    that, and the pull rules."""
    text = BUILD.replace('held = "both sides", sleeve_mm = 42', 'held = "one side", sleeve_mm = 150')
    assembly = stand_level(cart(text.replace("hull_bolts_from_top_mm = 18", "hull_bolts_from_top_mm = 102"))).assembly
    found = {(m.kind, m.name): m for m in margins_at(assembly, *two_loads(assembly, 200.0, 600.0))}
    bolts = found["hull bolts", "front"]
    # Both arms upright: the coils' slant cancels fore and aft, and so do the moments of the two pushes.
    up = 2 * 600.0 * (0.2 / 0.12 - 1.0)
    pull = up * (0.001 + 0.075 + 0.003) / (2 * 0.008)
    limit = 0.9 * 800e6 * 36.6e-6 / 1.25
    sheared = up / 2 / (0.6 * 800e6 * 36.6e-6 / 1.25)
    assert pull / limit > sheared + pull / limit / 1.4
    assert bolts.margin == pytest.approx(limit / pull, rel=1e-2)
    assert bolts.where == "tension"
    assert f"{pull:.0f} N tension" in bolts.notes[0]


def two_loads(assembly: Assembly, standing_N: float, worst_N: float) -> tuple[dict[str, float], dict[str, float]]:
    """The same on every wheel."""
    return dict.fromkeys(assembly.wheel, standing_N), dict.fromkeys(assembly.wheel, worst_N)


def test_a_push_along_the_arm_does_not_bend_it_and_across_it_fully() -> None:
    """1 kN either way on a wheel held by a fork: along N / A = 1000 / 750 mm2, across 1000 x 80 mm / W; the coil bears
    it at 120 of 200 mm."""
    assembly = standing_on_forks()
    size, zeros = 1000.0, np.zeros(2)
    force = dict.fromkeys(assembly.wheel, (zeros, zeros))
    force["front.fore"] = np.array([-size, 0.0]), np.array([0.0, size])
    level = dict.fromkeys(assembly.joint, zeros)
    at = Instants(zeros, zeros, level, force, dict.fromkeys(assembly.wheel, zeros))
    parts = {(p.kind, p.name): p for p in stressed(assembly, at)}
    along, across = parts["arm", "front.fore"].stress_Pa
    assert along == pytest.approx(size / (0.015 * 0.05), rel=1e-9)
    # The coil leans: its part along the arm goes through the inner half, with 1000 x 80 mm of bending at its seat.
    lean = (0.12 - 0.09) / 0.13
    assert across == pytest.approx(
        size * 0.08 / (0.015 * 0.05**2 / 6) + size * 0.2 / 0.12 * lean / (0.015 * 0.05), rel=1e-9
    )
    bolt = parts["axle bolt", "front.fore"].stress_Pa
    assert bolt[0] == pytest.approx(bolt[1])
    assert parts["hull bolts", "front"].stress_Pa[0] > 0.0


def test_a_pair_twists_its_arm_only_if_one_wheel_bears_all() -> None:
    """1 kN on each of two wheels 30 mm apart, the flat arm of 15 mm between them: no twist by both alike, 2000 x 80
    mm / W. One alone with the 2 kN of both: as far off as half the gap and half a wheel, 40 mm (Roark's torsion)."""
    text = BUILD.replace('"one side", side_gap_mm = 2', '"between wheels", wheels_apart_mm = 30')
    assembly = stand_level(cart(text, abreast=2)).assembly
    standing, worst = dict.fromkeys(assembly.wheel, 200.0), dict.fromkeys(assembly.wheel, 1000.0)
    [arm] = [m for m in margins_at(assembly, standing, worst) if (m.kind, m.name) == ("arm", "front.fore")]
    upright = 0.015 * 0.05**2 / 6
    lean = (0.12 - 0.09) / 0.13 * 2000 * 0.2 / 0.12 / (0.015 * 0.05)
    even = 2000 * 0.08 / upright + lean
    q = 15 / 50
    twist = 2000 * 0.04 * 3 / (8 * 0.025 * 0.0075**2) * (
        1 + 0.6095 * q + 0.8865 * q**2 - 1.8023 * q**3 + 0.91 * q**4
    )  # fmt: skip
    assert arm.stress_MPa * 1e6 == pytest.approx(even, rel=1e-2)
    assert arm.on_stone is not None
    # Pushed along the arm instead it is bent sideways, 2000 x 40 mm over the 15 mm: which is less or more by a little.
    across = 2000 * 0.04 / (0.05 * 0.015**2 / 6) + 2000 / (0.015 * 0.05)
    told = max(math.hypot(even, math.sqrt(3) * twist), across)
    assert arm.on_stone.stress_MPa * 1e6 == pytest.approx(told, rel=1e-2)
    assert arm.on_stone.margin == pytest.approx(arm.limit_MPa / arm.on_stone.stress_MPa)


def standing_on_forks() -> Assembly:
    """The cart with forks round its wheels, standing level."""
    return stand_level(cart(BUILD.replace('"one side", side_gap_mm = 2', '"both sides"'))).assembly


@pytest.mark.parametrize(("name", "near"), [("barrow", 1e-9), ("wren", 1e-5), ("teasel", 1e-5), ("otter", 1e-5)])
def test_the_vectors_are_all_that_moves_the_vehicle(name: str, near: float) -> None:
    """Newton's second law over a whole run: the forces on all rings, the top run's on its rollers and gravity give
    what hull, arms and wheels gain in momentum. Bare wheels: within rounding; tracked: as closely as the engine's
    pivots hold (an arm thrown on its stop moves off its pivot by a hair, and the bodies' places with it)."""
    result = trundle.run(name, "kerb-50", near=1)
    log, assembly, dt = result.log, result.assembly, 1e-3 * result.summary["dt_ms"]
    v = assembly.model.vehicle[0]
    column = {n: log[n].to_numpy() for n in log.columns}
    assert not column["belly.load_N"].any()
    x, y = [column["hull.x_mm"] * 1e-3], [column["hull.y_mm"] * 1e-3]
    turned = [np.radians(column["hull.pitch_deg"])]
    for j, joint in enumerate(assembly.joint):
        # The pivot in what carries it, and from there to the arm's own centre of mass.
        a, p = v.joint[j], int(v.joint[j].parent)
        angle = turned[p] - a.sign * np.radians(column[f"arm.{joint}.angle_deg"])
        for places, (px, py), (cx, cy) in (
            (x, (a.px, -a.py), (a.cx, -a.cy)), (y, (a.py, a.px), (a.cy, a.cx)),
        ):  # fmt: skip
            pivot = places[p] + np.cos(turned[p]) * px + np.sin(turned[p]) * py
            places.append(pivot - np.cos(angle) * cx - np.sin(angle) * cy)
        turned.append(angle)
    per = (*assembly.per_station, 2.0, 2.0)
    force = [
        sum(n * column[f"{ring}.force_{way}_N"] for n, ring in zip(per, assembly.ring_names, strict=False))
        for way in ("forward", "up")
    ]
    if v.band.on:
        top, c, s = 2.0 * column["track.top_N"], np.cos(turned[0]), np.sin(turned[0])
        force[0] = force[0] + top * (c * v.band.push_x - s * v.band.push_y)
        force[1] = force[1] + top * (s * v.band.push_x + c * v.band.push_y)
    for places, pushed, g in ((x, force[0], 0.0), (y, force[1], G)):
        gains = [(z[2:] - 2.0 * z[1:-1] + z[:-2]) / dt**2 for z in places]
        needed = sum(float(v.body[b].mass) * (gains[b] + g) for b in range(int(v.nb)))
        left = pushed[1:-1] - needed
        assert abs(left.sum()) < near * np.abs(force[1]).sum()
        # Half of all instants to a millionth of the weight, each for itself.
        assert np.median(np.abs(left)) < 1e-6 * assembly.weight_N


def test_margins_of_a_run_are_the_least_of_its_instants() -> None:
    """Each part's margin is its limit over its highest stress of all rows, and its moment is that row."""
    result = rolled()
    log, dt = result.log, 1e-3 * result.summary["dt_ms"]
    columns = {n: log[n].to_numpy() for n in log.columns}
    at = in_run(result.assembly, columns, 0, len(log), dt)
    margins = {(m.kind, m.name): m for m in margins_of(result.assembly, log)}
    for part in stressed(result.assembly, at):
        told = margins[part.kind, part.name]
        row = int(np.argmax(part.stress_Pa))
        assert told.margin == pytest.approx(part.limit_Pa / part.stress_Pa[row])
        assert told.time_s == columns["time_s"][row]
    least = least_of(margins.values())
    assert least is not None
    assert result.summary["least_margin"] == least.margin


def test_stated_loads_push_upright_or_along_the_arm() -> None:
    """600 N on every wheel, 200 standing: the axle bolt has 600 N either way, the bracket the greater of W r/b - W and
    W; hull bolts under W along one arm: W / 4 each and W x 66 mm over 110 mm on two plates."""
    assembly = standing_on_forks()
    each = dict.fromkeys(assembly.wheel, 200.0), dict.fromkeys(assembly.wheel, 600.0)
    found = {(m.kind, m.name): m for m in margins_at(assembly, *each)}
    assert found["axle bolt", "front.fore"].load_N == pytest.approx(600.0)
    bolts = found["hull bolts", "front"]
    along = math.hypot(600 / 4, 600 * 0.066 / 0.11 / 2)
    lean, up = (0.12 - 0.09) / 0.13, 600.0 * (0.2 / 0.12 - 1.0)
    # Both arms upright: the coils' slant pushes fore and aft and cancels, up is shared by four bolts.
    assert bolts.margin == pytest.approx(0.6 * 800e6 * 36.6e-6 / 1.25 / max(along, 2 * up / 4), rel=1e-3)
    pivot = max(600.0, math.hypot(up, 600.0 * 0.2 / 0.12 * lean))
    assert found["pivot bolt", "front.fore"].load_N == pytest.approx(pivot)


def test_a_vehicle_without_build_says_what_to_add() -> None:
    """Its springs are still told; the rest is named with the table that it wants, hull bolts too."""
    result = trundle.run(cart(""), "kerb-50", near=1)
    assert {m.kind for m in margins_of(result.assembly, result.log)} == {"spring"}
    assert result.summary["bolt_margin"] is None
    assert result.summary["least_margin"] == result.summary["spring_margin"]
    lines = missing(result.assembly)
    assert [line.partition(":")[0] for line in lines] == ["front", "rear"]
    assert "[bogie.front.build]" in lines[0]
    bolts = ', hull_thread = "M8", hull_grade = "8.8", hull_bolts_apart_mm = 110, hull_bolts_from_top_mm = 18'
    [front, _] = missing(stand_level(cart(BUILD.replace(bolts, ""))).assembly)
    assert "hull bolts (bracket.hull_thread)" in front
    assert [(u.name, u.path, u.parts[2:]) for u in unknown(result.assembly)] == [
        ("front", "bogie.front.build", ("arms", "brackets")), ("rear", "bogie.rear.build", ("arms", "brackets")),
    ]  # fmt: skip
    # Bolts into the hull and a sleeve's weld are not of every vehicle.
    weld = "weld = { sleeve_mm = 22, throat_mm = 4 }"
    assert unknown(stand_level(cart(BUILD.replace(bolts, "").replace(weld, ""))).assembly) == ()


def test_a_record_without_vectors_is_refused(tmp_path: Path) -> None:
    """Kept by a version that logged none: by number, and where only the table is looked at, in words."""
    result = rolled()
    bare = result.timeline.drop(columns=[c for c in result.timeline.columns if ".force_" in c])
    with pytest.raises(InputError, match=r"kept without the force vectors .* run it again"):
        margins_of(result.assembly, bare)
    folder = result.save(tmp_path / "run")
    bare.to_parquet(folder / "timeline.parquet", index=False)
    with pytest.raises(InputError, match=r"timeline\.parquet: .*run it again"):
        trundle.sheet(cart(), run=folder)
    summary = folder / "summary.json"
    summary.write_text(summary.read_text().replace('"format": 2', '"format": 1'))
    with pytest.raises(InputError, match="is a run of layout 1, this version reads layout 2; run it again"):
        read_run(folder)
