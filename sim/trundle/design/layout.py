"""Where things go along the hull: road wheels, arms and their pivots, the track's ends, the return rollers.

Hull axes, mm: forward of the tail datum, above the belly datum. The hull reaches from a little behind the last road
wheel's axle to a little ahead of the first one's.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from trundle.design.known import Known
from trundle.errors import InputError, Problem
from trundle.steel.sizes import WHEEL_RADII_MM

BESIDE_MM = 12.0
"""Room between neighbouring wheels, and between an end wheel with its track and the next road wheel."""

BEYOND = 0.02
"""The hull reaches this share of its length beyond the outer axles."""

KERB_ARM = 1.5
"""An arm is at least so many times as long as the kerb is high: 20 degrees up and down of level are then a whole kerb
of travel."""

CLEAR_MM = 15.0
"""The belly stands so much higher than the kerb, where wheels and arms allow it."""

LEAST_BELLY_MM, LOWEST_ARM = 65.0, 0.38
"""The belly is not planned lower; an arm hangs, standing, by no more than this sine below the horizontal."""

NOSE = 1.05
"""The front end's underside stands at least so many times as high as the kerb: the edge then meets the track's ramp,
which carries it under the first wheel, and not the idler, which it would strike."""

LONGEST_TOP_MM = 700.0
"""A longer top run gets return rollers, so that no span is longer."""

FEWEST_TEETH = 8


@dataclass(frozen=True)
class Layout:
    """stations: wheels along one side; paired: two arms on each bracket; axles_mm: places of the axles standing, from
    front to rear; least_arm_mm, most_arm_mm: what the kerb wants, and what there is room for; apart_mm: of the pivots
    of a pair."""

    stations: int
    paired: bool
    hull_mm: float
    ground_mm: float
    idler_radius_mm: float
    teeth: int
    sprocket_radius_mm: float
    least_arm_mm: float
    most_arm_mm: float
    apart_mm: float
    belly_mm: float
    axle_mm: float

    def drop_mm(self, arm_mm: float) -> float:
        """The axle below its pivot, standing: enough for the belly's height, a little more where there is choice."""
        return min(max(self.belly_mm - self.axle_mm, 0.12 * arm_mm), LOWEST_ARM * arm_mm)

    def pivot_mm(self, arm_mm: float) -> float:
        """Height of the pivots over the belly datum; never below it."""
        return max(self.axle_mm + self.drop_mm(arm_mm) - self.belly_mm, 0.0)

    def stands_mm(self, arm_mm: float) -> float:
        """Height of the belly over the ground that such arms give."""
        return self.axle_mm + self.drop_mm(arm_mm) - self.pivot_mm(arm_mm)

    def axles_mm(self, arm_mm: float) -> tuple[float, ...]:
        """Places of the axles along the hull, standing, from front to rear."""
        last = BEYOND * self.hull_mm
        if not self.paired:
            step = self.ground_mm / (self.stations - 1)
            return tuple(last + step * i for i in reversed(range(self.stations)))
        half = 0.5 * self.apart_mm + self._level_mm(arm_mm)
        return tuple(x for c in self.centres_mm(arm_mm) for x in (c + half, c - half))

    def centres_mm(self, arm_mm: float) -> tuple[float, ...]:
        """Middles of the brackets of paired arms, from front to rear."""
        bogies, half = self.stations // 2, 0.5 * self.apart_mm + self._level_mm(arm_mm)
        first, last = BEYOND * self.hull_mm + self.ground_mm - half, BEYOND * self.hull_mm + half
        if bogies == 1:
            return (0.5 * (first + last),)
        return tuple(first + (last - first) * i / (bogies - 1) for i in range(bogies))

    def _level_mm(self, arm_mm: float) -> float:
        return math.sqrt(arm_mm**2 - self.drop_mm(arm_mm) ** 2)


@dataclass(frozen=True)
class Ends:
    """The track's two ends, and the length on the ground between the outer axles that they leave [mm]."""

    idler_radius_mm: float
    teeth: int
    sprocket_radius_mm: float
    ground_mm: float


def ends(known: Known) -> Ends:
    """Of about the road wheels' size. Raises InputError where they leave no room for two road wheels."""
    r, t = known.radius_mm, known.thickness_mm
    idler = _sold(min(max(0.85 * r, 1.2 * known.pitch_mm, 18.0), max(r, 1.6 * known.pitch_mm)))
    teeth = max(round(2.0 * math.pi * idler / known.pitch_mm), FEWEST_TEETH)
    sprocket = known.pitch_mm / (2.0 * math.sin(math.pi / teeth))
    taken = 2.0 * (idler + sprocket + r + BESIDE_MM) + 5.5 * t
    ground = known.length_mm - taken
    least = 2.0 * r + BESIDE_MM
    if ground < least:
        raise InputError(
            Problem(
                f"two road wheels of {2 * r:g} mm, a sprocket of {2 * sprocket:.0f} mm ({teeth} teeth, links of "
                f"{known.pitch_mm:g} mm) and an idler have no room within {known.length_mm:g} mm",
                field="length_mm",
                allowed=f"{math.ceil((taken + least) / 10.0) * 10} or more, or smaller wheels, or shorter links",
            )
        )
    return Ends(idler, teeth, sprocket, round(ground, 1))


def layouts(known: Known, pairs: bool) -> list[Layout]:
    """Every number of wheels and kind of bogie that comes into question, the usual one first. pairs: whether a spring
    may lie across two arms. Raises InputError where the wheels have no room."""
    of = ends(known)
    most = int(of.ground_mm / (2.0 * known.radius_mm + BESIDE_MM)) + 1
    if known.each_side is not None:
        if known.each_side > most:
            raise InputError(
                Problem(
                    f"{known.each_side} wheels of {2 * known.radius_mm:g} mm have no room beside each other: within "
                    f"{known.length_mm:g} mm the ends leave {of.ground_mm:.0f} mm between the outer axles",
                    field="wheels.each_side",
                    allowed=f"up to {most}, or smaller wheels, or more length",
                )
            )
        counts = [known.each_side]
    else:
        usual = usual_stations(known, of)
        counts = sorted(range(max(usual - 3, 2), min(usual + 1, most) + 1), key=lambda n: abs(n - usual))
    paired = [_laid_out(known, of, n, True) for n in counts if n % 2 == 0] if pairs else []
    return [*paired, *(_laid_out(known, of, n, False) for n in counts)]


def usual_stations(known: Known, of: Ends) -> int:
    """Wheels three and a half radii from each other, three at least where they have room."""
    most = int(of.ground_mm / (2.0 * known.radius_mm + BESIDE_MM)) + 1
    return min(max(round(of.ground_mm / (3.5 * known.radius_mm)) + 1, 3), most, 8)


def _laid_out(known: Known, of: Ends, stations: int, paired: bool) -> Layout:
    r, t = known.radius_mm, known.thickness_mm
    apart = _apart(known.mass_kg)
    axle = r + t - 1.0
    belly = max(known.kerb_mm + CLEAR_MM, LEAST_BELLY_MM, 0.9 * axle)
    # Its own tyre stays clear of the pivot and what holds it.
    wanted = max(KERB_ARM * known.kerb_mm, r + 0.6 * apart)
    if paired:
        bogies = stations // 2
        spread = (of.ground_mm - (bogies - 1) * (2.0 * r + BESIDE_MM)) / bogies
        room = 0.5 * (spread - apart) / math.cos(math.asin(0.2))
    else:
        # The pivot stays clear of the tyre ahead of it.
        room = of.ground_mm / (stations - 1) - r - 0.6 * apart
    room = max(room, 0.45 * r)
    return Layout(
        stations=stations,
        paired=paired,
        hull_mm=round(of.ground_mm * (1.0 + 2.0 * BEYOND) / 10.0) * 10.0,
        ground_mm=of.ground_mm,
        idler_radius_mm=of.idler_radius_mm,
        teeth=of.teeth,
        sprocket_radius_mm=of.sprocket_radius_mm,
        least_arm_mm=min(wanted, room),
        most_arm_mm=min(room, 2.2 * max(wanted, r)),
        apart_mm=apart,
        belly_mm=belly,
        axle_mm=axle,
    )


def wanted_arm_mm(known: Known) -> float:
    """Shortest arm by the rule of the kerb."""
    return KERB_ARM * known.kerb_mm


def _apart(mass_kg: float) -> float:
    """Of two pivots on one bracket: three of their bolts [mm]."""
    return 30.0 if mass_kg < 80.0 else 40.0 if mass_kg < 150.0 else 50.0 if mass_kg < 400.0 else 65.0


def _sold(radius_mm: float) -> float:
    return min(WHEEL_RADII_MM, key=lambda s: abs(s - radius_mm))
