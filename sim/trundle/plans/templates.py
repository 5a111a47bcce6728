"""Pages of templates at 1:1: each hole and leaf template on as many sheets as it takes."""

from __future__ import annotations

from collections.abc import Iterator

from trundle.plans.drill import drill_templates
from trundle.plans.leaf_template import leaf_templates
from trundle.plans.page import Page
from trundle.plans.subject import Subject
from trundle.plans.tile import tiles


def pages(subject: Subject) -> Iterator[Page]:
    """What is drilled, then what is bent; their sheets have no title block, which would take a third of the paper."""
    for stem, drawing in (*drill_templates(subject.vehicle), *leaf_templates(subject.vehicle)):
        for tile in tiles(drawing, subject.paper):
            mark = stem.split("-")[0]
            title = tile.drawing.title.removeprefix(f"{subject.vehicle.name}: ").removeprefix(f"{mark} ")
            yield Page(mark, title, tile.paper, "1:1", tuple(tile.drawing.marks), block=False)
