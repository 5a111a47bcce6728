"""What `trundle explain` prints of what it has found, in lines."""

from __future__ import annotations

import sys
import textwrap
from collections.abc import Iterable, Mapping, Sequence
from functools import partial

import click

from trundle.fields.commented import short
from trundle.guide.entries import Entry, entries_of
from trundle.guide.find import Family, Found, Topic, asked_for
from trundle.guide.tables import Table, families, tables
from trundle.guide.words import WORDS, Word

NARROWEST = 60
"""Columns of a terminal that a picture in letters wants."""

PICTURE_ROWS = 26
MAP_LETTERS = 96
LABELS = (("usual", "usual"), ("measure", "measure"), ("if wrong", "if_wrong"))


def told(found: Found, asked: str, columns: int) -> list[str]:
    """What was found, in lines: the one thing, or a list with how to ask for each."""
    if len(found.topics) > 1:
        lines = [f'"{asked}" is {len(found.topics) + found.more} things; ask for one:', ""]
        lines += _listed(found.topics, columns, found.alike)
        return [*lines, f"  ... and {found.more} more: a second word finds them"] if found.more else lines
    (topic,) = found.topics
    if isinstance(topic, Entry):
        lines = entry_lines(topic, columns, found.alike.get(topic, ()))
    elif isinstance(topic, Table):
        lines = table_lines(topic, columns)
    elif isinstance(topic, Family):
        lines = family_lines(topic, columns)
    else:
        lines = word_lines(topic, columns)
    if found.beside:
        lines += ["", f'"{asked}" may also be:', *_listed(found.beside, columns)]
    return lines


def overview(columns: int) -> list[str]:
    """The map of both files: their tables, and what each is."""
    lines = []
    for file in ("vehicle", "course"):
        own = [t for t in tables() if t.file == file]
        lines += [f"A {file} file:", ""]
        rows: list[tuple[str, str]] = []
        met: set[str] = set()
        for table in own:
            if not table.path:
                continue
            if table.family:
                if table.family not in met:
                    met.add(table.family)
                    rows.append((_header(table), Family(table.family).doc.what.partition(". ")[0].rstrip(".")))
                    rows += [("", f"kinds: {_list(k.name for k in families()[table.family])}")]
            else:
                rows.append((_header(table), short(table.doc.what, MAP_LETTERS)))
        lines += [*_rows(rows, columns), ""]
    lines += ["Besides:", "", *_rows([(w.name, short(w.doc.what)) for w in WORDS], columns), ""]
    return [*lines, "trundle explain NAME: more of a table, kind or field; any word of the trade will do."]


def entry_lines(entry: Entry, columns: int, alike: Sequence[Table] = ()) -> list[str]:
    """A field: what, where, how, how much, and a picture if the terminal can show one."""
    doc = entry.doc
    of = f'of the {entry.table.family} "{entry.table.name}"' if entry.table.family else ""
    where = entry.path if entry.table.path else f"{entry.name}, at the head of a {entry.table.file} file"
    lines = [f"{_bold(where)}   {of}".rstrip(), ""]
    lines += _wrapped(doc.what or "Nobody has described it yet.", columns)
    rows = [(label, getattr(doc, part)) for label, part in LABELS]
    rows += [("allowed", f"{entry.allowed}; {entry.left_out}"), ("to change", entry.change)]
    rows += [("also called", ", ".join(doc.also_called))]
    if entry.holds:
        rows.append(("holds", _list(t.name for t in entry.holds)))
    if alike:
        rows.append(("the same of", _list(t.name for t in alike)))
    lines += ["", *_rows([r for r in rows if r[1]], columns)]
    return [*lines, *_shown(entry, columns)]


def table_lines(table: Table, columns: int) -> list[str]:
    """A table: what it is, its fields, its example."""
    head = f"{_bold(table.name)}   {table.header}".rstrip()
    lines = [head, "", *_wrapped(table.doc.what, columns)]
    if table.doc.also_called:
        lines += ["", *_wrapped(f"Also called: {', '.join(table.doc.also_called)}.", columns)]
    own = entries_of(table)
    rows = [(_field(e), short(e.doc.what) if e.name != "kind" else e.allowed) for e in own]
    lines += ["", "Fields (* must be given):", *_rows(rows, columns)]
    if table.example:
        lines += ["", "To paste and change:", "", *(f"    {row}" for row in table.example.splitlines())]
    first = next((e for e in own if e.name != "kind"), own[0])
    return [
        *lines,
        "",
        f"More of a field: {_command(asked_for(first))}   Drawn: {_command(table.name)} --picture FILE.png",
    ]


def family_lines(family: Family, columns: int) -> list[str]:
    """All kinds of something."""
    lines = [_bold(family.name), "", *_wrapped(family.doc.what, columns), ""]
    return [*lines, *_rows([(t.name, short(t.doc.what)) for t in family.kinds], columns), "", _ask(family.kinds[0])]


def word_lines(word: Word, columns: int) -> list[str]:
    """A word that is no field."""
    lines = [_bold(word.name), "", *_wrapped(word.doc.what, columns)]
    rows = [(label, getattr(word.doc, part)) for label, part in LABELS]
    rows = [r for r in [*rows, ("also called", ", ".join(word.doc.also_called))] if r[1]]
    example = ["", *(f"    {row}" for row in word.example.splitlines())] if word.example else []
    return [*lines, *example, *([""] if rows else []), *_rows(rows, columns)]


def _ask(table: Table) -> str:
    return f"More of one: {_command(table.name)}"


def _listed(topics: Sequence[Topic], columns: int, alike: Mapping[Topic, tuple[Table, ...]] | None = None) -> list[str]:
    rows = []
    for topic in topics:
        others = _list(t.name for t in (alike or {}).get(topic, ()))
        rows.append((_command(asked_for(topic)), short(topic.doc.what) + (f" (also of: {others})" if others else "")))
    return _rows(rows, columns)


def _field(entry: Entry) -> str:
    needed = entry.table.kind.model_fields[entry.name].is_required()
    return f"{entry.name}{' *' if needed else ''}"


def _command(words: str) -> str:
    return f'trundle explain "{words}"' if " " in words else f"trundle explain {words}"


def _header(table: Table) -> str:
    return f"[[{table.path.rpartition('.')[0]}]]" if table.many else f"[{table.path}]"


def _list(names: Iterable[str]) -> str:
    return ", ".join(names)


def _shown(entry: Entry, columns: int) -> list[str]:
    """The picture in letters, or how to get one."""
    otherwise = ["", f"Drawn: {_command(asked_for(entry))} --picture FILE.png"]
    encoding = (sys.stdout.encoding or "").lower().replace("-", "")
    if columns < NARROWEST or encoding not in ("utf8", "utf16", "utf32"):
        return otherwise
    from trundle.drawing.terminal import terminal_picture
    from trundle.guide.picture import alone, values_of

    try:
        found, values = alone(entry.table, entry.name), values_of(entry.table)
    except NotImplementedError:
        return []
    if not found:
        return []
    accent = partial(click.style, fg="blue", bold=True) if sys.stdout.isatty() else str
    return ["", *terminal_picture(found, dict(values), entry.name, columns, PICTURE_ROWS, accent), *otherwise]


def _bold(text: str) -> str:
    return click.style(text, bold=True)


def _wrapped(text: str, columns: int, indent: str = "") -> list[str]:
    return textwrap.wrap(text.replace("`", ""), max(columns, 30), initial_indent=indent, subsequent_indent=indent)


def _rows(rows: Sequence[tuple[str, str]], columns: int) -> list[str]:
    """Two columns, the second wrapped; on a narrow terminal one below the other."""
    wide = max((len(a) for a, _ in rows), default=0)
    narrow = columns - wide - 4 < 30
    lines = []
    for first, second in rows:
        if narrow:
            lines += ([f"  {first}"] if first else []) + _wrapped(second, columns, "      ")
            continue
        text = textwrap.wrap(second.replace("`", ""), columns - wide - 4) or [""]
        lines += [f"  {first if not k else '':<{wide}}  {line}".rstrip() for k, line in enumerate(text)]
    return lines
