"""The table of figures itself: whole, in keeping with what uses it, and light to load."""

from __future__ import annotations

import subprocess
import sys

import pytest
from own_vehicles import SHORT_ARMS
from record_parts import assembly_of, made, rolling

from trundle.findings import figures
from trundle.findings.figures import Better, Needs, better_of, figure_of, guarded, known
from trundle.findings.figures.parts import KINDS
from trundle.findings.summary import value_of
from trundle.strength.margins import margins_of

STAY = (
    "distance_m", "duration_s", "static_wheel_load_N", "peak_wheel_load_N", "bump_stop_hits", "peak_bump_stop_N",
    "wheel_off_s", "ride_height_mm", "min_belly_clearance_mm", "peak_seat_g", "seat_rms_m_s2", "peak_pitch_deg",
    "min_track_tension_N", "peak_track_tension_N", "peak_sprocket_torque_Nm", "energy_error", "speed_times_real_time",
)  # fmt: skip
"""Keys of summary.json that others rely on; `completed` and `ended_because` beside them are no figures."""


OF_MOTOR = {Needs.MOTOR, Needs.RATING, Needs.WARMS, Needs.BATTERY, Needs.VOLTS}
"""What only a vehicle with a motor and a battery in its file has; of the three below that is Mole."""


@pytest.mark.parametrize("name", [str(SHORT_ARMS), "barrow", "mole"])
def test_the_summary_has_every_figure_and_the_names_that_stay(name: str) -> None:
    """With a track and without: what a vehicle cannot have is None, not missing."""
    summary = made(assembly_of(name), rolling(assembly_of(name)), ()).summary
    assert set(STAY) <= set(summary)
    for figure in figures.TABLE:
        if figure.of is None:
            continue
        wheels = assembly_of(name).wheel if figure.of_wheel else ("",)
        given = [value_of(summary, figure, wheel) is not None for wheel in wheels]
        if figure.name == "arm_on_stone_margin" and name == "barrow":  # one wheel in each place, no pair
            assert given == [False]
            continue
        if figure.needs is Needs.PAD:  # all have pads that only a rate is known of
            assert given == [False]
            continue
        if figure.needs in OF_MOTOR:
            # Nothing was drawn, so there is no range.
            assert given == [name == "mole" and figure.name != "battery_range_km"], figure.name
            continue
        # Barrow's springs are stated by their rate, so they have no stress; made brackets hang under every arm.
        wants = (figure.needs is not Needs.TRACK and figure.name != "spring_margin") or name != "barrow"
        assert given == [wants] * len(wheels), figure.name


def test_names_are_told_apart() -> None:
    """No two figures have a column in common, nor a heading in the same table."""
    names = [f.name for f in figures.TABLE]
    assert len(set(names)) == len(names)
    for figure in figures.TABLE:
        column = figure.name.replace("*", "front.fore")
        assert [f.name for f in figures.TABLE if f.covers(column)] == [figure.name]
    headings = [(f.of_wheel, f.heading) for f in figures.TABLE]
    assert len(set(headings)) == len(headings)


def test_the_unit_is_the_one_in_the_name() -> None:
    """`peak_pitch_deg` is in deg: heading and name cannot drift apart."""
    spelt = {"N.m": "Nm", "m/s": "m_s", "m/s2": "m_s2", "m/s1.75": "m_s175", "%": "percent"}
    for figure in figures.TABLE:
        if figure.unit:
            end = figure.name.removesuffix(".*")
            assert end.endswith("_" + spelt.get(figure.unit, figure.unit)), figure.name


def test_columns_find_their_figure() -> None:
    """A whole figure, one wheel's part of it, one wheel's own; and what is no figure."""
    assert known("peak_pitch_deg") is figure_of("peak_pitch_deg")
    assert known("static_wheel_load_N.front.fore") is figure_of("static_wheel_load_N.*")
    assert known("wheels.front.fore.peak_N") is figure_of("wheels.*.peak_N")
    assert known("wheels.front.fore.peak_kN") is None
    assert known("peak_pitch") is None
    assert better_of("wheels.a.off_s") is Better.LOWER
    assert better_of("no such figure") is Better.NEITHER
    with pytest.raises(KeyError):
        figure_of("peak_pitch")


def test_a_baseline_guards_results_and_not_how_they_were_computed() -> None:
    """Of single wheels, only what no other column says; of the summary nothing that is input or arithmetic."""
    kept = ("peak_wheel_load_N", "wheels.front.fore.peak_N", "wheels.front.fore.off_s", "static_wheel_load_N.front")
    left = ("wheels.front.fore.mean_N", "wheels.front.fore.standing_N", "dt_ms", "weight_N", "speed_times_real_time")
    assert all(map(guarded, kept))
    assert not any(map(guarded, left))


def test_every_figure_comes_from_the_record() -> None:
    """Summary, baseline and tables of studies have them alike; the least margin is the least of all kinds' margins."""
    from viewer_parts import result

    summary = result().summary
    assert all(f.of is not None for f in figures.TABLE)
    kinds = [summary[name] for name in KINDS if summary[name] is not None]
    assert summary["least_margin"] == min(kinds)
    kind, _, name = summary["least_margin_part"].rpartition(" ")
    [part] = [m for m in margins_of(result().assembly, result().log) if (m.kind, m.name) == (kind, name)]
    assert part.margin == summary["least_margin"]


def test_reading_the_table_loads_nothing_heavy() -> None:
    """Options and headings of studies need it before anything is run."""
    heavy = ("numba", "pymunk", "scipy", "pandas", "matplotlib", "pydantic")
    code = f"import sys, trundle.findings.figures; print([m for m in {heavy} if m in sys.modules])"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"
