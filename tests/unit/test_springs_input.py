"""Spring tables as a builder writes them: read by kind, refused in one clear line when they cannot work."""

import math

import numpy as np
import pytest
from pydantic import TypeAdapter, ValidationError

from trundle.errors import InputError
from trundle.springs import Arm, ArmSpringKind, LeafAcross, Mount, PadKind, SpringKind
from trundle.springs.leaf import CLAMPED_MM

DEG = math.pi / 180
ARM = Arm(0.16, -22 * DEG, 38 * DEG)
PAIR = Mount(ARM, 0.09)
ARM_SPRING, SPRING, PAD = TypeAdapter(ArmSpringKind), TypeAdapter(SpringKind), TypeAdapter(PadKind)

GOOD = {
    "pivot rate": {"rate_Nm_per_deg": 4.5, "free_angle_deg": 33},
    "axle rate": {"rate_N_per_mm": 28, "free_angle_deg": 33},
    "torsion bar": {"diameter_mm": 14, "length_mm": 430, "free_angle_deg": 41},
    "coil": {
        "wire_mm": 7,
        "mean_diameter_mm": 44,
        "coils": 7,
        "free_length_mm": 150,
        "on_arm_mm": 105,
        "anchor_mm": [85, 105],
    },
    "leaf": {"width_mm": 36, "thickness_mm": 5, "length_mm": 260, "bears_at_mm": 115, "free_angle_deg": 31},
    "rubber block": {
        "mode": "compression",
        "hardness_irhd": 55,
        "width_mm": 45,
        "length_mm": 60,
        "thickness_mm": 45,
        "lever_mm": 38,
        "free_angle_deg": 36,
    },
}
LEAF = {
    "kind": "leaf across",
    "width_mm": 36,
    "thickness_mm": 7,
    "length_mm": 330,
    "free_radius_mm": 380,
    "seat_above_pivots_mm": 44,
    "arm_top_mm": 13,
}


def make(kind, **changes):
    return ARM_SPRING.validate_python({"kind": kind, **GOOD[kind], **changes})


def across(**changes):
    return SPRING.validate_python({**LEAF, **changes})


@pytest.mark.parametrize("kind", GOOD)
def test_each_kind_is_found_by_its_name_and_pushes_the_axle_down_at_bump(kind):
    spring = make(kind)
    law = spring.law(ARM)
    assert spring.kind == kind
    assert law.torque_Nm[0] > 0
    assert law.torque_Nm.shape == law.angle_rad.shape
    assert np.diff(law.angle_rad) == pytest.approx(np.diff(law.angle_rad)[0])
    assert spring.figures(0.0, ARM).energy_J > 0


@pytest.mark.parametrize("kind", GOOD)
def test_zero_negative_text_and_nan_are_refused(kind):
    numbers = [k for k, v in GOOD[kind].items() if isinstance(v, (int, float)) and k != "free_angle_deg"]
    for field in numbers:
        for bad in (0, -1, "7", math.nan, math.inf):
            with pytest.raises(ValidationError):
                make(kind, **{field: bad})


@pytest.mark.parametrize(
    ("kind", "changes", "words"),
    [
        ("torsion bar", {"steel": "51CrV5"}, r'unknown steel "51CrV5"; did you mean "51CrV4"'),
        ("torsion bar", {"steel": "S235"}, "known: 51CrV4"),
        ("torsion bar", {"bore_mm": 14}, "leaves nothing"),
        ("coil", {"mean_diameter_mm": 13}, "too tight"),
        ("coil", {"free_length_mm": 60}, "solid coil, 63 mm"),
        ("leaf", {"full_leaves": 0}, "greater than or equal to 1"),
        ("rubber block", {"hardness_irhd": 90}, "less than or equal to 75"),
    ],
)
def test_impossible_pieces(kind, changes, words):
    with pytest.raises(ValidationError, match=words):
        make(kind, **changes)


@pytest.mark.parametrize(
    ("kind", "changes", "field", "words"),
    [
        ("coil", {"free_length_mm": 64, "anchor_mm": [85, 205]}, "free_length_mm", "never touches"),
        ("coil", {"anchor_mm": [85, -105]}, "anchor_mm", "pulls the axle up"),
        ("coil", {"anchor_mm": [105, 0]}, "anchor_mm", "seats meet"),
        ("leaf", {"bears_at_mm": 175}, "bears_at_mm", "15 mm beyond the axle"),
        ("leaf", {"free_angle_deg": -30}, "free_angle_deg", "never touches"),
        ("leaf", {"arm_top_mm": 200}, "arm_top_mm", "slide past"),
        ("rubber block", {"thickness_mm": 25}, "thickness_mm", "presses a 25 mm block"),
    ],
)
def test_springs_that_cannot_work_on_this_arm(kind, changes, field, words):
    with pytest.raises(InputError, match=words) as e:
        make(kind, **changes).law(ARM)
    assert e.value.problems[0].field == field


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"free_radius_mm": 6.5}, "smaller than the thickness"),
        ({"free_radius_mm": 120}, "too steep.*138 mm or more"),
        ({"seat": "pair"}, "needs seat_apart_mm"),
        ({"seat_apart_mm": 40}, '"point" seat has no seat_apart_mm'),
        ({"seat": "clamp", "clamp_mm": 300}, "leaves nothing"),
        ({"seat": "claw"}, "point"),
        ({"clamp_fit": "curved"}, '"point" seat has no clamp_fit'),
        ({"seat": "pair", "seat_apart_mm": 40, "clamp_fit": "pressed flat"}, '"pair" seat has no clamp_fit'),
        ({"seat": "clamp", "clamp_mm": 40, "clamp_fit": "flat"}, "'pressed flat', 'bent flat' or 'curved'"),
        ({"width_mm": -3}, "greater than 0"),
        ({"steel": "scrap"}, "known: "),
    ],
)
def test_impossible_leaves(changes, words):
    with pytest.raises(ValidationError, match=words):
        across(**changes)


@pytest.mark.parametrize(
    ("changes", "field", "words"),
    [
        ({"length_mm": 85}, "length_mm", "too short"),
        ({"length_mm": 440}, "length_mm", "longer than its arms allow.* beyond the axles"),
        ({"seat_above_pivots_mm": 300}, "seat_above_pivots_mm", "mm clear"),
        ({"adjuster_mm": 190}, "adjuster_mm", "screwed down further"),
        ({"arm_top_mm": 200}, "arm_top_mm", "slide past"),
    ],
)
def test_leaves_that_do_not_fit_their_arms(changes, field, words):
    with pytest.raises(InputError, match=words) as e:
        across(**changes).pair_law(PAIR)
    assert e.value.problems[0].field == field


def test_arms_that_swing_upright_are_refused():
    steep = Arm(0.16, -85 * DEG, 30 * DEG)
    with pytest.raises(InputError, match="85 deg"):
        across().pair_law(Mount(steep, 0.09))
    with pytest.raises(InputError, match="85 deg"):
        make("leaf").law(steep)


def test_notes_in_plain_words():
    """Strap at a seat, leaf past flat, beam theory off, slender coil, crushed rubber, bar the wrong way."""
    pair = across(seat="pair", seat_apart_mm=20).figures(-0.2, 0.2, PAIR)
    assert any("strap" in n for n in pair.notes)
    assert any("past flat" in n for n in across().figures(-0.3, -0.3, PAIR).notes)
    assert any("beam theory" in n for n in across().figures(0.0, 0.0, PAIR).notes)
    flat = across(free_radius_mm=20_000, seat_above_pivots_mm=20, length_mm=300)
    assert not any("beam theory" in n for n in flat.figures(0.02, 0.02, PAIR).notes)
    assert any("slender" in n for n in make("coil", mean_diameter_mm=30, coils=14).figures(0.2, ARM).notes)
    assert any("thickness" in n for n in make("rubber block").figures(-0.2, ARM).notes)
    assert any("against" in n for n in make("torsion bar", free_angle_deg=20).figures(0.6, ARM).notes)


def test_friction_needs_more_than_one_leaf():
    assert across().pair_law(PAIR).friction_Nm == 0.0
    two = across(full_leaves=2).pair_law(PAIR).friction_Nm
    assert two > 0
    assert across(full_leaves=2, friction=0.15).pair_law(PAIR).friction_Nm == pytest.approx(two / 2)
    assert make("leaf", graduated_leaves=2).law(ARM).friction_Nm > 0


def test_a_leaf_without_sleeves_never_touches_them():
    law = across().pair_law(PAIR)
    assert math.isinf(law.rock_gap_m)
    assert law.rock_rate_N_per_m == 0.0
    touching = across(sleeve_clearance_mm=0).pair_law(PAIR)
    assert touching.rock_gap_m == 0.0
    assert touching.rock_rate_N_per_m > 0
    assert math.isinf(across(seat="clamp", clamp_mm=40, sleeve_clearance_mm=2).pair_law(PAIR).rock_gap_m)


def test_one_way_lets_go_below_free_and_two_way_pulls_back():
    for kind in ("pivot rate", "axle rate"):
        low = 36 * DEG
        assert make(kind).figures(low, ARM).torque_Nm < 0
        assert make(kind, one_way=True).figures(low, ARM).torque_Nm == 0.0


def test_tables_survive_toml_lists():
    pad = PAD.validate_python({"kind": "table pad", "points": [[0, 0], [5, 300], [8, 1200]]})
    assert pad.force_N(0.0065) == pytest.approx(750.0)
    assert pad.force_N(0.010) == pytest.approx(1800.0)


@pytest.mark.parametrize(
    ("points", "words"),
    [
        ([[1, 0], [5, 300]], r"\[0, 0\]"),
        ([[0, 0], [5, 300], [5, 400]], "rise"),
        ([[0, 0], [5, 300], [6, 200]], "rise"),
    ],
)
def test_pads_that_do_not_rise(points, words):
    with pytest.raises(ValidationError, match=words):
        PAD.validate_python({"kind": "table pad", "points": points})


def test_every_leaf_of_a_stack_is_on_the_cut_list():
    """Graduated leaves get shorter in even steps: of 300 mm with two of them, 200 and 100."""
    rows = make("leaf", length_mm=300, full_leaves=2, graduated_leaves=2).stock()
    assert [row.length for row in rows] == [f"{n} + what the clamp holds" for n in (300, 300, 200, 100)]
    assert [row.cut_mm for row in rows] == [n + CLAMPED_MM for n in (300, 300, 200, 100)]
    assert [row.length for row in across(length_mm=300, full_leaves=2, graduated_leaves=2).stock()] == [
        "300", "300", "200", "100"
    ]  # fmt: skip


def test_python_builds_them_too():
    """`kind` need not be repeated in code."""
    fields = {k: v for k, v in LEAF.items() if k != "kind"}
    assert LeafAcross(**fields) == across()


def test_a_single_leaf_bent_far_says_so():
    """alpha = P L^2/EI = 1 is 9.5 % off (Bisshopp & Drucker 1945): lift 0.302 of the length."""
    far = make("leaf", length_mm=200, bears_at_mm=100, free_angle_deg=math.degrees(math.atan(0.6034)))
    assert any("10% less" in n or "9% less" in n for n in far.figures(0.0, ARM).notes)
    assert make("leaf", free_angle_deg=5).figures(0.0, ARM).notes == ()
