"""The same tracked vehicle for a general-purpose engine (mujoco), the track a chain of separate rigid links.

Nothing of the force law is used: links are rigid and hinged, each meets wheels and ground by mujoco's own contacts,
the sprocket drives by friction (coefficient 3, so it does not slip) on the pitch circle of its teeth. Both sides
are lumped in one plane. What is idealised otherwise: a tyre is a linear spring (its stated rate) between axle and
rim, upright when the arm stands; the links do not stretch; the idler is set by force while standing, then locked.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import mujoco
import numpy as np
from scipy.optimize import brentq

from sim.engine.standing import Standing
from sim.model.arrays import Floats
from sim.model.loop import tangent, turned
from sim.units import MM, G

DT = 5e-4
REST_S = 1.5


@dataclass(frozen=True)
class Links:
    """t [s] from the start of driving; x, y [m] of the hull's centre of mass, pitch [rad], sprocket torque [N.m],
    wheel (n, 4): force in each tyre spring [N]."""

    t: Floats
    x: Floats
    y: Floats
    pitch: Floats
    torque: Floats
    wheel: Floats


def loop_points(circles: list[tuple[float, float, float]], count: int) -> Floats:
    """`count` points evenly along a taut belt round circles in the order it passes them [m]."""
    pieces = [tangent(a, b) for a, b in zip(circles, [*circles[1:], circles[0]], strict=True)]
    dense = []
    for k, (x, y, r) in enumerate(circles):
        a, b = pieces[k - 1], pieces[k]
        angle = turned(a[:2], b[:2]) % (2 * math.pi)
        start = math.atan2(a[1], a[0]) - math.pi / 2
        turn = start + np.linspace(0.0, angle, 200)
        dense.append(np.column_stack([x + r * np.cos(turn), y + r * np.sin(turn)]))
    line = np.concatenate([*dense, dense[0][:1]])
    along = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(line, axis=0).T))])
    at = np.linspace(0.0, along[-1], count, endpoint=False)
    return np.column_stack([np.interp(at, along, line[:, k]) for k in (0, 1)])


def link_xml(found: Standing, kerb_m: float, kerb_at_m: float) -> tuple[str, Floats]:
    """The model and the starting angles of the links."""
    v, a = found.assembly.vehicle, found.assembly
    track = v.track
    assert track is not None
    half, pitch = 0.5 * track.thickness_mm * MM, track.pitch_mm * MM
    teeth = track.sprocket_radius_m
    com_x, com_y = v.hull.com_mm[0] * MM, v.hull.com_mm[1] * MM
    hull_x, hull_y = com_x, float(found.q[1] + (com_y - a.com[1]))
    angles = found.q[3:]
    bogies = list(v.bogie.values())
    wheel = v.wheel["road"]
    sides = 2.0
    arms, road = [], []
    for k, b in enumerate(bogies):
        px, pz, length = b.at_mm[0] * MM - com_x, b.at_mm[1] * MM - com_y, b.arm_mm * MM
        q = float(angles[k])
        rate = sides * b.spring.rate_Nm_per_deg * 180 / math.pi
        damp = sides * b.damper.bump_N_s_per_mm * 1e3 * (length * math.cos(q)) ** 2
        road.append((px - length * math.cos(q), pz - length * math.sin(q), wheel.radius_mm * MM))
        lo, hi = math.radians(b.stops.bump_deg), math.radians(b.stops.droop_deg)
        arms.append(
            f'<body pos="{px} 0 {pz}"><joint name="a{k}" axis="0 -1 0" stiffness="{rate}" damping="{damp}" '
            f'springref="{math.radians(b.spring.free_angle_deg)}" frictionloss="{sides * b.pivot_friction_Nm}" '
            f'limited="true" range="{lo} {hi}"/>'
            f'<inertial pos="{-length / 2} 0 0" mass="{sides * b.arm_mass_kg}" diaginertia=".01 .01 .01"/>'
            f'<body pos="{-length} 0 0"><joint name="t{k}" type="slide" axis="{-math.sin(q)} 0 {math.cos(q)}" '
            f'stiffness="{sides * wheel.abreast * wheel.rubber_rate_N_per_mm * 1e3}" damping="800"/>'
            f'<inertial pos="0 0 0" mass="0.5" diaginertia="1e-3 1e-3 1e-3"/>'
            f'<body><joint axis="0 1 0"/><geom class="wheel" size="{wheel.radius_mm * MM}" mass="{sides * wheel.abreast * wheel.mass_kg}"/>'
            f"</body></body></body>"
        )
    rear = (track.sprocket.at_mm[0] * MM - com_x, track.sprocket.at_mm[1] * MM - com_y)
    assert a.idler_mm is not None
    front = (a.idler_mm[0] * MM - com_x, a.idler_mm[1] * MM - com_y)
    disc = teeth * math.cos(math.pi / track.sprocket.teeth) - half
    rollers = [(r.at_mm[0] * MM - com_x, r.at_mm[1] * MM - com_y, r.radius_mm * MM) for r in track.roller]
    def pins(r: float) -> float:
        """Circle of the pins of straight links that rest on a circle r with their middles."""
        return math.hypot(r + half, pitch / 2)

    def belt(shift: float) -> list[tuple[float, float, float]]:
        around = [(*rear, teeth), *((x, y, pins(r)) for x, y, r in reversed(road))]
        around.append((front[0] + shift, front[1], pins(track.idler.radius_mm * MM)))
        return around + [(x, y, pins(r)) for x, y, r in sorted(rollers, reverse=True)]

    # The idler starts where straight links just close round the wheels, and is pushed out from there.
    def spare(shift: float) -> float:
        p = loop_points(belt(shift), track.links)
        return float(np.hypot(*(np.roll(p, -1, axis=0) - p).T).mean()) - pitch

    shift = brentq(spare, -0.06, 0.03)
    hull_y += 0.008
    points = loop_points(belt(shift), track.links) + [hull_x, hull_y]
    step = np.roll(points, -1, axis=0) - points
    heading = np.unwrap(np.arctan2(step[:, 1], step[:, 0]))
    turn = np.concatenate([[heading[0]], np.diff(heading)])
    mass = sides * track.mass_kg_per_m * pitch
    links = ""
    for k in range(track.links):
        joint = '<joint type="slide" axis="1 0 0"/><joint type="slide" axis="0 0 1"/>' if k == 0 else ""
        links += (
            f'<body name="l{k}" pos="{points[0, 0] if k == 0 else pitch} 0 {points[0, 1] if k == 0 else 0}">{joint}'
            f'<joint name="h{k}" axis="0 -1 0" damping="0.02" armature="1e-4"/><geom class="link" fromto="0 0 0 {pitch} 0 0" size="{half}" mass="{mass}"/>'
        )
    links += "</body>" * track.links
    push = sides * 2.0 * float(track.tension_N or 0.0)
    xml = f"""<mujoco><compiler angle="radian"/><option timestep="{DT}" gravity="0 0 -{G}" integrator="implicitfast" iterations="30"/>
<size memory="64M"/>
<default><geom solref="0.002 1" solimp="0.95 0.99 0.0005" condim="3"/>
<default class="wheel"><geom type="sphere" contype="2" conaffinity="1" friction="0.1 0 0"/></default>
<default class="link"><geom type="capsule" contype="1" conaffinity="2" friction="0.1 0 0"/></default>
<default class="earth"><geom contype="2" conaffinity="1" friction="{v.drive.grip} 0 0"/></default></default>
<worldbody><geom class="earth" type="plane" size="60 5 .1"/>
<geom class="earth" type="box" pos="{kerb_at_m + 25} 0 {kerb_m / 2 - 0.5}" size="25 5 {kerb_m / 2 + 0.5}"/>
<body name="hull" pos="{hull_x} 0 {hull_y}"><joint name="x" type="slide" axis="1 0 0"/><joint name="y" type="slide" axis="0 0 1"/>
<joint name="pitch" axis="0 -1 0"/><inertial pos="0 0 0" mass="{v.hull.mass_kg}" diaginertia="{v.hull.inertia_kg_m2} {v.hull.inertia_kg_m2} {v.hull.inertia_kg_m2}"/>
{"".join(arms)}
<body pos="{rear[0]} 0 {rear[1]}"><joint name="sprocket" axis="0 1 0"/><geom class="wheel" size="{disc}" mass="0.5" friction="3 0 0"/></body>
<body pos="{front[0]} 0 {front[1]}"><joint name="idler" type="slide" axis="1 0 0" damping="3000"/><inertial pos="0 0 0" mass="0.5" diaginertia="1e-3 1e-3 1e-3"/>
<body><joint axis="0 1 0"/><geom class="wheel" size="{track.idler.radius_mm * MM}" mass="0.5"/></body></body>
{"".join(f'<body pos="{x} 0 {y}"><joint axis="0 1 0"/><geom class="wheel" size="{r}" mass="0.2"/></body>' for x, y, r in rollers)}
</body>{links}</worldbody>
<equality><connect body1="l{track.links - 1}" body2="l0" anchor="{pitch} 0 0" solref="0.002 1"/></equality>
<actuator><motor name="drive" joint="sprocket"/><motor name="set" joint="idler"/></actuator></mujoco>"""
    return xml, np.concatenate([turn, angles, [shift, push]])


def drive_links(found: Standing, kerb_m: float, kerb_at_m: float, time_s: float) -> Links:
    """Settle, lock the idler, then drive like the course asks: target rising to the stated speed."""
    xml, start = link_xml(found, kerb_m, kerb_at_m)
    model = mujoco.MjModel.from_xml_string(xml)
    data = mujoco.MjData(model)
    v = found.assembly.vehicle
    track, drive = v.track, v.drive
    assert track is not None
    assert drive.torque_Nm is not None
    n = track.links

    def address(name: str) -> int:
        return int(model.joint(name).qposadr[0])

    for k in range(n):
        data.qpos[address(f"h{k}")] = start[k]
    for k in range(len(v.bogie)):
        data.qpos[address(f"a{k}")] = start[n + k]
    data.qpos[address("idler")] = start[-2]
    rate = drive.torque_Nm / 0.05 * track.sprocket_radius_m
    radius, target = track.sprocket_radius_m, 0.0
    rows = []
    links = [int(model.joint(f"h{k}").dofadr[0]) for k in range(1, n)]
    dof = int(model.joint("sprocket").dofadr[0])
    tyres = [address(f"t{k}") for k in range(len(v.bogie))]
    stiff = model.jnt_stiffness[[model.joint(f"t{k}").id for k in range(len(v.bogie))]]
    for i in range(round((REST_S + time_s) / DT)):
        t = i * DT - REST_S
        if t < 0:
            data.ctrl[1] = start[-1]
            # The links start as chords of the belt, a little inside the wheels: let them out gently.
            soft = max(0.003, 0.02 * (1.0 - 1.5 * (t + REST_S) / REST_S))
            model.geom_solref[:, 0] = model.eq_solref[:, 0] = soft
            model.dof_damping[links] = 0.02 if soft < 0.004 else 2.0
        elif data.ctrl[1] != 0.0:
            j = model.joint("idler")
            data.ctrl[1] = 0.0
            model.jnt_stiffness[j.id] = 5e6
            model.qpos_spring[j.qposadr[0]] = data.qpos[j.qposadr[0]] - start[-1] / 5e6
        target = min(target + drive.acceleration_m_s2 * DT, 1.2) if t >= 0 else 0.0
        brake = drive.brake_N * radius
        speed = data.qvel[dof] * radius
        data.ctrl[0] = min(max((target - speed) * rate / radius, -brake), drive.torque_Nm)
        mujoco.mj_step(model, data)
        if t >= 0 and i % 4 == 0:
            q = data.qpos
            rows.append([t, q[address("x")], q[address("y")], q[address("pitch")], data.ctrl[0], *(-stiff * q[tyres])])
    r = np.array(rows)
    hull = model.body("hull").pos
    return Links(r[:, 0], r[:, 1] + hull[0], r[:, 2] + hull[2], r[:, 3], r[:, 4], r[:, 5:])
