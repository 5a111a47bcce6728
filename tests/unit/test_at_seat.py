"""What is at the seat, what holds it, and what is said of it."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import numpy as np
import pytest
from record_parts import Made, assembly_of, made, put, rolling

from trundle.errors import InputError
from trundle.findings import holds
from trundle.findings.figures import Needs
from trundle.findings.grades import Grade
from trundle.findings.readings import Readings, Stood
from trundle.findings.seat_words import jolt_lines
from trundle.findings.summary import summarise
from trundle.model.assembly import assemble
from trundle.model.ground import ground_arrays
from trundle.spec.shipped import find
from trundle.spec.vehicle import load_vehicle
from trundle.units import G

TEASEL = find("vehicles", "teasel")
KERB = (("kerb 100 mm", 6.0, 6.125),)


def stopped(stop_g: float = 5.0, drop_g: float = 0.0, lasts_s: float = 0.1, **hull: Any) -> Made:
    """Teasel, the seat stopped for a while, then dropped."""
    assembly = assemble(
        load_vehicle(TEASEL, {f"hull.{k}": v for k, v in hull.items()}),
        ground_arrays(np.zeros(4001), 0.005, np.zeros(1), np.full(1, np.nan)),
    )
    t = rolling(assembly)
    put(t, "seat.forward_m_s2", 4.0, lasts_s, -stop_g * G)
    put(t, "seat.up_m_s2", 6.0, lasts_s, -drop_g * G)
    return made(assembly, t, KERB)


def seat(record: Made) -> str:
    return " ".join(line.text for line in jolt_lines(record.summary, record.assembly.vehicle.hull))


def test_the_rider_is_thrown_forward_and_told_so_first() -> None:
    """5 g for 0.1 s on 75 kg, 3.7 kN: the filter leaves so long a stop as it is, but for its edges (at most 1.1)."""
    record = stopped()
    s = record.summary
    assert 5.0 <= s["peak_seat_forward_g"] <= 5.5
    assert s["seat_forward_force_N"] == pytest.approx(75.0 * G * s["peak_seat_forward_g"])
    (worst,) = [f for f in record.said.findings if f.figure == "peak_seat_forward_g"]
    assert worst.short == f"the rider is thrown forward at {s['peak_seat_forward_g']:.1f} g"
    assert worst.grade is Grade.RISK
    assert worst.time_s == pytest.approx(4.05, abs=0.05)
    assert worst.short in record.said.headline.text
    assert "75 kg, an estimate" in worst.text
    assert "a lap belt holds 6.6 kN (9 g, 14 CFR 23.561, from memory)" in worst.text


def test_pushed_on_is_thrown_back_and_half_as_hard_a_note() -> None:
    (worst,) = [f for f in stopped(stop_g=-5.0).said.findings if f.figure == "peak_seat_forward_g"]
    assert worst.short.startswith("the rider is thrown back at 5.")
    (note,) = [f for f in stopped(stop_g=2.5, lasts_s=0.03).said.findings if f.figure == "peak_seat_forward_g"]
    assert note.grade is Grade.NOTE
    assert not [f for f in stopped(stop_g=1.5, lasts_s=0.03).said.findings if f.figure == "peak_seat_forward_g"]


def test_a_long_soft_stop_slides_far() -> None:
    """1.5 g for 0.3 s against a grip of 0.7 g: 0.8 g for 0.3 s, 353 mm, then back at 0.7 g, 404 mm: 757 mm."""
    record = stopped(stop_g=1.5, lasts_s=0.3)
    assert record.summary["seat_slides_mm"] == pytest.approx(757.0, rel=0.02)
    (worst,) = [f for f in record.said.findings if f.figure == "peak_seat_forward_g"]
    assert worst.grade is Grade.RISK
    assert "slides 7" in worst.text
    assert stopped(stop_g=1.5, lasts_s=0.3, held_by="lap belt").summary["seat_slides_mm"] == 0.0


def test_a_load_a_mast_and_what_they_weigh() -> None:
    load = stopped(at_seat="load", seat_kg=40.0)
    assert "the load is thrown forward" in load.said.headline.text
    assert "Holding the load (40 kg) takes" in seat(load)
    assert "lashings are reckoned to hold 314 N (0.8 g, EN 12195-1, from memory), bolts would" in seat(load)
    mast = stopped(at_seat="mast", seat_kg=10.0, mast_mm=500.0)
    assert "the mast is jerked forward" in mast.said.headline.text
    moment = mast.summary["seat_forward_force_N"] * 0.5
    assert f"bends the mast's foot by {moment:.0f} N·m" in seat(mast)
    assert mast.summary["seat_slides_mm"] == 0.0
    unknown = stopped(at_seat="mast")
    assert unknown.summary["seat_force_N"] is None
    assert Needs.SEAT_MASS.value in seat(unknown)


def test_who_is_not_held_down_is_thrown_out() -> None:
    """3 g down for 0.1 s: the seat is 98 mm below where he is, and he is found out of it; not with a lap belt."""
    record = stopped(stop_g=0.0, drop_g=3.0)
    assert record.summary["seat_left_mm"] > 98.0
    (out,) = [f for f in record.said.findings if f.figure == "seat_left_mm"]
    assert out.short == "the rider is thrown out of the seat"
    assert "strap in" in seat(record)
    held = stopped(stop_g=0.0, drop_g=3.0, held_by="lap belt")
    assert not [f for f in held.said.findings if f.figure == "seat_left_mm"]
    assert "out of the seat" not in seat(held)


def test_down_hard_is_jolted() -> None:
    (jolt,) = [f for f in stopped(stop_g=0.0, drop_g=6.0).said.findings if f.figure == "peak_seat_g"]
    assert jolt.short.startswith("the rider is jolted down at 6.")


def test_a_step_too_coarse_for_the_class_gives_no_jolts() -> None:
    """2 ms, 500 a second: the class wants 600; speed lost and flights, which need no filter, still come."""
    assembly = assembly_of()
    t = rolling(assembly).iloc[::2].reset_index(drop=True)
    events = made(assembly, rolling(assembly), KERB).events
    stood = Stood(dict.fromkeys(assembly.wheel, 100.0), 150.0)
    s = summarise(Readings(t, events, assembly, stood, 2e-3, 5.0, 1.0))
    for name in ("peak_seat_g", "peak_seat_forward_g", "peak_seat_resultant_g", "peak_seat_low_g", "seat_force_N"):
        assert s[name] is None
    assert s["speed_lost_m_s"] is not None
    assert s["seat_left_mm"] is not None
    (text,) = [line.text for line in jolt_lines(s, assembly.vehicle.hull)]
    assert text == "Jolts are not given: CFC 60, SAE J211-1 needs a step of 1.6 ms or finer."


@pytest.mark.parametrize(
    ("settings", "says"),
    [
        ({"hull.at_seat": "cat"}, "hull.at_seat"),
        (
            {"hull.held_by": "lashings"},
            "hull.held_by: a rider is not held by \"lashings\" (allowed: 'nothing', 'grip', ",
        ),
        ({"hull.at_seat": "mast", "hull.held_by": "grip"}, "a mast is not held by \"grip\" (allowed: 'bolts')"),
        ({"hull.seat_kg": 266.0}, "hull.seat_kg: it is part of mass_kg, which is 265 (it is 266) (allowed: up to 265)"),
        ({"hull.seat_kg": 0.0}, "hull.seat_kg"),
        ({"hull.mast_mm": 300.0}, 'hull.mast_mm: only a mast has it (at_seat is rider) (allowed: at_seat = "mast")'),
    ],
)
def test_what_cannot_be_at_a_seat(settings: dict[str, Any], says: str) -> None:
    with pytest.raises(InputError) as caught:
        load_vehicle(Path(TEASEL), settings)
    assert says in str(caught.value)


def test_what_would_hold() -> None:
    hull = assembly_of().vehicle.hull
    assert [holds.would_hold(hull, g) for g in (0.5, 0.8, 8.9, 12.0, 17.0)] == [
        None, "lap belt", "lap belt", "harness", None,
    ]  # fmt: skip
    assert holds.mass_kg(hull.model_copy(update={"mass_kg": 44.0})) == 44.0


def test_wren_carries_a_mast() -> None:
    assert assembly_of("wren").vehicle.hull.at_seat == "mast"
