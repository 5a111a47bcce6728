"""Where the ground may strike a vehicle, on its sheet: rates with their range, and what a run's hardest blow does."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from trundle.errors import InputError
from trundle.findings.words import forces
from trundle.model.assembly import Assembly
from trundle.papers.document import Sheet, whole_sheet
from trundle.papers.parts import Part
from trundle.spec.shipped import find
from trundle.spec.vehicle import load_vehicle


def sheet_of(name: str, run: Path | None = None, **settings: float) -> Sheet:
    at = {key.replace("__", "."): value for key, value in settings.items()}
    return whole_sheet(load_vehicle(find("vehicles", name), at), f"{name}.toml", run)


def part_of(sheet: Sheet) -> Part:
    (part,) = [p for p in sheet.document.parts if p.title == "Where the ground may strike it"]
    return part


def kept(tmp_path: Path, assembly: Assembly, **peaks: object) -> Path:
    """A run's summary with these peaks beside its wheels'."""
    wheels = {name: {"peak_N": 500.0} for name in assembly.wheel}
    (tmp_path / "summary.json").write_text(json.dumps({"wheels": wheels, **peaks}), encoding="utf-8")
    return tmp_path


@pytest.mark.parametrize("name", ["wren", "mole", "teasel", "otter", "barrow"])
def test_every_part_has_its_rate_and_range(name: str) -> None:
    """A row for each part that the ground may strike; the shipped files state all sizes but the hull's tone."""
    sheet = sheet_of(name)
    part = part_of(sheet)
    rows = {row[0]: row for row in part.tables[0].rows}
    assert list(rows) == [give.part for give in sheet.at.assembly.gives]
    for give in sheet.at.assembly.gives:
        assert rows[give.part][2] == " to ".join(f"{give.rates_N_per_m[k] / 1e6:.2g}" for k in (0, 2))
        assert rows[give.part][3:] == (give.basis, "–")
    assert any("80 Hz, an estimate (hull.ring_Hz)" in line for line in part.lines)
    assert any(f"{sheet.at.assembly.dent_N / 1e3:.1f} kN" in line for line in part.lines)  # type: ignore[operator]


def test_a_stated_tone_is_no_estimate() -> None:
    part = part_of(sheet_of("teasel", hull__ring_Hz=50.0))
    assert any("50 Hz, as stated: a blow of less than 10 ms" in line for line in part.lines)


def test_a_runs_hardest_blow_and_what_it_dents(tmp_path: Path) -> None:
    """The peaks of a run with the rate's range; below the plate's load nothing is said, around it that it may, above
    it that it does dent, loudly."""
    assembly = sheet_of("wren").at.assembly
    dent, (low, high) = assembly.dent_N, assembly.gives[0].share
    assert dent is not None
    for peak, said, loud in (
        (0.9 * dent / high, "", False),
        (dent, "may dent", False),
        (1.1 * dent / low, "dents", True),
    ):
        sheet = sheet_of("wren", kept(tmp_path, assembly, peak_belly_load_N=peak, peak_sprocket_load_N=0.0))
        rows = {row[0]: row[4] for row in part_of(sheet).tables[0].rows}
        assert rows == {"belly": forces(low * peak, high * peak), "sprocket": "–", "idler": "–"}
        first = sheet.document.parts[0]
        notices = {text: True for text in first.loud if "belly plate" in text}
        notices |= {text: False for text in first.lines if "belly plate" in text}
        assert list(notices.values()) == ([loud] if said else [])
        assert all(f" {said} the belly plate for good" in text for text in notices)


@pytest.mark.parametrize("bad", [-1.0, "much", True, 1e12])
def test_what_is_no_load_is_refused(tmp_path: Path, bad: object) -> None:
    assembly = sheet_of("wren").at.assembly
    with pytest.raises(InputError, match="peak load of belly is no load"):
        sheet_of("wren", kept(tmp_path, assembly, peak_belly_load_N=bad))
