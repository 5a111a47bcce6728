"""Walks a spec class along a field path: which fields stand there, of which type."""

from __future__ import annotations

import types
from collections.abc import Iterator, Mapping
from typing import Annotated, Any, Union, get_args, get_origin

from pydantic import BaseModel


def model_at(kind: Any, node: Any) -> type[BaseModel] | None:
    """The spec class that a value `node` of declared type `kind` belongs to, if any.

    A union of kinds is resolved by the `kind` field that the builder wrote.
    """
    origin = get_origin(kind)
    if origin is Annotated:
        return model_at(get_args(kind)[0], node)
    if origin in (Union, types.UnionType):
        options = [m for a in get_args(kind) if (m := model_at(a, node)) is not None]
        tag = node.get("kind") if isinstance(node, Mapping) else None
        for m in options:
            field = m.model_fields.get("kind")
            if field is not None and tag in get_args(field.annotation):
                return m
        return options[0] if len(options) == 1 else None
    if isinstance(kind, type) and issubclass(kind, BaseModel):
        return kind
    return None


def element_type(kind: Any) -> Any:
    """Type of what a list, tuple or table of `kind` holds, else None."""
    origin = get_origin(kind)
    if origin is Annotated:
        return element_type(get_args(kind)[0])
    if origin in (Union, types.UnionType):
        for a in get_args(kind):
            if (e := element_type(a)) is not None:
                return e
        return None
    args = get_args(kind)
    if origin in (tuple, list) and args:
        return args[0]
    if origin is not None and isinstance(origin, type) and issubclass(origin, Mapping) and len(args) == 2:
        return args[1]
    return None


def fields_at(kind: Any, path: tuple[str | int, ...], node: Any) -> list[str]:
    """Names of the fields allowed in the table at `path` below a value `node` of type `kind`."""
    model = table_at(kind, path, node)
    return list(model.model_fields) if model is not None else []


def table_at(kind: Any, path: tuple[str | int, ...], node: Any) -> type[BaseModel] | None:
    """The spec class of that table; None if it is none, or of an unknown kind."""
    declared, there = _declared_at(kind, path, node)
    return model_at(declared, there)


def kinds_at(kind: Any, path: tuple[str | int, ...], node: Any) -> tuple[type[BaseModel], ...]:
    """The spec classes of which the table at that path may be one."""
    return tuple(_tables_in(_declared_at(kind, path, node)[0]))


def _tables_in(declared: Any) -> Iterator[type[BaseModel]]:
    if isinstance(declared, type) and issubclass(declared, BaseModel):
        yield declared
    elif get_origin(declared) in (Annotated, Union, types.UnionType):
        for inner in get_args(declared):
            yield from _tables_in(inner)


def _declared_at(kind: Any, path: tuple[str | int, ...], node: Any) -> tuple[Any, Any]:
    """The declared type at the end of a path, None if there is none, and the value there."""
    for part in path:
        child = node[part] if _has(node, part) else None
        if isinstance(kind, type) and issubclass(kind, BaseModel) and part in kind.model_fields:
            kind = kind.model_fields[str(part)].annotation
        elif (model := model_at(kind, node)) is not None and part in model.model_fields:
            kind = model.model_fields[str(part)].annotation
        elif (element := element_type(kind)) is not None:
            kind = element
        else:
            return None, None
        node = child
    return kind, node


def _has(node: Any, part: str | int) -> bool:
    if isinstance(node, Mapping):
        return part in node
    return isinstance(node, (list, tuple)) and isinstance(part, int) and 0 <= part < len(node)
