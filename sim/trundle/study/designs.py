"""Several whole vehicles in one study: what each is called for short, and in which fields its file differs."""

from __future__ import annotations

from dataclasses import dataclass

import pandas as pd

from trundle.fields.differences import Difference, spoken
from trundle.spec.vehicle import Vehicle, load_vehicle
from trundle.study.beside import SIGNS, Course, differing_fields, over_courses
from trundle.study.case import names_of
from trundle.study.grid import Plan
from trundle.study.paths import is_course_path
from trundle.study.worker import REFUSED


@dataclass(frozen=True)
class Design:
    """One of the vehicles. sign: `B`; variant: its number in the study's table; file: as tables call it; fields: in
    which it differs from the first."""

    sign: str
    variant: int
    file: str
    vehicle: Vehicle
    fields: tuple[Difference, ...]

    @property
    def differs(self) -> str:
        """In a clause; "" of the first."""
        if self.sign == SIGNS[0]:
            return ""
        return spoken(self.fields) if self.fields else "the same in every field"

    @property
    def line(self) -> str:
        """`B  mine (Mine): hull.mass_kg 310 instead of 300`."""
        return f"{self.sign}  {self.file} ({self.vehicle.name})" + (f": {self.differs}" if self.differs else "")


def designs_of(plan: Plan, table: pd.DataFrame) -> list[Design]:
    """The vehicles of a plan in which nothing else varies, in their order; none of any other plan, of one vehicle, of
    more than have a letter, or where a run was refused."""
    alone = not plan.axes and len(plan.speeds_m_s) == 1 and 1 < len(plan.vehicles) <= len(SIGNS)
    if not alone or table["state"].eq(REFUSED).any():
        return []
    settings = {k: v for k, v in (plan.settings or {}).items() if not is_course_path(k)}
    vehicles = [load_vehicle(file, settings) for file in plan.vehicles]
    files = names_of(plan.vehicles)
    return [
        Design(sign, k + 1, files[file], vehicle, tuple(differing_fields(vehicles[0], vehicle)) if k else ())
        for k, (sign, file, vehicle) in enumerate(zip(SIGNS, plan.vehicles, vehicles, strict=False))
    ]


def beside_first(designs: list[Design], other: Design, table: pd.DataFrame) -> list[Course]:
    """The first design and another over each course."""
    return over_courses(table, designs[0].variant, other.variant, (designs[0].sign, other.sign))
