"""The page of a mend: self-contained, readable and printable without a network."""

from __future__ import annotations

import os
from pathlib import Path

from trundle.errors import InputError, Problem
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
    check_folder(folder)
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as e:
        raise InputError(Problem(f"cannot be made: {e.strerror or e}", file=str(folder))) from None
    path = folder / PAGE
    write_text(path, page_html(mended))
    return path


def check_folder(folder: Path) -> None:
    """Raises InputError if there is no folder to write into, and none can be made: told before anything is run."""
    try:
        there = next(p for p in (folder.absolute(), *folder.absolute().parents) if p.exists() or p.is_symlink())
        fits = there.is_dir() and os.access(there, os.W_OK | os.X_OK)
    except (OSError, ValueError) as e:  # a name that no file can have
        raise InputError(
            Problem(f"is no place for a page: {getattr(e, 'strerror', None) or e}", file=str(folder))
        ) from None
    if not fits:
        raise InputError(Problem("is no folder that can be written into", file=str(there)))


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
