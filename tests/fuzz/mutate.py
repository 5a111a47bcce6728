"""Changes that a tired or a hostile person makes to tables, texts and bytes."""

from __future__ import annotations

import copy
import datetime
import math
import os
from pathlib import Path
from random import Random
from typing import Any

At = tuple[str | int, ...]

TEXTS = (
    "[red]x[/red]", "[/]", "[bold", "../../x", "..", ".", "/", "a/b", "a\\b", "a" * 300, "\u202etxet", "\u200f",
    "<script>alert(1)</script>", "{{7*7}}", "{% for x in y %}", "$(touch x)", "`touch x`", "=1+1", "-x", "@x", "+1",
    "nul", "\x1b[31m", "\x00", "\x7f", "é ☃ 😀", "%s %d %n", "two\nlines", "", " ", "'\"", "#", "kerb up", "teasel",
)  # fmt: skip
"""Names with markup, paths, control characters, right-to-left marks, 300 letters."""

CELLS = (
    "",
    "nan",
    "inf",
    "-inf",
    "1e308",
    "-1e308",
    "1e-320",
    "1,5",
    "0x10",
    "--",
    "1_000",
    "٣",
    "9" * 400,
    "=1+1",
    "true",
)


def paths(node: Any, at: At = ()) -> list[At]:
    """Every place in tables and lists, the top one left out."""
    found = [at] if at else []
    if isinstance(node, dict):
        return found + [p for k, v in node.items() for p in paths(v, (*at, k))]
    if isinstance(node, list):
        return found + [p for i, v in enumerate(node) for p in paths(v, (*at, i))]
    return found


def look(node: Any, at: At) -> Any:
    """What lies there."""
    for part in at:
        node = node[part]
    return node


def numbers(tables: Any) -> list[At]:
    """Places of numbers."""
    return [p for p in paths(tables) if type(look(tables, p)) in (int, float)]


def gentle(rng: Random, tables: dict[str, Any], most: int = 6, spread: float = 0.35) -> dict[str, Any]:
    """Some numbers scaled a little: much of this can still be run."""
    out = copy.deepcopy(tables)
    places = numbers(out)
    for at in rng.sample(places, min(len(places), rng.randint(1, most))):
        value = look(out, at)
        scaled = value * math.exp(rng.gauss(0.0, spread))
        look(out, at[:-1])[at[-1]] = max(round(scaled), 1) if isinstance(value, int) and value else scaled
    return out


def structured(rng: Random, tables: dict[str, Any]) -> dict[str, Any]:
    """One to three changes that leave a readable file."""
    out = copy.deepcopy(tables)
    for _ in range(rng.choice((1, 1, 1, 2, 3))):
        rng.choice(_CHANGES)(rng, out)
    return out


def _number(rng: Random, tables: dict[str, Any]) -> None:
    places = numbers(tables)
    if places:
        at = rng.choice(places)
        look(tables, at[:-1])[at[-1]] = worse(rng, look(tables, at))


def worse(rng: Random, value: float) -> Any:
    """Another value in a number's place."""
    value = value if abs(value) < 1e300 else 1e300  # what an earlier change has left there cannot be worked with
    return rng.choice((
        value * 1000, value / 1000, value * 10, value / 10, -value, 0, 0.0, -0.0, 1, math.nan, math.inf, -math.inf,
        1e308, 5e-324,
        10**30, 10**400, 2**63, str(value), f"{value}".replace(".", ","), "many", True, False, [value], [], {},
        [value, value], datetime.date(2024, 2, 29), datetime.datetime(1, 1, 1), value * rng.uniform(0.3, 3),
        value * 10.0 ** rng.uniform(-4, 4),
    ))  # fmt: skip


def _value(rng: Random, tables: dict[str, Any]) -> None:
    places = paths(tables)
    if places:
        at = rng.choice(places)
        look(tables, at[:-1])[at[-1]] = rng.choice(
            ([], {}, 0, "", True, [[]], [{}], {"kind": "x"}, 1.5, rng.choice(TEXTS))
        )


def _text(rng: Random, tables: dict[str, Any]) -> None:
    places = [p for p in paths(tables) if isinstance(look(tables, p), str)]
    if places:
        at = rng.choice(places)
        others = [look(tables, p) for p in places]
        look(tables, at[:-1])[at[-1]] = rng.choice((rng.choice(TEXTS), rng.choice(others)))


def _remove(rng: Random, tables: dict[str, Any]) -> None:
    places = paths(tables)
    if places:
        at = rng.choice(places)
        del look(tables, at[:-1])[at[-1]]


def _misspell(rng: Random, tables: dict[str, Any]) -> None:
    places = [p for p in paths(tables) if isinstance(p[-1], str)]
    if places:
        at = rng.choice(places)
        table, key = look(tables, at[:-1]), str(at[-1])
        i = rng.randrange(len(key) + 1)
        wrong = rng.choice(
            (key[:i] + key[i + 1 :], key[:i] + rng.choice("xé. \x00[") + key[i:], key.upper(), rng.choice(TEXTS))
        )
        table[wrong] = table[key] if rng.random() < 0.3 else table.pop(key)


def _swap(rng: Random, tables: dict[str, Any]) -> None:
    places = [p for p in paths(tables) if isinstance(look(tables, p), dict)]
    if len(places) > 1:
        one, two = (copy.deepcopy(look(tables, p)) for p in rng.sample(places, 2))
        at = rng.choice(places)
        look(tables, at[:-1])[at[-1]] = rng.choice((one, two, {**one, **two}))


def _multiply(rng: Random, tables: dict[str, Any]) -> None:
    """A table or an entry of a list, many times: thirteen bogies, two hundred obstacles."""
    places = [p for p in paths(tables) if isinstance(look(tables, p), (dict, list))]
    if places:
        at = rng.choice(places)
        holder, one = look(tables, at[:-1]), look(tables, at)
        for i in range(rng.choice((1, 2, 13, 70))):
            if isinstance(holder, list):
                holder.append(copy.deepcopy(one))
            else:
                holder[f"{at[-1]}{i}"] = copy.deepcopy(one)


def _nest(rng: Random, tables: dict[str, Any]) -> None:
    node: object = 1
    for _ in range(rng.choice((3, 40, 90))):
        node = [node] if rng.random() < 0.5 else {"a": node}
    tables[rng.choice(("note", "name", "x", *tables))] = node


_CHANGES = (_number,) * 6 + (_value, _text, _text, _remove, _misspell, _swap, _multiply, _nest)


def unstructured(rng: Random, content: bytes) -> bytes:
    """Bytes flipped, cut, doubled, in another coding."""
    size = len(content)
    i, j = sorted((rng.randrange(size + 1), rng.randrange(size + 1)))
    kind = rng.randrange(14)
    if kind < 3:
        changed = bytearray(content)
        for _ in range(rng.choice((1, 1, 3, 30))):
            if changed:
                changed[rng.randrange(size)] = rng.randrange(256)
        return bytes(changed)
    text = content.decode("utf-8", "replace")
    if kind == 3:
        return content[:i]
    if kind == 4:
        return content[:i] + content[j:]
    if kind == 5:
        return content[:j] + content[i:]
    if kind == 6:
        return text.encode(rng.choice(("utf-16", "utf-16-le", "utf-32", "utf-7")))
    if kind == 7:
        return b"\xef\xbb\xbf" * rng.choice((1, 2)) + content
    if kind == 8:
        return content[:i] + bytes(rng.choice((1, 100))) + content[i:]
    if kind == 9:
        return content.replace(b"\n", rng.choice((b"\r\n", b"\r", b"\n\r", b"\x0b", b"\x85")))
    if kind == 10:
        lines = content.splitlines(keepends=True)
        rng.shuffle(lines)
        return b"".join(lines)
    if kind == 11:
        deep = rng.choice((100, 5000))
        return (
            content
            + b"\n"
            + rng.choice(
                (b"x = " + b"[" * deep, b"[" + b".".join([b"a"] * deep) + b"]\n", b".".join([b"a"] * deep) + b" = 1\n")
            )
        )
    if kind == 12:
        return rng.choice((b"", b"\n", b"\x00", b"[", b"=", b'"', b"{}", b"PK\x03\x04", rng.randbytes(300)))
    return content[:i] + rng.randbytes(rng.choice((1, 4, 40))) + content[i:]


def instead(rng: Random, file: Path, outside: Path) -> None:
    """Something else in a file's place: nothing, a folder, a link, a pipe, a device."""
    kept = file.read_bytes() if file.is_file() else b""
    file.unlink(missing_ok=True)
    kind = rng.choice(
        ("nothing", "empty", "folder", "full", "loop", "outside", "dangling", "device", "zero", "fifo", "unreadable")
    )
    if kind == "empty":
        file.touch()
    elif kind in ("folder", "full"):
        file.mkdir()
        if kind == "full":
            (file / "mine.txt").write_text("mine", encoding="utf-8")
    elif kind == "loop":
        file.symlink_to(file.name)
    elif kind == "outside":
        file.symlink_to(outside)
    elif kind == "dangling":
        file.symlink_to("nowhere")
    elif kind in ("device", "zero"):
        file.symlink_to("/dev/null" if kind == "device" else "/dev/zero")
    elif kind == "fifo":
        os.mkfifo(file)
    elif kind == "unreadable":
        file.write_bytes(kept)
        file.chmod(0)
