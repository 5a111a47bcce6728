"""Vehicles of the tests' own, for cases that a sound vehicle does not give: stops hit hard, parts that yield, blows."""

from __future__ import annotations

from pathlib import Path

_HERE = Path(__file__).resolve().parents[1] / "vehicles"

SHORT_ARMS = _HERE / "short-arms.toml"
"""Called Teasel: arms of 150 mm from channel, hard leaves, little travel."""

LOW_NOSE = _HERE / "low-nose.toml"
"""Called Wren: short, its sprocket low in front."""

LOW_BELLY = _HERE / "low-belly.toml"
"""Called Barrow: small wheels, its belly low."""
