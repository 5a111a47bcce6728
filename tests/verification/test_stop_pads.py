"""Pads of the stops that grow harder: as the run has them against their own closed forms, and in the engine."""

from __future__ import annotations

import math

import numpy as np
import pytest
from rigs import anchored, run, state_at
from scipy.integrate import quad
from scipy.optimize import brentq
from test_engine_bodies import HANG, arm

from trundle.bogies.base import Stops
from trundle.model.assembly import assemble, put_pad
from trundle.model.rubber import bounce_damp
from trundle.papers.ground import level, stand_level
from trundle.spec.shipped import find
from trundle.spec.vehicle import load_vehicle
from trundle.springs.felt_pad import FeltPad, at_axle
from trundle.springs.pad import CurvePad, Pad, RubberPad, TablePad
from trundle.units import MM, SIDES, G

PADS = (
    CurvePad(rate_N_per_mm=40, square_N_per_mm2=6, cube_N_per_mm3=0.5),
    TablePad(points=((0, 0), (4, 200), (8, 900), (10, 2500))),
    RubberPad(hardness_irhd=60, diameter_mm=30, height_mm=20),
)


def felt(pad: Pad, lever: float = 1.0) -> FeltPad:
    """As an axle feels it."""
    return FeltPad(at_axle(pad.pieces(), lever), pad.in_words(), lever, pad.limit())


def rubber_N(pad: RubberPad, pressed_m: float) -> float:
    """Ec A/3 (1/q2 - q), the modulus from the small-strain end of the pad's own curve: F -> Ec A x / h."""
    tiny = 1e-7 * pad.height_mm * MM
    scale = pad.force_N(tiny) / (tiny / (pad.height_mm * MM)) / 3.0
    q = 1.0 - pressed_m / (pad.height_mm * MM)
    return scale * (q**-2 - q)


@pytest.mark.parametrize("pad", PADS, ids=lambda p: p.kind)
@pytest.mark.parametrize("lever", [1.0, 0.5, 1.3])
def test_the_pieces_are_the_law(pad: Pad, lever: float) -> None:
    """At the axle lever x F(lever x d), and the same energy: virtual work. Cubes and tables exactly, rubber within
    0.1 % (a cubic through two points with their slopes is off by h^4 F''''/384: 0.015 % of the last piece)."""
    one = felt(pad, lever)
    near = 1e-9 if not isinstance(pad, RubberPad) else 1e-3
    for d in np.linspace(0.0001, 0.018, 50):
        assert one.force_N(d) == pytest.approx(lever * pad.force_N(lever * d), rel=near)
        assert one.energy_J(d) == pytest.approx(pad.energy_J(lever * d), rel=near)
        assert one.energy_J(d) == pytest.approx(quad(one.force_N, 0.0, d, limit=200, epsabs=1e-10)[0], rel=1e-6)
        assert one.pressed_by(one.force_N(d)) == pytest.approx(d, rel=1e-9)
    assert one.force_N(-0.01) == one.energy_J(-0.01) == 0.0


def test_rubber_by_hand() -> None:
    """30 x 20 mm of 60 IRHD: S = 30/80, Ec = 4.45 (1 + 2 x 0.57 S2) = 5.163 MPa, with 1200 MPa of bulk 5.141; over
    706.9 mm2 a third of Ec A is 1211.4 N. Pressed by half: 1211.4 (4 - 0.5) = 4240 N."""
    pad = RubberPad(hardness_irhd=60, diameter_mm=30, height_mm=20)
    assert felt(pad).force_N(10 * MM) == pytest.approx(4240.0, rel=1e-3)
    assert rubber_N(pad, 10 * MM) == pytest.approx(4240.0, rel=1e-3)


@pytest.mark.parametrize("pad", PADS, ids=lambda p: p.kind)
def test_an_arm_thrown_on_a_pad_stops_where_its_energy_is_used_up(pad: Pad) -> None:
    """m v2/2 = E(lever d), the pad half as far from the pivot as the mass; it comes back with the speed that it had.

    Hanging, so that gravity has no part in it. Tolerance 0.5 %: a step of 0.05 ms."""
    length, mass, speed, lever = 0.5, 4.0, 1.0, 0.5
    m, hull = anchored([(mass, 1e-9)], [arm(length) | {"bump": HANG}])
    put_pad(m.joints[0], felt(pad, lever))
    kept = m.joints[0].pad_pieces
    assert kept == len(pad.pieces())
    log = run(m, state_at(m, [*hull, 0.0, HANG + 1e-9], np.array([0.0, 0.0, 0.0, -speed / length])), 0.08, dt=5e-5)
    deep = length * (HANG - log("arm", "angle").min())
    # What is given to the model is both sides' together, and so is the mass here.
    exact = brentq(lambda d: SIDES * pad.energy_J(lever * d) - 0.5 * mass * speed**2, 1e-6, 0.2)
    assert deep == pytest.approx(exact, rel=5e-3)
    assert log("arm", "stop").max() == pytest.approx(SIDES * lever * pad.force_N(lever * exact), rel=1e-2)
    x = log("arm", "angle")
    back = np.flatnonzero(x > HANG + 1e-6)[5]
    assert length * (x[back + 20] - x[back]) / (20 * 5e-5) == pytest.approx(speed, rel=1e-2)


@pytest.mark.parametrize("loss", [0.2, 0.6])
def test_any_pad_loses_the_stated_share(loss: float) -> None:
    """At 0.5 m/s, whatever its law: Hunt and Crossley's loss does not hang on f. Tolerance 1 % of the energy."""
    length, mass, speed = 0.5, 4.0, 0.5
    m, hull = anchored([(mass, 1e-9)], [arm(length, pad_damp=bounce_damp(loss)) | {"bump": HANG}])
    put_pad(m.joints[0], felt(PADS[2]))
    log = run(m, state_at(m, [*hull, 0.0, HANG + 1e-9], np.array([0, 0, 0, -speed / length])), 0.08, dt=2e-5)
    x = log("arm", "angle")
    deepest = int(x.argmin())
    back = deepest + np.flatnonzero(x[deepest:] > HANG)[0] + 2
    got = length * (x[back + 20] - x[back]) / (20 * 2e-5)
    assert 1.0 - (got / speed) ** 2 == pytest.approx(loss, abs=0.01)


def test_a_pad_that_stands_under_a_load() -> None:
    """A level arm's mass on its pad: half its weight is F on each side, at the angle that it comes to rest."""
    length, mass, pad = 0.5, 60.0, PADS[1]
    m, hull = anchored([(mass, 1e-9)], [arm(length, pad_damp=2.0) | {"droop": 0.0, "bump": -50.0}])
    put_pad(m.joints[0], felt(pad))
    log = run(m, state_at(m, [*hull, 0.0, 0.001]), 3.0, dt=2e-4)
    angle = float(log("arm", "angle")[-1])
    assert pad.force_N(length * angle) == pytest.approx(mass * G * math.cos(angle) / SIDES, rel=2e-3)


def test_a_rate_and_its_curve_pad_are_one_vehicle() -> None:
    """A pad at the axle that is nothing but a rate gives the same model to the last bit."""
    path = find("vehicles", "teasel")
    given = {f"bogie.{n}.stops.pad": {"kind": "curve pad", "rate_N_per_mm": 120} for n in ("front", "middle", "rear")}
    plain, other = load_vehicle(path), load_vehicle(path, given | {f"{k}_rate_N_per_mm": None for k in given})
    a, b = (assemble(v, level()).model.vehicle.tobytes() for v in (plain, other))
    assert a == b


def test_standing_on_a_pad_off_the_axle() -> None:
    """The droop pads of a light hull held by strong springs: torque of spring and pad about the pivot in balance, the
    pad's worked out here as F(p x turned) x p."""
    path = find("vehicles", "barrow")
    pad = RubberPad(hardness_irhd=50, diameter_mm=25, height_mm=25)
    stops = Stops(bump_below_level_deg=-5, droop_below_level_deg=12, pad=pad, pad_from_pivot_mm=60)
    given = stops.model_dump(exclude_none=True)
    bogies = load_vehicle(path).bogie
    at = stand_level(load_vehicle(path, {f"bogie.{n}.stops": given for n in bogies}))
    seen = 0
    for j, part in enumerate(at.assembly.parts.swings):
        turned = float(at.q[3 + j]) - part.droop
        if turned <= 0.0:
            continue
        seen += 1
        torque = pad.force_N(60 * MM * turned) * 60 * MM
        stop_N = float(at.scratch.work[0].joint[j].stop)
        assert -stop_N * part.radius / SIDES == pytest.approx(torque, rel=1e-3)
    assert seen
