"""Pads of the stops in a vehicle's file: what is refused, what looks wrong, what a run tells of a pad pressed flat."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

import trundle
from trundle.bogies.base import Stops
from trundle.cli.main import main
from trundle.errors import InputError
from trundle.spec.doubts import doubts
from trundle.spec.shipped import find
from trundle.spec.vehicle import Vehicle, load_vehicle

PAD = {"kind": "rubber pad", "hardness_irhd": 60, "diameter_mm": 30, "height_mm": 25}
RATE = "pad_rate_N_per_mm = 120"


def teasel(tmp_path: Path, stops: str) -> Path:
    """Teasel's file with this in the place of its pads' rate."""
    text = find("vehicles", "teasel").read_text(encoding="utf-8")
    assert RATE in text
    file = tmp_path / "t.toml"
    file.write_text(text.replace(RATE, stops), encoding="utf-8")
    return file


def rubber(**changed: float) -> str:
    """As it stands in a file."""
    fields = ", ".join(f"{k} = {v}" for k, v in ({**PAD, **changed}).items() if k != "kind")
    return f'pad = {{ kind = "rubber pad", {fields} }}'


@pytest.mark.parametrize(
    ("stops", "said"),
    [
        (f"pad_rate_N_per_mm = 100, {rubber()}", "stops.pad (front, middle, rear): give the pad once"),
        ("pad_from_pivot_mm = 100", "pad_from_pivot_mm (front, middle, rear): says where a pad is, and there is none"),
        (f"pad_from_pivot_mm = 301, {rubber()}", "is met 301 mm from the pivot of an arm of 200 mm (allowed: up to"),
        ('pad = { kind = "rubber bad" }', 'unknown kind "rubber bad"; did you mean "rubber pad"?'),
        (rubber(hardness_irhd=90), "hardness_irhd (front, middle, rear)"),
        ('pad = { kind = "table pad", points = [[0, 0], [3, 200], [3, 300]] }', "points[3] (front, middle, rear)"),
        ("pad = 7", "stops.pad (front, middle, rear)"),
    ],
)  # fmt: skip
def test_what_is_refused(tmp_path: Path, stops: str, said: str, capsys: pytest.CaptureFixture[str]) -> None:
    """One message with the line, exit code 2."""
    with pytest.raises(SystemExit) as stopped:
        main(["sheet", str(teasel(tmp_path, stops))])
    assert stopped.value.code == 2
    err = capsys.readouterr().err
    assert said in err
    assert len(err.strip().splitlines()) == 1
    lines = (tmp_path / "t.toml").read_text(encoding="utf-8").splitlines()
    first = next(i for i, line in enumerate(lines, 1) if line.startswith("stops = "))
    assert f"{tmp_path / 't.toml'}:{first}: " in err


def test_a_table_has_room_for_its_points(tmp_path: Path) -> None:
    """25 points are 24 pieces, which is what the record of a joint holds; one more is refused."""
    for count in (25, 26):
        points = ", ".join(f"[{i}, {100 * i}]" for i in range(count))
        file = teasel(tmp_path, f'pad = {{ kind = "table pad", points = [{points}] }}')
        if count == 25:
            assert load_vehicle(file)
        else:
            with pytest.raises(InputError, match="points"):
                load_vehicle(file)


def test_the_usual_rate_is_for_stops_of_which_nothing_is_said() -> None:
    """Left out it is 300 N/mm; with a pad there is none, so that nobody can read it by mistake."""
    angles: dict[str, Any] = {"bump_below_level_deg": 0, "droop_below_level_deg": 30}
    assert Stops(**angles).pad_rate_N_per_mm == 300.0
    assert Stops(**angles).felt_pad(200).force_N(0.002) == pytest.approx(600.0)
    with_pad = Stops.model_validate({**angles, "pad": PAD})
    assert with_pad.pad_rate_N_per_mm is None
    assert "pad_rate_N_per_mm" not in with_pad.model_fields_set
    assert Stops.model_validate(with_pad.model_dump(mode="json", exclude_none=True)) == with_pad
    with pytest.raises(ValueError, match="give the pad once"):
        Stops.model_validate({**angles, "pad_rate_N_per_mm": None})


def test_a_soft_pad_is_doubted(tmp_path: Path) -> None:
    """Flat under the load of its arm alone; the one that is right is not."""

    def said(vehicle: Vehicle) -> list[str]:
        return [d for d in doubts(vehicle) if ".pad" in d]

    assert not said(load_vehicle(teasel(tmp_path, rubber())))
    (one,) = said(load_vehicle(teasel(tmp_path, f"pad_from_pivot_mm = 60, {rubber(hardness_irhd=35, diameter_mm=15)}")))

    assert "it is pressed flat before any blow" in one


@pytest.fixture(scope="module")
def runs(tmp_path_factory: pytest.TempPathFactory) -> dict[str, trundle.Result]:
    """Teasel over a kerb on its own pads, on rubber that does, on rubber that is too small, on one that was measured
    no further than 5 mm."""
    pads = {
        "plain": RATE,
        "good": rubber(),
        "small": rubber(hardness_irhd=40, diameter_mm=15, height_mm=12),
        "table": 'pad = { kind = "table pad", points = [[0, 0], [2, 300], [5, 900]] }',
    }
    folder = tmp_path_factory.mktemp("pads")
    return {name: trundle.run(teasel(folder, stops), "kerb-100") for name, stops in pads.items()}


def test_a_pad_pressed_flat_is_told(runs: dict[str, trundle.Result]) -> None:
    """A risk, with the arm, how deep and what it is; measured no further: a note. Not of one that does."""
    figure = "peak_pad_used"
    assert runs["plain"].summary[figure] is None
    assert runs["good"].summary[figure] < 1.0
    told = {name: [f for f in run.verdict.findings if f.figure == figure] for name, run in runs.items()}
    assert not told["plain"]
    assert not told["good"]
    (flat,) = told["small"]
    assert flat.grade.name == "RISK"
    assert "The pad of a stop is pressed flat: at the bump stop of the " in flat.text
    assert "of its 12 mm" in flat.text
    assert flat.causes[-1] == "rubber pad 15 x 12 mm, 40 IRHD"
    (beyond,) = told["table"]
    assert beyond.grade.name == "NOTE"
    assert "pressed further than it was measured" in beyond.text
    assert "measured up to 5" in beyond.text


def test_the_account_of_a_run_closes_on_any_pad(runs: dict[str, trundle.Result]) -> None:
    """Its energy error is no worse than on a plain rate by more than a tenth of what is allowed (0.5 %)."""
    errors = {name: abs(float(run.summary["energy_error"])) for name, run in runs.items()}
    assert all(error < errors["plain"] + 5e-4 for error in errors.values()), errors
