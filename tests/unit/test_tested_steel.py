"""A leaf that its builder bent: yield and modulus in the file stand in the place of its steel's, everywhere."""

from __future__ import annotations

import pytest

import trundle
from trundle.errors import InputError
from trundle.papers.ground import stand_level
from trundle.spec.shipped import find
from trundle.spec.vehicle import Vehicle, load_vehicle
from trundle.springs import Leaf, LeafAcross
from trundle.springs.laws import Arm
from trundle.steel.materials import steel
from trundle.study.mend.changes import levers

TEASEL = find("vehicles", "teasel")


def teasel(**fields: float | str) -> Vehicle:
    """With these in every spring."""
    return load_vehicle(TEASEL, {f"bogie.*.spring.{k}": v for k, v in fields.items()})


def leaf(**fields: float) -> Leaf:
    """One clamped to the hull."""
    given = {"width_mm": 40.0, "thickness_mm": 5.0, "length_mm": 260.0, "bears_at_mm": 120.0, "free_angle_deg": 20.0}
    return Leaf.model_validate({**given, **fields})


def across(vehicle: Vehicle) -> LeafAcross:
    """The front bogie's leaf."""
    sprung = vehicle.bogie["front"].sprung("front")
    assert sprung is not None
    assert isinstance(sprung.spring, LeafAcross)
    return sprung.spring


def test_a_rate_goes_with_the_modulus() -> None:
    """Half the modulus, half of 3EI/l3: in the law, the stress at an angle, what a clamp leaves."""
    arm = Arm(0.15, 0.0, 0.6)
    steel_, glass = leaf(), leaf(modulus_GPa=103.0)
    assert glass.rate_N_per_m == pytest.approx(0.5 * steel_.rate_N_per_m)
    a, b = (one.figures(0.1, arm) for one in (steel_, glass))
    assert (b.torque_Nm, b.stress_Pa) == pytest.approx((0.5 * a.torque_Nm, 0.5 * a.stress_Pa))
    held = {"seat": "clamp", "clamp_mm": 60.0, "clamp_fit": "pressed flat"}
    clamped = [across(teasel(**held, **more)).fitted() for more in ({}, {"modulus_GPa": 103.0})]
    assert clamped[0] is not None
    assert clamped[1] is not None
    assert clamped[1].stress_Pa == pytest.approx(0.5 * clamped[0].stress_Pa)


def test_the_hull_sinks_on_a_softer_material() -> None:
    """The standing vehicle feels it: 5 % off the modulus is about 5 % more deflection, a few mm, never a rise."""
    usual, soft = (float(stand_level(v).q[1]) * 1e3 for v in (teasel(), teasel(modulus_GPa=195.7)))
    assert 1.0 < usual - soft < 8.0


def test_margins_are_of_the_tested_yield() -> None:
    """Sheet and run hold the stress against it, whatever the steel is called; nobody is told to test it any more."""
    untold, told = (trundle.sheet(teasel(steel="unknown scrap", **y)) for y in ({}, {"yield_MPa": 910.0}))
    for one, limit in ((untold, 700.0), (told, 910.0)):
        spring = one.standing.springs[0]
        assert spring.yield_MPa == pytest.approx(limit)
        assert spring.yield_margin("bump") == pytest.approx(limit / spring.state("bump").stress_MPa)
        assert spring.limits_MPa == pytest.approx((0.6 * limit, 0.75 * limit))
    assert "bend-test a strip first" in str(untold)
    assert "bend-test a strip first" not in str(told)
    assert "unknown scrap, tested" in str(told)
    run = trundle.run(teasel(steel="unknown scrap", yield_MPa=910.0), "kerb-50", near=1)
    margins = [line for line in str(run.verdict).splitlines() if "MPa of 910" in line]
    assert margins


def test_the_former_follows_the_tested_yield() -> None:
    """A softer leaf springs back less: its former is nearer to the wanted radius."""
    formers = []
    for given in (700.0, 910.0):
        shop = across(teasel(yield_MPa=given)).bending(0.0)
        assert shop is not None
        assert shop.metal.yield_Pa == pytest.approx(given * 1e6)
        formers.append(shop.leaves[0].former_mm or 0.0)
    assert 700.0 > formers[0] > formers[1] > 0.0


def test_another_name_of_the_steel_is_no_lever_then() -> None:
    """Mending tries no step that changes nothing."""

    def steels(vehicle: Vehicle) -> list[str]:
        return [one.label for one in levers(vehicle) if one.label.endswith("spring.steel")]

    assert steels(teasel(steel="unknown scrap"))
    assert not steels(teasel(steel="unknown scrap", yield_MPa=910.0))


def test_a_steel_without_a_test_is_as_it_was() -> None:
    """The very record of the table."""
    assert leaf().metal is not None
    assert across(teasel()).metal == steel("51CrV4")
    assert leaf().made_of().steel == steel("unknown scrap")
    assert steel("51CrV4").strongest_Pa == pytest.approx(1.25 * 1200e6)
    assert steel("unknown scrap").strongest_Pa == pytest.approx(1600e6)


@pytest.mark.parametrize(
    ("field", "value", "said"),
    [
        ("yield_MPa", 91, "100"),
        ("yield_MPa", 2600, "2500"),
        ("modulus_GPa", 206000, "250"),
        ("modulus_GPa", 2, "20"),
        ("yield_MPa", "130 N", "a stress is wanted"),
    ],
)
def test_what_is_no_steel(field: str, value: float | str, said: str) -> None:
    """Refused with its field and what is allowed."""
    with pytest.raises(InputError) as caught:
        teasel(**{field: value})
    assert all(field in str(p) for p in caught.value.problems)
    assert said in str(caught.value).replace(",", "")


def test_a_yield_in_other_units() -> None:
    """130 ksi are 896.3 MPa (1 psi = 6894.757 Pa)."""
    assert across(teasel(yield_MPa="130 ksi")).yield_MPa == pytest.approx(130 * 6.894757)
    assert across(teasel(modulus_GPa="30 Mpsi")).modulus_GPa == pytest.approx(206.8427)
