"""The numbers of a vehicle's tables by their field paths, as `--set` names them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from pydantic import BaseModel
from pydantic.fields import FieldInfo

from trundle.fields import quantity
from trundle.spec.reader import matching_paths, node_at

Number = float
"""A whole number stays one."""

Point = tuple[float, float]
Value = Number | Point
"""What can be changed on the bench; a steel or a kind can be set beforehand, and stays as it is."""

AXES = ("forward", "up")


@dataclass(frozen=True)
class Field:
    """A number of a table, or one of the two of a point. path: as `--set` has it; axis: which of a point's, None for a
    plain number."""

    path: str
    axis: int | None = None

    @property
    def table(self) -> str:
        """The path of the table that it is in."""
        return self.path.rpartition(".")[0]

    @property
    def name(self) -> str:
        """`at_mm forward`."""
        name = self.path.rpartition(".")[2]
        return name if self.axis is None else f"{name} {AXES[self.axis]}"


def listed(node: Any, path: str = "") -> Iterator[tuple[str, Value]]:
    """Every number and point below a table, by path; an entry of a list by its number, from 1."""
    if isinstance(node, dict):
        for key, inner in node.items():
            yield from listed(inner, f"{path}.{key}" if path else key)
    elif isinstance(node, list):
        if len(node) == 2 and all(is_number(v) for v in node):
            yield path, (node[0], node[1])
            return
        for k, inner in enumerate(node, 1):
            yield from listed(inner, f"{path}.{k}")
    elif is_number(node):
        yield path, node


def is_number(value: Any) -> bool:
    """A number, and not true or false."""
    return isinstance(value, (int, float)) and not isinstance(value, bool)


def value_at(tables: dict[str, Any], path: str) -> Any:
    """What stands there. Raises InputError, KeyError or IndexError if nothing does."""
    (at,) = matching_paths(tables, path)
    return node_at(tables, at)


def unit_of(path: str) -> str:
    """The unit in which a field is written, by its name: `mm` of `arm_mm`, `N/mm` of `rate_N_per_mm`; or nothing."""
    return quantity.unit_of(next(part for part in reversed(path.split(".")) if not part.isdigit())) or ""


def words(value: Value) -> str:
    """`1520, 0`."""
    if isinstance(value, tuple):
        return ", ".join(words(v) for v in value)
    return f"{value:g}".replace("-", "\N{MINUS SIGN}") if is_number(value) else str(value)


def info_of(table: BaseModel, path: str) -> FieldInfo | None:
    """What a field's class says of it; None if there is no such field."""
    node: object = table
    *way, name = path.split(".")
    for part in way:
        if isinstance(node, BaseModel):
            node = getattr(node, part, None)
        elif isinstance(node, dict):
            node = node.get(part)
        elif isinstance(node, tuple) and part.isdigit() and 0 < int(part) <= len(node):
            node = node[int(part) - 1]
        else:
            return None
    return type(node).model_fields.get(name) if isinstance(node, BaseModel) else None
