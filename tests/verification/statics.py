"""Standing position of a vehicle file, from its millimetres alone: potential energy, minimised (scipy, then Newton).

Nothing of the program is used. Energies: weights; springs; tyres on
level ground. A track pulls with one tension on the outer wheels and on the ends of the hull.

- Torsion bar G J / L, coil G d^4 / (8 D^3 n), leaf on one seat: both ends k/2 (d0 + d1) with k = 3 E I / l^3 (Shigley,
  helical and torsion springs, from memory; Roark table 8.1).
- Tyre: bedding of c per metre and metre of ground pushes along the radius (Winkler, Johnson, Contact Mechanics, 4.3);
  its energy is c/2 times the integral of depth^2, by Gauss-Legendre. c makes the tyre's rate the file's at an even
  share of the weight.
- Track, as the README says of it: taut, so one tension T = w a^2 / (8 sag) over the longest top span (parabola, from
  memory), and every roller bears it; the mass of the lower run (as long as the outer axles are apart, arms level) goes
  with the wheels, evenly; the rest hangs on the ends. The idler is set where the stated links just go round with that
  tension.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np
from scipy.optimize import brentq, minimize

G, E_STEEL, G_STEEL, MM = 9.80665, 206e9, 79.3e9, 1e-3
Array = np.ndarray[Any, np.dtype[np.float64]]
_NODES, _WEIGHTS = np.polynomial.legendre.leggauss(60)


def turn(angle: float, x: float, y: float) -> Array:
    return np.array([math.cos(angle) * x - math.sin(angle) * y, math.sin(angle) * x + math.cos(angle) * y])


def tyre_energy(radius: float, height: float) -> float:
    """For a bedding of 1 N/m2: half the integral of depth^2, the axle `height` above the ground [m3]."""
    if height >= radius:
        return 0.0
    if height < 0.5 * radius:  # no tyre stands so; straight on, for a search that passes here
        return tyre_energy(radius, 0.5 * radius) + (0.5 * radius - height) * tyre_load(radius, 0.5 * radius)
    half = math.sqrt(radius**2 - height**2)
    depth = radius - np.hypot(half * _NODES, height)
    return float(0.5 * half * np.sum(_WEIGHTS * depth**2))


def tyre_load(radius: float, height: float) -> float:
    """The same for the load: integral of the depth's upward part [m2]."""
    if height >= radius:
        return 0.0
    half = math.sqrt(radius**2 - height**2)
    reach = np.hypot(half * _NODES, height)
    return float(half * np.sum(_WEIGHTS * (radius - reach) * height / reach))


def bedding(radius: float, load: float, rate: float) -> float:
    """[N/m2] such that a tyre under `load` has `rate` [N, N/m]: load/slope does not depend on it."""

    def off(press: float) -> float:
        d = 1e-5 * press
        slope = (tyre_load(radius, radius - press - d) - tyre_load(radius, radius - press + d)) / (2 * d)
        return tyre_load(radius, radius - press) / slope - load / rate

    press = brentq(off, 1e-6 * radius, 0.4 * radius, xtol=1e-14)
    return load / tyre_load(radius, radius - press)


def spring_energy(s: dict[str, Any], arm_m: float) -> Callable[[float], float]:
    """Energy of one side's spring over the arm's angle below the hull's horizontal [rad]."""
    kind = s["kind"]
    free = math.radians(s.get("free_angle_deg", 0.0))
    if kind == "torsion bar":
        rate = G_STEEL * math.pi * (s["diameter_mm"] * MM) ** 4 / 32 / (s["length_mm"] * MM)
        return lambda a: 0.5 * rate * (free - a) ** 2
    if kind == "pivot rate":
        turn_rate = math.degrees(s["rate_Nm_per_deg"])
        return lambda a: 0.5 * turn_rate * (free - a) ** 2
    if kind == "axle rate":
        up = s["rate_N_per_mm"] * 1e3
        return lambda a: 0.5 * up * (arm_m * (math.sin(free) - math.sin(a))) ** 2
    assert kind == "coil"
    stiff = G_STEEL * (s["wire_mm"] * MM) ** 4 / (8 * (s["mean_diameter_mm"] * MM) ** 3 * s["coils"])

    def coil(a: float) -> float:
        seat = turn(-a, s["on_arm_mm"] * MM, s.get("above_arm_mm", 0.0) * MM)
        apart = math.dist(seat, [v * MM for v in s["anchor_mm"]])
        return 0.5 * stiff * max(s["free_length_mm"] * MM - apart, 0.0) ** 2

    return coil


def leaf_energy(s: dict[str, Any], pivots_apart_m: float) -> Callable[[float, float], float]:
    """The same for a leaf on one seat across two arms."""
    half, radius = s["length_mm"] * MM / 2, s["free_radius_mm"] * MM
    inertia = s["full_leaves"] * s["width_mm"] * MM * (s["thickness_mm"] * MM) ** 3 / 12
    k = 3 * E_STEEL * inertia / half**3
    bears = radius * math.sin(half / radius) - pivots_apart_m / 2
    tip = s["seat_above_pivots_mm"] * MM - s["full_leaves"] * s["thickness_mm"] * MM
    tip -= radius * (1 - math.cos(half / radius))

    def lift(a: float) -> float:
        return -bears * math.tan(a) + s["arm_top_mm"] * MM / math.cos(a) - tip

    return lambda fore, aft: 0.25 * k * (lift(fore) + lift(aft)) ** 2


@dataclass
class Arm:
    """Pivot [m], where it points, length [m], mass [kg]; axle of a wheel, or pivot of a beam."""

    pivot: tuple[float, float]
    sign: float
    length: float
    kg: float


@dataclass
class Wheel:
    """Road wheels of one axle and side. arm: number of its arm; beam: number of its angle, or None; at: on the beam."""

    name: str
    arm: int
    beam: int | None
    at: float
    spec: dict[str, Any]


class Standing:
    """q = (height of tail datum [m], pitch, angle of each arm below the hull's horizontal, pitch of each beam)."""

    def __init__(self, data: dict[str, Any]) -> None:
        """data: the vehicle file's tables; without `track` it stands on its wheels."""
        self.data = data
        self.track = data.get("track")
        self.arms: list[Arm] = []
        self.wheels: list[Wheel] = []
        self.springs: list[Callable[[Array], float]] = []
        self.beams: list[tuple[int, float]] = []
        for name, bogie in self.data["bogie"].items():
            self._add(name, bogie)
        self.set_out = 0.0
        self.thick = self.track["thickness_mm"] * MM if self.track else 0.0
        self.lower = self._lower_kg() / len(self.wheels) if self.track else 0.0
        hull = self.data["hull"]
        self.hull_kg = [(hull["mass_kg"], *(v * MM for v in hull["com_mm"]))]
        count = sum(2 * w.spec["abreast"] for w in self.wheels)
        self.weight = self._all_kg() * G
        self.bedding = [
            bedding(self.radius(w), self.weight / count, w.spec["rubber_rate_N_per_mm"] * 1e3) for w in self.wheels
        ]

    def _add(self, name: str, b: dict[str, Any]) -> None:
        wheel, x, y = self.data["wheel"][b["wheel"]], b["at_mm"][0] * MM, b["at_mm"][1] * MM
        first = len(self.arms)
        if b["kind"] == "paired arms":
            half = b["pivots_apart_mm"] * MM / 2
            for sign, end in ((1.0, "fore"), (-1.0, "aft")):
                self.wheels.append(Wheel(f"{name}.{end}", len(self.arms), None, 0.0, wheel))
                self.arms.append(Arm((x + sign * half, y), sign, b["arm_mm"] * MM, b["arm_mass_kg"]))
            if b["spring"]["kind"] == "leaf across":
                leaf = leaf_energy(b["spring"], 2 * half)
                self.springs.append(lambda a: leaf(a[first], a[first + 1]))
            else:
                one = spring_energy(b["spring"], b["arm_mm"] * MM)
                self.springs.append(lambda a: one(a[first]) + one(a[first + 1]))
            return
        arm = b["arm"] if b["kind"] == "walking beam" else b
        sign = 1.0 if arm["points"] == "forward" else -1.0
        single = spring_energy(arm["spring"], arm["arm_mm"] * MM)
        self.springs.append(lambda a: single(a[first]))
        self.arms.append(Arm((x, y), sign, arm["arm_mm"] * MM, arm["arm_mass_kg"]))
        if b["kind"] == "single arm":
            self.wheels.append(Wheel(name, first, None, 0.0, wheel))
            return
        for end, share in (("fore", 0.5), ("aft", -0.5)):
            self.wheels.append(Wheel(f"{name}.{end}", first, len(self.beams), share * b["wheels_apart_mm"] * MM, wheel))
        self.beams.append((first, b["beam_mass_kg"]))

    def radius(self, w: Wheel) -> float:
        return w.spec["radius_mm"] * MM + self.thick

    def _all_kg(self) -> float:
        total = self.hull_kg[0][0] + 2 * sum(a.kg for a in self.arms) + 2 * sum(kg for _, kg in self.beams)
        total += 2 * sum(w.spec["abreast"] * w.spec["mass_kg"] for w in self.wheels)
        if self.track:
            total += 2 * self.track["mass_kg_per_m"] * self.links_m
        return float(total)

    # Where things are.

    def place(self, q: Array, x: float, y: float) -> Array:
        return np.array([0.0, q[0]]) + turn(q[1], x, y)

    def along(self, q: Array, i: int, share: float) -> Array:
        a, down = self.arms[i], q[2 + i]
        out = share * a.length
        return self.place(q, a.pivot[0] + a.sign * out * math.cos(down), a.pivot[1] - out * math.sin(down))

    def axle(self, q: Array, w: Wheel) -> Array:
        end = self.along(q, w.arm, 1.0)
        return end if w.beam is None else end + turn(q[2 + len(self.arms) + w.beam], w.at, 0.0)

    # Track.

    @property
    def links_m(self) -> float:
        assert self.track
        return self.track["links"] * self.track["pitch_mm"] * MM

    def _lower_kg(self) -> float:
        assert self.track
        xs = [self.arms[w.arm].pivot[0] + self.arms[w.arm].sign * self.arms[w.arm].length + w.at for w in self.wheels]
        return (max(xs) - min(xs)) * self.track["mass_kg_per_m"]

    def ends(self) -> list[tuple[float, float, float]]:
        """Circles (x, y, radius to the ground face) of the front and the rear end, on the hull."""
        assert self.track
        s, i = self.track["sprocket"], self.track["idler"]
        pitch = self.track["pitch_mm"] * MM / (2 * math.sin(math.pi / s["teeth"]))
        outward = -1.0 if s["end"] == "front" else 1.0
        sprocket = (s["at_mm"][0] * MM, s["at_mm"][1] * MM, pitch + self.thick / 2)
        idler = (i["at_mm"][0] * MM + outward * self.set_out, i["at_mm"][1] * MM, i["radius_mm"] * MM + self.thick)
        return [sprocket, idler] if s["end"] == "front" else [idler, sprocket]

    def top(self) -> list[tuple[Array, Array]]:
        """Straight pieces of the top run, front to rear, on the hull."""
        assert self.track
        front, rear = self.ends()
        rollers = [(*(v * MM for v in r["at_mm"]), r["radius_mm"] * MM + self.thick) for r in self.track["roller"]]
        chain = [front, *sorted(rollers, reverse=True), rear]
        return [tangent(a, b) for a, b in itertools.pairwise(chain)]

    def tension(self) -> float:
        """In one track [N], from the stated sag."""
        assert self.track
        longest = max(math.dist(*p) for p in self.top())
        return self.track["mass_kg_per_m"] * G * longest**2 / (8 * self.track["sag_mm"] * MM)

    def outer(self, q: Array) -> tuple[Wheel, Wheel]:
        """Front and rear wheel."""
        order = sorted(self.wheels, key=lambda w: float(self.axle(q, w)[0]))
        return order[-1], order[0]

    def lower_spans(self, q: Array) -> list[tuple[Array, Array]]:
        """From the front wheel up to the front end, and from the rear end down to the rear wheel, in the world. A
        wheel's circle touches the ground, however much its tyre is pressed."""
        front, rear = ((*self.place(q, x, y), r) for x, y, r in self.ends())
        f, r = ((*(p := self.axle(q, w)), p[1]) for w in self.outer(q))
        return [tangent(f, front), tangent(rear, r)]

    def length(self, q: Array) -> float:
        """Of the loop along the pins, half a thickness inside its ground face [m]."""
        up, down = self.lower_spans(q)
        pieces = [up, *((self.place(q, *a), self.place(q, *b)) for a, b in self.top()), down]
        f, r = self.outer(q)
        total = float(self.axle(q, f)[0] - self.axle(q, r)[0]) + sum(math.dist(*p) for p in pieces)
        s = [math.atan2(*(b - a)[::-1]) for a, b in pieces]
        angles = [0.0, *s, 2 * math.pi]
        chain = [self.radius(f), self.ends()[0][2]]
        assert self.track
        chain += [r_["radius_mm"] * MM + self.thick for r_ in self.track["roller"]]
        chain += [self.ends()[1][2], self.radius(r)]
        for radius, a, b in zip(chain, angles, angles[1:], strict=False):
            turned = (b - a) % (2 * math.pi)
            total += radius * (turned - 2 * math.pi if turned > 1.7 * math.pi else turned)
        return total - math.pi * self.thick

    # Equilibrium.

    def energy(self, q: Array) -> float:
        u = sum(kg * G * self.place(q, x, y)[1] for kg, x, y in self.hull_kg)
        u += 2 * sum(a.kg * G * self.along(q, i, 0.5)[1] for i, a in enumerate(self.arms))
        u += 2 * sum(kg * G * self.along(q, i, 1.0)[1] for i, kg in self.beams)
        u += 2 * sum(spring(q[2:]) for spring in self.springs)
        for w, c in zip(self.wheels, self.bedding, strict=True):
            y = float(self.axle(q, w)[1])
            u += 2 * (w.spec["abreast"] * w.spec["mass_kg"] + self.lower) * G * y
            u += 2 * w.spec["abreast"] * c * tyre_energy(self.radius(w), y)
        return float(u)

    def pull(self, q: Array) -> Array:
        """Generalised force of the track's tension, by virtual work."""
        if not self.track:
            return np.zeros(len(q))
        t = 2 * self.tension()
        up, down = self.lower_spans(q)
        front, rear = self.outer(q)
        u, d = (up[1] - up[0]) / math.dist(*up), (down[1] - down[0]) / math.dist(*down)
        level = np.array([1.0, 0.0])
        loads = [(front, t * (u - level)), (rear, t * (level - d))]
        # On the hull where the straight runs meet it: both lines of pull, back to hull coordinates.
        ends = [(turn(-q[1], *(p - [0.0, q[0]])), f) for p, f in ((up[1], -t * u), (down[0], t * d))]

        def work(p: Array) -> float:
            w = sum(float(f @ self.axle(p, wheel)) for wheel, f in loads)
            return w + sum(float(f @ self.place(p, *at)) for at, f in ends)

        return gradient(work, q)

    def stand(self) -> Array:
        """q at rest. With a track: the idler is set out until the loop has the length of its links."""
        if not self.track:
            return self._rest()
        self._hang(0.0)
        found = [self._rest()]

        def off(set_out: float) -> float:
            self._hang(set_out)
            found[0] = self._rest(found[0])
            assert self.track
            area = self.track.get("stretch_N") or 0.25 * 206e3 * self.track["link_steel_mm2"]
            sag = 8 / 3 * (self.track["sag_mm"] * MM) ** 2 / max(math.dist(*p) for p in self.top()) ** 4
            slack = sum(sag * math.dist(*p) ** 3 for p in self.top())
            return self.length(found[0]) + slack - self.links_m * (1 + self.tension() / area)

        brentq(off, -0.045, 0.03, xtol=1e-6)
        return found[0]

    def _hang(self, set_out: float) -> None:
        """The rest of the track's mass at its ends."""
        assert self.track
        self.set_out = set_out
        each = self.links_m * self.track["mass_kg_per_m"] - self._lower_kg()
        self.hull_kg[1:] = [(each, x, y) for x, y, _ in self.ends()]

    def _start(self) -> Array:
        down = 0.25
        drops = [(self.radius(w), self.arms[w.arm]) for w in self.wheels]
        y = max(radius + arm.length * math.sin(down) - arm.pivot[1] for radius, arm in drops)
        return np.array([y, 0.0, *(down for _ in self.arms), *(0.0 for _ in self.beams)])

    def _rest(self, start: Array | None = None) -> Array:
        # Roughly by the energy, which always leads down; then to the end by the forces, the track's among them.
        if start is None:
            start = minimize(self.energy, self._start(), method="BFGS", options={"gtol": 1.0}).x
            # The track is tightened little by little: it lifts the outer wheels.
            for share in np.arange(0.0, 1.0, 0.05) if self.track else ():
                start = self._newton(start, share)
        return self._newton(start, 1.0)

    def _newton(self, start: Array, share: float) -> Array:
        q = np.asarray(start, dtype=float)
        for _ in range(60):
            miss = self._unbalanced(q, share)
            if np.abs(miss).max() < 1e-6 * self.weight:
                return q
            steps = np.eye(len(q)) * 1e-5
            slope = [(self._unbalanced(q + e, share) - self._unbalanced(q - e, share)) / 2e-5 for e in steps]
            # By 1 cm or 0.6 deg at most: leaves and tyres let go of what they touch.
            q = q - np.clip(np.linalg.solve(np.array(slope).T, miss), -0.01, 0.01)
        raise ArithmeticError(f"no rest found; out of balance by {np.abs(miss).max():.3g} N or N.m")

    def _unbalanced(self, q: Array, share: float) -> Array:
        return gradient(self.energy, q) - share * self.pull(q)

    def loads(self, q: Array) -> dict[str, float]:
        """Load of one wheel [N] by its name."""
        each = zip(self.wheels, self.bedding, strict=True)
        return {w.name: c * tyre_load(self.radius(w), float(self.axle(q, w)[1])) for w, c in each}


def gradient(f: Callable[[Array], float], q: Array, h: float = 1e-5) -> Array:
    """By central differences."""
    return np.array([(f(q + h * e) - f(q - h * e)) / (2 * h) for e in np.eye(len(q))])


def tangent(a: tuple[float, ...], b: tuple[float, ...]) -> tuple[Array, Array]:
    """Ends of the straight piece of a belt from circle a to circle b, both on its left."""
    ca, cb = np.array(a[:2]), np.array(b[:2])
    apart = math.dist(ca, cb)
    angle = math.atan2(*(cb - ca)[::-1]) + math.asin((a[2] - b[2]) / apart) - math.pi / 2
    normal = np.array([math.cos(angle), math.sin(angle)])
    return ca + a[2] * normal, cb + b[2] * normal
