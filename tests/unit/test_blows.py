"""Blows on belly, sprocket and idler: told with the range of their rate, and as a sharp hit where they are one."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pandas as pd
import pytest
from record_parts import Made, assembly_of, made, put, rolling
from scipy import signal

from trundle.findings import words
from trundle.findings.blows import hardest_blows, jolt_share
from trundle.findings.grades import Grade
from trundle.units import G

KERB = (("kerb 100 mm", 6.0, 6.125),)


def half_sine(t: pd.DataFrame, column: str, begin_s: float, lasts_s: float, peak: float) -> None:
    """A blow: half a sine of this length."""
    time = t["time_s"].to_numpy()
    inside = (time >= begin_s) & (time <= begin_s + lasts_s)
    t.loc[inside, column] = peak * np.sin(np.pi * (time[inside] - begin_s) / lasts_s)


def felt(lasts_s: float) -> float:
    """What the seat's filter leaves of the peak of a half-sine in steps of 1 ms: scipy's Butterworth of two poles at
    60 x 2.0775 Hz (SAE J211-1), forward and back."""
    time = np.arange(-200, 300) * 1e-3
    blow = np.where((time >= 0.0) & (time <= lasts_s), np.sin(np.pi * time / lasts_s), 0.0)
    b, a = signal.butter(2, 60.0 * 2.0775, fs=1e3)
    return float(signal.lfilter(b, a, signal.lfilter(b, a, blow)[::-1]).max())


def struck(part: str, lasts_s: float, peak_N: float, seat_g: float, name: str = "teasel") -> Made:
    """Teasel (or another) struck once near the kerb."""
    t = rolling(assembly_of(name))
    half_sine(t, f"{part}.load_N", 5.0, lasts_s, peak_N)
    half_sine(t, "seat.up_m_s2", 5.0, lasts_s, 0.6 * seat_g * G)
    half_sine(t, "seat.forward_m_s2", 5.0, lasts_s, -0.8 * seat_g * G)
    return made(assembly_of(name), t, KERB)


def told(record: Made) -> dict[str, Grade]:
    return {line.text: line.grade for section in record.said.sections for line in section.lines}


def hardest(record: Made) -> str:
    (line,) = [text for text in told(record) if text.startswith("Hardest jolt")]
    return line


def share(part: str, name: str = "teasel") -> tuple[float, float]:
    return next(give.share for give in assembly_of(name).gives if give.part == part)


@pytest.mark.parametrize("part", ["belly", "sprocket", "idler"])
def test_a_blow_has_its_range_and_its_g(part: str) -> None:
    """9 kN for 12 ms: over half of a half-sine's peak for 2/3 of its length; 3 and 4 of up and forward make 5 g; the
    range is the rate's."""
    record = struck(part, 0.012, 9e3, 5.0)
    low, high = share(part)
    said = words.forces(low * 9e3, high * 9e3)
    assert f"{said}." in record.said.obstacles[0].detail
    g = words.g_range(low * 5.0 * felt(0.012), high * 5.0 * felt(0.012))
    (line,) = [text for text in told(record) if text.startswith(f"Hardest blow on the {part}")]
    assert f"{g} at the seat, up and forward together, for 8 ms" in line
    assert "sharp hit" not in line
    assert told(record)[line] == Grade.RISK
    assert record.summary[f"peak_{part}_load_N"] == pytest.approx(9e3, rel=1e-3)


def test_shorter_than_the_hull_answers_is_a_sharp_hit() -> None:
    """80 Hz is taken for a hull that does not say: half of its 12.5 ms. 3 ms over half the peak is shorter."""
    assert assembly_of().answers_s == pytest.approx(0.00625)
    record = struck("sprocket", 0.0045, 9e3, 2.0)
    (line,) = [text for text in told(record) if text.startswith("Hardest blow on the sprocket")]
    assert "for 3 ms. Shorter than the 6.2 ms in which the hull answers: a sharp hit, not a number." in line
    assert told(record)[line] == Grade.NOTE


def test_a_load_that_stands_is_no_blow() -> None:
    """The weight of a hull that lies on its belly does not hang on the plate's rate: one number, no g."""
    t = rolling(assembly_of())
    put(t, "belly.load_N", 5.0, 0.5, 600.0)
    record = made(assembly_of(), t, KERB)
    assert "hardest 600 N." in record.said.obstacles[0].detail
    assert not [text for text in told(record) if "Hardest blow" in text or "dent" in text]


def test_the_jolt_at_the_seat_has_the_range_of_what_makes_it() -> None:
    """A belly blow of 9 kN on 357 kg is 2.6 g: it decides a jolt of 3 g up, but neither one of 30 g nor one at another
    moment."""
    low, high = share("belly")
    record = struck("belly", 0.012, 9e3, 5.0)
    s = record.summary
    assert s["peak_seat_low_g"] == pytest.approx(low * s["peak_seat_g"])
    assert s["peak_seat_high_g"] == pytest.approx(high * s["peak_seat_g"])
    kept = felt(0.012)
    assert hardest(record).startswith(f"Hardest jolt {words.g_range(low * 3.0 * kept, high * 3.0 * kept)} up or down, ")
    for seat_g, begin in ((50.0, 5.0), (5.0, 7.0)):
        t = rolling(assembly_of())
        half_sine(t, "belly.load_N", 5.0, 0.012, 9e3)
        half_sine(t, "seat.up_m_s2", begin, 0.012, 0.6 * seat_g * G)
        record = made(assembly_of(), t, KERB)
        assert record.summary["peak_seat_low_g"] == record.summary["peak_seat_g"] == record.summary["peak_seat_high_g"]
        assert hardest(record).startswith(f"Hardest jolt {0.6 * seat_g * kept:.1f} g up or down, 0.0 g along, ")


def test_a_jolt_is_told_filtered() -> None:
    """5 g for 3 ms is some 2 g, for 30 ms all but whole (class 60): told with the filter's name."""
    for lasts in (0.003, 0.03):
        t = rolling(assembly_of())
        half_sine(t, "seat.up_m_s2", 5.0, lasts, 5.0 * G)
        g = 5.0 * felt(lasts)
        said = (
            f"Hardest jolt {g:.1f} g up or down, 0.0 g along, {g:.1f} g together, on top of gravity (filtered: CFC 60, "
        )
        assert hardest(made(assembly_of(), t, KERB)) == f"{said}SAE J211-1)."
    assert felt(0.003) < 0.5
    assert felt(0.03) > 0.99


@pytest.mark.parametrize(("g", "grade"), [(0.9, Grade.FINE), (3.9, Grade.NOTE), (4.1, Grade.RISK), (30.0, Grade.RISK)])
def test_a_hard_jolt_is_a_risk_whatever_makes_it(g: float, grade: Grade) -> None:
    """From as many g on as a blow on belly, sprocket or idler is one."""
    t = rolling(assembly_of())
    half_sine(t, "seat.up_m_s2", 5.0, 0.012, g * G)
    said = told(made(assembly_of(), t, KERB))
    assert [found for text, found in said.items() if text.startswith("Hardest jolt")] == [grade]


def test_an_end_is_one_sides_and_counts_twice() -> None:
    """2 kN on each sprocket is 4 kN on the hull: more than a quarter of 357 kg at 2.4 g, not of 5 g."""
    assembly = assembly_of()
    for up, decides in ((2.4, True), (5.0, False)):
        t = rolling(assembly)
        half_sine(t, "sprocket.load_N", 5.0, 0.012, 2e3)
        half_sine(t, "seat.up_m_s2", 5.0, 0.012, up * G)
        found = jolt_share(lambda name, t=t: t[name].to_numpy(), t["seat.up_m_s2"].to_numpy(), assembly, 1e-3)  # type: ignore[misc]
        assert found == (share("sprocket") if decides else (1.0, 1.0))


def test_what_dents_the_plate_is_said() -> None:
    """Below the plate's load nothing, around it that it may, above it that it does."""
    dent = assembly_of().dent_N
    assert dent is not None
    low, high = share("belly")
    for peak, words_, grade in (
        (0.9 * dent / high, "", None),
        (dent, "That may dent the belly plate (S235) for good, from about", Grade.NOTE),
        (1.1 * dent / low, "That dents the belly plate (S235) for good, from about", Grade.RISK),
    ):
        said = {text: g for text, g in told(struck("belly", 0.012, peak, 1.0)).items() if "dent" in text}
        assert [g for text, g in said.items() if text.startswith(words_)] == ([] if grade is None else [grade])


def test_nothing_struck_says_nothing() -> None:
    record = made(assembly_of(), rolling(assembly_of()), KERB)
    assert not hardest_blows(lambda name: rolling(assembly_of())[name].to_numpy(), assembly_of(), 1e-3)
    assert not [text for text in told(record) if "blow" in text.lower()]


def test_estimates_are_called_so() -> None:
    """Of a plate that the file does not describe, the field that would narrow the range is named."""
    why = "rates that are worked out, partly of sizes that the file does not state (hull.belly_sheet_mm), not measured"
    for estimated in (False, True):
        gives = tuple(replace(give, estimated=estimated) for give in assembly_of().gives)
        t = rolling(assembly_of())
        half_sine(t, "belly.load_N", 5.0, 0.012, 9e3)
        said = told(made(replace(assembly_of(), gives=gives), t, KERB))
        assert any("Peaks of blows on belly hang on rates that are worked out" in text for text in said)
        assert any(why in text for text in said) == estimated


@pytest.mark.parametrize(
    ("low", "high", "said"),
    [(610, 940, "610 to 940 N"), (950, 1200, "950 N to 1.2 kN"), (4100, 7000, "4.1 to 7.0 kN"), (600, 600.3, "600 N")],
)
def test_ranges_of_force(low: float, high: float, said: str) -> None:
    assert words.forces(low, high) == said


@pytest.mark.parametrize(
    ("low", "high", "said"), [(17, 31, "17 to 31 g"), (1.24, 1.2, "1.2 g"), (7.5, 14, "7.5 to 14 g")]
)
def test_ranges_of_g(low: float, high: float, said: str) -> None:
    assert words.g_range(low, high) == said
