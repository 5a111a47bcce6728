"""The same vehicle and force law integrated by scipy in reduced coordinates, without pymunk and its pivots.

Coordinates q = (x, y, pitch, joint angles); the pivots hold exactly. Mass matrix and the accelerations due to
turning are put together here. What the law's State holds beside the bodies is integrated with the rest, by its
names: band speed and shear (without a track: of each rim), looseness, driver's target and lasting push, dry friction of
each pivot. The
law is asked with a vanishing step (1 ns), so that "where the coming step will put it" is where it is. The load under a
bend of the band on the ground, which the law takes from the tension of the step before, comes from the evaluation
before, a fraction of a step away.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

import numpy as np
from scipy.integrate import RK45

from trundle.engine.standing import Standing
from trundle.law.ask import forces, generalised, place
from trundle.law.drive import HOLD_M_S, SHEAR_S
from trundle.law.driver import ADDED_UP_S, STIFF_M_S
from trundle.law.kernels import accept
from trundle.law.loose import LOOSEN_S
from trundle.law.scratch import new_scratch, ring_rows
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


class Instant:
    """The law at a moment: a State whose own motions (band speed, shear, looseness, target, dry slips, rims) are set
    from a vector, and the rates at which they change.

    names: what of the State stands in the vector; most: each is kept between minus and plus this.
    """

    def __init__(self, found: Standing) -> None:
        self.model, self.state = found.assembly.model, found.state.copy()
        self.scratch = new_scratch(self.model)
        m, names = self.model, self.state.names
        self.full = float(m.drive.shear)
        slip = np.where(m.joints.friction > 0, m.joints.friction / m.joints.friction_rate, 0.0)
        self.rims = () if m.band.on else names.rings[: m.road]
        free = np.inf
        bounds: dict[str, float] = {"band.speed_m_s": free, "band.shear_m": self.full, "driver.target_m_s": free}
        bounds |= {"driver.lasting_N": float(max(m.drive.push, m.drive.brake))}
        bounds |= {f"arm.{n}.dry_slip_rad": s for n, s in zip(names.arms, slip.tolist(), strict=True)}
        bounds |= {"band.loose": free}
        bounds |= {f"{n}.rim_m_s": free for n in self.rims}
        bounds |= {f"{n}.shear_m": self.full for n in self.rims}
        self.names, self.most = tuple(bounds), np.array(list(bounds.values()))

    def at(self, q: Floats, v: Floats, own: Floats) -> Any:
        """The law's WORK record at coordinates q with rates v and own motions."""
        place(self.model, self.state, q, v)
        for name, value in zip(self.names, np.clip(own, -self.most, self.most).tolist(), strict=True):
            self.state[name] = value
        for name in self.rims:
            self.state[f"{name}.slip_m_s"] = 0.0
        forces(self.model, self.state, INSTANT_S, self.scratch)
        # What the law takes from the step before, the load under a bend, comes from the evaluation before.
        accept(self.state.record, self.scratch)
        return self.scratch.work[0]

    def own_rates(self, w: Any, own: Floats, x: float) -> Floats:
        """How fast the own motions change, the hull's centre of mass at course position x [m]."""
        m, at = self.model, dict(zip(self.names, own.tolist(), strict=True))
        band, drive, rates = w.next.band, m.drive, dict.fromkeys(self.names, 0.0)
        rings = ring_rows(self.scratch, len(m.rings))[: len(self.rims)]
        if self.rims:
            total = float(rings.load.sum())
            for name, ring, row in zip(self.rims, rings, m.rings, strict=False):
                u, z = at[f"{name}.rim_m_s"], at[f"{name}.shear_m"]
                share = ring.load / total if total > 0.0 else 1.0 / len(self.rims)
                drag = row.drag * ring.load * min(max(u / HOLD_M_S, -1.0), 1.0)
                rates[f"{name}.rim_m_s"] = (band.push_N * share - drag - ring.traction) / row.spin
                fed = ring.slip - z * abs(u) / drive.contact_length if ring.load > 0.0 else -z / SHEAR_S
                rates[f"{name}.shear_m"] = fed if abs(z) < self.full or fed * z < 0.0 else 0.0
        else:
            u, z = at["band.speed_m_s"], at["band.shear_m"]
            rates["band.speed_m_s"] = (band.push_N - w.drag - band.traction_N) / drive.mass
            fed = band.slip_m_s - z * abs(u) / drive.contact_length
            rates["band.shear_m"] = fed if abs(z) < self.full or fed * z < 0.0 else 0.0
        speeds = m.ground.speeds
        asked = speeds["speed"][np.searchsorted(speeds["x"], x, side="right") - 1]
        wish = drive.speed if math.isnan(asked) else asked
        rates["driver.target_m_s"] = drive.acceleration if at["driver.target_m_s"] < wish - 1e-9 else 0.0
        want = drive.push / STIFF_M_S * (at["driver.target_m_s"] - w.next.driver.saw_m_s)
        lacking = want + at["driver.lasting_N"] - band.push_N
        within = lacking * want <= 0.0 or abs(lacking) < 1e-6 * drive.push
        rates["driver.lasting_N"] = want / ADDED_UP_S if within else 0.0
        for j, name in enumerate(self.state.names.arms):
            key = f"arm.{name}.dry_slip_rad"
            rate, slip, most = float(w.joint[j].rate), at[key], self.most[self.names.index(key)]
            rates[key] = rate if abs(slip) < most or slip * rate < 0.0 else 0.0
        rates["band.loose"] = ((1.0 if m.band.on and w.loop.spare > 0.0 else 0.0) - at["band.loose"]) / LOOSEN_S
        return np.array([rates[name] for name in self.names])


def integrate(found: Standing, time_s: float, step_s: float = 1e-3, rtol: float = 1e-4) -> Solution:
    """Drive from standing with adaptive Runge-Kutta 4(5), steps no longer than step_s, rows at every step."""
    now = Instant(found)
    m = now.model
    n = 3 + len(m.joints)
    mass = np.column_stack([m.bodies.mass, m.bodies.mass, m.bodies.inertia])
    arms = arms_of(m)

    def rates(_t: float, z: Floats) -> Floats:
        q, v, own = z[:n], z[n : 2 * n], z[2 * n :]
        w = now.at(q, v, own)
        jac, acc = turning(arms, now.state.bodies)
        flat = (jac * mass[:, :, None]).reshape(-1, n)
        right = generalised(m, now.state, now.scratch) - flat.T @ acc.reshape(-1)
        turned = np.linalg.solve(jac.reshape(-1, n).T @ flat, right)
        return np.concatenate([v, turned, now.own_rates(w, own, q[0])])

    z = np.concatenate([found.q, np.zeros(n + len(now.names))])
    solver = RK45(rates, 0.0, z, time_s, max_step=step_s, rtol=rtol, atol=1e-7)
    rows = []
    while solver.status == "running":
        solver.step()
        w = now.at(solver.y[:n], solver.y[n : 2 * n], solver.y[2 * n :])
        loads = ring_rows(now.scratch, len(m.rings)).load
        rows.append(np.concatenate([[solver.t], solver.y[:n], loads, [w.next.band.tight_N, w.next.band.push_N]]))
    all_rows = np.array(rows)
    return Solution(all_rows[:, 0], all_rows[:, 1 : 1 + n], all_rows[:, 1 + n : -2], all_rows[:, -2], all_rows[:, -1])
