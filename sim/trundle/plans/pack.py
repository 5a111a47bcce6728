"""The stack of prints: every sheet that there is to draw of a vehicle, in the order in which a builder wants them."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime

from trundle.drawing.font import add_fonts
from trundle.drawing.sheet import Drawing
from trundle.errors import InputError, Problem, did_you_mean
from trundle.plans import bogie, general, jigs, lists, run, templates
from trundle.plans.contents import cautions, contents_pages
from trundle.plans.page import Page
from trundle.plans.parts import part_pages, stack_pages
from trundle.plans.subject import Pages, Subject

OnProgress = Callable[[str, int], None]
"""Told what is drawn now, and how many sheets there are so far."""


@dataclass(frozen=True)
class Kind:
    """Sheets that belong together. name: as it is chosen; what: in words."""

    name: str
    what: str
    pages: Pages


KINDS = (
    Kind("general", "general arrangement", general.pages),
    Kind("bogies", "bogies put together", bogie.pages),
    Kind("track", "track's run, tensioner, axles of its ends", run.pages),
    Kind("parts", "each part that is made", part_pages),
    Kind("stacks", "what goes on each bolt, wheels over the guide tooth, the spring's screw", stack_pages),
    Kind("templates", "templates at 1:1 of what is drilled and bent", templates.pages),
    Kind("jigs", "jigs to drill and weld in, and what their errors do", jigs.pages),
    Kind("lists", "what to cut, to buy, and bolts", lists.pages),
    Kind("cautions", "what to take care of", cautions),
)
"""In their order in the stack."""


@dataclass(frozen=True)
class Pack:
    """All sheets, contents first."""

    subject: Subject
    pages: tuple[Page, ...]

    def drawings(self) -> Iterator[Drawing]:
        """Each sheet with its frame and title block."""
        s = self.subject
        for number, page in enumerate(self.pages, 1):
            yield page.drawing(s.vehicle.name, s.source, s.date, number, len(self.pages))

    def pdf(self, made: datetime) -> bytes:
        """All sheets in one file, each of its own paper's size. made: the date that is kept in it."""
        from fpdf import FPDF  # here: a quarter of a second that drawings do not take
        from fpdf.prefs import ViewerPreferences

        first = self.pages[0].paper
        pdf = FPDF(unit="mm", format=(first.width, first.height))
        add_fonts(pdf)
        pdf.set_title(f"{self.subject.vehicle.name}: drawings to build from")
        pdf.set_creation_date(made)
        pdf.set_auto_page_break(False)
        # Readers that obey it do not shrink sheets, the templates at 1:1 among them, to the printer's margins.
        pdf.viewer_preferences = ViewerPreferences(print_scaling="None")
        for drawing in self.drawings():
            pdf.add_page(format=(drawing.width, drawing.height))
            drawing.onto(pdf)
        return bytes(pdf.output())


def chosen(names: Sequence[str]) -> tuple[Kind, ...]:
    """Kinds by their names, in their order in the stack; all of them where none is named. Raises InputError."""
    known = {k.name: k for k in KINDS}
    for name in names:
        if name not in known:
            near = did_you_mean(name, known)
            raise InputError(Problem(f'"{name}" is no kind of sheet{near}', "--only", allowed=", ".join(known)))
    return tuple(k for k in KINDS if k.name in names) if names else KINDS


def pack(subject: Subject, kinds: Sequence[Kind] = KINDS, on_progress: OnProgress | None = None) -> Pack:
    """Raises InputError where the paper is too small for a sheet, or the font is missing."""
    pages: list[Page] = []
    for kind in kinds:
        if on_progress is not None:
            on_progress(kind.what, len(pages))
        pages += kind.pages(subject)
    return Pack(subject, (*contents_pages(subject, pages), *pages))
