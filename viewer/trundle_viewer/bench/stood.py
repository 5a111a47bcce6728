"""How a state of the vehicle stands: its figures, or why it does not."""

from __future__ import annotations

from dataclasses import dataclass

from trundle.engine.standing import Standing
from trundle.errors import InputError, Problem
from trundle.papers.ground import stand_level
from trundle.papers.loads import by_factor
from trundle.papers.standing import StandingSheet, standing_sheet
from trundle.papers.strength import strength
from trundle.spec.vehicle import Vehicle
from trundle.strength.margin import PartMargin, least_of
from trundle_viewer.bench.design import faults


@dataclass(frozen=True, eq=False)
class Stood:
    """at: the balance; sheet: as the standing sheet has it; least: the part with least left at the load that the sheet
    takes where no run is given, None if no part's sizes are known."""

    at: Standing
    sheet: StandingSheet
    least: PartMargin | None


@dataclass(frozen=True)
class Refused:
    """problems: why it does not stand, or cannot be."""

    problems: tuple[Problem, ...]


Outcome = Stood | Refused


def stood(vehicle: Vehicle) -> Outcome:
    """The vehicle on level ground."""
    try:
        faults(vehicle)
        at = stand_level(vehicle)
        sheet = standing_sheet(vehicle, adjusters=False, at=at)
        return Stood(at, sheet, least_of(strength(at.assembly, by_factor(sheet))))
    except InputError as e:
        return Refused(e.problems)
    except ArithmeticError as e:  # numbers that no balance comes of: said, not a crash of the window
        return Refused((Problem(f"no balance was found ({e})", field="bogie"),))
