"""How belly, sprocket and idler give when the ground strikes them: rates from what a builder knows, with their range.

What gives stands in a row: the plate, or the rubber of track and rim and then axle and bracket; and behind them the
hull, which a blow at its end bends. None of it has been measured before there is a vehicle, so each has a range, and
the hardest blow of a run has one with it.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from trundle.errors import InputError, Problem
from trundle.model.arrays import SIDES
from trundle.model.rubber import ring_bedding, ring_energy, ring_load
from trundle.spec.hull import Hull
from trundle.spec.track import Track
from trundle.spec.track_ends import EndWheel
from trundle.spec.vehicle import Vehicle
from trundle.steel import rubber
from trundle.steel.materials import E_STEEL, steel
from trundle.steel.plates import centre_load_rate, dent_load, edge_across_rate
from trundle.units import MM, N_PER_MM, G

END_LOAD_N = 1000.0
"""Load at which a stated stiffness of sprocket and idler on the ground holds [N]."""

BLOW_M_S = 1.0
"""Closing speed of the blow for which rubber, axle and hull in a row are replaced by one ring [m/s]: the load and the
energy of that blow are right, of others nearly."""

MEASURED, STATED, GUESSED = 1.3, 1.5, 2.5
"""A rate may be so many times higher, or lower: one that the file states; one worked out from stated sizes; one from
sizes that are estimates (common practice, no source)."""

RING_HZ, RING_GUESSED, RING_STATED = 80.0, 1.6, 1.15
"""Welded or bolted hulls of this size ring at some 50 to 130 Hz (common practice, no source): what is taken if the file
does not say, how many times higher or lower that may be, and how many one that was measured by ear."""

SHEET_MM, SPAN_SHARE, WIDTH_SHARE = 3.0, 0.25, 0.4
"""Belly plate where the file does not say: thickness [mm], spans as shares of the hull's length."""

AXLE_PA = 1e8
"""Stress to which a builder sizes an axle for half the vehicle's weight [Pa] (common practice, no source)."""

CHOICES = {"soft": 0, "middle": 1, "hard": 2}
"""Which of three values hull.blow_rates picks."""

_GAUSS = tuple(zip(*(rule.tolist() for rule in np.polynomial.legendre.leggauss(6)), strict=True))

Three = tuple[float, float, float]
"""Soft, middle, hard."""


@dataclass(frozen=True)
class Give:
    """How one part gives.

    part: belly, sprocket or idler. rates_N_per_m: soft, middle and hard [N/m]: of the belly in all, of an end one
    side's, at `load_N`. share: how much lower and higher the peak of a blow may be. estimated: some size is not the
    file's own. basis: what the rate comes from. field: where in the file that is. taken: which of the three the run
    takes (hull.blow_rates). model_rate: that one as the force law takes it [N/m], of an end its ring's bedding [N/m2],
    one side.
    """

    part: str
    rates_N_per_m: Three
    taken: int
    load_N: float
    share: tuple[float, float]
    estimated: bool
    basis: str
    field: str
    model_rate: float

    @property
    def taken_N_per_m(self) -> float:
        """The rate of this run [N/m]."""
        return self.rates_N_per_m[self.taken]


def in_a_row(*rates: float) -> float:
    """Rate of springs one behind the other [N/m]."""
    return 1.0 / sum(1.0 / r for r in rates)


def spread(middle: float, times: float) -> Three:
    """A middle value that may be so many times lower or higher."""
    return middle / times, middle, middle * times


def answers_s(hull: Hull) -> float:
    """Half of the time in which the hull rings once [s]: what is shorter is over before the hull has answered, and the
    hull as one stiff piece says little of it."""
    return 0.5 / (hull.ring_Hz or RING_HZ)


def hull_rates(hull: Hull, mass_kg: float) -> Three:
    """How much the whole hull gives under a blow at its end [N/m].

    k = m / 4 (2 pi f)^2: a quarter of an even rod's mass is what its end makes feel as long as it is stiff.
    """
    rate = 0.25 * mass_kg * (2.0 * math.pi * (hull.ring_Hz or RING_HZ)) ** 2
    return spread(rate, (RING_STATED if hull.ring_Hz else RING_GUESSED) ** 2)


def belly_give(vehicle: Vehicle, mass_kg: float) -> Give:
    """The belly plate with the hull behind it.

    Soft: a single stone in the middle of a plate that can turn at its edges. Hard: an edge right across a plate clamped
    at its ribs. Middle: the geometric mean. mass_kg: of the vehicle.
    """
    hull = vehicle.hull
    if hull.belly_rate_N_per_mm is not None:
        rates = spread(hull.belly_rate_N_per_mm * N_PER_MM, MEASURED)
        return _belly(hull, rates, False, "as stated", "hull.belly_rate_N_per_mm")
    stated = (hull.belly_sheet_mm, hull.belly_span_mm, hull.belly_width_mm)
    estimated = None in stated
    sheet, span, width = plate_of(hull)
    ends = (centre_load_rate(span, width, sheet, "supported"), edge_across_rate(span, width, sheet, "clamped"))
    soft, hard = min(ends), max(ends)
    more = GUESSED if estimated else 1.0
    plate = (soft / more, math.sqrt(soft * hard), hard * more)
    soft, middle, hard = (in_a_row(p, h) for p, h in zip(plate, hull_rates(hull, mass_kg), strict=True))
    basis = f"from {sheet / MM:g} mm sheet over {span / MM:.0f} by {width / MM:.0f} mm"
    return _belly(hull, (soft, middle, hard), estimated, basis, "hull.belly_sheet_mm")


def plate_of(hull: Hull) -> tuple[float, float, float]:
    """Thickness, span along and width across of the belly plate [m], as stated or estimated."""
    sheet = SHEET_MM if hull.belly_sheet_mm is None else hull.belly_sheet_mm
    span = SPAN_SHARE * hull.length_mm if hull.belly_span_mm is None else hull.belly_span_mm
    width = WIDTH_SHARE * hull.length_mm if hull.belly_width_mm is None else hull.belly_width_mm
    return sheet * MM, span * MM, width * MM


def dent_N(hull: Hull) -> float | None:
    """Load from which a blow dents the belly plate for good [N]; None where the file states a rate instead of a plate.

    The rate is kept beyond it: the plate then pulls as a membrane, 4 yield t w / L where its edges cannot move in,
    nothing where they can, which lies on both sides of the plate's own rate.
    """
    if hull.belly_rate_N_per_mm is not None:
        return None
    sheet, span, width = plate_of(hull)
    return dent_load(span, width, sheet, steel(hull.belly_steel).yield_Pa)


def _belly(hull: Hull, rates: Three, estimated: bool, basis: str, field: str) -> Give:
    soft, middle, hard = rates
    # A mass on a spring: the peak of a blow goes with the root of the rate.
    taken = CHOICES[hull.blow_rates]
    share = _share((math.sqrt(soft), math.sqrt(middle), math.sqrt(hard)), taken)
    return Give("belly", rates, taken, 0.0, share, estimated, basis, field, rates[taken])


def _share(peaks: Three, taken: int) -> tuple[float, float]:
    """Lowest and highest of the peaks of one blow, over that of the rate which the run takes."""
    return min(peaks) / peaks[taken], max(peaks) / peaks[taken]


def end_give(vehicle: Vehicle, part: str, radius_m: float, mass_kg: float) -> Give:
    """Sprocket or idler (`part`) with the track round it: rubber of track and rim, axle and bracket, hull, in a row.

    radius_m: with the track; mass_kg: of the vehicle. Raises InputError where it would give by half its radius.
    """
    track = vehicle.track
    assert track is not None
    end: EndWheel = track.sprocket if part == "sprocket" else track.idler
    field = f"track.{part}"
    try:
        if track.end_rate_N_per_mm is not None:
            return _stated_end(part, radius_m, spread(track.end_rate_N_per_mm * N_PER_MM, MEASURED), vehicle.hull)
        return _end_of_parts(part, end, track, radius_m, mass_kg, vehicle.hull)
    except ValueError as e:
        if track.end_rate_N_per_mm is not None:
            field = "track.end_rate_N_per_mm"
        raise InputError(Problem(f"the {part} gives so much that {e}", field=field)) from None


def _stated_end(part: str, radius_m: float, rates: Three, hull: Hull) -> Give:
    soft, middle, hard = (ring_bedding(radius_m, END_LOAD_N, rate) for rate in rates)
    taken = CHOICES[hull.blow_rates]
    # A ring: load as press^1.5, so energy as load^(5/3) / bedding^(2/3), and the peak as bedding^0.4.
    share = _share((soft**0.4, middle**0.4, hard**0.4), taken)
    bed = (soft, middle, hard)[taken]
    return Give(part, rates, taken, END_LOAD_N, share, False, "as stated", "track.end_rate_N_per_mm", bed)


def _end_of_parts(part: str, end: EndWheel, track: Track, radius_m: float, mass_kg: float, hull: Hull) -> Give:
    energy = 0.5 * (0.25 * mass_kg / SIDES) * BLOW_M_S**2
    thick, pad_stated = _rubber_m(track, end)
    shaft = _axle(track, end, mass_kg)
    axle_stated = end.axle_mm is not None and end.overhang_mm is not None
    hulls = hull_rates(hull, mass_kg)
    softer = spread(1.0, STATED if pad_stated else GUESSED)
    axles = spread(shaft, STATED if axle_stated else GUESSED)
    young, _, compression = rubber.moduli(track.rubber_hardness_irhd)
    pad = Pad(radius_m, track.width_mm * MM, thick, young, compression)
    soft, middle, hard = (
        _blow(pad, times, in_a_row(axle, rate / SIDES), energy)
        for times, axle, rate in zip(softer, axles, hulls, strict=True)
    )
    beds = [_ring_of_blow(radius_m, load, energy) for load in (soft, middle, hard)]
    rates = tuple(_tangent(radius_m, bed, load) for bed, load in zip(beds, (soft, middle, hard), strict=True))
    taken = CHOICES[hull.blow_rates]
    kind = f"{thick / MM:g} mm of rubber" if thick > 0.0 else "bare steel"
    return Give(
        part,
        (rates[0], rates[1], rates[2]),
        taken,
        middle,
        _share((soft, middle, hard), taken),
        not (pad_stated and axle_stated),
        f"from {kind}, an axle that gives {shaft / N_PER_MM / 1e3:.2g} kN/mm, and the hull",
        f"track.{part}",
        beds[taken],
    )


def _rubber_m(track: Track, end: EndWheel) -> tuple[float, bool]:
    """Rubber between ground and rim [m], and whether the file states it."""
    pad, stated = track.pad_mm, track.pad_mm is not None
    if pad is None:
        pad = track.thickness_mm if track.stretch_N is not None else 0.5 * track.thickness_mm
    return (pad + end.rim_rubber_mm) * MM, stated


def _axle(track: Track, end: EndWheel, mass_kg: float) -> float:
    """Rate of axle, bearing and bracket together [N/m]: half of a cantilever's 3 E I / L^3.

    Bearing and bracket are taken to give as much again as the axle (common practice, no source).
    """
    overhang = (end.overhang_mm if end.overhang_mm is not None else 0.5 * track.width_mm + 15.0) * MM
    if end.axle_mm is not None:
        diameter = end.axle_mm * MM
    else:
        diameter = (32.0 * 0.5 * mass_kg * G * overhang / (math.pi * AXLE_PA)) ** (1.0 / 3.0)
    return 0.5 * 3.0 * E_STEEL * (math.pi / 64.0 * diameter**4) / overhang**3


@dataclass(frozen=True)
class Pad:
    """Rubber `thick` m under a track `width` m wide on a rim of `radius` m with the track.

    young_Pa, compression: modulus E0 and compression factor k of its hardness (steel.rubber.moduli).
    """

    radius: float
    width: float
    thick: float
    young_Pa: float
    compression: float

    def load_N(self, press_m: float) -> float:
        """Load of the hard rim under it, pressed into flat ground by `press_m` [N].

        A Winkler bedding of Ec w / t per length (Johnson, Contact Mechanics, section 4.3), Ec the modulus of a bonded
        block as long as the contact (steel.rubber, after Gent and Lindley).
        """
        length = 2.0 * math.sqrt(2.0 * self.radius * press_m)
        shape = rubber.block_shape(self.width, length, self.thick)
        modulus = rubber.compression_modulus(self.young_Pa, self.compression, shape, rubber.BULK_PA)
        return modulus * self.width / self.thick * ring_load(self.radius, press_m)

    def energy_J(self, press_m: float) -> float:
        """What it holds then, the integral of `load_N` (Gauss-Legendre) [J]."""
        return 0.5 * press_m * math.fsum(w * self.load_N(0.5 * press_m * (1.0 + x)) for x, w in _GAUSS)


def _press(grows: Callable[[float], float], wanted: float, radius: float) -> float:
    """Press at which something that grows nearly as a power of it has grown to `wanted` [m]: the secant rule on
    logarithms, five rounds where halving takes fifty. Raises ValueError beyond half the radius."""
    if grows(0.5 * radius) < wanted:
        raise ValueError("a blow at 1 m/s would press the ground in by half its radius")
    was, now = math.log(1e-3 * radius), math.log(2e-3 * radius)
    off_was, off = (math.log(grows(math.exp(u)) / wanted) for u in (was, now))
    for _ in range(50):
        if abs(off) < 1e-12 or off == off_was:
            break
        was, now, off_was = now, min(now - off * (now - was) / (off - off_was), math.log(0.5 * radius)), off
        off = math.log(grows(math.exp(now)) / wanted)
    return math.exp(now)


@lru_cache(maxsize=256)
def _blow(pad: Pad, times: float, behind: float, energy: float) -> float:
    """Load at which rubber on a rim and a spring `behind` it [N/m] have taken up `energy` [J] [N].

    times: on the rubber's modulus.
    """
    if pad.thick <= 0.0:
        return math.sqrt(2.0 * behind * energy)

    def held(press: float) -> float:
        return times * pad.energy_J(press) + (times * pad.load_N(press)) ** 2 / (2.0 * behind)

    return times * pad.load_N(_press(held, energy, pad.radius))


@lru_cache(maxsize=256)
def _ring_of_blow(radius: float, load: float, energy: float) -> float:
    """Bedding of the ring that takes up `energy` [J] at `load` [N] [N/m2]. Raises ValueError if none does."""

    def way(press: float) -> float:
        return ring_energy(radius, press) / ring_load(radius, press)

    return load / ring_load(radius, _press(way, energy / load, radius))


@lru_cache(maxsize=256)
def _tangent(radius: float, bed: float, load: float) -> float:
    """Rate of a ring at a load [N/m]."""

    press = _press(lambda p: bed * ring_load(radius, p), load, radius)
    step = 1e-5 * press
    return bed * (ring_load(radius, press + step) - ring_load(radius, press - step)) / (2.0 * step)


def local_mass_kg(mass_kg: float, inertia_kg_m2: float, lever_m: float) -> float:
    """What of the hull an upright push at `lever_m` from its centre of mass has to move [kg]."""
    return 1.0 / (1.0 / mass_kg + lever_m**2 / inertia_kg_m2)
