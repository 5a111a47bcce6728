"""A course file of one's own to start from, and what it may hold."""

from __future__ import annotations

import tomllib
from collections.abc import Iterable, Sequence
from itertools import groupby

from trundle.errors import InputError, Problem, did_you_mean, plain
from trundle.fields.commented import commented, short
from trundle.fields.docs import table_doc
from trundle.fields.kind import Kind
from trundle.spec.course import Course
from trundle.terrain import KINDS as OBSTACLES
from trundle.terrain.instructions import KINDS as INSTRUCTIONS

ALL: tuple[type[Kind], ...] = (*OBSTACLES, *INSTRUCTIONS)

HEAD = """\
# Obstacles in the order in which they are met: delete what you do not want, change the sizes of the rest, copy a table
# for another of its kind. How each size is measured:  trundle explain "kerb up"

"""


def course_text(kinds: Sequence[type[Kind]], name: str) -> str:
    """A course file of that name with one of each kind, as its example has it, and a comment on every line."""
    values = {
        "name": plain(name)[:60],
        "run_up_mm": 3_000,
        "run_out_mm": 3_000,
        "speed_m_s": 1.0,
        "obstacle": [tomllib.loads(k.EXAMPLE) for k in kinds if k in OBSTACLES],
        "driver": [tomllib.loads(k.EXAMPLE) for k in kinds if k not in OBSTACLES],
    }
    return HEAD + commented(Course, {field: value for field, value in values.items() if value != []})


def kinds_called(words: Iterable[str]) -> tuple[type[Kind], ...]:
    """The kinds that go by these names, or by another word of the trade; in the order given, all of them for no words.

    Raises InputError of a word that names none, and where none of them is an obstacle.
    """
    found = tuple(dict.fromkeys(_called(word) for word in words)) or ALL
    if not any(kind in OBSTACLES for kind in found):
        allowed = ", ".join(k.kind_name() for k in OBSTACLES)
        raise InputError(Problem("a course wants an obstacle", field="--with", allowed=allowed))
    return found


def _called(word: str) -> type[Kind]:
    asked = " ".join(word.lower().split())
    known = {other.lower(): kind for kind in ALL for other in (*table_doc(kind).also_called, kind.kind_name())}
    if asked not in known:
        names = ", ".join(kind.kind_name() for kind in ALL)
        raise InputError(Problem(f'no such kind "{word}"{did_you_mean(asked, known)}', field="--with", allowed=names))
    return known[asked]


def kinds_listed() -> list[str]:
    """A line for each kind: what it is called in a file, what it is, other words for it."""
    rows = [(k, short(table_doc(k).what), ", ".join(table_doc(k).also_called[:3])) for k in ALL]
    wide = max(len(k.kind_name()) for k in ALL)
    lines: list[str] = []
    for obstacle, group in groupby(rows, key=lambda row: row[0] in OBSTACLES):
        lines += ["", "[[obstacle]]" if obstacle else "[[driver]]"]
        for kind, what, other in group:
            lines.append(f"  {kind.kind_name():<{wide}}  {what}")
            lines.append(f"  {'':<{wide}}  also: {other}")
    return lines[1:]
