"""What is left in the steel in the run's hardest moment: strength over stress, below 1 something yields."""

from __future__ import annotations

from trundle.findings.figures.figure import Bad, Better, Figure, Told
from trundle.findings.grades import Subject

FIGURES = (
    Figure(
        name="spring_margin", title="spring margin", digits=2, better=Better.HIGHER, subject=Subject.HULL,
        of=None, told=Told.NOT, single_blow=True, ranked=True, how_sure=False, bad=Bad("a spring yields", ">", 1),
    ),
    Figure(
        name="bolt_margin", title="bolt margin", digits=2, better=Better.HIGHER, subject=Subject.HULL,
        of=None, told=Told.NOT, single_blow=True, ranked=True, how_sure=False, bad=Bad("a bolt yields", ">", 1),
    ),
)  # fmt: skip
"""Worked out by trundle.papers.margins, as strength is on the build sheet."""
