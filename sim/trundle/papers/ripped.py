"""A wide leaf ripped into two strips, one for each side: how either side then stands, and by how much the hull
leans."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from trundle.errors import InputError, Problem
from trundle.papers.parts import Part, Table, names, number
from trundle.papers.standing import StandingSheet, standing_sheet
from trundle.spec.vehicle import Vehicle, vehicle_from
from trundle.steel.rip import RIP_CAUTIONS, Ripped, ride_difference, rip
from trundle.units import DEG, MM

ALIKE = 1e-3
"""Strips that differ by less than this share are alike."""

LEANS_DEG = 1.0
"""A lean that is seen from behind, and felt (our own line, no source)."""


@dataclass(frozen=True)
class Cut:
    """How it is cut [mm]: a leaf so wide, the cut's middle so far from one edge, what disc and grinding take."""

    wide_mm: float
    at_mm: float | None
    kerf_mm: float
    ground_mm: float

    def strips(self) -> Ripped:
        """Raises InputError if nothing is left of one."""
        at = None if self.at_mm is None else self.at_mm * MM
        try:
            return rip(self.wide_mm * MM, self.kerf_mm * MM, at, self.ground_mm * MM)
        except InputError as e:
            raise e.told_as(replace(p, argument="cut_at_mm") for p in e.problems) from None

    @property
    def words(self) -> str:
        """`90 mm leaf, cut 45 mm from its edge, 2 mm lost to the disc and 0.5 ground off each cut edge`."""
        at = self.wide_mm / 2.0 if self.at_mm is None else self.at_mm
        ground = f" and {self.ground_mm:g} ground off each cut edge" if self.ground_mm else ""
        return f"{self.wide_mm:g} mm leaf, cut {at:g} mm from its edge, {self.kerf_mm:g} mm lost to the disc{ground}"


@dataclass(frozen=True)
class Ripping:
    """strips: the two. bogies: whose springs are of them; fields: their width, in the file. now: as the file has it;
    narrow, wide: the vehicle as it would stand with either strip on both sides, which is how its own side stands:
    each carries half of the weight. mean_mm: width to enter for both."""

    strips: Ripped
    bogies: tuple[str, ...]
    fields: tuple[str, ...]
    narrow: StandingSheet
    wide: StandingSheet
    now: StandingSheet
    mean_mm: float
    gauge_mm: float | None

    @property
    def lower_mm(self) -> tuple[float, float]:
        """By how much the narrower strip's side stands lower, front and rear [mm]."""
        return self.wide.front_mm - self.narrow.front_mm, self.wide.rear_mm - self.narrow.rear_mm

    @property
    def lean_deg(self) -> float | None:
        """By how much the hull leans to it, the mean of front and rear; None where no gauge is known."""
        if self.gauge_mm is None:
            return None
        return math.atan(0.5 * sum(self.lower_mm) / self.gauge_mm) / DEG


def ripping(vehicle: Vehicle, cut: Cut, bogies: Sequence[str] = (), gauge_mm: float | None = None) -> Ripping:
    """bogies: whose leaves are ripped; empty: of all that have some. gauge_mm: in place of the file's.

    Raises InputError for a bogie that has no leaves, or a vehicle that does not stand on a strip.
    """
    found = {
        name: f"{sprung.path}.spring.{field}"
        for name, bogie in vehicle.bogie.items()
        if (sprung := bogie.sprung(name)) is not None and (field := sprung.spring.strip_width_field()) is not None
    }
    for name in bogies:
        if name not in found:
            has = f"its bogies with leaves: {', '.join(found)}" if found else "it has no leaves"
            raise InputError(Problem(f'no leaf of a bogie "{name}" can be ripped', argument="bogie", allowed=has))
    if not found:
        raise InputError(Problem("no bogie of it has a leaf: there is nothing to rip", "VEHICLE"))
    chosen = tuple(bogies) or tuple(found)
    strips = cut.strips()
    low, high = sorted(w / MM for w in strips.widths_m)

    def stood(width_mm: float) -> StandingSheet:
        data = vehicle.model_dump(mode="json", exclude_none=True)
        return standing_sheet(vehicle_from(data, settings={found[n]: width_mm for n in chosen}), adjusters=False)

    gauge = vehicle.hull.gauge_mm if gauge_mm is None else gauge_mm
    fields = tuple(found[n] for n in chosen)
    now = standing_sheet(vehicle, adjusters=False)
    return Ripping(strips, chosen, fields, stood(low), stood(high), now, 0.5 * (low + high), gauge)


def ripping_part(of: Ripping, cut: Cut) -> Part:
    """Both sides beside each other, what to enter, how to cut it."""
    low, high = sorted(range(2), key=lambda i: of.strips.widths_m[i])
    rows, loud = [], []
    for side, i, sheet in (("narrower", low, of.narrow), ("wider", high, of.wide)):
        for spring in sheet.springs:
            if spring.bogie not in of.bogies:
                continue
            standing, bump = spring.state("standing"), spring.state("bump")
            rows.append(
                (
                    spring.name,
                    side,
                    number(of.strips.widths_m[i] / MM, 1),
                    number(spring.rate_N_per_mm, 2),
                    number(standing.stress_MPa),
                    number(bump.stress_MPa),
                    number(spring.yield_margin("bump"), 2),
                )
            )
            if spring.yield_margin("bump") < 1.0:
                loud.append(f"{spring.name}: the {side} strip takes a set at full bump")
    heights = [
        (side, number(sheet.front_mm, 1), number(sheet.rear_mm, 1), number(sheet.belly_clearance_mm, 1))
        for side, sheet in (("narrower", of.narrow), ("wider", of.wide), ("as in the file now", of.now))
    ]
    front, rear = of.lower_mm
    lean = of.lean_deg
    leans = "" if lean is None else f": the hull leans {lean:.2f} deg to it (tracks {of.gauge_mm:g} mm apart)"
    said = f"the narrower strip's side stands {front:.1f} mm lower in front, {rear:.1f} mm in the rear{leans}"
    if lean is not None and lean > LEANS_DEG:
        loud.append(said)
    lines = [] if said in loud or of.strips.uneven < ALIKE else [f"{said[0].upper()}{said[1:]}."]
    if lean is None and of.strips.uneven >= ALIKE:
        lines.append("By how many degrees it leans hangs on the distance of the tracks: hull.gauge_mm, or --gauge-mm.")
    lines += _mixing(of)
    fields = names(of.fields)
    lines.append(
        f"To write into the file: {of.mean_mm:g} as {fields}, the mean of both strips: a file has one width for both "
        "sides."
    )
    lines += RIP_CAUTIONS
    return Part(
        f"Ripped for {names(of.bogies)}",
        f"{cut.words}: strips of {_widths(of.strips)}. Each side carries half of the weight on its own strips.",
        (
            Table(
                (
                    "spring",
                    "side",
                    "wide, mm",
                    "rate at the axle, N/mm",
                    "standing, MPa",
                    "at bump, MPa",
                    "margin at bump",
                ),
                tuple(sorted(rows)),
            ),
            Table(("strip", "front, mm up", "rear, mm up", "belly clear, mm"), tuple(heights)),
        ),
        tuple(lines),
        tuple(loud),
    )


def _widths(strips: Ripped) -> str:
    first, second = (number(w / MM, 1) for w in strips.widths_m)
    return f"{first} and {second} mm"


def _mixing(of: Ripping) -> list[str]:
    """How to have both sides alike after all."""
    if of.strips.uneven < ALIKE:
        return ["Both strips are alike: so are both sides."]
    words = [
        "Where a stack has several leaves of it, give both sides as many wide strips as narrow ones; then they are "
        "alike."
    ]
    if len(of.bogies) > 1:
        words.append(
            "Where there is one leaf to a bogie, put the narrower strip left in one bogie and right in the next: "
            "what leans the hull then twists it by so much instead."
        )
    return words


def plain_ripping_part(cut: Cut, load_N: float | None, rate_N_per_mm: float | None, gauge_mm: float | None) -> Part:
    """Of a leaf of which only numbers are known. load_N: on it; rate_N_per_mm: of the whole leaf, where it is
    loaded."""
    strips = cut.strips()
    rows = [
        (
            number(w / MM, 1),
            f"{100.0 * share:.1f} %",
            "–" if rate_N_per_mm is None else number(rate_N_per_mm * share, 2),
            f"x {stress:.2f}",
        )
        for w, share, stress in zip(strips.widths_m, strips.rate_shares, strips.stress_factors, strict=True)
    ]
    if strips.uneven < ALIKE:
        lines = ["Both strips are alike: so are both sides."]
    else:
        lines = [f"The wider strip is {100.0 * strips.uneven:.1f} % stiffer than the narrower one."]
    if load_N is not None and rate_N_per_mm is not None and strips.uneven >= ALIKE:
        lower = ride_difference(load_N, rate_N_per_mm / MM, strips) / MM
        lean = "" if gauge_mm is None else f": {math.atan(lower / gauge_mm) / DEG:.2f} deg over {gauge_mm:g} mm"
        lines.append(f"Under {load_N:g} N each the narrower one is {lower:.1f} mm lower{lean}.")
    heads = ("strip, mm", "rate of the whole leaf's", "N/mm", "stress under the same load")
    return Part(
        "Ripped", f"{cut.words}: strips of {_widths(strips)}.", (Table(heads, tuple(rows)),), (*lines, *RIP_CAUTIONS)
    )
