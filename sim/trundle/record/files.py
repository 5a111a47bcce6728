"""A file written whole or not at all."""

from __future__ import annotations

import os
import stat
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from trundle.errors import ComputerError, InputError, Problem


def check_replaceable(path: Path, field: str = "") -> None:
    """Raises InputError if `path` is something else than a file that could be replaced by another.

    A device would be lost by it, for everybody on the computer. Raises OSError, ValueError for what is no name.
    """
    try:
        kind = path.stat().st_mode
    except FileNotFoundError:
        return
    if stat.S_ISDIR(kind):
        raise InputError(Problem("is a folder; a file name is wanted", field=field, file=str(path)))
    if not stat.S_ISREG(kind):
        raise InputError(Problem("is not a file; a file name is wanted", field=field, file=str(path)))


@contextmanager
def written(path: Path, field: str = "", follow: bool = True) -> Iterator[Path]:
    """Gives a temporary path beside `path`; what is written there takes its place at the end.

    Where `path` is a link, the file that it leads to is written, and the link stays: the user named it. follow: False
    for a name that is ours, in a folder that may come from someone else: there a link is replaced, or it would choose
    which of the user's files is written over. field: the option that named the file, for the message. Raises InputError
    if it cannot be written; an old file then stays.
    """
    temporary: Path | None = None
    try:
        if follow or not path.is_symlink():
            check_replaceable(path, field)
        if follow and path.is_symlink():
            path = path.resolve()
        path.parent.mkdir(parents=True, exist_ok=True)
        handle, name = tempfile.mkstemp(dir=path.parent, prefix=f".{path.stem[:40]}-", suffix=path.suffix[:20])
        os.close(handle)
        temporary = Path(name)
        yield temporary
        temporary.chmod(0o644)
        temporary.replace(path)
    except InputError:
        raise
    except (OSError, ValueError) as e:  # ValueError: a name with a null in it
        why = getattr(e, "strerror", None) or e
        raise ComputerError(Problem(f"cannot be written: {why}", field=field, file=str(path))) from None
    finally:
        if temporary is not None:
            temporary.unlink(missing_ok=True)


def write_bytes(path: Path, content: bytes, field: str = "") -> None:
    """Raises InputError."""
    with written(path, field) as temporary:
        temporary.write_bytes(content)
