"""The same vehicle and force law integrated by scipy in reduced coordinates, without pymunk and its pivots.

Coordinates q = (x, y, pitch, joint angles); the pivots hold exactly. Mass matrix and the accelerations due to
turning are put together here. Hidden states are integrated with the rest: band speed u, shear z (without a track:
speed and shear of each rim), looseness, driver's target, dry-friction slip of each pivot. The force law is asked with
a vanishing step (1 ns), so that "where the coming step will put it" is where it is. The load under a bend of the band
on the ground, which the law takes from the tension of the step before, comes from the evaluation before, a fraction
of a step away.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from scipy.integrate import RK45

from trundle.engine.standing import Standing
from trundle.law.band import LOOSEN_S
from trundle.law.drive import SHEAR_S
from trundle.law.entry import forces, generalised, place
from trundle.law.ground import LOAD, RIM, SHEAR, SLIP, SLIPPED, TRACTION
from trundle.law.pivots import FRICTION_SLIP, RATE
from trundle.model.arrays import Floats, Model

INSTANT_S = 1e-9


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


def integrate(found: Standing, time_s: float, step_s: float = 1e-3, rtol: float = 1e-4) -> Solution:
    """Drive from standing with adaptive Runge-Kutta 4(5), steps no longer than step_s, rows at every step."""
    m, w = found.assembly.model, found.work
    nj, nb = len(m.joints), len(m.bodies)
    n = 3 + nj
    state, out = np.zeros((nb, 6)), np.zeros(n)
    mass = np.column_stack([m.bodies.mass, m.bodies.mass, m.bodies.inertia])
    slip_limit = np.where(m.joints.friction > 0, m.joints.friction / m.joints.friction_rate, 0.0)
    arms, full = arms_of(m), float(m.drive[0].shear)
    d = {k: float(m.drive[0][k]) for k in ("mass", "contact_length", "acceleration", "speed")}
    # Places in z: dry friction of the pivots, looseness, rims and their shear.
    wheels = 0 if m.band[0].on else int(m.road)
    dry, loose = slice(2 * n + 3, 2 * n + 3 + nj), 2 * n + 3 + nj
    rim, shorn = slice(loose + 1, loose + 1 + wheels), slice(loose + 1 + wheels, loose + 1 + 2 * wheels)

    def law(z: Floats) -> tuple[Floats, Floats]:
        c = w.carry[0]
        place(m, z[:n], z[n : 2 * n], state)
        c.u, c.shear, c.target = z[2 * n], min(max(z[2 * n + 1], -full), full), z[2 * n + 2]
        c.loose = z[loose]
        w.joint[:, FRICTION_SLIP] = np.clip(z[dry], -slip_limit, slip_limit)
        w.ring[:wheels, RIM], w.ring[:wheels, SHEAR] = z[rim], np.clip(z[shorn], -full, full)
        w.ring[:wheels, SLIPPED] = 0.0
        forces(m, w, state, INSTANT_S)
        generalised(m, w, state, out)
        return turning(arms, state)

    def rates(_t: float, z: Floats) -> Floats:
        jac, acc = law(z)
        flat = (jac * mass[:, :, None]).reshape(-1, n)
        right = out - flat.T @ acc.reshape(-1)
        dz = np.zeros_like(z)
        dz[:n] = z[n : 2 * n]
        dz[n : 2 * n] = np.linalg.solve(jac.reshape(-1, n).T @ flat, right)
        c = w.carry[0]
        if wheels:
            load, pull, slip = w.ring[:wheels, LOAD], w.ring[:wheels, TRACTION], w.ring[:wheels, SLIP]
            share = load / load.sum() if load.sum() > 0.0 else np.full(wheels, 1.0 / wheels)
            dz[rim] = (c.push * share - pull) / m.rings.spin[:wheels]
            fed = np.where(load > 0.0, slip - z[shorn] * abs(z[rim]) / d["contact_length"], -z[shorn] / SHEAR_S)
            dz[shorn] = np.where((abs(z[shorn]) < full) | (fed * z[shorn] < 0), fed, 0.0)
        else:
            dz[2 * n] = (c.push - c.drag - c.traction) / d["mass"]
            shear = c.slip_speed - z[2 * n + 1] * abs(z[2 * n]) / d["contact_length"]
            if abs(z[2 * n + 1]) < full or shear * z[2 * n + 1] < 0:
                dz[2 * n + 1] = shear
        asked = m.ground.speed[np.searchsorted(m.ground.speed_from, z[0], side="right") - 1]
        wish = d["speed"] if math.isnan(asked) else asked
        dz[2 * n + 2] = d["acceleration"] if z[2 * n + 2] < wish - 1e-9 else 0.0
        rate, slip = w.joint[:, RATE], z[dry]
        dz[dry] = np.where((np.abs(slip) < slip_limit) | (slip * rate < 0), rate, 0.0)
        dz[loose] = ((1.0 if c.spare > 0.0 else 0.0) - z[loose]) / LOOSEN_S
        return dz

    z = np.concatenate([found.q, np.zeros(n + 4 + nj + 2 * wheels)])
    solver = RK45(rates, 0.0, z, time_s, max_step=step_s, rtol=rtol, atol=1e-7)
    rows = []
    while solver.status == "running":
        solver.step()
        law(solver.y)
        c = w.carry[0]
        rows.append(np.concatenate([[solver.t], solver.y[:n], w.ring[:, LOAD], [c.tight, c.push]]))
    all_rows = np.array(rows)
    return Solution(all_rows[:, 0], all_rows[:, 1 : 1 + n], all_rows[:, 1 + n : -2], all_rows[:, -2], all_rows[:, -1])
