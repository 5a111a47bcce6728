"""What is changed on the bench: the file's tables, what is set on top of them, and all states so far."""

from __future__ import annotations

import shlex
from dataclasses import dataclass
from typing import Any

from trundle.errors import InputError
from trundle.spec.checks import check_vehicle
from trundle.spec.reader import set_values, validate
from trundle.spec.vehicle import Vehicle
from trundle_viewer import tweak
from trundle_viewer.bench.fields import Field, Value, listed, value_at, words

Settings = dict[str, Value]
"""Field paths and the values set on top of the file's, as `--set` has them."""


class Design:
    """A vehicle in the making. first: as it was opened, which all is held against.

    `now` has the settings of the moment, also while a hand moves; `keep` makes a state of them that undo comes back to.
    """

    def __init__(self, first: Vehicle, settings: Settings | None = None, tables: dict[str, Any] | None = None) -> None:
        """tables: what its file says, spelled out; None: as the vehicle was made."""
        self.first = first
        self.tables = tweak.written(first) if tables is None else tables
        self._first: dict[str, Value] = dict(listed(tweak.plain(first.model_dump())))
        self._fields: dict[str, list[Field]] = {}
        self._states: list[Settings] = [{}]
        self._at = 0
        self.now: Settings = {}
        if settings:
            self.now = self._without_idle(settings)
            self.keep()

    def fields(self, table: str) -> list[Field]:
        """The numbers of a table and of all tables in it, a point's one by one; defaults too, of tables that are
        written."""
        if table not in self._fields:
            self._fields[table] = self._found(table)
        return self._fields[table]

    def _found(self, table: str) -> list[Field]:
        """How it is made comes last: it changes nothing of how it stands."""
        found: list[Field] = []
        for path, value in sorted(self._first.items(), key=lambda item: f"{table}.build." in item[0]):
            if not path.startswith(f"{table}."):
                continue
            try:
                value_at(self.tables, path)
            except (InputError, KeyError, IndexError, ValueError):
                if not self._can_be_set(path):
                    continue
            found += [Field(path, k) for k in (0, 1)] if isinstance(value, tuple) else [Field(path)]
        return found

    def _can_be_set(self, path: str) -> bool:
        """Whether a field that is not written could be: its table is there."""
        try:
            return isinstance(value_at(self.tables, path.rpartition(".")[0]), dict)
        except (InputError, KeyError, IndexError, ValueError):
            return False

    def value(self, path: str) -> Value:
        """A field's value now."""
        return self.now[path] if path in self.now else self.at_first(path)

    def at_first(self, path: str) -> Value:
        """Its value in the vehicle as it was opened. Raises KeyError for one that had none."""
        return self._first[path]

    def number(self, field: Field) -> float:
        """One number's value now."""
        return _part(self.value(field.path), field.axis)

    def number_at_first(self, field: Field) -> float:
        """The same as it was opened."""
        return _part(self.at_first(field.path), field.axis)

    def with_number(self, field: Field, value: float) -> Settings:
        """The settings now with one number set."""
        if field.axis is None:
            return self.with_values({field.path: value})
        x, y = self.value(field.path)  # type: ignore[misc]
        return self.with_values({field.path: (value, y) if field.axis == 0 else (x, value)})

    def with_values(self, values: Settings) -> Settings:
        """The settings now with some fields set."""
        return self._without_idle({**self.now, **values})

    def without(self, path: str) -> Settings:
        """The settings now with a field as it was opened."""
        return {p: v for p, v in self.now.items() if p != path}

    def _without_idle(self, settings: Settings) -> Settings:
        """Less those that say what the file says."""
        return {p: v for p, v in settings.items() if not self._is_first(p, v)}

    def _is_first(self, path: str, value: Value) -> bool:
        return self._first.get(path) == value  # one that has none yet is changed by any

    def readable(self, settings: Settings) -> Vehicle:
        """The vehicle with these settings, each field by itself right. Raises InputError."""
        data = set_values(self.tables, plain(settings))
        return validate(Vehicle, data, "")

    def propose(self, settings: Settings) -> Vehicle:
        """Take these settings as they are now. Raises InputError where a field cannot be so, and takes nothing."""
        vehicle = self.readable(settings)
        self.now = settings
        return vehicle

    def keep(self) -> bool:
        """Make what is now a state of its own. False if nothing has changed since the last."""
        if self.now == self._states[self._at]:
            return False
        self._states = [*self._states[: self._at + 1], dict(self.now)]
        self._at += 1
        return True

    def drop(self) -> None:
        """Back to the last state that was kept."""
        self.now = dict(self._states[self._at])

    def undo(self) -> bool:
        """To the state before; False if there is none."""
        return self._go(self._at - 1)

    def redo(self) -> bool:
        """To the state that was left by undo."""
        return self._go(self._at + 1)

    def _go(self, to: int) -> bool:
        if not 0 <= to < len(self._states):
            return False
        self._at = to
        self.drop()
        return True

    def reset(self) -> None:
        """All fields as they were opened: a state of its own."""
        self.now = {}
        self.keep()

    def changes(self) -> list[str]:
        """`bogie.front.at_mm 1520, 0 to 1500, 0`, in the order in which they were made."""
        return [f"{path} {self._before(path)} to {words(value)}" for path, value in self.now.items()]

    def _before(self, path: str) -> str:
        return words(self._first[path]) if path in self._first else "(not there)"

    def options(self) -> str:
        """The changes as options of the command line: `--set bogie.front.arm_mm=210`."""
        return " ".join(f"--set {shlex.quote(f'{path}={_toml(value)}')}" for path, value in self.now.items())


def _part(value: Value, axis: int | None) -> float:
    if isinstance(value, tuple):
        assert axis is not None
        return value[axis]
    return value


def plain(settings: Settings) -> dict[str, Any]:
    """As the reader takes them: points as lists."""
    return {path: list(value) if isinstance(value, tuple) else value for path, value in settings.items()}


def _toml(value: Value) -> str:
    return f"[{value[0]:g},{value[1]:g}]" if isinstance(value, tuple) else f"{value:.10g}"


def faults(vehicle: Vehicle) -> None:
    """Raises InputError if parts of a vehicle are in each other's way, or contradict each other."""
    if problems := check_vehicle(vehicle):
        raise InputError(problems)


@dataclass(frozen=True)
class Twin:
    """A field of another bogie that is alike. axes: of a point, which of its two numbers are; empty for a number."""

    path: str
    axes: tuple[int, ...] = ()


def twins(design: Design, vehicle: Vehicle, path: str) -> list[Twin]:
    """The same field of every other bogie of the same kind where it has the same value (of a point: at least one)."""
    parts = path.split(".")
    if parts[0] != "bogie" or len(parts) < 3:
        return []
    name, value = parts[1], design.value(path)
    found = []
    for other, bogie in vehicle.bogie.items():
        if other == name or bogie.kind_name() != vehicle.bogie[name].kind_name():
            continue
        there = ".".join(["bogie", other, *parts[2:]])
        try:
            its = design.value(there)
        except KeyError:
            continue  # its spring is of another kind, or it has no such table
        if isinstance(value, tuple) and isinstance(its, tuple):
            if axes := tuple(k for k in (0, 1) if its[k] == value[k]):
                found.append(Twin(there, axes))
        elif its == value:
            found.append(Twin(there))
    return found


def followed(design: Design, alike: list[Twin], value: Value) -> Settings:
    """What the twins become where their field gets a value."""
    out: Settings = {}
    for twin in alike:
        if isinstance(value, tuple):
            its = design.value(twin.path)
            assert isinstance(its, tuple)
            x, y = (value[k] if k in twin.axes else its[k] for k in (0, 1))
            out[twin.path] = (x, y)
        else:
            out[twin.path] = value
    return out
