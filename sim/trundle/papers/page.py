"""A sheet as one self-contained HTML page, for the screen and the printer."""

from __future__ import annotations

from jinja2 import Environment, PackageLoader, StrictUndefined

from trundle.papers.parts import Document, Table
from trundle.papers.screen import is_figure


def html(document: Document) -> str:
    """The page. Nothing in it is fetched from anywhere."""
    environment = Environment(
        loader=PackageLoader("trundle.papers"), autoescape=True, undefined=StrictUndefined, trim_blocks=True
    )
    return environment.get_template("sheet.html").render(document=document, figures=_figures)


def _figures(table: Table) -> list[bool]:
    """Which columns are set to the right."""
    if not any(table.heads):
        return [False] * len(table.heads)
    return [all(is_figure(row[i]) for row in table.rows) for i in range(len(table.heads))]
