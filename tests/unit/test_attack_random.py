"""Random vehicles and random text: a clean refusal or a sane vehicle, never a traceback, never a NaN."""

from __future__ import annotations

import math
import tomllib
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from trundle.engine.simulate import simulate
from trundle.engine.standing import stand
from trundle.errors import InputError
from trundle.model.ground import ground_arrays
from trundle.result.run import result_of
from trundle.spec.course import Course, load_course
from trundle.spec.reader import Path_, dotted, node_at
from trundle.spec.shipped import find, names
from trundle.spec.vehicle import Vehicle, load_vehicle, vehicle_from
from trundle.terrain.ground import lay

SHIPPED = {n: tomllib.loads(find("vehicles", n).read_text(encoding="utf-8")) for n in names("vehicles")}
LEVEL = ground_arrays(np.zeros(2000), 0.005, np.zeros(1), np.full(1, np.nan))
COURSE = Course.model_validate(
    {"run_up_mm": 1000, "run_out_mm": 2500, "obstacle": [{"kind": "kerb up", "height_mm": 60, "gap_mm": 1500}]}
)


def numbers(node: Any, at: Path_ = ()) -> list[Path_]:
    """Path of every number in the tables."""
    if isinstance(node, dict):
        return [p for k, v in node.items() for p in numbers(v, (*at, k))]
    if isinstance(node, list):
        return [p for i, v in enumerate(node) for p in numbers(v, (*at, i))]
    return [at] if isinstance(node, (int, float)) and not isinstance(node, bool) else []


FACTOR = st.one_of(
    st.floats(0.6, 1.6), st.floats(-3, 3).map(lambda e: 10.0**e), st.sampled_from([0.0, -0.0, -1.0, 1e308, math.nan])
)
GENTLE = st.floats(0.7, 1.4)


@st.composite
def mutated(draw: st.DrawFn, factors: st.SearchStrategy[float] = FACTOR) -> tuple[str, dict[str, Any]]:
    """A shipped vehicle with up to three of its numbers scaled."""
    name = draw(st.sampled_from(sorted(SHIPPED)))
    changed: dict[str, Any] = {}
    for path in draw(st.lists(st.sampled_from(numbers(SHIPPED[name])), min_size=1, max_size=3, unique=True)):
        value = node_at(SHIPPED[name], path)
        scaled = value * draw(factors)
        whole = isinstance(value, int) and path[-1] in ("links", "teeth", "abreast", "full_leaves", "links_per_tooth")
        changed[dotted(path)] = round(scaled) if whole and math.isfinite(scaled) else scaled
    return name, changed


def told(e: InputError, file: str = "") -> None:
    """A refusal says something readable of each problem, and in which file."""
    assert e.problems
    assert all(str(p) and len(str(p)) < 700 for p in e.problems)
    assert all(p.file == file or not file for p in e.problems)


def made(name: str, changed: dict[str, Any]) -> Vehicle | None:
    """The vehicle, or None if it is refused with a message for each problem."""
    try:
        return vehicle_from(SHIPPED[name], changed)
    except InputError as e:
        told(e)
        return None


QUIET = {"deadline": None, "suppress_health_check": [HealthCheck.too_slow, HealthCheck.filter_too_much]}


@settings(max_examples=200, **QUIET)
@given(mutated())
def test_a_random_vehicle_is_refused_or_read(case: tuple[str, dict[str, Any]]) -> None:
    """Any number of a shipped one scaled by 1/1000 to 1000, or 0, -1, 1e308, nan."""
    made(*case)


@settings(max_examples=15, derandomize=True, **QUIET)
@given(mutated(GENTLE))
def test_a_random_vehicle_is_refused_or_stands(case: tuple[str, dict[str, Any]]) -> None:
    """At rest the wheels, belly and track ends carry the weight: forces balance to 0.1 %."""
    vehicle = made(*case)
    if vehicle is None:
        return
    try:
        found = stand(vehicle, LEVEL)
    except InputError as e:
        told(e)
        return
    assert np.isfinite(found.q).all()
    assert found.residual_N <= 1e-3 * found.assembly.weight_N


@settings(max_examples=5, derandomize=True, **QUIET)
@given(mutated(st.floats(0.85, 1.15)))
def test_a_random_vehicle_is_refused_or_runs(case: tuple[str, dict[str, Any]]) -> None:
    """Over a kerb of 60 mm; every figure of the summary is finite, whatever the outcome."""
    vehicle = made(*case)
    if vehicle is None:
        return
    ground = lay(COURSE)
    try:
        result = result_of(simulate(vehicle, ground), vehicle, COURSE, ground)
    except InputError as e:
        told(e)
        return
    assert not unfinite(result.summary)


def unfinite(node: Any, at: str = "") -> list[str]:
    """Names of all figures that are nan or infinite."""
    if isinstance(node, dict):
        return [n for k, v in node.items() for n in unfinite(v, f"{at}.{k}")]
    if isinstance(node, list):
        return [n for v in node for n in unfinite(v, at)]
    return [at] if isinstance(node, float) and not math.isfinite(node) else []


PIECES = find("vehicles", "teasel").read_text(encoding="utf-8").splitlines()


@settings(max_examples=150, deadline=None)
@given(
    st.one_of(
        st.text(max_size=300),
        st.lists(st.sampled_from([*PIECES, "[hull]", "[[wheel]]", "bogie = 3", "x = [[["]), max_size=30).map("\n".join),
        st.integers(0, len(PIECES) - 1).map(lambda i: "\n".join(PIECES[:i] + PIECES[i + 1 :])),
    )
)
def test_random_text_is_refused_or_read(tmp_path_factory: pytest.TempPathFactory, text: str) -> None:
    """Noise, shuffled lines, and the shipped file with one line lost."""
    path: Path = tmp_path_factory.getbasetemp() / "random.toml"
    path.write_text(text, encoding="utf-8", errors="replace")
    for load in (load_vehicle, load_course):
        try:
            load(path)
        except InputError as e:
            told(e, str(path))
