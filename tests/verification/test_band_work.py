"""The band's forces against the work they do: slope of the loop's length (virtual work), and power in = power out."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from rigs import kerb, vehicle

from trundle.engine.roll import Limits, Rolling
from trundle.engine.standing import stand
from trundle.law import ask
from trundle.law.named import State
from trundle.law.scratch import Scratch, new_scratch
from trundle.law.state import TRACK
from trundle.model.arrays import Floats, Model
from trundle.spec.vehicle import Vehicle

DT = 1e-3
STEP = 2e-7
"""Of the finite differences [m], [rad]: the loop's length is known to 1e-15 m, so slopes to 1e-8."""


def driven(end: str) -> Vehicle:
    """A four-wheeled vehicle with its sprocket at this end."""
    v = vehicle("paired arms")
    assert v.track is not None
    if end == "rear":
        return v
    ends = v.track.sprocket, v.track.idler
    sprocket = ends[0].model_copy(update={"end": "front", "at_mm": ends[1].at_mm})
    idler = ends[1].model_copy(update={"at_mm": ends[0].at_mm})
    return v.model_copy(update={"track": v.track.model_copy(update={"sprocket": sprocket, "idler": idler})})


def over_a_kerb(end: str, every: int) -> Any:
    """A climb over a kerb of 80 mm, as (model, State) once in so many steps."""
    found = stand(driven(end), kerb(0.08, at=1.9))
    rolling = Rolling(found.assembly.model, found.state, DT, Limits(1e9, -1e9, 1e9))
    for _ in range(2400 // every):
        rolling.steps(every)
        yield rolling.model, rolling.state


def coordinates(m: Model, state: State) -> Floats:
    """Reduced coordinates of the bodies of a State."""
    bodies = state.bodies
    arms = [-j.sign * (bodies[j.child, 2] - bodies[j.parent, 2]) for j in m.joints]
    return np.array([*bodies[0, :3], *arms])


def slopes(m: Model, state: State, q: Floats, scratch: Scratch) -> tuple[Floats, bool]:
    """Slope of the loop's length by each coordinate, and whether it is smooth at q (no node just comes or goes)."""
    out, smooth = np.zeros(len(q)), True

    def length(at: Floats) -> float:
        return float(ask.laid_band(m, state.copy(), at, scratch)[0].path)

    here = length(q)
    for k in range(len(q)):
        by = np.zeros(len(q))
        by[k] = STEP
        ahead, behind = length(q + by), length(q - by)
        out[k] = (ahead - behind) / (2.0 * STEP)
        smooth = smooth and abs(ahead - 2.0 * here + behind) < 5e-6 * STEP
    return out, smooth


def pull_of(m: Model, state: State, q: Floats, tension: float) -> Floats:
    """Force on each coordinate with the band held at one tension [N], at rest."""
    at = state.copy()
    ask.place(m, at, q)
    m.vehicle[0].held_tension = tension
    scratch = ask.forces(m, at, 0.0)
    m.vehicle[0].held_tension = -1.0
    loop = scratch.work[0].loop
    assert [loop.track_x, loop.track_y] == pytest.approx([loop.ground_x, loop.ground_y], abs=1e-9 * (1.0 + tension))
    return ask.generalised(m, at, scratch)


@pytest.mark.parametrize("end", ["rear", "front"])
def test_tension_pulls_down_the_slope_of_the_length(end: str) -> None:
    """Principle of virtual work: a tension T on a band pulls each coordinate by -T dL/dq, L the length that the tension
    is worked out from; here with several millimetres of a tyre pressed in by the edge. Finite differences, 1e-7 of
    T. Without the couples of turning pieces it is 0.09 T off on the edge, 0.004 T on the level."""
    deepest, held = 0.0, 0
    for m, state in over_a_kerb(end, 15):
        q, scratch = coordinates(m, state), new_scratch(m)
        slope, smooth = slopes(m, state, q, scratch)
        if not smooth:
            continue
        pull = pull_of(m, state, q, 2.0) - pull_of(m, state, q, 1.0)
        assert pull == pytest.approx(-slope, abs=1e-7)
        reach = scratch.work["ring"]["reach"][0, : len(m.rings)]
        deepest = max(deepest, float((m.rings.radius - reach).max()))
        held += 1
    assert held > 100
    assert deepest > 2e-3


@pytest.mark.parametrize("end", ["rear", "front"])
def test_what_the_motor_gives_is_where_the_ledger_has_it(end: str) -> None:
    """Power, at the speeds that the law worked with: of the sprocket = of the forces on the bodies + of slip + of drag
    + of the band's own speeding up + what tension does on the loop's growth + what runs through the loose place
    (conservation of energy). 1e-9 of the largest: both sides are sums of the same forces."""
    loose = 0
    for m, state in over_a_kerb(end, 40):
        scratch = ask.forces(m, state, DT)
        work, was = scratch.work[0], state.record[0].law.band
        band, loop, d = work.next.band, work.loop, m.drive
        middle = 0.5 * (band.speed_m_s + was.speed_m_s)
        turning = m.rings[m.band.sprocket].radius * (work.motion[0].spin + state.record[0].gain[0].spin_rad_s)
        motor = band.push_N * (middle + loop.ahead + turning)
        bodies = 0.0
        for b in range(len(m.bodies)):
            motion, gain = work.motion[b], state.record[0].gain[b]
            speeds = (motion.vx + gain.vx_m_s, motion.vy + gain.vy_m_s, motion.spin + gain.spin_rad_s)
            bodies += float(work.load[TRACK, b] @ np.array(speeds))
        contacts = scratch.contacts[: int(loop.contacts)]
        slip = float(contacts["pull"] @ (middle + contacts["offset"]))
        faster = d.mass * (band.speed_m_s - was.speed_m_s) / DT * middle
        grown = m.band.away * band.top_N * loop.growth + band.push_N * (loop.ahead + loop.behind)
        parts = [bodies, slip, work.drag * middle, faster, grown]
        assert motor == pytest.approx(sum(parts), abs=1e-9 * max(abs(p) for p in [motor, *parts]))
        loose += loop.over_top > 0.0
    assert loose >= 3
