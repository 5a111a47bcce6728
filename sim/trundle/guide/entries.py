"""The guide's entries, one for each field of each table: made from the fields themselves, never written twice."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache, cached_property

from trundle.fields.docs import Doc, field_doc
from trundle.fields.quantity import unit_of
from trundle.guide import allowed
from trundle.guide.tables import ANY, Table, models_in, tables


@dataclass(frozen=True)
class Entry:
    """A field of a table."""

    table: Table
    name: str

    @property
    def path(self) -> str:
        """As a builder types it: hull.com_mm, bogie.*.spring.width_mm."""
        return f"{self.table.path}.{self.name}" if self.table.path else self.name

    @property
    def paths(self) -> list[str]:
        """Of every place where its table stands."""
        return [f"{p}.{self.name}" if p else self.name for p in self.table.paths]

    @property
    def asked(self) -> str:
        """The words that ask for this entry and no other."""
        if self.table.family or not self.table.path:
            return f"{self.table.name}.{self.name}"
        return ".".join(p for p in self.path.split(".") if p != ANY)

    @property
    def anchor(self) -> str:
        """Its name in links."""
        return f"{self.table.anchor}-{self.name}"

    @cached_property
    def doc(self) -> Doc:
        """What its docstring says; of the kind's name what the kind is."""
        said = field_doc(self.table.kind, self.name)
        if self.name == "kind" and self.table.family and not said.what:
            first = self.table.doc.what.partition(". ")[0].rstrip(".")
            said = Doc(f"Says which kind of {self.table.family} the table is: {first[:1].lower()}{first[1:]}.")
        return said

    @property
    def holds(self) -> tuple[Table, ...]:
        """The tables that may stand in it."""
        inner = models_in(self.table.kind.model_fields[self.name].annotation)
        return tuple(t for t in tables() if t.kind in inner)

    @property
    def unit(self) -> str:
        """mm, N/mm, ...; empty for a bare number or a text."""
        return unit_of(self.name) or ""

    @property
    def allowed(self) -> str:
        """What it takes."""
        return allowed.allowed(self.table.kind.model_fields[self.name], self.unit)

    @property
    def left_out(self) -> str:
        """What it means to leave it out."""
        return allowed.left_out(self.table.kind.model_fields[self.name])

    @property
    def change(self) -> str:
        """By what a builder changes it; empty for what is no dimension."""
        return allowed.change(self.table.kind.model_fields[self.name], self.unit)


@cache
def entries() -> tuple[Entry, ...]:
    """All of them, in the order of the file."""
    return tuple(e for t in tables() for e in entries_of(t))


def entries_of(table: Table) -> tuple[Entry, ...]:
    """Of one table, its kind first, then what must be given, then the rest, each in the class's order."""
    fields = table.kind.model_fields
    order = sorted(fields, key=lambda n: (n != "kind", not fields[n].is_required()))
    return tuple(Entry(table, n) for n in order)


def entry_for(path: str, kind: str = "") -> Entry | None:
    """The entry of a field as an error or --set names it: `bogie.front.spring.width_mm`, `obstacle.2.height_mm`,
    `track.roller[1].at_mm`. kind: of the table, where several have the field. None if no field stands there."""
    parts = tuple(path.replace("[", ".").replace("]", "").split("."))
    found = [e for e in entries() if any(fits(parts, p) for p in e.paths)]
    return next((e for e in found if e.table.name == kind), found[0] if found else None)


def fits(parts: Sequence[str], path: str) -> bool:
    """Whether a path as typed is this one: names in the place of the stars, or without them."""
    return _fits(tuple(parts), tuple(path.split(".")))


def _fits(parts: tuple[str, ...], path: tuple[str, ...]) -> bool:
    if not parts or not path:
        return not parts and all(p == ANY for p in path)
    if path[0] == ANY:
        return _fits(parts, path[1:]) or _fits(parts[1:], path[1:])
    return parts[0] == path[0] and _fits(parts[1:], path[1:])
