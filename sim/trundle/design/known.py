"""Answers with what was left out filled in by a stated rule: what a first design is worked out from."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TypeVar

from trundle.design.answers import Answers, Use
from trundle.design.stock import RoundBar, StockAtHand
from trundle.errors import InputError, Problem
from trundle.steel.sizes import WHEEL_RADII_MM
from trundle.units import G

T = TypeVar("T")

_MASS_KG: dict[Use, float] = {"ride-on": 180.0, "load carrier": 150.0, "radio-controlled": 45.0}
_KERB_MM: dict[Use, float] = {"ride-on": 100.0, "load carrier": 100.0, "radio-controlled": 50.0}
_SPEED_M_S: dict[Use, float] = {"ride-on": 1.2, "load carrier": 1.0, "radio-controlled": 1.0}
"""What most of each use have (from the vehicles that come with Trundle; common practice, no source)."""

RIDER_KG = 75.0
"""A rider of whom nobody says what he weighs."""

PUSH_SHARE = 0.9
"""Push of motor and gears over the weight that gets a vehicle up a kerb, and up what its grip allows."""

GEARS = 0.8
"""Share of a motor's power that arrives at the sprocket (common practice, no source)."""

GAP_SHARE = 0.3
"""Clear gap between two wheels of a pair, of the track's width."""

PITCHES_MM = (15.0, 20.0, 25.0, 30.0, 35.0, 40.0, 50.0, 60.0, 70.0, 80.0, 100.0)


@dataclass
class Known:
    """All of it, as numbers. why: path of an answer that was guessed to what it was taken from."""

    answers: Answers
    name: str
    use: Use
    mass_kg: float
    load_kg: float | None
    length_mm: float
    kerb_mm: float
    speed_m_s: float
    each_side: int | None
    radius_mm: float
    wheel_width_mm: float
    abreast: int
    tyre_N_per_mm: float
    pitch_mm: float
    track_mm: float
    thickness_mm: float
    track_kg_per_m: float
    tooth_mm: float
    gap_mm: float
    torque_Nm: float | None
    power_W: float | None
    stock: StockAtHand
    why: dict[str, str] = field(default_factory=dict)

    @property
    def weight_N(self) -> float:
        """Of everything [N]."""
        return self.mass_kg * G

    @property
    def wheel_kg(self) -> float:
        """One wheel: 1.35 kg for a litre of its outside, between a nylon and a cast-iron hub (trade figure)."""
        return float(f"{1.35e-6 * 3.1416 * self.radius_mm**2 * self.wheel_width_mm:.2g}")


def filled(answers: Answers) -> Known:
    """Answers with the rest estimated. Raises InputError where they cannot be of one vehicle."""
    why: dict[str, str] = {}

    def take(path: str, given: T | None, guess: T, reason: str) -> T:
        if given is not None:
            return given
        why[path] = reason
        return guess

    use = answers.use
    if "use" not in answers.model_fields_set:
        why["use"] = "nothing was said"
    mass = take("all_up_kg", answers.mass_kg, _MASS_KG[use], f"most {_many(use)} weigh about this")
    # Of the vehicles that come with Trundle: 1.28 m at 55 kg, 1.85 at 160, 2.35 at 330, 2.73 at 480.
    long = take(
        "length_mm", answers.length_mm, _round(320.0 * mass**0.35, 50.0), "320 mm times kg^0.35, as most of that mass"
    )
    kerb = take("kerb_mm", answers.kerb_mm, min(_KERB_MM[use], _round(0.08 * long, 5.0)), "a usual kerb for its size")
    speed = take("speed_m_s", answers.speed_m_s, _SPEED_M_S[use], "a walk")

    wheels, track = answers.wheels, answers.track
    usual_track = _round(10.0 * mass**0.485, 5.0)
    abreast = take("wheels.abreast", wheels.abreast, 2, "a pair astride the guide tooth is usual")
    known_wide = wheels.width_mm is not None
    if track.width_mm is not None:
        track_mm = track.width_mm
    elif known_wide:
        assert wheels.width_mm is not None
        track_mm = take("track.width_mm", None, _round(abreast * wheels.width_mm / (1.0 - GAP_SHARE), 5.0),
                        "the wheels side by side and a gap for the tooth")  # fmt: skip
    else:
        track_mm = take("track.width_mm", None, usual_track, "10 mm times kg^0.485, as most of that mass")
    room = 0.85 * track_mm * (1.0 - GAP_SHARE) / abreast
    wide = take("wheels.width_mm", wheels.width_mm, max(_round(room, 1.0), 8.0), "what the track has room for")
    if abreast * wide > 1.05 * track_mm:
        raise InputError(
            Problem(
                f"{abreast} wheels of {wide:g} mm side by side are {abreast * wide:g} mm wide, the track "
                f"{track_mm:g} mm",
                field="track.width_mm",
                allowed=f"{abreast * wide:g} or more, or narrower wheels",
            )
        )
    gap = max(min(GAP_SHARE * track_mm, track_mm - abreast * wide), 4.0) if abreast == 2 else 0.0
    pitch = take("track.pitch_mm", track.pitch_mm, _near(PITCHES_MM, 0.026 * long), "usual for its length")
    thick = take("track.thickness_mm", track.thickness_mm, max(_round(0.25 * pitch, 1.0), 4.0), "a quarter of a link")
    weighs = take(
        "track.mass_kg_per_m", track.mass_kg_per_m, float(f"{1.7e-4 * track_mm**2:.2g}"), "by its width, trade figures"
    )
    tooth = take("track.tooth_mm", track.tooth_mm, max(_round(0.23 * track_mm, 1.0), 4.0), "by the track's width")
    radius = 0.5 * take(
        "wheels.diameter_mm",
        wheels.diameter_mm,
        2.0 * _guessed_radius(long, wheels.each_side, pitch, thick),
        "a size that is sold, for its length",
    )
    rate = take(
        "wheels.rubber_rate_N_per_mm",
        wheels.rubber_rate_N_per_mm,
        max(_round(7.5 * wide, 10.0), 40.0),
        "solid rubber gives about 7.5 N/mm for a millimetre of width",
    )
    stock = answers.stock
    if stock is not None:
        own = [
            p for p in answers.not_known if p.startswith("stock.") and p.removeprefix("stock.") in stock.model_fields
        ]
        why |= dict.fromkeys(own, "nobody measured it: a usual size")
    else:
        why["stock"] = "nothing at hand yet: round bar of new spring steel, as the merchant has it"
        stock = RoundBar(diameter_mm=12.0, length_mm=None, steel="51CrV4")
    motor = answers.motor
    if motor.torque_Nm is None:
        why["motor.torque_Nm"] = (
            f"{PUSH_SHARE:g} of the weight as push at the track, what a kerb takes"
            if motor.power_W is None
            else f"{GEARS:g} of the power arrives, geared for this speed"
        )
    return Known(
        answers=answers, name=answers.name, use=use, mass_kg=mass, load_kg=answers.load_kg, length_mm=long,
        kerb_mm=kerb, speed_m_s=speed, each_side=wheels.each_side, radius_mm=radius, wheel_width_mm=wide,
        abreast=abreast, tyre_N_per_mm=rate, pitch_mm=pitch, track_mm=track_mm, thickness_mm=thick,
        track_kg_per_m=weighs, tooth_mm=tooth, gap_mm=round(gap), torque_Nm=motor.torque_Nm, power_W=motor.power_W,
        stock=stock, why=why,
    )  # fmt: skip


def _many(use: Use) -> str:
    return {"ride-on": "ride-ons", "load carrier": "load carriers", "radio-controlled": "radio-controlled ones"}[use]


def _guessed_radius(length_mm: float, each_side: int | None, pitch_mm: float, thick_mm: float) -> float:
    """A wheel that is sold, a little under a twentieth of the length, and so many of them fit beside each other."""
    wanted = 0.045 * length_mm
    if each_side is not None:
        # Two end wheels of about its size and their room take five radii of the length.
        wanted = min(wanted, (length_mm - 4.0 * thick_mm) / (2.25 * (each_side - 1) + 8.5))
    sold = [r for r in WHEEL_RADII_MM if r <= wanted]
    return sold[-1] if sold else max(wanted, 20.0)


def _round(value: float, step: float) -> float:
    return step * round(value / step)


def _near(sizes: tuple[float, ...], value: float) -> float:
    return min(sizes, key=lambda s: abs(s - value))
