"""The same vehicle and force law integrated by scipy in reduced coordinates, without pymunk and its pivots.

Coordinates q = (x, y, pitch, joint angles); the pivots hold exactly. Mass matrix and the accelerations due to
turning are put together here. What the law's State holds beside the bodies is integrated with the rest, by its
names: band speed (without a track: of each rim), swing of the top run, the driver's memory, dry friction of
each pivot. What each contact pulls is worked out anew (second_tread.py), from its slip since the integrator's last
step, another integral.

The law is asked with a vanishing step (1 ns), so that "where the coming step will put it" is where it is: once for
what it takes from the step before, the tension that loads a bend of the band on the ground; once for loads and slips of
the contacts; and, given what they pull, for the forces. (With the tension of the evaluation before, up to half a step
away, walking beams over the half-round, whose band hangs loose and snaps tight, lay 6 % of the pitch's range off.)
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

import numpy as np
from scipy.integrate import RK45

from tests.verification.second_tread import merged, pull, since, untouched
from trundle.engine.standing import Standing
from trundle.law.ask import forces, generalised, place
from trundle.law.drive import HOLD_M_S
from trundle.law.driver import ADDED_UP_S, STIFF_M_S
from trundle.law.kernels import accept
from trundle.law.named import State
from trundle.law.scratch import Scratch, new_scratch
from trundle.model.arrays import Floats, Model

INSTANT_S = 1e-9

MOST_LAYERS = 12
"""Layers of a contact's load here: many more than the law's own, so that too few of those would be seen."""


@dataclass(frozen=True)
class Solution:
    """t (n,); q (n, 3 + nj); loads (n, nr) of the rings [N]; tension (n,) highest [N]; push (n,) [N]."""

    t: Floats
    q: Floats
    loads: Floats
    tension: Floats
    push: Floats


Arm = tuple[int, int, float, float, float, float, float]


def arms_of(m: Model) -> list[Arm]:
    """Parent, child, pivot in parent and in child [m], sign of each joint, as plain numbers."""
    return [(int(a.parent), int(a.child), *(float(a[k]) for k in ("px", "py", "cx", "cy", "sign"))) for a in m.joints]


def turning(arms: list[Arm], state: Floats) -> tuple[Floats, Floats]:
    """Jacobian (nb, 3, n) of body velocities and their accelerations (nb, 3) at constant rates.

    A point fixed in a body that turns at w accelerates by -w^2 times its offset from the pivot.
    """
    nb, n = len(arms) + 1, 3 + len(arms)
    jac, acc = np.zeros((nb, 3, n)), np.zeros((nb, 3))
    jac[0, 0, 0] = jac[0, 1, 1] = jac[0, 2, 2] = 1.0
    angle, spin = state[:, 2].tolist(), state[:, 5].tolist()
    for j, (p, c, px, py, cx, cy, sign) in enumerate(arms):
        cp, sp = math.cos(angle[p]), math.sin(angle[p])
        cc, sc = math.cos(angle[c]), math.sin(angle[c])
        hx, hy = cp * px - sp * py, sp * px + cp * py
        kx, ky = cc * cx - sc * cy, sc * cx + cc * cy
        jac[c, 2] = jac[p, 2]
        jac[c, 2, 3 + j] -= sign
        jac[c, 0] = jac[p, 0] - hy * jac[p, 2] + ky * jac[c, 2]
        jac[c, 1] = jac[p, 1] + hx * jac[p, 2] - kx * jac[c, 2]
        wp, wc = spin[p] ** 2, spin[c] ** 2
        acc[c, 0] = acc[p, 0] - wp * hx + wc * kx
        acc[c, 1] = acc[p, 1] - wp * hy + wc * ky
    return jac, acc


class Driver:
    """The driver's memory, going forward on a course without instructions: bounds of its numbers, and how fast they
    change."""

    TARGET, LASTING = "driver.target_m_s", "driver.lasting_N"

    def __init__(self, m: Model, answer: Any) -> None:
        """answer: the law's WORK (1,), without a recarray's slow ways."""
        d, speeds = m.drive, m.ground.speeds
        assert not len(m.ground.tasks), "the second solution takes no instructions"
        self.push, self.gain = float(d.push), float(d.acceleration)
        self.places, asked = speeds["x"].copy(), speeds["speed"]
        self.asked = np.where(np.isnan(asked), float(d.speed), asked)
        self.bounds = {self.TARGET: (-math.inf, math.inf), self.LASTING: (-float(d.brake), float(d.push))}
        self.memory, self.pushed = answer["next"]["driver"], answer["next"]["band"]["push_N"]

    def rates(self, at: dict[str, float], x: float) -> dict[str, float]:
        """At the law's answer, hull at course position x [m]."""
        saw = float(self.memory["saw_m_s"][0])
        assert not self.memory["held"], "the second solution cannot stand"
        assert not self.memory["backwards"], "the second solution cannot back up"
        short = self.asked[max(np.searchsorted(self.places, x, side="right") - 1, 0)] - at[self.TARGET]
        want = self.push / STIFF_M_S * (at[self.TARGET] - saw)
        lacking = want + at[self.LASTING] - float(self.pushed[0])
        within = lacking * want <= 0.0 or abs(lacking) < 1e-6 * self.push
        return {
            self.TARGET: math.copysign(self.gain, short) if abs(short) > 1e-9 else 0.0,
            self.LASTING: want / ADDED_UP_S if within else 0.0,
        }


class Tread:
    """Contacts with the ground: integrals of their slip and of travel, and what they pull by them.

    Of the vector: slip [m] of each ring, then of the points of the ground in front of each ring up to the next one on
    the band, which all slip alike (no ring's motion lets a span between two points grow); then travel, in lengths of
    contact, of the band or of each rim.
    """

    def __init__(self, m: Model, state: State, scratch: Scratch, most: int) -> None:
        self.track, self.nr, self.road = bool(m.band.on), len(m.rings), int(m.road)
        self.grip, self.full, self.length = (float(m.drive[k]) for k in ("grip", "shear", "contact_length"))
        self.size = 2 * self.nr + (1 if self.track else self.nr)
        self.taken, self.start, self.now = np.zeros(self.size), untouched(most), untouched(most)
        kept = state.record.view(np.ndarray)
        ring, self.ground = kept["law"]["ring"]["shear"], kept["ground"]
        self.ring_N = ring["load_N"][0], ring["pull_N"][0]
        self.ground_N = self.ground["shear"]["load_N"][0], self.ground["shear"]["pull_N"][0]
        work, contacts = scratch.work.view(np.ndarray), scratch.contacts.view(np.ndarray)
        self.loop, self.points, rings = work["loop"], work["ground"], work["ring"][0]
        self.owners = scratch.nodes.view(np.ndarray)["owner"]
        self.nodes, self.loads, self.offsets, self.pulled = (contacts[k] for k in ("node", "load", "offset", "pull"))
        self.ring_loads, self.ring_slips, self.ring_pulls = (rings[k] for k in ("load", "slip", "traction"))
        self.rates, self.slips, self.pulls = np.zeros(self.size), np.zeros(0), np.zeros(0)
        self.places: list[int] = []

    def find(self, speeds: Floats) -> Floats:
        """List the contacts, after the law was asked; speeds: of the band (1,), or of the rims (road,). Their loads."""
        # What does not touch keeps its slip: stages of a step with and without it would be blown up into others' shear.
        self.rates = self.rates.copy()
        self.rates[2 * self.nr :][: len(speeds)] = np.abs(speeds) / self.length
        if self.track:
            n = int(self.loop["contacts"][0])
            owners = self.owners[: int(self.loop["nodes"][0])].tolist()
            nodes = self.nodes[:n].tolist()
            keys, behind, ring = [owners[k] for k in nodes], [], 0
            for owner in owners:
                ring = owner if owner >= 0 else ring
                behind.append(owner if owner >= 0 else self.nr + ring)
            self.places = [behind[k] for k in nodes]
            loads = self.loads[:n].copy()
            self.slips = float(speeds[0]) + self.offsets[:n]
        else:
            keys = self.places = np.flatnonzero(self.ring_loads[: self.road] > 0.0).tolist()
            loads, self.slips = self.ring_loads[keys], self.ring_slips[keys]
        self.rates[self.places] = self.slips
        self.now = self.start.of(tuple(keys))
        return loads

    def apply(self, loads: Floats, integrals: Floats) -> None:
        """Put what the contacts found pull into the State, each contact as one layer."""
        gone = integrals - self.taken
        travel = gone[2 * self.nr :][self.places] if not self.track else np.full(len(loads), gone[-1])
        self.now = since(self.now, loads, gone[self.places], travel, self.full)
        self.pulls = pull(self.now, self.slips, self.grip, self.full)
        held = self.grip * (self.now.load * self.now.use).sum(axis=1)
        n = int(self.points["n"][0])
        listed = self.points["owner"][0, :n]
        for table in (*self.ring_N, *(t[: max(n, int(self.ground["n"][0]))] for t in self.ground_N)):
            table[...] = 0.0
        self.ground["n"], self.ground["owner"][0, :n] = n, listed
        row_of = {owner: row for row, owner in enumerate(listed.tolist())}
        for key, load, pulls in zip(self.now.keys, loads.tolist(), held.tolist(), strict=True):
            row, (load_N, pull_N) = (key, self.ring_N) if key >= 0 else (row_of[key], self.ground_N)
            load_N[row, 0], pull_N[row, 0] = load, pulls

    def check(self) -> None:
        """The law, asked again, pulls as was worked out here, to 1e-4 of the grip."""
        found = self.pulled[: len(self.pulls)] if self.track else self.ring_pulls[self.places]
        most = self.grip * self.now.load.sum(axis=1)
        assert (np.abs(found - self.pulls) <= 1e-4 * most + 1e-6).all(), (found, self.pulls)

    def take_over(self, integrals: Floats) -> None:
        """The integrator's step is taken: what the contacts carry now is where the next begins."""
        self.start, self.taken = merged(self.now), integrals.copy()


class Instant:
    """The law at a moment: a State whose own motions (band speed, driver, dry slips, rims) are set from a
    vector, and the rates at which they change. The tread's integrals are the vector's end.

    names: what of the State stands in the vector; low, high: each is kept between these.
    """

    def __init__(self, found: Standing, layers: int) -> None:
        self.model, self.state = found.assembly.model, found.state.copy()
        self.scratch = new_scratch(self.model)
        m, names = self.model, self.state.names
        slip = np.where(m.joints.friction > 0, m.joints.friction / m.joints.friction_rate, 0.0)
        self.rims = () if m.band.on else names.rings[: m.road]
        self.work = self.scratch.work.view(np.ndarray)
        self.driver, self.tread = Driver(m, self.work), Tread(m, self.state, self.scratch, layers)
        self.dry = {f"arm.{n}.dry_slip_rad": s for n, s in zip(names.arms, slip.tolist(), strict=True)}
        self.rolling = [f"{n}.rim_m_s" for n in self.rims] or ["band.speed_m_s"]
        free = (-math.inf, math.inf)
        bounds = dict.fromkeys(self.rolling, free)
        bounds |= {name: (-most, most) for name, most in self.dry.items()} | self.driver.bounds
        modes = m.band.mode[: int(m.band.modes)]
        self.weight, self.swung, self.loss = modes["weight"], modes["mass"], modes["loss"]
        self.stiff = 2.0 * modes["takes"]
        self.sags = [f"top.{k}.sag_m" for k in range(len(modes))]
        self.sinks = [f"{name}_s" for name in self.sags]
        bounds |= dict.fromkeys((*self.sags, *self.sinks), free)
        self.names = tuple(bounds)
        self.low, self.high = np.array(list(bounds.values())).T
        self.mass = m.rings.spin[: len(self.rims)].copy() if self.rims else np.array([float(m.drive.mass)])
        self.drag, self.on = m.rings.drag[: len(self.rims)].copy(), bool(m.band.on)
        self.size = len(self.names) + self.tread.size

    def ask(self, motions: Floats) -> None:
        """Ask the law where the State's bodies are, with these own motions."""
        for name, value in zip(self.names, motions.tolist(), strict=True):
            self.state[name] = value
        forces(self.model, self.state, INSTANT_S, self.scratch)

    def at(self, q: Floats, v: Floats, own: Floats) -> None:
        """Ask the law at coordinates q with rates v and own motions: the answer is in `scratch`."""
        place(self.model, self.state, q, v)
        count = len(self.names)
        motions = np.clip(own[:count], self.low, self.high)
        self.ask(motions)
        accept(self.state.record, self.scratch)
        self.ask(motions)
        self.tread.apply(self.tread.find(motions[: len(self.rolling)]), own[count:])
        forces(self.model, self.state, INSTANT_S, self.scratch)
        self.tread.check()
        accept(self.state.record, self.scratch)

    def own_rates(self, own: Floats, x: float) -> Floats:
        """How fast the own motions change, the hull's centre of mass at course position x [m]."""
        w, at = self.work, dict(zip(self.names, own.tolist(), strict=False))
        motions = own[: len(self.rolling)]
        band, push = w["next"]["band"], float(w["next"]["band"]["push_N"][0])
        if self.rims:
            loads, pulls = (w["ring"][k][0, : len(self.rims)] for k in ("load", "traction"))
            share = loads / loads.sum() if loads.any() else np.full(len(loads), 1.0 / len(loads))
            rolling = self.drag * loads * np.clip(motions / HOLD_M_S, -1.0, 1.0)
            gains = (push * share - pulls - rolling) / self.mass
        else:
            gains = (push - w["drag"] - band["traction_N"]) / self.mass
        rates = dict(zip(self.rolling, gains.tolist(), strict=True)) | self.driver.rates(at, x)
        turns = w["joint"]["rate"][0, : len(self.dry)].tolist()
        for rate, (key, most) in zip(turns, self.dry.items(), strict=True):
            slip = at[key]
            rates[key] = rate if abs(slip) < most or slip * rate < 0.0 else 0.0
        sag, sinks = (np.array([at[name] for name in names]) for names in (self.sags, self.sinks))
        stiff = self.stiff * float(band["top_N"][0])
        lost = 2.0 * self.loss * np.sqrt(stiff * self.swung) * sinks
        rates |= dict(zip(self.sags, sinks.tolist(), strict=True))
        rates |= dict(zip(self.sinks, ((self.weight - stiff * sag - lost) / self.swung).tolist(), strict=True))
        return np.concatenate([[rates[name] for name in self.names], self.tread.rates])


def integrate(
    found: Standing, time_s: float, step_s: float = 1e-3, rtol: float = 1e-4, layers: int = MOST_LAYERS
) -> Solution:
    """Drive from standing with adaptive Runge-Kutta 4(5), steps no longer than step_s, rows at every step."""
    now = Instant(found, layers)
    m = now.model
    n = 3 + len(m.joints)
    mass = np.column_stack([m.bodies.mass, m.bodies.mass, m.bodies.inertia])
    arms = arms_of(m)

    def rates(_t: float, z: Floats) -> Floats:
        q, v, own = z[:n], z[n : 2 * n], z[2 * n :]
        now.at(q, v, own)
        jac, acc = turning(arms, now.state.bodies)
        flat = (jac * mass[:, :, None]).reshape(-1, n)
        right = generalised(m, now.state, now.scratch) - flat.T @ acc.reshape(-1)
        turned = np.linalg.solve(jac.reshape(-1, n).T @ flat, right)
        return np.concatenate([v, turned, now.own_rates(own, q[0])])

    z = np.concatenate([found.q, np.zeros(n + now.size)])
    for name in now.sags:
        z[2 * n + now.names.index(name)] = found.state[name]
    # A micrometre of slip is 2e-4 of the grip.
    closely = np.concatenate([np.full(len(z) - now.tread.size, 1e-7), np.full(now.tread.size, 1e-6)])
    solver = RK45(rates, 0.0, z, time_s, max_step=step_s, rtol=rtol, atol=closely)
    rows, band = [], now.work["next"]["band"]
    loads = now.work["ring"]["load"][0, : len(m.rings)]
    while solver.status == "running":
        solver.step()
        now.at(solver.y[:n], solver.y[n : 2 * n], solver.y[2 * n :])
        now.tread.take_over(solver.y[len(z) - now.tread.size :])
        rows.append(np.concatenate([[solver.t], solver.y[:n], loads, band["tight_N"], band["push_N"]]))
    all_rows = np.array(rows)
    return Solution(all_rows[:, 0], all_rows[:, 1 : 1 + n], all_rows[:, 1 + n : -2], all_rows[:, -2], all_rows[:, -1])
