"""Answers that nobody would think of: any subset of the questions answered, each anywhere in what is usual and a little
beyond, with stock of any kind and size."""

from __future__ import annotations

import random

from trundle.design.answers import Answers
from trundle.design.stock import STOCKS

_USUAL: dict[str, tuple[float, float]] = {
    "all_up_kg": (20.0, 700.0), "length_mm": (600.0, 3_500.0), "kerb_mm": (0.0, 250.0), "speed_m_s": (0.3, 4.0),
    "wheels.diameter_mm": (60.0, 400.0), "wheels.width_mm": (15.0, 100.0), "wheels.rubber_rate_N_per_mm": (40.0, 900.0),
    "track.pitch_mm": (15.0, 120.0), "track.width_mm": (40.0, 350.0), "track.thickness_mm": (4.0, 40.0),
    "track.mass_kg_per_m": (0.3, 15.0), "track.tooth_mm": (0.0, 60.0), "motor.torque_Nm": (10.0, 1_000.0),
    "motor.power_W": (100.0, 12_000.0),
}  # fmt: skip
_WHOLE = {"wheels.each_side": (2, 9), "wheels.abreast": (1, 3)}

_STOCK: dict[str, dict[str, tuple[float, float]]] = {
    "leaf strip": {"width_mm": (20.0, 100.0), "thickness_mm": (1.5, 12.0), "length_mm": (200.0, 1_500.0)},
    "round bar": {"diameter_mm": (4.0, 30.0), "length_mm": (200.0, 1_500.0)},
    "coil": {
        "wire_mm": (2.0, 14.0), "outside_mm": (20.0, 150.0), "coils": (3.0, 15.0), "free_length_mm": (50.0, 400.0),
    },
    "coil by rate": {"rate_N_per_mm": (2.0, 200.0), "free_length_mm": (60.0, 400.0), "solid_length_mm": (20.0, 250.0)},
    "spring and damper": {
        "rate_N_per_mm": (3.0, 250.0), "free_length_mm": (120.0, 500.0), "solid_length_mm": (80.0, 400.0),
    },
    "gas strut": {"force_N": (50.0, 2_000.0), "stroke_mm": (40.0, 250.0), "extended_length_mm": (150.0, 700.0)},
    "rubber block": {"width_mm": (15.0, 150.0), "length_mm": (15.0, 150.0), "thickness_mm": (8.0, 100.0)},
}  # fmt: skip


def random_answers(seed: int) -> Answers:
    """Of this number, the same every time; a draw that the answers' own checks refuse is drawn again."""
    rng = random.Random(seed)
    while True:
        data: dict[str, object] = {"use": rng.choice(["ride-on", "load carrier", "radio-controlled"])}
        known = rng.random()
        for path, (low, high) in _USUAL.items():
            if rng.random() < known:
                _put(data, path, round(low + (high - low) * rng.random() ** 1.5, 1))
        for path, (least, most) in _WHOLE.items():
            if rng.random() < known:
                _put(data, path, rng.randint(least, most))
        if rng.random() < 0.9:
            kind = rng.choice(STOCKS).kind_name()
            sizes = {f: round(low + (high - low) * rng.random() ** 1.5, 1) for f, (low, high) in _STOCK[kind].items()}
            data["stock"] = {"kind": kind, **sizes}
        try:
            return Answers.model_validate(data)
        except ValueError:
            continue


def _put(data: dict[str, object], path: str, value: float) -> None:
    table, _, field = path.rpartition(".")
    inside = data.setdefault(table, {}) if table else data
    assert isinstance(inside, dict)
    inside[field] = value
