"""What a builder could change of a vehicle, one thing at a time, by what each field says a step of it is."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from pydantic import BaseModel

from trundle.fields.base import Spec
from trundle.fields.step import Along, Step, step_of, tidy
from trundle.spec.vehicle import Vehicle

Path = tuple[str, ...]
"""Where a field stands, as `--set` takes it; entries of a list by number, from 1."""

ANY = "*"


@dataclass(frozen=True)
class Place:
    """One field of the vehicle with its step. table: whether its table stands in the file (else it is made with it);
    masses: (path, value, power) of each mass that goes with it."""

    path: Path
    value: Any
    step: Step
    table: bool = True
    masses: tuple[tuple[Path, float, float], ...] = ()

    def moved(self, direction: str, steps: int) -> Any:
        """Its value after so many steps; None where there are not so many."""
        value = self.value
        for _ in range(steps):
            value = self.step.moves(value).get(direction)
            if value is None:
                return None
        return value

    def settings(self, value: Any) -> dict[str, Any]:
        """What sets it to `value`, with the masses that go with it."""
        written = [_plain(v) for v in value] if isinstance(value, tuple) else _plain(value)
        *table, name = self.path
        found: dict[str, Any] = {".".join(self.path): written} if self.table else {".".join(table): {name: written}}
        for path, mass, power in self.masses:
            found[".".join(path)] = _plain(tidy(mass * (value / self.value) ** power))
        return found


@dataclass(frozen=True, eq=False)
class Lever:
    """Places that are changed alike, and the direction. label: `bogie.*.arm_mm`."""

    label: str
    places: tuple[Place, ...]
    direction: str

    @property
    def field(self) -> str:
        """Whose lever it is: the same for both directions of a number and for all bogies; a point has two."""
        axis = {"back": " forward", "forward": " forward", "down": " up", "up": " up"}.get(self.direction, "")
        return (
            ".".join(ANY if _is_name(self.places[0].path, i) else p for i, p in enumerate(self.places[0].path)) + axis
        )

    @property
    def bogies(self) -> frozenset[str]:
        """Names of the bogies that it changes."""
        return frozenset(p.path[1] for p in self.places if p.path[0] == "bogie")

    @property
    def about_build(self) -> bool:
        """Whether it is how parts are made, which moves nothing in a run but strength."""
        return "build" in self.places[0].path

    @property
    def about_drive(self) -> bool:
        """Whether it is the motor's, the brake's or the driver's."""
        return self.places[0].path[0] == "drive"

    def only(self, bogie: str) -> Lever:
        """The same of one bogie alone."""
        places = tuple(p for p in self.places if p.path[1] == bogie)
        return Lever(".".join(places[0].path), places, self.direction)

    def change(self, steps: int = 1) -> Change | None:
        """What it is after so many steps; None where there are not so many."""
        settings: dict[str, Any] = {}
        for place in self.places:
            value = place.moved(self.direction, steps)
            if value is None:
                return None
            settings |= place.settings(value)
        return Change(self, steps, settings)


@dataclass(frozen=True, eq=False)
class Change:
    """One thing changed. settings: full field paths and values, masses that go with it among them."""

    lever: Lever
    steps: int
    settings: Mapping[str, Any]

    @property
    def words(self) -> str:
        """`bogie.*.arm_mm 150 -> 160`."""
        place = self.lever.places[0]
        if isinstance(place.value, tuple):
            return f"{self.lever.label}, {_by(place, self.lever.direction, self.steps)}"
        now, then = _shown(place.value), _shown(place.moved(self.lever.direction, self.steps))
        return f"{self.lever.label} {now} -> {then}"

    def sets(self, bogies: Iterable[str]) -> tuple[str, ...]:
        """As `--set` takes it: `bogie.*.arm_mm=160`. bogies: all of the vehicle's."""
        alike: dict[tuple[str, str], list[str]] = defaultdict(list)
        for path, value in self.settings.items():
            head, _, rest = path.partition(".")
            bogie, _, rest = rest.partition(".") if head == "bogie" else ("", "", rest)
            alike[rest if bogie else path, _toml(value)].append(bogie)
        found = []
        for (rest, value), names in alike.items():
            if names == [""]:
                found.append(f"{rest}={value}")
            elif len(names) > 1 and set(names) == set(bogies):
                found.append(f"bogie.{ANY}.{rest}={value}")
            else:
                found += [f"bogie.{name}.{rest}={value}" for name in names]
        return tuple(found)


def levers(vehicle: Vehicle) -> list[Lever]:
    """All that can be changed, equal bogies (and rollers) as one: those in which a field has the same value.

    A place on the hull is moved by as much on all of them, wherever they are.
    """
    groups: dict[tuple[Path, Any], list[Place]] = defaultdict(list)
    for place in _places(vehicle, (), []):
        alike = tuple(ANY if _is_name(place.path, i) else part for i, part in enumerate(place.path))
        groups[alike, None if isinstance(place.value, tuple) else place.value].append(place)
    found = []
    for (alike, _), places in groups.items():
        whole = len(places) > 1 and (alike[0] != "bogie" or len(places) == len(vehicle.bogie))
        label = ".".join(alike if whole else places[0].path)
        if len(places) > 1 and not whole:
            label = ".".join([alike[0], ",".join(p.path[1] for p in places), *alike[2:]])
        directions = dict.fromkeys(d for p in places for d in p.step.moves(p.value))
        found += [Lever(label, tuple(places), d) for d in directions]
    return found


def _is_name(path: Path, i: int) -> bool:
    """Whether a part of a path is a bogie's name, or a number in a list."""
    return (i == 1 and path[0] == "bogie") or path[i].isdigit()


def _places(node: BaseModel, path: Path, above: list[tuple[BaseModel, Path]], table: bool = True) -> Iterator[Place]:
    """Every field below `node` that is set and has a step; above: the tables on the way, the outermost first."""
    here = [*above, (node, path)]
    held = node.held_fields() if isinstance(node, Spec) else frozenset()
    for name, field in type(node).model_fields.items():
        if name in held:
            continue
        value = getattr(node, name)
        at = (*path, name)
        if isinstance(value, BaseModel):
            yield from _places(value, at, here, table and name in node.model_fields_set)
        elif isinstance(value, dict):
            for key, inner in value.items():
                yield from _places(inner, (*at, key), here)
        elif isinstance(value, tuple) and value and isinstance(value[0], BaseModel):
            for i, inner in enumerate(value, 1):
                yield from _places(inner, (*at, str(i)), here)
        elif value is not None and (step := step_of(field)) is not None:
            yield Place(at, value, step, table, tuple(_masses(value, step.along, here)))


def _masses(
    value: Any, along: tuple[Along, ...], here: list[tuple[BaseModel, Path]]
) -> Iterator[tuple[Path, float, float]]:
    for one in along:
        if not value or one.above >= len(here):
            continue
        node, path = here[-1 - one.above]
        for name in one.field:
            mass = getattr(node, name, None)
            if mass:
                yield (*path, name), mass, one.power


def _plain(value: Any) -> Any:
    """A number as a builder writes it: `16`, not `16.0`."""
    return int(value) if isinstance(value, float) and value.is_integer() else value


def _shown(value: Any) -> str:
    if isinstance(value, tuple):
        return f"[{', '.join(f'{v:g}' for v in value)}]"
    return f"{value:g}" if isinstance(value, float) else str(value)


def _by(place: Place, direction: str, steps: int) -> str:
    moved = place.moved(direction, steps)
    by = max(abs(a - b) for a, b in zip(moved, place.value, strict=True))
    return f"{by:g} mm {direction}"


def _toml(value: Any) -> str:
    """A value as it stands in a file, on one line."""
    if isinstance(value, dict):
        return f"{{ {', '.join(f'{k} = {_toml(v)}' for k, v in value.items())} }}"
    if isinstance(value, (list, tuple)):
        return f"[{', '.join(map(_toml, value))}]"
    return f'"{value}"' if isinstance(value, str) else f"{value:g}" if isinstance(value, float) else str(value)
