"""From a TOML file (and `--set` options) to a validated spec, with file and line in every complaint."""

from __future__ import annotations

import math
import re
import tomllib
from collections.abc import Callable, Iterable, Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any, TypeVar

from pydantic import BaseModel, ValidationError

from trundle.errors import ComputerError, InputError, Problem, decimal_comma, did_you_mean
from trundle.fields.quantity import in_units, why_not
from trundle.fields.walk import kinds_at, table_at
from trundle.spec.lines import DEEPEST, Elsewhere, Path_, line_of, too_deep_name
from trundle.spec.old_names import modern, modern_path
from trundle.spec.trade import field_hint, kind_hint

MAX_FILE_BYTES = 2_000_000
"""A vehicle or course file is a page or two; anything over this is not one."""

MOST_VALUES = 100_000
"""Tables, lists and values of a file: the longest course has 2,000 obstacles of a dozen fields."""

MOST_READ = 200
"""Problems of one file that are looked into, from the top: a megabyte of nonsense has a hundred thousand."""

MOST_BITS = 1_000
"""Of a whole number that is shown as it is: the largest float has 1024."""

S = TypeVar("S", bound=BaseModel)


def read_text(path: Path) -> str:
    """The file's text, with the fields' names of now (old_names). Raises InputError if it is missing, too large, a
    folder, or not UTF-8."""
    try:
        if path.is_dir():
            raise InputError(Problem("is a folder; a .toml file is wanted", file=str(path)))
        if path.exists() and not path.is_file():
            raise InputError(Problem("is not a file; a .toml file is wanted", file=str(path)))
        size = path.stat().st_size
        if size > MAX_FILE_BYTES:
            raise InputError(
                Problem(
                    f"is {math.ceil(size / 1e5) / 10:g} MB",
                    file=str(path),
                    allowed=f"up to {MAX_FILE_BYTES / 1e6:.0f} MB",
                )
            )
        return modern(path.read_text(encoding="utf-8-sig"), str(path))
    except FileNotFoundError:
        raise InputError(Problem("no such file", file=str(path))) from None
    except UnicodeDecodeError as e:
        line = path.read_bytes()[: e.start].count(b"\n") + 1
        raise InputError(Problem("is not UTF-8 text; save it as UTF-8", file=str(path), line=line)) from None
    except OSError as e:
        raise ComputerError(Problem(f"cannot be read: {e.strerror or e}", file=str(path))) from None


def parse_toml(text: str, file: str) -> dict[str, Any]:
    """The file's tables, quantities with a unit as numbers (fields.quantity). Raises InputError with the line of the
    first syntax error."""
    if line := too_deep_name(text):
        raise InputError(Problem(_TOO_DEEP, file=file, line=line))
    try:
        data = tomllib.loads(text)
    except tomllib.TOMLDecodeError as e:
        raise InputError(_syntax(str(e), text, file)) from None
    except RecursionError:
        raise InputError(Problem(_TOO_DEEP, file=file)) from None
    except ValueError as e:  # a whole number of thousands of digits
        long = next((m for m in _DIGITS.finditer(text) if len(m.group()) >= 1000), None)
        line = text.count("\n", 0, long.start()) + 1 if long else 0
        why = "a number has too many digits" if line else f"not readable as TOML: {e}"
        raise InputError(Problem(why, file=file, line=line)) from None
    if wrong := _shape(data):
        raise InputError(Problem(wrong, file=file, allowed=f"up to {MOST_VALUES:,}" if wrong == _TOO_MANY else ""))
    in_numbers: dict[str, Any] = in_units(data)
    return in_numbers


_TOO_DEEP = "lists or tables are nested too deeply"
_TOO_MANY = "holds too many tables and values"


def _syntax(said: str, text: str, file: str) -> Problem:
    """tomllib's message: what is wrong, and behind it "(at line 3, column 7)" or "(at end of document)"."""
    what, _, at = said.rpartition(" (at ")
    found = re.match(r"line (\d+)", at)
    line = int(found.group(1)) if found else text.count("\n") + 1
    row = text.split("\n", line)[line - 1] if found else ""
    if _DECIMAL_COMMA.search(row):
        return Problem("a decimal comma", file=file, line=line, allowed=_POINT)
    if what.startswith(("Duplicate", "Cannot overwrite")):
        name = re.search(r"'(.+)'", what)
        return Problem("is given twice", name[1] if name else "", "once", file, line)
    if close := _NO_COMMA.search(row):
        return Problem(f"a comma is missing before {close[2]}", close[2], f"{close[1]}, {close[2]} = ...", file, line)
    if bare := _BARE_UNIT.search(row):
        return Problem(
            "a number with a unit stands in quotes", file=file, line=line, allowed=f'"{bare[1].strip()}", or a number'
        )
    return Problem(f"not readable as TOML: {_short(what or said, quote=False)}", file=file, line=line)


_POINT = "numbers with a decimal point, like 12.5"
_DECIMAL_COMMA = re.compile(r"^[^=#\"']*+(?:=[^=#\"']*+)?(?<=[\w \t])=[ \t]*+[-+]?+[0-9_]++,[0-9]")
"""A row like `mass_kg = 12,5`, also inside an inline table."""

_NO_COMMA = re.compile(r"=[ \t]*+([-+]?+[0-9][0-9_.]*+)[ \t]++([A-Za-z_][A-Za-z0-9_-]*+)[ \t]*+=")
"""A row like `width_mm = 40 thickness_mm = 2`."""

_BARE_UNIT = re.compile(r"=[ \t]*+([-+]?[0-9][0-9_.,/ \t]*[A-Za-z\"'][^\n,}\]#]{0,20})")
"""A row like `width_mm = 3/16 in`."""


def _shape(data: dict[str, Any]) -> str:
    """What is wrong with the file as a whole, or "". Without recursion, which could not tell how deep it is."""
    level: list[Any] = [data]
    count = 0
    for _ in range(DEEPEST):
        inside = [v for node in level for v in (node.values() if isinstance(node, dict) else node)]
        count += len(inside)
        if count > MOST_VALUES:
            return _TOO_MANY
        level = [v for v in inside if isinstance(v, (dict, list))]
        if not level:
            return ""
    return _TOO_DEEP


_DIGITS = re.compile(r"[0-9_]++")


def dotted(path: Path_) -> str:
    """`bogie.front.spring` or `obstacle[2].height_mm`."""
    text = ""
    for part in path:
        text += f"[{part + 1}]" if isinstance(part, int) else (f".{part}" if text else part)
    return text


def path_of(text: str) -> Path_:
    """The opposite of `dotted`."""
    parts: list[str | int] = []
    for word in re.findall(r"[^.\[\]]+", text):
        parts.append(int(word) - 1 if word.isdigit() else word)
    return tuple(parts)


def located(error: InputError, file: str, lines: dict[Path_, int]) -> InputError:
    """The same problems, each with the file, and the line on which its field stands."""
    placed = [replace(p, file=p.file or file, line=p.line or line_of(path_of(p.field), lines)) for p in error.problems]
    return error.told_as(map(_at_home, alike_once(placed)))


def _at_home(problem: Problem) -> Problem:
    """With the file that its line is in."""
    line = problem.line
    return replace(problem, file=line.file, line=int(line)) if isinstance(line, Elsewhere) else problem


def alike_once(problems: Iterable[Problem]) -> list[Problem]:
    """A fault that several bogies have is told once, at the first, with the names of all of them."""
    found: dict[tuple[str, str, str], tuple[Problem, list[str]]] = {}
    for p in problems:
        of_one = _BOGIE.match(p.field)
        name = of_one["name"] if of_one else ""
        rest = p.field[of_one.end() :] if of_one else p.field
        own = re.compile(rf"(?<![\w.-]){re.escape(name)}(?=[.\s])") if name else None
        said = own.sub("*", p.problem) if own else p.problem
        found.setdefault((name and "bogie", rest, said), (p, []))[1].append(name)
    return [
        first if len(names) == 1 or not names[0] else replace(first, problem=said, field=_of_all(rest, names))
        for (_, rest, said), (first, names) in found.items()
    ]


_BOGIE = re.compile(r"bogie\.(?P<name>[^.\[\]]+)")


def _of_all(rest: str, names: list[str]) -> str:
    return f"bogie.*{rest} ({', '.join(names)})"


def parse_value(text: str) -> Any:
    """A `--set` value: TOML if it reads as TOML (7, 2.5, true, [1, 2]), otherwise plain text."""
    if too_deep_name(text):
        return text
    try:
        read = tomllib.loads(f"v = {text}")
    except (ValueError, RecursionError):
        return text
    return read["v"] if len(read) == 1 and not _shape(read) else text


def matching_paths(data: dict[str, Any], path: str) -> list[Path_]:
    """Every path in `data` that `path` names; `*` stands for any one part.

    An entry of a list is named by its number, from 1: `obstacle.2.height_mm` or `obstacle[2].height_mm`.
    The last part may be a field that is not written in the file (it then has its default).
    Raises InputError, with the nearest known name, if a table or entry on the way does not exist.
    """
    parts = _NUMBERED.sub(r".\1", modern_path(path)).split(".")
    if not all(parts):
        raise InputError(Problem("not a field path", field=path, allowed="names joined by dots"))
    found: list[tuple[Path_, Any]] = [((), data)]
    for i, part in enumerate(parts):
        last = i == len(parts) - 1
        nxt: list[tuple[Path_, Any]] = []
        for at, node in found:
            if part == "*":
                nxt += [((*at, k), v) for k, v in _entries(node).values() if last or isinstance(v, (dict, list))]
            elif part in (here := _entries(node)):
                nxt.append(((*at, here[part][0]), here[part][1]))
            elif last and isinstance(node, dict):
                nxt.append(((*at, part), None))
        if not nxt:
            here_names = {k: None for _, node in found for k in _entries(node)}
            names = list(here_names) if all(k.isdigit() for k in here_names) else sorted(here_names)
            shown = names if len(names) <= 20 else [*names[:19], f"... {names[-1]}"]
            raise InputError(
                Problem(
                    f'there is no "{part}"{did_you_mean(part, names)}',
                    field=path,
                    allowed=", ".join(shown) if names else "nothing here",
                )
            )
        found = nxt
    return [at for at, _ in found]


_NUMBERED = re.compile(r"\[(\d+)\]")


def _entries(node: Any) -> dict[str, tuple[str | int, Any]]:
    """What a table or list holds: the name a path calls it by, to its own key and value."""
    if isinstance(node, dict):
        return {k: (k, v) for k, v in node.items()}
    if isinstance(node, list):
        return {str(i + 1): (i, v) for i, v in enumerate(node)}
    return {}


def set_values(data: dict[str, Any], settings: dict[str, Any]) -> dict[str, Any]:
    """A copy of `data` with each `path: value` put in (wildcards allowed, see matching_paths)."""
    out: dict[str, Any] = _copy(data)
    put_settings(out, {path: in_units(v, field_of(path_of(path))) for path, v in settings.items()}, lambda: out)
    return out


def put_settings(tree: Any, settings: Mapping[str, Any], names: Callable[[], Any]) -> None:
    """Puts each `path: value` into tables that are changed in place. names: the tables as they are now, plain ones.

    Who sets the mass of the hull, or that of the whole, has weighed it anew: the other one goes, unless it is set too.
    """
    for path, value in settings.items():
        for at in matching_paths(names(), path):
            for one, other in (_MASSES, _MASSES[::-1]):
                if at == one and dotted(other) not in settings:
                    node_at(tree, other[:-1]).pop(other[-1], None)
            _made(tree, at, names)[at[-1]] = value


def _made(tree: Any, at: Path_, names: Callable[[], Any]) -> Any:
    """The table or list that a path ends in. What stands only in `names`, since the file is short, is made: tables
    empty, lists as they are."""
    for k, part in enumerate(at[:-1]):
        if isinstance(part, str) and part not in tree:
            there = node_at(names(), at[: k + 1])
            tree[part] = list(there) if isinstance(there, list) else {}
        tree = tree[part]
    return tree


_MASSES: tuple[Path_, Path_] = (("hull", "mass_kg"), ("hull", "all_up_kg"))


def field_of(path: Path_) -> str:
    """The name of the field that a path leads into: `com_mm` also of one of its numbers."""
    return next((part for part in reversed(path) if isinstance(part, str)), "")


def node_at(tree: Any, path: Iterable[str | int]) -> Any:
    """What lies in nested tables and lists at the end of `path`. KeyError or IndexError if nothing does."""
    for part in path:
        tree = tree[part]
    return tree


def parse_settings(options: tuple[str, ...] | list[str]) -> dict[str, Any]:
    """`("hull.mass_kg=300", ...)` to `{"hull.mass_kg": 300}`. Raises InputError on a missing `=`."""
    out: dict[str, Any] = {}
    for option in options:
        path, eq, value = option.partition("=")
        if not eq or not path.strip():
            raise InputError(Problem(f'"{option}" is not PATH=VALUE', field="--set"))
        if len(path) > 200:
            raise InputError(Problem(f'"{path[:60]}..." is too long for a field path', field="--set"))
        out[path.strip()] = parse_value(value.strip())
    return out


def _copy(node: Any) -> Any:
    if isinstance(node, dict):
        return {k: _copy(v) for k, v in node.items()}
    if isinstance(node, list):
        return [_copy(v) for v in node]
    return node


def validate(
    kind: type[S],
    data: dict[str, Any],
    file: str,
    lines: dict[Path_, int] | None = None,
) -> S:
    """`data` as a `kind`. Raises InputError listing every problem, each with its line and field."""
    try:
        return kind.model_validate(data)
    except ValidationError as e:
        problems: list[Problem] = []
        written = lines or {}
        errors = sorted(e.errors(include_url=False), key=lambda err: line_of(_file_path(err["loc"], data), written))
        for err in errors[:MOST_READ]:
            inner = err.get("ctx", {}).get("error")
            # A surveyed profile knows its own file and line.
            mine = inner.problems if isinstance(inner, InputError) else [_problem(err, kind, data, file, written)]
            problems += mine
        found = alike_once(_without_echoes(dict.fromkeys(problems)))
        raise InputError(sorted(map(_at_home, found), key=lambda p: p.line), max(len(errors) - MOST_READ, 0)) from None
    except RecursionError:
        raise InputError(Problem(_TOO_DEEP, file=file)) from None


def _without_echoes(problems: Iterable[Problem]) -> list[Problem]:
    """A required field that is misspelt is unknown and missing at once: it is reported as misspelt only."""
    problems = list(problems)
    misspelt = {
        (p.field.rpartition(".")[0], p.problem.partition("; ")[2].partition('"')[2].partition('"')[0])
        for p in problems
        if p.problem.startswith("unknown field")
    }
    return [
        p for p in problems if p.problem != _PLAIN["missing"] or tuple(p.field.rpartition(".")[::2]) not in misspelt
    ]


_PLAIN = {
    "missing": "this field is missing",
    "float_type": "a number is wanted",
    "int_type": "a whole number is wanted",
    "string_type": "text in quotes is wanted",
    "string_unicode": "this is no text: some of it is no UTF-8",
    "bool_type": "true or false is wanted",
    "finite_number": "a finite number is wanted",
    "model_type": "a table is wanted",
    "dict_type": "a table is wanted",
    "tuple_type": "a list is wanted",
    "list_type": "a list is wanted",
    "model_attributes_type": "a table is wanted",
}
_BOUNDS = {
    "greater_than": ("gt", "above {gt:g}"),
    "greater_than_equal": ("ge", "{ge:g} or more"),
    "less_than": ("lt", "below {lt:g}"),
    "less_than_equal": ("le", "{le:g} or less"),
}


def _problem(err: Any, kind: type[BaseModel], data: dict[str, Any], file: str, lines: dict[Path_, int]) -> Problem:
    # A tag of a union ("leaf across") is a step in pydantic's path but not in the file.
    path = _file_path(tuple(err["loc"]), data)
    typ, ctx, got = err["type"], err.get("ctx", {}), err.get("input")
    shown = "" if isinstance(got, (dict, list, tuple)) else f" (it is {_short(got)})"
    line = line_of(path, lines)
    field = dotted(path)
    if typ == "extra_forbidden":
        table = table_at(kind, _file_path(tuple(err["loc"])[:-1], data), data)
        name = str(path[-1]) if path else ""
        allowed = ", ".join(table.model_fields) if table is not None else ""
        return Problem(f"unknown field{field_hint(name, table)}", field, allowed, file, line)
    if typ in _PLAIN:
        extra = "" if typ == "missing" else shown
        if typ in ("float_type", "int_type") and isinstance(got, str):
            if decimal_comma(got):
                return Problem(f"a decimal comma{extra}", field, _POINT, file, line)
            if wrong := why_not(got, field_of(path)):
                return Problem(wrong[0], field, wrong[1], file, line)
        return Problem(_PLAIN[typ] + extra, field, "", file, line)
    if typ in _BOUNDS:
        return Problem(f"out of range{shown}", field, _BOUNDS[typ][1].format(**ctx), file, line)
    if typ == "union_tag_invalid":
        tags = [t.strip().strip("'") for t in str(ctx.get("expected_tags", "")).split(",")]
        tag = str(ctx.get("tag", ""))
        return Problem(
            f'unknown kind "{_short(tag, quote=False)}"{kind_hint(tag, kinds_at(kind, path, data))}',
            f"{field}.kind" if field else "kind",
            ", ".join(tags),
            file,
            line_of((*path, "kind"), lines),
        )
    if typ == "union_tag_not_found":
        return Problem('the field "kind" is missing', field, "", file, line)
    if typ == "literal_error":
        expected = str(ctx.get("expected", "")).replace("'", "").replace(" or ", ", ")
        near = did_you_mean(_short(got, quote=False), expected.split(", "))
        return Problem(f"not one of the choices{shown}{near}", field, expected, file, line)
    if typ == "too_long":
        # Of a table pydantic does not say how many there are.
        count = ctx.get("actual_length") or len(got)
        # Only a point of two numbers: a long list of numbers is just that.
        split = isinstance(got, (list, tuple)) and ctx.get("max_length") == 2 and all(map(_is_number, got))
        hint = "; a decimal comma splits a number in two" if split else ""
        return Problem(
            f"too many entries (there are {count}){hint}", field, f"up to {ctx.get('max_length')}", file, line
        )
    if typ == "string_too_long":
        return Problem("this text is too long", field, f"up to {ctx.get('max_length')} characters", file, line)
    if typ == "string_too_short":
        return Problem("this text is empty", field, "", file, line)
    if typ == "too_short":
        return Problem("there are none", field, f"{ctx.get('min_length')} or more", file, line)
    if typ == "string_pattern_mismatch":
        named = _short(got, quote=False)
        # The name of a table is reported by pydantic as a step of its own below that name.
        parent = path[:-1] if path[-1:] == ("[key]",) else path
        return Problem(
            f'"{named}" is no name',
            dotted(parent[:-1] if parent[-1:] == (got,) else parent),
            "letters, digits, - and _, beginning with a letter",
            file,
            line_of(parent, lines),
        )
    if typ == "value_error":
        error = ctx.get("error")
        path = (*path, *getattr(error, "path", ()))
        line, field = line_of(path, lines), dotted(path)
        return Problem(
            getattr(error, "text", str(error or err["msg"])), field, getattr(error, "allowed", ""), file, line
        )
    return Problem(str(err["msg"]).lower() + shown, field, "", file, line)


def _is_number(value: Any) -> bool:
    return isinstance(value, (int, float)) and not isinstance(value, bool)


def _short(value: Any, quote: bool = True) -> str:
    if isinstance(value, int) and value.bit_length() > MOST_BITS:
        return "a whole number of very many digits"  # which Python does not write out
    text = f'"{value}"' if isinstance(value, str) and quote else str(value)
    return text if len(text) <= 60 else text[:57] + "..."


def _file_path(loc: Path_, data: Any) -> Path_:
    """`loc` without the union tags that pydantic puts in it."""
    out: list[str | int] = []
    node = data
    for i, part in enumerate(loc):
        if isinstance(node, dict) and isinstance(part, str):
            if part in node:
                node = node[part]
                out.append(part)
            elif part == node.get("kind") and i < len(loc) - 1:
                continue
            elif i == len(loc) - 1 and part != node.get("kind"):
                out.append(part)
        elif isinstance(node, (list, tuple)) and isinstance(part, int) and part < len(node):
            node = node[part]
            out.append(part)
        elif i == len(loc) - 1:
            out.append(part)
    return tuple(out)
