"""What came of looking for a mend: what helps, what it costs, what was refused."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from trundle.findings.figures import figure_of
from trundle.findings.finding import Finding
from trundle.findings.grades import Grade
from trundle.findings.words import counted
from trundle.result.result import Result
from trundle.study.mend.judge import LEAST_COST, Gain, said
from trundle.study.ranges import Range


@dataclass(frozen=True, eq=False)
class Help:
    """A change that helps. words: `bogie.*.arm_mm 150 -> 160`; gain: what it gives; costs: what gets worse elsewhere;
    remains: what fails with it too, as before; mended: what it is for is no risk any more; option: as an option of a
    command; pasted: the lines of the file, under their tables; result: its run as asked."""

    words: str
    gain: Gain
    costs: tuple[str, ...]
    remains: tuple[str, ...]
    mended: bool
    option: str
    pasted: tuple[str, ...]
    result: Result

    @property
    def costs_told(self) -> str:
        """`1.2 kg heavier; peak seat 3.1 -> 3.4 g`."""
        return "; ".join(self.costs) or f"nothing by {100.0 * LEAST_COST:g} % or more"

    @property
    def remains_told(self) -> str:
        """`still so: the springs take a set`; "" if nothing else fails."""
        return f"still so: {'; '.join(self.remains)}" if self.remains else ""


@dataclass(frozen=True, eq=False, repr=False)
class Found:
    """before: the run as it is; finding: what was to be mended, None if there is nothing; was: its figure over the near
    runs; helps: the most helpful first; refused: how many changes were, by reason; tried: changes; runs: in all; near:
    runs from which a help is told; nearest: where nothing helps, the change that comes nearest to it, in words."""

    before: Result
    finding: Finding | None
    was: Range | None
    helps: tuple[Help, ...]
    refused: Mapping[str, int]
    tried: int
    runs: int
    near: int
    nearest: str = ""

    @property
    def title(self) -> str:
        """`Teasel over Kerb 100 mm`."""
        s = self.before.summary
        return f"{s['vehicle']} over {s['course'] or 'the course'}"

    @property
    def aim(self) -> str:
        """What was to be mended, in a sentence."""
        if self.finding is None or self.was is None:
            return "Nothing to mend: the run has no finding. Name a figure to make better with --for."
        figure = figure_of(self.finding.figure)
        value = f"{figure.title} {said(self.was, figure)}"
        return (
            f"To make better: {value}."
            if self.finding.short == figure.title
            else f"To mend: {self.finding.short}; {value}."
            if self.finding.grade >= Grade.RISK
            else f"No risk was found. Nearest to one: {self.finding.short}; {value}."
        )

    @property
    def none_told(self) -> str:
        """Where nothing helps, or not enough: that, in a sentence."""
        if self.finding is None:
            return ""
        if self.helps:
            short = self.finding.grade >= Grade.RISK and not any(one.mended for one in self.helps)
            return "None of these makes it safe by itself: it stays a risk with each." if short else ""
        nearest = f" Nearest to it: {self.nearest}." if self.nearest else ""
        return (
            f"No single change helps by more than the near runs differ among themselves.{nearest} Change two things "
            "together, go slower, or begin from another layout."
        )

    @property
    def tally(self) -> str:
        """`Tried 74 changes in 260 runs; refused 12: does not fit or stand (7), ...`."""
        if not self.tried:
            return ""
        text = f"Tried {counted(self.tried, 'change')} in {counted(self.runs, 'run')}"
        if not self.refused:
            return f"{text}; none was refused."
        why = ", ".join(f"{reason} ({n})" for reason, n in sorted(self.refused.items(), key=lambda r: -r[1]))
        return f"{text}; refused {sum(self.refused.values())}: {why}."

    def lines(self) -> Iterator[str]:
        """All of it, line by line."""
        yield self.title
        yield self.aim
        if self.finding is not None:
            figure = figure_of(self.finding.figure)
            for i, one in enumerate(self.helps, 1):
                yield ""
                yield f"{i}  {one.words}: {figure.title} {said(one.gain.after, figure)}"
                yield f"   costs: {one.costs_told}"
                yield from (f"   {one.remains_told}" for _ in one.remains[:1])
                yield f"   {one.option}"
                yield from (f"   {line}" for line in one.pasted)
            yield ""
        yield from (line for line in (self.none_told, self.tally) if line)
