"""Short vehicle files spelled out: `like`, which repeats a vehicle or a bogie with changes, and rows of equal bogies.

    like = "teasel"            # at the top: another vehicle, by name or by a path from this file
    [bogie.rear]
    like = "front"             # another bogie of this file
    at_mm = [240, 0]           # what is not the same

    [[bogies]]                 # road1, road2, road3, road4 from front to rear
    name = "road"
    count = 4
    first_at_mm = [1200, 40]
    spacing_mm = 260
    kind = "single arm"        # and so on, as for one

Tables within are changed field by field; one with another `kind` stands in the place of the whole. A table
[bogie.road2] changes that one of a row. Everything else in the program knows only what comes out of here.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Annotated, Any, ClassVar, NamedTuple

import tomlkit
from pydantic import Field

from trundle.errors import InputError, Problem, did_you_mean
from trundle.fields.base import LengthMm, Name, PointMm, Spec
from trundle.fields.shape import disc
from trundle.fields.sketch import Around, Mark, Note, Sketch, Span
from trundle.fields.step import By, Kept, Move
from trundle.spec.lines import Elsewhere, Path_, line_numbers, line_of
from trundle.spec.reader import dotted, parse_toml, read_text, validate
from trundle.spec.shipped import find

LIKE, ROWS, BOGIE = "like", "bogies", "bogie"

MOST = 12
"""Vehicles that a file may be like through one another, and bogies that are looked at."""


class Row(Spec):
    """A row of equal bogies: with these fields stand those of one bogie, at_mm left out.

    Also called: row of wheels, wheel row, array of bogies.
    """

    EXAMPLE: ClassVar[str] = 'name = "road"\ncount = 4\nfirst_at_mm = [1200, 40]\nspacing_mm = 260\n'

    name: Name
    """What they are called, with a number behind it: road1 is the foremost, then road2 and so on to the rear.

    Usual: road, arm.
    Measure: nothing to measure; column and figure names begin with it.
    If wrong: two rows of one name stand in each other's place.
    """

    count: Annotated[int, Field(ge=1, le=MOST), Kept("follows from how long the vehicle is")]
    """How many there are on one side.

    Usual: 2 to 6.
    Measure: count the brackets on one side of the hull.
    If wrong: wheels stand where none are, and the load is shared by too many or too few.
    """

    first_at_mm: Annotated[PointMm, Move(20, 10)]
    """Where the foremost is held on the hull (at_mm of it): forward of the tail datum, above the belly datum, mm.

    Usual: 200 to 400 mm behind the nose.
    Measure: from the hull's rearmost edge along the floor to a plumb line through its pivot, and from the belly up.
    If wrong: all of the row is off by as much.
    """

    spacing_mm: Annotated[LengthMm, By(20)] | None = None
    """From each to the next one behind it, along the hull, mm. Left out only where count is 1.

    Usual: a little more than the wheel's diameter for single arms.
    Measure: tape from pivot to pivot; over the whole row, divided by one less than count, is better.
    If wrong: wheels overlap, or stand beyond the track's ends.
    Also called: pitch of the wheels, wheel spacing.
    """

    def sketches(self, around: Around) -> tuple[Sketch, ...]:
        """From the side, in the hull: where each of them is held."""
        places = self.places()
        (x, y), far = places[0], places[-1]
        apart = self.spacing_mm if self.spacing_mm is not None else 0.0
        marks: tuple[Mark, ...] = (
            Span("first_at_mm", (0.0, y), (x, y), "x", "forward"),
            Span("first_at_mm", (x, 0.0), (x, y), "y", "up"),
            Span("spacing_mm", (x - apart, y), (x, y), "x"),
            Note("name", (x, y)),
            Note("count", far),
        )
        return (Sketch("row of bogies", "side", tuple(disc("steel", *p, 15.0) for p in places), marks, True),)

    def places(self) -> tuple[tuple[float, float], ...]:
        """at_mm of each, from front to rear."""
        x, y = self.first_at_mm
        return tuple((x - k * (self.spacing_mm or 0.0), y) for k in range(self.count))


class Written(NamedTuple):
    """A vehicle's tables, and where each field is written."""

    data: dict[str, Any]
    lines: dict[Path_, int]


def tables_of(text: str, file: str) -> Written:
    """The tables of a vehicle's file, spelled out. file: where it stands, or "" if nowhere. Raises InputError."""
    return _spelled(parse_toml(text, file), line_numbers(text), file)


def self_contained(text: str, file: str) -> str:
    """The text; where it is like another vehicle's file, all of what they say together, without comments.

    Raises InputError.
    """
    if LIKE not in text or LIKE not in (data := parse_toml(text, file)):
        return text
    return tomlkit.dumps(_on_others(data, line_numbers(text), file, ()).data)


def _spelled(data: dict[str, Any], lines: dict[Path_, int], file: str) -> Written:
    if LIKE in data:
        data, lines = _on_others(data, lines, file, ())
    if ROWS in data:
        data, lines = _rows_out(data, lines, file)
    bogies = data.get(BOGIE)
    if isinstance(bogies, dict) and any(isinstance(b, dict) and LIKE in b for b in bogies.values()):
        data, lines = _bogies_out(data, bogies, lines, file)
    return Written(data, lines)


def _on_others(data: dict[str, Any], lines: dict[Path_, int], file: str, seen: tuple[Path, ...]) -> Written:
    """The vehicle that this one is like, with its changes."""
    name, line = data[LIKE], line_of((LIKE,), lines)
    own = {k: v for k, v in data.items() if k != LIKE}

    def refused(why: str, allowed: str = "") -> InputError:
        return InputError(Problem(why, LIKE, allowed, file, line))

    if not isinstance(name, str):
        raise refused("the name or path of another vehicle is wanted")
    here = Path(file)
    seen = (*seen, here.resolve())
    beside = here.parent / name
    try:
        other = find("vehicles", beside if beside.is_file() else name)
    except (InputError, OSError, ValueError) as e:
        why = e.problems[0] if isinstance(e, InputError) else None
        raise refused(why.problem if why else f'"{name}" is no file', why.allowed if why else "") from None
    if other.resolve() in seen:
        raise refused(f'"{name}" is like this one: they go round in a circle')
    if len(seen) >= MOST:
        raise refused("too many vehicles are like one another", f"up to {MOST}")
    text = read_text(other)
    base = Written(parse_toml(text, str(other)), line_numbers(text))
    if "hull" not in base.data and LIKE not in base.data:
        raise refused(f'"{name}" is no vehicle')
    if LIKE in base.data:
        base = _on_others(base.data, base.lines, str(other), seen)
    there = {at: n if isinstance(n, Elsewhere) else Elsewhere(n, str(other)) for at, n in base.lines.items()}
    return Written(_merged(base.data, own), {**there, **lines})


def _rows_out(data: dict[str, Any], lines: dict[Path_, int], file: str) -> Written:
    rows = data[ROWS]
    if not isinstance(rows, list) or not all(isinstance(r, dict) for r in rows):
        raise InputError(Problem("tables are wanted, [[bogies]]", ROWS, "", file, line_of((ROWS,), lines)))
    if len(rows) > MOST:
        raise InputError(Problem(f"there are {len(rows)} rows", ROWS, f"up to {MOST}", file, line_of((ROWS,), lines)))
    bogies: dict[str, Any] = {}
    lines = dict(lines)
    for i, row in enumerate(rows):
        at: Path_ = (ROWS, i)
        made = _row(row, at, lines, file)
        rest = {k: v for k, v in row.items() if k not in Row.model_fields}
        for k, place in enumerate(made.places(), 1):
            name = f"{made.name}{k}"
            if name in bogies:
                why = f'there is another row called "{made.name}"'
                raise InputError(Problem(why, f"{dotted(at)}.name", "", file, line_of((*at, "name"), lines)))
            bogies[name] = {**rest, "at_mm": list(place)}
            _stand_for((BOGIE, name), at, lines)
            lines.setdefault((BOGIE, name, "at_mm"), line_of((*at, "first_at_mm"), lines))
    written = data.get(BOGIE, {})
    out = {k: v for k, v in data.items() if k != ROWS}
    return Written({**out, BOGIE: _merged(bogies, written) if isinstance(written, dict) else written}, lines)


def _row(row: dict[str, Any], at: Path_, lines: dict[Path_, int], file: str) -> Row:
    """Raises InputError, with the place of the row in the file."""

    def refused(field: str, why: str, allowed: str) -> InputError:
        return InputError(Problem(why, f"{dotted(at)}.{field}", allowed, file, line_of((*at, field), lines)))

    if "at_mm" in row:
        raise refused("at_mm", "a row of bogies stands at several places", "first_at_mm and spacing_mm")
    own = {path[2:]: n for path, n in lines.items() if path[:2] == at}
    try:
        made = validate(Row, {k: v for k, v in row.items() if k in Row.model_fields}, file, own)
    except InputError as e:
        raise InputError(
            [_moved(p, f"{dotted(at)}.{p.field}", p.line or line_of(at, lines)) for p in e.problems]
        ) from None
    if made.count > 1 and made.spacing_mm is None:
        raise refused("spacing_mm", f"this field is missing: there are {made.count}", "")
    return made


def _moved(problem: Problem, field: str, line: int) -> Problem:
    return Problem(problem.problem, field, problem.allowed, problem.file, line)


def _bogies_out(data: dict[str, Any], bogies: dict[str, Any], lines: dict[Path_, int], file: str) -> Written:
    if len(bogies) > MOST:
        raise InputError(Problem(f"there are {len(bogies)}", BOGIE, f"up to {MOST}", file, line_of((BOGIE,), lines)))
    lines = dict(lines)
    done: dict[str, Any] = {}

    def made(name: str, seen: tuple[str, ...]) -> Any:
        if name in done:
            return done[name]
        bogie = bogies[name]
        if not isinstance(bogie, dict) or LIKE not in bogie:
            done[name] = bogie
            return bogie
        other, at = bogie[LIKE], (BOGIE, name, LIKE)
        rest = [b for b in bogies if b != name]
        if not isinstance(other, str) or other not in rest:
            why = f'there is no other bogie "{other}"' if isinstance(other, str) else "the name of a bogie is wanted"
            hint = did_you_mean(other, rest) if isinstance(other, str) else ""
            raise InputError(Problem(why + hint, dotted(at), ", ".join(rest), file, line_of(at, lines)))
        if other in seen:
            why = f"goes round in a circle: {', '.join([*seen[seen.index(other) :], name])}"
            raise InputError(Problem(why, dotted(at), "one of them written out", file, line_of(at, lines)))
        base = made(other, (*seen, name))
        own = {k: v for k, v in bogie.items() if k != LIKE}
        done[name] = _merged(base, own) if isinstance(base, dict) else own
        _stand_for((BOGIE, name), (BOGIE, other), lines)
        return done[name]

    return Written({**data, BOGIE: {name: made(name, ()) for name in bogies}}, lines)


def _merged(base: Mapping[str, Any], own: Mapping[str, Any]) -> dict[str, Any]:
    """The base with own fields in their places, tables within field by field unless they are of another kind."""
    out = dict(base)
    for key, value in own.items():
        was = out.get(key)
        if isinstance(value, dict) and isinstance(was, dict) and value.get("kind", was.get("kind")) == was.get("kind"):
            value = _merged(was, value)
        out[key] = value
    return out


def _stand_for(to: Path_, source: Path_, lines: dict[Path_, int]) -> None:
    """What is not written at one place is written at the other."""
    for path, line in list(_below(source, lines)):
        lines.setdefault((*to, *path), line)


def _below(source: Path_, lines: dict[Path_, int]) -> Iterator[tuple[Path_, int]]:
    size = len(source)
    return ((path[size:], line) for path, line in lines.items() if path[:size] == source)
