"""All checks, and what they find of a vehicle."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from trundle.making.fits import across, edges, fastened, neighbours, sleeves, sold, sprung, swung, tooth, welded
from trundle.making.fits.case import Case, cases
from trundle.making.fits.remark import Remark, alike_once
from trundle.spec.moving import parts_of
from trundle.spec.vehicle import Vehicle

CHECKS: tuple[Callable[[Case], Iterator[Remark]], ...] = (
    sleeves.checks,
    across.checks,
    fastened.checks,
    edges.checks,
    swung.checks,
    sprung.checks,
    tooth.checks,
    welded.checks,
    sold.checks,
)
"""Of the arms or beam of one bogie that are made alike."""


def remarks(vehicle: Vehicle) -> tuple[Remark, ...]:
    """Everything that keeps its parts from being made, bought, put together or moved, worst first; none: all that the
    file says can be built. What several bogies have in common is told once. Raises InputError where a spring or stop
    cannot work."""
    every = list(cases(vehicle))
    found = [r for case in every for check in CHECKS for r in check(case)]
    found += neighbours.brackets(every)
    found += neighbours.checks(vehicle, parts_of(vehicle))
    return alike_once(found, len(vehicle.bogie))
