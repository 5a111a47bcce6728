"""A first design settled: stood, rolled over its kerb, its front end and its track set to what does better there."""

from __future__ import annotations

from trundle.design.answers import Answers
from trundle.design.first import Stood, first_design, resettled
from trundle.design.kerb import OverKerb, over_kerb
from trundle.design.vehicle import SAG_SHARE, TAUT_SHARE
from trundle.errors import InputError

TRIED = ((1.2, SAG_SHARE), (1.0, TAUT_SHARE), (1.2, TAUT_SHARE), (1.44, SAG_SHARE))
"""Front ends so many times as high, and the track's sag, that are tried where a kerb stops it or strikes hard."""


def settled(answers: Answers) -> tuple[Stood, OverKerb | None]:
    """A first design, and how it gets over its kerb; None where none is wanted. Raises InputError as `first_design`."""
    return over_its_kerb(first_design(answers))


def over_its_kerb(stood: Stood) -> tuple[Stood, OverKerb | None]:
    """Rolled over the kerb; with its front end higher or its track tauter where that is better."""
    design, height = stood.design, stood.design.known.kerb_mm
    if height <= 0.0:
        return stood, None
    kerb = over_kerb(stood.vehicle, height)
    # A run that gets stuck takes ten times as long: one more of those is enough.
    for times, sag in TRIED if kerb.climbs else TRIED[:1]:
        if kerb.climbs and not kerb.harms:
            break
        try:
            other = resettled(design.changed(times * max(design.nose_mm, 1.0), sag))
        except InputError:
            continue  # as it was it stands
        again = over_kerb(other.vehicle, height)
        if (again.climbs, -len(again.harms)) > (kerb.climbs, -len(kerb.harms)):
            stood, kerb = other, again
    return stood, kerb
