"""What `trundle leaf` is given: a vehicle's leaves, plain numbers, readings of a bend test."""

from __future__ import annotations

from typing import TYPE_CHECKING

from trundle.cli.inputs import tell_doubts
from trundle.errors import InputError, Problem

if TYPE_CHECKING:
    from trundle.result.inputs import VehicleInput
    from trundle.springs import Spring
    from trundle.springs.answers import Bending
    from trundle.steel.bend_test import Reading
    from trundle.steel.press_plan import LeafToPress


def reading(text: str) -> Reading:
    from trundle.fields.quantity import QuantityError, number
    from trundle.steel.bend_test import Reading
    from trundle.units import MM, G

    parts = text.split(":")
    if len(parts) not in (2, 3):
        raise InputError(Problem(f'"{text}" is no reading', "--at", "LOAD:MM or LOAD:MM:LEFT, like 400:3.4:0"))
    try:
        # What is hung on it is weighed in kg.
        weighed = parts[0].strip().lower().endswith(("kg", "lb", "lbs")) and "f" not in parts[0].lower()
        load_N = number(parts[0], "load_kg") * G if weighed else number(parts[0], "load_N")
        down, *left = (number(p, "down_mm") * MM for p in parts[1:])
    except QuantityError as e:
        raise InputError(Problem(f'"{text}": {e.text}', "--at", e.allowed)) from None
    return Reading(load_N, down, left[0] if left else None)


def file(vehicle: str, settings: tuple[str, ...]) -> VehicleInput:
    from trundle.result.inputs import vehicle_input
    from trundle.spec.reader import parse_settings

    file = vehicle_input(vehicle, parse_settings(settings))
    tell_doubts(file)
    return file


def only_without(vehicle: str, given: dict[str, object]) -> None:
    """Raises InputError for numbers that the vehicle's file has."""
    for name, value in given.items():
        if value is not None:
            raise InputError(
                Problem(f"{vehicle} has its own: this is for a leaf of no vehicle", name, "--set PATH=VALUE")
            )


def plain_leaf(plain: dict[str, float | None], steel: str | None, yield_mpa: float | None) -> LeafToPress:
    from trundle.steel.materials import UNKNOWN_SCRAP, steel_problem, tested
    from trundle.steel.materials import steel as named
    from trundle.steel.press_plan import LeafToPress
    from trundle.units import MM

    missing = [name for name, value in plain.items() if value is None]
    if missing:
        raise InputError(Problem("needed, or a VEHICLE whose leaves they are", ", ".join(missing)))
    if steel is not None and (problem := steel_problem(steel, spring=True)):
        raise InputError(Problem(problem, "--steel"))
    width, thickness, length, radius = (float(v or 0.0) * MM for v in plain.values())
    if radius <= thickness / 2.0:
        raise InputError(
            Problem(f"a leaf {thickness / MM:g} mm thick is not bent to {radius / MM:g} mm", "--radius-mm", "more")
        )
    of = tested(named(steel or UNKNOWN_SCRAP), yield_mpa, None)
    return LeafToPress("leaf", width, thickness, length, radius, 0.0, of)


def bent(file: VehicleInput, bogies: tuple[str, ...]) -> list[tuple[Bending, str]]:
    """How each spring is bent that is, alike ones once, and whose it is."""
    from trundle.papers.parts import names

    same: dict[Spring, list[str]] = {}
    for name, bogie in file.vehicle.bogie.items():
        sprung = bogie.sprung(name)
        if sprung is not None and sprung.spring.bending(0.0) is not None:
            same.setdefault(sprung.spring, []).append(name)
    has = [name for who in same.values() for name in who]
    for name in bogies:
        if name not in has:
            allowed = f"bogies of {file.vehicle.name} with leaves that are: {', '.join(has) or 'none'}"
            raise InputError(Problem(f'no leaf of a bogie "{name}" is bent to shape', "--bogie", allowed))
    if not has:
        raise InputError(Problem(f"no leaf of {file.vehicle.name} is bent to shape", "VEHICLE"))
    found = []
    for spring, who in same.items():
        chosen = [name for name in who if not bogies or name in bogies]
        shop = spring.bending(0.0)
        if chosen and shop is not None:
            found.append((shop, names(chosen)))
    return found


def section(
    file: VehicleInput, bogies: tuple[str, ...], width_mm: float | None, thickness_mm: float | None
) -> tuple[float, float, tuple[str, ...]]:
    """Width and thickness of the leaf that is tested, and the headers of the tables it stands in."""
    found: dict[tuple[float, float], list[str]] = {}
    for name, bogie in file.vehicle.bogie.items():
        sprung = bogie.sprung(name)
        if sprung is None or sprung.spring.strip_width_field() is None or (bogies and name not in bogies):
            continue
        strip = sprung.spring.model_dump()
        found.setdefault((strip["width_mm"], strip["thickness_mm"]), []).append(f"[{sprung.path}.spring]")
    if not found:
        raise InputError(Problem(f"{file.vehicle.name} has no such leaf", "--bogie" if bogies else "VEHICLE"))
    if len(found) > 1:
        raise InputError(Problem(f"{file.vehicle.name} has leaves of several sizes: which is tested?", "--bogie"))
    (((width, thickness), headers),) = found.items()
    return width_mm or width, thickness_mm or thickness, tuple(headers)
