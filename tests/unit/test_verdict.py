"""The verdict in words: what it says of made-up records whose story is known."""

from __future__ import annotations

import numpy as np
import pytest
from record_parts import Made, assembly_of, lift, made, near_with, put, rolling

from trundle.findings import words
from trundle.findings.grades import Grade, Line
from trundle.findings.short import worst_mean

KERB = (("kerb 100 mm", 6.0, 6.125),)


def lines(record: Made, title: str) -> dict[str, Grade]:
    """Text and grade of the lines of one section."""
    return {x.text: x.grade for s in record.said.sections if s.title == title for x in s.lines}


def test_a_kerb_in_plain_words() -> None:
    """Speed on approach, over, hits counted on one arm, wheel off, belly clear."""
    t = rolling(assembly_of(), speed=1.2, seconds=8.0)
    for at, peak in ((3.4, 900.0), (3.6, 1400.0)):  # the front fore wheel is near 6 m
        put(t, "arm.front.fore.stop_N", at, 0.02, peak)
    put(t, "wheel.rear.aft.load_N", 4.6, 0.2, 0.0)
    lift(t, "wheel.rear.aft.y_mm", 4.6, 0.2, 30.0)  # the wheel with its track is 110 mm in radius, 100 up
    put(t, "belly.clearance_mm", 4.0, 0.1, 31.0)
    said = made(assembly_of(), t, KERB).said.obstacles[0]
    assert said.text == (
        "Kerb 100 mm at 1.2 m/s: over. Front fore bump stop hit twice, hardest 1.4 kN. "
        "Rear aft wheel off the ground for 0.2 s, up to 20 mm above what is under it. Belly 31 mm clear."
    )
    assert said.outcome == Line(Grade.FINE, "over.")


def test_many_hits_become_counts() -> None:
    """Hits on several arms: how many, on how many arms, and the hardest with its arm."""
    t = rolling(assembly_of())
    for k, arm in enumerate(("front.fore", "front.aft", "middle.fore")):
        put(t, f"arm.{arm}.stop_N", 5.0 + 0.1 * k, 0.01, 300.0 + 100.0 * k)
        put(t, f"wheel.{arm}.load_N", 5.0 + 0.1 * k, 0.1 + 0.1 * k, 0.0)
    detail = made(assembly_of(), t, (("kerb", 6.0, 6.5),)).said.obstacles[0].detail
    assert "Bump stops hit 3 times on 3 arms, hardest 500 N (middle fore)." in detail
    assert "3 of 6 stations leave the ground, at most 2 at once; longest middle fore for 0.3 s in all" in detail


def test_a_hull_flies_when_all_its_wheels_are_off() -> None:
    """Five of six off are not flying; all six are, as long as they are so together."""
    t = rolling(assembly_of())
    for k, wheel in enumerate(assembly_of().wheel[:-1]):
        put(t, f"wheel.{wheel}.load_N", 4.5, 0.5 + 0.1 * k, 0.0)
    kerb = (("kerb", 6.0, 6.5),)
    text = made(assembly_of(), t, kerb).said.obstacles[0].detail
    assert "5 of 6 stations leave the ground, at most 5 at once; longest rear fore for 0.9 s in all" in text
    put(t, f"wheel.{assembly_of().wheel[-1]}.load_N", 4.7, 1.0, 0.0)
    text = made(assembly_of(), t, kerb).said.obstacles[0].detail
    assert "6 of 6 stations leave the ground, all at once for 0.3 s: the hull flies; longest rear aft" in text


def test_a_hull_on_its_belly_does_not_fly() -> None:
    t = rolling(assembly_of())
    for wheel in assembly_of().wheel:
        put(t, f"wheel.{wheel}.load_N", 4.5, 0.5, 0.0)
    put(t, "belly.load_N", 4.5, 0.47, 3000.0)
    text = made(assembly_of(), t, (("kerb", 6.0, 6.5),)).said.obstacles[0].detail
    assert "6 of 6 stations leave the ground, all at once for 0.5 s; longest" in text
    put(t, "belly.load_N", 4.5, 0.3, 0.0)
    text = made(assembly_of(), t, (("kerb", 6.0, 6.5),)).said.obstacles[0].detail
    assert "all at once for 0.5 s, the hull in flight for 0.3 s; longest" in text


def test_over_only_when_the_tail_has_passed() -> None:
    """The same roll cut short while the tail is still on it: not over, with place and reason."""
    t = rolling(assembly_of(), seconds=5.5)
    record = made(assembly_of(), t, KERB, "stalled: the motor is at its limit")
    kerb = record.said.obstacles[0]
    assert kerb.grade == Grade.FAIL
    assert kerb.outcome.text == (
        "not over. Ends with its centre of mass 0.50 m past its start: stalled: the motor is at its limit."
    )
    assert record.said.headline.grade == Grade.FAIL
    assert record.said.headline.text == (
        "Try over Yard: does not get over. Ends on kerb 100 mm after 5.5 m in 5.5 s: "
        "stalled: the motor is at its limit."
    )


def test_a_course_that_ends_too_soon_is_not_called_over() -> None:
    """The run is complete, but the tail never left the obstacle."""
    record = made(assembly_of(), rolling(assembly_of(), seconds=5.5), KERB)
    assert "the course ends before the tail is over it" in record.said.obstacles[0].outcome.text
    assert record.said.headline.grade == Grade.NOTE


def test_a_tail_still_on_the_obstacle_and_what_gives_are_one_sentence() -> None:
    """No "but" behind another, and in how many runs it gets so far."""
    t = rolling(assembly_of(), seconds=5.5)
    put(t, "track.tight_N", 5.0, 0.02, 9000.0)
    near = near_with({}, 6 * ["course end"] + 2 * ["stalled"])
    said = made(assembly_of(), t, KERB, near=near).said
    assert said.headline.text == (
        "Try over Yard: reaches the end in 6 of 8 runs, where its tail is still on kerb 100 mm, "
        "but the track is pulled over its limit (5.5 m in 5.5 s)."
    )


def test_two_obstacles_are_both() -> None:
    spans = (("first", 3.0, 3.2), *KERB)
    assert "gets over both obstacles," in made(assembly_of(), rolling(assembly_of()), spans).said.headline.text
    spans = (("none", 2.5, 2.6), *spans)
    assert "gets over all 3 obstacles," in made(assembly_of(), rolling(assembly_of()), spans).said.headline.text


def test_of_what_happens_on_an_obstacle_two_are_named() -> None:
    """Four things on one kerb: the two worst, and how many more."""
    t = rolling(assembly_of())
    put(t, "track.tight_N", 5.0, 0.02, 9000.0)
    put(t, "belly.load_N", 5.0, 0.1, 300.0)
    for end in ("sprocket", "idler"):
        put(t, f"{end}.load_N", 5.0, 0.02, 2.0 * assembly_of().weight_N)
    text = made(assembly_of(), t, KERB).said.obstacles[0].outcome.text
    assert text == "over, but the track is pulled over its limit, the sprocket is run into the ground and 2 more."


def test_whose_figures_follow_is_said_once_at_the_head_of_the_obstacles() -> None:
    """Findings tell medians, what follows the run that is kept; of a run alone there is nothing to tell apart."""
    t = rolling(assembly_of())
    said = made(assembly_of(), t, KERB, near=near_with({})).said
    assert "Figures are those of this one run, the first of 8 close by." in str(said)
    put(t, "belly.load_N", 5.0, 0.1, 300.0)
    said = made(assembly_of(), t, KERB, near=near_with({})).said
    assert str(said).count("medians of 8 runs close by; from here on they are this one run's.") == 1
    assert str(said).index("This run, obstacle by obstacle") < str(said).index(said.obstacles[0].text)
    alone = str(made(assembly_of(), t, KERB).said)
    assert "Obstacle by obstacle" in alone
    assert "medians" not in alone


def test_obstacles_behind_the_one_that_stops_it() -> None:
    """Passed, stopped on, and not reached are told apart."""
    t = rolling(assembly_of(), seconds=5.5)
    spans = (("first", 3.0, 3.2), *KERB, ("last", 12.0, 12.5))
    said = made(assembly_of(), t, spans, "overturned").said
    assert [o.outcome.text.split(".")[0] for o in said.obstacles] == ["over", "not over", "not reached"]
    assert said.obstacles[2].heading == "Last"  # no speed: it was never there
    assert "obstacle 2 of 3" in said.headline.text


def test_belly_down_and_a_hard_hit_are_risks() -> None:
    """Signs and words carry the grade."""
    t = rolling(assembly_of())
    put(t, "belly.load_N", 5.0, 0.1, 600.0)
    put(t, "arm.front.fore.stop_N", 5.0, 0.01, 0.6 * assembly_of().weight_N)
    record = made(assembly_of(), t, KERB)
    kerb = record.said.obstacles[0]
    assert kerb.grade == Grade.RISK
    assert "Belly touched once, 0.1 s in all, hardest 600 N." in kerb.detail
    assert (Grade.RISK.sign, Grade.RISK.word) == ("!", "risk")


def test_track_lines() -> None:
    """Slack lost, a wheel clear of the guide tooth, and tension over the limit are said and graded."""
    quiet = lines(made(assembly_of(), rolling(assembly_of()), KERB), "Track")
    assert set(quiet.values()) == {Grade.FINE}
    assert "Never loose." in quiet
    t = rolling(assembly_of())
    put(t, "track.slack_N", 1.0, 0.3, 0.0)
    put(t, "track.slack_N", 2.0, 0.1, 0.0)
    put(t, "wheel.middle.fore.band_gap_mm", 2.0, 0.05, 90.0)
    put(t, "track.tight_N", 3.0, 0.02, 9000.0)
    told = lines(made(assembly_of(), t, KERB), "Track")
    assert told["Loose twice, 0.4 s in all, longest 0.3 s."] == Grade.NOTE  # no pull, but nothing to hang down
    assert told["Highest tension 9.0 kN in one track, over the stated 6.0 kN once."] == Grade.RISK
    put(t, "track.tight_N", 3.0, 0.02, 5600.0)
    near = lines(made(assembly_of(), t, KERB), "Track")
    may = "links that pass the sprocket and the hull's jerk can make it 7.8 kN"
    assert near[f"Highest tension 5.6 kN in one track, limit 6.0 kN; {may}."] == Grade.NOTE
    tooth = next(text for text in told if "guide tooth" in text)
    assert "up to 90 mm off the track" in tooth
    assert told[tooth] == Grade.RISK


def test_standing_on_a_stop_is_said() -> None:
    """An arm on its bump stop before anything moves is a risk, on its droop stop a note."""
    t = rolling(assembly_of())
    put(t, "arm.front.fore.stop_N", 0.0, 1.0, 80.0)
    put(t, "arm.rear.aft.stop_N", 0.0, 1.0, -80.0)
    told = lines(made(assembly_of(), t, KERB), "Hull and wheels")
    assert told["Stands on its bump stop: front fore."] == Grade.RISK
    assert told["Stands on its droop stop: rear aft."] == Grade.NOTE


def test_a_wheeled_vehicle_has_no_track_lines() -> None:
    """And the rest still comes."""
    record = made(assembly_of("barrow"), rolling(assembly_of("barrow")), KERB)
    titles = [s.title for s in record.said.sections]
    assert "Track" not in titles
    assert {"Hull and wheels", "Grip", "Seat", "Motor", "Trust"} <= set(titles)


def test_a_ledger_that_does_not_close_is_said_first() -> None:
    """Above 0.5 % the run is not to be trusted, in the headline too; below it closes."""
    t = rolling(assembly_of())
    put(t, "energy.error_J", 3.0, 1.0, 7.0)
    record = made(assembly_of(), t, KERB)
    assert record.said.headline.grade == Grade.FAIL
    assert record.said.headline.text == (
        "Not to be trusted, since the energy ledger does not close. Try over Yard: gets over, 10.0 m in 10 s."
    )
    assert Grade.FAIL in lines(record, "Trust").values()
    good = made(assembly_of(), rolling(assembly_of()), KERB)
    assert good.said.headline == Line(Grade.FINE, "Try over Yard: gets over, 10.0 m in 10 s.")


def test_seat_comfort_words_and_caveats() -> None:
    """5 Hz at 0.75 m/s2 weighted is `fairly uncomfortable` (ISO 2631-1 C.2.3, from memory: 0.5 to 1)."""
    t = rolling(assembly_of(), seconds=40.0, speed=0.1)
    t["seat.up_m_s2"] = 0.75 * np.sqrt(2.0) / 1.039 * np.sin(2.0 * np.pi * 5.0 * t["time_s"])
    said = lines(made(assembly_of(), t, (("kerb", 2.0, 2.1),)), "Seat")
    assert any("fairly uncomfortable" in text for text in said)
    assert any("Annex C" in text for text in said)
    put(t, "seat.up_m_s2", 20.0, 0.15, -12.0)
    said = lines(made(assembly_of(), t, (("kerb", 2.0, 2.1),)), "Seat")
    assert Grade.RISK in said.values()  # falls faster than the rider


def test_motor_lines_give_peak_and_continuous() -> None:
    """Highest mean over a second of a pulse of 0.5 s is half of it."""
    t = rolling(assembly_of(), seconds=8.0)
    put(t, "sprocket.torque_Nm", 1.0, 0.5, 100.0)
    first = next(iter(lines(made(assembly_of(), t, KERB), "Motor")))
    assert "Peak torque 100 N·m" in first
    assert "highest over a second 50 N·m" in first
    assert "continuous (r.m.s.) 25 N·m" in first  # 100 sqrt(0.5 / 8)


def test_worst_mean() -> None:
    """Over a window, and over all of a series shorter than the window."""
    assert worst_mean(np.array([0.0, 0.0, 6.0, 6.0, 0.0]), 0.5, 1.0) == pytest.approx(6.0)
    assert worst_mean(np.array([1.0, 3.0]), 0.1, 1.0) == pytest.approx(2.0)


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        (words.force(31.2), "31 N"),
        (words.force(4100.0), "4.1 kN"),
        (words.times(1), "once"),
        (words.times(2), "twice"),
        (words.times(7), "7 times"),
        (words.seconds(0.2), "0.2 s"),
        (words.seconds(0.04), "0.04 s"),
        (words.seconds(31.4), "31 s"),
        (words.speed(1.2), "1.2 m/s"),
        (words.spoken("front.fore"), "front fore"),
        (words.start("kerb DIN"), "Kerb DIN"),
    ],
)
def test_words(said: str, wanted: str) -> None:
    """Numbers as a builder says them."""
    assert said == wanted
