"""Vehicle and ground to the constant arrays of a run, with the names that go with them."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from trundle.bogies.parts import Parts, SwingPart
from trundle.errors import InputError, Problem
from trundle.model import arrays
from trundle.model.arrays import SIDES, GroundArrays, Model, Records, records, vehicle_record
from trundle.model.give import Give, answers_s, belly_give, dent_N, end_give, local_mass_kg
from trundle.model.loop import hanging, top_run, top_stiffness
from trundle.model.rubber import bounce_damp, ring_bedding
from trundle.spec.moving import parts_of
from trundle.spec.pull import pull_of
from trundle.spec.track import Track
from trundle.spec.vehicle import Vehicle
from trundle.springs.felt_pad import FeltPad
from trundle.units import MM, N_PER_MM, G

ENDS = ("sprocket", "idler")
"""Names of the two rings after the road wheels."""

_PRESLIP_RAD = math.radians(0.1)
"""Turn of a pivot before dry friction slips [rad]: small against any travel, large enough to stay stable."""


@dataclass(frozen=True)
class Assembly:
    """A model and the words for it.

    wheel: name of each road-wheel station, front to rear; wheel_kind: its entry in vehicle.wheel;
    joint: name of each joint; per_station: wheels on one station, both sides; com: the hull's centre of mass
    with its share of the track, hull frame [m]; idler_mm: where the idler ended up when the track was set; gives: how
    belly, and with a track sprocket and idler, give when the ground strikes them.
    """

    vehicle: Vehicle
    model: Model
    parts: Parts
    wheel: tuple[str, ...]
    wheel_kind: tuple[str, ...]
    joint: tuple[str, ...]
    per_station: tuple[float, ...]
    com: tuple[float, float]
    mass_kg: float
    idler_mm: tuple[float, float] | None
    gives: tuple[Give, ...]

    @property
    def weight_N(self) -> float:
        """Weight of everything [N]."""
        return self.mass_kg * G

    @property
    def answers_s(self) -> float:
        """Blows that are shorter are over before the hull has answered [s]."""
        return answers_s(self.vehicle.hull)

    @property
    def dent_N(self) -> float | None:
        """Load from which a blow dents the belly plate for good [N], if the file has a plate."""
        return dent_N(self.vehicle.hull)

    @property
    def ring_names(self) -> tuple[str, ...]:
        """Name of each ring, as columns of the timeline begin: road wheels, then sprocket and idler if there is a
        track."""
        return (*(f"wheel.{n}" for n in self.wheel), *(ENDS if self.vehicle.track is not None else ()))

    def with_ground(self, ground: GroundArrays) -> Assembly:
        """The same vehicle on other ground."""
        return replace(self, model=self.model._replace(ground=ground))


def assemble(
    vehicle: Vehicle, ground: GroundArrays, idler_shift_m: float = 0.0, parts: Parts | None = None
) -> Assembly:
    """All arrays of a vehicle on a ground. `idler_shift_m`: how far out the idler has been set [m].

    parts: those of this vehicle, if they have been worked out before. Raises InputError where the parts do
    not fit together.
    """
    parts = parts or parts_of(vehicle)
    track = vehicle.track
    stations = _stations(vehicle, parts)
    band_kg = track.length_m * track.mass_kg_per_m if track else 0.0
    lower_kg = _lower_share(parts, track) * band_kg if track else 0.0
    share_kg = lower_kg / len(stations)

    bodies = [_hull_body(vehicle, band_kg - lower_kg, idler_shift_m)]
    com = (bodies[0][0], bodies[0][1])
    swing_com: list[tuple[float, float]] = []
    for part in parts.swings:
        x, y, mass, inertia = _swing_body(vehicle, part, share_kg)
        swing_com.append((x, y))
        bodies.append((x, y, mass, inertia))
    body_rows = records(arrays.BODY, len(bodies))
    body_rows.mass = [b[2] * (1.0 if i == 0 else SIDES) for i, b in enumerate(bodies)]
    body_rows.inertia = [b[3] * (1.0 if i == 0 else SIDES) for i, b in enumerate(bodies)]
    mass = float(np.sum(body_rows.mass))

    # About the pivot, both sides: what a push at the wheel has to move first.
    swing_inertia = [
        float(row.inertia + row.mass * (x * x + y * y)) for row, (x, y) in zip(body_rows[1:], swing_com, strict=True)
    ]
    joints, springs = _joints(parts, com, swing_com, swing_inertia)
    pairs, lifts = _pairs(parts)
    gives = _gives(vehicle, mass)
    rings = _rings(vehicle, parts, stations, com, swing_com, swing_inertia, mass, idler_shift_m, gives, bodies[0])
    belly = records(arrays.CORNER, len(vehicle.hull.belly_mm))
    belly["x"] = [x * MM - com[0] for x, _ in vehicle.hull.belly_mm]
    belly["y"] = [y * MM - com[1] for _, y in vehicle.hull.belly_mm]
    record = vehicle_record(
        bodies=body_rows,
        joints=joints,
        pairs=pairs,
        rings=rings,
        hull=_hull_row(vehicle, com, gives[0]),
        band=_band_row(vehicle, com, len(stations), idler_shift_m),
        drive=_drive_row(vehicle, parts, band_kg),
        road=len(stations),
        gravity=G,
    )
    model = Model(vehicle=record, springs=springs, lifts=lifts, belly=belly, ground=ground)
    names = [parts.swings[s].wheels[k] for s, k in stations]
    return Assembly(
        vehicle=vehicle,
        model=model,
        parts=parts,
        wheel=tuple(n.name for n in names),
        wheel_kind=tuple(n.kind for n in names),
        joint=tuple(p.name for p in parts.swings),
        per_station=tuple(SIDES * vehicle.wheel[n.kind].abreast for n in names),
        com=com,
        mass_kg=mass,
        idler_mm=_idler_mm(track, idler_shift_m) if track else None,
        gives=gives,
    )


def _gives(vehicle: Vehicle, mass: float) -> tuple[Give, ...]:
    """The belly first, then the track's ends."""
    track = vehicle.track
    if track is None:
        return (belly_give(vehicle, mass),)
    radii = _end_radii(track)
    ends = (end_give(vehicle, part, radius, mass) for part, radius in zip(ENDS, radii, strict=True))
    return (belly_give(vehicle, mass), *ends)


def _end_radii(track: Track) -> tuple[float, float]:
    """Radius of sprocket and idler with the track on them [m]."""
    thick = track.thickness_mm * MM
    return track.sprocket_radius_m + 0.5 * thick, track.idler.radius_mm * MM + thick


def level_position(parts: Parts, swing: int, x: float, y: float) -> tuple[float, float]:
    """Hull-frame place of a point (x, y) of a swing part when every arm lies level [m]."""
    part = parts.swings[swing]
    px, py = part.pivot_x, part.pivot_y
    if part.parent:
        qx, qy = level_position(parts, part.parent - 1, px, py)
        return qx + x, qy + y
    return px + x, py + y


def _stations(vehicle: Vehicle, parts: Parts) -> list[tuple[int, int]]:
    """(swing, wheel) of every station, from front to rear. Raises InputError on an unknown wheel name."""
    found = []
    for s, part in enumerate(parts.swings):
        for k, wheel in enumerate(part.wheels):
            if wheel.kind not in vehicle.wheel:
                raise InputError(
                    Problem(
                        f'there is no wheel "{wheel.kind}"',
                        field=f"bogie.{part.bogie}.wheel",
                        allowed=", ".join(vehicle.wheel),
                    )
                )
            found.append((-level_position(parts, s, wheel.x, wheel.y)[0], s, k))
    return [(s, k) for _, s, k in sorted(found)]


def _ground_length(parts: Parts, track: Track | None) -> float:
    """Between the outer road wheels, arms level; a tyre alone stands on a tenth of a metre [m]."""
    if track is None:
        return 0.1
    xs = [level_position(parts, s, w.x, w.y)[0] for s, p in enumerate(parts.swings) for w in p.wheels]
    return max(xs) - min(xs)


def _lower_share(parts: Parts, track: Track) -> float:
    """Part of the band that lies between the outer road wheels and moves with them."""
    return min(0.5, _ground_length(parts, track) / track.length_m)


def _idler_mm(track: Track, shift_m: float) -> tuple[float, float]:
    """Where the idler stands when it is set out by `shift_m` along the hull, away from the sprocket."""
    return track.idler.at_mm[0] + track.idler_sign * shift_m / MM, track.idler.at_mm[1]


def _hull_body(vehicle: Vehicle, band_kg: float, idler_shift_m: float) -> tuple[float, float, float, float]:
    """x, y of the centre of mass [m], mass [kg], inertia [kg.m2] of the hull with its share of both tracks.

    That share (top run and ends) is put half at the sprocket's and half at the idler's axle.
    """
    hull = vehicle.hull
    lumps = [(hull.com_mm[0] * MM, hull.com_mm[1] * MM, hull.mass_kg, hull.inertia_kg_m2)]
    if vehicle.track is not None:
        each = 0.5 * SIDES * band_kg
        for x, y in (vehicle.track.sprocket.at_mm, _idler_mm(vehicle.track, idler_shift_m)):
            lumps.append((x * MM, y * MM, each, 0.0))
    return _combine(lumps)


def _swing_body(vehicle: Vehicle, part: SwingPart, share_kg: float) -> tuple[float, float, float, float]:
    """The same for an arm or beam with its wheels, one side, from its pivot. A wheel turns on its bearing,
    so it counts as a point."""
    lumps = [(part.com_x, part.com_y, part.mass, part.own_inertia)]
    for w in part.wheels:
        wheel = vehicle.wheel[w.kind]
        lumps.append((w.x, w.y, wheel.abreast * wheel.mass_kg + share_kg, 0.0))
    return _combine(lumps)


def _combine(lumps: list[tuple[float, float, float, float]]) -> tuple[float, float, float, float]:
    mass = sum(m for _, _, m, _ in lumps)
    x = sum(lx * m for lx, _, m, _ in lumps) / mass
    y = sum(ly * m for _, ly, m, _ in lumps) / mass
    inertia = sum(i + m * ((lx - x) ** 2 + (ly - y) ** 2) for lx, ly, m, i in lumps)
    return x, y, mass, inertia


def _joints(
    parts: Parts,
    com: tuple[float, float],
    swing_com: list[tuple[float, float]],
    swing_inertia: list[float],
) -> tuple[Records, Records]:
    rows = records(arrays.JOINT, len(parts.swings))
    torques: list[arrays.Floats] = []
    energies: list[arrays.Floats] = []
    start = 0
    for j, part in enumerate(parts.swings):
        row = rows[j]
        row.parent, row.child = part.parent, j + 1
        origin = com if part.parent == 0 else swing_com[part.parent - 1]
        row.px, row.py = part.pivot_x - origin[0], part.pivot_y - origin[1]
        row.cx, row.cy = -swing_com[j][0], -swing_com[j][1]
        row.sign, row.radius = part.sign, part.radius
        row.bump, row.droop = part.bump, part.droop
        put_pad(row, part.pad)
        row.pad_damp = bounce_damp(part.pad_loss)
        row.damp_bump, row.damp_droop = SIDES * part.damp_bump, SIDES * part.damp_droop
        row.swing = swing_inertia[j]
        row.friction = SIDES * part.friction
        row.friction_rate = row.friction / _PRESLIP_RAD if row.friction > 0.0 else 1.0
        if part.law is not None:
            angle, t = part.law.angle_rad, SIDES * part.law.torque_Nm
            row.table_from, row.table_n = start, len(angle)
            row.angle_from, row.angle_step = angle[0], angle[1] - angle[0]
            torques.append(t)
            # Stored energy is minus the torque's work; zero at the table's first angle, as good as any.
            energies.append(np.concatenate([[0.0], -np.cumsum(0.5 * (t[1:] + t[:-1]) * np.diff(angle))]))
            start += len(angle)
    # Never empty: the compiled law is made for tables, not for tables of nothing.
    springs = records(arrays.SPRING, max(start, 1))
    if torques:
        springs["torque"], springs["energy"] = np.concatenate(torques), np.concatenate(energies)
    return rows, springs


def put_pad(row: Any, pad: FeltPad) -> None:
    """A plain pad as its rate, any other piece by piece."""
    if pad.plain:
        row.pad_rate = SIDES * pad.pieces[0].rate_N_per_m
        return
    row.pad_pieces = len(pad.pieces)
    for of, piece in zip(row.pad, pad.pieces, strict=False):
        of.begins, of.force, of.rate = piece.from_m, SIDES * piece.force_N, SIDES * piece.rate_N_per_m
        of.square, of.cube = SIDES * piece.square_N_per_m2, SIDES * piece.cube_N_per_m3


def _pairs(parts: Parts) -> tuple[Records, arrays.Floats]:
    rows = records(arrays.PAIR, len(parts.pairs))
    lifts: list[arrays.Floats] = []
    start = 0
    for p, pair in enumerate(parts.pairs):
        row, law = rows[p], pair.law
        row.fore, row.aft = pair.fore, pair.aft
        row.table_from, row.table_n = start, len(law.angle_rad)
        row.angle_from, row.angle_step = law.angle_rad[0], law.angle_rad[1] - law.angle_rad[0]
        k = SIDES * law.stiffness_N_per_m
        row.k_fore, row.k_aft, row.k_cross = k[0, 0], k[1, 1], k[0, 1]
        row.rock_gap, row.rock_rate = law.rock_gap_m, SIDES * law.rock_rate_N_per_m
        lifts += [law.deflection_m[0], law.deflection_m[1]]
        start += 2 * len(law.angle_rad)
    return rows, np.ascontiguousarray(np.concatenate(lifts or [np.zeros(1)]))


def _rings(
    vehicle: Vehicle,
    parts: Parts,
    stations: list[tuple[int, int]],
    com: tuple[float, float],
    swing_com: list[tuple[float, float]],
    swing_inertia: list[float],
    mass: float,
    idler_shift_m: float,
    gives: tuple[Give, ...],
    hull: tuple[float, float, float, float],
) -> Records:
    track = vehicle.track
    thick = track.thickness_mm * MM if track else 0.0
    rows = records(arrays.RING, len(stations) + (2 if track else 0))
    count = sum(SIDES * vehicle.wheel[parts.swings[s].wheels[k].kind].abreast for s, k in stations)
    for i, (s, k) in enumerate(stations):
        part, row = parts.swings[s], rows[i]
        place = part.wheels[k]
        wheel = vehicle.wheel[place.kind]
        row.body = s + 1
        row.x, row.y = place.x - swing_com[s][0], place.y - swing_com[s][1]
        row.radius = wheel.radius_mm * MM + thick
        row.wheels = SIDES * wheel.abreast
        row.mass = swing_inertia[s] / part.radius**2
        row.drag = wheel.drag
        row.spin = row.wheels * wheel.spin_kg_m2 / (wheel.radius_mm * MM) ** 2
        load = wheel.rated_load_N if wheel.rated_load_N is not None else mass * G / count
        try:
            bedding = ring_bedding(row.radius, load, wheel.rubber_rate_N_per_mm * N_PER_MM)
        except ValueError as e:
            raise InputError(Problem(str(e), field=f"wheel.{place.kind}.rubber_rate_N_per_mm")) from None
        row.rate = row.wheels * bedding
        row.damp = bounce_damp(wheel.rubber_loss)
    if track:
        places = (track.sprocket.at_mm, _idler_mm(track, idler_shift_m))
        ends = zip(places, _end_radii(track), gives[1:], strict=True)
        for i, (at, radius, give) in enumerate(ends, start=len(stations)):
            row = rows[i]
            row.body, row.x, row.y = 0, at[0] * MM - com[0], at[1] * MM - com[1]
            row.radius, row.wheels = radius, SIDES
            row.mass = local_mass_kg(hull[2], hull[3], row.x)
            row.rate = SIDES * give.model_rate
            row.damp = bounce_damp(track.end_loss)
    return rows


def _hull_row(vehicle: Vehicle, com: tuple[float, float], give: Give) -> Records:
    hull = vehicle.hull
    rows = records(arrays.HULL, 1)
    rows[0].seat_x, rows[0].seat_y = hull.seat_mm[0] * MM - com[0], hull.seat_mm[1] * MM - com[1]
    xs = [x * MM for x, _ in hull.belly_mm]
    rows[0].tail_x, rows[0].nose_x = min(0.0, *xs) - com[0], max(hull.length_mm * MM, *xs) - com[0]
    rows[0].rate = give.model_rate
    rows[0].damp = bounce_damp(hull.belly_loss)
    rows[0].grip = hull.belly_grip
    return rows


def _drive_row(vehicle: Vehicle, parts: Parts, band_kg: float) -> Records:
    drive, track = vehicle.drive, vehicle.track
    rows = records(arrays.DRIVE, 1)
    row = rows[0]
    pull = pull_of(vehicle)
    row.push, row.power, row.corners = pull.most_N, pull.power_W, len(pull.corners)
    for k, (speed, push) in enumerate(pull.corners):
        row.at[k], row.gives[k] = speed, push
    row.brake, row.grip, row.radius = drive.brake_N, drive.grip, vehicle.drive_radius_m
    row.shear = drive.grip_shear_mm * MM
    row.contact_length = max(_ground_length(parts, track), 0.05)
    row.acceleration, row.speed = drive.acceleration_m_s2, drive.speed_m_s
    spin = 0.0
    for bogie in vehicle.bogie.values():
        wheel = vehicle.wheel[bogie.wheel]
        spin += SIDES * bogie.stations * wheel.abreast * wheel.spin_kg_m2 / (wheel.radius_mm * MM) ** 2
    row.mass = SIDES * band_kg + spin
    return rows


def _band_row(vehicle: Vehicle, com: tuple[float, float], road: int, idler_shift_m: float) -> Records:
    rows = records(arrays.BAND, 1)
    track = vehicle.track
    if track is None:
        rows[0].sprocket = rows[0].idler = -1
        return rows
    row = rows[0]
    thick = track.thickness_mm * MM
    idler = _idler_mm(track, idler_shift_m)

    def circle(at: tuple[float, float], radius: float) -> tuple[float, float, float]:
        return at[0] * MM - com[0], at[1] * MM - com[1], radius

    sprocket_c = circle(track.sprocket.at_mm, track.sprocket_radius_m + 0.5 * thick)
    idler_c = circle(idler, track.idler.radius_mm * MM + thick)
    front, rear = (idler_c, sprocket_c) if track.idler_at_front else (sprocket_c, idler_c)
    rollers = [circle(r.at_mm, r.radius_mm * MM + thick) for r in track.roller]
    try:
        top = top_run(front, rollers, rear)
    except ValueError as e:
        raise InputError(Problem(str(e), field="track")) from None
    row.on = 1
    row.sprocket, row.idler = road, road + 1
    row.front, row.rear = (row.idler, row.sprocket) if track.idler_at_front else (row.sprocket, row.idler)
    row.away = 1.0 if track.idler_at_front else -1.0
    # Lengths are taken along the pins, half a thickness inside the ground face; a closed loop turns once
    # in all, so that is 2 pi * thickness / 2 less than along the ground face.
    row.top_length = top.length - math.pi * thick
    row.length = track.length_m
    row.stretch = SIDES * track.stiffness_N
    row.weight = SIDES * track.mass_kg_per_m * G
    row.sag_sum = sum(s**3 for s in top.spans)
    row.modes, row.mode = hanging(top.spans, float(row.weight))
    row.top_stiff = top_stiffness(top.spans, float(row.weight), float(row.stretch / row.length))
    row.longest = max(top.spans)
    row.least_top = row.weight * row.longest / (8.0 * arrays.DEEPEST_SAG)
    row.out_x, row.out_y = top.out
    row.in_x, row.in_y = top.back
    row.push_x, row.push_y = top.push
    row.push_moment = top.moment
    row.drag = track.rolling_drag
    if track.idler.tensioner is not None:
        t = track.idler.tensioner
        row.tensioner_rate = SIDES * t.rate_N_per_mm * N_PER_MM
        row.tensioner_preload = SIDES * t.preload_N
        row.tensioner_travel = t.travel_mm * MM
        row.tensioner_x = track.idler_sign
        row.top_give = (top.out[0] if track.idler_at_front else -top.back[0]) * row.tensioner_x
    return rows
