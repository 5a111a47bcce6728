"""The page of a mend: self-contained, readable and printable without a network."""

from __future__ import annotations

from pathlib import Path

from trundle.findings.figures import figure_of
from trundle.study.files import write_text
from trundle.study.mend import picture
from trundle.study.mend.found import Found
from trundle.study.mend.judge import said

PAGE = "mend.html"

NEAR_TOLD = (
    "Bars are medians of {near} near runs (speed within a few percent, start within a link's pitch), the thin lines "
    "their range. A change is listed only if its median lies beyond the range of the vehicle as it is, and if nothing "
    "else gives or fails because of it."
)


def write_page(mended: Found, folder: Path) -> Path:
    """Writes `mend.html` into the folder, which is made. Raises InputError."""
    folder.mkdir(parents=True, exist_ok=True)
    path = folder / PAGE
    write_text(path, page_html(mended))
    return path


def page_html(mended: Found) -> str:
    """The page as text."""
    from jinja2 import Environment, PackageLoader
    from markupsafe import Markup

    from trundle.report.cautions import CAUTIONS

    page = Environment(
        loader=PackageLoader("trundle.study"), autoescape=True, trim_blocks=True, lstrip_blocks=True
    ).get_template("mend.html")
    figure = figure_of(mended.finding.figure) if mended.finding is not None else None
    drawn = bool(mended.helps)
    return page.render(
        mended=mended,
        figure=figure,
        after=[said(h.gain.after, figure) for h in mended.helps] if figure is not None else [],
        near=NEAR_TOLD.format(near=mended.near),
        # Our own drawing, not the builder's text.
        ranges=Markup(picture.ranges(mended)) if drawn else "",
        along=Markup(picture.along(mended)) if drawn else "",
        cautions=CAUTIONS,
    )
