"""A vehicle file on its wheels, put together a second time for a general-purpose 3D engine (mujoco).

- Planar: the hull slides along x and z and turns about y; both sides are lumped in the plane, as in Trundle.
- Bodies, pivots, dry friction in them, wheels that turn and what joins them are the engine's own. Springs, dampers and
  stops act as torques (other_engine_parts).
- Contact is the engine's own. The ground's surface is a row of small fixed balls. Each meets the wheel (a ball too; in
  the plane it is a disc) as one contact of stiffness bedding x the length of surface it stands for: an edge sinks into
  the tyre as into rubber. The bedding gives the file's tangent rate at the standing load. With tyre="hard disc" the
  ground is solid and a wheel has one contact, with the secant stiffness of the tyre at its standing load.
- Loss in a contact is the engine's linear dashpot, set so that the wheel with its arm, dropped at 0.5 m/s, loses the
  file's share.
- Friction is the engine's (Coulomb, elliptic cone, creep in proportion to the pull); between hub and rim the tread is
  a spring. In series they are what `grip_shear_mm` means: all the grip is used after that much shear, and rolling
  takes it away over 0.1 m of travel, at the set speed. Both follow the load of the step before, in the
  layers of the second solution (second_tread): the spring's rest moves so that it pulls as they do.
- A wheel's torque is held by the hull, not by its arm (chains along the arms).

Not independent of Trundle: that wheels share the torque by load, and the law of the tread's shear. Both were made as
Trundle has them after first runs without them lay further apart; shaft=True shows how much hangs on the first.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import mujoco
import numpy as np
from scipy.integrate import quad
from scipy.optimize import brentq

from tests.verification.other_engine_ground import BALL_M, Floats, Surface
from tests.verification.other_engine_parts import BOUNCE_M_S, MM, SIDES, Leaf, Pivot, chain, parts
from tests.verification.second_tread import Layers, merged, since, untouched
from trundle.spec.vehicle import Vehicle

G = 9.80665

TYRE_ON_GROUND_M = 0.1
"""Travel in which a tyre without a track lays down fresh rubber [m]."""

SHEAR_S = 0.002
"""Loss in the tread's shear: its damping / its stiffness [s]."""

LEAST_SHARE = 0.05
"""A tread keeps this share of its standing stiffness and damping when it carries nothing."""

MOST_LAYERS = 6
"""Layers of a station's load."""

CREEP_RAD_S = 0.01
"""Turning of a pivot at which its dry friction is at its limit [rad/s]."""

IMPEDANCE = 1e-4
"""The engine's least: a contact is then a spring with a dashpot, and adds but 1e-4 of the wheel's mass."""

STIFF_GRIP = 1000.0
"""impratio: a sliding contact is pushed apart by friction x (creep force beyond the cone) / this, so by nothing."""

RIM_SHARE = 0.1
"""Part of a wheel's spin inertia that lies outside the tread's spring. Trundle's tread has no mass of its own; a tenth
is what steps of 0.125 ms bear. Half-round, single arms, peak load against Trundle: -16 % with 0.3, -5 % with 0.1, +2 %
with 0.05 (steps of 0.04 ms)."""

SHAFT_XML = (
    '<body name="shaft"><joint name="shaft" type="hinge" axis="0 1 0"/>'
    '<inertial pos="0 0 0" mass="1e-6" diaginertia="1e-4 1e-4 1e-4"/></body>'
)


@dataclass
class Tread:
    """What follows the load of one station.

    joint, dof, at: of the tread's spring, at in qpos; pairs: its contacts; load [N], stiffness [N.m/rad], creep: when
    standing; radius, full: slip for all the grip [m]; layers: what it carries; turned: where the spring stood [rad].
    """

    joint: int
    dof: int
    at: int
    pairs: slice
    load: float
    stiffness: float
    creep: Floats
    radius: float
    full: float
    layers: Layers
    turned: float = 0.0

    def follow(self, m: mujoco.MjModel, load: float, turned: float = 0.0) -> None:
        """Set the shear's stiffness and creep for a load [N], the spring turned so far [rad]."""
        share = max(load / self.load, LEAST_SHARE)
        stiffness = share * self.stiffness
        slip = np.array([(turned - self.turned) * self.radius])
        self.layers, self.turned = merged(since(self.layers, np.array([load]), slip, np.zeros(1), self.full)), turned
        # Where the spring is at rest, so that it pulls as the layers do.
        used = float((self.layers.load * self.layers.use).sum()) / self.load
        m.qpos_spring[self.at] = turned - used * self.stiffness * self.full / self.radius / stiffness
        m.jnt_stiffness[self.joint] = stiffness
        m.dof_damping[self.dof] = share * self.stiffness * SHEAR_S
        m.pair_solreffriction[self.pairs] = share * self.creep


@dataclass(frozen=True)
class Station:
    """A wheel station: name, kind of wheel, the pivot that carries it, wheels on it, level place along x [m]."""

    name: str
    kind: str
    pivot: Pivot
    count: int
    x: float


@dataclass(frozen=True)
class Built:
    """The engine's model and what goes with it. stations: front to rear; radius: driven rim [m]; mass [kg]."""

    model: mujoco.MjModel
    pivots: list[Pivot]
    leaves: list[Leaf]
    stations: list[Station]
    treads: list[Tread]
    com: tuple[float, float]
    radius: float
    mass: float


def press(radius: float, load: float, rate: float) -> tuple[float, float]:
    """(squash [m], bedding [N/m2]) of a radially bedded wheel of tangent stiffness `rate` [N/m] at `load` [N], flat."""

    def carried(p: float) -> float:
        a = math.sqrt(radius**2 - (radius - p) ** 2)
        return 2.0 * quad(lambda x: radius - math.hypot(radius - p, x), 0.0, a)[0]

    def short(p: float) -> float:
        step = 1e-3 * p
        return carried(p) / ((carried(p + step) - carried(p - step)) / (2.0 * step)) - load / rate

    p = float(brentq(short, 1e-6, 0.4 * radius))
    return p, load / carried(p)


def dashpot(radius: float, bedding: float, mass: float, loss: float, hard: float) -> float:
    """Time constant c/k [s] of contacts with which `mass` at BOUNCE_M_S on the flat loses `loss` of its energy.

    hard [N/m]: stiffness of a hard disc's one contact; 0: bedded. Found by dropping it (steps of 20 us).
    """
    if loss <= 0.0:
        return 0.0
    x = np.linspace(-0.6 * radius, 0.6 * radius, 241)

    def lost(tau: float) -> float:
        h, v, dt = radius, -BOUNCE_M_S, 2e-5
        for _ in range(20_000):
            if hard:
                force = max(0.0, hard * (radius - h - tau * v))
            else:
                d = np.hypot(h, x)
                each = np.where(d < radius, np.maximum(0.0, radius - d - tau * v * h / d), 0.0)
                force = float(bedding * each.sum() * (x[1] - x[0]))
            v += force / mass * dt
            h += v * dt
            if h >= radius or (v > 0.0 and force == 0.0):
                break
        return 1.0 - (v / BOUNCE_M_S) ** 2

    return float(brentq(lambda tau: lost(tau) - loss, 0.0, 0.02, xtol=1e-7))


def stations_of(v: Vehicle, pivots: list[Pivot]) -> list[Station]:
    """All wheel stations, front to rear."""
    found = [
        Station(name, kind, p, SIDES * v.wheel[kind].abreast, x + sum(q.at[0] for q in chain(p, pivots)))
        for p in pivots
        for name, kind, x, _ in p.wheels
    ]
    return sorted(found, key=lambda s: -s.x)


def body_xml(p: Pivot, pivots: list[Pivot], v: Vehicle, com: tuple[float, float], ball: float) -> str:
    """An arm or beam with its wheels and whatever hangs on it. Its joint's value is the angle below horizontal."""
    x, y = (p.at[0] - com[0], p.at[1] - com[1]) if p.parent == "hull" else p.at
    out = [
        f'<body name="{p.name}" pos="{x} 0 {y}"><joint name="{p.name}" type="hinge" axis="0 {p.sign} 0"'
        f' frictionloss="{p.friction}"/><inertial pos="{p.com[0]} 0 {p.com[1]}" mass="{p.mass}"'
        f' diaginertia="{p.inertia} {p.inertia} {p.inertia}"/>'
    ]
    for name, kind, wx, wy in p.wheels:
        w = v.wheel[kind]
        count = SIDES * w.abreast
        hub, rim = (part * count * w.spin_kg_m2 for part in (1.0 - RIM_SHARE, RIM_SHARE))
        out.append(
            f'<body name="{name}_hub" pos="{wx} 0 {wy}"><joint name="{name}_spin" type="hinge" axis="0 1 0"/>'
            f'<inertial pos="0 0 0" mass="{count * w.mass_kg}" diaginertia="{hub} {hub} {hub}"/>'
            f'<body name="{name}_rim"><joint name="{name}_tread" type="hinge" axis="0 1 0" stiffness="1" damping="1"/>'
            f'<inertial pos="0 0 0" mass="1e-6" diaginertia="{rim} {rim} {rim}"/><geom name="{name}_tyre"'
            f' type="sphere" size="{w.radius_mm * MM - ball}" contype="0" conaffinity="0"/></body></body>'
        )
    out += [body_xml(q, pivots, v, com, ball) for q in pivots if q.parent == p.name]
    return "".join(out) + "</body>"


def xml(
    v: Vehicle, pivots: list[Pivot], stations: list[Station], ground: Surface, dt: float, hard: bool, shaft: bool
) -> str:
    """The whole model in the engine's own file format."""
    com = (v.hull.com_mm[0] * MM, v.hull.com_mm[1] * MM)
    fixed, names = (ground.solid_xml(), ground.solids()) if hard else (ground.balls_xml(), ground.balls())
    last = '<joint joint="shaft" coef="-1"/>' if shaft else ""
    tie, pairs, equal, motors = [], [], [], []
    grip = f"{v.drive.grip} {v.drive.grip} 0.005 0.0001 0.0001"
    for s in stations:
        # How far the wheel has turned against the hull or the shaft.
        turns = "".join(f'<joint joint="{q.name}" coef="{q.sign}"/>' for q in chain(s.pivot, pivots))
        tie.append(f'<fixed name="{s.name}_tie"><joint joint="{s.name}_spin" coef="1"/>{turns}{last}</fixed>')
        motors.append(f'<motor tendon="{s.name}_tie"/>')
        if shaft:
            equal.append(f'<tendon tendon1="{s.name}_tie" solref="{4 * dt} 1" solimp="0.999 0.999 0.001"/>')
        pairs += [
            f'<pair geom1="{g}" geom2="{s.name}_tyre" condim="3" friction="{grip}"'
            f' solimp="{IMPEDANCE} {IMPEDANCE} 0.001"/>'
            for g in names
        ]
    if shaft:
        motors = ['<motor joint="shaft"/>']
    inertia = v.hull.inertia_kg_m2
    on_hull = "".join(body_xml(p, pivots, v, com, 0.0 if hard else BALL_M) for p in pivots if p.parent == "hull")
    return (
        f'<mujoco><compiler angle="radian"/><option timestep="{dt}" gravity="0 0 {-G}" integrator="Euler"'
        f' cone="elliptic" impratio="{STIFF_GRIP}" tolerance="1e-12"/><size memory="64M"/><worldbody>{fixed}'
        '<body name="hull"><joint name="x" type="slide" axis="1 0 0"/><joint name="z" type="slide" axis="0 0 1"/>'
        f'<joint name="pitch" type="hinge" axis="0 -1 0"/><inertial pos="0 0 0" mass="{v.hull.mass_kg}"'
        f' diaginertia="{inertia} {inertia} {inertia}"/>{SHAFT_XML if shaft else ""}{on_hull}</body></worldbody>'
        f"<contact>{''.join(pairs)}</contact><tendon>{''.join(tie)}</tendon>"
        f"<equality>{''.join(equal)}</equality><actuator>{''.join(motors)}</actuator></mujoco>"
    )


def build(v: Vehicle, ground: Surface, dt: float, *, tyre: str = "bedded", shaft: bool = False) -> Built:
    """The engine's model of `v` on `ground`. tyre: "bedded" or "hard disc". shaft: one shaft turns all wheels alike.

    In the engine's direct format a contact's force is (k d + c d') / ((1 - impedance) x inverse mass), its stiffness
    and damping given as minus the two numbers of solref; friction: the same with impratio.
    """
    assert v.track is None, "the other engine has no band: wheels only"
    pivots, leaves = parts(v)
    stations = stations_of(v, pivots)
    hard = tyre == "hard disc"
    m = mujoco.MjModel.from_xml_string(xml(v, pivots, stations, ground, dt, hard, shaft))
    for p in pivots:
        # Dry friction: a dashpot that slips at its limit, without the engine's usual share of added inertia.
        k = m.joint(p.name).dofadr[0]
        m.dof_solimp[k] = [IMPEDANCE, IMPEDANCE, 0.001, 0.5, 2.0]
        m.dof_solref[k] = -p.friction / CREEP_RAD_S * m.dof_invweight0[k] * (1.0 - IMPEDANCE)
    mass = v.hull.mass_kg + sum(p.mass for p in pivots) + sum(s.count * v.wheel[s.kind].mass_kg for s in stations)
    tyres = sum(s.count for s in stations)
    length = np.ones(1) if hard else ground.length
    contacts = m.npair // len(stations)
    treads = []
    for i, s in enumerate(stations):
        w, p = v.wheel[s.kind], s.pivot
        r = w.radius_mm * MM
        load = w.rated_load_N if w.rated_load_N is not None else mass * G / tyres
        deep, bedding = press(r, load, 1e3 * w.rubber_rate_N_per_mm)
        swing = p.inertia + p.mass * math.hypot(*p.com) ** 2
        swing += sum(SIDES * v.wheel[k].abreast * v.wheel[k].mass_kg * (x * x + y * y) for _, k, x, y in p.wheels)
        secant = load / deep
        tau = dashpot(r, bedding, swing / p.radius**2 / s.count, w.rubber_loss, secant if hard else 0.0)
        stiff = s.count * (secant if hard else bedding) * length * np.ones(contacts)
        pull = v.drive.grip * s.count * load / (v.drive.grip_shear_mm * MM)
        patch = 1.0 if hard else 2.0 * math.sqrt(r**2 - (r - deep) ** 2)
        creep = pull * TYRE_ON_GROUND_M / v.drive.speed_m_s * length / patch * np.ones(contacts)
        mine = slice(i * contacts, (i + 1) * contacts)
        scale = -(1.0 - IMPEDANCE) * m.body_invweight0[m.body(f"{s.name}_rim").id, 0]
        m.pair_solref[mine] = scale * np.column_stack([stiff, np.maximum(tau * stiff, 1e-9)])
        slip = scale * np.column_stack([creep, creep]) / STIFF_GRIP
        tread = m.joint(f"{s.name}_tread")
        full, none = v.drive.grip_shear_mm * MM, untouched(MOST_LAYERS).of((i,))
        sizes = s.count * load, pull * r**2, slip, r, full, none
        treads.append(Tread(tread.id, tread.dofadr[0], tread.qposadr[0], mine, *sizes))
        treads[-1].follow(m, s.count * load)
    com = (v.hull.com_mm[0] * MM, v.hull.com_mm[1] * MM)
    return Built(m, pivots, leaves, stations, treads, com, max(w.radius_mm for w in v.wheel.values()) * MM, mass)
