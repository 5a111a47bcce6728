"""Small motion about the standing position: mass, stiffness and damping in reduced coordinates, and modes.

Coordinates are the hull's height and pitch and every joint's angle. The hull is free to roll: along the
course nothing holds it and nothing drives it, so that coordinate is condensed out of the mass matrix.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from trundle.engine.standing import Standing
from trundle.law.ask import damped_forces, place_once
from trundle.law.scratch import new_scratch
from trundle.model.arrays import Floats
from trundle.papers.ground import level

STEP_M = 5e-5
"""Finite difference of a position [m], and of an angle times its radius: wide enough to pass over several
ground points, small against any travel."""

STEP_M_S = 1e-4
"""Finite difference of a velocity [m/s]."""

SWING_M = 0.010
"""Swing of the fastest moving wheel or hull end at which dry friction is turned into damping [m]."""


@dataclass(frozen=True)
class Linear:
    """M [kg, kg.m2], K [N/m, N.m/rad], C [N.s/m, ...] on (height, pitch, joints...), shape (2 + nj,) squared.

    carry (nb, 3, 2 + nj): velocity (x, y, spin) of each body per unit rate of each coordinate, with the
    rolling that goes with it. friction_Nm (nj,): dry torque in each joint.
    """

    mass: Floats
    stiffness: Floats
    damping: Floats
    carry: Floats
    friction_Nm: Floats
    springs: Floats
    """The part of K that the springs give, tyres, pads, track and gravity being the rest."""


def linearise(at: Standing) -> Linear:
    """The force law and the bodies of `at` (which stands on level ground), linearised there."""
    m = at.assembly.with_ground(level()).model
    n, nb = len(at.q), len(m.bodies)
    scratch, state = new_scratch(m), at.state.copy()
    springs = scratch.work["joint"][0, : n - 3]["spring"]
    reach = np.array([1.0, 1.0, 0.5, *m.joints["radius"]])

    def force(q: Floats, v: Floats) -> Floats:
        out = damped_forces(m, state, q, v, scratch)
        # Without the springs' torques, which are tabled and get a step of their own.
        out[3:] -= springs
        return out

    def torque(q: Floats) -> Floats:
        force(q, still)
        return springs.copy()

    cells = _cells(at)

    stiffness, damping, sprung = np.zeros((n, n)), np.zeros((n, n)), np.zeros((n, n))
    jacobian = np.zeros((nb, 3, n))
    still = np.zeros(n)
    for k in range(n):
        unit = np.zeros(n)
        unit[k] = 1.0
        dq, dv = unit * STEP_M / reach[k], unit * STEP_M_S / reach[k]
        stiffness[:, k] = (force(at.q - dq, still) - force(at.q + dq, still)) / (2.0 * dq[k])
        if k >= 3:
            cell = unit * cells[k - 3]
            sprung[3:, k] = (torque(at.q - cell) - torque(at.q + cell)) / (2.0 * cell[k])
        # Dampers differ up and down: the mean of both takes the same energy from a full swing.
        damping[:, k] = (force(at.q, -dv) - force(at.q, dv)) / (2.0 * dv[k])
        place_once(m, state, at.q, unit)
        jacobian[:, :, k] = state.bodies[:, 3:6]
    stiffness += sprung
    weights = np.column_stack([m.bodies["mass"], m.bodies["mass"], m.bodies["inertia"]])
    mass = np.einsum("bci,bc,bcj->ij", jacobian, weights, jacobian)
    # Free to roll: x follows so that no momentum arises along the course.
    follow = -mass[0, 1:] / mass[0, 0]
    rolled = mass[1:, 1:] + np.outer(mass[1:, 0], follow)
    return Linear(
        mass=0.5 * (rolled + rolled.T),
        stiffness=0.5 * (stiffness[1:, 1:] + stiffness[1:, 1:].T),
        damping=0.5 * (damping[1:, 1:] + damping[1:, 1:].T),
        carry=jacobian[:, :, 1:] + jacobian[:, :, :1] * follow,
        friction_Nm=np.array(m.joints["friction"], dtype=np.float64),
        springs=0.5 * (sprung[1:, 1:] + sprung[1:, 1:].T),
    )


def tension_held(at: Standing) -> Standing:
    """The same with the track's tension held at what it is, however the wheels move: without the track's stiffness."""
    m = at.assembly.model
    vehicle = m.vehicle.copy()
    vehicle["held_tension"] = at.state["band.tension_N"]
    return replace(at, assembly=replace(at.assembly, model=m._replace(vehicle=vehicle)))


def _cells(at: Standing) -> Floats:
    """Step of each joint's spring table [rad]: a table is straight between its points, so that its slope is
    right only over whole steps of it."""
    m = at.assembly.model
    cells = np.where(m.joints["table_n"] > 0, m.joints["angle_step"], 1e-3)
    for pair in m.pairs:
        cells[[pair["fore"], pair["aft"]]] = pair["angle_step"]
    return np.asarray(cells, dtype=np.float64)


@dataclass(frozen=True)
class Mode:
    """One mode of swinging.

    frequency_Hz: undamped. damping: ratio from tyres, dampers and pads (1: just does not swing), each shape
    taken by itself. friction_damping: what dry friction in the pivots and leaves adds at a swing of 10 mm.
    shape (2 + nj,): height [m], pitch [rad], joints [rad], so that the wheel or hull end that moves most
    moves 1 m up and down. axle_m (nw,): how far each axle moves up. energy (nb,): share of the moving
    energy in each body, the hull's split in (rising, pitching) in hull_energy.
    """

    frequency_Hz: float
    damping: float
    friction_damping: float
    shape: Floats
    axle_m: Floats
    energy: Floats
    hull_energy: tuple[float, float]


def _swings(stiffness: Floats, mass: Floats) -> tuple[Floats, Floats]:
    """Solutions of K v = w M v: values w, rising, and columns v with v M v = 1, by the Cholesky factor of M.

    (Golub and Van Loan, Matrix Computations, section 8.7: with M = L L', L^-1 K L^-T has the same values.)
    """
    inverse = np.linalg.inv(np.linalg.cholesky(mass))
    values, turned = np.linalg.eigh(inverse @ stiffness @ inverse.T)
    return values, inverse.T @ turned


def modes(at: Standing, system: Linear) -> list[Mode]:
    """All modes, slowest first; one that nothing holds up has frequency 0."""
    m = at.assembly.model
    values, vectors = _swings(system.stiffness, system.mass)
    ends = np.array([float(m.hull.tail_x), float(m.hull.nose_x)])
    found = []
    for value, vector in zip(values, vectors.T, strict=True):
        omega = float(np.sqrt(max(value, 0.0)))
        axles = axle_motion(at, system, vector)
        largest = max(np.abs(axles).max(), np.abs(vector[0] + vector[1] * ends).max())
        largest = largest if abs(axles.min()) <= axles.max() else -largest
        damping = float(vector @ system.damping @ vector) / (2.0 * omega) if omega else 0.0
        shape = vector / largest
        body = np.einsum("bci,i->bc", system.carry, shape)
        moving = 0.5 * np.column_stack([m.bodies["mass"], m.bodies["mass"], m.bodies["inertia"]]) * body**2
        total = float(moving.sum())
        # Work of friction in a full swing, 4 T |angle|, over 4 pi times the energy of the swing.
        swing = SWING_M * shape
        rubbed = 4.0 * float(system.friction_Nm @ np.abs(swing[2:]))
        kept = 0.5 * float(swing @ system.stiffness @ swing)
        found.append(
            Mode(
                frequency_Hz=omega / (2.0 * np.pi),
                damping=damping,
                friction_damping=rubbed / (4.0 * np.pi * kept) if kept > 0.0 else 0.0,
                shape=shape,
                axle_m=axles / largest,
                energy=moving.sum(axis=1) / total,
                hull_energy=(float(moving[0, :2].sum()) / total, float(moving[0, 2]) / total),
            )
        )
    return found


def axle_motion(at: Standing, system: Linear, vector: Floats) -> Floats:
    """How far each road wheel's axle moves up for this small motion [m], shape (nw,)."""
    m = at.assembly.model
    rings = m.rings[: m.road]
    body = np.einsum("bci,i->bc", system.carry, vector)
    carrier = np.asarray(rings["body"], dtype=np.int64)
    angle = at.state.bodies[carrier, 2]
    # A body's point moves up with its centre and by spin times its distance ahead of it.
    ahead = np.cos(angle) * rings["x"] - np.sin(angle) * rings["y"]
    return np.asarray(body[carrier, 1] + body[carrier, 2] * ahead)
