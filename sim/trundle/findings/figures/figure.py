"""One figure of a run: what it is called, how it is worked out from a record, and what it is used for."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from enum import Enum, StrEnum
from typing import TYPE_CHECKING

from trundle.findings import channel, holds
from trundle.findings.grades import Subject
from trundle.findings.ride import MIN_RATE_HZ

if TYPE_CHECKING:
    from trundle.findings.readings import Readings

Value = float | int | None
"""A figure's value; None where a run does not give it."""


class Better(StrEnum):
    """Which of two values of a figure is the better one."""

    LOWER = "lower"
    HIGHER = "higher"
    NEITHER = ""


class Needs(Enum):
    """What a run must have for a figure to be given; without it the figure is None."""

    NOTHING = "nothing"
    TRACK = "a track"
    FINE_STEP = f"a step of {1e3 / MIN_RATE_HZ:g} ms or finer"
    PAD = "a pad in the stops that says how far it can be pressed"
    SEAT_MASS = "seat_kg in the vehicle's [hull]"
    MOTOR = "a table [drive.motor]"
    RATING = "continuous_Nm or continuous_A in [drive.motor]"
    WARMS = "heats_up_s, and continuous_Nm or continuous_A, in [drive.motor]"
    BATTERY = "a table [drive.battery]"
    VOLTS = "voltage_V in [drive.battery]"
    CLASS_STEP = f"a step of {math.floor(1e4 / (channel.RATE_PER_CLASS * channel.CFC)) / 10:g} ms or finer"

    def met_by(self, readings: Readings) -> bool:
        """Whether a run has it."""
        if self is Needs.TRACK:
            return readings.tracked
        if self is Needs.PAD:
            return any(p.pad.limit is not None for p in readings.assembly.parts.swings)
        if self is Needs.FINE_STEP:
            return 1.0 / readings.dt_s >= MIN_RATE_HZ
        if self is Needs.CLASS_STEP:
            return channel.fine_enough(readings.dt_s)
        if self is Needs.SEAT_MASS:
            weighed = holds.mass_kg(readings.assembly.vehicle.hull) is not None
            return weighed and channel.fine_enough(readings.dt_s)
        drive = readings.assembly.vehicle.drive
        motor, battery = drive.motor, drive.battery
        rated = motor is not None and motor.for_ever_Nm is not None
        has = {
            Needs.MOTOR: motor is not None,
            Needs.RATING: rated,
            Needs.WARMS: rated and motor is not None and motor.heats_up_s is not None,
            Needs.BATTERY: battery is not None,
            Needs.VOLTS: battery is not None and battery.voltage_V is not None,
        }
        return has.get(self, True)


class Told(Enum):
    """How the verdict, on screen and page, tells of a figure."""

    LINE = "in a line of its own at the end of its subject's section; a wheel's own in the table of wheels"
    SENTENCE = "in a sentence made for it (findings.verdict, findings.verdict_lines)"
    NOT = "not at all: summary and tables only"


@dataclass(frozen=True)
class Bad:
    """What should not happen, in words, and the limit that its figure must keep for it not to have happened."""

    what: str
    sign: str
    value: float

    def happened(self, value: float) -> bool:
        """Whether a value breaks the limit."""
        keeps = {
            "<": value < self.value, "<=": value <= self.value, ">": value > self.value, ">=": value >= self.value,
        }  # fmt: skip
        return not keeps[self.sign]


WHEEL = "*"
"""In a figure's name: it is one wheel's own, and the wheel's name stands there."""


@dataclass(frozen=True, kw_only=True)
class Figure:
    """One figure.

    name: key in summary.json and column of a study's tables; `wheels.*.peak_N` is one wheel's own and stands in the
    summary once for each. title: words without the unit. digits: behind the point. counted: a whole number, how often
    something happened. of: works it out (of a wheel's own figure: for every wheel, by name); None for a
    column that is no figure of ours. single_blow: the peak of one blow, the least certain that a run gives. needs:
    without it the figure is None. ranked: studies rank variants by it. compared: told in spreads and known to limits
    before a run. guarded: kept by a baseline. how_sure: its error is told by `run --how-sure`. repeats: the same again
    in the same run, so that studies keep it. bad: what it must not show; counted by tolerance studies. zero: what a
    table says for 0.
    """

    name: str
    title: str
    subject: Subject
    of: Callable[[Readings], Value | Mapping[str, Value]] | None
    unit: str = ""
    digits: int = 0
    better: Better = Better.NEITHER
    needs: Needs = Needs.NOTHING
    told: Told = Told.LINE
    single_blow: bool = False
    counted: bool = False
    ranked: bool = False
    compared: bool = True
    guarded: bool = True
    how_sure: bool = True
    repeats: bool = True
    bad: Bad | None = None
    zero: str = ""

    @property
    def of_wheel(self) -> bool:
        """Whether it is one wheel's own."""
        return WHEEL in self.name

    @property
    def heading(self) -> str:
        """`peak pitch [deg]`: what a table calls it."""
        return f"{self.title} [{self.unit}]" if self.unit else self.title

    def covers(self, column: str) -> bool:
        """Whether a column of a table is this figure, or a part of it: of all wheels, or of one."""
        if self.of_wheel:
            before, after = self.name.split(WHEEL)
            return len(column) > len(before + after) and column.startswith(before) and column.endswith(after)
        return column == self.name or column.startswith(f"{self.name}.")

    def cell(self, value: Value) -> str:
        """A value as text, without its unit."""
        if value is None:
            return "–"
        return self.zero if self.zero and value == 0 else f"{value:.{self.digits}f}"

    def text(self, value: Value) -> str:
        """A value as text, with its unit."""
        return self.cell(value) if value is None else f"{self.cell(value)} {self.unit}".rstrip()

    def value_in(self, readings: Readings) -> Value | Mapping[str, Value]:
        """The figure of a run; None where the run lacks what it needs. Raises ValueError if it is not the record's."""
        if self.of is None:
            raise ValueError(f"{self.name} is not worked out from a record")
        return self.of(readings) if self.needs.met_by(readings) else None
