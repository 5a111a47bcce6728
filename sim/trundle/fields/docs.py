"""What the docstrings of tables and fields say, taken apart: the one source of messages, the guide and the comments.

Under a field stands what it is, from where to where it is measured and in which direction; then, each on lines of its
own that begin with the word:

    Usual: what most builders have there, with the unit.
    Measure: how to find it with what a garage has.
    If wrong: what goes wrong if it is.
    Also called: other words for it, with commas between them; in brackets behind one, what else has to be given
        for that one: trailing arm (points = "back").

Read from the source only when it is asked for: a run does not want it.
"""

from __future__ import annotations

import ast
import inspect
import re
import sys
import textwrap
from dataclasses import dataclass
from functools import cache
from itertools import pairwise

from pydantic import BaseModel

LABELS = {"Usual": "usual", "Measure": "measure", "If wrong": "if_wrong", "Also called": "also_called"}
"""The words that begin a part, and what the part is called here."""


_WITH = re.compile(r"(?P<word>.+?) \((?P<more>.*)\)")


@dataclass(frozen=True)
class Doc:
    """what: the first part; the others are empty where nothing is said."""

    what: str = ""
    usual: str = ""
    measure: str = ""
    if_wrong: str = ""
    also_called: tuple[str, ...] = ()
    also_with: tuple[tuple[str, str], ...] = ()


def field_doc(table: type[BaseModel], name: str) -> Doc:
    """Of a field, from the class that last declares it with a docstring. Raises KeyError if the table has none of that
    name."""
    if name not in table.model_fields:
        raise KeyError(name)
    for base in table.__mro__:
        if issubclass(base, BaseModel) and base is not BaseModel and (said := _fields_said(base).get(name)):
            return taken_apart(said)
    return Doc()


def table_doc(table: type[BaseModel]) -> Doc:
    """Of a table, from its class."""
    return taken_apart(inspect.cleandoc(table.__doc__ or ""))


def taken_apart(text: str) -> Doc:
    """The parts of a docstring, each on one line."""
    parts: dict[str, list[str]] = {"what": []}
    now = "what"
    for line in text.splitlines():
        label, colon, rest = line.strip().partition(":")
        if colon and label in LABELS:
            now, line = LABELS[label], rest
            parts[now] = []
        parts[now].append(line.strip())
    said = {name: " ".join(" ".join(lines).split()) for name, lines in parts.items()}
    words = [w.strip() for w in said.pop("also_called", "").rstrip(".").split(",") if w.strip()]
    found = [_WITH.fullmatch(word) for word in words]
    also = tuple(f["word"] if f else word for f, word in zip(found, words, strict=True))
    return Doc(**said, also_called=also, also_with=tuple((f["word"], f["more"]) for f in found if f))


@cache
def _fields_said(table: type[BaseModel]) -> dict[str, str]:
    """The docstring under each field that this class itself declares."""
    found = {}
    body = _body_of(table)
    for field, text in pairwise(body):
        if (
            isinstance(field, ast.AnnAssign)
            and isinstance(field.target, ast.Name)
            and isinstance(text, ast.Expr)
            and isinstance(text.value, ast.Constant)
            and isinstance(text.value.value, str)
        ):
            found[field.target.id] = inspect.cleandoc(text.value.value)
    return found


def _body_of(table: type[BaseModel]) -> list[ast.stmt]:
    if table.__qualname__ in (classes := _classes_in(table.__module__)):
        return classes[table.__qualname__].body
    try:
        tree = ast.parse(textwrap.dedent(inspect.getsource(table)))
    except (OSError, TypeError, SyntaxError):  # a class made at run time
        return []
    return tree.body[0].body if tree.body and isinstance(tree.body[0], ast.ClassDef) else []


@cache
def _classes_in(module: str) -> dict[str, ast.ClassDef]:
    """The classes of a module, by name: its source is read once for all of them."""
    try:
        tree = ast.parse(inspect.getsource(sys.modules[module]))
    except (KeyError, OSError, TypeError, SyntaxError):
        return {}
    return {node.name: node for node in tree.body if isinstance(node, ast.ClassDef)}
