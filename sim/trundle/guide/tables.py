"""Every table that may stand in a builder's file, found by walking the classes of a vehicle and a course."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache, cached_property
from typing import Annotated, Any, Literal, get_args, get_origin

from trundle.fields.base import Spec
from trundle.fields.docs import Doc, table_doc
from trundle.spec.course import Course
from trundle.spec.short import ROWS, Row
from trundle.spec.vehicle import Vehicle

ANY = "*"
"""Stands in a path for a name that the builder gives, or for an entry's number."""

STAND_INS = {"wheel": "road", "bogie": "front"}
"""Names that stand for any in what is to be pasted."""

FAMILIES = {
    "bogie": "What carries road wheels: arms, beams and the springs on them. One table each, under a name of yours.",
    "spring": "What holds a bogie's arms down: one for each arm, or one across both arms of a pair.",
    "pad": "The pads of an arm's stops, as they are made or were measured; in place of one rate.",
    "obstacle": "What lies on a course. One [[obstacle]] table each, in the order in which they are met.",
    "driver": "What the driver is told to do beside driving on. One [[driver]] table each, in their order.",
}
"""What each family of kinds is."""

ROOTS: dict[type[Spec], str] = {Vehicle: "vehicle", Course: "course"}


@dataclass(frozen=True)
class Table:
    """A table of a file. name: what a builder calls it ("hull", "leaf across"); family: of what it is one kind
    ("spring"), empty if it has no other kinds; paths: where it may stand (`bogie.*.spring`); file: the root's name;
    many: it stands in a list ([[obstacle]])."""

    kind: type[Spec]
    name: str
    family: str
    paths: tuple[str, ...]
    file: str
    many: bool

    @property
    def path(self) -> str:
        """Where it stands first; empty for the file itself."""
        return self.paths[0]

    @property
    def anchor(self) -> str:
        """Its name in links."""
        return (f"{self.family}-{self.name}" if self.family else self.name).replace(" ", "-").replace(".", "-")

    @cached_property
    def doc(self) -> Doc:
        """What its docstring says."""
        return table_doc(self.kind)

    @property
    def header(self) -> str:
        """The line that begins it in a file: [bogie.front.spring], [[obstacle]]; empty for the file itself."""
        parts = self.path.split(".") if self.path else []
        if self.many:
            parts = parts[:-1]
        filled = [STAND_INS.get(before, "1") if p == ANY else p for before, p in zip(["", *parts], parts, strict=False)]
        name = ".".join(filled)
        return "" if not name else f"[[{name}]]" if self.many else f"[{name}]"

    @property
    def example(self) -> str:
        """As a builder would write it, with its header; empty where nobody has given one."""
        body = self.kind.EXAMPLE.strip("\n")
        return "\n".join(line for line in (self.header, body) if line) if body else ""

    @cached_property
    def object(self) -> Spec:
        """Its example, read. Raises NotImplementedError where there is none."""
        if not self.kind.EXAMPLE:
            raise NotImplementedError(f"{self.kind.__name__} has no EXAMPLE")
        return self.kind.model_validate(tomllib.loads(self.kind.EXAMPLE))


@dataclass(frozen=True)
class _Found:
    kind: type[Spec]
    family: str
    path: str
    file: str
    many: bool


@cache
def tables() -> tuple[Table, ...]:
    """All of them, in the order of the file: a vehicle's, then a course's."""
    found: dict[type[Spec], list[_Found]] = {}
    for root, name in ROOTS.items():
        rows = (_Found(Row, "", f"{ROWS}.{ANY}", name, True),) if root is Vehicle else ()
        for one in (*_walk(root, "", "", name, False), *rows):
            found.setdefault(one.kind, []).append(one)
    names = {kind: _name(places[0]) for kind, places in found.items()}
    twice = {n for n in names.values() if list(names.values()).count(n) > 1}
    made = []
    for kind, places in found.items():
        name = names[kind]
        if name in twice:
            name = ".".join([p for p in places[0].path.split(".") if p != ANY][-2:])
        first = places[0]
        made.append(
            Table(kind, name, first.family, tuple(dict.fromkeys(p.path for p in places)), first.file, first.many)
        )
    return tuple(made)


@cache
def families() -> dict[str, tuple[Table, ...]]:
    """The kinds of each family: bogie, spring, pad, obstacle, driver."""
    found: dict[str, list[Table]] = {}
    for table in tables():
        if table.family:
            found.setdefault(table.family, []).append(table)
    return {family: tuple(kinds) for family, kinds in found.items()}


def family_doc(family: str) -> Doc:
    """What the class says that all kinds of a family derive from."""
    kinds = [t.kind for t in families()[family]]
    return table_doc(next(c for c in kinds[0].__mro__ if issubclass(c, Spec) and all(issubclass(k, c) for k in kinds)))


def models_in(annotation: Any) -> tuple[type[Spec], ...]:
    """The tables that a field of this type may hold."""
    if isinstance(annotation, type):
        return (annotation,) if issubclass(annotation, Spec) else ()
    return tuple(dict.fromkeys(m for a in get_args(annotation) for m in models_in(a)))


def _name(found: _Found) -> str:
    if found.family:
        return str(get_args(found.kind.model_fields["kind"].annotation)[0])
    parts = [p for p in found.path.split(".") if p and p != ANY]
    return parts[-1] if parts else found.file


def _walk(kind: type[Spec], family: str, path: str, file: str, many: bool) -> Iterator[_Found]:
    yield _Found(kind, family, path, file, many)
    for name, field in kind.model_fields.items():
        models = models_in(field.annotation)
        if not models:
            continue
        below = f"{path}.{name}" if path else name
        holder = _holder(field.annotation)
        if holder is not None:
            below += f".{ANY}"
        kinds = all(_is_kind(m) for m in models)
        for model in models:
            yield from _walk(model, name if kinds else "", below, file, holder is tuple)


def _is_kind(model: type[Spec]) -> bool:
    field = model.model_fields.get("kind")
    return field is not None and get_origin(field.annotation) is Literal and len(get_args(field.annotation)) == 1


def _holder(annotation: Any) -> type | None:
    """tuple or dict, if a field of this type holds several tables."""
    origin = get_origin(annotation)
    if origin in (tuple, dict):
        return tuple if origin is tuple else dict
    inner = get_args(annotation)[:1] if origin is Annotated else get_args(annotation)
    return next((h for a in inner if (h := _holder(a)) is not None), None)
