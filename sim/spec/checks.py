"""What one field alone cannot show: fields that contradict each other."""

from __future__ import annotations

from sim.errors import Problem
from sim.spec.vehicle import Vehicle


def check_vehicle(vehicle: Vehicle) -> list[Problem]:
    return []
