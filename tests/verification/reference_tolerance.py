"""How far a run may lie from its reference: twice what halving the step moves.

A method of first order is, at step h, as far from the exact solution as the halving moves it, twice over (h/2 + h/4 +
... = h; Richardson): so whatever solves the same law at least as well as the run that is kept lies within twice that,
and a refactoring, which only rounds otherwise, far inside. A change of the law lies outside as soon as it moves
anything by more than the step's own error. Halving the ground grid is left out: that is another ground, and the one
that a refactoring rolls over is the same.

Tolerances of columns belong to a window of half a second, with its neighbours on both sides: standing still they are
tight, in the blows behind a kerb wide.

Sensitive runs. The run is repeated with the hull's centre of mass put off by SMALL_M and less, twelve times, a hundred
times and more what rounding does: a blow may come out in one of two ways, and four times did not find the second, which
another release of numpy did. From the window on in which that moves anything by half of its tolerance, or in which the
hull's height or pitch is uncertain by a tenth of its range, no columns are compared; and of such a run only figures
that the halving moves by less than a tenth. figures.json says which runs that are, and which figures are left out.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from tests.verification.reference_runs import EVERY_S, Array, Figure, Trace, roll

TIMES = 2.0
SMALL_M = 1e-9
TOGETHER = 0.5
LOST = 0.1
WINDOW = 25
"""Means in a window: half a second."""

QUANTUM = {"mm": 1e-3, "deg": 1e-4, "m_s": 1e-5, "N": 1e-2, "J": 1e-3, "error": 1e-4}
"""What a column is rounded to, by its unit; a tolerance is never less than FLOOR of these."""
FLOOR = 5
SHARE = 1e-4
"""A figure's tolerance is never less than this share of it; a count's never less than one."""

COUNTS = ("_hits", "wheel_clear_of_tooth")
ONE_SIDED = ("energy.error_J", "energy_error")
"""Errors of the ledger: a smaller one is as good."""


def quantum(name: str) -> float:
    """Of a column or figure, by the unit at the end of its name."""
    unit = max((u for u in QUANTUM if name.endswith("_" + u)), key=len, default="J")
    return QUANTUM[unit]


@dataclass(frozen=True, eq=False)
class Reference:
    """A run to be compared with. allowed: a tolerance for each column and window, until: how many means are compared;
    figures: value and tolerance by name; left_out: names of figures that the run is too sensitive for."""

    trace: Trace
    allowed: dict[str, Array]
    until: int
    figures_allowed: dict[str, float]
    left_out: tuple[str, ...]

    @property
    def sensitive(self) -> bool:
        """True if it is not compared to its end."""
        return self.until < self.trace.length

    @property
    def until_s(self) -> float:
        """How long it is compared [s]."""
        return self.until * EVERY_S


def difference(name: str, a: Array, b: Array) -> Array:
    """How far b is from a, beyond what a was rounded by; of an error, how much larger it is."""
    n = min(len(a), len(b))
    apart = np.abs(b[:n]) - np.abs(a[:n]) if name in ONE_SIDED else np.abs(b[:n] - a[:n])
    return np.maximum(apart - 0.5 * quantum(name), 0.0)


def windows(values: Array, count: int) -> Array:
    """The largest value in each of `count` windows, and in those beside it."""
    own = np.array([values[k * WINDOW : (k + 1) * WINDOW].max(initial=0.0) for k in range(count)])
    padded = np.concatenate(([0.0], own, [0.0]))
    return np.max([padded[:-2], own, padded[2:]], axis=0)


def derive(vehicle: str, course: str) -> Reference:
    """Runs it as it is, with half the step, and twelve times put off by up to SMALL_M."""
    kept, half = roll(vehicle, course), roll(vehicle, course, steps=2)
    ways = ((1.0, 0.0), (-1.0, 0.0), (0.0, 1.0), (0.0, -1.0))
    moves = [(share * SMALL_M * x, share * SMALL_M * y) for share in (1.0, 0.3, 0.1) for x, y in ways]
    moved = [roll(vehicle, course, moved_m=m) for m in moves]
    count = -(-kept.length // WINDOW)
    allowed: dict[str, Array] = {}
    lost = np.zeros(count, dtype=bool)
    for name, values in kept.columns.items():
        halving = windows(np.abs(_both(values, half.columns[name])), count)
        allowed[name] = np.maximum(TIMES * halving, FLOOR * quantum(name))
        apart = np.max([windows(np.abs(_both(values, m.columns[name])), count) for m in moved], axis=0)
        lost |= apart > TOGETHER * allowed[name]
        if name in ("hull.y_mm", "hull.pitch_deg"):
            lost |= allowed[name] > LOST * np.ptp(values)
    until = min(int(np.argmax(lost)) * WINDOW, kept.length) if lost.any() else kept.length
    figures, left_out = _figures(kept, half, moved, until < kept.length)
    return Reference(kept, allowed, until, figures, tuple(left_out))


def _both(a: Array, b: Array) -> Array:
    n = min(len(a), len(b))
    return a[:n] - b[:n]


def _figures(kept: Trace, half: Trace, moved: list[Trace], sensitive: bool) -> tuple[dict[str, float], list[str]]:
    """Tolerances of the figures that can be compared, and the names of the others."""
    allowed: dict[str, float] = {}
    left_out = []
    for name, value in kept.figures.items():
        if value is None or isinstance(value, bool):
            steady = all(t.figures[name] == value for t in (half, *moved))
            allowed[name] = 0.0
        else:
            halving = abs(_number(half.figures[name]) - value)
            apart = max(abs(_number(m.figures[name]) - value) for m in moved)
            floor = 1.0 if name.endswith(COUNTS) else max(SHARE * abs(value), FLOOR * quantum(name))
            allowed[name] = max(TIMES * halving, floor)
            steady = apart <= TOGETHER * allowed[name] and not (sensitive and halving > LOST * abs(value))
        if not steady:
            left_out.append(name)
            del allowed[name]
    return allowed, left_out


def _number(figure: Figure) -> float:
    return float("inf") if figure is None else float(figure)


@dataclass(frozen=True)
class Share:
    """A difference as a share of its tolerance: above 1 is too far. now and kept are the values there, at time_s
    (nan for a figure)."""

    name: str
    share: float
    now: Figure
    kept: Figure
    time_s: float = float("nan")


def shares(reference: Reference, now: Trace) -> list[Share]:
    """Of each column, at its worst moment, and of each figure."""
    found = []
    n = min(reference.until, now.length)
    for name, kept in reference.trace.columns.items():
        if name not in now.columns:
            found.append(Share(name, float("inf"), None, None))
        elif n:
            apart = difference(name, kept[:n], now.columns[name][:n])
            of_it = apart / np.repeat(reference.allowed[name], WINDOW)[:n]
            k = int(np.argmax(of_it))
            found.append(Share(name, float(of_it[k]), float(now.columns[name][k]), float(kept[k]), (k + 0.5) * EVERY_S))
    for name, allowed in reference.figures_allowed.items():
        kept_value, value = reference.trace.figures[name], now.figures.get(name)
        found.append(Share(name, _figure_share(name, kept_value, value, allowed), value, kept_value))
    return found


def _figure_share(name: str, kept: Figure, now: Figure, allowed: float) -> float:
    if kept is None or now is None or isinstance(kept, bool):
        return 0.0 if now == kept else float("inf")
    apart = abs(now) - abs(kept) if name in ONE_SIDED else abs(now - kept)
    return max(apart, 0.0) / allowed
