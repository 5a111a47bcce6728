"""Order of the method, observed: what halving the step moves falls to a half or a quarter; the grid is not seen.

Theory. Bodies are moved by semi-implicit Euler with forces where the step ends, which is the leapfrog method with its
velocities at half steps: of second order for springs (Hairer, Lubich, Wanner, Geometric Numerical Integration, I.1.4
and I.3.1; from memory), and with losses taken at the step's end for them too. The drive's motor and the pivots are of
first order (I.1.2): at coarse steps and in blows the second shows, at fine ones the first. The ground is a line of
straight pieces with its edges where they are: where it is curved the error of that is of second order (f'' dx^2 / 8,
from memory); where it is straight there is none.

Order is read off what halvings move, see convergence.py. Trajectories are r.m.s. over the whole run. Where arms meet
their stops, a blow comes one step sooner or later and everything behind it shifts: single halvings then scatter, so
limits hold for the mean over several, and the order of single blows has none.
"""

from __future__ import annotations

import itertools
from pathlib import Path

import numpy as np
import pytest
from convergence import DEFAULT_MS, FIGURES, PATHS, VEHICLES, apart, cases, draw, lines, result, slope, tables

from trundle.result.result import Result
from trundle.result.run import run

FINER = (2.0, 1.0, 0.5, 0.25, 0.125, 0.0625)


def order(runs: list[Result], h: tuple[float, ...], column: str) -> float:
    moved = [float(np.sqrt(np.mean(apart(a, b, column) ** 2))) for a, b in itertools.pairwise(runs)]
    return slope(h[:-1], moved)


@pytest.mark.parametrize("column", [c for c, _ in PATHS])
def test_paths_are_of_first_order_in_the_step(column: str) -> None:
    """Barrow on its wheels over a 50 mm kerb hits no stop: 0.7 to 1.6, the mean over five halvings from 2 ms (0.9 to
    1.3 measured). Springs and losses are of second order, the drive and the pivots of first. And it is little: the
    halving at 1 ms moves each path by less than 0.1 % of its range (r.m.s.; 0.03 % measured)."""
    runs = [result("barrow", "kerb-50", dt_ms=h) for h in FINER]
    assert runs[1].summary["bump_stop_hits"] == 0
    assert 0.7 <= order(runs, FINER, column) <= 1.6
    moved = np.sqrt(np.mean(apart(runs[1], runs[2], column) ** 2))
    assert moved < 1e-3 * np.ptp(runs[-1].timeline[column])


@pytest.mark.parametrize("column", [c for c, _ in PATHS])
@pytest.mark.parametrize("vehicle", ["otter", "mole"])
def test_paths_of_tracks_hold_when_the_step_is_halved(vehicle: str, column: str) -> None:
    """On a track what is left has no order: contacts, each with its layers of load, come and go a step sooner or later,
    and so do the snaps of the top run. It is little all the same: no halving from 1 to 1/16 ms moves a path by 0.4 % of
    its range (r.m.s.; 0.28 % measured)."""
    runs = [result(vehicle, "kerb-50", dt_ms=h) for h in FINER[1:]]
    for coarse, fine in itertools.pairwise(runs):
        moved = np.sqrt(np.mean(apart(coarse, fine, column) ** 2))
        assert moved < 4e-3 * np.ptp(runs[-1].timeline[column])


@pytest.mark.parametrize("column", [c for c, _ in PATHS])
@pytest.mark.parametrize("vehicle", VEHICLES)
def test_paths_hold_on_a_finer_grid(vehicle: str, column: str) -> None:
    """A kerb is the same on every grid. A half-round's chords lie within 0.02 mm of it on the default one: a quarter of
    the grid moves no moment of a path by 5 % of its range (3.2 % measured: which corner of a curve is nearest to a
    wheel decides which way the turning spans press it, trundle.law.turning, and when its top run
    snaps taut)."""
    for course, most in (("kerb-100", 1e-9), ("half-round", 0.05)):
        this, fine = (result(vehicle, course, ground_mm=x) for x in (5.0, 1.25))
        assert np.abs(apart(this, fine, column)).max() <= most * np.ptp(fine.timeline[column]), course


def test_a_step_that_is_too_long_is_named() -> None:
    """At 2 ms a hard stop on a light arm is beyond or at the edge of stability: the ledger does not close, and the run
    says so. At 3 ms the numbers blow up and it ends with that reason. At the default, 1 ms, neither."""
    short_arms = Path(__file__).parents[1] / "vehicles" / "short-arms.toml"
    long, longer, good = (run(short_arms, "half-round", dt_ms=h, near=1) for h in (2.0, 3.0, 1.0))
    assert not long.trusted
    assert longer.summary["ended_because"] == "numbers blew up"
    assert not longer.completed
    assert good.trusted
    assert good.completed


def test_least_squares_slope_of_a_known_order() -> None:
    """f(h) = 3 + 2 h^p: what halvings move falls with p, exactly; and with no reference's error in it."""
    h = np.array([2.0, 1.0, 0.5, 0.25])
    for p in (1.0, 2.0):
        f = 3.0 + 2.0 * h**p
        assert slope(h[:-1].tolist(), np.abs(np.diff(f)).tolist()) == pytest.approx(p, abs=1e-9)


@pytest.mark.slow
@pytest.mark.parametrize("vehicle", VEHICLES)
def test_every_figure_settles(vehicle: str) -> None:
    """All figures over both courses: the last halving moves none by more than at the default step was put up with.

    3 % of each; of peak tension, a blow of a few milliseconds, 5 % (measured 3.3 %, Teasel, kerb, 2.5 to 1.25 mm).
    The order of Teasel's paths over the kerb, where stops are hit hard: 1.5 to 2.6 (2.0 and 2.2 measured).
    """
    for course in ("kerb-100", "half-round"):
        for unit, h, default, runs in cases(vehicle, course):
            found = lines(runs, h, default)
            assert all(r.completed and r.trusted for x, r in zip(h, runs, strict=True) if x <= default)
            for line in found[: len(FIGURES) - 1]:  # the ledger's own error is no figure of the vehicle
                last, before = line.values[-1], line.values[-2]
                most = 0.05 if "tension" in line.title else 0.03
                assert abs(before - last) <= most * abs(last), (course, unit, line.title)
            if (vehicle, course, unit) == ("teasel", "kerb-100", "ms"):
                assert all(1.5 <= line.order <= 2.6 for line in found[len(FIGURES) :])


@pytest.mark.slow
def test_tables_and_plot_are_made(tmp_path_factory: pytest.TempPathFactory) -> None:
    text = "\n".join(tables())
    assert text.count("| peak wheel load, N |") == 8
    assert f"{DEFAULT_MS['otter']:g} to 0.25" in text
    path = tmp_path_factory.mktemp("plot") / "c.png"
    draw(path)
    assert path.stat().st_size > 20_000
