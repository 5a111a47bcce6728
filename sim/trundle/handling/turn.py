"""Turning on one ground: what resists, what each side has to pull or hold, and whether grip, motor and brake can."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from trundle.errors import InputError, Problem
from trundle.handling.climbs import Climb, climb
from trundle.handling.drive import side_hold_N, side_pull_N, speed_at_m_s
from trundle.handling.grounds import Ground
from trundle.handling.resists import (
    Slender,
    even_resisting_Nm,
    resisting_Nm,
    share_at_radius,
    slender,
    track_forces_N,
    turned_about_m,
)
from trundle.handling.stations import Stations
from trundle.model.arrays import SIDES
from trundle.units import DEG, MM

FLANK_DEG, EDGE_MM = 70.0, 3.0
"""Of a guide tooth and of a tyre's edge where the file does not say: estimates."""

MOST_RADIUS_M = 1_000.0

Limit = Literal["grip", "motor", "brake"]


@dataclass(frozen=True)
class Sides:
    """What both sides have to do in a turn, and can [N].

    outer_N, inner_N: what they pull, below 0: held back. on_the_spot: the inner one pulls backwards as hard as the
    outer one forwards. slip_N, slip_inner_N: the same with tracks that slip (of the tightest turn; None: of a wider
    one), slip: by how much of their speed. grip_N: the most that the ground lets a side pull; pull_N: the most of its
    drive at a crawl; hold_N: the most that it can be held back with. radius_m: to the vehicle's middle; gauge_m:
    between the sides; lever_m: turns force into torque at the sprocket; speed_m_s: of the outer side, the fastest that
    the drive keeps up, up to the file's own speed.
    """

    outer_N: float
    inner_N: float
    on_the_spot: bool
    slip_N: float | None
    slip_inner_N: float | None
    slip: float
    grip_N: float
    pull_N: float
    hold_N: float
    radius_m: float
    gauge_m: float
    lever_m: float
    speed_m_s: float

    @property
    def outer_Nm(self) -> float:
        """Torque at the outer sprocket, or at the wheels' axles together [N.m]."""
        return self.outer_N * self.lever_m

    @property
    def inner_Nm(self) -> float:
        """The same of the inner one."""
        return self.inner_N * self.lever_m

    @property
    def grips(self) -> bool:
        """Whether it turns without its tracks slipping."""
        return max(abs(self.outer_N), abs(self.inner_N)) <= self.grip_N

    @property
    def short(self) -> tuple[Limit, ...]:
        """What cannot do it at all, with slipping tracks or without; none: it turns."""
        found: list[Limit] = []
        if not self.grips and self.slip_N is None:
            found.append("grip")
        if self.pull_N < (self.outer_N if self.slip_N is None else min(self.slip_N, self.outer_N)):
            found.append("motor")
        inner = self.inner_N if self.slip_inner_N is None else max(self.slip_inner_N, self.inner_N)
        if not self.on_the_spot and self.hold_N < -inner:
            found.append("brake")
        return tuple(found)

    @property
    def near(self) -> tuple[Limit, ...]:
        """What does it only because the tracks slip."""
        found: list[Limit] = []
        if self.pull_N < self.outer_N:
            found.append("motor")
        if not self.on_the_spot and self.hold_N < -self.inner_N:
            found.append("brake")
        return tuple(k for k in found if k not in self.short)

    @property
    def yaw_rad_s(self) -> float:
        """How fast it turns then [rad/s], without slipping."""
        return self.speed_m_s / (self.radius_m + 0.5 * self.gauge_m)

    @property
    def power_W(self) -> float:
        """What the drive gives for it then [W]."""
        each = self.outer_N * self.speed_m_s
        return each * SIDES if self.on_the_spot else each


@dataclass(frozen=True)
class TurnOn:
    """Turning on one ground. moment_Nm: what resists; even_Nm: the same as if the weight were spread evenly;
    about_m: where along the hull it turns about; slender: of the
    evenly loaded length that resists as much; sides, slender: None where the gauge is not given; climb: of the
    station that is nearest to climbing its tooth; None: there is no tooth."""

    ground: Ground
    radius_m: float
    share: float
    moment_Nm: float
    even_Nm: float
    about_m: float
    sides: Sides | None
    slender: Slender | None
    climb: Climb | None


def check_radius(radius_m: float) -> None:
    """Raises InputError on what is no radius of a turn."""
    if not (math.isfinite(radius_m) and 0.0 <= radius_m <= MOST_RADIUS_M):
        raise InputError(
            Problem(f"{radius_m:g} is no radius of a turn", argument="radius_m", allowed=f"0 to {MOST_RADIUS_M:g} m")
        )


def tightest_m(found: Stations) -> float:
    """The tightest turn by what the vehicle is steered with [m]: on the spot, or about its braked inner side."""
    if found.vehicle.drive.steering == "a motor each side" or found.gauge_m is None:
        return 0.0
    return 0.5 * found.gauge_m


def turn_on(found: Stations, ground: Ground, radius_m: float) -> TurnOn:
    """A slow steady turn of a radius to the vehicle's middle [m]; the tightest it can where that is wider."""
    radius = max(radius_m, tightest_m(found))
    share = 1.0 if found.gauge_m is None else share_at_radius(radius, found.gauge_m)
    side, drag = ground.side * share, found.drag + ground.drag
    loads = SIDES * found.load_N
    moment = float(resisting_Nm(side, found.x_m, loads))
    # As long as an evenly loaded piece of ground that resists as much.
    length = moment / even_resisting_Nm(side, found.weight_N, 1.0)
    return TurnOn(
        ground=ground,
        radius_m=radius,
        share=share,
        moment_Nm=moment,
        even_Nm=even_resisting_Nm(side, found.weight_N, found.length_m),
        about_m=float(turned_about_m(found.x_m, loads)),
        sides=_sides(found, ground, radius, moment, drag),
        slender=None if found.gauge_m is None else slender(length, found.gauge_m, ground.grip, drag, ground.side),
        climb=nearest_climb(found, side),
    )


def _sides(found: Stations, ground: Ground, radius_m: float, moment_Nm: float, drag: float) -> Sides | None:
    gauge, vehicle = found.gauge_m, found.vehicle
    if gauge is None:
        return None
    outer, inner = track_forces_N(found.weight_N, drag, moment_Nm, gauge)
    # Nearer to its middle than its inner side, that side runs backwards, and what rolls resists that too.
    spot = radius_m < 0.5 * gauge
    rolls, slips, slip = 0.5 * drag * found.weight_N, None, 0.0
    if radius_m <= 0.5 * gauge and (slid := found.slipping) is not None:
        slips, slip = ground.side * slid.moment_Nm / gauge, slid.slip
    return Sides(
        outer_N=outer,
        inner_N=-outer if spot else inner,
        on_the_spot=spot,
        slip_N=None if slips is None else rolls + slips,
        slip_inner_N=None if slips is None else rolls - slips,
        slip=slip,
        grip_N=0.5 * ground.grip * found.weight_N,
        pull_N=side_pull_N(vehicle, 0.0),
        hold_N=side_hold_N(vehicle),
        radius_m=0.0 if spot else radius_m,
        gauge_m=gauge,
        lever_m=vehicle.drive_radius_m,
        speed_m_s=speed_at_m_s(vehicle, outer, vehicle.drive.speed_m_s),
    )


def nearest_climb(found: Stations, side: float) -> Climb | None:
    """Of the station whose tyre is nearest to climbing the guide tooth; None without a tooth."""
    track = found.vehicle.track
    if track is None or not found.leans:
        return None
    flank = (FLANK_DEG if track.tooth_flank_deg is None else track.tooth_flank_deg) * DEG
    each = []
    for wheel, load in zip(found.wheel, found.load_N, strict=True):
        if load <= 0.0:
            continue
        edge_m = (EDGE_MM if wheel.edge_mm is None else wheel.edge_mm) * MM
        others, one = wheel.abreast - 1, float(load) / wheel.abreast
        each.append(climb(side * float(load), one, others, flank, track.tooth_friction, track.tooth_mm * MM, edge_m))
    return min(each, key=lambda c: (c.margin, -c.side_N)) if each else None
