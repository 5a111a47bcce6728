"""Every registered kind of spring, bogie and obstacle answers everything that is asked of its family.

A kind that leaves an answer out is refused where it is defined; one whose answers do not reach the sheet, the run
or the drawing fails here.
"""

from __future__ import annotations

import ast
import importlib
import math
import pkgutil
from pathlib import Path
from types import ModuleType
from typing import Any, Literal, get_args

import kind_parts
import numpy as np
import pytest
from kind_parts import teasel_on

import trundle
import trundle.bogies
import trundle.springs
import trundle.terrain
import trundle_viewer
from trundle.bogies.base import Bogie
from trundle.bogies.parts import Parts
from trundle.drawing.marks import Text
from trundle.elevation.standing_view import standing_view
from trundle.fields.kind import Kind
from trundle.fields.shape import Form, Material, Shape
from trundle.papers.document import Sheet, whole_sheet
from trundle.spec.moving import parts_of
from trundle.springs.answers import Pose
from trundle.springs.base import ArmSpring, Spring
from trundle.springs.laws import Arm, Mount
from trundle.springs.stated_rate import StatedRate
from trundle.terrain.base import Obstacle

DEG, MM = math.pi / 180, 1e-3
SPRINGS = kind_parts.springs()
BOGIES = kind_parts.bogies()
TEASEL_ARM = Arm(0.150, -4 * DEG, 47 * DEG, 15 * DEG)
TEASEL_MOUNT = Mount(TEASEL_ARM, 0.050)
"""Teasel's arms, between stops at 11 and 32 deg below level, with the overrun that laws are tabled for."""

FAMILIES: list[tuple[ModuleType, type[Kind]]] = [
    (trundle.springs, Spring),
    (trundle.bogies, Bogie),
    (trundle.terrain, Obstacle),
]


@pytest.fixture(scope="module", params=SPRINGS, ids=lambda s: s.kind_name())
def sheet(request: Any) -> tuple[Spring, Sheet]:
    """A spring and the sheet of Teasel on it."""
    return request.param, whole_sheet(teasel_on(request.param), "teasel")


def text(made: Sheet, title: str) -> str:
    """All words of the parts whose title begins so."""
    parts = [p for p in made.document.parts if p.title.startswith(title)]
    cells = [c for p in parts for t in p.tables for row in t.rows for c in row]
    return "\n".join([*(p.title for p in parts), *cells, *(line for p in parts for line in p.lines)])


# --- registering ---


@pytest.mark.parametrize(("package", "family"), FAMILIES, ids=lambda x: getattr(x, "__name__", ""))
def test_every_kind_in_the_folder_is_in_its_list(package: ModuleType, family: type[Kind]) -> None:
    """A kind's file without its line in the list could not be read from a vehicle or course."""
    modules = [importlib.import_module(f"{package.__name__}.{m.name}") for m in pkgutil.iter_modules(package.__path__)]
    found = {
        c
        for module in modules
        for c in vars(module).values()
        if isinstance(c, type) and issubclass(c, family) and "kind" in c.model_fields
    }
    assert found == set(package.KINDS)
    names = [k.kind_name() for k in package.KINDS]
    assert len(names) == len(set(names))


def test_every_kind_has_a_piece_to_try() -> None:
    assert {type(s) for s in SPRINGS} == set(trundle.springs.KINDS)
    assert {type(b) for b in BOGIES.values()} == set(trundle.bogies.KINDS)


def test_a_spring_that_leaves_an_answer_out_is_refused() -> None:
    """Each question in turn: a kind that answers all but that one cannot even be defined."""
    for question in sorted(ArmSpring.__abstractmethods__):
        answers = {q: lambda *_: None for q in ArmSpring.__abstractmethods__ if q != question}
        body = {"__annotations__": {"kind": Literal["half a spring"]}, "__module__": __name__, **answers}
        with pytest.raises(TypeError, match=rf"HalfASpring does not answer: {question}$"):
            type(ArmSpring)("HalfASpring", (ArmSpring,), body)
    whole = {q: lambda *_: None for q in ArmSpring.__abstractmethods__}
    body = {"__annotations__": {"kind": Literal["a spring"]}, "__module__": __name__, **whole}
    assert type(ArmSpring)("ASpring", (ArmSpring,), body).kind_name() == "a spring"


def test_bogies_and_obstacles_are_refused_alike() -> None:
    with pytest.raises(
        TypeError, match=r"Skid does not answer: add_parts, members, sprung, stations_at, swings_kg, wants"
    ):

        class Skid(Bogie):
            kind: Literal["skid"] = "skid"

    with pytest.raises(TypeError, match="Hole does not answer: marks, rise_m, title"):

        class Hole(Obstacle):
            kind: Literal["hole"] = "hole"

            def length_m(self) -> float:
                return 1.0

            def heights_m(self, x_m: Any) -> Any:
                return -x_m


def test_nothing_tells_kinds_apart_by_class() -> None:
    """No `isinstance` on a kind in the whole program: it would pass by, in silence, a kind that it does not name."""
    kinds = {k.__name__ for package, _ in FAMILIES for k in package.KINDS}
    families = {"Spring", "ArmSpring", "PairSpring", "StatedRate", "Bogie", "ArmParts", "Obstacle", "LevelObstacle"}
    found = []
    for root in (trundle, trundle_viewer):
        for file in Path(str(root.__file__)).parent.rglob("*.py"):
            for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
                if isinstance(node, ast.Call) and getattr(node.func, "id", "") in ("isinstance", "issubclass"):
                    named = {n.id for n in ast.walk(node.args[1]) if isinstance(n, ast.Name)}
                    found += [f"{file.name}:{node.lineno}" for _ in named & (kinds | families)]
    assert found == []


# --- springs ---


@pytest.mark.parametrize("spring", SPRINGS, ids=lambda s: s.kind_name())
def test_a_springs_figures_are_those_of_its_law(spring: Spring) -> None:
    """Torque at an angle: read from the law's table (arm springs), and from the figures that the sheet shows."""
    law = spring.mounted(TEASEL_MOUNT)
    assert (law.pivot is None) != (law.pair is None)
    assert law.friction_Nm >= 0.0
    for angle in (12 * DEG, 17 * DEG, 20 * DEG):
        at = spring.at((angle,) * spring.arms, TEASEL_MOUNT)
        assert len(at.torques_Nm) == spring.arms
        assert at.torques_Nm[0] > 0.0
        assert at.energy_J > 0.0
        if law.pivot is not None:
            there = float(np.interp(angle, law.pivot.angle_rad, law.pivot.torque_Nm))
            assert at.torques_Nm[0] == pytest.approx(there, rel=1e-4)


@pytest.mark.parametrize("spring", SPRINGS, ids=lambda s: s.kind_name())
def test_a_spring_bears_and_drills_on_its_arm(spring: Spring) -> None:
    assert 0.0 <= spring.bears_m(TEASEL_MOUNT) <= TEASEL_ARM.length_m
    for hole in spring.arm_holes():
        assert 0.0 < hole.along_mm < TEASEL_ARM.length_m / MM
        assert hole.diameter_mm > 0.0
        assert hole.along_mm * MM == pytest.approx(spring.bears_m(TEASEL_MOUNT))


@pytest.mark.parametrize("spring", SPRINGS, ids=lambda s: s.kind_name())
def test_a_spring_s_push_has_its_torque(spring: Spring) -> None:
    """Statics: what it pushes with at its place on the arm has the moment that it was asked for, downwards. (A seat off
    the arm's line has its own lever; these pieces have none but the leaf's top, which it pushes square to.)"""
    angles = np.array([11.0, 20.0, 32.0]) * DEG
    push = spring.push(angles, TEASEL_MOUNT)
    assert (push is None) == (spring.bears_m(TEASEL_MOUNT) == 0.0)
    if push is not None:
        above = getattr(spring, "above_arm_mm", 0.0) * MM
        assert push.at_m * push.across_per_m - above * push.along_per_m == pytest.approx(-1.0)
        assert (push.across_per_m < 0.0).all()


@pytest.mark.parametrize("spring", SPRINGS, ids=lambda s: s.kind_name())
def test_a_springs_answers_name_its_own_fields(spring: Spring) -> None:
    """What it says can be adjusted is a field, and moving it moves the torque; what is unranked is a field."""
    fields = type(spring).model_fields
    assert spring.unranked() <= set(fields)
    moves = spring.adjuster()
    if moves is not None:
        moved = spring.model_copy(update={moves.field: getattr(spring, moves.field) + moves.step})
        angles = (20 * DEG,) * spring.arms
        assert moved.at(angles, TEASEL_MOUNT).torques_Nm[0] > spring.at(angles, TEASEL_MOUNT).torques_Nm[0]


@pytest.mark.parametrize("spring", SPRINGS, ids=lambda s: s.kind_name())
def test_a_spring_is_bought_or_made_of_something(spring: Spring) -> None:
    """Every spring but a stated rate has rows in the cut list; without a steel it says why there is no margin."""
    assert bool(spring.stock()) == (not isinstance(spring, StatedRate))
    for row in spring.stock():
        assert row.count >= 1
        assert row.what
        assert row.stock
        assert row.length
    made = spring.made_of()
    assert (made.steel is None) == bool(made.words)


def well_drawn(shape: Shape) -> bool:
    """A form and a material that the drawings know, with points enough for it."""
    least = {"area": 3, "line": 2, "disc": 1}[shape.form]
    known = shape.form in get_args(Form) and shape.material in get_args(Material)
    return known and len(shape.points) >= least and bool(np.isfinite(shape.points).all())


@pytest.mark.parametrize("sign", [1.0, -1.0])
@pytest.mark.parametrize("spring", SPRINGS, ids=lambda s: s.kind_name())
def test_a_spring_is_drawn_and_moves(spring: Spring, sign: float) -> None:
    """Something is drawn at bump and at droop, and it is not the same."""
    drawn = []
    for angle in (11 * DEG, 32 * DEG):
        at = spring.at((angle,) * spring.arms, TEASEL_MOUNT)
        pose = Pose((angle,) * spring.arms, at.torques_Nm, sign, 150.0, 50.0)
        shapes = spring.shapes(pose)
        assert shapes
        assert all(well_drawn(s) for s in shapes)
        drawn.append(np.concatenate([s.points.ravel() for s in shapes]))
    assert not np.allclose(*drawn)


def test_a_spring_reaches_the_sheet(sheet: tuple[Spring, Sheet]) -> None:
    """Its name and figures stand among the springs, its pieces in the cut list, its remarks beneath, its shapes in the
    side view. Counted: two sides, three bogies, two arms each (or one spring across them)."""
    spring, made = sheet
    of_springs = text(made, "Springs")
    assert spring.kind_name() in of_springs
    for remark in made.standing.springs[0].remarks:
        assert remark in of_springs
    assert spring.made_of().words in of_springs
    cut = next(p for p in made.document.parts if p.title == "Cut list")
    rows = [dict(zip(t.heads, r, strict=True)) for t in cut.tables for r in t.rows]
    for row in spring.stock():
        if row.form is None:
            of_kind = [r for r in rows if r.get("bought or wound ready", "").startswith(f"{row.what}: front")]
            there = next(r for r in of_kind if f"{row.stock}, {row.length}" in r["as it is asked for"])
        else:
            of_kind = [r for r in rows if r.get("cut to, mm") == f"{row.cut_mm:.1f}"]
            there = next(r for r in of_kind if r["piece"].startswith((row.what, row.title)) and r["stock"] == row.stock)
        assert int(there["count"]) % (row.count * 2 * 3 * 2 // spring.arms) == 0
    assert (text(made, "Adjusters") != "") == (spring.adjuster() is not None)
    for hole in spring.arm_holes():
        arm = next(p for p in made.pieces if p.what == "arm")
        assert hole.name in {h.name for h in arm.holes}
        assert not arm.outside
    marks = standing_view(made.at, 182.0, 75.0).marks
    shapes = [s for p in made.at.assembly.parts.springs for s in p.shapes((0.3,) * spring.arms, (1.0,) * spring.arms)]
    assert sum(m.pen == "thin" for m in marks if not isinstance(m, Text)) >= len(shapes)


def test_a_springs_own_damping_and_friction_reach_the_pivots(sheet: tuple[Spring, Sheet]) -> None:
    """On top of what the file gives the arm: pivots carry both sides' friction and damping."""
    spring, made = sheet
    vehicle = made.at.assembly.vehicle
    law = spring.mounted(TEASEL_MOUNT)
    own = vehicle.bogie["middle"]
    part = next(p for p in parts_of(vehicle).swings if p.name == "middle.fore")
    assert part.friction == pytest.approx(own.pivot_friction_Nm + law.friction_Nm)
    assert part.damp_bump == pytest.approx(own.damper.bump_N_s_per_mm * 1e3 + law.damp_bump_N_s_per_m)
    row = made.at.assembly.model.joints[made.at.assembly.joint.index("middle.fore")]
    assert row.damp_bump == pytest.approx(2.0 * part.damp_bump)
    assert row.damp_droop == pytest.approx(2.0 * part.damp_droop)


# --- bogies ---


@pytest.mark.parametrize("bogie", BOGIES.values(), ids=BOGIES)
def test_a_bogies_answers_agree(bogie: Bogie) -> None:
    """The moving parts, the places of its wheels, its members and its springs tell of the same bogie."""
    parts = Parts()
    bogie.add_parts("one", parts)
    wheels = [w.name for p in parts.swings for w in p.wheels]
    assert sorted(wheels) == sorted(s.name for s in bogie.stations_at("one"))
    members = bogie.members("one")
    assert bogie.stations == len(wheels) == sum(m.axles for m in members)
    assert bogie.wants_fine_step() == any(p.parent > 0 for p in parts.swings)
    assert len(parts.swings) == sum(m.each_side for m in members)
    sprung = bogie.sprung("one")
    assert len(parts.springs) == (0 if sprung is None else sprung.count)
    for place in parts.springs:
        assert sprung is not None
        assert place.path == f"{sprung.path}.spring"
        assert place.mount.arm.length_m == pytest.approx(sprung.arm_mm * MM)
    for member in members:
        assert member.bores[0].along_mm == 0.0
        assert {b.bolt for b in member.bores} >= {"pivot", "axle"}
    for part in parts.swings:
        assert part.shapes
        assert all(well_drawn(s) for s in part.shapes)
    for station in bogie.stations_at("one"):
        assert station.low_mm <= station.high_mm
