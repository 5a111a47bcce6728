"""Blows on belly, sprocket and idler: how hard, for how long, what they are at the seat, and how sure that is.

The peak of a blow hangs on a rate that nobody has measured (trundle.model.give): it is told with the range that the
rate's own range gives it. And a peak that is over before the hull has answered is a sharp hit, not a number.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from trundle.findings import channel
from trundle.findings.readings import Floats
from trundle.model.arrays import SIDES
from trundle.units import G

if TYPE_CHECKING:
    from trundle.model.assembly import Assembly
    from trundle.model.give import Give

HARD_BLOW_G = 4.0
"""A blow, whatever makes it, that is as hard as this at the seat is a risk (our own line, no source)."""

Columns = Callable[[str], Floats]
"""Gives a column of the timeline by name."""

BLOW_S = 0.03
"""What presses harder than half its peak for longer than this is a load, not a blow: its peak hangs on no rate [s] (our
own line, no source)."""

DECIDES = 0.25
"""A part decides a jolt if its load alone makes this share of the seat's acceleration, the hull taken as one mass (our
own line, no source)."""

AROUND = 2
"""Rows before and behind a blow in which the seat may feel it."""

UP, FORWARD = "seat.up_m_s2", "seat.forward_m_s2"


@dataclass(frozen=True)
class Blow:
    """One blow. peak_N: of the belly in all, of an end one side's; row: of the peak; lasts_s: over half of it;
    seat_g: hardest at the seat meanwhile, forward and up together, filtered (None at a step too coarse for that);
    answers_s: what is shorter is over before the hull answers.
    """

    give: Give
    peak_N: float
    row: int
    lasts_s: float
    seat_g: float | None
    answers_s: float

    @property
    def is_blow(self) -> bool:
        """Whether it is short enough for its peak to hang on the part's rate."""
        return self.lasts_s <= BLOW_S

    @property
    def sharp(self) -> bool:
        """Whether it is over before the hull has answered."""
        return self.lasts_s < self.answers_s

    @property
    def share(self) -> tuple[float, float]:
        """How much lower and higher its peak may be."""
        return self.give.share if self.is_blow else (1.0, 1.0)


def load_column(part: str) -> str:
    """The column of what presses on a part: `belly.load_N`."""
    return f"{part}.load_N"


def over_half(values: Floats, row: int) -> tuple[int, int]:
    """First and last row of the stretch round a row in which a series is over half of what it is there."""
    low = high = row
    while low > 0 and values[low - 1] > 0.5 * values[row]:
        low -= 1
    while high + 1 < len(values) and values[high + 1] > 0.5 * values[row]:
        high += 1
    return low, high


def blow_at(column: Columns, assembly: Assembly, give: Give, first: int, end: int, dt_s: float) -> Blow:
    """The hardest moment of a part between two rows, in which it is pressed."""
    load = column(load_column(give.part))
    row = first + int(load[first:end].argmax())
    peak = float(load[row])
    low, high = over_half(load, row)
    felt = slice(max(low - AROUND, 0), high + 1 + AROUND)
    seat = _at_the_seat(column, felt, dt_s)
    return Blow(give, peak, row, (high + 1 - low) * dt_s, seat, assembly.answers_s)


def _at_the_seat(column: Columns, felt: slice, dt_s: float) -> float | None:
    if not channel.fine_enough(dt_s):
        return None
    # Only the stretch that can reach into it: a look at one blow of an hour's run.
    wide = round(channel.SETTLES_S / dt_s)
    first = max(felt.start - wide, 0)
    up, forward = (channel.filtered(column(c)[first : felt.stop + wide], dt_s) for c in (UP, FORWARD))
    return float(np.hypot(up, forward)[felt.start - first : felt.stop - first].max()) / G


def hardest_blows(column: Columns, assembly: Assembly, dt_s: float) -> list[Blow]:
    """The hardest moment of each part that is pressed at all, belly first."""
    found = []
    for give in assembly.gives:
        load = column(load_column(give.part))
        if load.any():
            found.append(blow_at(column, assembly, give, 0, len(load), dt_s))
    return found


def jolt_share(column: Columns, jolt_m_s2: Floats, assembly: Assembly, dt_s: float) -> tuple[float, float]:
    """How much lower and higher the seat's hardest jolt up or down may be, by the rates of what is struck then; 1, 1
    where no blow on belly, sprocket or idler decides it. jolt_m_s2: filtered, so the loads it is held against are too.
    """
    up = np.abs(jolt_m_s2)
    row = int(up.argmax())
    low = high = 1.0
    around = AROUND + round(channel.SETTLES_S / dt_s)
    first, end = max(row - around, 0), row + 1 + around
    for give in assembly.gives:
        load = column(load_column(give.part))[first:end]
        sides = 1.0 if give.part == "belly" else SIDES
        if not load.any():
            continue
        pushed = float(channel.filtered(load, dt_s)[max(row - AROUND, 0) - first : row + 1 + AROUND - first].max())
        if sides * pushed < DECIDES * assembly.mass_kg * up[row]:
            continue
        share = blow_at(column, assembly, give, first, end, dt_s).share
        low, high = min(low, share[0]), max(high, share[1])
    return low, high
