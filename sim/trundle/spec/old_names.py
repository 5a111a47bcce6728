"""What fields were called in earlier files: read as what they are called now, with one line on what to change."""

from __future__ import annotations

import warnings
from collections.abc import Mapping
from typing import Any

from trundle.spec.lines import keys_set

NOW = {
    "bump_deg": "bump_below_level_deg",
    "droop_deg": "droop_below_level_deg",
    "bump_axle_mm": "bump_axle_above_pivot_mm",
    "droop_axle_mm": "droop_axle_above_pivot_mm",
}
"""Old name to the one of now. None of the old ones may be part of a name of now."""


class OldNameWarning(FutureWarning):
    """A file or path has a name of before. Said on stderr by the command line, once."""


def modern(text: str, file: str) -> str:
    """A TOML text with the names of now, every line where it was; comments and values are left alone.

    Warns, once for the text, with the first line and all that is to be changed.
    """
    if not any(old in text for old in NOW):
        return text
    parts: list[str] = []
    found: dict[str, None] = {}
    done = first = 0
    for old, start, end in keys_set(text):
        if old not in NOW:
            continue
        parts += [text[done:start], NOW[old]]
        found[old] = None
        done = end
        first = first or text.count("\n", 0, start) + 1
    if not found:
        return text
    _warn(f"{file}:{first}" if file else f"line {first}", found)
    return "".join([*parts, text[done:]])


def modern_path(path: str) -> str:
    """A field path with the names of now: `bogie.*.stops.bump_deg`. Warns where it has another."""
    if not any(old in path for old in NOW):
        return path
    if found := dict.fromkeys(w for w in path.split(".") if w in NOW):
        _warn(path, found)
    return _renamed(path)


def modern_tables(node: Any) -> Any:
    """Tables (also of settings, by path) that an earlier Trundle kept, with the names of now; without a word."""
    if isinstance(node, Mapping):
        return {_renamed(k): modern_tables(v) for k, v in node.items()}
    return [modern_tables(v) for v in node] if isinstance(node, list) else node


def _renamed(path: str) -> str:
    return ".".join(NOW.get(word, word) for word in path.split("."))


def _warn(where: str, old: Mapping[str, None]) -> None:
    said = ", ".join(f"{name} is now called {NOW[name]}" for name in old)
    works = "the old names still work" if len(old) > 1 else "the old name still works"
    warnings.warn(f"{where}: {said}; {works}", OldNameWarning, stacklevel=3)
