"""What springs, tyres and track carry a vehicle with as its hull is lifted, lowered and pitched: asked of the law."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from trundle.engine.standing import Standing
from trundle.errors import Problem, StandingError
from trundle.law.ask import forces_at_rest, settle
from trundle.law.scratch import new_scratch
from trundle.model.arrays import Floats
from trundle.roots import newton, over_kinks

_NEAR = 1e-5
"""Unbalanced force, as a share of the weight, at which arms count as settled."""

_JUMP = 3e-3
"""The same where nothing nearer is found: as a wheel just touches, what turns the track's run goes over from one wheel
to the next at once (see engine.standing)."""

_ENOUGH = 1e-3
"""The same at which it counts as carrying a load: a slope is then out by a thousandth."""

_STEP_M = 0.003
"""By what the hull is lifted and lowered from one pose to the next [m]."""

_MOST_STEPS = 300
"""How many such steps there are at most: springs of small vehicles do not move by nearly so much."""


@dataclass(frozen=True)
class Pose:
    """A vehicle held at a height and pitch over level ground, its arms settled. up_m: the hull's centre of mass over
    the ground; pitch_rad; carried_N: what the ground carries, both sides; borne_m: along the ground, where; mass_m,
    high_m: along and over the ground, the centre of all mass; hull_m, hull_up_m: the hull's own."""

    up_m: float
    pitch_rad: float
    carried_N: float
    borne_m: float
    mass_m: float
    high_m: float
    hull_m: float
    hull_up_m: float


class Support:
    """Poses of a vehicle that stands on level ground, near to the last one that was asked for."""

    def __init__(self, at: Standing) -> None:
        self.at = at
        assembly = at.assembly
        self._model = assembly.model.holding_tension(-1.0)
        self._state, self._scratch = at.state.copy(), new_scratch(self._model)
        self._q, self._rise_m = at.q.copy(), 0.0
        self._before = self._q[3:]
        self.weight_N = assembly.weight_N
        self._reach = np.maximum(np.array(self._model.joints.radius, dtype=np.float64), 0.05)
        rate = 0.05 * float(np.sum(self._model.rings.rate[: self._model.road])) + 1e-9
        self._ease = np.concatenate([np.zeros(3), 0.3 / (rate * self._reach**2)])

    def again(self) -> None:
        """From how it stands."""
        self._rise_m = 0.0
        self._state, self._q = self.at.state.copy(), self.at.q.copy()
        self._before = self._q[3:]

    def held(self, up_m: float, pitch_rad: float) -> Pose | None:
        """The hull held at a height and pitch; None where its arms do not settle."""
        hull = np.array([self._q[0], up_m, pitch_rad])

        def off(joints: Floats) -> Floats:
            rest = forces_at_rest(self._model, self._state, np.concatenate([hull, joints]), self._scratch)[3:]
            found: Floats = rest / (self.weight_N * self._reach)
            return found

        # Where they would be if they went on as from the pose before to the last.
        on = 2.0 * self._q[3:] - self._before
        nearer = float(np.abs(off(on)).max()) < float(np.abs(off(self._q[3:])).max())
        joints = _settled(off, on if nearer else self._q[3:])
        if joints is None:
            # Newton's steps get caught where a wheel just touches: let the arms drift to where they rest.
            full = np.concatenate([hull, self._q[3:]])
            for k in range(3):
                settle(self._model, self._state, full, self._ease, 2_000, self._scratch)
                joints = _settled(off, full[3:], _JUMP if k else _NEAR)
                if joints is not None:
                    break
            else:
                return None
        self._before, self._q = self._q[3:], np.concatenate([hull, joints])
        return self._pose()

    def carrying(self, load_N: float, pitch_rad: float) -> Pose | None:
        """The hull held at a pitch, as high as the ground carries this load; None where there is no such height near
        the last. Poses that follow each other evenly are found sooner."""
        first = self.held(float(self._q[1]) + self._rise_m, pitch_rad)
        if first is None:
            return None
        found = self._bracketed(first, load_N, pitch_rad)
        if found is not None:
            self._rise_m += found.up_m - first.up_m
        return found

    def _bracketed(self, pose: Pose, load_N: float, pitch_rad: float) -> Pose | None:
        """From a pose of the wanted pitch to the wanted load."""
        enough = _ENOUGH * self.weight_N
        if abs(pose.carried_N - load_N) < enough:
            return pose
        other, step = pose, 0.002 if pose.carried_N > load_N else -0.002
        while (other.carried_N > load_N) == (pose.carried_N > load_N):
            pose, step = other, step * 1.5
            found = self.held(pose.up_m + step, pitch_rad) if abs(step) < 1.0 else None
            if found is None:
                return None
            other = found
        # Secant and halving by turns: the curve has kinks where wheels touch.
        low, high = sorted((pose, other), key=lambda p: p.up_m)
        for k in range(40):
            share = 0.5 if k % 3 == 2 else (low.carried_N - load_N) / max(low.carried_N - high.carried_N, 1e-9)
            found = self.held(low.up_m + min(max(share, 0.02), 0.98) * (high.up_m - low.up_m), pitch_rad)
            if found is None:
                return None
            if abs(found.carried_N - load_N) < enough:
                return found
            low, high = (found, high) if found.carried_N > load_N else (low, found)
        return low

    def _pose(self) -> Pose:
        rest = forces_at_rest(self._model, self._state, self._q, self._scratch)
        bodies, mass = self._state.bodies, np.array(self._model.bodies.mass, dtype=np.float64)
        x, y = bodies[: len(mass), 0], bodies[: len(mass), 1]
        middle, high = float(np.sum(mass * x) / mass.sum()), float(np.sum(mass * y) / mass.sum())
        carried = float(rest[1]) + self.weight_N
        # About the hull's own centre of mass: what turns it is the ground's moment less that of arms and wheels.
        moment = float(rest[2]) + self.weight_N * (middle - float(x[0]))
        borne = float(x[0]) + moment / carried if carried > 0.0 else math.nan
        return Pose(float(self._q[1]), float(self._q[2]), carried, borne, middle, high, float(x[0]), float(y[0]))


@dataclass(frozen=True)
class Lift:
    """What carries a vehicle over the height of its hull, pitch as it stands: up_m, of the hull's centre of mass,
    rising; carried_N: both sides [N], falling; from nothing to twice the weight and more, shape (n,)."""

    up_m: Floats
    carried_N: Floats

    def height_m(self, carried_N: Floats) -> Floats:
        """How high the hull is when both sides carry so much [m]."""
        found: Floats = np.interp(carried_N, self.carried_N[::-1], self.up_m[::-1])
        return found


def lift(support: Support) -> Lift:
    """Of a vehicle as it stands. Raises StandingError where its springs are not found to carry twice its weight."""
    start, weight = float(support.at.q[1]), support.weight_N
    above, below = [(start, weight)], [(start, weight)]
    for rows, step in ((above, _STEP_M), (below, -_STEP_M)):
        support.again()
        for k in range(1, _MOST_STEPS):
            pose = support.held(start + k * step, float(support.at.q[2]))
            if pose is None:
                break
            carried = pose.carried_N if pose.carried_N > 1e-6 * weight else 0.0
            rows.append((pose.up_m, carried))
            if carried == 0.0 or carried > 2.05 * weight:
                break
    if below[-1][1] < 2.0 * weight:
        raise StandingError(Problem("no height was found at which its springs carry twice its weight", field="bogie"))
    if above[-1][1] > 0.0:
        # The last wheel hangs by a hair, where arms flip from one rest to another: straight on from there.
        (up0, load0), (up1, load1) = above[-2:] if len(above) > 1 else (below[1], above[0])
        above.append((up1 + load1 * (up1 - up0) / max(load0 - load1, 1e-9), 0.0))
    up_m, carried = np.array([*below[:0:-1], *above]).T
    # Where a ground point comes into touch it may fall back by a hair: taken as level.
    return Lift(up_m, np.minimum.accumulate(carried))


def _settled(off: Callable[[Floats], Floats], start: Floats, enough: float = _NEAR) -> Floats | None:
    """Where `off` is as good as nothing, from near to it; None if Newton's steps do not get there. enough: what counts
    as nothing if no nearer is found."""
    best, least = start, math.inf

    def good(at: Floats) -> bool:
        nonlocal best, least
        size = float(np.abs(off(at)).max())
        if size < least:
            best, least = at, size
        return size < _NEAR

    found = start
    # A few steps at a time: they need not go on to the last bit.
    for tries in (1, 1, 2, 4):
        found = newton(off, found, tries)
        if good(found):
            return found
    for across in (1e-4, 1e-5, 1e-3):
        found = newton(off, over_kinks(off, best, across, 5e-3, 4), 4)
        if good(found):
            return found
    return best if least < enough else None
