"""Leaves of springs, each a part of its own: cut to length, bent to its radius."""

from __future__ import annotations

from collections.abc import Iterator

from trundle.bogies.parts import Parts
from trundle.making.members import SIDE_COUNT
from trundle.making.part import Made, Place
from trundle.making.stock import Stock
from trundle.spec.vehicle import Vehicle
from trundle.springs.answers import Bending
from trundle.units import MM


def leaves(vehicle: Vehicle, parts: Parts) -> Iterator[Made]:
    """Every leaf that is bent to shape, from the main leaf up; marks still empty."""
    for name, bogie in vehicle.bogie.items():
        sprung = bogie.sprung(name)
        if sprung is None or (shop := sprung.spring.bending(0.0)) is None:
            continue
        own = [s for s in parts.springs if s.bogie == name]
        middles = tuple(Place("hull", *parts.middle_mm(s)) for s in own)
        yield from _stack(name, f"{sprung.path}.spring", shop, sprung.count, middles)


def _stack(name: str, path: str, shop: Bending, each_side: int, places: tuple[Place, ...]) -> Iterator[Made]:
    stock = Stock("spring strip", (shop.width_mm, shop.thickness_mm), shop.steel)
    for leaf in shop.leaves:
        yield Made(
            "", "leaf", (name,), path, each_side * SIDE_COUNT, stock, leaf.length_mm, shop.thickness_mm, shop.width_mm,
            stock.kg_per_m * leaf.length_mm * MM, (0.5 * leaf.length_mm, 0.5 * shop.thickness_mm),
            radius_mm=leaf.radius_mm, places=places, title=leaf.name,
        )  # fmt: skip
