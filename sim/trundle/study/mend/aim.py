"""What is to be mended: the worst finding of a run, or a figure that the builder names."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from trundle.errors import InputError, Problem, did_you_mean
from trundle.findings import figures
from trundle.findings.figures import Better, Figure
from trundle.findings.finding import Finding, Harm
from trundle.findings.grades import Grade, Subject

HOW_FAR = {"completed": "distance_m"}
"""What is measured of a finding whose own figure is only yes or no."""


def aims() -> list[Figure]:
    """The figures that can be mended: of which one value is better than another, and not those of the arithmetic."""
    return [
        f for f in figures.TABLE if f.better is not Better.NEITHER and not f.of_wheel and f.subject is not Subject.TRUST
    ]


def check_figure(name: str) -> Figure:
    """The figure to mend. Raises InputError if there is none of that name, or nothing to choose between its values."""
    known = {f.name: f for f in aims()}
    if name not in known:
        what = f'no figure "{name}" to mend{did_you_mean(name, known)}'
        raise InputError(Problem(what, argument="figure", allowed=", ".join(known)))
    return known[name]


def aim_of(findings: Sequence[Finding], figure: str | None) -> Finding | None:
    """The finding to mend: the worst that a change of the vehicle can help, or the worst of `figure`.

    None if there is none. A figure that no finding is of is one by itself.
    """
    measured = [replace(f, figure=HOW_FAR.get(f.figure, f.figure)) for f in findings]
    if figure is None:
        known = {f.name for f in aims()}
        return next((f for f in measured if f.figure in known), None)
    found = check_figure(figure)
    own = next((f for f in measured if f.figure == figure), None)
    return own or Finding(Harm.NEARLY, Grade.NOTE, 0.0, found.title, found.title, figure)
