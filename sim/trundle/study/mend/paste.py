"""A change as the lines of the vehicle's file that are written anew, each under its table."""

from __future__ import annotations

import difflib
from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from trundle.result.inputs import VehicleInput
from trundle.spec.vehicle import Vehicle


def lines(given: VehicleInput, settings: Mapping[str, Any], changed: Vehicle) -> tuple[str, ...]:
    """Table headings, and below each the lines that take the place of those with the same name."""
    before = given.text_as_used().splitlines()
    after = replace(given, vehicle=changed, settings={**given.settings, **settings}).text_as_used().splitlines()
    found: list[str] = []
    told = ""
    for tag, _, _, first, last in difflib.SequenceMatcher(None, before, after, autojunk=False).get_opcodes():
        for row in range(first, last) if tag in ("replace", "insert") else ():
            if not after[row].strip():
                continue
            head = _table(after, row)
            if head and head != told and after[row].strip() != head:
                found.append(head)
            told = head
            found.append(after[row])
    return tuple(found)


def _table(rows: list[str], row: int) -> str:
    """The heading above a row, without its comment."""
    heads = (line.partition("#")[0].strip() for line in rows[row::-1])
    return next((h for h in heads if h.startswith("[")), "")
