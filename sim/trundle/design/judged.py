"""What the stock at hand cannot do, with the figures, and which stock would."""

from __future__ import annotations

from dataclasses import dataclass

from trundle.design.first import Stood, fit_to
from trundle.design.fit import HIGH_HZ, LOW_HZ, STANDING_SHARE, Fit
from trundle.design.stock import LeafStrip, RoundBar, StockAtHand

MOST_TRIED = 24
"""Other sizes of stock that are tried."""

ENOUGH_BUMP = 0.6
"""Of the wanted travel to the bump stop that is enough."""


@dataclass(frozen=True)
class Judged:
    """faults: what the stock cannot do, a line each; better: the nearest stock that would, in its own words, None if
    there is no fault or none is known."""

    faults: tuple[str, ...]
    better: str | None


def judged(stood: Stood) -> Judged:
    """Whether the springs can be what was wanted of them."""
    found = faults_of(stood)
    return Judged(tuple(found), better_than(stood) if found else None)


def faults_of(stood: Stood) -> list[str]:
    """What is wrong with springs of this stock as it stands."""
    fit, sheet = stood.design.fit, stood.sheet
    found = []
    heave = stood.heave_Hz
    if not LOW_HZ <= heave <= HIGH_HZ:
        what = "soft" if heave < LOW_HZ else "stiff"
        found.append(f"it is too {what}: heave at {heave:.1f} Hz, {LOW_HZ:g} to {HIGH_HZ:g} is wanted")
    known = [s for s in sheet.springs if s.steel is not None]
    if known:
        rest = min(s.load_margin("standing") for s in known)
        bump = min(s.load_margin("bump") for s in known)
        if rest * STANDING_SHARE < 0.999:
            verb = "yields standing" if rest < 1.0 else "works hard standing"
            found.append(f"it {verb}: at {1.0 / rest:.0%} of its yield, {STANDING_SHARE:.0%} is wise")
        elif bump < 1.0:
            found.append(f"it yields at full bump: at {1.0 / bump:.0%} of its yield")
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


def does_well(fit: Fit, more: float) -> bool:
    """Whether a spring does all that is wanted, as far as can be said before it has stood. more: see Fit.badness."""
    rides = LOW_HZ * 1.03 < more * fit.heave_Hz < HIGH_HZ * 0.97
    return rides and fit.standing < STANDING_SHARE and fit.bump_mm >= ENOUGH_BUMP * fit.want.bump_mm


def better_than(stood: Stood) -> str | None:
    """The nearest stock of the same kind that would do, else round bar of new steel; in words."""
    return None if (fit := better_fit(stood, stood.design.known.stock)) is None else fit.stock.words()


def better_fit(stood: Stood, stock: StockAtHand) -> Fit | None:
    """The same kind in other sizes, then better steel, then round bar, of which a spring does all."""
    design = stood.design
    more = stood.heave_Hz / design.fit.heave_Hz

    def does(other: StockAtHand) -> Fit | None:
        fit = fit_to(design.known, design.layout, design.steelwork, other, design.fit.place.load_N, more)
        if fit is None:
            return None
        return fit if does_well(fit, more) else None

    tried = list(stock.others())[:MOST_TRIED]
    if isinstance(stock, (LeafStrip, RoundBar)) and stock.steel != "51CrV4":
        new = [s.model_copy(update={"steel": "51CrV4"}) for s in (stock, *tried[:8]) if isinstance(s, type(stock))]
        tried = [t for pair in zip(tried[:8], new, strict=False) for t in pair] + tried[8:]
    for other in tried:
        if (fit := does(other)) is not None:
            return fit
    if not isinstance(stock, RoundBar):
        bar = RoundBar(diameter_mm=12.0, steel="51CrV4")
        for other in (bar, *bar.others()):
            if (fit := does(other)) is not None:
                return fit
    return None
