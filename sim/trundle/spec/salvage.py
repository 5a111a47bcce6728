"""A table from what is right in it: the rest from a table of the same kind beside it, or from the table's example."""

from __future__ import annotations

import difflib
import tomllib
from collections.abc import Mapping, Sequence
from typing import Any, TypeVar, cast, get_args

from annotated_types import MaxLen
from pydantic import ValidationError
from pydantic.fields import FieldInfo

from trundle.errors import LONGEST_SLIP
from trundle.fields.base import Spec
from trundle.fields.walk import element_type, model_at
from trundle.spec.lines import Path_
from trundle.spec.vehicle import Vehicle

T = TypeVar("T", bound=Spec)

Beside = Sequence[tuple[Path_, Spec]]

PLACES = ("at_mm",)
"""Fields that no two tables of a kind have alike: two parts would lie on each other."""


def salvaged(data: Mapping[str, Any]) -> tuple[Vehicle, frozenset[Path_]]:
    """The vehicle of these tables, and the paths of the fields whose values are not theirs."""
    work = _Salvage()
    vehicle = work.table(Vehicle, data, ())
    bogies = {}
    for name, bogie in vehicle.bogie.items():
        if bogie.wheel not in vehicle.wheel:
            work.supplied.add(("bogie", name, "wheel"))
            bogie = bogie.model_copy(update={"wheel": next(iter(vehicle.wheel))})
        bogies[name] = bogie
    return vehicle.model_copy(update={"bogie": bogies}), frozenset(work.supplied)


class _Salvage:
    def __init__(self) -> None:
        self.supplied: set[Path_] = set()

    def table(self, kind: type[T], node: Any, at: Path_, beside: Beside = ()) -> T:
        """One of `kind`. beside: those that stand in the same list or table, with their paths."""
        given = dict(node) if isinstance(node, Mapping) else {}
        self._spelt(kind, given)
        values: dict[str, Any] = {}
        for name, field in kind.model_fields.items():
            if name in given:
                values[name] = self._value(field, given[name], (*at, name))
            elif field.is_required():
                values[name] = self._supply(kind, name, at, beside)
        return self._made(kind, values, at, beside)

    def _made(self, kind: type[T], values: dict[str, Any], at: Path_, beside: Beside) -> T:
        """With each value that is refused taken from elsewhere, or left out where it may be."""
        for _ in range(2):
            try:
                return kind.model_validate(values)
            except ValidationError as e:
                refused = {str(err["loc"][0]) for err in e.errors(include_url=False) if err["loc"]}
                # Tables in it have been made here: what is wrong with them now is that they contradict themselves.
                refused -= {name for name, value in values.items() if _holds_tables(value)}
                if not refused:
                    break
                for name in refused & set(kind.model_fields):
                    del values[name]
                    if kind.model_fields[name].is_required() or name in tomllib.loads(kind.EXAMPLE):
                        values[name] = self._supply(kind, name, at, beside)
                    else:
                        self.supplied.add((*at, name))
        # Its values are right one by one, and contradict each other.
        return cast("T", kind.model_construct(**{name: _frozen(value) for name, value in values.items()}))

    def _value(self, field: FieldInfo, node: Any, at: Path_) -> Any:
        """What a field holds: tables are made here, anything else is left to be checked with its table."""
        declared = field.annotation
        if (kind := _kind_of(declared, node)) is not None:
            return self.table(kind, node, at)
        element = element_type(declared)
        if not _kinds(element):
            return node
        if isinstance(node, Mapping):
            return dict(list(self._entries(element, node, at).items())[: _most(field)])
        if isinstance(node, (list, tuple)):
            return tuple(self._entries(element, dict(enumerate(node)), at).values())[: _most(field)]
        return node

    def _entries(self, element: Any, nodes: Mapping[Any, Any], at: Path_) -> dict[Any, Spec]:
        """Tables of one field, those that lack something made again with what the others have."""
        kinds = {k: _kind_of(element, n) for k, n in nodes.items() if isinstance(n, Mapping)}
        made = {k: self.table(kind, nodes[k], (*at, k)) for k, kind in kinds.items() if kind is not None}
        for k in list(made):
            if any(s[: len(at) + 1] == (*at, k) for s in self.supplied):
                others = [((*at, o), table) for o, table in made.items() if o != k]
                made[k] = self.table(type(made[k]), nodes[k], (*at, k), others)
        return made

    def _supply(self, kind: type[Spec], name: str, at: Path_, beside: Beside) -> Any:
        """A value from elsewhere."""
        self.supplied.add((*at, name))
        if name not in PLACES:
            for path, other in beside:
                if type(other) is kind and (*path, name) not in self.supplied:
                    return getattr(other, name)
        field = kind.model_fields[name]
        example = tomllib.loads(kind.EXAMPLE)
        if name in example:
            return self._value(field, example[name], (*at, name))
        if (table := _kind_of(field.annotation, {})) is not None:
            return self.table(table, tomllib.loads(table.EXAMPLE), (*at, name))
        raise KeyError(f"{kind.__name__}.{name} is in no example")

    def _spelt(self, kind: type[Spec], given: dict[str, Any]) -> None:
        """Takes fields that the kind does not have out of `given`; what is a slip of the pen for one that is missing
        counts as that."""
        missing = [n for n in kind.model_fields if n not in given]
        for name in [n for n in given if n not in kind.model_fields]:
            value = given.pop(name)
            near = difflib.get_close_matches(name, missing, n=1) if len(name) <= LONGEST_SLIP else []
            if near:
                given[near[0]] = value


def _frozen(value: Any) -> Any:
    """Lists as tables hold them."""
    return tuple(map(_frozen, value)) if isinstance(value, list) else value


def _holds_tables(value: Any) -> bool:
    inside = value.values() if isinstance(value, dict) else value if isinstance(value, tuple) else (value,)
    return any(isinstance(v, Spec) for v in inside)


def _kinds(declared: Any) -> list[type[Spec]]:
    """The tables that a value of a declared type may be."""
    if isinstance(declared, type):
        return [declared] if issubclass(declared, Spec) else []
    return [k for a in get_args(declared) for k in _kinds(a)]


def _most(field: FieldInfo) -> int | None:
    """How many a list or table may hold."""
    return next((m.max_length for m in field.metadata if isinstance(m, MaxLen)), None)


def _kind_of(declared: Any, node: Any) -> type[Spec] | None:
    """The table that a value is meant to be, also where its `kind` is misspelt or left out: the one that has most of
    its fields. None where no table is wanted."""
    found = model_at(declared, node)
    if found is not None:
        return found if issubclass(found, Spec) else None
    if element_type(declared) is not None:
        return None
    options = _kinds(declared)
    if not options:
        return None
    names = set(node) if isinstance(node, Mapping) else set()
    said = str(names and node.get("kind", ""))
    by_name = {str(get_args(k.model_fields["kind"].annotation)[0]): k for k in options if "kind" in k.model_fields}
    if near := difflib.get_close_matches(said[:LONGEST_SLIP], by_name, n=1):
        return by_name[near[0]]
    return max(options, key=lambda k: len(names & set(k.model_fields)))
