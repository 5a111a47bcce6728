"""What is to be mended: the worst finding of a run, or a figure that the builder names."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from trundle.errors import InputError, Problem, did_you_mean
from trundle.findings import figures
from trundle.findings.figures import Better, Figure
from trundle.findings.finding import Finding, Harm
from trundle.findings.grades import Grade


def aims() -> list[Figure]:
    """The figures that can be mended: those of which one value is better than another."""
    return [f for f in figures.TABLE if f.better is not Better.NEITHER and not f.of_wheel]


def check_figure(name: str) -> Figure:
    """The figure to mend. Raises InputError if there is none of that name, or nothing to choose between its values."""
    known = {f.name: f for f in aims()}
    if name not in known:
        raise InputError(
            Problem(
                f'no figure "{name}" to mend{did_you_mean(name, known)}', argument="figure", allowed=", ".join(known)
            )
        )
    return known[name]


def aim_of(findings: Sequence[Finding], figure: str | None) -> Finding | None:
    """The finding to mend: the worst that names a figure which can be better, or the worst of `figure`.

    None if there is none. A figure that no finding is of is one by itself.
    """
    if figure is None:
        known = {f.name for f in aims()}
        return next((f for f in findings if f.figure in known), None)
    found = check_figure(figure)
    own = next((f for f in findings if f.figure == figure), None)
    return own or Finding(Harm.NEARLY, Grade.NOTE, 0.0, found.title, found.title, figure)


_BAD = (
    ("spring_margin", Harm.BREAKS, "a spring takes a set"),
    ("bolt_margin", Harm.BREAKS, "a bolt bends for good"),
    ("bump_stop_hits", Harm.NEARLY, "a bump stop is hit"),
    ("min_belly_clearance_mm", Harm.NEARLY, "the belly touches"),
    ("track_loose_s", Harm.THROWS, "the track goes slack"),
)


def findings_of(summary: Mapping[str, Any]) -> tuple[Finding, ...]:
    """The findings of a run's figures, the worst first."""
    found = []
    for name, harm, short in _BAD:
        figure, value = figures.figure_of(name), summary.get(name)
        if value is not None and figure.bad is not None and figure.bad.happened(value):
            grade = Grade.FAIL if harm is Harm.BREAKS else Grade.RISK
            found.append(Finding(harm, grade, 1.0, short, f"{short}: {figure.title} {figure.text(value)}", name))
    return tuple(sorted(found, key=lambda f: f.order, reverse=True))
