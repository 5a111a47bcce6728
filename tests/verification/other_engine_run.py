"""Stand and drive one vehicle over one ground: in the other engine, and in Trundle."""

from __future__ import annotations

import math
from dataclasses import dataclass

import mujoco
import numpy as np

from tests.verification import rigs
from tests.verification.other_engine_ground import Floats, Surface
from tests.verification.other_engine_model import Built, build
from trundle.engine.length import default_step_s
from trundle.engine.standing import stand
from trundle.spec.vehicle import Vehicle

STEP_S = 1.25e-4
"""Of the other engine; test_other_engine halves it."""

STIFF_M_S = 0.05
"""Shortfall of speed at which the driver gives all the motor has [m/s]."""

HOLD_M_S = 0.02
"""Below this speed rolling drag grows in proportion to speed [m/s]."""

ADDED_UP_S = 0.3
"""A shortfall that lasts so long has doubled the push [s]."""

EVEN_N_S_PER_M = 200.0
"""What brings a wheel in the air back to the speed of the others [N.s/m]."""

JOIN_S = 0.03
"""Two hits of one stop within this time are one [s]."""


@dataclass(frozen=True)
class Trip:
    """A vehicle at rest, and its run.

    stand_y [m], stand_pitch [rad], stand_loads (stations,) [N]. A row a step: t [s]; x, y [m], pitch [rad] of the hull;
    loads (n, stations), stops (n, pivots) [N], both sides together. clear: least height of the belly [m].
    """

    stand_y: float
    stand_pitch: float
    stand_loads: Floats
    per_station: tuple[float, ...]
    t: Floats
    x: Floats
    y: Floats
    pitch: Floats
    loads: Floats
    stops: Floats
    clear: float = math.inf

    def hits(self) -> int:
        """Bump-stop hits of all pivots."""
        count = 0
        for pressed in (self.stops > 0.0).T:
            change = np.diff(np.concatenate([[False], pressed, [False]]).astype(int))
            starts, ends = np.flatnonzero(change > 0), np.flatnonzero(change < 0)
            if len(starts):
                count += 1 + int((self.t[starts[1:]] - self.t[ends[:-1] - 1] > JOIN_S).sum())
        return count

    def wheel_loads(self) -> Floats:
        """Of one wheel of each station (n, stations) [N]."""
        return self.loads / np.array(self.per_station)

    def over(self, values: Floats, at: Floats) -> Floats:
        """Values where the hull first is at the places `at` [m]."""
        first = np.maximum.accumulate(self.x)
        keep = np.concatenate([[True], np.diff(first) > 0.0])
        return np.interp(at, self.x[keep], values[keep])


class Other:
    """The other engine's vehicle at work."""

    def __init__(self, v: Vehicle, built: Built) -> None:
        self.v, self.built, self.m = v, built, built.model
        self.d = mujoco.MjData(self.m)
        self.dt = float(self.m.opt.timestep)
        self.at = [int(self.m.joint(p.name).qposadr[0]) for p in built.pivots]
        self.tyres = [self.m.geom(f"{s.name}_tyre").id for s in built.stations]
        self.station = np.full(self.m.ngeom, -1)
        self.station[self.tyres] = np.arange(len(self.tyres))
        self.goal = self.lasting = 0.0
        self.drag = np.array([v.wheel[s.kind].drag for s in built.stations])
        self.load = np.array([t.load for t in built.treads])

    def suspension(self) -> list[float]:
        """Apply springs, dampers and stops. Returns the stops' forces [N]."""
        q, v = self.d.qpos.tolist(), self.d.qvel.tolist()
        stops = []
        for p, k in zip(self.built.pivots, self.at, strict=True):
            self.d.qfrc_applied[k], stop = p.torque(q[k], v[k])
            stops.append(stop)
        for leaf in self.built.leaves:
            a, b = self.at[leaf.fore], self.at[leaf.aft]
            force = leaf.force(q[a], q[b])
            self.d.qfrc_applied[a] += force * leaf.lever(q[a])
            self.d.qfrc_applied[b] += force * leaf.lever(q[b])
        return stops

    def motor(self) -> None:
        """Torque in proportion to the shortfall of speed, and to its sum over time, as far as motor and brake go.

        One shaft: on the shaft. Else as through differentials that give each wheel its share by load, which is what
        Trundle takes for wheels; the speed is the wheels' mean by the same shares, so no work is lost between.
        """
        d, r = self.v.drive, self.built.radius
        self.goal = min(self.goal + d.acceleration_m_s2 * self.dt, d.speed_m_s)
        rims = self.d.actuator_velocity * r
        if len(rims) == 1:
            share, even = np.ones(1), 0.0
        else:
            total = self.load.sum()
            share = self.load / total if total > 0.0 else np.full(len(rims), 1.0 / len(rims))
            even = EVEN_N_S_PER_M * (float(rims @ share) - rims) * (self.load == 0.0)
        rim = float(rims @ share)
        most = d.push_N if d.push_N is not None else d.torque_Nm / r
        want = (self.goal - rim) * most / STIFF_M_S
        if d.power_W is not None and rim * most > d.power_W:
            most = d.power_W / rim
        push = min(max(want + self.lasting, -d.brake_N), most)
        if (want + self.lasting - push) * want <= 0.0:
            self.lasting = min(max(self.lasting + want * self.dt / ADDED_UP_S, -d.brake_N), most)
        takes = self.drag * self.load
        drag = (takes if len(rims) > 1 else takes.sum()) * np.clip(rims / HOLD_M_S, -1.0, 1.0)
        self.d.ctrl[:] = r * (push * share + even - drag)

    def loads(self) -> Floats:
        """Load of each station in the step just done: its contacts' normal forces as one vector's length [N]."""
        c = self.d.contact
        out = np.zeros((len(self.tyres), 2))
        if self.d.ncon:
            on = c.efc_address >= 0
            force = self.d.efc_force[c.efc_address[on]]
            which = np.maximum(self.station[c.geom[on, 0]], self.station[c.geom[on, 1]])
            np.add.at(out, which, force[:, None] * c.frame[on][:, [0, 2]])
        return np.hypot(out[:, 0], out[:, 1])

    def settle(self, x: float) -> None:
        """Come to rest with the hull at x [m]: wheels free, no dry friction, drag on hull and arms."""
        d, m = self.d, self.m
        friction = m.dof_frictionloss.copy()
        m.dof_frictionloss[:] = 0.0
        d.qpos[0] = x
        on_leaf = {j for leaf in self.built.leaves for j in (leaf.fore, leaf.aft)}
        for j, (p, k) in enumerate(zip(self.built.pivots, self.at, strict=True)):
            if p.spring or j in on_leaf:
                d.qpos[k] = p.bump + 0.7 * (p.droop - p.bump)
        mujoco.mj_kinematics(m, d)
        d.qpos[1] -= min(d.geom_xpos[g, 2] - m.geom_size[g, 0] for g in self.tyres)
        m.opt.timestep = step = min(2.0 * self.dt, 2.5e-4)
        heavy, turn = self.built.mass, self.v.hull.inertia_kg_m2
        for k in range(round(2.5 / step)):
            self.suspension()
            drag = 20.0 if k * step < 1.0 else 6.0
            d.qfrc_applied[0] = 1e5 * (x - d.qpos[0]) - 1e4 * d.qvel[0]
            d.qfrc_applied[1] = -drag * heavy * d.qvel[1]
            d.qfrc_applied[2] = -drag * turn * d.qvel[2]
            d.qfrc_applied[self.at] -= d.qvel[self.at]
            mujoco.mj_step(m, d)
        m.opt.timestep = self.dt
        m.dof_frictionloss[:] = friction
        d.qfrc_applied[:] = 0.0
        d.qvel[:] = 0.0
        d.time = 0.0

    def drive(self, time_s: float) -> Trip:
        """Drive from where it stands."""
        steps = max(1, round(time_s / self.dt))
        rows = np.empty((steps, 4))
        stops, loads = np.empty((steps, len(self.at))), np.empty((steps, len(self.tyres)))
        for k in range(steps):
            rows[k, 0], rows[k, 1:] = self.d.time, self.d.qpos[:3]
            stops[k] = self.suspension()
            if k:
                self.motor()
                for tread, load in zip(self.built.treads, self.load.tolist(), strict=True):
                    tread.follow(self.m, load, self.d.qpos[tread.at])
            mujoco.mj_step(self.m, self.d)
            loads[k] = self.load = self.loads()
        count = tuple(float(s.count) for s in self.built.stations)
        return Trip(float(rows[0, 2]), float(rows[0, 3]), loads[0].copy(), count, *rows.T, loads, stops)


def other(
    v: Vehicle, ground: Surface, time_s: float, dt: float = STEP_S, *, tyre: str = "bedded", shaft: bool = False
) -> Trip:
    """Stand and drive in the other engine, the hull's tail at the start of the course (see build)."""
    built = build(v, ground, dt, tyre=tyre, shaft=shaft)
    it = Other(v, built)
    it.settle(built.com[0])
    return it.drive(time_s)


def trundle(v: Vehicle, ground: Surface, time_s: float, dt: float | None = None, dx: float = 0.005) -> Trip:
    """The same in Trundle, in its default step, on a grid of dx [m]."""
    found = stand(v, ground.arrays(dx))
    m = found.assembly.model
    log = rigs.run(m, found.state, time_s, default_step_s(v) if dt is None else dt)
    stops = np.column_stack([log("arm", "stop", j) for j in range(len(m.joints))])
    return Trip(
        float(found.q[1]), float(found.q[2]), found.rings.load[: m.road].copy(), found.assembly.per_station, log.t,
        log("run", "x"), log("run", "y"), log("run", "pitch"), log.loads(m.road), stops,
        float(log("run", "belly_clear").min()),
    )  # fmt: skip
