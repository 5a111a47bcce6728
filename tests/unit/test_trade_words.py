"""A word of the trade for a kind or field is answered with what it is called here."""

from __future__ import annotations

import pytest
from test_cli_refusals import call

import trundle
from trundle.errors import InputError
from trundle.fields.docs import taken_apart


@pytest.mark.parametrize(
    ("path", "word", "words"),
    [
        ("bogie.front.kind", "trailing arm", '; that is kind = "single arm", points = "back" here'),
        ("bogie.front.kind", "Leading Arm", '; that is kind = "single arm", points = "forward" here'),
        ("bogie.front.kind", "swing-arm", '; that is kind = "single arm" here'),
        ("bogie.front.kind", "pared arms", '; did you mean "paired arms"?'),
        ("bogie.front.spring.kind", "coilover", '; that is kind = "spring and damper" here'),
        ("hull.mas_kg", 3, '; did you mean "mass_kg"?'),
        ("bogie.front.arm_length_mm", 3, '; that is "arm_mm" here (see trundle explain arm_mm)'),
        ("wheel.road.diameter_mm", 180, '; "radius_mm" is wanted, half of the diameter'),
    ],
)
def test_a_trade_word_is_understood(path: str, word: object, words: str) -> None:
    """Of kinds by their docstring, of fields by theirs; a slip of the pen gets the nearest name."""
    with pytest.raises(InputError) as caught:
        trundle.load_vehicle("teasel", {path: word})
    (problem, *_) = caught.value.problems
    assert problem.field == path
    assert words in problem.problem


def test_what_a_message_names_is_explained(capsys: pytest.CaptureFixture[str]) -> None:
    """The command that it tells of is there."""
    code, out, _ = call(capsys, "explain", "single arm")
    assert code == 0
    assert "single arm" in out


def test_a_word_with_what_it_wants() -> None:
    """In brackets behind it; the word itself is without."""
    doc = taken_apart('An arm.\n\nAlso called: trailing arm (points = "back"), swing arm.')
    assert doc.also_called == ("trailing arm", "swing arm")
    assert doc.also_with == (("trailing arm", 'points = "back"'),)
