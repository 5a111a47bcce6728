"""Random spring tables: each is refused with a message or gives finite, tidy numbers, nothing else."""

import math

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st
from pydantic import TypeAdapter, ValidationError

from trundle.errors import InputError
from trundle.springs import Arm, Mount, SpringKind

SPRING = TypeAdapter(SpringKind)


def size(low, high):
    """Sizes spread over decades, as a slip of a decimal point would make them."""
    return st.floats(math.log10(low), math.log10(high)).map(lambda e: 10.0**e)


def built_or_refused(table, law):
    """(spring, its law), or None if it was refused by one of the two errors that carry a message."""
    try:
        spring = SPRING.validate_python(table)
        return spring, law(spring)
    except (ValidationError, InputError):
        return None


ANGLE = st.floats(-75, 75)
STOCK = size(0.5, 500)
SPAN = size(1, 5000)
KINDS = st.one_of(
    st.fixed_dictionaries({"kind": st.just("pivot rate"), "rate_Nm_per_deg": size(1e-3, 1e4), "free_angle_deg": ANGLE}),
    st.fixed_dictionaries({"kind": st.just("axle rate"), "rate_N_per_mm": size(1e-3, 1e5), "free_angle_deg": ANGLE}),
    st.fixed_dictionaries(
        {"kind": st.just("torsion bar"), "diameter_mm": STOCK, "length_mm": SPAN, "free_angle_deg": ANGLE}
    ),
    st.fixed_dictionaries(
        {
            "kind": st.just("coil"),
            "wire_mm": size(0.5, 40),
            "mean_diameter_mm": size(5, 300),
            "coils": size(0.5, 50),
            "free_length_mm": SPAN,
            "on_arm_mm": SPAN,
            "anchor_mm": st.tuples(st.floats(-500, 500), st.floats(-500, 500)),
            "above_arm_mm": st.floats(-100, 100),
        }
    ),
    st.fixed_dictionaries(
        {
            "kind": st.just("leaf"),
            "width_mm": STOCK,
            "thickness_mm": STOCK,
            "length_mm": SPAN,
            "bears_at_mm": SPAN,
            "free_angle_deg": ANGLE,
            "full_leaves": st.integers(1, 6),
            "arm_top_mm": st.floats(-50, 50),
        }
    ),
    st.fixed_dictionaries(
        {
            "kind": st.just("rubber block"),
            "mode": st.sampled_from(["shear", "compression"]),
            "hardness_irhd": st.floats(30, 75),
            "width_mm": STOCK,
            "length_mm": STOCK,
            "thickness_mm": STOCK,
            "lever_mm": SPAN,
            "free_angle_deg": ANGLE,
        }
    ),
)
ARMS = st.builds(
    lambda length, high, swing: Arm(length, high, high + swing),
    st.floats(0.03, 1.0),
    st.floats(-1.2, 0.5),
    st.floats(0.02, 1.5),
)


@settings(max_examples=150, deadline=None)
@given(table=KINDS, arm=ARMS)
def test_springs_for_one_arm(table, arm):
    built = built_or_refused(table, lambda spring: spring.law(arm))
    if built is None:
        return
    spring, law = built
    assert np.isfinite(law.torque_Nm).all()
    assert math.isfinite(law.friction_Nm)
    assert law.friction_Nm >= 0
    at = spring.figures((arm.highest_rad + arm.lowest_rad) / 2, arm)
    assert math.isfinite(at.stress_Pa)
    assert at.stress_Pa >= 0
    assert at.energy_J >= 0


LEAVES = st.fixed_dictionaries(
    {
        "kind": st.just("leaf across"),
        "width_mm": STOCK,
        "thickness_mm": size(0.5, 50),
        "length_mm": size(50, 1500),
        "free_radius_mm": size(30, 100_000),
        "seat_above_pivots_mm": st.floats(-50, 200),
        "adjuster_mm": st.floats(-50, 50),
        "arm_top_mm": st.floats(-30, 50),
        "full_leaves": st.integers(1, 4),
        "graduated_leaves": st.integers(0, 4),
        "sleeve_clearance_mm": st.none() | st.floats(0, 30),
        "end_room_mm": st.none() | st.floats(0, 30),
    }
)
SEATS = st.one_of(
    st.just({"seat": "point"}),
    st.builds(lambda a: {"seat": "pair", "seat_apart_mm": a}, size(0.1, 300)),
    st.builds(
        lambda a, fit: {"seat": "clamp", "clamp_mm": a, "clamp_fit": fit},
        size(0.1, 300),
        st.sampled_from([None, "pressed flat", "bent flat", "curved"]),
    ),
)


@settings(max_examples=200, deadline=None)
@given(
    table=LEAVES,
    seat=SEATS,
    arm=ARMS,
    apart=st.floats(0.0, 0.5),
    at=st.tuples(st.floats(0, 1), st.floats(0, 1)),
)
def test_leaves_across_two_arms(table, seat, arm, apart, at):
    pair = Mount(arm, apart)
    built = built_or_refused({**table, **seat}, lambda spring: spring.pair_law(pair))
    if built is None:
        return
    spring, law = built
    assert np.isfinite(law.deflection_m).all()
    assert (np.diff(law.deflection_m) < 0).all()
    assert np.isfinite(law.stiffness_N_per_m).all()
    assert law.rock_gap_m >= 0
    assert math.isfinite(law.rock_rate_N_per_m)
    fore, aft = (arm.highest_rad + t * (arm.lowest_rad - arm.highest_rad) for t in at)
    got = spring.figures(fore, aft, pair)
    assert min(got.load_N) >= 0
    assert got.energy_J >= 0
    assert math.isfinite(got.seat_load_N)
    assert math.isfinite(got.stress_Pa)
