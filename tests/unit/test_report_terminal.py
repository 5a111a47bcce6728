"""The verdict on a screen: graded by sign and word, never by colour alone, on any terminal."""

from __future__ import annotations

import io

import pytest
from record_parts import assembly_of, made, put, rolling
from rich.console import Console

from trundle.findings.limit import Limit, Limits
from trundle.report.terminal import print_limits, print_said

KERB = (("kerb [red]100[/red] mm", 6.0, 6.125),)


def shown(encoding: str = "utf-8", width: int = 400) -> str:
    """What comes out of a verdict with a risk in it."""
    t = rolling(assembly_of())
    put(t, "belly.load_N", 5.0, 0.1, 600.0)
    raw = io.BytesIO()
    file = io.TextIOWrapper(raw, encoding=encoding)
    print_said(made(assembly_of(), t, KERB).said, Console(file=file, width=width, highlight=False))
    file.flush()
    return raw.getvalue().decode(encoding)


def test_signs_and_words() -> None:
    """Fine, note and risk lines have their sign; the table has every wheel; the caution comes last."""
    text = shown()
    assert "✓ Try over Yard: gets over" in text
    assert "! " in text
    assert all(wheel in text for wheel in assembly_of().wheel)
    assert "not a certificate" in text.splitlines()[-1]


def test_names_are_never_read_as_markup() -> None:
    """Square brackets come out as written."""
    assert "Kerb [red]100[/red] mm" in shown()


@pytest.mark.parametrize("encoding", ["ascii", "cp1252", "cp437"])
def test_poor_terminals(encoding: str) -> None:
    """No sign is lost and nothing breaks where the terminal has few characters."""
    text = shown(encoding)
    assert "+ Try over Yard" in text
    assert "m/s2" in text or "m/s²" in text


def test_narrow_terminals() -> None:
    """Forty columns still show everything, folded."""
    assert max(len(line) for line in shown(width=60).splitlines()) <= 60


def test_limits_table() -> None:
    """Value, first failure and reason; runs that are not to be trusted are counted."""
    found = [
        Limit("kerb climbed", 145.0, 150.0, "mm", "grip: all of 0.75 is used up", 12, 1),
        Limit("ramp climbed", 60.0, None, "deg", "nothing stopped it", 9),
        Limit("ditch crossed", 0.0, 10.0, "mm", "belly: it carries 40 % of the weight", 6),
    ]
    limits = Limits(found, "Try", 1.5, 0.75)
    assert repr(limits).splitlines()[0] == "Try at 1.5 m/s, grip 0.75"
    assert "ramp climbed   60° or more: nothing stopped it" in repr(limits)
    file = io.StringIO()
    print_limits(limits, "Careful.", Console(file=file, width=160))
    text = file.getvalue()
    for wanted in (
        "145 mm",
        "150 mm",
        "60° or more",
        "less than 10 mm",
        "grip: all of",
        "In 1 of 27 runs",
        "Careful.",
    ):
        assert wanted in text
