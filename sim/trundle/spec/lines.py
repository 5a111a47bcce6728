"""Where in a TOML file each table and key stands, and how deep its names go: one pass over the text.

tomllib keeps no lines, and takes time and memory by the square of the parts of a dotted name.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator

DEEPEST = 12
"""Steps from the file to its innermost value, and parts of a dotted name; the deepest spec field has six."""

Path_ = tuple[str | int, ...]


class Elsewhere(int):
    """A line of another file than the one that is read."""

    file: str

    def __new__(cls, line: int, file: str) -> Elsewhere:
        made = super().__new__(cls, line)
        made.file = file
        return made


# Nothing here is ever tried twice (possessive): a pattern that goes back takes minutes over a megabyte of blanks.
_PART = r"""(?:[A-Za-z0-9_-]++|"(?:[^"\\\n]++|\\.)*+"|'[^'\n]*+')"""
_TOKEN = re.compile(
    rf"""
    (?P<text>"{{3}}(?:[^"\\]++|\\.|"(?!""))*+(?:"{{3,5}}+|\Z)|'{{3}}(?:[^']++|'(?!''))*+(?:'{{3,5}}+|\Z))
    |(?P<note>\#[^\n]*+)
    |(?P<name>{_PART}(?:[ \t]*+\.[ \t]*+{_PART})*+)
    |(?P<sign>[\[\]{{}}=\n])
    """,
    re.VERBOSE | re.DOTALL,
)
_PARTS = re.compile(_PART)


def too_deep_name(text: str) -> int:
    """Line of the first name with more than DEEPEST parts, or 0. To be asked before tomllib is."""
    for token in _TOKEN.finditer(text):
        if token.lastgroup == "name" and token.group().count(".") >= DEEPEST and len(_parts(token.group())) > DEEPEST:
            return text.count("\n", 0, token.start()) + 1
    return 0


def line_numbers(text: str) -> dict[Path_, int]:
    """Line of every table header and key, by path, in a text that tomllib has read.

    Keys inside inline tables are not listed; look-ups fall back to the parent.
    """
    lines: dict[Path_, int] = {}
    counts: dict[Path_, int] = {}
    prefix: Path_ = ()
    for number, many, parts in _statements(text):
        if many is None:
            for i in range(len(parts)):
                lines.setdefault((*prefix, *parts[: i + 1]), number)
            continue
        # A header below an array of tables means its newest entry.
        full: Path_ = ()
        for i, part in enumerate(parts):
            full = (*full, part)
            lines.setdefault(full, number)
            if many and i == len(parts) - 1:
                counts[full] = counts.get(full, -1) + 1
            if full in counts:
                full = (*full, counts[full])
        prefix = full
        lines.setdefault(prefix, number)
    return lines


def line_of(path: Path_, lines: dict[Path_, int]) -> int:
    """Line of `path`, or of its nearest written ancestor, or 0."""
    while path:
        if path in lines:
            return lines[path]
        path = path[:-1]
    return 0


def keys_set(text: str) -> Iterator[tuple[str, int, int]]:
    """Every key that is given a value, inside inline tables too: the last part of its name, and where that stands."""
    name: re.Match[str] | None = None
    for token in _TOKEN.finditer(text):
        if token.lastgroup == "name":
            name = token
        elif token.lastgroup == "sign":
            if token.group() == "=" and name is not None:
                last = list(_PARTS.finditer(text, name.start(), name.end()))[-1]
                yield _plain(last.group()), last.start(), last.end()
            name = None


def _statements(text: str) -> Iterator[tuple[int, bool | None, tuple[str, ...]]]:
    """Line, kind (True: [[header]], False: [header], None: key) and parts of the name of every statement."""
    line, begun, brackets, many = 1, False, 0, None
    valued = False
    for token in _TOKEN.finditer(text):
        kind, said = token.lastgroup, token.group()
        if kind == "text":
            line += said.count("\n")
        elif kind == "name":
            if not begun:
                begun = True
                yield line, many, _parts(said)
        elif said == "\n":
            line += 1
            if not (valued and brackets):
                begun, brackets, many, valued = False, 0, None, False
        elif kind == "sign" and begun:
            valued = valued or said == "="
            if valued:
                brackets += (said in "[{") - (said in "]}")
        elif said == "[":
            many = many is not None


def _parts(name: str) -> tuple[str, ...]:
    return tuple(_plain(part) for part in _PARTS.findall(name))


def _plain(part: str) -> str:
    """A part of a dotted name without its quotes."""
    if part[0] not in "\"'":
        return part
    if "\\" in part and part[0] == '"':
        try:
            return next(iter(tomllib.loads(f"{part} = 0")))
        except tomllib.TOMLDecodeError:
            return part
    return part[1:-1]
