"""The verdict on a screen: graded by sign and word, never by colour alone, on any terminal."""

from __future__ import annotations

import io

import pytest
from record_parts import assembly_of, made, put, rolling
from rich.console import Console

from trundle.findings.limit import Limit, Limits, Statics, Unharmed
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
    """Risk and fine lines have their sign, the risk first; the table has every wheel; the caution comes last."""
    text = shown()
    assert text.startswith("! RISK: Try over Yard: gets over, but the belly strikes the ground (10.0 m in 10 s).")
    assert "✓ " in text
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
    assert "! RISK: Try over Yard" in text
    assert "+ " in text
    assert "m/s2" in text or "m/s²" in text


def test_narrow_terminals() -> None:
    """Forty columns still show everything, folded."""
    assert max(len(line) for line in shown(width=60).splitlines()) <= 60


def test_limits_table() -> None:
    """The safe one first; value, first failure and reason; sizes without a run to be trusted are counted."""
    found = [
        Limit(
            "kerb climbed",
            145.0,
            150.0,
            "mm",
            "grip: all of 0.75 is used up",
            12,
            1,
            "9.8 g at the seat, idler 3 kN",
            Unharmed(60.0, 65.0, "the front arms bend", "1.2 g at the seat"),
            Statics(138.6, "its nose"),
        ),
        Limit("ramp climbed", 60.0, None, "deg", "nothing stopped it", 9),
        Limit("ditch crossed", 0.0, 10.0, "mm", "belly: it carries 40 % of the weight", 6),
    ]
    limits = Limits(found, "Try", 1.5, 0.75)
    assert repr(limits).splitlines()[0] == "Try at 1.5 m/s, grip 0.75"
    assert "  at most      60° or more     nothing stopped it" in repr(limits)
    file = io.StringIO()
    print_limits(limits, "Careful.", Console(file=file, width=160))
    text = file.getvalue()
    for wanted in (
        "145 mm",
        "150 mm",
        "60° or more",
        "less than 10 mm",
        "grip: all of",
        "60 mm",
        "at 65 mm the front arms bend",
        "at 145 mm the hardest blow is 9.8 g at the seat",
        "139 mm",
        "kerb climbed: 1 of its sizes",
        "Careful.",
    ):
        assert wanted in text
    assert text.index("without harm") < text.index("at most")
