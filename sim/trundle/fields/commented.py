"""A builder's file as text with a comment on every line, which says what the field is: from the fields' docstrings."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from pydantic import BaseModel

from trundle.fields.docs import field_doc, table_doc
from trundle.fields.walk import element_type, model_at

MOST_LETTERS = 70
"""A comment is cut at a clause to be no longer than this, if one ends soon enough, or else at a word."""

WIDEST = 44
"""Comments of a table stand in one column; a longer line has its own further out."""

_BREAKS = ("; ", ": ", " (", ", ")


def commented(
    table: type[BaseModel],
    values: Mapping[str, Any],
    guesses: Mapping[str, str] | None = None,
    said: Mapping[str, str] | None = None,
) -> str:
    """`values` of a file that is a `table` (a Vehicle, a Course) as TOML, in the order given, None left out.

    values: as read from TOML or from `model_dump`; each table within becomes a table of its own, with a line a field.
    guesses: path of a field (`hull.com_mm`, `bogie.front.arm_mm`, `obstacle.1.height_mm`: counted from 1) to what it
    was estimated from: its comment begins with "GUESS: " and says so. said: path to the comment's words, of what the
    docstrings do not know or the writer knows better. Raises KeyError of a path that is neither field nor in `said`,
    and of a guess of what is not in the file.
    """
    guesses, said = dict(guesses or {}), dict(said or {})
    lines: list[str] = []
    met: set[str] = set()
    for header, rows in _tables(table, values, "", "", said):
        block = []
        for path, row, words in rows:
            met.add(path)
            if path in guesses:
                words = f"GUESS: {guesses[path].rstrip('. ')}. {words}".strip()
            block.append((row, words))
        lines += ["", header] if header and lines else [header] if header else []
        lines += _aligned(block)
    if strange := sorted(set(guesses) - met):
        raise KeyError(strange[0])
    return "\n".join(lines) + "\n"


def short(what: str, most: int = MOST_LETTERS) -> str:
    """The first words of a docstring, for a comment: up to the end of its first sentence or clause."""
    text = what.partition(". ")[0].rstrip(". ").partition("; ")[0]
    if len(text) <= most:
        return text
    ends = [at for at in range(most // 3, most) if text.startswith(_BREAKS, at) and _outside_brackets(text[:at])]
    return text[: ends[-1]] if ends else text[: text.rfind(" ", 0, most - 3)] + " ..."


def _outside_brackets(before: str) -> bool:
    return all(before.count(a) == before.count(b) for a, b in ("()", "[]"))


def toml_value(value: Any) -> str:
    """A value as a builder would write it: 12 for 12.0, ten figures at most. A text of several lines on several."""
    # Only now: it is loaded by nothing that a run wants.
    import tomlkit

    if isinstance(value, str) and "\n" in value and "\\" not in value and '"""' not in value:
        return tomlkit.string(value, multiline=True).as_string()
    return str(tomlkit.item(_plain(value)).as_string())


def _plain(value: Any) -> Any:
    if isinstance(value, float) and not isinstance(value, bool):
        value = float(f"{value:.10g}")
        return int(value) if value.is_integer() and abs(value) < 1e15 else value
    if isinstance(value, Mapping):
        return {k: _plain(v) for k, v in value.items() if v is not None}
    if isinstance(value, (list, tuple)):
        return [_plain(v) for v in value]
    return value


_Row = tuple[str, str, str]
"""Path, line, comment."""


def _tables(
    kind: Any, values: Mapping[str, Any], header: str, path: str, said: Mapping[str, str]
) -> Iterator[tuple[str, list[_Row]]]:
    """Each table with its header and rows, in the file's order: plain fields first, as TOML wants it."""
    model = model_at(kind, values)
    rows: list[_Row] = []
    inner: list[tuple[str, Any]] = []
    for name, value in values.items():
        if value is None:
            continue
        if isinstance(value, Mapping) or _are_tables(value):
            inner.append((name, value))
        else:
            here = _below(path, name)
            rows.append((here, f"{_key(name)} = {toml_value(value)}", said.get(here) or _words(model, name, here)))
    if header and (rows or not inner or header.startswith("[[")):
        words = said.get(path) or (short(table_doc(model).what) if model and "kind" not in values else "")
        yield (f"{header}  # {words}" if words else header), rows
    elif rows:
        yield "", rows
    plain_header = header.strip("[]")
    for name, value in inner:
        below = model.model_fields[name].annotation if model and name in model.model_fields else element_type(kind)
        key = _below(plain_header, _key(name))
        if isinstance(value, Mapping):
            yield from _tables(below, value, f"[{key}]", _below(path, name), said)
        else:
            for i, entry in enumerate(value, 1):
                yield from _tables(element_type(below), entry, f"[[{key}]]", _below(path, f"{name}.{i}"), said)


def _words(model: type[BaseModel] | None, name: str, path: str) -> str:
    """What a field's line says. The line with the kind says what the kind is."""
    if model is None or name not in model.model_fields:
        raise KeyError(path)
    return short(table_doc(model).what if name == "kind" else field_doc(model, name).what)


def _aligned(rows: Sequence[tuple[str, str]]) -> list[str]:
    """Rows with their comments in one column."""
    lengths = [n for row, _ in rows if (n := len(row)) <= WIDEST and "\n" not in row]
    at = max(lengths, default=0)
    # A comment behind a text of several lines stands before it, where it is seen.
    return [
        (f"# {words}\n{row}" if words else row) if "\n" in row else f"{row:<{at}}  # {words}" if words else row
        for row, words in rows
    ]


def _are_tables(value: Any) -> bool:
    return isinstance(value, (list, tuple)) and bool(value) and all(isinstance(v, Mapping) for v in value)


def _below(path: str, name: str) -> str:
    return f"{path}.{name}" if path else name


def _key(name: str) -> str:
    """A name as a TOML key: in quotes where it wants them."""
    import tomlkit

    return str(tomlkit.key(name).as_string())
