"""What is not the same in two files' tables."""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import Any


def differences(then: Any, here: Any, path: str = "") -> list[str]:
    """`hull.mass_kg 300 -> 310` for every value that is not the same."""
    if isinstance(then, Mapping) and isinstance(here, Mapping):
        keys = list(dict.fromkeys([*then, *here]))
        pairs = [(f"{path}.{k}" if path else str(k), then.get(k), here.get(k)) for k in keys]
    elif isinstance(then, list) and isinstance(here, list):
        size = max(len(then), len(here))
        pairs = [
            (
                f"{path}.{i + 1}",
                then[i] if i < len(then) else None,
                here[i] if i < len(here) else None,
            )
            for i in range(size)
        ]
    else:
        same = then == here if _number(then) and _number(here) else _text(then) == _text(here)
        return [] if same else [f"{path} {_shown(then)} -> {_shown(here)}"]
    return [line for at, a, b in pairs for line in differences(a, b, at)]


def _number(value: Any) -> bool:
    return isinstance(value, (int, float)) and not isinstance(value, bool)


def _text(value: Any) -> str:
    return json.dumps(value, default=str)


def _shown(value: Any) -> str:
    if value is None:
        return "(not there)"
    text = _text(value)
    return text if len(text) <= 60 else text[:57] + "..."
