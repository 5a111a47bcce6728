"""Writes templates at 1:1, all of them or none: a PDF with all sheets of each, and each sheet as SVG."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import ExitStack
from pathlib import Path

from trundle.drawing.font import add_fonts
from trundle.drawing.sheet import Drawing
from trundle.errors import InputError, Problem
from trundle.plans.drill import drill_templates
from trundle.plans.leaf_template import leaf_templates
from trundle.plans.paper import Paper
from trundle.plans.tile import tiles
from trundle.record.files import written
from trundle.spec.vehicle import Vehicle


def true_size_pdf(sheets: Sequence[Drawing]) -> bytes:
    """Drawings at 1:1, each on a page of exactly its size."""
    from fpdf import FPDF  # here: a quarter of a second that SVG does not take
    from fpdf.prefs import ViewerPreferences

    pdf = FPDF(unit="mm")
    add_fonts(pdf)
    pdf.set_auto_page_break(False)
    pdf.set_title(sheets[0].title)
    # Readers that obey it do not shrink the page to the printer's margins.
    pdf.viewer_preferences = ViewerPreferences(print_scaling="None")
    for sheet in sheets:
        pdf.add_page(format=(sheet.width, sheet.height))
        sheet.onto(pdf)
    return bytes(pdf.output())


def templates(vehicle: Vehicle) -> list[tuple[str, Drawing]]:
    """Every template of a vehicle with a name for its file: what is drilled, then what is bent, in one drawing each.

    Raises InputError where there is none.
    """
    found = [*drill_templates(vehicle), *leaf_templates(vehicle)]
    if not found:
        raise InputError(
            Problem(
                "there is nothing to draw: the file says of no arm, bracket or leaf how it is made",
                argument="templates",
                allowed="[bogie.NAME.build.arm], [bogie.NAME.build.bracket] or a leaf spring in the vehicle file",
            )
        )
    return found


def write_templates(vehicle: Vehicle, folder: Path, paper: Paper) -> list[Path]:
    """Into a folder, which is made where it is not. Raises InputError: nothing to draw, a paper that is too small, a
    folder that cannot be written; then no file is there that was not before."""
    files: list[tuple[Path, bytes]] = []
    for stem, drawing in templates(vehicle):
        files += [(folder / name, content) for name, content in _contents(stem, drawing, paper)]
    # Each is written beside its place and put there as the stack unwinds: not before all are written.
    with ExitStack() as all_written:
        for file, content in files:
            all_written.enter_context(written(file, "--templates")).write_bytes(content)
    return [file for file, _ in files]


def _contents(stem: str, drawing: Drawing, paper: Paper) -> Iterator[tuple[str, bytes]]:
    sheets = tiles(drawing, paper)
    yield f"{stem}.pdf", true_size_pdf([s.drawing for s in sheets])
    for sheet in sheets:
        name = f"{stem}-{sheet.name}" if len(sheets) > 1 else stem
        yield f"{name}.svg", sheet.drawing.svg().encode()
