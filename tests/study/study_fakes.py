"""Cheap tasks that workers can import: they stand in for a run where only the batch engine is tested."""

from __future__ import annotations

import os
import signal
import time
from pathlib import Path
from typing import Any


def square(n: int) -> int:
    return n * n


def moody(payload: dict[str, Any]) -> float:
    """Does what its payload says: die, die once, hang, raise, or return 1/3 of n."""
    mood = payload.get("mood", "")
    if mood == "die":
        os.kill(os.getpid(), signal.SIGKILL)
    if mood == "die once":
        mark = Path(payload["mark"])
        if not mark.exists():
            mark.write_text("was here")
            os.kill(os.getpid(), signal.SIGKILL)
    if mood == "raise":
        raise ArithmeticError("no such root")
    if mood == "exit":
        raise SystemExit(3)
    if mood == "hang":
        time.sleep(600)
    if mood == "hang deaf":  # blocked where no signal is heard
        signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGALRM})
        time.sleep(600)
    if mood == "unpicklable":
        return lambda: 0
    time.sleep(payload.get("sleep_s", 0.0))
    return payload["n"] / 3.0


def fake_run(payload: dict[str, Any]) -> dict[str, Any]:
    """A summary that depends on the settings in a known way; mass 13 is no valid vehicle."""
    from trundle.errors import InputError, Problem

    s = payload["vehicle_settings"]
    mass = float(s.get("hull.mass_kg", 300))
    thick = float(s.get("bogie.front.spring.thickness_mm", 6))
    if mass == 13:
        raise InputError(Problem("an unlucky mass", "hull.mass_kg"))
    if s.get("hull.name") == "slow":
        time.sleep(0.05)
    return {
        "completed": mass < 1000,
        "ended_because": "course end" if mass < 1000 else "stalled",
        "peak_wheel_load_N": mass * 9.80665 / 12 + 100 * thick,
        "bump_stop_hits": int(max(0, mass / 50 - thick)),
        "seat_rms_m_s2": (thick - 7.3) ** 2 / 10 + 0.4 + 1e-4 * mass,
        "peak_seat_g": 0.1 * thick + 0.5,
        "standing": {"front": mass / 3, "rear": mass / 7},
    }


def make_plan(folder: Path, masses: range = range(200, 300, 10)) -> Any:
    """Files hold only what the paths need: the fake run reads the settings alone."""
    from trundle.study.grid import Axis, Plan

    (folder / "v.toml").write_text(
        "[hull]\nmass_kg = 300.0\n[bogie.front]\nkind='paired arms'\n"
        "[bogie.front.spring]\nkind='leaf across'\nthickness_mm = 6.0\n"
    )
    (folder / "c.toml").write_text("[[obstacle]]\nkind='kerb up'\n")
    axes = (Axis("hull.mass_kg", tuple(masses)), Axis("bogie.*.spring.thickness_mm", (6, 7, 8)))
    return Plan((folder / "v.toml",), (folder / "c.toml",), axes)


def how(out: Path | None = None, **options: Any) -> Any:
    from trundle.study.runs import How

    return How(out, function=fake_run, **options)


def one_version() -> None:
    """Keys as if the program's source never changed, so that a test may run while somebody edits it."""
    import trundle.study.case

    trundle.study.case.identity = lambda: {"version": "of the test"}


def threshold_run(payload: dict[str, Any]) -> dict[str, Any]:
    """Hits the stop exactly when the mass is above 270 kg; the grip changes the seat's figure alone."""
    s = payload["vehicle_settings"]
    mass, grip = float(s.get("hull.mass_kg", 265)), float(s.get("drive.grip", 0.75))
    return {
        "completed": True,
        "bump_stop_hits": int(mass > 270),
        "peak_wheel_load_N": mass**2,
        "seat_rms_m_s2": 1.0 - grip,
        "peak_seat_g": 0.8,
    }


def geometry_run(payload: dict[str, Any]) -> dict[str, Any]:
    """Figures that follow from the file's own text: the front pivot's place, the mass, the grip."""
    import tomllib

    data = tomllib.loads(payload["vehicle_text"])
    front = data["bogie"]["front"]["at_mm"][0]
    mass = payload["vehicle_settings"].get("hull.mass_kg", data["hull"]["mass_kg"])
    return {
        "completed": data["drive"]["grip"] > 0.3,
        "ended_because": "" if data["drive"]["grip"] > 0.3 else "stalled",
        "peak_wheel_load_N": 10.0 * mass + (1520 - front) * 20,
        "ride_height_mm": 100.0 + (front - 1520) * 0.1,
        "peak_seat_g": 2.0 + (1520 - front) * 0.0018,
        "seat_rms_m_s2": 0.5,
        "standing": {"front": mass * 2.0},
    }


def rising_run(payload: dict[str, Any]) -> dict[str, Any]:
    """A summary with a figure that no table knows unless a test puts it there: it grows with the hull's mass."""
    import tomllib

    data = tomllib.loads(payload["vehicle_text"])
    mass = float(payload["vehicle_settings"].get("hull.mass_kg", data["hull"]["mass_kg"]))
    return {"completed": True, "peak_rise_m_s": mass / 100.0, "peak_seat_g": 300.0 / mass, "seat_rms_m_s2": 0.5}
