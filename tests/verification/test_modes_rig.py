"""Standing position and natural frequencies against a solution assembled here from energies alone.

The rig below knows only the dimensions: it writes the potential energy (gravity, springs, tyres) and the
places of all masses, finds the standing position as the minimum of the energy, and takes mass and stiffness
matrices by differences. Nothing of the law or the linearisation is used. Sources: Lagrange's
equations for small motion (any vibration text); tyre: every metre of ground inside the ring pushes along
its radius, bedding c per metre and metre (Winkler bedding, Johnson, Contact Mechanics, 4.3), integrated
here by
quadrature; leaf on one seat: both ends k/2 (d0 + d1), k = 3 E I / l^3 (Roark table 8.1).

Tolerances: 0.5 % of a frequency, 0.5 mm, 0.5 % of a load (design page). What remains is the 0.5 mm ground
grid under the tyre.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from typing import Any

import numpy as np
import pytest
from scipy.integrate import quad
from scipy.linalg import eigh
from scipy.optimize import brentq, minimize

from trundle.papers.standing import standing_sheet
from trundle.spec.vehicle import vehicle_from

G = 9.80665
E = 206e9


@dataclass
class ArmRig:
    """pivot from the tail datum [m], sign +1 pointing forward; length, masses of one side [m, kg]."""

    px: float
    py: float
    sign: float
    length: float
    arm_kg: float
    wheel_kg: float
    spring_Nm: float = 0.0
    free: float = 0.0


@dataclass
class Rig:
    """A vehicle without track; leaf: (rate of one end, bearing, top, free tip) over arms 2k, 2k + 1."""

    hull_kg: float
    inertia: float
    cx: float
    cy: float
    arms: list[ArmRig]
    radius: float
    tyre_rate: float
    tyres: float
    leaf: tuple[float, float, float, float] | None = None
    bedding: float = field(init=False)

    def __post_init__(self) -> None:
        weight = (self.hull_kg + 2 * sum(a.arm_kg + a.wheel_kg for a in self.arms)) * G
        share = weight / (self.tyres * len(self.arms))

        def off(press: float) -> float:
            # Rate over load does not depend on the bedding: find the press where it is as stated.
            h = 1e-6 * press
            slope = (self.unit_load(press + h) - self.unit_load(press - h)) / (2 * h)
            return slope / self.unit_load(press) - self.tyre_rate / share

        press = float(brentq(off, 1e-5, 0.3 * self.radius))
        self.bedding = share / self.unit_load(press)

    def unit_load(self, press: float) -> float:
        h = self.radius - press
        a = math.sqrt(self.radius**2 - h**2)
        return 2 * quad(lambda x: (self.radius / math.hypot(x, h) - 1) * h, 0, a, epsabs=1e-13)[0]

    def unit_energy(self, press: float) -> float:
        """Integral of (R - d)^2 / 2 over the contact, in closed form."""
        r, h = self.radius, self.radius - press
        a = math.sqrt(r * r - h * h)
        # 2 x 1/2 x integral of R^2 - 2 R sqrt(x^2 + h^2) + x^2 + h^2 from 0 to a.
        root = 0.5 * (a * r + h * h * math.asinh(a / h))
        return r * r * a - 2 * r * root + a**3 / 3 + h * h * a

    def places(self, q: np.ndarray) -> tuple[list[tuple[float, float]], list[tuple[float, float]]]:
        """(x, y) of arm middles and axles for q = (x, y, pitch, angles below the hull's horizontal)."""
        c, s = math.cos(q[2]), math.sin(q[2])
        middles, axles = [], []
        for a, down in zip(self.arms, q[3:], strict=True):
            for share, out in ((0.5, middles), (1.0, axles)):
                ux = a.px - self.cx + share * a.sign * a.length * math.cos(down)
                uy = a.py - self.cy - share * a.length * math.sin(down)
                out.append((q[0] + c * ux - s * uy, q[1] + s * ux + c * uy))
        return middles, axles

    def energy(self, q: np.ndarray) -> float:
        middles, axles = self.places(q)
        v = self.hull_kg * G * q[1]
        for a, m, w, down in zip(self.arms, middles, axles, q[3:], strict=True):
            v += 2 * G * (a.arm_kg * m[1] + a.wheel_kg * w[1])
            v += 2 * 0.5 * a.spring_Nm * (a.free - down) ** 2
            press = self.radius - w[1]
            if press > 0:
                v += self.tyres * self.bedding * self.unit_energy(press)
        if self.leaf is not None:
            rate, bears, top, tip = self.leaf
            lift = [-bears * math.tan(d) + top / math.cos(d) - tip for d in q[3:]]
            for k in range(0, len(lift), 2):
                # One seat: the leaf rocks, only the sum of the ends' lifts bends it.
                v += 2 * 0.5 * (rate / 2) * (lift[k] + lift[k + 1]) ** 2
        return v

    def stand(self) -> np.ndarray:
        def scaled(u: np.ndarray) -> float:
            return self.energy(np.concatenate([[0.0], u]))

        start = np.array([self.radius + 0.15, 0.0, *(0.3 for _ in self.arms)])
        found = minimize(scaled, start, method="Nelder-Mead", options={"maxfev": 40000, "xatol": 1e-7, "fatol": 1e-10})
        u = found.x
        for _ in range(30):
            grad, hess = derivatives(scaled, u)
            step = np.linalg.solve(hess, grad)
            u = u - np.clip(step, -0.01, 0.01)
            if np.abs(step).max() < 1e-9:
                break
        return np.concatenate([[0.0], u])

    def frequencies(self, q: np.ndarray) -> np.ndarray:
        n = len(q)
        _, k = derivatives(self.energy, q)
        k[0, :] = k[:, 0] = 0.0  # The ground is flat: nothing changes along it.

        def bodies(p: np.ndarray) -> np.ndarray:
            """(x, y, turn) of hull and arms, then (x, y) of the axles."""
            middles, axles = self.places(p)
            rows = [(p[0], p[1], p[2])]
            rows += [(*m, p[2] - a.sign * d) for m, a, d in zip(middles, self.arms, p[3:], strict=True)]
            rows += [(*w, 0.0) for w in axles]
            return np.array(rows)

        h = 1e-6
        jac = np.stack([(bodies(q + h * e) - bodies(q - h * e)) / (2 * h) for e in np.eye(n)], axis=-1)
        weights = [(self.hull_kg, self.hull_kg, self.inertia)]
        weights += [(2 * a.arm_kg, 2 * a.arm_kg, 2 * a.arm_kg * a.length**2 / 12) for a in self.arms]
        weights += [(2 * a.wheel_kg, 2 * a.wheel_kg, 0.0) for a in self.arms]
        mass = np.einsum("bci,bc,bcj->ij", jac, np.array(weights), jac)
        values = eigh(k, mass, eigvals_only=True)
        return np.sqrt(np.sort(values)[1:]) / (2 * math.pi)


def derivatives(f: Any, u: np.ndarray, h: float = 2e-4) -> tuple[np.ndarray, np.ndarray]:
    """Gradient and Hessian by fourth-order and second-order central differences."""
    n = len(u)
    e = np.eye(n) * h
    grad = np.array([(8 * (f(u + d) - f(u - d)) - f(u + 2 * d) + f(u - 2 * d)) / (12 * h) for d in e])
    hess = np.zeros((n, n))
    for i in range(n):
        for j in range(i, n):
            a, b = e[i], e[j]
            hess[i, j] = hess[j, i] = (f(u + a + b) - f(u + a - b) - f(u - a + b) + f(u - a - b)) / (4 * h * h)
    return grad, hess


WHEEL = {"radius_mm": 120.0, "mass_kg": 4.0, "abreast": 1, "rubber_rate_N_per_mm": 150.0, "rubber_loss": 0.0}
STOPS = {"bump_below_level_deg": -20.0, "droop_below_level_deg": 50.0}


def base(bogies: dict[str, Any]) -> dict[str, Any]:
    return {
        "name": "Rig",
        "hull": {
            "mass_kg": 120.0,
            "com_mm": [520.0, 180.0],
            "pitch_inertia_kg_m2": 9.0,
            "length_mm": 1000.0,
            "height_mm": 400.0,
            "belly_mm": [[0.0, 0.0], [1000.0, 0.0]],
            "seat_mm": [400.0, 300.0],
        },
        "wheel": {"road": WHEEL},
        "bogie": bogies,
        "drive": {"speed_m_s": 1.0, "push_N": 400.0, "brake_N": 300.0, "grip": 0.7},
    }


def single(x: float, points: str, rate: float) -> dict[str, Any]:
    return {
        "kind": "single arm",
        "at_mm": [x, 20.0],
        "points": points,
        "arm_mm": 200.0,
        "arm_mass_kg": 3.0,
        "wheel": "road",
        "spring": {"kind": "pivot rate", "rate_Nm_per_deg": rate, "free_angle_deg": 45.0},
        "stops": STOPS,
    }


def singles() -> tuple[dict[str, Any], Rig]:
    """A leading arm in front, a trailing arm behind, springs at the pivots."""
    data = base({"front": single(760.0, "forward", 4.0), "rear": single(240.0, "back", 3.5)})
    deg = 180 / math.pi
    arms = [
        ArmRig(0.76, 0.02, 1.0, 0.2, 3.0, 4.0, 4.0 * deg, math.radians(45)),
        ArmRig(0.24, 0.02, -1.0, 0.2, 3.0, 4.0, 3.5 * deg, math.radians(45)),
    ]
    return data, Rig(120.0, 9.0, 0.52, 0.18, arms, 0.12, 150e3, 2.0)


def leaves() -> tuple[dict[str, Any], Rig]:
    """Two bogies of paired arms, each with one leaf on one seat."""
    leaf = {
        "kind": "leaf across",
        "width_mm": 50.0,
        "thickness_mm": 6.0,
        "length_mm": 420.0,
        "free_radius_mm": 600.0,
        "seat_above_pivots_mm": 6.0,
        "arm_top_mm": 20.0,
        "friction": 0.0,
        "steel": "51CrV4",
    }

    def pair(x: float) -> dict[str, Any]:
        return {
            "kind": "paired arms",
            "at_mm": [x, 20.0],
            "pivots_apart_mm": 60.0,
            "arm_mm": 200.0,
            "arm_mass_kg": 3.0,
            "wheel": "road",
            "spring": leaf,
            "stops": {"bump_below_level_deg": -10.0, "droop_below_level_deg": 40.0},
        }

    data = base({"front": pair(860.0), "rear": pair(140.0)})
    arms = [ArmRig(x + s * 0.03, 0.02, s, 0.2, 3.0, 4.0) for x in (0.86, 0.14) for s in (1.0, -1.0)]
    half = 0.42 / 1.2
    chord_half, rise = 0.6 * math.sin(half), 0.6 * (1 - math.cos(half))
    ei = E * 0.05 * 0.006**3 / 12
    rate = 3 * ei / 0.21**3
    tip = 0.006 - 0.006 - rise
    return data, Rig(120.0, 9.0, 0.52, 0.18, arms, 0.12, 150e3, 2.0, (rate, chord_half - 0.03, 0.02, tip))


@pytest.fixture(scope="module", params=[singles, leaves], ids=["single arms", "leaf across"])
def both(request: pytest.FixtureRequest) -> tuple[Any, Rig, np.ndarray]:
    data, rig = request.param()
    return standing_sheet(vehicle_from(data), adjusters=False), rig, rig.stand()


def test_standing_height_angles(both: tuple[Any, Rig, np.ndarray]) -> None:
    """Ride height 0.5 mm, pitch and arm angles 0.1 deg."""
    sheet, rig, q = both
    for h in sheet.heights:
        y = q[1] + math.sin(q[2]) * (h.at_mm * 1e-3 - rig.cx) - math.cos(q[2]) * rig.cy
        assert h.height_mm == pytest.approx(y * 1e3, abs=0.5)
    assert sheet.pitch_deg == pytest.approx(math.degrees(q[2]), abs=0.1)
    assert [a.angle_deg for a in sheet.arms] == pytest.approx(list(np.degrees(q[3:])), abs=0.1)


def test_standing_loads(both: tuple[Any, Rig, np.ndarray]) -> None:
    """Each wheel's load 0.5 %; their sum the weight, 0.1 %."""
    sheet, rig, q = both
    _, axles = rig.places(q)
    want = sorted(rig.bedding * rig.unit_load(rig.radius - y) for _, y in axles)
    assert sorted(w.load_N for w in sheet.wheels) == pytest.approx(want, rel=0.005)
    assert sum(w.load_N * w.wheels for w in sheet.wheels) == pytest.approx(sheet.weight_N, rel=1e-3)


def test_frequencies(both: tuple[Any, Rig, np.ndarray]) -> None:
    """Every natural frequency within 0.5 %."""
    sheet, rig, q = both
    assert [m.frequency_Hz for m in sheet.modes] == pytest.approx(list(rig.frequencies(q)), rel=0.005)


def test_names(both: tuple[Any, Rig, np.ndarray]) -> None:
    """The hull's two modes come first; paired arms have a rocking mode for each bogie."""
    sheet, rig, _ = both
    kinds = [m.kind for m in sheet.modes]
    assert sorted(kinds[:2]) == ["heave", "pitch"]
    assert kinds.count("rocking") == (2 if rig.leaf else 0)


def test_heave_of_one_mass() -> None:
    """A level hull on four nearly massless level arms is one mass on four springs, f = sqrt(4 k/m)/2 pi.

    k: the arm's rate at the horizontal, k_pivot/r^2 (check value: torsion bar with trailing arm, theta = 0),
    in series with the tyre's, 600 N/mm at its share of the weight."""
    data = base({"front": single(1000.0, "forward", 3.0), "rear": single(0.0, "back", 3.0)})
    data["hull"] |= {"com_mm": [500.0, 20.0]}
    data["wheel"]["road"] = {**WHEEL, "mass_kg": 0.05, "rubber_rate_N_per_mm": 600.0}
    weight = (120.0 + 4 * 0.07) * G
    for bogie in data["bogie"].values():
        # Free angle so that the arms stand level: k (free - 0) = W/4 r.
        bogie["spring"]["free_angle_deg"] = 30.0 * G * 0.2 / 3.0
        bogie["arm_mass_kg"] = 0.02
    sheet = standing_sheet(vehicle_from(data), adjusters=False)
    assert sheet.weight_N == pytest.approx(weight)
    assert [a.angle_deg for a in sheet.arms] == pytest.approx([0.0, 0.0], abs=0.1)
    k = 1.0 / (0.2**2 / (3.0 * 180 / math.pi) + 1.0 / 600e3)
    heave = next(m for m in sheet.modes if m.kind == "heave")
    assert heave.frequency_Hz == pytest.approx(math.sqrt(4 * k / 120.0) / (2 * math.pi), rel=0.005)
