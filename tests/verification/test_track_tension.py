"""The band's tension, and the forces it hands on: catenary, taut string, momentum, standing loads."""

from __future__ import annotations

import math
from pathlib import Path

import numpy as np
import pytest
from band_kernels import solve_tension
from belt import loop_length
from rigs import Log, blank_state, flat, ground, kerb, rigid_tracked, ring_load, roll, run_watched, vehicle
from scipy.optimize import brentq

from trundle.engine.standing import stand
from trundle.law.scratch import new_scratch
from trundle.law.state import TRACK
from trundle.model.loop import Circle
from trundle.spec.vehicle import Vehicle, load_vehicle
from trundle.units import G

TEASEL = Path(__file__).parents[2] / "scenarios/vehicles/teasel.toml"


def teasel(**settings: object) -> Vehicle:
    return load_vehicle(TEASEL, settings)


def catenary_a(span: float, sag: float) -> float:
    """Parameter a = H / w of the catenary y = a cosh(x / a) with this sag at mid span [m]."""
    return brentq(lambda a: a * (math.cosh(span / (2 * a)) - 1.0) - sag, span / 20, span * 1e5)


def test_printed_sag_values() -> None:
    """5 kg/m over 0.6 m: T = 200 N sags 11.037 mm (catenary; parabola w L^2 / 8T 11.032), 0.541 mm longer; 500 N:
    4.413 mm, 0.0866 mm. Pins the catenary that the tests below use."""
    w = 5 * G
    for pull, sag, more in ((200, 11.037e-3, 0.541e-3), (500, 4.413e-3, 0.0866e-3)):
        a = catenary_a(0.6, sag)
        assert a * w == pytest.approx(pull, rel=1e-3)
        assert 2 * a * math.sinh(0.3 / a) - 0.6 == pytest.approx(more, rel=5e-3)


@pytest.mark.parametrize("pull", [60.0, 200.0, 1000.0, 5000.0])
def test_tension_from_slack_against_catenaries(pull: float) -> None:
    """A loop with given length round two circles, its flat top span hanging: the kernel's tension against the
    catenary of the same length (brentq) with stretch EA, from slack (60 N: sag 37 mm) to taut.

    Tolerance 1 %: the parabola's length 8 s^2 / 3 l is short by (s/l)^2 terms, (0.06)^2 * 2.4 = 0.9 % at 60 N.
    """
    w, span, stretch = 5 * G, 0.6, 1e6
    a = pull / w
    around = 2.5
    path = around + span
    m = rigid_tracked([(0, 0.3, 0.1), (0.6, 0.3, 0.1)], [(0.3, 0.25, 0.1)], flat(), stretch=stretch, weight_per_m=w)
    assert m.band.sag_sum == pytest.approx(span**3)
    # Unstretched length of such a loop: catenary instead of the straight span, relaxed.
    exact = (around + 2 * a * math.sinh(span / (2 * a))) - pull * path / stretch
    got, spare = solve_tension(
        m, blank_state(m).record, new_scratch(m), 1.0, 0.0, exact - path, path, 0.0, 0.0, 0.0, 10.0
    )
    assert spare == 0.0
    assert got == pytest.approx(pull, rel=0.01)


@pytest.mark.parametrize("sag_mm", [2, 5, 12, 25, 40])
def test_standing_tension_for_a_given_sag(sag_mm: float) -> None:
    """To hold: standing tension with given sag within 1 %: top tension of the shipped vehicle against H = w a of a
    catenary with that sag on its longest top span (560 mm between rollers)."""
    found = stand(teasel(**{"track.sag_mm": sag_mm}), flat())
    band, path = found.assembly.model.band, float(found.scratch.work[0].loop.path)
    tension, top, tight, slack = (found.state[f"band.{n}_N"] for n in ("tension", "top", "tight", "slack"))
    a = catenary_a(float(band.longest), sag_mm * 1e-3)
    assert top == pytest.approx(a * band.weight, rel=0.01)
    assert tight == pytest.approx(slack, rel=1e-12)
    # The loop's length agrees: links times pitch = path + sag of every top span + stretch, by catenary.
    assert band.length * (1 + tension / band.stretch) - path == pytest.approx(
        2 * band.weight**2 * band.sag_sum / (48 * tension**2), rel=0.02, abs=2e-6
    )


def taut_over_point(rear: Circle, front: Circle, x: float, y: float) -> tuple[float, float, float]:
    """Length of a belt round two circles with its lower run pushed up by a point, and the two slopes (angles of
    descent before and of rise behind, seen from the point) [m, rad, rad]. Plane geometry: tangent from a point."""

    def side(c: Circle) -> tuple[float, float]:
        dx, dy = abs(c[0] - x), c[1] - y
        d = math.hypot(dx, dy)
        # The tangent passes below the circle: its angle above the level from the point outwards.
        return math.sqrt(d * d - c[2] ** 2), math.atan2(dy, dx) - math.asin(c[2] / d)

    (l0, a0), (l1, a1) = side(rear), side(front)
    gap = front[2] - rear[2]
    top_length = math.sqrt((front[0] - rear[0]) ** 2 + (front[1] - rear[1]) ** 2 - gap**2)
    slope = math.atan2(front[1] - rear[1], front[0] - rear[0]) + math.asin(
        gap / math.hypot(front[0] - rear[0], front[1] - rear[1])
    )
    wraps = rear[2] * (math.pi - slope - a0) + front[2] * (math.pi + slope - a1)
    return l0 + l1 + top_length + wraps, a0, a1


@pytest.mark.parametrize(("rise", "x"), [(0.005, 3.0), (0.02, 3.0), (0.05, 3.2), (0.05, 2.7)])
def test_one_ground_point_under_a_span(rise: float, x: float) -> None:
    """A ridge under the middle of a free lower span, `rise` above the straight: force T (sin a + sin b) of the two
    slopes, T from the loop's stretch EA (L - L0) / L0 (taut string, statics). Both to 1e-6: closed forms.

    The hull is held; the ridge is narrow, so no circle touches ground. Only the spread of tension along the loop
    could differ, and there is none without traction.
    """
    rear, front = (-0.6, 0.3, 0.10), (0.6, 0.3, 0.08)
    dx, y0 = 0.01, 0.2
    line = 0.3 - 0.1 + (0.02) * 0.5  # the lower run's height at mid span, nearly
    height = np.zeros(601)
    k = round(x / dx)
    height[k] = y0 + line + rise
    on = ground(height, dx)
    px, py = dx * k - 3.0, height[k] - y0
    length, a0, a1 = taut_over_point(rear, front, px, py)
    straight = loop_length([rear, front])
    assert straight < length
    stretch, slack = 2e6, 0.999
    m = rigid_tracked([rear, front], [(0.0, 0.5, 0.05)], on, stretch=stretch, length=straight * slack)
    w = ring_load(m, 3.0, y0).work[0]
    loop, tension = w.loop, float(w.next.band.tension_N)
    pull = stretch * (length / (straight * slack) - 1.0)
    # The law stretches the path it has: T = EA (L - L0) / L rather than / L0; 0.1 to 1 % apart, so by its form.
    pull_on_path = stretch * (length - straight * slack) / length
    assert loop.path == pytest.approx(length, abs=1e-9)
    assert tension == pytest.approx(pull_on_path, rel=1e-6)
    assert tension == pytest.approx(pull, rel=0.01)
    up = -tension * (math.sin(a0) + math.sin(a1))
    assert loop.ground_y == pytest.approx(up, rel=1e-6)
    assert loop.span_N == pytest.approx(math.hypot(up, tension * (math.cos(a1) - math.cos(a0))), rel=1e-6)
    assert w.load[TRACK, 0, 1] == pytest.approx(up, rel=1e-6)
    # Moment on the hull: the same force acts at the ridge.
    fx = tension * (math.cos(a0) - math.cos(a1))
    assert w.load[TRACK, 0, 2] == pytest.approx(px * up - py * fx, rel=1e-6, abs=1e-6)


def test_small_deflection_is_the_taut_string_formula() -> None:
    """Deflection d at the middle of a span l under F: F = 4 T d / l (taut string, small slopes). 1 % at d = 3 mm on
    1.2 m with equal wheels; slopes 0.005, the tangent points move out by r * slope = 0.5 mm of 600."""
    rear, front = (-0.6, 0.3, 0.1), (0.6, 0.3, 0.1)
    height = np.zeros(601)
    height[300] = 0.2 + 0.2 + 0.003
    m = rigid_tracked(
        [rear, front], [(0.0, 0.5, 0.05)], ground(height, 0.01), stretch=2e6, length=loop_length([rear, front]) * 0.999
    )
    w = ring_load(m, 3.0, 0.2).work[0]
    assert w.loop.ground_y == pytest.approx(4 * w.next.band.tension_N * 0.003 / 1.2, rel=0.01)


@pytest.mark.parametrize("bogie", ["single arm", "paired arms", "walking beam"])
def test_track_on_vehicle_equals_ground_on_track(bogie: str) -> None:
    """Newton's third law at every step of a kerb climb: the sum of the track's forces on all bodies = ground
    reactions on the track, to rounding (1e-9 of the largest force, 20 kN)."""
    found = stand(vehicle(bogie), kerb(0.1, at=2.0))
    worst, most = [0.0], [0.0]

    def watch(i, scratch) -> None:
        if i:
            w = scratch.work[0]
            c = w.loop
            on_bodies = w.load[TRACK, :, :2].sum(axis=0)
            worst[0] = max(
                worst[0],
                abs(on_bodies[0] - c.ground_x),
                abs(on_bodies[1] - c.ground_y),
                abs(c.track_x - c.ground_x),
                abs(c.track_y - c.ground_y),
            )
            most[0] = max(most[0], abs(c.ground_x), abs(c.span_N))

    run_watched(found.assembly.model, found.state, 4000, 1e-3, watch)
    assert most[0] > 100.0
    assert worst[0] < 1e-9 * 2e4


def test_standing_loads_and_track_carry_the_weight() -> None:
    """To hold: standing wheel loads plus the track's share sum to the weight within 0.1 % (equilibrium)."""
    for v in (
        teasel(),
        *(vehicle(b, track=t) for b in ("single arm", "paired arms", "walking beam") for t in (False, True)),
    ):
        found = stand(v, flat())
        m, ring, loop = found.assembly.model, found.rings, found.scratch.work[0].loop
        up = float((ring.load * ring.ny).sum()) + (loop.ground_y if m.band.on else 0.0)
        assert up == pytest.approx(found.assembly.weight_N, rel=1e-3)
        assert found.residual_N < 1e-3
        assert m.road == len(found.assembly.wheel)


def late(log: Log, m_road: int) -> np.ndarray:
    return log.loads(m_road)[log.t > 2.0].mean(axis=0)


def test_flat_ground_loads_do_not_depend_on_grid_or_step() -> None:
    """To hold: on flat ground with the track tight, mean rolling wheel loads change < 0.5 % when the grid is halved
    (5 to 2.5 mm) and when the step is halved; standing loads too. The share is of the mean wheel load: the end wheels,
    which the tight track lifts to 115 N of 583, move by 1.2 N, 1 % of their own load, with the grid."""
    v = teasel(**{"track.sag_mm": 3})
    loads, standing = {}, {}
    for dx, dt in ((0.005, 1e-3), (0.0025, 1e-3), (0.005, 5e-4)):
        found, log = roll(v, flat(8.0, dx, speed=1.0), 4.0, dt)
        loads[dx, dt] = late(log, found.assembly.model.road)
        standing[dx] = found.rings.load[: found.assembly.model.road].copy()
        standing[dx] = stand(v, flat(8.0, dx)).rings.load[: found.assembly.model.road].copy()
    base = loads[0.005, 1e-3]
    mean = base.mean()
    assert np.abs(loads[0.0025, 1e-3] - base).max() < 0.005 * mean
    assert np.abs(loads[0.005, 5e-4] - base).max() < 0.005 * mean
    assert np.abs(standing[0.0025] - standing[0.005]).max() < 0.005 * mean
