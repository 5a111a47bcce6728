"""Invented vehicles and courses: as many as wanted, the same for the same seed, and none of them a shipped one.

A rule or figure that was adjusted on the shipped vehicles has to hold on these too. Size, bogies, springs, wheels,
track and drive are drawn within what home workshops build (30 to 600 kg); each spring is then set, by the field of its
kind that sets it, to carry its share of the weight with its arm a little above the middle of its travel.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable
from random import Random
from typing import Any

import numpy as np
from pydantic import TypeAdapter, ValidationError

from trundle.engine.simulate import at_start
from trundle.errors import InputError
from trundle.spec.course import Course
from trundle.spec.vehicle import Vehicle, vehicle_from
from trundle.springs import Arm, Mount, SpringKind
from trundle.terrain.ground import lay
from trundle.units import DEG, MM, G

Table = dict[str, Any]

BOGIES = ("single arm", "paired arms", "walking beam", "bare beam")
SPRINGS = (
    "pivot rate", "axle rate", "torsion bar", "coil", "leaf", "rubber block", "gas strut", "spring and damper",
    "leaf across",
)  # fmt: skip
"""All kinds that a file may name; a bare beam rocks on the hull without a spring."""

TRIES = 40
"""Vehicles drawn for one seed until one stands."""

_SPRING: TypeAdapter[Any] = TypeAdapter(SpringKind)
_OVERRUN = 15.0 * DEG


def vehicle(seed: int, tracked: bool | None = None) -> Vehicle:
    """A vehicle that stands and drives. Any whole number is a seed; tracked: with or without a track (None: four of
    five have one). Seeds that follow each other go through all kinds of bogie and spring."""
    dice = Random(seed)
    track = dice.random() < 0.8 if tracked is None else tracked
    refused: InputError | None = None
    for _ in range(TRIES):
        try:
            made = vehicle_from(tables(dice, seed, track))
            at_start(made, lay(_LEVEL))
        except InputError as e:
            refused = e
            continue
        return made
    raise AssertionError(f"no vehicle of seed {seed} stands: {refused}")


COURSES = ("kerb", "half-round", "sleepers", "ditch", "ripples", "rough", "kerb down")
"""What `course` lays, in turn."""


def course(seed: int, over: Vehicle) -> Course:
    """A course that a vehicle of this size has to work on but ought to manage: sizes to the millimetre, on no grid."""
    dice = Random(f"course {seed}")
    wheel = over.wheel["road"].radius_mm + (over.track.thickness_mm if over.track else 0.0)
    long = over.hull.length_mm

    def mm(low: float, high: float) -> int:
        return round(dice.uniform(low, high))

    high = mm(0.5 * wheel, 1.0 * wheel)
    obstacles: dict[str, Table] = {
        "kerb": {"kind": "kerb up", "height_mm": high},
        "half-round": {"kind": "half-round", "radius_mm": mm(0.4 * wheel, 0.9 * wheel)},
        "sleepers": {"kind": "sleepers", "height_mm": mm(0.4 * wheel, 0.8 * wheel), "width_mm": mm(150, 260),
                     "pitch_mm": mm(500, 900), "count": 3},
        "ditch": {"kind": "trench", "bottom_mm": mm(0.2 * long, 0.35 * long), "depth_mm": mm(wheel, 2 * wheel)},
        "ripples": {"kind": "ripples", "height_mm": mm(0.2 * wheel, 0.5 * wheel), "wavelength_mm": mm(0.6 * long, long),
                    "count": 4},
        "rough": {"kind": "rough ground", "iso_class": dice.choice(["D", "E"]), "length_mm": 5000, "seed": seed},
        "kerb down": {"kind": "kerb down", "height_mm": high},
    }  # fmt: skip
    name = COURSES[seed % len(COURSES)]
    table = {"name": name, "run_up_mm": round(1.5 * long + 500), "run_out_mm": round(1.5 * long + 1500)}
    return Course.model_validate({**table, "obstacle": [obstacles[name]]})


_LEVEL = Course.model_validate({"run_up_mm": 4000, "obstacle": [{"kind": "flat", "length_mm": 1000}]})


def tables(dice: Random, seed: int, track: bool) -> Table:
    """The tables of a vehicle file. seed: its bogie and spring kinds follow from it."""
    bogie = BOGIES[seed % len(BOGIES)]
    spring = SPRINGS[(seed // len(BOGIES) + seed) % len(SPRINGS)]
    if spring == "leaf across":
        bogie = "paired arms"
    mass = 30.0 * 20.0 ** dice.random()
    size = (mass / 250.0) ** (1.0 / 3.0)  # bodies alike: lengths go with the cube root of mass
    wheel_r = round(max(40.0, 85.0 * size * dice.uniform(0.85, 1.2)) * (1.0 if track else 1.4))
    arm = round(max(70.0, 150.0 * size * dice.uniform(0.85, 1.2)))
    apart = round(2.0 * wheel_r + dice.uniform(15, 60))
    pivots = round(40.0 * size + 10.0)
    stations, pitch = _stations(dice, bogie, wheel_r, arm, pivots, apart, track)
    first = round(wheel_r + dice.uniform(20, 60))
    length = round(2 * first + (stations - 1) * pitch)
    # Of one station, one side, with a quarter of the hull's mass more for arms, wheels and track [N].
    load = 1.25 * mass * G / (2.0 * stations * (2 if bogie != "single arm" else 1))
    bump, droop = dice.uniform(-2, 8), dice.uniform(30, 38)
    file: Table = {
        "name": f"Invented {seed}",
        "hull": _hull(dice, mass, length, size),
        "wheel": {"road": _wheel(dice, wheel_r, mass, load, track)},
        "bogie": {},
        "drive": _drive(dice, mass, wheel_r),
    }
    share = load * (2.0 if bogie == "walking beam" else 1.0)
    sprung: Table | None = None
    if bogie != "bare beam":
        sprung = {
            "arm_mm": arm,
            "arm_mass_kg": round(max(0.3, 1.5 * size**3 * dice.uniform(0.7, 1.4)), 2),
            "pivot_friction_Nm": round(dice.choice([0.0, 0.5, 1.5]) * size**3, 2),
            "stops": {"bump_below_level_deg": round(bump, 1), "droop_below_level_deg": round(droop, 1),
                      "pad_rate_N_per_mm": round(share / dice.uniform(1.5, 4.0), 1), "pad_loss": 0.5},
            "damper": _damper(dice, share, arm),
        }  # fmt: skip
        sprung["spring"] = _set(dice, spring, arm, bump, droop, share, pivots if bogie == "paired arms" else 0.0)
    # The ends' arms of a paired bogie reach as far to both sides; of a trailing arm the wheel stands behind its pivot.
    for k in range(stations):
        at = round(length - first - k * pitch)
        file["bogie"][f"n{k + 1}"] = _bogie(dice, bogie, sprung, at, apart, pivots, arm, size, wheel_r)
    if track:
        _add_track(dice, file, bogie, wheel_r, arm, apart, pivots, length, first, mass, size, droop, bump)
    return file


def _stations(
    dice: Random, bogie: str, wheel_r: float, arm: float, pivots: float, apart: float, track: bool
) -> tuple[int, float]:
    """How many bogies in a row, and how far apart [mm]."""
    if bogie == "single arm":
        return (dice.randint(3, 5) if track else 2), round(2.0 * wheel_r + dice.uniform(15, 70) + (0 if track else 300))
    if bogie == "paired arms":
        return 2 if not track else dice.choice([2, 3]), round(2.0 * (0.95 * arm + 0.5 * pivots + wheel_r) + 15)
    return 2, round(apart + 2.0 * wheel_r + dice.uniform(20, 60))


def _hull(dice: Random, mass: float, length: float, size: float) -> Table:
    height = round(450.0 * size)
    nose, up = round(0.1 * length), round(140.0 * size)
    return {
        "mass_kg": round(mass, 1),
        "com_mm": [round(length * dice.uniform(0.44, 0.56)), round(height * dice.uniform(0.3, 0.5))],
        "length_mm": length,
        "height_mm": height,
        "belly_mm": [[0, up], [nose, 0], [length - nose, 0], [length, up]],
        "seat_mm": [round(length * dice.uniform(0.35, 0.6)), round(0.6 * height)],
    }


def _wheel(dice: Random, radius: float, mass: float, load: float, track: bool) -> Table:
    abreast = 2 if track and mass > 60.0 else 1
    return {
        "radius_mm": radius,
        "width_mm": round(0.45 * radius),
        "mass_kg": round(max(0.2, 2.6e-6 * radius**3 * dice.uniform(0.7, 1.3)), 2),
        "abreast": abreast,
        "rubber_rate_N_per_mm": round(max(20.0, load / abreast / dice.uniform(0.6, 2.0)), 1),
        "rubber_loss": round(dice.uniform(0.25, 0.45), 2),
    }


def _drive(dice: Random, mass: float, wheel_r: float) -> Table:
    table: Table = {
        "speed_m_s": round(dice.uniform(0.7, 1.4), 2),
        "push_N": round(mass * G * dice.uniform(0.7, 1.0)),
        "brake_N": round(mass * G * 0.6),
        "grip": round(dice.uniform(0.65, 0.85), 2),
    }
    if dice.random() < 0.4:
        table["power_W"] = round(mass * G * 1.0)
    return table


def _damper(dice: Random, load: float, arm: float) -> Table:
    """A share of critical damping with the load on a spring of a quarter of the arm's length of static sag."""
    critical = 2.0 * load / math.sqrt(G * 0.25 * arm * MM) * MM  # [N.s/mm]
    bump = round(critical * dice.uniform(0.1, 0.3), 4)
    return {"bump_N_s_per_mm": bump} | ({"droop_N_s_per_mm": round(2.0 * bump, 4)} if dice.random() < 0.5 else {})


def _bogie(
    dice: Random, kind: str, sprung: Table | None, at: float, apart: float, pivots: float, arm: float, size: float,
    wheel_r: float,
) -> Table:  # fmt: skip
    y = round(15.0 * size)
    if kind == "single arm":
        return {"kind": kind, "points": "back", "at_mm": [at + round(0.95 * arm), y], "wheel": "road", **(sprung or {})}
    if kind == "paired arms":
        return {"kind": kind, "at_mm": [at, y], "pivots_apart_mm": pivots, "wheel": "road", **(sprung or {})}
    beam: Table = {
        "kind": "walking beam",
        "wheels_apart_mm": apart,
        "beam_mass_kg": round(max(0.4, 3.0 * size**3), 2),
        "wheel": "road",
        "pivot_friction_Nm": round(1.0 * size**3, 2),
    }
    if sprung is None:
        # So low that the wheels' undersides clear the belly.
        return {**beam, "at_mm": [at, round(-0.5 * wheel_r)], "tilt_deg": 22}
    return {**beam, "at_mm": [at + round(0.95 * arm), y], "tilt_deg": 20, "arm": {"points": "back", **sprung}}


def _add_track(
    dice: Random, file: Table, bogie: str, wheel_r: float, arm: float, apart: float, pivots: float, length: float,
    first: float, mass: float, size: float, droop: float, bump: float,
) -> None:  # fmt: skip
    """A track round the wheels: sprocket and idler beyond the outer ones, raised; links as many as its path takes."""
    pitch = round(max(20.0, 60.0 * size))
    teeth = max(7, round(2.0 * math.pi * 0.95 * wheel_r / pitch))
    sprocket_r = pitch / (2.0 * math.sin(math.pi / teeth))
    idler_r, thick = round(0.95 * wheel_r), round(max(6.0, 14.0 * size))
    sink = -0.5 * wheel_r if bogie == "bare beam" else 15.0 * size - arm * math.sin(0.45 * (droop + bump) * DEG)
    reach = {"single arm": 0.0, "paired arms": 0.95 * arm + 0.5 * pivots}.get(bogie, 0.5 * apart)
    if bogie != "paired arms":
        reach += 0.05 * arm
    tail, nose = first - reach, length - first + reach  # the outer axles, about
    raised = sink + wheel_r * dice.uniform(0.7, 1.2)
    front = dice.random() < 0.5
    clear = wheel_r + max(sprocket_r, idler_r) + thick + dice.uniform(10, 40)
    at_nose, at_tail = round(nose + clear), round(tail - clear)
    sprocket_at = [at_nose if front else at_tail, round(raised)]
    idler_at = [at_tail if front else at_nose, round(raised)]
    # Top and bottom straight, round the ends, and down to the wheels and up again on two ramps.
    ends, drop = at_nose - at_tail, raised - sink
    ramps = 2.0 * (math.hypot(clear, drop) - clear)
    path = 2.0 * ends + ramps + math.pi * (sprocket_r + idler_r + thick)
    track: Table = {
        "links": math.ceil(path / pitch),
        "pitch_mm": pitch,
        "mass_kg_per_m": round(max(0.5, 4.0 * size**2 * dice.uniform(0.7, 1.4)), 2),
        "thickness_mm": thick,
        "width_mm": round(max(110.0 * size, 2.2 * 0.45 * wheel_r)),
        "tooth_mm": round(30.0 * size),
        "link_steel_mm2": round(max(20.0, 120.0 * size**2), 1),
        "sag_mm": round(max(3.0, 0.008 * ends * dice.uniform(0.7, 1.3)), 1),
        "sprocket": {"end": "front" if front else "rear", "at_mm": sprocket_at, "teeth": teeth},
        "idler": {"at_mm": idler_at, "radius_mm": idler_r},
    }
    if dice.random() < 0.3:
        pull = mass * G * dice.uniform(0.4, 0.8)
        track["idler"]["tensioner"] = {
            "rate_N_per_mm": round(pull / 15.0, 1), "preload_N": round(pull), "travel_mm": 20,
        }  # fmt: skip
    file["track"] = track


def _set(dice: Random, kind: str, arm_mm: float, bump: float, droop: float, load: float, pivots: float) -> Table:
    """A spring of a kind, set to hold `load` [N] at the axle with its arm at 0.45 of its travel from bump."""
    angle = (bump + 0.45 * (droop - bump)) * DEG
    wanted = load * arm_mm * MM * math.cos(angle)
    reach = Arm(arm_mm * MM, bump * DEG - _OVERRUN, droop * DEG + _OVERRUN, _OVERRUN)
    mount = Mount(reach, pivots * MM)
    travel = dice.uniform(18.0, 30.0)  # turn from free to standing, degrees
    first, knob, low, high = _draft(dice, kind, arm_mm, load, wanted, angle / DEG, travel)

    def torque(value: float) -> float:
        table = {**first, knob: value}
        spring = _SPRING.validate_python(table)
        # By its law, not its figures: what the run will have.
        law = spring.mounted(mount)
        if law.pivot is not None:
            return float(np.interp(angle, law.pivot.angle_rad, law.pivot.torque_Nm))
        return float(spring.figures(angle, angle, mount).torques_Nm[0])

    value = _sought(torque, wanted, low, high)
    return {**first, knob: round(value, 4)}


def _sought(torque: Callable[[float], float], wanted: float, low: float, high: float) -> float:
    """Where `torque` passes `wanted`, by halving; outside what can be built it counts as on that side's end."""

    def short(value: float) -> float | None:
        try:
            return torque(value) - wanted
        except (InputError, ValidationError):
            return None

    tried = [(v, s) for v in (low + (high - low) * k / 40.0 for k in range(41)) if (s := short(v)) is not None]
    for (a, at_a), (b, at_b) in itertools.pairwise(tried):
        if at_a * at_b <= 0.0:
            for _ in range(40):
                middle = 0.5 * (a + b)
                at = short(middle)
                if at is None:
                    break
                a, b, at_a = (middle, b, at) if at * at_a > 0.0 else (a, middle, at_a)
            return 0.5 * (a + b)
    return min(tried, key=lambda t: abs(t[1]))[0] if tried else 0.5 * (low + high)


def _draft(
    dice: Random, kind: str, arm_mm: float, load: float, wanted: float, angle: float, travel: float
) -> tuple[Table, str, float, float]:
    """The tables of a spring without the one field that sets it; that field's name, and the range it is sought in.

    load: at the axle [N], wanted: about the pivot [N.m]; angle: of the arm standing; travel: turn to there [deg].
    """
    turning = {"free_angle_deg": (angle + 1.0, 79.0)}
    if kind == "pivot rate":
        return {"kind": kind, "rate_Nm_per_deg": wanted / travel}, "free_angle_deg", *turning["free_angle_deg"]
    if kind == "axle rate":
        sag = arm_mm * (math.sin((angle + travel) * DEG) - math.sin(angle * DEG))
        return {"kind": kind, "rate_N_per_mm": load / sag}, "free_angle_deg", *turning["free_angle_deg"]
    if kind == "torsion bar":
        # Shear of 600 MPa at twice the standing twist: G theta d / 2 L; then the diameter that carries the torque.
        bar = round(80e9 * 2.0 * travel * DEG / (2.0 * 600e6) * 1.0, 3)  # length over diameter
        d = (32.0 * wanted * bar / (math.pi * 80e9 * travel * DEG)) ** (1.0 / 3.0)
        return {
            "kind": kind, "diameter_mm": round(d / MM, 2), "length_mm": round(bar * d / MM), "steel": "51CrV4",
        }, "free_angle_deg", *turning["free_angle_deg"]  # fmt: skip
    if kind == "leaf":
        thick = round(max(2.0, 0.03 * arm_mm), 1)
        length, at = 1.4 * arm_mm, 0.6 * arm_mm
        sag = at * MM * travel * DEG
        width = 12.0 * (wanted / (at * MM)) * (length * MM) ** 3 / (3.0 * 206e9 * sag * (thick * MM) ** 3)
        leaves = max(1, min(8, round(width / (0.3 * arm_mm * MM))))
        return {
            "kind": kind, "width_mm": round(max(10.0, width / leaves / MM), 1), "thickness_mm": thick,
            "length_mm": round(length), "bears_at_mm": round(at), "full_leaves": leaves, "steel": "51CrV4",
        }, "free_angle_deg", *turning["free_angle_deg"]  # fmt: skip
    if kind == "rubber block":
        lever = round(0.25 * arm_mm)
        return {
            "kind": kind, "mode": "compression", "hardness_irhd": 55, "length_mm": round(0.4 * arm_mm),
            "thickness_mm": round(0.4 * arm_mm), "lever_mm": lever, "blocks": 2,
            "free_angle_deg": round(min(angle + travel * 0.6, 60.0), 1),
        }, "width_mm", 0.05 * arm_mm, 3.0 * arm_mm  # fmt: skip
    if kind == "leaf across":
        thick = round(max(1.5, 0.02 * arm_mm), 1)
        leaves = dice.choice([2, 3, 4])
        rise = 0.13 * arm_mm
        # Each half a cantilever of about the arm's length, bent by `rise` under the standing load at its end.
        width = 4.0 * 1.25 * load * (1.05 * arm_mm * MM) ** 3 / (206e9 * rise * MM * leaves * (thick * MM) ** 3)
        held = round(0.25 * arm_mm)
        seats: list[Table] = [
            {"seat": "point"}, {"seat": "pair", "seat_apart_mm": held}, {"seat": "clamp", "clamp_mm": held},
        ]  # fmt: skip
        return {
            "kind": kind, "width_mm": round(width / MM, 1), "thickness_mm": thick, "full_leaves": leaves,
            "length_mm": round(2.1 * arm_mm), "free_radius_mm": round(2.7 * arm_mm), "arm_top_mm": round(0.12 * arm_mm),
            "steel": "51CrV4", **dice.choice(seats),
        }, "seat_above_pivots_mm", -0.6 * arm_mm, 0.6 * arm_mm  # fmt: skip
    ahead, up = round(0.42 * arm_mm), round(1.05 * arm_mm)
    line: Table = {"on_arm_mm": round(0.7 * arm_mm), "anchor_mm": [ahead, up]}
    # Along the line between the seats the spring moves about 0.65 of what the arm's length would.
    lever = 0.65 * arm_mm * MM
    push, move = wanted / lever, lever * travel * DEG
    if kind == "coil":
        mean = round(max(20.0, 0.25 * arm_mm), 1)
        wire = round((8.0 * (mean * MM) ** 3 * 7.0 * push / move / 79e9) ** 0.25 / MM, 2)
        coil = 1.26 * arm_mm
        return {
            "kind": kind, **line, "wire_mm": wire, "mean_diameter_mm": mean, "coils": 7, "steel": "60SiCr7",
        }, "free_length_mm", 0.6 * coil, 2.0 * coil  # fmt: skip
    # With the arm almost 60 degrees down.
    longest = math.hypot(ahead - 0.7 * arm_mm * math.cos(1.0), up + 0.7 * arm_mm * math.sin(1.0))
    free = round(1.02 * longest)
    if kind == "gas strut":
        return {
            "kind": kind, **line, "progression": 2.0, "stroke_mm": round(0.45 * free), "extended_length_mm": free,
            "friction_N": round(0.03 * push),
        }, "force_N", 0.3 * push, 2.0 * push  # fmt: skip
    assert kind == "spring and damper"
    critical = 2.0 * push / math.sqrt(G * move)
    return {
        "kind": kind, **line, "rate_N_per_mm": round(push / move * MM * 0.7, 3), "free_length_mm": free,
        "solid_length_mm": round(0.5 * free), "damping_bump_N_s_per_mm": round(0.15 * critical * MM, 4),
    }, "preload_N", 0.0, 3.0 * push  # fmt: skip
