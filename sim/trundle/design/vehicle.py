"""The vehicle file's tables from layout, spring and steelwork."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import Any

from trundle.design.fit import Fit
from trundle.design.known import GEARS, PUSH_SHARE, RIDER_KG, Known
from trundle.design.layout import BESIDE_MM, LONGEST_TOP_MM, NOSE, Layout
from trundle.design.loop import belt_mm
from trundle.design.steelwork import Room, Steelwork
from trundle.design.stock.base import plain_fields
from trundle.model.loop import Circle
from trundle.units import DEG, MM, G

SAG_SHARE, TAUT_SHARE = 0.012, 0.008
"""How far the longest top span hangs, of its length: as it is planned; and tauter, which keeps the track on better and
takes load off the outer wheels."""

TAKEN_UP_MM, IDLER_TRAVEL_MM = 25.0, 32.0
"""How far the standing pull presses the idler's spring in, and its stop behind that."""

DAMPED = 0.3
"""Share of critical damping."""

NAMES = ("one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve")


@dataclass(frozen=True)
class Design:
    """A design before it is written. nose_mm: height of the front end's underside over the ground; com_mm: of the hull,
    forward; idler_out_mm: how much further out the idler is set than the belt's length round circles says;
    pull_N: in one track, as it last stood."""

    known: Known
    layout: Layout
    fit: Fit
    steelwork: Steelwork
    nose_mm: float
    com_mm: float
    idler_out_mm: float = 0.0
    pull_N: float | None = None
    sag_share: float = SAG_SHARE

    @property
    def arm_mm(self) -> float:
        """Pivot to axle."""
        return self.fit.place.arm_mm

    @property
    def belly_mm(self) -> float:
        """Height of the belly over the ground that is aimed at."""
        return self.layout.stands_mm(self.arm_mm)

    def changed(self, nose_mm: float, sag_share: float) -> Design:
        """The same with its front end higher or lower, its track tauter or slacker."""
        return replace(self, nose_mm=nose_mm, sag_share=sag_share)

    def hull_kg(self) -> float:
        """What all-up mass leaves for the hull, after arms, wheels and track."""
        known, track = self.known, self._track()
        each = self.steelwork.arm_kg(self.arm_mm) + known.abreast * known.wheel_kg
        loop = track["links"] * known.pitch_mm * MM * known.track_kg_per_m
        return known.mass_kg - 2.0 * (self.layout.stations * each + float(loop))

    def tables(self) -> dict[str, Any]:
        """Everything that the vehicle's file says."""
        known = self.known
        track = self._track()
        return {
            "name": known.name,
            "hull": self._hull(),
            "wheel": {
                "road": {
                    "radius_mm": known.radius_mm,
                    "width_mm": self.steelwork.wheel_mm(known, self.fit.spring.wide_mm),
                    "mass_kg": known.wheel_kg,
                    "abreast": known.abreast,
                    "rubber_rate_N_per_mm": known.tyre_N_per_mm,
                }
            },
            "bogie": self._bogies(),
            "track": track,
            "drive": self._drive(),
        }

    def _hull(self) -> dict[str, Any]:
        known, long = self.known, self.layout.hull_mm
        high = round(0.3 * long / 10.0) * 10.0
        rise = round(0.08 * long / 5.0) * 5.0
        # Trailing arms have their pivots ahead of their axles: there must be hull to bolt the front bracket to.
        reach = max(b["at_mm"][0] + 0.5 * b["build"]["bracket"]["length_mm"] for b in self._bogies().values())
        end = max(long, math.ceil((reach + 10.0) / 10.0) * 10.0)
        person = known.use == "ride-on"
        hull: dict[str, Any] = {
            "all_up_kg": known.mass_kg,
            "com_mm": [round(self.com_mm, 1), round((0.48 if person else 0.42) * high / 5.0) * 5.0],
            "length_mm": end,
            "height_mm": high,
            "belly_mm": [[0.0, rise], [round(0.06 * long), 0.0], [round(end - 0.06 * long), 0.0], [end, rise]],
            "seat_mm": [round(0.45 * long / 5.0) * 5.0, round((0.63 if person else 0.8) * high / 5.0) * 5.0],
        }
        if not person:
            hull["at_seat"] = "load"
        if known.load_kg or person:
            hull["seat_kg"] = min(known.load_kg or RIDER_KG, round(0.8 * max(self.hull_kg(), 1.0), 1))
        return hull

    def _bogies(self) -> dict[str, Any]:
        layout, fit, arm = self.layout, self.fit, self.arm_mm
        pivot = round(layout.pivot_mm(arm), 1)
        level = math.sqrt(arm**2 - layout.drop_mm(arm) ** 2)
        own: dict[str, Any] = {"arm_mm": arm, "arm_mass_kg": self.steelwork.arm_kg(arm), "wheel": "road"}
        below: dict[str, Any] = {
            "spring": plain_fields(fit.spring),
            "stops": {
                "bump_below_level_deg": round(fit.bump_deg, 1),
                "droop_below_level_deg": round(fit.droop_deg, 1),
                "pad_rate_N_per_mm": max(float(f"{0.4 * fit.place.load_N:.2g}"), 5.0),
            },
        }
        if fit.spring.kind_name() != "spring and damper":
            below["damper"] = {"bump_N_s_per_mm": self._damper()}
        below["build"] = self.steelwork.tables(self.known, self._room(), pivot, fit.spring.wide_mm)
        if layout.paired:
            places = layout.centres_mm(arm)
            head: dict[str, Any] = {"kind": "paired arms", "pivots_apart_mm": layout.apart_mm}
        else:
            places = tuple(x + level for x in layout.axles_mm(arm))
            head = {"kind": "single arm", "points": "back"}
        return {
            name: {"kind": head["kind"], "at_mm": [round(x, 1), pivot], **head, **own, **below}
            for name, x in zip(NAMES, places, strict=False)
        }

    def _room(self) -> Room:
        """What its wheels leave a bracket."""
        layout, fit, arm = self.layout, self.fit, self.arm_mm
        if layout.paired:
            centres = layout.centres_mm(arm)
            nearest = centres[0] - centres[1] if len(centres) > 1 else math.inf
        else:
            nearest = layout.ground_mm / (layout.stations - 1)
        swing = fit.bump_deg * DEG, fit.droop_deg * DEG
        return Room(layout.apart_mm if layout.paired else 0.0, arm, self.known.radius_mm, nearest, swing)

    def _damper(self) -> float:
        """Of one arm, at the axle: 0.3 of critical, 2 sqrt(k m) with k = m w2."""
        load = self.fit.place.load_N
        critical = 2.0 * (2.0 * math.pi * self.fit.heave_Hz) * load / G * MM
        return float(f"{DAMPED * critical:.2g}")

    def _ends(self) -> tuple[tuple[float, float], tuple[float, float]]:
        """Axles of sprocket (rear) and idler (front)."""
        known, layout = self.known, self.layout
        axles = layout.axles_mm(self.arm_mm)
        r, t = known.radius_mm, known.thickness_mm
        front_r, rear_r = layout.idler_radius_mm + t, layout.sprocket_radius_mm + 0.5 * t
        rear_mm = rear_r + max(NOSE * known.kerb_mm, 0.4 * layout.axle_mm)
        x_front = axles[0] + r + t + layout.idler_radius_mm + BESIDE_MM
        x_rear = axles[-1] - (r + t + layout.sprocket_radius_mm + BESIDE_MM)
        return (round(x_rear), round(rear_mm - self.belly_mm)), (
            x_front,
            round(self.nose_mm + front_r - self.belly_mm),
        )

    def _rollers(self, rear: tuple[float, float], front: tuple[float, float]) -> list[dict[str, Any]]:
        known, layout, fit = self.known, self.layout, self.fit
        span = front[0] - rear[0]
        count = math.ceil(span / LONGEST_TOP_MM) - 1
        if count < 1:
            return []
        radius = max(round(0.3 * known.radius_mm / 5.0) * 5.0, 10.0)
        pivot = layout.pivot_mm(self.arm_mm)
        bumped = pivot - (fit.drop_mm - fit.bump_mm) + known.radius_mm
        tops = (rear[1] + layout.sprocket_radius_mm, front[1] + layout.idler_radius_mm)
        # Clear of the road wheels at bump, and a little above the line over both ends, so that the track lies on it.
        high = max(bumped + known.thickness_mm + 8.0, max(tops) - radius + 8.0)
        return [
            {"at_mm": [round(rear[0] + span * (i + 1) / (count + 1)), round(high)], "radius_mm": radius}
            for i in range(count)
        ]

    def _track(self) -> dict[str, Any]:
        known, layout = self.known, self.layout
        t = known.thickness_mm
        rear, front = self._ends()
        rollers = self._rollers(rear, front)
        axles = layout.axles_mm(self.arm_mm)
        ground = -self.belly_mm
        wheel = known.radius_mm + t

        def belt(x_front: float) -> float:
            circles: list[Circle] = [
                (rear[0], rear[1], layout.sprocket_radius_mm + 0.5 * t),
                (axles[-1], ground + wheel, wheel),
                (axles[0], ground + wheel, wheel),
                (x_front, front[1], layout.idler_radius_mm + t),
                *((r["at_mm"][0], r["at_mm"][1], r["radius_mm"] + t) for r in reversed(rollers)),
            ]
            return belt_mm(circles, t)

        longest = (front[0] - rear[0]) / (len(rollers) + 1)
        sag = max(round(self.sag_share * longest, 1), 1.0)
        # The belt of the sag: 8 s2 / 3 l a span.
        slack = (len(rollers) + 1) * 8.0 * sag**2 / (3.0 * longest)
        links = max(math.ceil((belt(front[0]) + slack) / known.pitch_mm), 10)
        # Outwards until a whole number of links is taut.
        slope = (belt(front[0] + 5.0) - belt(front[0])) / 5.0
        x_front = front[0] + (links * known.pitch_mm - slack - belt(front[0])) / max(slope, 0.5)
        pull = self.pull_N or known.track_kg_per_m * G * (longest * MM) ** 2 / (8.0 * sag * MM)
        track: dict[str, Any] = {
            "links": links,
            "pitch_mm": known.pitch_mm,
            "mass_kg_per_m": known.track_kg_per_m,
            "thickness_mm": t,
            "width_mm": known.track_mm,
            "tooth_mm": known.tooth_mm,
            "link_steel_mm2": max(round(0.7 * known.track_mm / 5.0) * 5.0, 10.0),
            "sag_mm": sag,
            "tension_limit_N": float(f"{2.0 * known.weight_N:.2g}"),
            "sprocket": {"end": "rear", "at_mm": list(rear), "teeth": layout.teeth},
            "idler": {
                "at_mm": [round(x_front + TAKEN_UP_MM + self.idler_out_mm, 1), front[1]],
                "radius_mm": layout.idler_radius_mm,
                "tensioner": {
                    "rate_N_per_mm": max(float(f"{2.0 * pull / TAKEN_UP_MM:.2g}"), 0.5),
                    "preload_N": 0.0,
                    "travel_mm": IDLER_TRAVEL_MM,
                },
            },
        }
        if rollers:
            track["roller"] = rollers
        return track

    def _drive(self) -> dict[str, Any]:
        known = self.known
        radius = self.layout.sprocket_radius_mm * MM
        torque, power = known.torque_Nm, known.power_W
        drive: dict[str, Any] = {"speed_m_s": known.speed_m_s}
        if torque is None:
            push = PUSH_SHARE * known.weight_N if power is None else GEARS * power / known.speed_m_s
            torque = float(f"{push * radius:.2g}")
        drive["torque_Nm"] = torque
        if power is not None:
            drive["power_W"] = float(round(GEARS * power))
        drive |= {"brake_N": float(f"{0.6 * known.weight_N:.2g}"), "grip": 0.75}
        return drive
