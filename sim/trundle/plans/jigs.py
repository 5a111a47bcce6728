"""Sheets of jigs: what holds parts while they are drilled, welded and hung on the hull, and what its errors do."""

from __future__ import annotations

from collections.abc import Iterator

from trundle.plans import jig_drill, jig_effects, jig_hull, jig_plates, jig_weld
from trundle.plans.jig_page import jig_page, list_pages
from trundle.plans.page import Page
from trundle.plans.subject import Subject


def pages(subject: Subject) -> Iterator[Page]:
    """In the order in which they are used, then what all are made of, then figures."""
    found = [jig for kind in (jig_drill, jig_weld, jig_plates, jig_hull) for jig in kind.jigs(subject)]
    yield from (jig_page(subject, jig) for jig in found)
    yield from list_pages(subject, found)
    yield from jig_effects.pages(subject)
