"""Scene builders for the verification suite: grounds, one-wheel rigs, rigid tracked hulls, whole vehicles.

Every rig is a `Model` of the project's own arrays and runs through the same force law, pymunk space and step
loop as a vehicle. What a rig idealises is stated at its builder.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any

import numpy as np
from scipy.optimize import root

from trundle.engine.roll import Limits, Rolling, run_steps
from trundle.engine.standing import Standing, stand
from trundle.law import ask
from trundle.law.named import Names, State
from trundle.law.scratch import Scratch, new_scratch
from trundle.law.timeline import entries
from trundle.model import arrays
from trundle.model.arrays import Floats, GroundArrays, Model, vehicle_record
from trundle.model.ground import ground_arrays
from trundle.model.loop import Circle, hanging, top_run, top_stiffness
from trundle.spec.vehicle import Vehicle, vehicle_from
from trundle.units import G

ANCHOR_KG = 1e6
"""Mass of a hull that stands in for the world: so heavy that nothing on a rig moves it."""

ANCHOR_RATE = 1e12
"""Each of its two belly corners [N/m]: it sinks by 1e6 * 9.81 / 2e12 = 5 micrometres."""


def ground(height: Floats, dx: float, speed: float = math.nan) -> GroundArrays:
    """Ground from heights [m] on a grid of dx [m] with one target speed [m/s]."""
    return ground_arrays(np.asarray(height, dtype=float), dx, np.array([0.0]), np.array([speed]))


def flat(length: float = 4.0, dx: float = 0.005, speed: float = math.nan) -> GroundArrays:
    """Level ground."""
    return ground(np.zeros(round(length / dx) + 1), dx, speed)


def records(kind: np.dtype[Any], rows: list[dict[str, float]]) -> Any:
    """Record array with the named fields filled in, the others zero."""
    out = np.zeros(len(rows), dtype=kind).view(np.recarray)
    for k, row in enumerate(rows):
        for name, value in row.items():
            out[name][k] = value
    return out


def model(
    bodies: list[tuple[float, float]],
    joints: list[dict[str, float]],
    rings: list[dict[str, float]],
    on: GroundArrays,
    *,
    road: int | None = None,
    spring: Floats | None = None,
    belly: list[tuple[float, float]] | None = None,
    hull: dict[str, float] | None = None,
    band: dict[str, float] | None = None,
    drive: dict[str, float] | None = None,
    gravity: float = G,
) -> Model:
    """A model from plain rows; energy of the spring tables by the trapezium rule, as the assembly does."""
    torque = np.zeros(1) if spring is None else spring
    energy = np.zeros(len(torque))
    for j in joints:
        if n := int(j.get("table_n", 0)):
            a = int(j["table_from"])
            t = torque[a : a + n]
            energy[a + 1 : a + n] = -np.cumsum(0.5 * (t[1:] + t[:-1]) * j["angle_step"])
    # What a push moves first: the arm about its pivot, or the body that carries the ring.
    for j in joints:
        mass, inertia = bodies[int(j["child"])]
        j.setdefault("swing", inertia + mass * (j.get("cx", 0.0) ** 2 + j.get("cy", 0.0) ** 2))
    for r in rings:
        k = int(r.get("body", 0))
        r.setdefault("mass", joints[k - 1]["swing"] / joints[k - 1]["radius"] ** 2 if k else bodies[0][0])
    run = {
        "push": 1e6, "power": math.inf, "brake": 1e6, "grip": 1e-6, "shear": 0.005, "contact_length": 0.1,
        "acceleration": 10.0, "speed": 1.0, "mass": 1.0,
    }  # fmt: skip
    record = vehicle_record(
        bodies=records(arrays.BODY, [{"mass": m, "inertia": i} for m, i in bodies]),
        joints=records(arrays.JOINT, joints),
        pairs=records(arrays.PAIR, []),
        rings=records(arrays.RING, rings),
        hull=records(arrays.HULL, [{"nose_x": 0.1, "tail_x": -0.1, **(hull or {})}]),
        band=records(arrays.BAND, [{"sprocket": -1, "idler": -1, **(band or {})}]),
        drive=records(arrays.DRIVE, [{**run, **(drive or {})}]),
        road=len(rings) if road is None else road,
        gravity=gravity,
    )
    springs = records(arrays.SPRING, [{"torque": t, "energy": e} for t, e in zip(torque, energy, strict=True)])
    outline = belly if belly is not None else [(-0.1, 50.0), (0.1, 50.0)]
    corners = records(arrays.CORNER, [{"x": x, "y": y} for x, y in outline])
    return Model(vehicle=record, springs=springs, lifts=np.zeros(1), belly=corners, ground=on)


AIR = {"body": 0, "y": 100.0, "radius": 0.05, "rate": 1e6, "wheels": 1.0}
"""A ring high above everything, where a rig needs no wheel but the law wants one."""


def line_spring(rate: float, free: float = 0.0, half: float = 2.0) -> tuple[Floats, dict[str, float]]:
    """A linear pivot spring: table of two points, and the joint's fields. rate [N.m/rad], free angle [rad]."""
    angles = np.array([-half, half])
    return -rate * (angles - free), {"table_from": 0, "table_n": 2, "angle_from": -half, "angle_step": 2 * half}


def anchored(
    arms: list[tuple[float, float]],
    joints: list[dict[str, float]],
    *,
    spring: Floats | None = None,
    rings: list[dict[str, float]] | None = None,
    on: GroundArrays | None = None,
) -> tuple[Model, Floats]:
    """Arms on a hull of 1000 t that stands on two belly corners: a fixed world for the arms.

    arms: (mass, inertia) of the bodies after the hull. Joints of the hull sit at its centre of mass, which
    starts 3 m above level ground with the corners pressed in by their static 4.9 micrometres.
    Returns the model and where the hull's centre of mass starts (x, y).
    """
    m = model(
        [(ANCHOR_KG, ANCHOR_KG), *arms],
        joints,
        rings or [dict(AIR)],
        flat() if on is None else on,
        spring=spring,
        belly=[(-1.0, -3.0), (1.0, -3.0)],
        hull={"rate": ANCHOR_RATE},
        drive={"speed": 0.0},
    )
    return m, np.array([1.5, 3.0 - ANCHOR_KG * G / (2.0 * ANCHOR_RATE)])


def blank_state(m: Model) -> State:
    """A State of a rig, whose arms and rings are called by number."""
    return State(Names(tuple(f"{j}" for j in range(len(m.joints))), tuple(f"ring.{i}" for i in range(len(m.rings)))))


def state_at(m: Model, q: Floats, v: Floats | None = None) -> State:
    """The State with the bodies at reduced coordinates q = (x, y, pitch, joint angles) with rates v."""
    state = blank_state(m)
    ask.place(m, state, np.asarray(q, dtype=float), None if v is None else np.asarray(v, dtype=float))
    return state


class Log:
    """Columns of a run by name: log("run", "pitch"), log("ring", "load", 2)."""

    def __init__(self, m: Model, values: Floats, why: int = 0) -> None:
        self.values, self.why = values, why
        found = enumerate(entries(len(m.joints), len(m.rings), bool(m.band.on)))
        self._at = {(e.column.of, e.column.quantity, e.number): k for k, e in found}

    def __call__(self, of: str, quantity: str, number: int = 0) -> Floats:
        column: Floats = self.values[:, self._at[(of, quantity, number)]]
        return column

    @property
    def t(self) -> Floats:
        """Time of each row [s]."""
        return self("run", "time")

    def unaccounted(self) -> float:
        """The ledger's worst moment, as a share of motor work and change of height and motion in the whole run."""
        turned = [abs(self("run", f"{name}_J")[-1]) for name in ("motor", "moving", "gravity")]
        return float(np.abs(self("run", "error_J")).max() / sum(turned))

    def loads(self, count: int) -> Floats:
        """Ring loads (n, count) [N]."""
        return np.column_stack([self("ring", "load", i) for i in range(count)])


def run(
    m: Model,
    state: State,
    time_s: float,
    dt: float = 1e-3,
    end_m: float = 1e9,
    start_m: float = -1e9,
    compiled: bool = True,
) -> Log:
    """Run through the engine's own loop."""
    rows = run_steps(m, state, dt, Limits(end_m, start_m, time_s), compiled=compiled)
    return Log(m, rows.values, rows.why)


def run_watched(m: Model, state: State, steps: int, dt: float, before: Callable[[int, Scratch], None]) -> Log:
    """The same loop one step at a time; `before(i, scratch)` may look at what the law worked out in the step before,
    or move the ground (in place) for the step to come."""
    rolling = Rolling(m, state, dt, Limits(1e9, -1e9, steps * dt))
    rows = []
    for i in range(steps):
        before(i, rolling.scratch)
        rows.append(rolling.steps(1))
        if not len(rows[-1]):
            break
    return Log(m, np.concatenate(rows), rolling.why)


def settle(m: Model, q: Floats, held: tuple[int, ...] = (0,)) -> Floats:
    """Static equilibrium near q; coordinates `held` stay."""
    scratch, state = new_scratch(m), blank_state(m)
    q = np.array(q, dtype=float)
    free = [k for k in range(len(q)) if k not in held]
    weight = float(m.bodies.mass.sum()) * m.gravity

    def rest(x: Floats) -> Floats:
        q[free] = x
        return ask.forces_at_rest(m, state, q, scratch)[free] / weight

    found = root(rest, q[free], method="hybr", options={"xtol": 1e-14})
    assert np.abs(rest(found.x)).max() < 1e-6, "the rig does not stand"
    q[free] = found.x
    return q


def lift_ground(m: Model, height: float | Floats) -> None:
    """Set the heights [m] of straight ground in place: a number, or one per grid point of a straight slope."""
    g = m.ground
    g.height[:] = height
    assert len(g.lines) == 1, "the ground is not straight"
    line, rise, run = g.lines[0], g.height[-1] - g.height[0], g.x[-1] - g.x[0]
    line.y, line.length = g.height[0], math.hypot(rise, run)
    line.tx, line.ty = run / line.length, rise / line.length
    g.block_top[:-1] = g.height.max()


def one_wheel(
    *,
    sprung_kg: float,
    unsprung_kg: float,
    rate: float,
    damp: float = 0.0,
    friction_N: float = 0.0,
    tyre_rate: float,
    tyre_load: float | None = None,
    on: GroundArrays | None = None,
    radius: float = 0.1,
    speed: float = 0.0,
    x: float = 1.0,
) -> tuple[Model, Floats]:
    """One wheel under a hull that is guided upright, standing level: a one- or two-mass oscillator.

    The hull's pitch inertia is 1e12 kg.m2 (the guide). The wheel sits on a trailing arm of 2 m that lies level
    when it stands, so 20 mm of travel turns it 0.01 rad and moves the wheel 0.1 mm fore and aft: vertical
    motion to 1e-4. The arm's mass is a point at the axle. `rate` [N/m], `damp` [N.s/m], friction [N] are at
    the axle. The tyre has no loss and the stated tangent rate at its standing load; grip is made negligible,
    the hull keeps its speed by itself. Returns the model and its standing coordinates.
    """
    from trundle.model.rubber import ring_bedding

    arm = 2.0
    weight = (sprung_kg + unsprung_kg) * G
    table, fields = line_spring(rate * arm * arm, free=sprung_kg * G / (rate * arm), half=1.5)
    bedding = ring_bedding(radius, weight if tyre_load is None else tyre_load, tyre_rate)
    m = model(
        [(sprung_kg, 1e12), (unsprung_kg, 1e-9)],
        [
            {
                "parent": 0, "child": 1, "px": arm, "py": 0.0, "cx": arm, "cy": 0.0, "sign": -1.0,
                "radius": arm, "bump": -1.4, "droop": 1.4, "pad_rate": 1.0,
                "damp_bump": damp, "damp_droop": damp,
                "friction": friction_N * arm, "friction_rate": friction_N * arm / 1e-5 if friction_N else 1.0,
                **fields,
            }
        ],
        [{"body": 1, "radius": radius, "rate": bedding, "wheels": 1.0}],
        flat() if on is None else on,
        spring=table,
        drive={"speed": speed},
    )  # fmt: skip
    height = float(np.interp(x, m.ground.x, m.ground.height))
    q = settle(m, np.array([x, height + radius - 1.2 * weight / tyre_rate, 0.0, 0.0]), held=(0, 2))
    return m, q


def rigid_tracked(
    circles: list[Circle],
    road: list[Circle],
    on: GroundArrays,
    *,
    mass: float = 200.0,
    inertia: float = 30.0,
    tyre_N_per_m: float = 4e5,
    stretch: float = 1e7,
    weight_per_m: float = 0.0,
    length: float | None = None,
    rollers: list[Circle] | None = None,
    drive: dict[str, float] | None = None,
    belly: list[tuple[float, float]] | None = None,
) -> Model:
    """A hull with all its wheels fixed to it (no suspension but the rubber), with a track round them.

    circles: rear and front end (x, y, radius from the centre of mass); road: front to rear. The rear end is
    the sprocket. length: unstretched loop [m].
    """
    from trundle.model.rubber import ring_bedding

    rear, front = circles
    top = top_run(front, rollers or [], rear)
    rows = [{"body": 0, "x": x, "y": y, "radius": r, "wheels": 1.0} for x, y, r in [*road, rear, front]]
    for row in rows:
        row["rate"] = ring_bedding(row["radius"], mass * G / max(len(road), 1), tyre_N_per_m)
    modes, mode = hanging(top.spans, weight_per_m)
    band = {
        "modes": modes, "mode": mode,
        "on": 1, "rear": len(road), "front": len(road) + 1, "sprocket": len(road), "idler": len(road) + 1, "away": 1.0,
        "least_top": weight_per_m * max(top.spans) / (8.0 * arrays.DEEPEST_SAG),
        "length": 0.0 if length is None else length, "stretch": stretch, "weight": weight_per_m,
        "sag_sum": sum(s**3 for s in top.spans), "longest": max(top.spans), "top_length": top.length,
        "out_x": top.out[0], "out_y": top.out[1], "in_x": top.back[0], "in_y": top.back[1],
        "push_x": top.push[0], "push_y": top.push[1], "push_moment": top.moment,
    }  # fmt: skip
    band["top_stiff"] = top_stiffness(top.spans, weight_per_m, stretch / length) if length else 0.0
    return model(
        [(mass, inertia)],
        [],
        rows,
        on,
        road=len(road),
        band=band,
        drive=drive,
        belly=belly,
        hull={"rate": 4e5, "nose_x": front[0] + front[2], "tail_x": rear[0] - rear[2]},
    )


def vehicle(bogie: str = "single arm", track: bool = True, **sets: Any) -> Vehicle:
    """A four-station test vehicle of about 230 kg with one kind of bogie, springs stated by rate."""
    stops = {"bump_below_level_deg": 5, "droop_below_level_deg": 45, "pad_rate_N_per_mm": 300}
    arm = {"arm_mm": 180, "arm_mass_kg": 1.5, "stops": stops, "pivot_friction_Nm": 1.0}
    spring = {"kind": "pivot rate", "rate_Nm_per_deg": 5.0, "free_angle_deg": 40}
    damper = {"bump_N_s_per_mm": 0.3}
    bogies: dict[str, Any]
    if bogie == "single arm":
        bogies = {
            f"arm{k}": {
                "kind": "single arm", "at_mm": [1430 - 370 * k, 40], "points": "back", "wheel": "road",
                "spring": spring, "damper": damper, **arm,
            }
            for k in range(4)
        }  # fmt: skip
    elif bogie == "paired arms":
        bogies = {
            name: {
                "kind": "paired arms", "at_mm": [x, 40], "pivots_apart_mm": 60, "wheel": "road",
                "spring": spring, "damper": damper, **arm,
            }
            for name, x in (("front", 1060), ("rear", 340))
        }  # fmt: skip
    else:
        carrier = {**arm, "points": "back", "spring": {**spring, "rate_Nm_per_deg": 10.0}, "damper": damper}
        bogies = {
            name: {
                "kind": "walking beam", "at_mm": [x, 40], "wheels_apart_mm": 340, "beam_mass_kg": 3,
                "wheel": "road", "arm": carrier,
            }
            for name, x in (("front", 1250), ("rear", 530))
        }  # fmt: skip
    data: dict[str, Any] = {
        "name": f"Rig, {bogie}",
        "hull": {
            "mass_kg": 200, "com_mm": [700, 220], "pitch_inertia_kg_m2": 40, "length_mm": 1400,
            "height_mm": 450, "belly_mm": [[0, 80], [80, 0], [1320, 0], [1400, 80]], "seat_mm": [600, 300],
        },
        "wheel": {
            "road": {"radius_mm": 90, "mass_kg": 1.5, "abreast": 2, "rubber_rate_N_per_mm": 300}
        },
        "bogie": bogies,
        "drive": {"speed_m_s": 1.2, "torque_Nm": 220, "brake_N": 1200, "grip": 0.75},
    }  # fmt: skip
    if track:
        data["track"] = {
            "links": 66, "pitch_mm": 60, "mass_kg_per_m": 3.5, "thickness_mm": 14, "width_mm": 140,
            "tooth_mm": 30, "link_steel_mm2": 100, "tension_N": 250,
            "sprocket": {"end": "rear", "at_mm": [-110, 130], "teeth": 10},
            "idler": {"at_mm": [1530, 130], "radius_mm": 80},
            "roller": [{"at_mm": [700, 205], "radius_mm": 25}],
        }  # fmt: skip
    return vehicle_from(data, settings=sets)


def kerb(height: float, *, at: float = 2.6, length: float = 6.5, dx: float = 0.005, speed: float = 1.2) -> GroundArrays:
    """A sharp kerb up of `height` [m] at `at` [m]."""
    x = dx * np.arange(round(length / dx) + 1)
    return ground(np.where(x >= at - 1e-9, height, 0.0), dx, speed)


def ring_load(m: Model, x: float, y: float, pitch: float = 0.0) -> Scratch:
    """What the law works out with a one-body model held still at a place."""
    return ask.forces(m, state_at(m, np.array([x, y, pitch])), 0.0)


def roll(
    v: Vehicle, on: GroundArrays, time_s: float, dt: float = 1e-3, compiled: bool = True, end_m: float = 1e9
) -> tuple[Standing, Log]:
    """Stand a vehicle at the start and let it drive."""
    found = stand(v, on)
    return found, run(found.assembly.model, found.state, time_s, dt, compiled=compiled, end_m=end_m)
