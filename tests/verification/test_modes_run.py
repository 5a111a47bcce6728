"""The linearised model and the standing solution against the rolling engine itself.

Free decay: the hull is let go a few mm out of balance and bounces in the pymunk run; its period is read from
zero crossings. Settled run: a damped vehicle dropped a few mm comes to rest where the sheet says.
Tolerances of the design page: 2 % of a frequency, 0.5 mm, 0.5 % of a load.
"""

from __future__ import annotations

import numpy as np
import pytest
from test_modes_rig import base, single

from trundle.engine.roll import Limits, run_steps
from trundle.engine.standing import Standing, stand
from trundle.law import ask
from trundle.law.timeline import entries
from trundle.model.arrays import Floats
from trundle.model.ground import ground_arrays
from trundle.papers.ground import level, stand_level
from trundle.papers.linear import Mode, linearise, modes
from trundle.papers.standing import standing_sheet
from trundle.spec.shipped import find
from trundle.spec.vehicle import Vehicle, load_vehicle, vehicle_from


def run_from(at: Standing, q: Floats, seconds: float, dt: float) -> dict[tuple[str, int, str], Floats]:
    """Let go at rest at q and log. The drive has no speed to reach and the brake no hold."""
    m = at.assembly.model
    state = at.state.copy()
    ask.place(m, state, q)
    rows = run_steps(m, state, dt, Limits(1e9, -1e9, seconds))
    found = entries(len(m.joints), len(m.rings), bool(m.band.on))
    return {(e.column.of, e.number, e.column.quantity): rows.values[:, i] for i, e in enumerate(found)}


def on_flat(vehicle: Vehicle) -> Standing:
    """Standing on ground whose target speed is nil, on the grid that runs use."""
    return stand(vehicle, ground_arrays(np.zeros(401), 0.005, np.zeros(1), np.array([0.0])), 0.5)


def frequency(values: Floats, dt: float) -> float:
    """From the first to the last upward zero crossing."""
    v = values - values.mean()
    up = np.flatnonzero((v[:-1] < 0) & (v[1:] >= 0))
    at = up - v[up] / (v[up + 1] - v[up])
    return float((len(up) - 1) / ((at[-1] - at[0]) * dt))


@pytest.mark.parametrize("kind", ["heave", "pitch"])
def test_free_decay(kind: str) -> None:
    """The hull's two modes swing in the run with the frequency of the sheet, 2 %."""
    data = base({"front": single(760.0, "forward", 4.0), "rear": single(240.0, "back", 3.5)})
    data["drive"] |= {"brake_N": 0.0, "grip": 0.001}
    vehicle = vehicle_from(data)
    sheet = standing_sheet(vehicle, adjusters=False)
    number = next(i for i, m in enumerate(sheet.modes) if m.kind == kind)
    fine = stand_level(vehicle)
    mode: Mode = modes(fine, linearise(fine))[number]
    at = on_flat(vehicle)
    q = at.q.copy()
    q[1:] += 0.003 * mode.shape
    dt = 0.0005
    log = run_from(at, q, 4.0, dt)
    which = ("run", 0, "y" if kind == "heave" else "pitch")
    assert frequency(log[which], dt) == pytest.approx(sheet.modes[number].frequency_Hz, rel=0.02)


def test_settled_run() -> None:
    """The shipped Teasel with dampers and without dry friction, dropped 5 mm, rests where its sheet says."""
    settings = {
        "bogie.*.spring.friction": 0.0,
        "bogie.*.pivot_friction_Nm": 0.0,
        "bogie.*.damper": {"bump_N_s_per_mm": 1.5},
    }
    vehicle = load_vehicle(find("vehicles", "teasel"), settings)
    sheet = standing_sheet(vehicle, adjusters=False)
    at = on_flat(vehicle)
    q = at.q.copy()
    q[1] += 0.005
    log = run_from(at, q, 5.0, 0.001)
    fine = stand_level(vehicle)
    assert log[("run", 0, "y")][-1] * 1e3 == pytest.approx(fine.q[1] * 1e3, abs=0.5)
    for i, wheel in enumerate(sheet.wheels):
        load = log[("ring", i, "load")][-1] / wheel.wheels
        assert load == pytest.approx(wheel.load_N, rel=0.005), wheel.name


def test_grid_does_not_show() -> None:
    """The same frequencies wherever the wheels stand between two ground points, 0.25 %."""
    vehicle = load_vehicle(find("vehicles", "teasel"))
    found = []
    for x in (0.0, 0.00013, 0.00027, 0.00041):
        at = stand(vehicle, level(), x)
        found.append([m.frequency_Hz for m in modes(at, linearise(at))[:2]])
    spread = np.ptp(found, axis=0) / np.mean(found, axis=0)
    assert spread.max() < 0.0025
