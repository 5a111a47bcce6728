"""What a person types becomes runs, or one clear message."""

from __future__ import annotations

from pathlib import Path

import pandas as pd
import pytest

from trundle.errors import InputError
from trundle.spec.shipped import find
from trundle.study.grid import MAX_RUNS, Axis, cases_from, check_size, make_plan, parse_axis, remarks
from trundle.study.paths import named_by


@pytest.mark.parametrize(
    ("text", "values"),
    [
        ("a.b_mm=6,7,8", (6, 7, 8)),
        ("a.b_mm = 6 , 7.5", (6, 7.5)),
        ("a.kind=coil,leaf", ("coil", "leaf")),
        ("a.at_mm=[1, 2],[3, 4]", ([1, 2], [3, 4])),
        ('a.name="x,y",z', ("x,y", "z")),
        ("m=250:350:25", (250, 275, 300, 325, 350)),
        ("m=0.1:0.4:0.1", (0.1, 0.2, 0.3, 0.4)),
        ("m=0:1:0.4", (0, 0.4, 0.8)),
        ("m=3:1:-1", (3, 2, 1)),
        ("m=5:5:1", (5,)),
        ("m=true,false", (True, False)),
    ],
)
def test_values_are_read(text: str, values: tuple[object, ...]) -> None:
    axis = parse_axis(text)
    assert axis.values == values
    assert [type(v) for v in axis.values] == [type(v) for v in values]


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("hull.mass_kg", "is not PATH=VALUES"),
        ("=3", "is not PATH=VALUES"),
        ("a=", "there are no values"),
        ("a=1,,2", "empty value"),
        ("a=1:5:0", "is empty"),
        ("a=1:5:-1", "is empty"),
        ("a=5:1", "is empty"),
        ("a=0:1:1e-9", "has 1000000001 values"),
        ("a=200:nan:3", "has no end"),
        ("a=0:inf", "has no end"),
    ],
)
def test_what_cannot_be_read_is_said(text: str, said: str) -> None:
    with pytest.raises(InputError, match=said):
        parse_axis(text)


def test_a_grid_is_every_combination() -> None:
    plan = make_plan("teasel", ["kerb-100", "yard"], ["hull.mass_kg=250,300", "drive.grip=0.5,0.6,0.7"])
    cases = list(plan)
    assert len(plan) == len(cases) == 2 * 3 * 2
    assert len({(c.settings["hull.mass_kg"], c.settings["drive.grip"], c.course) for c in cases}) == 12
    assert [c.variant for c in cases] == [1, 1, 2, 2, 3, 3, 4, 4, 5, 5, 6, 6]


def test_listed_sets_go_side_by_side() -> None:
    plan = make_plan("teasel", ["yard"], ["hull.mass_kg=250,300", "drive.grip=0.5,0.6"], listed=True)
    pairs = [(c.settings["hull.mass_kg"], c.settings["drive.grip"]) for c in plan]
    assert pairs == [(250, 0.5), (300, 0.6)]
    assert len(plan) == 2


def test_speeds_and_whole_files(tmp_path: Path) -> None:
    other = tmp_path / "other.toml"
    other.write_text(find("vehicles", "teasel").read_text())
    plan = make_plan("teasel", ["yard"], [f"vehicle={other}"], speeds_m_s=[0.8, 1.2])
    assert [(c.vehicle.stem, c.speed_m_s, c.variant) for c in plan] == [
        ("teasel", 0.8, 1),
        ("teasel", 1.2, 1),
        ("other", 0.8, 2),
        ("other", 1.2, 2),
    ]


@pytest.mark.parametrize(
    ("vary", "said"),
    [
        (["hull.mas_kg=1,2"], 'no "mas_kg"; did you mean "mass_kg"'),
        (["hul.mass_kg=1,2"], 'did you mean "hull"'),
        (["bogie.frnt.arm_mm=1"], 'did you mean "front".*front, middle, rear'),
        (["bogie.*.arm_m=1"], 'did you mean "arm_mm"'),
        (["bogie.*.spring.thicknes_mm=1"], 'did you mean "thickness_mm"'),
        (["hull.mass_kg=1", "hull.mass_kg=2"], "varied twice"),
        (["hull.mass_kg=200:300"], "needs a step"),
        (["obstacle.1.hight_mm=50"], 'did you mean "height_mm"'),
        (["obstacle.7.height_mm=50"], 'no "7"'),
        (["vehicle=nowhere.toml"], "no such vehicle"),
    ],
)
def test_an_unknown_field_is_said_with_the_nearest(vary: list[str], said: str) -> None:
    with pytest.raises(InputError, match=said):
        make_plan("teasel", ["kerb-100"], vary)


def test_unequal_listed_sets_are_said() -> None:
    with pytest.raises(InputError, match=r"hull.mass_kg 2, drive.grip 1"):
        make_plan("teasel", ["yard"], ["hull.mass_kg=1,2", "drive.grip=1"], listed=True)


def test_no_courses_and_wrong_speeds_are_said() -> None:
    with pytest.raises(InputError, match="no course"):
        make_plan("teasel", [])
    with pytest.raises(InputError, match=r"speeds_m_s: a speed of 0 m/s \(allowed: 0.01 to 30\)"):
        make_plan("teasel", ["yard"], speeds_m_s=[0.0])


def test_a_large_grid_needs_a_yes_and_costs_nothing_to_count() -> None:
    axes = [Axis("hull.mass_kg", tuple(range(1, 3001))), Axis("drive.grip", tuple(range(1, 3001)))]
    plan = make_plan("teasel", ["yard"], axes)
    assert len(plan) == 9_000_000
    with pytest.raises(InputError, match="yes: that is 9000000 runs"):
        check_size(len(plan), yes=False)
    check_size(MAX_RUNS, yes=False)
    with pytest.raises(InputError, match="empty"):
        check_size(0, yes=True)


def test_a_wildcard_passes_over_parts_without_the_field() -> None:
    """Two bogies with leaves and one with a coil: the thickness is that of the leaves."""
    data = {
        "bogie": {
            "a": {"kind": "paired arms", "spring": {"kind": "leaf across", "thickness_mm": 6.0}},
            "b": {"kind": "paired arms", "spring": {"kind": "coil", "wire_mm": 8.0}},
            "c": {"kind": "paired arms", "spring": {"kind": "leaf across", "thickness_mm": 7.0}},
        }
    }
    assert named_by("bogie.*.spring.thickness_mm", data, "f") == {
        "bogie.a.spring.thickness_mm": 6.0,
        "bogie.c.spring.thickness_mm": 7.0,
    }


def test_a_table_of_variants_becomes_cases() -> None:
    frame = pd.DataFrame({"hull.mass_kg": [250, 300], "drive.grip": [0.5, None], "speed_m_s": [1.0, None]})
    one, two = cases_from(frame, "teasel", ["yard"])
    assert (one.settings, one.speed_m_s) == ({"hull.mass_kg": 250, "drive.grip": 0.5}, 1.0)
    assert (two.settings, two.speed_m_s) == ({"hull.mass_kg": 300}, None)
    assert type(one.settings["hull.mass_kg"]) is int
    with pytest.raises(InputError, match="did you mean"):
        cases_from(frame.rename(columns={"drive.grip": "drive.girp"}), "teasel", ["yard"])


def test_what_looks_like_a_slip_is_told_of_a_compared_vehicle(tmp_path: Path) -> None:
    """All that a single run would remark, for each vehicle; none of a sound one."""
    odd = tmp_path / "odd.toml"
    odd.write_text('like = "teasel"\n[drive]\ntorque_Nm = 0.26\n')
    said = remarks(make_plan("teasel", ["kerb-50"], [f"vehicle=teasel,{odd}"]))
    assert len(said) == 1
    assert "drive.torque_Nm" in said[0]
    assert "odd.toml" in said[0]
