"""Changing the vehicle's numbers while watching: the list of fields, nudging, saving to a new file."""

from __future__ import annotations

import math
import os
import tempfile
from pathlib import Path
from typing import Any

import tomlkit

from trundle.errors import InputError, Problem
from trundle.spec.lines import Path_
from trundle.spec.reader import dotted, read_text
from trundle.spec.short import self_contained
from trundle.spec.vehicle import Vehicle, vehicle_from


def plain(node: Any) -> Any:
    """A dump of a spec as TOML has it: lists for tuples, nothing that is None."""
    if isinstance(node, dict):
        return {k: plain(v) for k, v in node.items() if v is not None}
    if isinstance(node, (list, tuple)):
        return [plain(v) for v in node]
    return node


def written(vehicle: Vehicle) -> dict[str, Any]:
    """The fields the builder wrote, as tables."""
    data: dict[str, Any] = plain(vehicle.model_dump(exclude_unset=True))
    return data


def numbers(vehicle: Vehicle) -> dict[str, float]:
    """Every numeric field with its value, by path as `--set` has it, entries of lists counted from 1, those left to
    their defaults too: `hull.mass_kg`, `hull.com_mm[1]`, `bogie.front.spring.thickness_mm`."""
    out: dict[str, float] = {}

    def walk(node: Any, path: Path_) -> None:
        if isinstance(node, dict):
            for k, v in node.items():
                walk(v, (*path, k))
        elif isinstance(node, list):
            for i, v in enumerate(node):
                walk(v, (*path, i))
        elif isinstance(node, (int, float)) and not isinstance(node, bool):
            out[dotted(path)] = node

    walk(plain(vehicle.model_dump()), ())
    return out


def steps(path: str) -> list[str | int]:
    """`hull.com_mm[1]` as ["hull", "com_mm", 0]: a number in brackets is an entry's, from 1; any other is a name."""
    out: list[str | int] = []
    for part in path.split("."):
        name, *entries = part.replace("]", "").split("[")
        out.append(name)
        out += [int(entry) - 1 for entry in entries]
    return out


def nudged(value: float, times: int, coarse: bool = False) -> float:
    """The value moved by a round step of about 2 % (coarse: 10 %); a whole number by at least one."""
    share = 0.1 if coarse else 0.02
    whole = isinstance(value, int)
    about = abs(value) * share if value else (1.0 if not coarse else 5.0)
    power = 10.0 ** math.floor(math.log10(about))
    step = power * min((k for k in (1.0, 2.0, 5.0, 10.0)), key=lambda k: abs(k * power - about))
    if whole:
        return int(value + times * max(1, round(step)))
    return float(f"{value + times * step:.10g}")


def changed(vehicle: Vehicle, changes: dict[str, float]) -> Vehicle:
    """The vehicle with some numbers changed. Raises InputError if it is no vehicle any more."""
    data = written(vehicle)
    for path, value in changes.items():
        _put(data, steps(path), value, plain(vehicle.model_dump()))
    return vehicle_from(data)


def _put(data: Any, path: list[str | int], value: float, whole: Any) -> None:
    """Set a value in nested tables; a list that was left to its default is filled in from `whole`."""
    for k, part in enumerate(path[:-1]):
        if isinstance(part, str) and part not in data:
            data[part] = [] if isinstance(path[k + 1], int) else {}
            if isinstance(whole, dict) and isinstance(whole.get(part), list):
                data[part] = list(whole[part])
        data = data[part]
        whole = whole[part] if whole is not None else None
    data[path[-1]] = value


def save(vehicle: Vehicle, changes: dict[str, float], original: Path | None, target: Path) -> None:
    """Write the changed vehicle to a new file. The original's comments and order are kept if there is one.

    Whole or not at all. Raises InputError if it cannot be written, or would overwrite the original.
    """
    changed(vehicle, changes)
    document: dict[str, Any] = (
        tomlkit.parse(self_contained(read_text(original), str(original)))
        if original is not None
        else tomlkit.item(written(vehicle))
    )
    if original is not None and target.exists() and target.samefile(original):
        raise InputError(Problem("is the original; save under another name", file=str(target)))
    for path, value in changes.items():
        _put(document, steps(path), value, plain(vehicle.model_dump()))
    text = tomlkit.dumps(document)
    try:
        handle, name = tempfile.mkstemp(dir=target.parent, prefix=f".{target.stem}-", suffix=".toml")
        try:
            with os.fdopen(handle, "w", encoding="utf-8") as part:
                part.write(text)
            Path(name).chmod(0o644)
            Path(name).replace(target)
        except BaseException:
            Path(name).unlink(missing_ok=True)
            raise
    except OSError as e:
        raise InputError(Problem(f"the vehicle cannot be written: {e.strerror or e}", file=str(target))) from None


def free_name(folder: Path, stem: str, suffix: str) -> Path:
    """`stem-1.toml`, `stem-2.toml`, ...: the first that is not there yet."""
    k = 1
    while (folder / f"{stem}-{k}{suffix}").exists():
        k += 1
    return folder / f"{stem}-{k}{suffix}"
