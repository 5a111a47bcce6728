"""Writes pages, papers and templates, whole or not at all."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from trundle.elevation.standing_view import standing_view
from trundle.errors import InputError, Problem
from trundle.papers.document import Sheet
from trundle.papers.drill import file_stem, template
from trundle.papers.page import html
from trundle.record.files import write_bytes

VIEW_MM = (182.0, 75.0)
"""Room for the view of the standing vehicle on a page: as wide as the text on A4."""


def write_html(made: Sheet, file: Path) -> Path:
    """The sheet as a page. Raises InputError if it cannot be written."""
    picture = standing_view(made.at, *VIEW_MM).svg()
    write_bytes(file, html(replace(made.document, picture=picture)).encode())
    return file


def write_pdf(made: Sheet, file: Path) -> Path:
    """The sheet as PDF. Raises InputError."""
    from trundle.papers.paper import sheet_pdf

    write_bytes(file, sheet_pdf(made.document, standing_view(made.at, *VIEW_MM)))
    return file


def write_templates(made: Sheet, vehicle: str, folder: Path) -> list[Path]:
    """A PDF and an SVG at 1:1 for every piece. Raises InputError, also if there is no piece to drill."""
    from trundle.papers.paper import template_pdf

    if not made.pieces:
        raise InputError(
            Problem(
                "there is nothing to draw: the file does not say how arms or brackets are made",
                argument="templates",
                allowed="[bogie.NAME.build.arm] or [bogie.NAME.build.bracket] in the vehicle file",
            )
        )
    wrote = []
    for piece in made.pieces:
        drawing = template(piece, vehicle)
        for suffix, content in ((".pdf", template_pdf(drawing)), (".svg", drawing.svg().encode())):
            file = folder / (file_stem(piece) + suffix)
            write_bytes(file, content)
            wrote.append(file)
    return wrote
