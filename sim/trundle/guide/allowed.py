"""What may stand in a field, what it is if it is left out, and by what a builder changes it: read off its type."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import Annotated, Any, Literal, get_args, get_origin

from annotated_types import Ge, Gt, Le, Lt, MaxLen, MinLen
from pydantic import BaseModel
from pydantic.fields import FieldInfo

from trundle.fields.base import Axes
from trundle.fields.step import Better, By, Kept, Move, Sizes, Stock, Times, step_of
from trundle.fields.stock import OneOf
from trundle.guide.tables import models_in

MOST_SIZES = 12
"""Stock sizes that are told; of more the first and last."""


def allowed(field: FieldInfo, unit: str) -> str:
    """What the field takes, in words."""
    marks = list(_marks(field.annotation, field.metadata))
    if (chosen := next((m for m in marks if isinstance(m, OneOf)), None)) is not None:
        return ", ".join(f'"{n}"' for n in chosen.names)
    if choices := _choices(field.annotation):
        return ", ".join(f'"{c}"' if isinstance(c, str) else str(c).lower() for c in choices)
    models = models_in(field.annotation)
    if models:
        return _tables(field.annotation, marks)
    base = _plain(field.annotation)
    if base is bool:
        return "true or false"
    if base is str:
        most = next((m.max_length for m in marks if isinstance(m, MaxLen)), None)
        return f"text in quotes, up to {most} letters" if most else "text in quotes"
    bounds = _bounds(marks, unit)
    kind = "a whole number," if base is int else ""
    axes = _axes(field)
    if _points(field.annotation):
        kind = f"points [{axes.first}, {axes.second}], each"
    elif get_origin(base) is tuple or base is tuple:
        kind = f"two numbers [{axes.first}, {axes.second}], each"
    return " ".join(w for w in (kind, bounds) if w).rstrip(",") or "a number"


def _axes(field: FieldInfo) -> Axes:
    """What a pair of numbers stands for."""
    return next((m for m in _marks(field.annotation, field.metadata) if isinstance(m, Axes)), Axes())


def left_out(field: FieldInfo) -> str:
    """What it means to leave it out."""
    if field.is_required():
        return "must be given"
    value = field.get_default(call_default_factory=True)
    if value is None:
        return "may be left out"
    if isinstance(value, BaseModel):
        return "may be left out: all of its fields as they are then"
    if value in ((), "", [], {}):
        return "may be left out: none"
    told = (
        f'"{value}"' if isinstance(value, str) else f"{value:.6g}" if isinstance(value, float) else str(value).lower()
    )
    return f"may be left out: {told}"


def change(field: FieldInfo, unit: str) -> str:
    """By what a builder changes it."""
    of = f" {unit}" if unit else ""
    match step_of(field):
        case Kept(why=why):
            return f"not changed on its own: {why}"
        case By(amount=amount):
            return f"by {amount:g}{of}"
        case Times(factor=factor, less_only=less):
            return f"to {1 / factor:.2g} of it" if less else f"{factor:g} times less or more"
        case Stock(sizes=sizes):
            return f"to the next size sold: {_sizes(sizes)}{of}"
        case Better(rows=rows):
            return "to the next better: " + "; ".join(", ".join(r) for r in rows)
        case Sizes(rows=rows):
            return "to the next size: " + "; ".join(", ".join(r) for r in rows)
        case Move(along_mm=along, up_mm=up):
            ways = [f"{along:g} mm {_axes(field).first} or back"] * bool(along) + [f"{up:g} mm up or down"] * bool(up)
            return f"by {' and '.join(ways)}"
    return ""


def _number(value: float) -> str:
    return f"{value:,.10g}"


def _sizes(sizes: Sequence[float]) -> str:
    if len(sizes) <= MOST_SIZES:
        return ", ".join(f"{s:g}" for s in sizes)
    return f"{', '.join(f'{s:g}' for s in sizes[:5])} ... {sizes[-1]:g}"


def _marks(annotation: Any, outer: Sequence[Any] = ()) -> Iterator[Any]:
    """All that Annotated says of a type, also within `... | None` and of a tuple's numbers."""
    for mark in outer:
        if isinstance(mark, FieldInfo):
            yield from mark.metadata
        else:
            yield mark
    if get_origin(annotation) is Annotated:
        inner, *more = get_args(annotation)
        yield from _marks(inner, more)
    elif get_origin(annotation) is not Literal and get_origin(annotation) is not dict:
        for arg in get_args(annotation):
            if not isinstance(arg, type):
                yield from _marks(arg)


def _plain(annotation: Any) -> Any:
    """The type itself, without None and what Annotated adds."""
    origin = get_origin(annotation)
    if origin is Annotated:
        return _plain(get_args(annotation)[0])
    if origin in (tuple, dict, Literal) or isinstance(annotation, type):
        return annotation
    inner = [a for a in get_args(annotation) if a is not type(None)]
    return _plain(inner[0]) if inner else annotation


def _choices(annotation: Any) -> tuple[Any, ...]:
    plain = _plain(annotation)
    return get_args(plain) if get_origin(plain) is Literal else ()


def _points(annotation: Any) -> bool:
    """Whether it is a list of points."""
    plain = _plain(annotation)
    args = get_args(plain)
    return get_origin(plain) is tuple and Ellipsis in args and get_origin(_plain(args[0])) is tuple


def _tables(annotation: Any, marks: Sequence[Any]) -> str:
    holder = get_origin(_plain(annotation))
    least = max((m.min_length for m in marks if isinstance(m, MinLen)), default=0)
    most = next((m.max_length for m in marks if isinstance(m, MaxLen)), None)
    if holder is dict:
        return f"tables, each under a name of yours: {least} to {most}"
    if holder is tuple:
        return f"tables in a row: up to {most}"
    return "a table"


def _bounds(marks: Sequence[Any], unit: str) -> str:
    low, high = -math.inf, math.inf
    above = below = False
    for mark in marks:
        if isinstance(mark, Ge | Gt) and float(str(getattr(mark, "ge", getattr(mark, "gt", low)))) >= low:
            low, above = float(str(getattr(mark, "ge", getattr(mark, "gt", low)))), isinstance(mark, Gt)
        if isinstance(mark, Le | Lt) and float(str(getattr(mark, "le", getattr(mark, "lt", high)))) <= high:
            high, below = float(str(getattr(mark, "le", getattr(mark, "lt", high)))), isinstance(mark, Lt)
    of = f" {unit}" if unit else ""
    if math.isfinite(low) and math.isfinite(high):
        return f"{'above ' if above else ''}{_number(low)} to {'below ' if below else ''}{_number(high)}{of}"
    if math.isfinite(low):
        return f"{'above' if above else 'from'} {_number(low)}{of}"
    if math.isfinite(high):
        return f"{'below' if below else 'up to'} {_number(high)}{of}"
    return of.strip()
