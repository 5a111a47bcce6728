"""Writes pages and papers, whole or not at all."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from trundle.elevation.standing_view import standing_view
from trundle.papers.document import Sheet
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
