"""Designs drawn beside each other: at one scale, each with the dimensions in which they differ, and no others."""

from __future__ import annotations

import re

import pytest

from trundle.engine.standing import Standing
from trundle.errors import InputError, Problem
from trundle.spec.shipped import find
from trundle.spec.vehicle import Vehicle, load_vehicle
from trundle.study import elevations as elevations_module
from trundle.study.beside import differing_fields
from trundle.study.designs import Design
from trundle.study.elevations import elevations


def design(sign: str, name: str, first: str = "teasel", **settings: object) -> Design:
    vehicle = load_vehicle(find("vehicles", name), {k.replace("__", "."): v for k, v in settings.items()})
    fields = differing_fields(load_vehicle(find("vehicles", first)), vehicle) if sign != "A" else []
    return Design(sign, ord(sign) - 64, name, vehicle, tuple(fields))


def test_a_dimension_that_differs_is_on_both_drawings_with_its_own_value() -> None:
    moved = design("B", "teasel", hull__com_mm=[800, 250])
    one, two = elevations([design("A", "teasel"), moved])
    for drawn, value in ((one, "870"), (two, "800")):
        said = " ".join(re.findall(r">([^<>]+)</text>", drawn.svg))
        assert "hull.com_mm" in said
        assert value in said
        assert "hull.length_mm" not in said
    assert "hull.com_mm [800, 250] instead of [870, 250]" in two.note


def test_a_small_and_a_large_vehicle_are_drawn_to_one_scale() -> None:
    """Otter is longer than Wren by what their files say, and so are their hulls on paper."""
    otter, wren = elevations([design("A", "otter"), design("B", "wren", first="otter")])
    scales = [re.search(r"1 : ([\d.]+)", e.note) for e in (otter, wren)]
    assert scales[0] is not None
    assert scales[1] is not None
    assert scales[0].group(1) == scales[1].group(1)
    widths = [float(re.search(r'viewBox="0 0 ([\d.]+)', e.svg).group(1)) for e in (otter, wren)]  # type: ignore[union-attr]
    assert all(150.0 < w < 400.0 for w in widths)


def test_one_that_cannot_stand_is_told_of_and_the_other_drawn(monkeypatch: pytest.MonkeyPatch) -> None:
    heavy = design("B", "teasel", hull__mass_kg=900)
    stand = elevations_module.stand_level

    def refuse(vehicle: Vehicle) -> Standing:
        if vehicle is heavy.vehicle:
            raise InputError(Problem("the springs are too weak"))
        return stand(vehicle)

    monkeypatch.setattr(elevations_module, "stand_level", refuse)
    one, two = elevations([design("A", "teasel"), heavy])
    assert one.svg.startswith("<svg")
    assert two.svg == ""
    assert two.note == "Does not stand: the springs are too weak"


@pytest.mark.parametrize("name", ["barrow", "mole"])
def test_a_vehicle_against_itself_has_no_dimension(name: str) -> None:
    one, two = elevations([design("A", name), design("B", name, first=name)])
    assert "_mm" not in one.svg + two.svg
    assert "the same in every field" in two.note
