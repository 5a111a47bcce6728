"""What comes of the answers: a first design, how it does, what had to be assumed, and what the stock cannot do."""

from __future__ import annotations

from dataclasses import dataclass

from trundle.design.answers import Answers
from trundle.design.first import NothingCarriesError, Stood, first_design
from trundle.design.judged import Judged, faults_of, judged, which_does
from trundle.design.kerb import OverKerb
from trundle.design.settled import over_its_kerb, settled


@dataclass(frozen=True)
class Proposal:
    """stood: the design, standing; judged: what its stock cannot do; kerb: None where no kerb is wanted; instead: why
    it is made of other stock than there is at hand, or empty."""

    answers: Answers
    stood: Stood
    judged: Judged
    kerb: OverKerb | None
    instead: str = ""


def proposed(answers: Answers) -> Proposal:
    """A first design from a builder's answers; where their stock carries nothing, of the nearest other that does.

    Raises InputError where nothing can be made of them.
    """
    try:
        stood, kerb = settled(answers)
    except NothingCarriesError as e:
        return _of_other_stock(answers, e)
    return Proposal(answers, stood, judged(stood), kerb)


def _of_other_stock(answers: Answers, error: NothingCarriesError) -> Proposal:
    """Of other stock that does, else of what at least carries. Raises the error where nothing is found."""
    if answers.stock is None:
        raise error
    does, carries = which_does(answers, answers.stock)
    try:
        stood, kerb = does or over_its_kerb(carries or first_design(answers.model_copy(update={"stock": None})))
    except NothingCarriesError:
        raise error from None
    return Proposal(answers, stood, Judged(tuple(faults_of(stood)), None), kerb, error.problems[0].problem)
