"""The report of a run: one HTML file that reads and prints without a network.

The same run gives the same bytes: no date, no timing, no path is in it.
"""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

from trundle.errors import InputError, Problem
from trundle.findings.figures import figure_of
from trundle.findings.record import Record
from trundle.findings.states import LEDGER_LIMIT
from trundle.findings.summary import value_of
from trundle.findings.verdict import Verdict, verdict_of
from trundle.findings.words import seconds
from trundle.record.store import REPORT
from trundle.report.cautions import CAUTIONS, MODEL_LIMITS
from trundle.report.energy import account

FACTS = ("ride_height_mm", "min_belly_clearance_mm")
"""Figures at the head of the page."""

_CONTROL = re.compile("[\x00-\x08\x0b-\x1f\x7f-\x9f\ufffe\uffff]")
"""Characters that XML does not know; a line end and a tab it does."""


def write_report(
    result: Record, folder: Path, vehicle_text: str, course_text: str, said: Verdict | None = None
) -> Path:
    """report.html into an existing folder; gives its path.

    vehicle_text, course_text: the TOML files as used; said: as for `report_html`. Raises InputError if it cannot be
    written.
    """
    path = folder / REPORT
    text = report_html(result, vehicle_text, course_text, said)
    try:
        path.write_text(text, encoding="utf-8", newline="\n")
    except OSError as e:
        raise InputError(Problem(f"cannot be written: {e.strerror or e}", file=str(path))) from None
    return path


def report_html(result: Record, vehicle_text: str, course_text: str, said: Verdict | None = None) -> str:
    """The page as text. said: the run's verdict, if it has been worked out already."""
    from jinja2 import Environment, PackageLoader, StrictUndefined
    from markupsafe import Markup

    from trundle.report.plots import pictures

    said = said or verdict_of(result)
    page = Environment(
        loader=PackageLoader("trundle.report"),
        autoescape=True,
        trim_blocks=True,
        lstrip_blocks=True,
        undefined=StrictUndefined,
    ).get_template("report.html")
    text = page.render(
        said=said,
        facts=_facts(result),
        # Our own drawings; names in them were escaped when they were drawn.
        pictures=[(p.title, p.note, Markup(p.svg)) for p in pictures(result, said.findings)],
        account=account(result.log),
        error=f"{100.0 * float(result.summary['energy_error']):.2g}",
        error_limit=f"{100.0 * LEDGER_LIMIT:g}",
        trusted=result.trusted,
        vehicle_note=result.vehicle.note,
        course_note=result.course.note,
        vehicle_text=vehicle_text,
        course_text=course_text,
        cautions=CAUTIONS,
        limits=MODEL_LIMITS,
    )
    return _clean(text)


def _facts(result: Record) -> list[tuple[str, str]]:
    s: dict[str, Any] = result.summary
    assembly = result.assembly
    return [
        ("vehicle", result.vehicle.name),
        ("course", f"{result.course.name or 'unnamed'}, {result.ground.length_m:.1f} m"),
        ("mass, all in", f"{assembly.mass_kg:.0f} kg"),
        ("time", seconds(float(s["duration_s"]))),
        *((f.title, f.text(value_of(s, f))) for f in map(figure_of, FACTS)),
    ]


def _clean(text: str) -> str:
    """Without control characters, which no page may hold; line ends and tabs stay."""
    return _CONTROL.sub("", text)
