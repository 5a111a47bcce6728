"""Speed lost and leaving the seat, against closed forms."""

from __future__ import annotations

import numpy as np
import pytest

from trundle.findings.jolts import Slid, hardest_stop, loose_in_seat, slides_on_seat
from trundle.units import G

DT = 1e-3


@pytest.mark.parametrize("sign", [1.0, -1.0])
def test_speed_lost_in_a_steady_stop(sign: float) -> None:
    """1 m/s to 0.1 in 50 ms: 0.9 lost, nine tenths of it in 45 ms."""
    t = np.arange(2000) * DT
    speed = sign * np.interp(t, [1.0, 1.05], [1.0, 0.1])
    stop = hardest_stop(speed, DT)
    assert stop.lost_m_s == pytest.approx(0.9)
    assert stop.over_s == pytest.approx(0.045, abs=2.1e-3)
    assert stop.row * DT == pytest.approx(1.0, abs=0.005)


def test_thrown_back_counts_in_full_and_a_slow_stop_by_its_part() -> None:
    t = np.arange(3000) * DT
    assert hardest_stop(np.interp(t, [1.0, 1.05], [1.0, -0.3]), DT).lost_m_s == pytest.approx(1.3)
    assert hardest_stop(np.interp(t, [1.0, 2.0], [1.0, 0.0]), DT).lost_m_s == pytest.approx(0.2)
    for still in (np.ones(100), np.zeros(100), np.linspace(0.0, 1.0, 100)):
        assert hardest_stop(still, DT).lost_m_s == 0.0


def test_the_window_is_that_of_a_plain_search() -> None:
    rng = np.random.default_rng(1)
    for n in (2, 5, 199, 201, 700):
        speed = 2.0 + rng.normal(size=n).cumsum() * 0.01
        plain = max(speed[i] - speed[i : i + 201].min() for i in range(n))
        assert hardest_stop(speed, DT).lost_m_s == pytest.approx(plain)


def test_a_seat_that_drops_away() -> None:
    """2 g down for 0.1 s, then 2 g up: the gap opens by g t2/2 at g, closes at 3 g.

    After 0.1 s: 49.0 mm, 0.981 m/s. Then it closes: 0 = h + v s - 3 g s2/2, with the top at v/3g, v2/6g higher.
    """
    up = np.zeros(10_000)
    up[1000:2000] = -2.0 * G
    up[2000:4000] = 2.0 * G
    thrown = loose_in_seat(up, np.zeros(10_000), 1e-4)
    h, v = 0.5 * G * 0.01, G * 0.1
    assert thrown.high_mm == pytest.approx(1e3 * (h + v**2 / (6.0 * G)), rel=0.005)
    s = (v + np.sqrt(v**2 + 6.0 * G * h)) / (3.0 * G)
    assert thrown.off_s == pytest.approx(0.1 + s, rel=0.005)
    assert thrown.met_m_s == pytest.approx(3.0 * G * s - v, rel=0.005)
    assert thrown.row == 1000


def test_a_slope_holds_a_loose_body_less() -> None:
    """On 60 degrees half of gravity presses it in: 0.6 g down leaves it there, and not on the level."""
    up = np.zeros(3000)
    up[1000:1100] = -0.6 * G
    assert loose_in_seat(up, np.zeros(3000), DT).off_s == 0.0
    assert loose_in_seat(up, np.full(3000, 60.0), DT).off_s > 0.1


def test_a_flight_that_the_record_ends_and_none() -> None:
    up = np.zeros(300)
    up[250:] = -2.0 * G
    thrown = loose_in_seat(up, np.zeros(300), DT)
    assert thrown.off_s == pytest.approx(0.05)
    assert thrown.met_m_s == 0.0
    assert loose_in_seat(np.zeros(300), np.zeros(300), DT) == type(thrown)(0.0, 0.0, 0.0, 0)


@pytest.mark.parametrize("sign", [1.0, -1.0])
def test_what_slides_when_the_seat_stops(sign: float) -> None:
    """Stopped from 1 m/s at 5 g, held by 1 g: it stops in v2 / 2g where the seat does in v2 / 10g. Fastest
    where the seat stands: what is left of its speed then."""
    dt, lasts = 1e-4, 1.0 / (5.0 * G)
    forward = np.zeros(6000)
    forward[1000 : 1000 + round(lasts / dt)] = -sign * 5.0 * G
    slid = slides_on_seat(forward, np.zeros(6000), G, dt)
    assert slid.mm == pytest.approx(1e3 * (1.0 / (2.0 * G) - 1.0 / (10.0 * G)), rel=0.02)
    assert slid.m_s == pytest.approx(0.8, rel=0.01)
    assert slid.row == 1000
    assert slid.forward == (sign > 0.0)


def test_what_is_held_enough_does_not_slide_and_a_slope_takes_of_it() -> None:
    """0.7 g holds 0.6 g on the level; nose down 10 degrees gravity pulls 0.17 g more: 0.07 g are left, for 0.1 s."""
    forward = np.zeros(3000)
    forward[1000:1100] = -0.6 * G
    assert slides_on_seat(forward, np.zeros(3000), 0.7 * G, DT) == Slid(0.0, 0.0, 0, True)
    slid = slides_on_seat(forward, np.full(3000, -10.0), 0.7 * G, DT)
    left = (0.6 + np.sin(np.radians(10.0)) - 0.7) * G
    assert slid.m_s == pytest.approx(left * 0.1, rel=0.02)
