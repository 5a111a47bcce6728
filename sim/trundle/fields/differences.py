"""What is not the same in two files' tables."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any


@dataclass(frozen=True)
class Difference:
    """One value that is not the same. path: `bogie.front.arm_mm`, entries of lists from 1; None: it is not there."""

    path: str
    then: Any
    here: Any

    @property
    def words(self) -> str:
        """`hull.mass_kg 310 instead of 300`: how `here` differs."""
        return f"{self.path} {value_said(self.here)} instead of {value_said(self.then)}"


def found(then: Any, here: Any, path: str = "") -> list[Difference]:
    """Every value that is not the same in two files' tables."""
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
        return [] if same else [Difference(path, then, here)]
    return [one for at, a, b in pairs for one in found(a, b, at)]


def shared(then: Any, here: Any, path: str = "") -> list[Difference]:
    """The same; what all tables beside each other have alike stands once, under `*`: `bogie.*.arm_mm`. Lists whole."""
    if not isinstance(then, Mapping) or not isinstance(here, Mapping):
        return found(then, here, path) if not isinstance(then, list) else _whole(then, here, path)
    keys = list(dict.fromkeys([*then, *here]))
    each = {k: shared(then.get(k), here.get(k)) for k in keys}
    alike = list(each.values())
    tables = all(isinstance(side.get(k), Mapping) for side in (then, here) for k in keys)
    if tables and len(keys) > 1 and alike[0] and all(one == alike[0] for one in alike[1:]):
        each = {"*": alike[0]}
    begin = f"{path}." if path else ""
    return [
        Difference(f"{begin}{k}.{one.path}" if one.path else f"{begin}{k}", one.then, one.here)
        for k, ones in each.items()
        for one in ones
    ]


def _whole(then: Any, here: Any, path: str) -> list[Difference]:
    return [Difference(path, then, here)] if found(then, here) else []


MANY = 12
"""Of more fields that differ it says nothing to name some: it is another vehicle."""


def spoken(differences: Sequence[Difference], most: int = 6) -> str:
    """`hull.mass_kg 310 instead of 300, ... and 3 fields more`; of very many `188 fields differ`."""
    if len(differences) > MANY:
        return f"{len(differences)} fields differ"
    words = [one.words for one in differences[:most]]
    left = len(differences) - len(words)
    more = f" and {left} {'field' if left == 1 else 'fields'} more" if left else ""
    return ", ".join(words) + more


def differences(then: Any, here: Any, path: str = "") -> list[str]:
    """`hull.mass_kg 300 -> 310` for every value that is not the same."""
    return [f"{one.path} {_shown(one.then)} -> {_shown(one.here)}" for one in found(then, here, path)]


def _number(value: Any) -> bool:
    return isinstance(value, (int, float)) and not isinstance(value, bool)


def _text(value: Any) -> str:
    return json.dumps(value, default=str)


def _shown(value: Any) -> str:
    if value is None:
        return "(not there)"
    text = _text(value)
    return text if len(text) <= 60 else text[:57] + "..."


def value_said(value: Any) -> str:
    """As one says it: a number without its dead noughts, a table by its kind."""
    if value is None:
        return "none"
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, (int, float)):
        return f"{value:.6g}"
    if isinstance(value, Mapping):
        return f'"{value["kind"]}"' if isinstance(value.get("kind"), str) else "a table"
    text = f"[{', '.join(map(value_said, value))}]" if isinstance(value, (list, tuple)) else str(value)
    return text if len(text) <= 40 else text[:37] + "..."
