"""What the speed comparisons share: one vehicle, one course, and four ways to step it."""

from __future__ import annotations

import sys
import time
from collections.abc import Callable, Sequence
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[1] / "verification"))

from rigs import flat, kerb, vehicle

from trundle.engine.roll import Limits, run_steps
from trundle.engine.space import BodySpace
from trundle.engine.standing import stand
from trundle.law import ask
from trundle.law.compile import kernel
from trundle.law.kernels import accept
from trundle.law.scratch import new_scratch
from trundle.law.step import forces

DT = 1e-3
STEPS = 3000


def trundle(track: bool) -> Callable[[], None]:
    """The engine with full logging, kerb climb of 3 s."""
    found = stand(vehicle("single arm", track=track), kerb(0.08 if track else 0.03, at=2.4))
    m = found.assembly.model

    def go() -> None:
        run_steps(m, found.state, DT, Limits(1e9, -1e9, STEPS * DT))

    return go


@kernel
def many(m, ss, c, dt, steps):
    """The force law alone, `steps` times at one place: the floor no engine round it can beat."""
    for _ in range(steps):
        forces(m, ss[0], c, dt)


def bare_kernel(track: bool) -> Callable[[], None]:
    """The compiled force law alone, standing."""
    found = stand(vehicle("single arm", track=track), kerb(0.08, at=2.4))
    m, scratch = found.assembly.model, new_scratch(found.assembly.model)

    def go() -> None:
        many(m, found.state.record, scratch, DT, STEPS)

    return go


def plain_loop(track: bool) -> Callable[[], None]:
    """The same law in a plain loop over pymunk bodies, one property at a time, as a first version would be."""
    found = stand(vehicle("single arm", track=track), flat(8.0))
    m = found.assembly.model

    def go() -> None:
        state, scratch, rows = found.state.copy(), new_scratch(m), []
        space = BodySpace(m, state, scratch, DT)
        for _ in range(STEPS // 10):
            for k, b in enumerate(space.bodies):
                state.bodies[k] = (
                    b.position.x, b.position.y, b.angle, b.velocity.x, b.velocity.y, b.angular_velocity,
                )  # fmt: skip
            ask.forces(m, state, DT, scratch)
            accept(state.record, scratch)
            force = scratch.work[0].force
            for k, b in enumerate(space.bodies):
                b.force = (float(force[k, 0]), float(force[k, 1]))
                b.torque = float(force[k, 2])
            rows.append([*state.bodies.ravel(), *scratch.work["ring"][0]["load"]])
            space.step(DT)

    return go


MJCF = """
<mujoco><option timestep="{dt}" gravity="0 0 -9.80665" integrator="implicitfast"/>
<default><geom solref="0.004 1" friction="0.75 0.005 0.0001"/></default>
<worldbody>
<geom type="plane" size="50 5 .1"/>
<geom type="box" pos="52.4 0 0.015" size="50 5 0.015"/>
<body name="hull" pos="0.7 0 {y}">
 <joint type="slide" axis="1 0 0"/><joint type="slide" axis="0 0 1"/><joint type="hinge" axis="0 -1 0"/>
 <inertial pos="0 0 0" mass="200" diaginertia="40 40 40"/>
 {arms}
</body></worldbody>
<actuator>{motors}</actuator></mujoco>
"""
"""Four trailing arms with wheels on the general-purpose engine's own contacts, both sides together."""


def mujoco_model():
    """The same four-station vehicle without track for mujoco; the wheels are driven at one speed each."""
    import mujoco

    arms, motors = [], []
    for k in range(4):
        x, z = (1430 - 370 * k - 700) / 1e3, (40 - 220) / 1e3
        arms.append(
            f'<body pos="{x} 0 {z}"><joint name="a{k}" type="hinge" axis="0 1 0" stiffness="573"'
            f' springref="{-np.radians(40)}"'
            f' ref="0" damping="20" frictionloss="2" limited="true" range="{-np.radians(45)} {-np.radians(5)}"/>'
            f'<inertial pos="-0.09 0 0" mass="3" diaginertia="0.01 0.01 0.01"/>'
            f'<body pos="-0.18 0 0"><joint name="w{k}" type="hinge" axis="0 1 0"/>'
            f'<geom type="cylinder" size="0.09 0.2" euler="90 0 0" mass="6"/></body></body>'
        )
        motors.append(f'<velocity joint="w{k}" kv="15" ctrllimited="false" forcelimited="true" forcerange="-55 55"/>')
    return mujoco.MjModel.from_xml_string(MJCF.format(dt=DT, y=0.4, arms="\n".join(arms), motors="\n".join(motors)))


def general_engine() -> Callable[[], None]:
    """mujoco stepping the equivalent wheeled vehicle, its state logged."""
    import mujoco

    model = mujoco_model()

    def go() -> None:
        data = mujoco.MjData(model)
        data.ctrl[:] = 1.2 / 0.09
        log = np.empty((STEPS, model.nq + model.nv))
        for i in range(STEPS):
            mujoco.mj_step(model, data)
            log[i, : model.nq], log[i, model.nq :] = data.qpos, data.qvel
        assert np.isfinite(log).all()

    return go


def seconds(work: Callable[[], object], repeat: int) -> float:
    """Best of `repeat`, after one that warms up [s]."""
    work()
    best = np.inf
    for _ in range(repeat):
        begin = time.perf_counter()
        work()
        best = min(best, time.perf_counter() - begin)
    return float(best)


def side_by_side(ways: Sequence[Callable[[], object]], rounds: int = 5) -> list[float]:
    """Best time of each, all in turn round after round: what slows the machine for a while slows them all [s]."""
    for way in ways:
        way()
    best = [np.inf] * len(ways)
    for _ in range(rounds):
        for k, way in enumerate(ways):
            begin = time.perf_counter()
            way()
            best[k] = min(best[k], time.perf_counter() - begin)
    return best
