"""What the overlay calls its runs, and which runs it shows."""

from __future__ import annotations

from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pandas as pd
import pytest

from trundle.study import overlays
from trundle.study.case import Case
from trundle.study.overlays import series_of


@pytest.fixture(autouse=True)
def runs(monkeypatch: pytest.MonkeyPatch) -> None:
    """Runs that take no time: what is shown of them is not the matter here."""
    columns = ("hull.x_mm", "wheel.front.load_N", "hull.pitch_deg")
    frame = pd.DataFrame({c: [0.0, 1.0] for c in columns})
    monkeypatch.setattr(overlays, "payload_of", lambda case, options, files: {})
    monkeypatch.setattr(overlays, "result_of", lambda payload: SimpleNamespace(log=frame))


def case(number: int, settings: dict[str, Any], vehicle: str = "teasel", **more: Any) -> Case:
    return Case(number, Path(f"{vehicle}.toml"), Path("kerb-50.toml"), settings, **more)


def labels(cases: list[Case], wanted: list[int]) -> list[str]:
    return [s.label for s in series_of(cases, wanted)]


def test_the_vehicle_is_named_where_several_are_compared() -> None:
    """Also where all that are shown are of one: the reader cannot know that."""
    grips = [case(1, {"drive.grip": 0.6}), case(2, {"drive.grip": 0.6}, "otter"), case(3, {"drive.grip": 0.8}, "otter")]
    assert labels(grips, [2, 1]) == ["variant 2: otter, grip 0.6", "variant 1: teasel, grip 0.6"]
    assert labels(grips, [2, 3]) == ["variant 2: otter, grip 0.6", "variant 3: otter, grip 0.8"]
    assert labels(grips[1:], [2]) == ["variant 2: grip 0.6"]


def test_files_of_one_stem_go_by_the_names_that_the_table_has() -> None:
    two = [case(1, {}, "a/hull", vehicle_name="a/hull"), case(2, {}, "b/hull", vehicle_name="b/hull")]
    assert labels(two, [1, 2]) == ["variant 1: a/hull", "variant 2: b/hull"]


def test_settings_that_end_alike_are_named_whole() -> None:
    one = case(1, {"bogie.front.mass_kg": 6, "bogie.rear.mass_kg": 7, "drive.grip": 0.6})
    assert labels([one], [1]) == ["variant 1: bogie.front.mass_kg 6, bogie.rear.mass_kg 7, grip 0.6"]


def test_a_curve_knows_its_course_and_speed() -> None:
    """The first of the speeds is the one that is shown."""
    cases = [case(1, {}, speed_m_s=v, course_name="far/kerb-50") for v in (0.6, 1.2)]
    assert [s.where for s in series_of(cases, [1])] == ["far/kerb-50 at 0.6 m/s"]
    assert [s.where for s in series_of([case(1, {})], [1])] == ["kerb-50"]
