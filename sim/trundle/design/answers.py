"""What a builder answers before a first design: a file of its own, in which everything may be left out."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, Literal

from pydantic import Field, field_validator, model_validator

from trundle.design.stock import STOCKS, StockKind
from trundle.errors import InputError, Problem, did_you_mean
from trundle.fields.base import PLAIN, PlacedError, Spec
from trundle.spec.lines import line_numbers
from trundle.spec.reader import parse_toml, read_text, validate

Use = Literal["ride-on", "load carrier", "radio-controlled"]


class WheelsAtHand(Spec):
    """The road wheels."""

    each_side: Annotated[int, Field(ge=2, le=12)] | None = None
    """Places along one side where road wheels stand (a pair side by side counts once).

    Usual: 4 to 6.
    """

    diameter_mm: Annotated[float, Field(ge=40, le=600)] | None = None
    """Outside diameter of one wheel, mm: across it, not from its middle.

    Usual: 140 on a radio-controlled one, 160 to 200 on a ride-on.
    Measure: rule across the tyre.
    """

    width_mm: Annotated[float, Field(ge=8, le=250)] | None = None
    """Width of one tyre's tread, mm.

    Usual: 30 to 50.
    Measure: rule across the tread.
    """

    abreast: Annotated[int, Field(ge=1, le=4)] | None = None
    """Wheels side by side on one axle, on one side of the hull.

    Usual: 2, with the track's guide tooth running between them.
    """

    rubber_rate_N_per_mm: Annotated[float, Field(ge=5, le=50_000)] | None = None
    """How stiff one tyre is, N per mm pressed in.

    Usual: 100 to 400 of solid rubber.
    Measure: press the wheel on to a bathroom scale in a vice; the kilograms more for a millimetre more, times 9.8.
    If wrong: hits are harder or softer; height and springs hardly change.
    """


class TrackAtHand(Spec):
    """The track."""

    pitch_mm: Annotated[float, Field(ge=5, le=300)] | None = None
    """Length of one link, from pin to pin, mm.

    Usual: 25 to 70.
    Measure: over ten links, pin to pin, divided by ten.
    """

    width_mm: Annotated[float, Field(ge=15, le=800)] | None = None
    """Width of one track, mm.

    Usual: 70 to 200.
    """

    thickness_mm: Annotated[float, Field(ge=2, le=80)] | None = None
    """From the face that the wheels run on to the face on the ground, mm.

    Usual: 10 to 18.
    """

    mass_kg_per_m: Annotated[float, Field(ge=0.05, le=100)] | None = None
    """What one metre of one track weighs, kg.

    Usual: 1 to 6.
    Measure: weigh a few links, divide by their length in metres.
    """

    tooth_mm: Annotated[float, Field(ge=0, le=150)] | None = None
    """Height of the guide tooth over the face that the wheels run on, mm.

    Usual: 15 to 45.
    """


class MotorAtHand(Spec):
    """The motor, as it arrives at the sprocket."""

    torque_Nm: Annotated[float, Field(ge=0.1, le=100_000)] | None = None
    """The most torque at the sprockets, both together, after all gears, N.m.

    Usual: 25 on a radio-controlled one, 100 to 300 on a ride-on.
    Measure: a bar on the sprocket and a luggage scale at its end: kilograms, times 9.8, times metres.
    """

    power_W: Annotated[float, Field(ge=1, le=1_000_000)] | None = None
    """The most power of the motor, W (1 hp is 746).

    Usual: 300 to 700 on a radio-controlled one, 1500 to 9000 on a ride-on.
    """


class Answers(Spec):
    """What a builder knows. Whatever is left out is estimated, and marked as a guess in the vehicle's file."""

    name: Annotated[str, Field(min_length=1, max_length=60), PLAIN] = "My hull"
    """What the vehicle is called."""

    use: Use = "ride-on"
    """What it is for: somebody sits on it, it carries a load, or it is driven from afar."""

    all_up_kg: Annotated[float, Field(ge=10, le=1_500)] | None = None
    """Everything together, with rider or load, wheels and track, kg.

    Usual: 40 to 60 of a radio-controlled one, 120 to 350 of a ride-on.
    Measure: bathroom scales under both ends, one after the other, and add them up; or add up what you will build in.
    If wrong: height, stress and heave are all wrong with it.
    """

    empty_kg: Annotated[float, Field(ge=5, le=1_500)] | None = None
    """With load_kg in place of all_up_kg: the vehicle, wheels and track too, with nobody and nothing on it, kg."""

    load_kg: Annotated[float, Field(ge=0, le=1_000)] | None = None
    """The rider, or what is carried, kg. With all_up_kg it is part of that."""

    length_mm: Annotated[float, Field(ge=300, le=4_000)] | None = None
    """How long it may be over all, from the rearmost to the foremost point of the track, mm.

    Usual: 1200 to 2500.
    """

    kerb_mm: Annotated[float, Field(ge=0, le=400)] | None = None
    """The highest kerb or step that it should get up, mm.

    Usual: 100, a full kerb; 50 for a radio-controlled one.
    Measure: rule at the kerbs where you will drive.
    If wrong: too high costs height and length; too low, and it stops there.
    """

    speed_m_s: Annotated[float, Field(ge=0.05, le=15)] | None = None
    """Speed that it is driven at, m/s (walking pace is 1.4, 10 km/h is 2.8)."""

    wheels: WheelsAtHand = WheelsAtHand()
    """[wheels]: what is known of the road wheels."""

    stock: StockKind | None = None
    """[stock]: what there is to make springs of. Left out: nothing yet."""

    track: TrackAtHand = TrackAtHand()
    """[track]: what is known of the track."""

    motor: MotorAtHand = MotorAtHand()
    """[motor]: what is known of the motor."""

    not_known: tuple[str, ...] = Field(default=(), strict=False, max_length=60)
    """Answers that you have said you do not know, by their names: the interview does not ask for them again.

    Usual: written by trundle new where you stop half-way.
    """

    @field_validator("not_known")
    @classmethod
    def _of_answers(cls, paths: tuple[str, ...]) -> tuple[str, ...]:
        known = paths_of_answers()
        for i, path in enumerate(paths):
            if path not in known:
                raise PlacedError(f'there is no answer "{path}"{did_you_mean(path, known)}', i)
        return paths

    @model_validator(mode="after")
    def _weighed_once(self) -> Answers:
        if self.empty_kg is not None:
            if self.all_up_kg is not None:
                raise PlacedError("give the mass once: all_up_kg, or empty_kg with load_kg", "empty_kg")
            if self.load_kg is None:
                raise PlacedError("empty_kg is without rider or load: load_kg is wanted with it", "load_kg")
        if self.load_kg is not None and self.all_up_kg is not None and self.load_kg > 0.8 * self.all_up_kg:
            raise PlacedError(
                f"load_kg is part of all_up_kg, which is {self.all_up_kg:g}",
                "load_kg",
                allowed=f"up to {0.8 * self.all_up_kg:g}",
            )
        return self

    @property
    def mass_kg(self) -> float | None:
        """All up, however it was given [kg]."""
        if self.empty_kg is not None:
            return self.empty_kg + (self.load_kg or 0.0)
        return self.all_up_kg


def paths_of_answers() -> tuple[str, ...]:
    """Every answer by its name: `all_up_kg`, `wheels.diameter_mm`, `stock.kind`."""
    found = [name for name in Answers.model_fields if name not in ("wheels", "stock", "track", "motor", "not_known")]
    for table, kind in (("wheels", WheelsAtHand), ("track", TrackAtHand), ("motor", MotorAtHand)):
        found += [table, *(f"{table}.{name}" for name in kind.model_fields)]
    return (*found, "stock", *dict.fromkeys(f"stock.{name}" for kind in STOCKS for name in kind.model_fields))


def load_answers(path: str | Path, text: str | None = None) -> Answers:
    """Read and check a file of answers. text: what stands in it, if it has been read before.

    Raises InputError naming file, line and field of every problem found.
    """
    file = Path(path)
    text = read_text(file) if text is None else text
    data = parse_toml(text, str(file))
    if "hull" in data or "obstacle" in data:
        what = "a vehicle" if "hull" in data else "a course"
        raise InputError(Problem(f"is {what}; a file of answers is wanted here", file=str(file)))
    return validate(Answers, data, str(file), line_numbers(text))
