"""What comes of the answers: a first design, how it does, what had to be assumed, and what the stock cannot do."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import islice

from trundle.design.answers import Answers
from trundle.design.first import (
    TRACK_STIFFENS,
    NothingCarriesError,
    Stood,
    first_design,
    fit_before_standing,
    resettled,
)
from trundle.design.judged import MOST_TRIED, Judged, does_well, judged
from trundle.design.kerb import OverKerb, over_kerb
from trundle.design.vehicle import SAG_SHARE, TAUT_SHARE

TRIED = ((1.2, SAG_SHARE), (1.0, TAUT_SHARE), (1.2, TAUT_SHARE), (1.44, SAG_SHARE))
"""Front ends so many times as high, and the track's sag, that are tried where a kerb stops it or strikes hard."""


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
    instead = ""
    try:
        stood = first_design(answers)
    except NothingCarriesError as e:
        instead = e.problems[0].problem
        stood = _of_other_stock(answers, e)
    stood, kerb = _over_its_kerb(stood)
    return Proposal(answers, stood, judged(stood), kerb, instead)


def _over_its_kerb(stood: Stood) -> tuple[Stood, OverKerb | None]:
    """Rolled over the kerb; with its front end higher or its track tauter where that is better."""
    design, height = stood.design, stood.design.known.kerb_mm
    if height <= 0.0:
        return stood, None
    kerb = over_kerb(stood.vehicle, height)
    # A run that gets stuck takes ten times as long: one more of those is enough.
    for times, sag in TRIED if kerb.climbs else TRIED[:1]:
        if kerb.climbs and not kerb.harms:
            break
        other = resettled(design.changed(times * max(design.nose_mm, 1.0), sag))
        again = over_kerb(other.vehicle, height)
        if (again.climbs, -len(again.harms)) > (kerb.climbs, -len(kerb.harms)):
            stood, kerb = other, again
    return stood, kerb


def _of_other_stock(answers: Answers, error: NothingCarriesError) -> Stood:
    """Of the same kind in the nearest size that does, else of new round bar. Raises the error where nothing is
    found."""
    assert answers.stock is not None
    found: Answers | None = None
    for stock in islice(answers.stock.others(), MOST_TRIED):
        other = answers.model_copy(update={"stock": stock})
        fit = fit_before_standing(other)
        if fit is None:
            continue
        found = found or other
        if does_well(fit, TRACK_STIFFENS):
            found = other
            break
    try:
        return first_design(found or answers.model_copy(update={"stock": None}))
    except NothingCarriesError:
        raise error from None
