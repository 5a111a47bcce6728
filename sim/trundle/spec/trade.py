"""Words of the trade, and what they are called here: from the docstrings of tables and fields."""

from __future__ import annotations

import re
from collections.abc import Iterable

from pydantic import BaseModel

from trundle.errors import LONGEST_SLIP, did_you_mean
from trundle.fields.docs import Doc, field_doc, table_doc
from trundle.fields.kind import Kind
from trundle.fields.quantity import without_unit


def kind_hint(word: str, kinds: Iterable[type[BaseModel]]) -> str:
    """`; that is kind = "single arm" here ...` of a trade word for a kind, else of the nearest kind's name, else "".

    Names the command that explains it.
    """
    known = {k.kind_name(): k for k in kinds if issubclass(k, Kind)}
    for name, table in known.items():
        doc = table_doc(table)
        if (also := _called(word, doc)) is not None:
            more = dict(doc.also_with).get(also, "")
            return f'; that is kind = "{name}"{more and f", {more}"} here (see trundle explain "{name}")'
    return did_you_mean(word, known)


def field_hint(word: str, table: type[BaseModel] | None) -> str:
    """The same of a field: `; that is "arm_mm" here ...`."""
    if table is None:
        return ""
    for name in table.model_fields:
        if _called(without_unit(word), field_doc(table, name)) is not None:
            return f'; that is "{name}" here (see trundle explain {name})'
    half = word.replace("diameter", "radius")
    if half != word and half in table.model_fields:
        return f'; "{half}" is wanted, half of the diameter'
    return did_you_mean(word, table.model_fields)


def _called(word: str, doc: Doc) -> str | None:
    if len(word) > LONGEST_SLIP:
        return None
    asked = _plain(word)
    return next((also for also in doc.also_called if _plain(also) == asked), None)


def _plain(words: str) -> str:
    return re.sub(r"[^a-z0-9]+", " ", words.lower()).strip()
