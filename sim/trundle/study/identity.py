"""What a result depends on beside its inputs: the program and the libraries that compute it."""

from __future__ import annotations

import hashlib
import json
import re
import sys
from functools import cache
from importlib.metadata import PackageNotFoundError, requires, version
from pathlib import Path
from typing import Any

_LOOKS_ONLY = ("cli", "design", "drawing", "elevation", "guide", "report", "study")
"""Folders of the package that show results but do not make them: a change there keeps a study's rows."""


SHOWS = frozenset(
    ["click", "fpdf2", "jinja2", "matplotlib", "openpyxl", "pillow", "pyarrow", "pygame", "pygame-ce", "questionary",
     "rich", "tomlkit"]
)  # fmt: skip
"""Libraries that no figure depends on: they draw, ask, print, and keep numbers as they are."""

COMPUTES = frozenset(["llvmlite", "numba", "numpy", "pandas", "pymunk", "scipy"])
"""Those that figures do depend on; numba's own machine code is llvmlite's."""

_NAME = re.compile(r"[A-Za-z0-9._-]+")


@cache
def identity() -> dict[str, str]:
    """Version of the program, hash of its physics, and versions of what it computes with."""
    return {
        "trundle": _version("trundle"),
        "source": source_hash(),
        "python": f"{sys.version_info.major}.{sys.version_info.minor}",
        **{name: _version(name) for name in libraries()},
    }


def libraries() -> list[str]:
    """What the project needs, less what only shows or keeps, and what numba compiles with, in order.

    From the project's own list: a library that is new there counts until somebody says that it does not.
    """
    try:
        needed = [line for line in requires("trundle") or [] if "extra ==" not in line]
    except PackageNotFoundError:  # run from its folder, not installed
        needed = []
    names = {match.group().lower() for line in needed if (match := _NAME.match(line))}
    return sorted((names | COMPUTES) - SHOWS)


@cache
def source_hash() -> str:
    """Short hash of every source file that can change a result."""
    root = Path(__file__).resolve().parents[1]
    digest = hashlib.sha256()
    for path in sorted(root.rglob("*.py")):
        part = path.relative_to(root).as_posix()
        if part.split("/")[0] not in _LOOKS_ONLY or part == "study/case.py":
            digest.update(part.encode() + b"\0" + path.read_bytes() + b"\0")
    return digest.hexdigest()[:16]


def hash_of(content: Any) -> str:
    """Hash of plain data (dicts in any order, lists, text, numbers), 32 hex digits."""
    text = json.dumps(content, sort_keys=True, separators=(",", ":"), default=str)
    return hashlib.sha256(text.encode()).hexdigest()[:32]


def _version(package: str) -> str:
    try:
        return version(package)
    except PackageNotFoundError:
        return "not installed"
