"""Where the vehicle stands: static equilibrium on the ground under it, and the track set as the builder says."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from trundle.errors import InputError, Problem, StandingError
from trundle.law.ask import forces_at_rest, place_once, settle
from trundle.law.named import State
from trundle.law.scratch import Scratch, new_scratch, ring_rows
from trundle.model.arrays import DEEPEST_SAG, SIDES, Floats, GroundArrays, Model, Records
from trundle.model.assembly import Assembly, assemble
from trundle.roots import newton, over_kinks
from trundle.spec.track import LEAST_LINKS, MOST_LINKS
from trundle.spec.vehicle import Vehicle
from trundle.units import MM

ADJUST_M = 0.06
"""How far an idler may have to be moved from its stated place to set the track [m]."""

_ACROSS = (1e-3, 3e-4, 1e-4, 3e-5, 1e-5, 3e-6)
"""How far to both sides slopes are taken over a kink [m, rad], in turn."""

_JUMP = 3e-3
"""The same, at which it still counts as standing where nothing nearer is found: as a wheel just touches the ground on
the track, the couple that turns the track's run goes from the next wheel over to it, at once (law/turning.py). Of 4,462
vehicles near the shipped ones 24 stand just there, 2.5 thousandths of the weight apart on its two sides."""

_LONGEST = 5e-3
"""How far a step over one goes at most [m, rad]."""

_TOLERANCE = 1e-7
"""Unbalanced force, as a share of the weight, at which the vehicle counts as standing."""


@dataclass(frozen=True)
class Standing:
    """The vehicle at rest.

    assembly: with the idler where it had to be set; q (3 + nj,): x, y [m], pitch, joint angles [rad];
    state: the State a run starts from; scratch: the forces there; residual_N: unbalanced force left.
    """

    assembly: Assembly
    q: Floats
    state: State
    scratch: Scratch
    residual_N: float

    @property
    def rings(self) -> Records:
        """Place and load of each ring, (nr,) RING_WORK: road wheels from front to rear, then sprocket and idler."""
        return ring_rows(self.scratch, len(self.assembly.model.rings))


def stand(vehicle: Vehicle, ground: GroundArrays, x_m: float | None = None) -> Standing:
    """Find the standing position with the hull's tail at course position x_m (default: just on the course).

    Raises StandingError if there is none, InputError if the track does not fit.
    """
    assembly = assemble(vehicle, ground)
    x = (0.0 if x_m is None else x_m) + assembly.com[0]
    track = vehicle.track
    scratch = new_scratch(assembly.model)  # half a megabyte: one for all that follows
    if track is None:
        return _settle(assembly, scratch, x, -1.0, None)
    # Standing with the stated tension first; then the idler goes to where the links there are give it (secant).
    shift, step, before = 0.0, 0.0, 0.0
    apart: float | None = None  # with the idler where the file has it: what the message is about
    q: Floats | None = None
    for _ in range(6):
        wanted = _set_tension(assembly, track.sag_mm, track.tension_N)
        found = _settle(assembly, scratch, x, wanted, q)
        q = found.q
        short = _wanted_length(found, wanted) - track.length_m
        apart = short if apart is None else apart
        if abs(short) < 1e-7:
            break
        slope = (short - before) / step if step else _length_per_shift(vehicle, ground, shift, assembly, scratch, q)
        step, before = -short / slope, short
        shift += step
        if not abs(shift) <= ADJUST_M:  # nan too
            raise _does_not_fit(vehicle, apart)
        assembly = assemble(vehicle, ground, shift, assembly.parts)
    return _settle(assembly, scratch, x, -1.0, found.q, wanted)


def _set_tension(assembly: Assembly, sag_mm: float | None, tension_N: float | None) -> float:
    """Tension of both tracks [N] from the builder's sag or tension: T = w l2 / (8 sag), longest top span."""
    band = assembly.model.band
    if tension_N is not None:
        return SIDES * tension_N
    assert sag_mm is not None
    span = float(band.longest)
    if sag_mm * MM > DEEPEST_SAG * span:
        raise InputError(
            Problem(
                f"a sag of {sag_mm:g} mm is more than a quarter of the longest top span ({span / MM:.0f} mm)",
                field="track.sag_mm",
                allowed=f"up to {DEEPEST_SAG * span / MM:.0f}",
            )
        )
    return float(band.weight) * span**2 / (8.0 * sag_mm * MM)


def _wanted_length(found: Standing, tension: float) -> float:
    """Unstretched loop length that gives this tension where it stands [m]."""
    band, path = found.assembly.model.band, found.scratch.work[0].loop.path
    sag = band.weight**2 * band.sag_sum / (24.0 * tension**2)
    return float((path + sag) / (1.0 + tension / band.stretch))


def _length_per_shift(
    vehicle: Vehicle, ground: GroundArrays, shift: float, assembly: Assembly, scratch: Scratch, q: Floats
) -> float:
    """How much longer the path gets per metre that the idler is set out, by trying a millimetre."""
    lengths = []
    for move in (0.0, 1e-3):
        trial = assembly if move == 0.0 else assemble(vehicle, ground, shift + move, assembly.parts)
        model, state = trial.model.holding_tension(100.0), State.of(trial)
        forces_at_rest(model, state, q, scratch)
        lengths.append(float(scratch.work[0].loop.path))
    return (lengths[1] - lengths[0]) / 1e-3


def _does_not_fit(vehicle: Vehicle, short_m: float) -> InputError:
    track = vehicle.track
    assert track is not None
    pitch = track.pitch_mm * MM
    what = "too short" if short_m > 0 else "too long"
    fits = round((track.length_m + short_m) / pitch) if math.isfinite(short_m) else 0
    if fits == track.links:
        fits += 1 if short_m > 0 else -1
    right = f"about {fits} with the idler where it is"
    if not LEAST_LINKS <= fits <= MOST_LINKS:
        first = "look at track.idler.at_mm, track.sprocket.at_mm and track.pitch_mm first"
        right = f"{LEAST_LINKS} to {MOST_LINKS} links: {first}"
    return InputError(
        Problem(
            f"the track is {what}: {track.links} links of {track.pitch_mm:g} mm differ from the path round "
            f"the wheels by {abs(short_m) / MM:.0f} mm, more than moving the idler by "
            f"{ADJUST_M / MM:.0f} mm can take up",
            field="track.links",
            allowed=right,
        )
    )


def _guess(assembly: Assembly, x: float) -> Floats:
    """A first position: joints near droop, pitched as the ground under the outermost road wheels lies, the lowest ring
    just on the ground."""
    m = assembly.model
    q = np.zeros(3 + len(m.joints))
    q[0] = x
    for j, row in enumerate(m.joints):
        q[3 + j] = row.bump + 0.7 * (row.droop - row.bump) if row.table_n or _in_pair(m, j) else 0.0
    state = State.of(assembly)
    place_once(m, state, q)
    at = _road_centres(m, state)
    height = np.interp(at[[0, -1], 0], m.ground.x, m.ground.height)
    q[2] = np.arctan2(height[0] - height[1], at[0, 0] - at[-1, 0]) if m.road > 1 else 0.0
    place_once(m, state, q)
    at = _road_centres(m, state)
    q[1] = float((np.interp(at[:, 0], m.ground.x, m.ground.height) - (at[:, 1] - m.rings.radius[: m.road])).max())
    return q


def _road_centres(m: Model, state: State) -> Floats:
    """Where the road wheels' centres are, (road, 2) [m], front to rear."""
    rings = m.rings[: m.road]
    b, x, y = state.bodies[rings["body"]], rings["x"], rings["y"]
    c, s = np.cos(b[:, 2]), np.sin(b[:, 2])
    return np.column_stack([b[:, 0] + c * x - s * y, b[:, 1] + s * x + c * y])


def _in_pair(m: Model, j: int) -> bool:
    return any(j in (p.fore, p.aft) for p in m.pairs)


def _settle(
    assembly: Assembly, scratch: Scratch, x: float, fixed_tension: float, q0: Floats | None, tension: float = 0.0
) -> Standing:
    m = assembly.model.holding_tension(fixed_tension)
    state = State.of(assembly)
    state["band.tension_N"] = tension
    q = _guess(assembly, x) if q0 is None else q0.copy()
    q[0] = x
    n = len(q)
    weight = assembly.weight_N
    # A drift step of 1 mm, or 1 mm at each part's own radius, at a tenth of the weight out of balance.
    reach = np.array([0.0, 1.0, 0.7, *m.joints.radius])
    rate = float(np.sum(m.rings.rate[: m.road])) * 0.05 + 1e-9
    ease = np.zeros(n)
    for k in range(1, n):
        ease[k] = 0.3 / (rate * max(reach[k], 0.05) ** 2)
    if q0 is None:
        settle(m, state, q, ease, 4000, scratch)

    def unbalanced(free: Floats) -> Floats:
        full = np.concatenate([[x], free])
        result: Floats = forces_at_rest(m, state, full, scratch)[1:] / (weight * np.maximum(reach[1:], 0.05))
        return result

    if not _found(unbalanced, q) and not _found_beside(unbalanced, q):
        for _ in range(6):
            settle(m, state, q, ease, 20_000, scratch)
            if _found(unbalanced, q):
                break
    rest = unbalanced(q[1:])
    residual = float(np.abs(rest).max()) * weight
    if not residual < _JUMP * weight:
        raise StandingError(
            Problem(
                "no standing position was found: look for springs that carry nothing at any arm angle "
                "(free_angle_deg, seat height), or a centre of mass outside the wheels",
                field="bogie",
            )
        )
    return Standing(assembly, q, state, scratch, residual)


def _found(unbalanced: Callable[[Floats], Floats], q: Floats) -> bool:
    """Put q (all but its first) where nothing is out of balance, or as near to it as is found from where it is.

    Newton's steps do it nearly always, and quickly; now and then they get caught where a ground point or a leaf's end
    comes into touch, and the slopes on the two sides differ. Slopes taken across such places get over them.
    """
    found = newton(unbalanced, q[1:])
    for across in _ACROSS:
        if _balanced(unbalanced(found)):
            q[1:] = found
            return True
        found = _nearer(unbalanced, found, newton(unbalanced, over_kinks(unbalanced, found, across, _LONGEST)))
    q[1:] = _nearer(unbalanced, q[1:].copy(), found)
    return _balanced(unbalanced(q[1:]))


def _nearer(unbalanced: Callable[[Floats], Floats], one: Floats, other: Floats) -> Floats:
    return other if float(np.linalg.norm(unbalanced(other))) < float(np.linalg.norm(unbalanced(one))) else one


_BESIDE = ((1e-4, 0.0), (-1e-4, 0.0), (0.0, 1e-3), (0.0, -1e-3))
"""Height [m] and pitch [rad] by which the search is begun anew where it got caught."""


def _found_beside(unbalanced: Callable[[Floats], Floats], q: Floats) -> bool:
    """The same from a little beside where it got caught: a hull that stands level lies on a kink, where one ground
    point more or less touches, and both methods stop in it."""
    caught = q.copy()
    for up, turn in _BESIDE:
        q[:] = caught
        q[1] += up
        q[2] += turn
        if _found(unbalanced, q):
            return True
    q[:] = caught
    return False


def _balanced(rest: Floats) -> bool:
    return bool(np.abs(rest).max() < _TOLERANCE)  # false for nan too


def lift_to_rolling(found: Standing, speed_m_s: float) -> State:
    """The standing state with everything moving forward at a speed (for tests and steady rolling)."""
    state = found.state.copy()
    state.bodies[:, 3] = speed_m_s
    state["band.speed_m_s"] = state["driver.target_m_s"] = speed_m_s
    for name in state.names.rings:
        state[f"{name}.rim_m_s"] = speed_m_s
    return state


__all__ = ["Standing", "lift_to_rolling", "stand"]
