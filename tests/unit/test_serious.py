"""What a run found that matters, the worst first: of made-up records whose story is known."""

from __future__ import annotations

import numpy as np
import pandas as pd
import pytest
from own_vehicles import SHORT_ARMS
from record_parts import assembled, assembly_of, made, near_with, put, rolling

from trundle.findings.events.track import hangs_mm
from trundle.findings.finding import Finding, Harm
from trundle.findings.grades import Grade
from trundle.findings.serious import Case
from trundle.findings.serious.causes import at_seat, blow_on_arm
from trundle.findings.strength_lines import strength_lines
from trundle.spec.reader import parse_toml
from trundle.spec.vehicle import vehicle_from
from trundle.strength.margin import PartMargin

KERB = (("kerb 100 mm", 6.0, 6.125),)


def test_nothing_happens_and_nothing_is_found() -> None:
    """The headline has a tick and no "but"."""
    said = made(assembly_of(), rolling(assembly_of()), KERB).said
    assert said.findings == ()
    assert said.headline.grade == Grade.FINE
    assert "but" not in said.headline.text


def test_the_worst_comes_first_and_into_the_headline() -> None:
    """A track torn at before the belly on the ground before the springs that bottom out; the headline names two."""
    t = rolling(assembly_of())
    put(t, "belly.load_N", 5.0, 0.1, 300.0)
    put(t, "track.tight_N", 3.0, 0.02, 9000.0)
    put(t, "arm.front.fore.stop_N", 5.0, 0.01, 0.6 * assembly_of().weight_N)
    said = made(assembly_of(), t, KERB).said
    assert [f.harm for f in said.findings] == [Harm.BREAKS, Harm.HITS, Harm.NEARLY]
    assert said.headline.text.startswith(
        "Try over Yard: gets over, but the track is pulled over its limit and the belly strikes the ground (10.0 m"
    )
    assert str(said).index(said.headline.text) < str(said).index(said.findings[0].text)


def test_grade_before_harm_before_size() -> None:
    """A failure that throws the track is told before a risk that breaks something; of two alike, the larger."""

    def one(harm: Harm, grade: Grade, size: float) -> Finding:
        return Finding(harm, grade, size, "", "", "")

    order = [
        one(Harm.THROWS, Grade.FAIL, 1.0), one(Harm.BREAKS, Grade.RISK, 2.0), one(Harm.BREAKS, Grade.RISK, 1.5),
        one(Harm.STRIKES, Grade.RISK, 9.0), one(Harm.BREAKS, Grade.NOTE, 9.0),
    ]  # fmt: skip
    assert sorted(order, key=lambda f: f.order, reverse=True) == order


def test_a_finding_says_where_and_why() -> None:
    """Place, obstacle, speed, and what the arm had left."""
    t = rolling(assembly_of(), speed=1.2, seconds=8.0)
    put(t, "arm.front.fore.stop_N", 3.4, 0.02, 0.6 * assembly_of().weight_N)
    finding = made(assembly_of(), t, KERB).said.findings[0]
    assert "(front fore, at 5." in finding.text
    # From level standing down to the stop, arc's height: 200 mm arms.
    part = assembly_of().parts.swings[0]
    rise = 1e3 * part.radius * (np.sin(0.5 * (part.bump + part.droop)) - np.sin(part.bump))
    assert finding.causes == ("on kerb 100 mm at 1.2 m/s", f"{rise:.0f} mm of travel standing", "pad 120 N/mm")


def test_a_loose_track_is_a_risk_where_it_hangs_as_deep_as_its_tooth() -> None:
    """sqrt(3 L s / 8) of the longest free piece, 741 mm: 7 mm to spare hang 44.1 mm deep, 2 mm 23.6 mm; 35 mm tooth."""
    track = assembly_of().vehicle.track
    assert track is not None
    assert hangs_mm(7.0, track) == pytest.approx(np.sqrt(3.0 * 741.0 * 7.0 / 8.0))
    for spare, grade in ((7.0, Grade.RISK), (2.0, Grade.NOTE)):
        t = rolling(assembly_of())
        put(t, "track.slack_N", 2.0, 0.3, 0.0)
        put(t, "track.spare_mm", 2.0, 0.3, spare)
        said = made(assembly_of(), t, KERB).said
        assert [(f.harm, f.grade) for f in said.findings] == [(Harm.THROWS, grade)]
        assert ("can be thrown" in said.findings[0].text) == (grade is Grade.RISK)


def test_a_pitch_near_tipping_is_told() -> None:
    """atan(distance to the last wheel / height of the centre of mass), here from the made-up places."""
    t = rolling(assembly_of())
    back = float(t["hull.x_mm"][0] - t["wheel.rear.aft.x_mm"][0])
    high = 400.0 - (100.0 - float(assembly_of().model.rings["radius"][-3]) * 1e3)
    tips = np.degrees(np.arctan2(back, high))
    put(t, "hull.pitch_deg", 5.0, 0.2, 0.9 * tips)
    findings = made(assembly_of(), t, KERB).said.findings
    assert [f.short for f in findings] == ["it nearly tips back"]
    assert f"{0.9 * tips:.0f}° of the {tips:.0f}°" in findings[0].text
    put(t, "hull.pitch_deg", 5.0, 0.2, 0.5 * tips)
    assert made(assembly_of(), t, KERB).said.findings == ()


def test_no_tick_over_an_obstacle_where_something_gave() -> None:
    """The obstacle's own line says "over, but"."""
    t = rolling(assembly_of())
    put(t, "track.tight_N", 5.0, 0.02, 9000.0)
    said = made(assembly_of(), t, KERB).said
    assert said.obstacles[0].outcome.text == "over, but the track is pulled over its limit."
    assert said.obstacles[0].grade == Grade.RISK


def test_a_run_that_ends_early_says_what_it_had_in_use() -> None:
    """It stays on the kerb, all of its grip in use."""
    t = rolling(assembly_of(), seconds=5.5)
    t["drive.grip_used"] = 1.0
    found = made(assembly_of(), t, KERB, "stalled: the grip is used up, the track slips").said.findings[0]
    assert (found.harm, found.grade) == (Harm.STOPS, Grade.FAIL)
    assert found.text == "It stays on kerb 100 mm: stalled: the grip is used up, the track slips."
    assert "grip 100 % used" in found.causes


THIN = (
    ("bogie.*.build.arm.kind", "flat"),
    ("bogie.*.build.arm.side_mm", 20.0),
    ("bogie.*.build.arm.thickness_mm", 3.0),
    ("bogie.*.build.axle.thread", "M20"),
)
"""Arms of thin flat bar on thick axles."""


def test_an_arm_that_bends_is_the_worst_with_its_chain_of_causes() -> None:
    """3 kN upward on the front wheel, its arm thin and on the bump stop: FAIL, before all else, and why."""
    assembly = assembly_of(str(SHORT_ARMS), THIN)
    t = rolling(assembly, speed=1.2, seconds=8.0)
    bump = np.degrees(assembly.parts.swings[0].bump)
    put(t, "wheel.front.fore.force_up_N", 3.4, 0.02, 3000.0)
    put(t, "wheel.front.fore.load_N", 3.4, 0.02, 3000.0)
    put(t, "wheel.front.fore.load_N", 3.3, 0.1, 0.0)
    put(t, "wheel.front.fore.y_mm", 3.3, 0.1, 160.0)
    put(t, "arm.front.fore.angle_deg", 3.4, 0.02, float(bump))
    put(t, "track.tight_N", 3.0, 0.02, 9000.0)
    said = made(assembly, t, KERB).said
    worst = said.findings[0]
    assert (worst.harm, worst.grade, worst.figure) == (Harm.BREAKS, Grade.FAIL, "arm_margin")
    assert worst.part == "arm front.fore"
    assert said.headline.grade == Grade.FAIL
    assert said.headline.text.startswith("Try over Yard: gets over, but the front fore arm bends for good and ")
    assert worst.causes == (
        "on kerb 100 mm at 1.2 m/s",
        "front fore wheel was off the ground and came down 60 mm",
        "front fore wheel is pushed up with 3.0 kN (one wheel's)",
        "arm on its bump stop (pad 400 N/mm)",
        "rubber 350 N/mm",
    )
    strength = next(s for s in said.sections if s.title == "Strength")
    assert strength.lines[0].text.startswith("Arms: least margin 0.")
    assert strength.lines[0].grade == Grade.FAIL


def test_a_stone_under_one_wheel_is_a_case_of_its_own() -> None:
    """1 kN on both wheels of a pair bends an open channel by 15 MPa; on one of them alone its twist passes yield. That
    did not happen: a risk, not a failure, and the margins of the run know nothing of it."""
    assembly = assembly_of(str(SHORT_ARMS))
    t = rolling(assembly, speed=1.2, seconds=8.0)
    put(t, "wheel.front.fore.force_up_N", 3.4, 0.02, 1000.0)
    record = made(assembly, t, KERB)
    [finding] = record.said.findings
    assert (finding.harm, finding.grade, finding.figure) == (Harm.NEARLY, Grade.RISK, "arm_on_stone_margin")
    assert finding.text.startswith(
        "The front fore arm would bend if one wheel of the pair met it alone: 257 MPa where 235 is its limit, while "
        "both together make 15, at 5."
    )
    assert record.summary["arm_on_stone_margin"] < 1.0 < 5.0 <= record.summary["least_margin"] + 0.01
    assert "for good" not in record.said.text
    strength = next(s for s in record.said.sections if s.title == "Strength")
    [line] = [x for x in strength.lines if "alone" in x.text]
    assert line.grade == Grade.NOTE
    assert "did not happen" in line.text


def test_what_gives_only_in_runs_close_by_has_no_figures_of_this_run() -> None:
    """In one of eight the arms' margin is 0.77, in the run that is kept they hold: no MPa, moment or causes of that."""
    assembly = assembly_of(str(SHORT_ARMS))
    t = rolling(assembly, speed=1.2, seconds=8.0)
    put(t, "wheel.front.fore.force_up_N", 3.4, 0.02, 400.0)
    near = near_with({"arm_margin": [30.0, 9.0, 0.77, 12.0, 9.0, 14.0, 11.0, 10.0]})
    said = made(assembly, t, KERB, near=near).said
    [finding] = said.findings
    assert (finding.harm, finding.grade, finding.figure) == (Harm.BREAKS, Grade.RISK, "arm_margin")
    own = min(m.margin for m in said.margins if m.kind == "arm")
    assert finding.text == (
        "An arm bends for good in 1 of 8 runs: in the worst of them margin 0.77, not in the run that is kept "
        f"({own:.2f})."
    )
    assert (finding.part, finding.time_s, finding.causes) == ("", 0.0, ())
    [line] = [x for x in strength_lines(said.margins, assembly, near) if x.text.startswith("Arms: least")]
    assert line.grade == Grade.NOTE
    assert line.text.endswith("; in 1 of 8 runs below 1.")
    [most] = [
        x
        for x in strength_lines(said.margins, assembly, near_with({"arm_margin": 5 * [0.9] + 3 * [1.1]}))
        if x.text.startswith("Arms: least")
    ]
    assert most.grade == Grade.FAIL


def test_no_tick_over_strength_that_nobody_knows() -> None:
    """Without [build] of two bogies: a note in the headline, what is missing and where it goes; one without its axle
    only is known in part. A spring stated by its rate has no steel to know."""
    data = parse_toml(SHORT_ARMS.read_text(encoding="utf-8"), "short-arms.toml")
    for name in ("front", "rear"):
        del data["bogie"][name]["build"]
    assembly = assembled(vehicle_from(data))
    record = made(assembly, rolling(assembly), KERB)
    [finding] = record.said.findings
    assert (finding.harm, finding.grade, finding.figure) == (Harm.BREAKS, Grade.NOTE, "margins_missing")
    assert finding.short == "part of its strength is not known"  # the middle bogie's is
    assert finding.text == (
        "Not worked out: axle bolts, pivot bolts, arms, brackets of front, rear: add [bogie.front.build], "
        "[bogie.rear.build]."
    )
    assert record.summary["margins_missing"] == 8
    assert record.said.headline.grade == Grade.NOTE
    assert "gets over, but part of its strength is not known (" in record.said.headline.text
    del data["bogie"]["middle"]["build"]
    bare = assembled(vehicle_from(data))
    assert made(bare, rolling(bare), KERB).said.findings[0].short == "its strength is not known"
    barrow = assembly_of("barrow")
    record = made(barrow, rolling(barrow), KERB)
    assert record.summary["margins_missing"] == 0
    assert record.said.headline.grade == Grade.FINE
    [strength] = [s for s in record.said.sections if s.title == "Strength"]
    assert [x.grade for x in strength.lines if x.text.startswith("Not worked out: ")] == [Grade.NOTE] * 2


def test_what_only_may_be_bad_is_named_where_nothing_is() -> None:
    """A stop of 2.6 g for 30 ms, from half of what is a risk on: a note in the headline, not a tick."""
    t = rolling(assembly_of())
    put(t, "seat.forward_m_s2", 5.0, 0.03, -26.0)
    said = made(assembly_of(), t, KERB).said
    assert said.headline.grade == Grade.NOTE
    assert "the rider is jerked forward at 2." in said.headline.text


@pytest.mark.parametrize(
    ("doubtful", "grade", "said"),
    [
        (1, Grade.NOTE, "1 of 8 runs close by is not to be trusted: its energy ledger does not close, it is left out."),
        (4, Grade.RISK, "4 of 8 runs close by are not to be trusted: their energy ledger does not close, they are"),
    ],
)
def test_runs_close_by_whose_ledger_does_not_close_are_counted(doubtful: int, grade: Grade, said: str) -> None:
    """This run's closes; theirs does not."""
    near = near_with({"energy_error": [0.0] * (8 - doubtful) + [0.01] * doubtful})
    found = made(assembly_of(), rolling(assembly_of()), KERB, near=near).said.findings
    assert [(f.harm, f.grade) for f in found] == [(Harm.STOPS, grade)]
    assert found[0].text.startswith(said)


HEAVY = 0.6 * assembly_of().weight_N
TIPS = 60.0

HAPPENS = [
    ("peak_track_tension_N", 9000.0, Harm.BREAKS, "the track is pulled over its limit"),
    ("peak_belly_load_N", 556.0, Harm.HITS, "the belly strikes the ground"),
    ("peak_sprocket_load_N", 1.5 * assembly_of().weight_N, Harm.HITS, "the sprocket is run into the ground"),
    ("peak_bump_stop_N", HEAVY, Harm.NEARLY, "the arms bottom out"),
    ("wheel_clear_of_tooth", 1.0, Harm.THROWS, "the track can walk off"),
    ("peak_nose_up_deg", TIPS, Harm.THROWS, "it nearly tips back"),
    ("peak_nose_down_deg", TIPS, Harm.THROWS, "it nearly tips forward"),
]
"""What happens in a run close by, and what is to be said of it; the made-up run itself just rolls."""


@pytest.mark.parametrize(("figure", "value", "harm", "short"), HAPPENS)
@pytest.mark.parametrize(("count", "grade"), [(1, Grade.NOTE), (3, Grade.NOTE), (4, Grade.RISK), (7, Grade.RISK)])
def test_what_happens_in_runs_close_by_alone_is_told(
    figure: str, value: float, harm: Harm, short: str, count: int, grade: Grade
) -> None:
    """In fewer than half a note, in half a risk, and never a tick: in how many, and that the kept run has none."""
    near = near_with({figure: [0.0] * (8 - count) + [value] * count})
    said = made(assembly_of(), rolling(assembly_of()), KERB, near=near).said
    assert [(f.harm, f.grade, f.short) for f in said.findings] == [(harm, grade, f"{short} in {count} of 8 runs")]
    assert said.findings[0].text.count("of 8 runs") == 1
    if "tips" not in short:
        assert "not in the run that is kept" in said.findings[0].text
        assert said.findings[0].causes == ()
    if grade is Grade.RISK:
        assert said.headline.grade == Grade.RISK
        assert short in said.headline.text


@pytest.mark.parametrize(("count", "grade"), [(3, Grade.NOTE), (4, Grade.RISK)])
def test_a_track_that_lets_go_in_runs_close_by_alone_is_told(count: int, grade: Grade) -> None:
    near = near_with(
        {
            "track_loose_longest_s": [0.05] * 2 + [0.2] * 6, "track_lets_go": [0] * (8 - count) + [1] * count,
            "track_loose_s": [0.3] * 8,
        }
    )  # fmt: skip
    found = made(assembly_of(), rolling(assembly_of()), KERB, near=near).said.findings
    assert [(f.harm, f.grade) for f in found] == [(Harm.THROWS, grade)]
    assert found[0].text == (
        f"The loose track can be thrown in {count} of 8 runs: loose for 0.30 s in all, not in the run that is kept."
    )


def test_what_happens_in_this_run_alone_is_a_note() -> None:
    """The belly strikes in the run that is kept and in none of the seven others: not for granted."""
    t = rolling(assembly_of())
    put(t, "belly.load_N", 5.0, 0.1, 300.0)
    near = near_with({"peak_belly_load_N": [300.0] + 7 * [0.0]})
    found = made(assembly_of(), t, KERB, near=near).said.findings
    assert [(f.harm, f.grade) for f in found] == [(Harm.HITS, Grade.NOTE)]
    assert "strikes the ground in 1 of 8 runs: hardest 300 N, 0.1 times the vehicle's weight, at 6." in found[0].text


def test_a_long_spell_and_a_deep_one_are_not_one() -> None:
    """0.3 s without pull but nothing to hang, and 50 ms with 20 mm to spare: neither throws the track."""
    t = rolling(assembly_of())
    put(t, "track.slack_N", 2.0, 0.3, 0.0)
    put(t, "track.slack_N", 4.0, 0.05, 0.0)
    put(t, "track.spare_mm", 4.0, 0.05, 20.0)
    record = made(assembly_of(), t, KERB)
    assert (record.summary["track_lets_go"], record.summary["track_loose_longest_s"]) == (0, pytest.approx(0.3))
    found = record.said.findings[0]
    assert (found.grade, found.short) == (Grade.NOTE, "the track hangs loose")
    assert "0.3 s at a stretch at 3.00 m." in found.text
    # The long one deep too: that spell is told, though a later one is longer.
    put(t, "track.spare_mm", 2.0, 0.3, 10.0)
    put(t, "track.slack_N", 6.0, 0.6, 0.0)
    record = made(assembly_of(), t, KERB)
    assert record.summary["track_lets_go"] == 1
    found = record.said.findings[0]
    assert (found.grade, found.short) == (Grade.RISK, "the loose track can be thrown")
    assert "0.3 s at a stretch at 3.00 m, with 10 mm of it to spare that hang 53 mm deep" in found.text


@pytest.mark.parametrize(
    ("jolts", "grade", "short"),
    [
        ([4.1] * 8, Grade.RISK, "the rider is thrown forward at 4.1 g"),
        ([4.4] * 5 + [3.0] * 3, Grade.RISK, "the rider is thrown forward at 4.4 g"),
        ([4.4] * 3 + [3.0] * 5, Grade.NOTE, "the rider is thrown forward at over 4 g in 3 of 8 runs"),
        ([2.2] * 5 + [1.0] * 3, Grade.NOTE, "the rider is jerked forward at 2.2 g"),
        ([2.2] * 3 + [1.0] * 5, Grade.NOTE, "the rider is jerked forward at over 2 g in 3 of 8 runs"),
    ],
)
def test_a_jolt_of_some_runs_is_not_told_as_that_of_all(jolts: list[float], grade: Grade, short: str) -> None:
    """The median of all where it is over the line; else the line, and how often it is passed. The sentence has both."""
    t = rolling(assembly_of())
    put(t, "seat.forward_m_s2", 5.0, 0.03, -15.0)
    near = near_with({"peak_seat_forward_g": jolts, "seat_slides_mm": [0.0] * 8})
    found = made(assembly_of(), t, KERB, near=near).said.findings[0]
    assert (found.grade, found.short) == (grade, short)
    middle = np.median(jolts)
    assert f": {middle:.2f} g" in found.text
    assert ("of 8 runs" in found.text) == (jolts != [4.1] * 8)


def test_a_jolt_up_of_some_runs_is_not_told_as_that_of_all() -> None:
    near = near_with({"peak_seat_g": [6.0, 5.0, 3.0, 3.0, 3.0, 3.0, 3.0, 3.0]})
    t = rolling(assembly_of())
    put(t, "seat.up_m_s2", 5.0, 0.03, 20.0)
    found = made(assembly_of(), t, KERB, near=near).said.findings[0]
    assert found.short == "the rider is jolted up at over 4 g in 2 of 8 runs"
    assert found.text.startswith("The rider is jolted up: 3.00 g (3.00 to 6.00), over 4 g in 2 of 8 runs, on top")


def test_the_force_that_holds_the_rider_is_of_the_median() -> None:
    """As the jolt beside it: one page, one figure."""
    t = rolling(assembly_of())
    put(t, "seat.forward_m_s2", 5.0, 0.03, -60.0)
    near = near_with(
        {"peak_seat_forward_g": [5.0] * 8, "seat_forward_force_N": [3700.0] * 8, "seat_force_N": [3900.0] * 8}
    )
    assert "takes 3.7 kN along, 3.9 kN in all" in made(assembly_of(), t, KERB, near=near).said.findings[0].text


def _hit(t: pd.DataFrame, part: str, forward: float, up: float) -> None:
    put(t, f"{part}.force_forward_N", 5.0, 0.03, forward)
    put(t, f"{part}.force_up_N", 5.0, 0.03, up)
    put(t, f"{part}.load_N", 5.0, 0.03, float(np.hypot(forward, up)))


def test_what_throws_forward_is_no_push_forward() -> None:
    """A larger push forward on the sprocket than back on the wheels (two abreast): these are what stops the seat."""
    t = rolling(assembly_of())
    put(t, "seat.forward_m_s2", 5.0, 0.03, -60.0)
    for wheel in assembly_of().wheel:
        t[f"wheel.{wheel}.y_mm"] = t["hull.y_mm"]
    t["sprocket.y_mm"] = t["idler.y_mm"] = t["hull.y_mm"]
    _hit(t, "wheel.front.fore", -4000.0, 0.0)
    _hit(t, "sprocket", 9000.0, 0.0)
    put(t, "belly.load_N", 5.0, 0.03, 20000.0)
    causes = next(f for f in made(assembly_of(), t, KERB).said.findings if f.harm is Harm.STRIKES).causes
    assert causes[-1] == "the front fore wheels are pushed back with 16.0 kN on both sides together"


def test_what_jolts_up_is_the_belly_if_it_bears_most() -> None:
    """It has only an upright load: upwards it counts, along not. An end's is told of both sides."""
    for belly, end, said in (
        (9000.0, 1000.0, "the belly strikes the ground with 9.0 kN"),
        (500.0, 2000.0, "the idler strikes the ground with 4.0 kN on both sides together"),
    ):
        t = rolling(assembly_of())
        put(t, "seat.up_m_s2", 5.0, 0.03, 60.0)
        t["idler.x_mm"], t["idler.y_mm"] = t["hull.x_mm"], t["hull.y_mm"]
        _hit(t, "idler", 0.0, end)
        put(t, "belly.load_N", 5.0, 0.03, belly)
        causes = next(f for f in made(assembly_of(), t, KERB).said.findings if f.harm is Harm.STRIKES).causes
        assert causes[-1] == said


def test_a_push_ahead_of_the_middle_pitches_the_seat() -> None:
    """Newton and Euler for one stiff body: a = F / m + alpha x r, with alpha = r x F / J."""
    assembly = assembly_of()
    t = rolling(assembly)
    t["idler.y_mm"] = t["hull.y_mm"] - 200.0
    _hit(t, "idler", -700.0, 900.0)
    case = Case(lambda n: t[n].to_numpy(), [], {"dt_ms": 1.0}, assembly, [], [], None)
    row, two = 5010, 2.0
    ahead = 1e-3 * float(t["idler.x_mm"][row] - t["hull.x_mm"][row])
    force, arm = two * np.array([-700.0, 900.0, 0.0]), np.array([ahead, -0.2, 0.0])
    hull = assembly.model.hull
    alpha = np.cross(arm, force) / float(assembly.model.bodies["inertia"][0])
    seat = force / assembly.mass_kg + np.cross(alpha, [float(hull.seat_x), float(hull.seat_y), 0.0])
    made_by = [float(at_seat(case, "idler", slice(row, row + 1), forward)[0]) for forward in (True, False)]
    np.testing.assert_allclose(made_by, seat[:2], rtol=1e-9)


def test_the_wheel_whose_blow_a_spring_bore_is_the_one_struck_hardest() -> None:
    """Of the two wheels of the bogie: the aft one, not the first."""
    assembly = assembly_of(str(SHORT_ARMS))
    t = rolling(assembly)
    put(t, "wheel.front.aft.force_up_N", 5.0, 0.02, 2000.0)
    put(t, "wheel.front.aft.force_forward_N", 5.0, 0.02, -2000.0)
    case = Case(lambda n: t[n].to_numpy(), [], {"dt_ms": 1.0}, assembly, [], [], None)
    spring = PartMargin("spring", "front", "", 1.0, 1.0, 1.0, 5.01, 6.0, 0.0, 0.0, "")
    assert "front aft wheel is pushed back and up with 2.8 kN (one wheel's), 45° from level" in blow_on_arm(
        case, spring
    )


def test_what_is_thrown_out_was_pushed_up_before() -> None:
    """2 g up for 0.1 s by the front wheels, then the seat falls away at 2 g: the push is the cause."""
    t = rolling(assembly_of())
    put(t, "seat.up_m_s2", 5.0, 0.1, 30.0)
    put(t, "seat.up_m_s2", 5.1, 0.15, -25.0)
    put(t, "wheel.middle.fore.force_up_N", 5.0, 0.1, 2500.0)
    found = next(f for f in made(assembly_of(), t, KERB).said.findings if "out of the seat" in f.short)
    assert "the middle fore wheels are pushed up with 10.0 kN on both sides together" in found.causes


@pytest.mark.parametrize(("count", "grade"), [(3, Grade.NOTE), (4, Grade.RISK)])
def test_a_plate_dented_in_runs_close_by_alone_is_told(count: int, grade: Grade) -> None:
    """All eight strike, not all hard enough; in how many is said once of each."""
    assembly = assembly_of()
    dent = assembly.dent_N
    assert dent is not None
    t = rolling(assembly)
    put(t, "belly.load_N", 5.0, 0.05, 0.5 * dent)
    near = near_with({"peak_belly_load_N": [0.5 * dent] * (8 - count) + [1.5 * dent] * count})
    found = made(assembly, t, KERB, near=near).said.findings
    dented = next(f for f in found if f.harm is Harm.BREAKS)
    assert (dented.grade, dented.causes) == (grade, ())
    assert dented.text.startswith(f"The belly plate is dented in {count} of 8 runs: struck with ")
    assert dented.text.endswith("on, not in the run that is kept.")
    assert dented.text.count(" runs") == 1
    assert next(f for f in found if f.harm is Harm.HITS).short == "the belly strikes the ground"
