"""By what a builder changes a field: every field says so, or says that it is not his to change."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Annotated, Any, Literal, get_args, get_origin

import pytest
from pydantic import BaseModel

from trundle import bogies, springs
from trundle.fields.base import Spec
from trundle.fields.step import Better, By, Kept, Move, Sizes, Step, Stock, Times, step_of, steps_of
from trundle.spec.vehicle import Vehicle
from trundle.steel.bolts import BOLT_CLASSES, THREADS
from trundle.steel.materials import STEELS
from trundle.steel.sizes import (
    BOLT_GRADES,
    INCH,
    INCH_GRADES,
    LEAVES_MM,
    METRIC,
    PLATE_STEELS,
    ROUNDS_MM,
    SPRING_STEELS,
)


def tables(table: type[BaseModel], seen: set[type[BaseModel]]) -> Iterator[type[BaseModel]]:
    """A table and all that may stand in it."""
    if table in seen:
        return
    seen.add(table)
    yield table
    for field in table.model_fields.values():
        for inner in _models(field.annotation):
            yield from tables(inner, seen)


def _models(annotation: Any) -> Iterator[type[BaseModel]]:
    if isinstance(annotation, type):
        if issubclass(annotation, BaseModel):
            yield annotation
        return
    for arg in get_args(annotation):
        yield from _models(arg)


def _is_dimension(annotation: Any) -> bool:
    """Whether a field holds numbers: one, a point, a list of them; text that is chosen has its own list."""
    if get_origin(annotation) is Literal or (isinstance(annotation, type) and issubclass(annotation, BaseModel)):
        return False
    if annotation in (int, float):
        return True
    return any(_is_dimension(arg) for arg in get_args(annotation) if not isinstance(arg, str))


def _is_chosen(table: type[BaseModel], name: str) -> bool:
    said = " ".join(str(t.__annotations__.get(name, "")) for t in table.__mro__ if issubclass(t, BaseModel))
    return any(word in said for word in ("SteelName", "PlateSteel", "ThreadName", "GradeName"))


ALL = [
    *tables(Vehicle, set()),
    *(t for kind in (*springs.KINDS, *bogies.KINDS) for t in tables(kind, set())),
]
FIELDS = [(t, n) for t in dict.fromkeys(ALL) for n, f in t.model_fields.items() if n not in ("wheel", "bogie")]


def test_the_tables_are_found() -> None:
    """What is asked below is asked of the whole file: every kind, and the tables inside tables."""
    names = {t.__name__ for t in ALL}
    assert {"Hull", "Track", "Tensioner", "Roller", "Drive", "ArmSection", "AxleWeld", "BeamArm", "Stops"} <= names
    assert {k.__name__ for k in (*springs.KINDS, *bogies.KINDS)} <= names
    assert sum(_is_dimension(t.model_fields[n].annotation) for t, n in FIELDS) > 120


@pytest.mark.parametrize(("table", "name"), FIELDS, ids=lambda v: v if isinstance(v, str) else v.__name__)
def test_every_dimension_says_its_step(table: type[BaseModel], name: str) -> None:
    """A number, a point, a steel, thread or class has a step, or says why a builder does not change it."""
    field = table.model_fields[name]
    if not (_is_dimension(field.annotation) or _is_chosen(table, name)):
        assert step_of(field) is None
        return
    step = step_of(field)
    assert step is not None, f"{table.__name__}.{name} says neither by what it is changed nor that it is kept"
    if isinstance(step, Kept):
        assert len(step.why) > 5


def test_a_field_without_a_step_is_seen() -> None:
    """The question above can be answered with no."""

    class New(Spec):
        long_mm: float
        wide_mm: Annotated[float, By(5)] | None = None
        high_mm: Annotated[float | None, By(5)] = None

    found = steps_of(New)
    assert found["long_mm"] is None
    assert found["wide_mm"] == found["high_mm"] == By(5)


def test_a_stock_size_goes_to_the_next() -> None:
    """From a size that is sold, and from one that is not, to those beside it; none beyond the last."""
    leaf = Stock(LEAVES_MM)
    assert leaf.moves(3.0) == {"less": 2.5, "more": 4.0}
    assert leaf.moves(3.2) == {"less": 3.0, "more": 4.0}
    assert leaf.moves(LEAVES_MM[-1]) == {"less": LEAVES_MM[-2]}
    assert leaf.moves(0.5) == {"more": LEAVES_MM[0]}


@pytest.mark.parametrize(
    ("step", "value", "moved"),
    [
        (By(10), 150.0, {"less": 140.0, "more": 160.0}),
        (By(1, least=1), 1, {"more": 2}),
        (By(5, least=0), 3.0, {"more": 8.0}),
        (Times(2), 400.0, {"less": 200.0, "more": 800.0}),
        (Times(1.25, less_only=True), 1.2, {"less": 0.96}),
        (Times(2), 0.0, {}),
        (Move(50, 30), (800.0, 250.0),
         {"back": (750.0, 250.0), "forward": (850.0, 250.0), "down": (800.0, 220.0), "up": (800.0, 280.0)}),
        (Move(100, 0), (1.0, 2.0), {"back": (-99.0, 2.0), "forward": (101.0, 2.0)}),
        (Better((PLATE_STEELS,)), "S235", {"more": "S275"}),
        (Better((PLATE_STEELS,)), "S355", {}),
        (Better((BOLT_GRADES, INCH_GRADES)), "grade 5", {"more": "grade 8"}),
        (Sizes((METRIC, INCH)), "M12", {"less": "M10", "more": "M14"}),
        (Sizes((METRIC, INCH)), "UNC 1/4", {"more": "UNC 5/16"}),
        (Kept("what it weighs"), 3.0, {}),
    ],
)  # fmt: skip
def test_steps(step: Step, value: Any, moved: dict[str, Any]) -> None:
    """By an amount, a factor, along two axes, to the next name; a whole number stays whole."""
    assert step.moves(value) == moved
    assert all(type(v) is type(value) for v in step.moves(value).values())


def test_stock_is_in_order_and_known() -> None:
    """Sizes rise, and every name in a row of names is one that a file may hold."""
    for sizes in (LEAVES_MM, ROUNDS_MM):
        assert list(sizes) == sorted(set(sizes))
    assert set(METRIC) | set(INCH) == set(THREADS)
    for row in (METRIC, INCH):
        assert [THREADS[n].diameter_m for n in row] == sorted(THREADS[n].diameter_m for n in row)
    assert set(PLATE_STEELS) | set(SPRING_STEELS) <= set(STEELS)
    yields = [STEELS[n].yield_Pa for n in PLATE_STEELS]
    assert yields == sorted(yields)
    for row in (BOLT_GRADES, INCH_GRADES):
        assert set(row) <= set(BOLT_CLASSES)
        strengths = [BOLT_CLASSES[n].yield_Pa for n in row]
        assert strengths == sorted(strengths)
