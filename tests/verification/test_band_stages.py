"""The stages of the band one by one, as the scratch shows them in the middle of a kerb climb."""

from __future__ import annotations

import itertools
import math
from typing import Any

import numpy as np
import pytest
from rigs import kerb, vehicle

from trundle.engine.roll import Limits, Rolling
from trundle.engine.standing import stand
from trundle.law import ask
from trundle.law.laid import wrap
from trundle.law.scratch import Scratch
from trundle.law.state import TRACK

DT = 1e-3


@pytest.fixture(scope="module", params=["front", "rear"])
def climbing(request: pytest.FixtureRequest) -> tuple[Any, Any, Scratch]:
    """Model, State and scratch of a vehicle with its nose on a kerb, driven at either end."""
    v = vehicle("paired arms")
    assert v.track is not None
    if request.param == "front":
        ends = v.track.sprocket, v.track.idler
        sprocket = ends[0].model_copy(update={"end": "front", "at_mm": ends[1].at_mm})
        idler = ends[1].model_copy(update={"at_mm": ends[0].at_mm})
        v = v.model_copy(update={"track": v.track.model_copy(update={"sprocket": sprocket, "idler": idler})})
    found = stand(v, kerb(0.08, at=1.9))
    rolling = Rolling(found.assembly.model, found.state, DT, Limits(1e9, -1e9, 1e9))
    rolling.steps(500)
    for _ in range(300):
        rolling.steps(10)
        scratch = ask.forces(rolling.model, rolling.state, DT)
        owners = scratch.nodes["owner"][1 : int(scratch.work[0].loop.nodes) - 1]
        if (owners < 0).any() and int(scratch.work[0].loop.contacts) >= 3:
            return rolling.model, rolling.state, scratch
    raise AssertionError("its track never lay on the kerb's edge")


def test_laid_pieces_and_arcs_make_the_loop(climbing: tuple[Any, Any, Scratch]) -> None:
    """Every straight piece is the tangent of its two circles: as long as the centres' distance and the radii say
    (Pythagoras), and it meets both at right angles to their radii. 2e-9 m: a ring that the band passes without a bend
    may stand into it by 1e-9."""
    _, _, scratch = climbing
    n = int(scratch.work[0].loop.nodes)
    nodes = scratch.nodes[:n]
    assert n >= 6
    assert (np.diff(nodes["x"]) > 0.0).all()
    for a, b in itertools.pairwise(nodes):
        assert math.hypot(a.tx, a.ty) == pytest.approx(1.0, abs=1e-12)
        foot_a = np.array([a.x + a.r * a.ty, a.y - a.r * a.tx])
        foot_b = np.array([b.x + b.r * a.ty, b.y - b.r * a.tx])
        along = (foot_b - foot_a) @ [a.tx, a.ty]
        assert np.hypot(*(foot_b - foot_a)) == pytest.approx(along, abs=2e-9)


def test_tension_falls_by_what_each_node_takes(climbing: tuple[Any, Any, Scratch]) -> None:
    """Round the loop all falls add up to nothing; between two nodes tension changes by the fall alone; the sprocket
    gives its push, every contact takes its pull, and the rings share what is left (push less traction) between them."""
    model, _, scratch = climbing
    work = scratch.work[0]
    n, band = int(work.loop.nodes), work.next.band
    nodes, contacts = scratch.nodes[:n], scratch.contacts[: int(work.loop.contacts)]
    size = abs(band.push_N) + band.tight_N
    assert abs(nodes["jump"].sum()) < 1e-12 * size
    for k in range(1, n - 1):
        assert nodes[k - 1].tension - nodes[k].tension == pytest.approx(nodes[k].jump, abs=1e-11 * size)
    assert band.top_N - nodes[0].tension == pytest.approx(nodes[0].jump, abs=1e-11 * size)
    assert band.traction_N == pytest.approx(contacts["pull"].sum(), rel=1e-12)
    rest = nodes["jump"].copy()
    rest[contacts["node"]] -= contacts["pull"]
    rest[nodes["owner"] == model.band.sprocket] += band.push_N
    assert rest.sum() == pytest.approx(band.push_N - band.traction_N, abs=1e-9 * size)
    assert rest[nodes["owner"] < 0] == pytest.approx(0.0, abs=1e-9 * size)


def test_the_loop_is_used_up(climbing: tuple[Any, Any, Scratch]) -> None:
    """The one equation: links, stretched by the tension in each piece = path + what the top spans take in their modes
    (string, (n pi)2 a2 / 4 l) + what hangs loose. 1e-9 m, a thousandth of what a newton stretches;
    driven at the front it does hang loose there."""
    model, _, scratch = climbing
    work, band = scratch.work[0], model.band
    loop, n = work.loop, int(work.loop.nodes)
    nodes = scratch.nodes[: n - 1]
    stretch = (nodes["tension"] @ nodes["length"] + work.next.band.top_N * loop.top_length) / band.stretch
    mode, top = band.mode[: int(band.modes)], work.top[: int(band.modes)]
    deep = (top["inertia"] * top["place"] + mode["weight"]) / (
        top["inertia"] + 2.0 * mode["takes"] * work.next.band.top_N
    )
    sag = mode["takes"] @ deep**2
    assert band.length + stretch == pytest.approx(loop.path + sag + loop.spare, abs=1e-9)


def test_each_bend_presses_by_tension_times_its_turn(climbing: tuple[Any, Any, Scratch]) -> None:
    """Without traction all pieces have one tension T, and a turn by b presses with 2 T sin(b / 2) (statics): on the
    ground in sum, and on the bodies what the ground gives back."""
    model, state, _ = climbing
    scratch = ask.forces(model, state, 0.0)
    work = scratch.work[0]
    nodes = scratch.nodes[: int(work.loop.nodes)]
    tension, direction = work.next.band.tension_N, np.arctan2(nodes["ty"], nodes["tx"])
    on_ground = [k for k in range(1, len(nodes) - 1) if nodes[k].owner < 0]
    assert on_ground
    pressed = sum(2.0 * tension * abs(math.sin(0.5 * (direction[k] - direction[k - 1]))) for k in on_ground)
    assert work.loop.span_N == pytest.approx(pressed, rel=1e-9)
    total = work.load[TRACK].sum(axis=0)
    assert total[:2] == pytest.approx([work.loop.ground_x, work.loop.ground_y], abs=1e-9)


def test_wrap_alone() -> None:
    """Angles by atan2."""
    plain_wrap = getattr(wrap, "py_func", wrap)
    assert plain_wrap(1.0, 0.0, 0.0, 1.0) == pytest.approx(0.5 * math.pi)
    assert plain_wrap(1.0, 0.0, 0.0, -1.0) == pytest.approx(1.5 * math.pi)
