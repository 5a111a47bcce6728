"""What is left in the steel in the run's hardest moment: strength over stress, below 1 something yields."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING

from trundle.findings.figures.figure import Bad, Better, Figure, Told
from trundle.findings.grades import Subject
from trundle.strength.margin import Kind, least_of

if TYPE_CHECKING:
    from trundle.findings.readings import Readings

LEAST_PART = "least_margin_part"
"""In the summary beside the figures, in words: which part `least_margin` is of; "" if none is known."""


KINDS: Mapping[str, tuple[Kind, ...]] = {
    "spring_margin": ("spring",), "arm_margin": ("arm", "beam"), "bolt_margin": ("axle bolt", "pivot bolt"),
    "bracket_margin": ("bracket",), "hull_bolt_margin": ("hull bolts",), "weld_margin": ("weld",),
}  # fmt: skip
"""Which kinds of part a margin is the least of."""

FIGURE_OF: Mapping[Kind, str] = {kind: name for name, kinds in KINDS.items() for kind in kinds}
"""The figure that has a kind's least margin."""

MISSING = "margins_missing"
"""How many kinds of part a vehicle must have whose sizes its file does not give: it may yield there, unseen."""

ON_STONE = "arm_on_stone_margin"
"""Of a load case that is stated and did not happen: see trundle.strength.margin.OnStone."""


def _least(*kinds: Kind) -> Callable[[Readings], float | None]:
    def of(readings: Readings) -> float | None:
        least = least_of(readings.margins, *kinds)
        # A part that bears nothing at all has no margin to tell of.
        return least.margin if least is not None and least.margin != float("inf") else None

    return of


def _on_stone(readings: Readings) -> float | None:
    return min((m.on_stone.margin for m in readings.margins if m.on_stone is not None), default=None)


def _unknown(readings: Readings) -> int:
    from trundle.strength.missing import unknown  # reading the table of figures is to load nothing heavy

    return sum(len(u.parts) for u in unknown(readings.assembly))


def least_part(readings: Readings) -> str:
    """The part that has least left: `arm front.fore`."""
    least = least_of(readings.margins)
    return "" if least is None else f"{least.kind} {least.name}"


def _figure(name: str, title: str, what: str, ranked: bool = True) -> Figure:
    return Figure(
        name=name, title=title, digits=2, better=Better.HIGHER, subject=Subject.HULL,
        of=_least(*KINDS.get(name, ())), told=Told.NOT, single_blow=True, ranked=ranked, how_sure=False,
        bad=Bad(what, ">", 1),
    )  # fmt: skip


FIGURES = (
    _figure("least_margin", "least margin", "some part yields"),
    _figure("spring_margin", "spring margin", "a spring yields"),
    _figure("arm_margin", "arm margin", "an arm or beam yields"),
    _figure("bolt_margin", "bolt margin", "an axle or pivot bolt yields"),
    _figure("bracket_margin", "bracket margin", "a bracket tears", ranked=False),
    _figure("hull_bolt_margin", "hull bolt margin", "a bracket's hull bolts give", ranked=False),
    _figure("weld_margin", "weld margin", "a weld cracks", ranked=False),
    Figure(
        name=MISSING,
        title="parts of unknown strength",
        counted=True,
        subject=Subject.HULL,
        of=_unknown,
        told=Told.SENTENCE,
        compared=False,
        how_sure=False,
    ),
    Figure(
        name=ON_STONE,
        title="arm margin on a stone",
        digits=2,
        better=Better.HIGHER,
        subject=Subject.HULL,
        of=_on_stone,
        told=Told.SENTENCE,
        single_blow=True,
        how_sure=False,
    ),
)
"""Of trundle.strength, from the force vectors of the record. What is seldom the weakest is not ranked by for itself:
steel would then count for more places than the ride. It is in `least_margin`, as all are."""
