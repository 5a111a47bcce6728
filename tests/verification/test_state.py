"""State in the open: the same State gives the same forces, and a run that is stopped goes on to the last bit."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from rigs import flat, kerb, vehicle

import trundle
from trundle.engine.loop import GOING
from trundle.engine.roll import Limits, Rolling
from trundle.engine.standing import stand
from trundle.errors import InputError
from trundle.law import ask
from trundle.law.named import State
from trundle.law.scratch import new_scratch
from trundle.law.state import MEMORY, STATE
from trundle.roots import over_kinks

DT = 1e-3
SHORT_ARMS = Path(__file__).parents[1] / "vehicles" / "short-arms.toml"

KINDS = [("paired arms", True), ("walking beam", True), ("single arm", False)]


def in_the_thick(bogie: str, track: bool, steps: int = 1500) -> Rolling:
    """A vehicle that has begun to climb a kerb: stops, dry friction, dampers and shear all at work."""
    found = stand(vehicle(bogie, track=track), kerb(0.08, at=1.9))
    rolling = Rolling(found.assembly.model, found.state, 1e-3, Limits(1e9, -1e9, 1e9))
    rolling.steps(steps)
    assert rolling.why == GOING
    return rolling


@pytest.mark.parametrize(("bogie", "track"), KINDS)
def test_forces_are_a_function_of_model_and_state(bogie: str, track: bool) -> None:
    """Asked again and again, with a used scratch, a fresh one and one full of nonsense, and after other questions: the
    same bits, and the State stays as it was. (They differed by up to 31.8 N while the law kept part to itself.)"""
    rolling = in_the_thick(bogie, track)
    model, state, nb = rolling.model, rolling.state, len(rolling.model.bodies)
    before = state.copy()
    first = ask.forces(model, state, 1e-3)
    want = first.work[0].load.copy(), first.work[0].next.tobytes()
    assert np.abs(want[0]).max() > 100.0
    other = state.copy()
    for name in ("hull", *(f"arm.{n}" for n in state.names.arms)):
        other[f"{name}.y_m"] -= 0.01
    used = ask.forces(model, other, 1e-3)
    assert np.abs(used.work[0].load - want[0]).max() > 1.0
    filled = new_scratch(model)
    for array in filled:
        array.view(np.ndarray).view(np.uint8)[:] = 0xFF  # no number at all, and -1 of anything
    for scratch in (first, used, filled, new_scratch(model)):
        got = ask.forces(model, state, 1e-3, scratch).work[0]
        assert np.array_equal(got.load[:, :nb], want[0][:, :nb])
        assert got.next.tobytes() == want[1]
    assert state == before


@pytest.mark.parametrize(("bogie", "track"), KINDS)
def test_a_run_goes_on_from_a_state_to_the_last_bit(bogie: str, track: bool) -> None:
    """At any step: of a run of 3000 steps, cut at 1, 777 and 2100, the rest is the same; through pymunk's public calls
    too. The State that it is cut at stays as it was."""
    found = stand(vehicle(bogie, track=track), kerb(0.08, at=1.9))
    model, limits = found.assembly.model, Limits(1e9, -1e9, 1e9)
    whole = Rolling(model, found.state, 1e-3, limits).steps(3000)
    rolling = Rolling(model, found.state, 1e-3, limits)
    at = 0
    for cut in (1, 777, 2100):
        assert np.array_equal(rolling.steps(cut - at), whole[at:cut])
        kept = rolling.state.copy()
        rolling = Rolling(model, rolling.state, 1e-3, limits, compiled=cut != 777)
        assert rolling.state == kept
        at = cut
    assert np.array_equal(rolling.steps(900), whole[at:])


RESUME = """
import sys
import trundle
steps = trundle.Steps("teasel", "kerb-100", state=sys.argv[1])
steps.go(1200).to_parquet(sys.argv[2])
"""


def test_a_saved_state_goes_on_in_another_process(tmp_path: Path) -> None:
    """Saved in the middle of the kerb, loaded in a fresh process: the same bits as without the break."""
    import pandas as pd

    steps = trundle.Steps("teasel", "kerb-100")
    steps.go(2500)
    file = tmp_path / "state.npz"
    steps.state.save(file)
    assert State.load(file) == steps.state
    want = steps.go(1200)
    assert want["wheel.front.fore.load_N"].max() > 500.0
    subprocess.run([sys.executable, "-c", RESUME, str(file), str(tmp_path / "rest.parquet")], check=True)
    pd.testing.assert_frame_equal(pd.read_parquet(tmp_path / "rest.parquet"), want, check_exact=True)


def test_every_number_of_a_state_has_a_name() -> None:
    """Each can be read and set by it; a vehicle's names cover all numbers of the record but those of parts that it has
    not: bodies and their pivots, rings."""
    found = stand(vehicle("paired arms"), flat())
    state = found.state
    m = found.assembly.model
    names = list(state)
    assert len(set(names)) == len(names)
    nb, nj, nr = len(m.bodies), len(m.joints), len(m.rings)
    rows = {name: STATE.fields[name][0].subdtype for name in ("body", "gain", "pivot")}
    law = {name: MEMORY.fields[name][0].subdtype for name in ("joint", "ring")}
    left_out = 0
    for name, count in (("body", nb), ("gain", nb), ("pivot", nj)):
        base, shape = rows[name]
        left_out += (shape[0] - count) * base.itemsize // 8
    for name, count in (("joint", nj), ("ring", nr)):
        base, shape = law[name]
        left_out += (shape[0] - count) * base.itemsize // 8
    assert len(names) == STATE.itemsize // 8 - left_out
    for k, name in enumerate(names):
        state[name] = float(k)
    assert [state[name] for name in names] == [float(k) for k in range(len(names))]
    assert state["hull.x_m"] == state.bodies[0, 0]
    assert state["arm.front.aft.spin_rad_s"] == state.bodies[2, 5]
    assert state["order.n"] == int(state.record[0].order.n)
    with pytest.raises(KeyError, match=r"band\.speed_m_s"):
        state["band.sped_m_s"]


def test_a_perturbed_state_perturbs_the_run() -> None:
    """A band that runs 0.1 m/s faster than the hull pulls more in the next step."""
    rolling = in_the_thick("paired arms", True)
    state = rolling.state.copy()
    state["band.speed_m_s"] += 0.1
    plain = ask.forces(rolling.model, rolling.state, 1e-3).work[0].next.band.traction_N
    assert ask.forces(rolling.model, state, 1e-3).work[0].next.band.traction_N > plain + 10.0


def test_a_live_state_can_be_changed() -> None:
    """Between steps, by name: a vehicle put 0.2 m higher is there after the next step, less what it falls. The same
    change in a copy that is gone on from does the same."""
    steps = trundle.Steps("teasel", "kerb-50")
    steps.go(300)
    for body in ("hull", *(f"arm.{n}" for n in steps.state.names.arms)):
        steps.state[f"{body}.y_m"] += 0.2
    high, changed = steps.state["hull.y_m"], steps.state.copy()
    steps.go(1)
    assert steps.state["hull.y_m"] == pytest.approx(high, abs=1e-3)
    other = trundle.Steps("teasel", "kerb-50", state=changed)
    other.go(1)
    assert other.state == steps.state


@pytest.mark.parametrize("damage", [{"order.n": 1e5}, {"order.n": -3.0}, {"order.n": 4.0, "order.1": 1e9}])
def test_nonsense_in_the_order_of_contacts_is_no_harm(damage: dict[str, float]) -> None:
    """It is a first guess: one that cannot be is dropped, and the forces are those of the band laid afresh."""
    rolling = in_the_thick("paired arms", True)
    afresh, spoilt = rolling.state.copy(), rolling.state.copy()
    afresh["order.n"] = 0
    for name, value in damage.items():
        spoilt[name] = value
    want = ask.forces(rolling.model, afresh, DT).work[0].load
    assert np.array_equal(ask.forces(rolling.model, spoilt, DT).work[0].load, want)


def test_a_state_from_another_course_goes_on() -> None:
    """The contacts of rough ground mean nothing on a kerb: its numbers stay numbers."""
    rough = trundle.Steps("teasel", "sleepers")
    rough.go(3000)
    here = trundle.Steps("teasel", "kerb-50", state=rough.state)
    assert np.isfinite(here.go(200).to_numpy()).all()


def test_numbers_that_blow_up_end_the_run() -> None:
    """A band speed that is no number: the run says so, and nothing else is blamed."""
    steps = trundle.Steps("teasel", "kerb-50")
    steps.go(50)
    steps.state["band.speed_m_s"] = float("nan")
    steps.go(50)
    assert steps.ended_because == "numbers blew up"


@pytest.mark.parametrize(
    ("name", "arms_mm"),
    [
        (SHORT_ARMS, (150.83301917699188, 149.23327580214232, 150.0538712930841)),
        (SHORT_ARMS, (150.48128222261974, 149.00007335972805, 149.5971640539464)),
        ("teasel", (200.32864814425747, 198.3765145689616, 199.7325077609459)),
    ],
)
def test_a_vehicle_on_which_newton_gets_caught_stands_all_the_same(
    name: str | Path, arms_mm: tuple[float, ...], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Arms within 2 mm of the file's, found by trying: where slopes differ on two sides, those across both help."""
    asked = []

    def watched(*args: Any) -> Any:
        asked.append(args)
        return over_kinks(*args)

    monkeypatch.setattr("trundle.engine.standing.over_kinks", watched)
    fields = [f"bogie.{b}.arm_mm" for b in ("front", "middle", "rear")]
    made = trundle.load_vehicle(name, dict(zip(fields, arms_mm, strict=True)))
    found = stand(made, kerb(0.1, at=2.6, length=6.0))
    assert found.residual_N < 1e-3
    assert asked, "no longer caught: look for other arms"
    assert trundle.Steps(made, "kerb-100").go(10)["wheel.front.fore.load_N"].min() > 0.0


def test_what_is_no_state_is_refused(tmp_path: Path) -> None:
    """Missing, no State at all, another law's, another vehicle's: one message each."""
    file = tmp_path / "state.npz"
    with pytest.raises(InputError, match="no such file"):
        State.load(file)
    file.write_bytes(b"not one")
    with pytest.raises(InputError, match="holds no saved state"):
        State.load(file)
    state = trundle.Steps("teasel", "kerb-50").state
    state.save(file)
    with pytest.raises(InputError, match="the State has arms"):
        trundle.Steps("wren", "kerb-50", state=file)
    whole = file.read_bytes()
    rng = np.random.default_rng(7)
    for at in rng.integers(0, len(whole), 60):
        file.write_bytes(whole[:at] + bytes([whole[at] ^ 0xFF]) + whole[at + 1 :])
        try:
            State.load(file)
        except InputError:
            continue
    for cut in (1, 30, len(whole) // 2):
        file.write_bytes(whole[:cut])
        with pytest.raises(InputError, match="holds no saved state"):
            State.load(file)
    with pytest.raises(InputError, match="cannot be written"):
        state.save(tmp_path / "nowhere" / "state.npz")
    with pytest.raises(InputError, match="0 or more"):
        trundle.Steps("teasel", "kerb-50").go(-1)
    with pytest.raises(InputError, match="a State, or the file of one"):
        trundle.Steps("teasel", "kerb-50", state=3)
    file.write_bytes(whole)
    with np.load(file) as kept:
        np.savez(file, state=kept["state"], layout=np.array("of old"), names=kept["names"])
    with pytest.raises(InputError, match="another version"):
        State.load(file)


def test_torque_turns_into_push_by_one_radius() -> None:
    """A cart on wheels of 130 and 200 mm with 120 N.m: the file's torque is what the record shows at full push,
    whatever the order of its wheels. (It was told 78 N.m, "the most the file allows".)"""
    from trundle.record.columns import facts

    cart = vehicle("single arm", track=False)
    small = cart.wheel["road"].model_copy(update={"radius_mm": 130.0})
    large = cart.wheel["road"].model_copy(update={"radius_mm": 200.0})
    bogies = dict(cart.bogie)
    bogies["arm0"] = bogies["arm0"].model_copy(update={"wheel": "large"})
    for wheel in ({"road": small, "large": large}, {"large": large, "road": small}):
        mixed = cart.model_copy(
            update={
                "wheel": wheel,
                "bogie": bogies,
                "drive": cart.drive.model_copy(update={"torque_Nm": 120.0}),
            }
        )
        found = stand(mixed, flat())
        push = float(found.assembly.model.drive.push)
        assert push * facts(found.assembly)["drive_radius_m"] == pytest.approx(120.0, rel=1e-12)
        assert float(found.assembly.model.drive.radius) == mixed.drive_radius_m == 0.2
