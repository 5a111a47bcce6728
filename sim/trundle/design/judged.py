"""What the stock at hand cannot do, with the figures, and which stock would."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from trundle.design.answers import Answers
from trundle.design.first import TRACK_STIFFENS, Stood, first_design, fit_before_standing
from trundle.design.fit import HIGH_HZ, LOW_HZ, STANDING_SHARE, Fit
from trundle.design.kerb import OverKerb
from trundle.design.settled import over_its_kerb
from trundle.design.stock import LeafStrip, RoundBar, StockAtHand
from trundle.errors import InputError

Settled = tuple[Stood, OverKerb | None]
"""A design that stands, and how it gets over its kerb."""

NEW_STEEL = "51CrV4"
"""Of new bar and strip."""

MOST_TRIED = 24
"""Other sizes of stock that are tried."""

MOST_SETTLED = 5
"""Of them so many are stood, which takes about a second each."""

ENOUGH_BUMP = 0.6
"""Of the wanted travel to the bump stop that is enough."""


@dataclass(frozen=True)
class Judged:
    """faults: what the stock cannot do, a line each; better: the nearest stock that would, settled as a design of its
    own, None if there is no fault or none is known."""

    faults: tuple[str, ...]
    better: StockAtHand | None


def judged(stood: Stood) -> Judged:
    """Whether the springs can be what was wanted of them."""
    found = faults_of(stood)
    if not found:
        return Judged((), None)
    known = stood.design.known
    does, _ = which_does(known.answers, known.stock, stood.heave_Hz / stood.design.fit.heave_Hz)
    return Judged(tuple(found), None if does is None else does[0].design.known.stock)


def faults_of(stood: Stood) -> list[str]:
    """What is wrong with springs of this stock as it stands."""
    fit, sheet = stood.design.fit, stood.sheet
    found = []
    heave = stood.heave_Hz
    if not LOW_HZ <= heave <= HIGH_HZ:
        what = "soft" if heave < LOW_HZ else "stiff"
        bound = LOW_HZ if heave < LOW_HZ else HIGH_HZ
        found.append(f"it is too {what}: heave at {past(heave, bound)} Hz, {LOW_HZ:g} to {HIGH_HZ:g} is wanted")
    known = [s for s in sheet.springs if s.steel is not None]
    if known:
        rest = min(s.load_margin("standing") for s in known)
        bump = min(s.load_margin("bump") for s in known)
        if rest * STANDING_SHARE < 0.999:
            verb = "yields standing" if rest < 1.0 else "works hard standing"
            at = past(100.0 / rest, 100.0 * STANDING_SHARE, 0)
            found.insert(
                0 if rest < 1.0 else len(found), f"it {verb}: at {at}% of its yield, {STANDING_SHARE:.0%} is wise"
            )
        if bump < 1.0 <= rest:
            found.insert(0, f"it yields at full bump: at {past(100.0 / bump, 100.0, 0)}% of its yield")
    elif fit.standing > STANDING_SHARE + 0.05:
        found.append(f"it stands at {fit.standing:.0%} of its travel, {STANDING_SHARE:.0%} is wise")
    if fit.bump_mm < ENOUGH_BUMP * fit.want.bump_mm:
        found.append(
            f"it gives too little travel: {fit.bump_mm:.0f} mm from standing to the bump stop, "
            f"{fit.want.bump_mm:.0f} mm are wanted for the kerb"
        )
    if abs(stood.height_mm - stood.design.belly_mm) > 5.0:
        found.append(f"it stands {stood.height_mm:.0f} mm high, {stood.design.belly_mm:.0f} mm were planned")
    return found


def past(value: float, bound: float, digits: int = 1) -> str:
    """With so many digits after the point, and more where it would round to the bound that it is past."""
    while digits < 6 and float(f"{value:.{digits}f}") == bound:
        digits += 1
    return f"{value:.{digits}f}"


def does_well(fit: Fit, more: float) -> bool:
    """Whether a spring does all that is wanted, as far as can be said before it has stood. more: see Fit.badness."""
    rides = LOW_HZ * 1.03 < more * fit.heave_Hz < HIGH_HZ * 0.97
    return rides and fit.standing < STANDING_SHARE and fit.bump_mm >= ENOUGH_BUMP * fit.want.bump_mm


def which_does(
    answers: Answers, stock: StockAtHand, more: float = TRACK_STIFFENS
) -> tuple[Settled | None, Stood | None]:
    """The nearest other stock, settled, that does all that is wanted: the same kind in other sizes, better steel, round
    bar; and, where none is found, one that carries the load at least. more: see Fit.badness, of the stock at hand."""
    carries: Stood | None = None
    fewest, tried = 0, 0
    spare: Answers | None = None
    for other in _others(stock):
        own = answers.model_copy(update={"stock": other})
        fit = fit_before_standing(own)
        if fit is None:
            continue
        spare = spare or own
        if not does_well(fit, more):
            continue
        if tried == MOST_SETTLED:
            break
        tried += 1
        try:
            stood = first_design(own)
            found = None if faults_of(stood) else over_its_kerb(stood)
        except InputError:
            continue
        if found is not None and not faults_of(found[0]):
            return found, None
        more = stood.heave_Hz / stood.design.fit.heave_Hz
        faults = len(faults_of(stood))
        if carries is None or faults < fewest:
            carries, fewest = stood, faults
    if carries is None and spare is not None:
        carries = first_design(spare)
    return None, carries


def _others(stock: StockAtHand) -> Iterator[StockAtHand]:
    """What is tried in its place, the nearest first."""
    tried = list(stock.others())[:MOST_TRIED]
    if isinstance(stock, (LeafStrip, RoundBar)) and stock.steel != NEW_STEEL:
        new = [s.model_copy(update={"steel": NEW_STEEL}) for s in (stock, *tried[:8])]
        yield from (t for pair in zip(tried[:8], new, strict=False) for t in pair)
        yield from tried[8:]
    else:
        yield from tried
    if not isinstance(stock, RoundBar):
        bar = RoundBar(diameter_mm=12.0, steel=NEW_STEEL)
        yield from (bar, *bar.others())
