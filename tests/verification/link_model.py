"""The same tracked vehicle in a general-purpose engine (pymunk), its track a chain of separate rigid links.

Nothing of the project's force law is used: the links are rigid, joined by pins, and meet wheels and ground by
pymunk's own rigid contacts with Coulomb friction; the motor turns the sprocket, which takes the links along. Both
sides are lumped in one plane, as in the vehicle model. Idealised here, and not there:

- no rubber: wheels, links and ground are hard, and a hit loses all of its energy;
- the sprocket is a disc of the size on which straight links have their pins on its pitch circle, and friction (3,
  it does not slip) stands for the teeth; stops at the ends of an arm's travel are hard;
- links do not stretch, and bend only at their pins.

The motor follows the same law. While the vehicle settles the idler is pushed out by the force of the stated
tension, then it is locked where it is. What the chain loses by itself on the level (links that slide on wheels, and
hit wheels and ground) is its internal drag; it is measured there and given to the vehicle model as its `rolling_drag`.

`python -m tests.verification.link_model` writes the comparison as a table and a picture.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
import pymunk
from scipy.ndimage import uniform_filter1d
from scipy.optimize import brentq
from scipy.signal import butter, sosfiltfilt
from scipy.spatial import ConvexHull

from tests.measured import Measurement, no_arguments
from tests.verification import rigs
from trundle.bogies import SingleArm
from trundle.engine.standing import Standing, stand
from trundle.model.arrays import SIDES, Floats, GroundArrays
from trundle.spec.vehicle import Vehicle
from trundle.springs.pivot_rate import PivotRate
from trundle.units import MM, G

DT = 1e-4
SETTLE_S = 1.5
EVERY = 10
"""Steps per row kept; its tension is the mean of them."""

CUT_HZ = 3.0
"""Low-pass on both models' torque: links pass the sprocket at 10 Hz at 0.6 m/s, and chordal ripple is not compared."""

SHORT_MS = (1, 5, 10)
"""Times over which peaks of pull are compared that are not low-passed [ms]. The links' hits are plastic: their highest
1 ms is 2120, 2540, 2350 N with steps of 100, 50, 25 microseconds, their highest 5 ms 1780, 1900, 1820 N, their highest
10 ms 1550, 1590, 1610 N; only from 5 ms on they are figures of the chain and not of the step."""

KERB_AT = 2.6
SPEED = 0.6
KERB_M = 0.05
AT = np.arange(-1.65, 1.0, 0.005)
"""Places of the hull's centre of mass, from the kerb, at which runs are compared [m]."""

LEVEL = (AT > -1.4) & (AT < -0.85)
OVER = (AT > -0.8) & (AT < 0.6)
"""Up to speed before the nose meets the kerb; from there until the tail is up."""

PHASES = (0.0, 0.25, 0.5, 0.75)
"""Where on a link the kerb's edge strikes, in pitches: it is up to chance, and the band knows no such thing."""

FINE = {"track.links": 132, "track.pitch_mm": 30, "track.sprocket.teeth": 20}
"""The same track in links half as long."""

LINK, WHEEL, EARTH = 1, 2, 4
_MEETS = {LINK: WHEEL | EARTH, WHEEL: LINK, EARTH: LINK}


def _filter(kind: int) -> pymunk.ShapeFilter:
    return pymunk.ShapeFilter(categories=kind, mask=_MEETS[kind])


def laid(circles: list[tuple[float, float, float]], count: int) -> Floats:
    """`count` points (count, 2), evenly along a taut loop round circles (x, y, radius), anticlockwise [m]."""
    turn = np.linspace(0.0, 2.0 * math.pi, 1440, endpoint=False)
    dots = np.concatenate([np.column_stack([x + r * np.cos(turn), y + r * np.sin(turn)]) for x, y, r in circles])
    line = dots[ConvexHull(dots).vertices]
    line = np.concatenate([line, line[:1]])
    along = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(line, axis=0).T))])
    at = np.linspace(0.0, along[-1], count, endpoint=False)
    return np.column_stack([np.interp(at, along, line[:, k]) for k in (0, 1)])


@dataclass
class LinkVehicle:
    """The bodies of the second model, and what is needed to drive it."""

    found: Standing
    space: pymunk.Space = field(default_factory=pymunk.Space)
    dampers: list[Any] = field(default_factory=list)
    links: list[Any] = field(default_factory=list)
    pins: list[Any] = field(default_factory=list)
    wheels: list[Any] = field(default_factory=list)

    def __post_init__(self) -> None:
        v, a = self.found.assembly.vehicle, self.found.assembly
        assert v.track is not None
        self.track, self.spec = v.track, v
        s = self.space
        s.gravity, s.iterations = (0.0, -G), 40
        s.collision_slop = 1e-4
        s.collision_bias = math.exp(-1.0 / 0.01)
        self.half = 0.5 * self.track.thickness_mm * MM
        self.com = np.array(v.hull.com_mm) * MM
        self.at, self.pitch = self._standing(a.com)
        self.extra_kg = 1.0
        self.hull = self._body(v.hull.mass_kg - 2.0 * self.extra_kg, v.hull.inertia_kg_m2, (0.0, 0.0), self.pitch)
        for k, bogie in enumerate(v.bogie.values()):
            assert isinstance(bogie, SingleArm)
            self._arm(bogie, float(self.found.q[3 + k]))
        self._ends()
        self._lay()

    def _standing(self, com: tuple[float, float]) -> tuple[Floats, float]:
        """World place of the hull's own centre of mass where the first model stands [m], and its pitch."""
        x, y, pitch = self.found.q[:3]
        c, s = math.cos(pitch), math.sin(pitch)
        dx, dy = self.com - np.array(com)
        return np.array([x + c * dx - s * dy, y + s * dx + c * dy]), float(pitch)

    def world(self, local: tuple[float, float] | Floats) -> Floats:
        """World place of a point given from the hull's centre of mass [m]."""
        c, s = math.cos(self.pitch), math.sin(self.pitch)
        return self.at + np.array([c * local[0] - s * local[1], s * local[0] + c * local[1]])

    def _hull_point(self, mm: tuple[float, float]) -> Floats:
        return np.array(mm) * MM - self.com

    def _body(self, mass: float, inertia: float, local: Any, angle: float = 0.0) -> Any:
        body = pymunk.Body(mass, inertia)
        body.position, body.angle = tuple(self.world(local)), angle
        self.space.add(body)
        return body

    def _disc(self, mass: float, inertia: float, radius: float, local: Any, friction: float) -> Any:
        body = self._body(mass, inertia, local)
        shape = pymunk.Circle(body, radius)
        shape.friction, shape.filter = friction, _filter(WHEEL)
        self.space.add(shape)
        return body

    def _pin(self, a: Any, b: Any, on_a: Any, on_b: Any) -> Any:
        joint = pymunk.PivotJoint(a, b, tuple(on_a), tuple(on_b))
        joint.error_bias = math.exp(-1.0 / 0.01)
        joint.collide_bodies = True
        self.space.add(joint)
        return joint

    def _arm(self, b: SingleArm, angle: float) -> None:
        sign = 1.0 if b.points == "forward" else -1.0
        assert sign < 0.0, "trailing arms only"
        length, pivot = b.arm_mm * MM, self._hull_point(b.at_mm)
        c, s = math.cos(angle), math.sin(angle)
        axle = pivot - length * np.array([c, s])
        mass = SIDES * b.arm_mass_kg
        arm = self._body(mass, mass * length**2 / 12.0, 0.5 * (pivot + axle), self.pitch + angle)
        wheel = self.spec.wheel[b.wheel]
        count = SIDES * wheel.abreast
        disc = self._disc(count * wheel.mass_kg, count * wheel.spin_kg_m2, wheel.radius_mm * MM, axle, 0.5)
        self._pin(self.hull, arm, pivot, (0.5 * length, 0.0))
        self._pin(arm, disc, (-0.5 * length, 0.0), (0.0, 0.0))
        spring = b.spring
        assert isinstance(spring, PivotRate)
        rate = SIDES * spring.rate_Nm_per_deg * 180.0 / math.pi
        twist = pymunk.DampedRotarySpring(arm, self.hull, math.radians(spring.free_angle_deg), rate, 0.0)
        rub = pymunk.SimpleMotor(arm, self.hull, 0.0)
        rub.max_force = SIDES * b.pivot_friction_Nm
        stop = pymunk.RotaryLimitJoint(
            self.hull,
            arm,
            math.radians(b.stops.bump_below_level_deg or 0.0),
            math.radians(b.stops.droop_below_level_deg or 0.0),
        )
        self.space.add(twist, rub, stop)
        self.dampers.append((arm, SIDES * b.damper.bump_N_s_per_mm / MM * length**2))
        self.wheels.append((disc, wheel.radius_mm * MM))

    def _ends(self) -> None:
        """Sprocket, rollers and the idler, which may slide until it is locked. Masses come out of the hull's."""
        t, kg = self.track, self.extra_kg
        self.radius = t.sprocket_radius_m
        disc = self.radius * math.cos(math.pi / t.sprocket.teeth) - self.half
        at = self._hull_point(t.sprocket.at_mm)
        self.sprocket = self._disc(kg, 0.01, disc, at, 3.0)
        self._pin(self.hull, self.sprocket, at, (0.0, 0.0))
        self.wheels.append((self.sprocket, disc))
        for r in t.roller:
            at = self._hull_point(r.at_mm)
            roller = self._disc(0.2, 1e-4, r.radius_mm * MM, at, 0.5)
            self._pin(self.hull, roller, at, (0.0, 0.0))
            self.wheels.append((roller, r.radius_mm * MM))
        self.idler_at = self._hull_point(t.idler.at_mm)
        self.idler = self._disc(kg, 0.01, t.idler.radius_mm * MM, self.idler_at, 0.5)
        x, y = self.idler_at
        self.slide = pymunk.GrooveJoint(self.hull, self.idler, (x - 0.15, y), (x + 0.15, y), (0.0, 0.0))
        self.space.add(self.slide)

    def _circle(self, body: Any, radius: float) -> tuple[float, float, float]:
        """Circle of the pins of straight links that lie on a wheel with their middles."""
        return body.position.x, body.position.y, math.hypot(radius + self.half, 0.5 * self.track.pitch_mm * MM)

    def _lay(self) -> None:
        """Links along the taut loop round the wheels; the idler goes where their number just closes."""
        t = self.track
        count, pitch = t.links, t.pitch_mm * MM
        fixed = [self._circle(*w) for w in self.wheels]

        def loop(shift: float) -> Floats:
            x, y, r = self._circle(self.idler, t.idler.radius_mm * MM)
            return laid([*fixed, (x + shift, y, r)], count)

        def spare(shift: float) -> float:
            p = loop(shift)
            return float(np.hypot(*(np.roll(p, -1, axis=0) - p).T).mean()) - pitch

        shift = float(brentq(spare, -0.1, 0.1))
        self.idler.position += (shift, 0.0)
        points = loop(shift)
        lift = self.half + 1e-4 - points[:, 1].min()
        for body in self.space.bodies:
            body.position += (0.0, lift)
        points[:, 1] += lift
        mass = SIDES * t.mass_kg_per_m * pitch
        ends = np.roll(points, -1, axis=0)
        for p, q in zip(points, ends, strict=True):
            body = pymunk.Body(mass, mass * (pitch**2 + 4.0 * self.half**2) / 12.0)
            body.position = tuple(0.5 * (p + q))
            body.angle = math.atan2(q[1] - p[1], q[0] - p[0])
            shape = pymunk.Segment(body, (-0.5 * pitch, 0.0), (0.5 * pitch, 0.0), self.half)
            shape.friction, shape.filter = 1.0, _filter(LINK)
            self.space.add(body, shape)
            self.links.append(body)
        for a, b in zip(self.links, [*self.links[1:], self.links[0]], strict=True):
            self.pins.append(self._pin(a, b, (0.5 * pitch, 0.0), (-0.5 * pitch, 0.0)))

    def earth(self, kerb_m: float, at_m: float, grip: float) -> None:
        """Level ground with a sharp kerb up."""
        for corners in (
            [(-5.0, -1.0), (20.0, -1.0), (20.0, 0.0), (-5.0, 0.0)],
            [(at_m, -1.0), (20.0, -1.0), (20.0, kerb_m), (at_m, kerb_m)],
        ):
            shape = pymunk.Poly(self.space.static_body, corners)
            shape.friction, shape.filter = grip, _filter(EARTH)
            self.space.add(shape)

    def damp(self) -> None:
        """Dampers for the coming step; their lever turns with the arm, c (r cos angle)^2. As plain torques:
        the engine's own rotary damper, repeated in its iterations, gives a light arm with a heavy wheel too much."""
        for arm, c in self.dampers:
            lever = math.cos(arm.angle - self.hull.angle)
            torque = c * lever * lever * (arm.angular_velocity - self.hull.angular_velocity)
            arm.torque -= torque
            self.hull.torque += torque

    def push_idler(self, force: float) -> None:
        """`force` [N] from hull to idler, along the hull, for the coming step."""
        c, s = math.cos(self.hull.angle), math.sin(self.hull.angle)
        away = 200.0 * (self.idler.velocity - self.hull.velocity)
        fx, fy = force * c - away.x, force * s - away.y
        self.idler.apply_force_at_world_point((fx, fy), self.idler.position)
        self.hull.apply_force_at_world_point((-fx, -fy), self.idler.position)

    def lock_idler(self) -> None:
        """From now on the idler turns on a fixed axle."""
        place = self.hull.world_to_local(self.idler.position)
        self.space.remove(self.slide)
        self._pin(self.hull, self.idler, place, (0.0, 0.0))

    def turn_sprocket(self, torque: float) -> None:
        """`torque` [N.m] from hull to sprocket, positive forward, for the coming step."""
        self.sprocket.torque -= torque
        self.hull.torque += torque

    def band_speed(self) -> float:
        """Speed of the pitch circle past the hull [m/s]."""
        return float(self.hull.angular_velocity - self.sprocket.angular_velocity) * self.radius

    def tension_N(self) -> float:
        """Mean pull in the pins of the top run over the last step, both tracks [N]."""
        low, rear, front = self.hull.position.y - 0.08, self.sprocket.position.x + 0.1, self.idler.position.x - 0.1
        pulls = [
            pin.impulse / DT
            for pin, link in zip(self.pins, self.links, strict=True)
            if link.position.y > low and rear < link.position.x < front
        ]
        return float(np.mean(pulls))


COLUMNS = ("t", "x", "y", "pitch", "torque", "tension")


def drive_links(found: Standing, kerb_m: float, at_m: float, speed: float, time_s: float) -> dict[str, Floats]:
    """Settle, lock the idler, drive. Columns: t [s] from the start of driving, x, y [m] of the hull's own centre
    of mass, pitch [rad], motor torque at the sprocket [N.m], tension in the top run [N], both sides together."""
    chain = LinkVehicle(found)
    track, drive = chain.track, chain.spec.drive
    assert track.tension_N is not None
    assert drive.torque_Nm is not None
    chain.earth(kerb_m, at_m, drive.grip)
    m = found.assembly.model
    most, brake = float(m.drive.push), float(m.drive.brake)
    # Top run and lower run both pull the idler back.
    push = SIDES * track.tension_N * (1.0 + _lower_cosine(chain))
    target, pull = 0.0, 0.0
    rows = []
    for i in range(round((SETTLE_S + time_s) / DT)):
        settling = i * DT < SETTLE_S
        if settling:
            chain.space.damping = 1e-2
            chain.push_idler(push)
        elif target == 0.0:
            chain.space.damping = 1.0
            chain.lock_idler()
        if not settling:
            target = min(target + drive.acceleration_m_s2 * DT, speed)
        u = chain.band_speed()
        torque = min(max((target - u) / 0.05 * most, -brake), most) * chain.radius
        chain.turn_sprocket(torque)
        chain.damp()
        chain.space.step(DT)
        if i * DT <= SETTLE_S - 0.2:
            continue
        pull += chain.tension_N() / EVERY
        if i % EVERY == 0:
            h = chain.hull
            rows.append((i * DT - SETTLE_S, h.position.x, h.position.y, h.angle, torque, pull))
            pull = 0.0
    return dict(zip(COLUMNS, np.array(rows).T, strict=True))


def _lower_cosine(chain: LinkVehicle) -> float:
    """Cosine of the slope of the run from the front road wheel up to the idler."""
    (x0, y0, r0), (x1, y1, r1) = (
        chain._circle(*chain.wheels[0]),
        chain._circle(chain.idler, chain.track.idler.radius_mm * MM),
    )
    gap = math.hypot(x1 - x0, y1 - y0)
    return math.cos(math.atan2(y1 - y0, x1 - x0) - math.asin((r1 - r0) / gap))


def case(drag: float = 0.03, at_m: float = KERB_AT, **sets: Any) -> tuple[Vehicle, GroundArrays]:
    """The four-arm rig with a motor as strong forward as backward, on level ground with a kerb."""
    drive = {"drive.speed_m_s": SPEED, "drive.torque_Nm": 110.0, "drive.brake_N": 1133.0}
    vehicle = rigs.vehicle("single arm", True, **(drive | {"track.rolling_drag": drag} | sets))
    return vehicle, rigs.kerb(KERB_M, at=at_m, speed=SPEED)


def drive_band(found: Standing, time_s: float, dt: float = 1e-3) -> dict[str, Floats]:
    """The vehicle model's run, in the columns of `drive_links`."""
    a = found.assembly
    assert a.vehicle.track is not None
    log = rigs.run(a.model, found.state, time_s, dt)
    pitch = log("run", "pitch")
    dx, dy = np.array(a.vehicle.hull.com_mm) * MM - np.array(a.com)
    x = log("run", "x") + np.cos(pitch) * dx - np.sin(pitch) * dy
    y = log("run", "y") + np.sin(pitch) * dx + np.cos(pitch) * dy
    torque = log("run", "push") * a.vehicle.track.sprocket_radius_m
    return dict(zip(COLUMNS, (log.t, x, y, pitch, torque, log("loop", "top")), strict=True))


def over_place(run: dict[str, Floats], kerb_at: float) -> dict[str, Floats]:
    """A run over AT instead of time: y, pitch; torque and tension low-passed (CUT_HZ)."""
    low = butter(2, CUT_HZ, fs=1.0 / float(np.diff(run["t"]).mean()), output="sos")
    on = run["t"] > 0.0
    x = np.maximum.accumulate(run["x"][on]) - kerb_at
    assert x[-1] > AT[-1], "the run ends before the vehicle is up"
    smooth = {name: sosfiltfilt(low, run[name]) for name in ("torque", "tension")}
    return {name: np.interp(AT, x, (run | smooth)[name][on]) for name in COLUMNS[2:]}


def highest(run: dict[str, Floats], kerb_at: float, rows: int, part: Any) -> float:
    """Highest mean of the pull in the top run over so many rows (1 ms each) on a part of AT, not low-passed [N]."""
    x = run["x"] - kerb_at
    on = (run["t"] > 0.0) & (x > AT[part].min()) & (x < AT[part].max())
    return float(uniform_filter1d(run["tension"], rows)[on].max())


@dataclass(frozen=True)
class Row:
    """One figure of both models; `links` at each phase; `share`: how far apart, as a share."""

    name: str
    unit: str
    band: float
    links: Floats
    share: float


@dataclass(frozen=True)
class Comparison:
    """The band over AT, the links over AT at each phase, the measured drag [share of weight], the figures."""

    band: dict[str, Floats]
    links: list[dict[str, Floats]]
    drag: float
    rows: dict[str, Row]

    def mean(self, name: str) -> Floats:
        """The links' curve, mean of the phases."""
        return np.mean([run[name] for run in self.links], axis=0)


def compare(phases: tuple[float, ...] = PHASES, **sets: Any) -> Comparison:
    """Drive both models over one kerb."""
    time_s = 3.3 / SPEED + 0.7
    vehicle, ground = case(**sets)
    assert vehicle.track is not None
    places = [KERB_AT + p * vehicle.track.pitch_mm * MM for p in phases]
    found = stand(vehicle, ground)
    raw = [drive_links(found, KERB_M, at, SPEED, time_s) for at in places]
    links = [over_place(r, at) for r, at in zip(raw, places, strict=True)]
    level = float(np.mean([r["torque"][LEVEL].mean() for r in links]))
    drag = level / vehicle.track.sprocket_radius_m / found.assembly.weight_N
    vehicle, ground = case(drag, **sets)
    first = drive_band(stand(vehicle, ground), time_s)
    band = over_place(first, KERB_AT)
    out = Comparison(band, links, drag, {})
    clear = vehicle.hull.com_mm[1] * MM

    def figure(name: str, unit: str, one: float, two: list[float]) -> None:
        both = np.array(two)
        out.rows[name] = Row(name, unit, one, both, float(both.mean() - one) / one)

    def apart(name: str, unit: str, column: str, scale: float, base: float, worst: bool) -> None:
        """Difference of two curves, over `base`: at each phase, and (share) of the mean of the phases."""

        def size(d: Floats) -> float:
            return scale * float(np.abs(d).max() if worst else np.sqrt(np.mean(d**2)))

        each = np.array([size(r[column] - band[column]) for r in links])
        out.rows[name] = Row(name, unit, math.nan, each, size(out.mean(column) - band[column]) / (scale * base))

    still = [{k: float(r[k][r["t"] < 0.0].mean()) for k in COLUMNS} for r in raw]
    figure("belly above ground, standing", "mm", 1e3 * (first["y"][0] - clear), [1e3 * (r["y"] - clear) for r in still])
    figure("pull in top run, standing", "N", first["tension"][0], [r["tension"] for r in still])
    figure("pull in top run, peak", "N", band["tension"].max(), [r["tension"].max() for r in links])
    for ms in SHORT_MS:
        for where, part in (("on the level", LEVEL), ("over the kerb", AT > -0.8)):
            two = [highest(r, at, ms, part) for r, at in zip(raw, places, strict=True)]
            figure(f"pull in top run, highest {ms} ms {where}", "N", highest(first, KERB_AT, ms, part), two)
    deg = 180.0 / math.pi
    wide = float(np.ptp(band["pitch"]))
    figure("pitch, range", "deg", deg * wide, [deg * float(np.ptp(r["pitch"])) for r in links])
    apart("pitch, rms difference", "deg", "pitch", deg, wide, False)
    apart("pitch, largest difference", "deg", "pitch", deg, wide, True)
    apart("height of hull, rms difference", "mm", "y", 1e3, KERB_M, False)
    apart("height of hull, largest difference", "mm", "y", 1e3, KERB_M, True)
    pulls, top = [r["torque"][OVER] for r in links], float(band["torque"][OVER].max())
    figure("sprocket torque, mean over kerb", "N.m", band["torque"][OVER].mean(), [p.mean() for p in pulls])
    figure("sprocket torque, peak", "N.m", top, [p.max() for p in pulls])
    apart("sprocket torque, rms difference", "N.m", "torque", 1.0, top, False)
    return out


def table(found: Comparison) -> str:
    """The figures as a markdown table."""
    lines = [
        f"Kerb {KERB_M / MM:.0f} mm, {SPEED:g} m/s; the links lose {100 * found.drag:.1f} % of the weight.",
        "",
        "| figure | unit | band | links, mean | links, by phase | apart |",
        "|---|---|---|---|---|---|",
    ]
    for r in found.rows.values():
        band = "" if math.isnan(r.band) else f"{r.band:.4g}"
        span = f"{r.links.min():.4g} to {r.links.max():.4g}"
        lines.append(f"| {r.name} | {r.unit} | {band} | {r.links.mean():.4g} | {span} | {100 * r.share:.1f} % |")
    lines += [
        "",
        "Differences of two curves: by phase, and (apart) of the mean of the phases from the band as a share of the",
        f"range of pitch, the kerb, or the peak torque. Torque and pull: low-passed at {CUT_HZ:g} Hz in both models,",
        "but for the highest means over 1, 5 and 10 ms, which are of the pull as it is. Links that pass sprocket and",
        "rollers make it go up and down on the level too, which a band does not know; their highest 1 ms hangs on the",
        "step.",
    ]
    return "\n".join(lines)


def plot(found: Comparison, path: Path) -> None:
    """Pitch, height, torque and pull of both models over the place of the hull."""
    from matplotlib.figure import Figure

    picture = Figure(figsize=(9.0, 10.0), layout="constrained")
    shown = (("pitch", "pitch [deg]", 180.0 / math.pi), ("y", "centre of mass, height [mm]", 1e3))
    shown += (("torque", "sprocket torque [N.m]", 1.0), ("tension", "pull in top run, both tracks [N]", 1.0))
    for axes, (name, label, scale) in zip(picture.subplots(len(shown), 1, sharex=True), shown, strict=True):
        every = scale * np.array([r[name] for r in found.links])
        axes.fill_between(AT, every.min(axis=0), every.max(axis=0), color="0.8", label="links, all phases")
        axes.plot(AT, scale * found.mean(name), color="0.3", label="links, mean of phases")
        axes.plot(AT, scale * found.band[name], color="tab:red", label="band")
        axes.set_ylabel(label)
        axes.grid(alpha=0.3)
    axes.set_xlabel("hull's centre of mass from the kerb [m]")
    picture.axes[0].legend()
    picture.savefig(path, dpi=110)


@cache
def measured() -> Comparison:
    """The comparison of table and picture, made once."""
    return compare()


MEASUREMENT = Measurement(
    "links",
    "The track as a band against a chain of links",
    lambda: [table(measured())],
    lambda path: plot(measured(), path),
    "band-and-links.png",
)

if __name__ == "__main__":
    no_arguments(MEASUREMENT)
