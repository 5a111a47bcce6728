"""What inputs start from: the shipped vehicles, short courses, and a stock of kept runs, made once."""

from __future__ import annotations

import copy
import os
import subprocess
import sys
import tomllib
from functools import cache
from pathlib import Path
from random import Random
from typing import Any

from tests.fuzz.toml import toml

VEHICLES = ("wren", "teasel", "barrow", "mole", "otter")

OBSTACLES: tuple[dict[str, Any], ...] = (
    {"kind": "kerb up", "height_mm": 40},
    {"kind": "kerb up", "height_mm": 60, "edge_radius_mm": 20, "batter_mm": 30},
    {"kind": "kerb down", "height_mm": 50},
    {"kind": "step up", "height_mm": 30, "going_mm": 280, "count": 2},
    {"kind": "step down", "height_mm": 30, "count": 3},
    {"kind": "half-round", "radius_mm": 50},
    {"kind": "round-top hump", "height_mm": 60, "length_mm": 600},
    {"kind": "sinusoidal hump", "height_mm": 60, "length_mm": 800},
    {"kind": "flat-top hump", "height_mm": 50, "top_mm": 300, "ramp_mm": 200},
    {"kind": "sleepers", "height_mm": 40, "width_mm": 100, "pitch_mm": 300, "count": 3},
    {"kind": "log", "diameter_mm": 120, "sunk_mm": 60},
    {"kind": "trench", "bottom_mm": 150, "depth_mm": 100, "side_mm": 50},
    {"kind": "dip", "depth_mm": 60, "length_mm": 500},
    {"kind": "ripples", "height_mm": 20, "wavelength_mm": 300, "count": 4},
    {"kind": "rough ground", "length_mm": 1500, "iso_class": "D", "seed": 3},
    {"kind": "ramp up", "angle_deg": 10, "length_mm": 800},
    {"kind": "ramp down", "angle_deg": 10, "length_mm": 800},
    {"kind": "flat", "length_mm": 300},
)
"""One or two of each kind, as small as a short run wants."""

RUN_UP_MM = {"wren": 1000, "teasel": 1900, "barrow": 1000, "mole": 1500, "otter": 2500}
"""Room in front of the first obstacle for each of the vehicles."""

SHORT = {"name": "Short", "run_up_mm": 1000, "run_out_mm": 500, "obstacle": [{**OBSTACLES[0], "gap_mm": 300}]}


@cache
def _shipped(name: str) -> dict[str, Any]:
    from trundle.spec.shipped import find

    return tomllib.loads(find("vehicles", name).read_text(encoding="utf-8"))


def vehicle(name: str) -> dict[str, Any]:
    """Tables of a shipped vehicle, the caller's own."""
    return copy.deepcopy(_shipped(name))


def course(rng: Random, name: str) -> dict[str, Any]:
    """A short course for a shipped vehicle: one to three obstacles, and now and then a list for its driver."""
    parts = [{**rng.choice(OBSTACLES), "gap_mm": rng.choice((0, 100, 400))} for _ in range(rng.choice((1, 1, 2, 3)))]
    tables: dict[str, Any] = {"name": "Fuzz", "run_up_mm": RUN_UP_MM[name], "run_out_mm": 600, "obstacle": parts}
    if rng.random() < 0.2:
        tables["speed_m_s"] = rng.choice((0.2, 0.7, 2, 5))
    if rng.random() < 0.25:
        at = RUN_UP_MM[name] * rng.uniform(0.6, 1.3)
        told: list[dict[str, Any]] = []
        for _ in range(rng.choice((1, 2, 3))):
            at += rng.uniform(0, 300)
            if rng.random() < 0.5:
                told.append({"kind": "stop", "at_mm": round(at), "for_s": rng.choice((0.1, 0.5, 2))})
            else:
                told.append({"kind": "reverse", "at_mm": round(at), "to_mm": round(at - rng.uniform(20, 300))})
        tables["driver"] = told
    return tables


STUDY = ("compare", "wren.toml", "short.toml", "--vary", "hull.mass_kg=40,44,48", "--workers", "1", "--out", "study")
"""The study in stock. The same command on a copy of it goes on where it was stopped."""

SHOP = 'vehicles = ["wren.toml"]\ncourses = ["short.toml"]\n[tolerance]\nevery = "3%"\npeak_seat_g = 0.1\n'


def make_stock(folder: Path) -> None:
    """Two kept runs, a study and a baseline, by the real commands. Raises RuntimeError if one of them fails."""
    folder.mkdir(parents=True)
    (folder / "wren.toml").write_text(toml(vehicle("wren")), encoding="utf-8")
    (folder / "short.toml").write_text(toml(SHORT), encoding="utf-8")
    (folder / "shop.toml").write_text(SHOP, encoding="utf-8")
    for args in (
        ("run", "wren.toml", "short.toml", "--out", "kept"),
        ("run", "barrow", "short.toml", "--out", "other"),
        STUDY,
        ("baseline", "keep", "shop.toml", "--workers", "1"),
    ):
        done = subprocess.run(
            [sys.executable, "-m", "trundle.cli.main", *args],
            cwd=folder, env=os.environ | {"SDL_VIDEODRIVER": "dummy"}, capture_output=True, text=True, check=False,
        )  # fmt: skip
        if done.returncode != 0:
            raise RuntimeError(
                f"no stock to start from: trundle {' '.join(args)} ended with {done.returncode}: {done.stderr}"
            )
