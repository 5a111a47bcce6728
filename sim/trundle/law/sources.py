"""Which files a kernel is compiled from: its own, and all of the package that they import, wherever they stand.

Nothing is listed by hand: a function that is moved to a new file brings an import of that file with it.
"""

from __future__ import annotations

import hashlib
import re
from collections.abc import Iterable
from functools import cache
from pathlib import Path

PACKAGE = Path(__file__).resolve().parents[1]
"""The package's own folder."""

_COMMENT = re.compile(r"#.*")
_TYPES_ONLY = re.compile(r"^if TYPE_CHECKING:\n(?:[ \t].*\n|\n)+", re.MULTILINE)
"""Imports that are never run."""
_IMPORT = re.compile(
    r"^[ \t]*(?:from[ \t]+([\w.]+)[ \t]+import[ \t]*(\([^)]*\)|.*)|import[ \t]+(.*))", re.MULTILINE
)  # fmt: skip
_NAME = re.compile(r"[\w.]+")


def sources_of(file: Path, package: Path = PACKAGE) -> frozenset[Path]:
    """`file` and every file of `package` that is imported from there, directly or not.

    A superset of what is compiled: an import inside a function counts, and one for its constants only. Relative
    imports are not looked for; ruff forbids them.
    """
    found: set[Path] = set()
    left = [file]
    while left:
        one = left.pop()
        if one not in found:
            found.add(one)
            left += scanned(one, package)[1]
    return frozenset(found)


def fingerprint(files: Iterable[Path], package: Path = PACKAGE) -> str:
    """Hash of the names (within the package) and contents of files, 16 hex digits."""
    digest = hashlib.sha256()
    for file in sorted(files):
        name = file.relative_to(package) if file.is_relative_to(package) else file
        digest.update(name.as_posix().encode() + b"\0" + scanned(file, package)[0])
    return digest.hexdigest()[:16]


@cache
def scanned(file: Path, package: Path) -> tuple[bytes, tuple[Path, ...]]:
    """Hash of a file, and the files of `package` that it imports. Read once in a process, as Python reads modules."""
    content = file.read_bytes()
    text = _TYPES_ONLY.sub("", _COMMENT.sub("", content.decode("utf-8").replace("\r\n", "\n")))
    found: set[Path | None] = set()
    for source, names, plain in _IMPORT.findall(text):
        for module in [source] if source else _NAME.findall(plain):
            if module.split(".")[0] == package.name:
                home = _file_of(module, package)
                found.add(home)
                if source and (home is None or home.name == "__init__.py"):
                    # A package: what is taken from it may be a module.
                    found |= {_file_of(f"{module}.{name}", package) for name in _NAME.findall(names)}
    files = tuple(sorted(f for f in found if f is not None))
    return hashlib.sha256(content).digest(), files


@cache
def _file_of(module: str, package: Path) -> Path | None:
    """The file of a module by its dotted name; None if it is none."""
    stem = package.parent.joinpath(*module.split("."))
    return next((f for f in (stem.with_suffix(".py"), stem / "__init__.py") if f.is_file()), None)
