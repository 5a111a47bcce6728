"""A file written whole or not at all."""

from __future__ import annotations

import os
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from trundle.errors import ComputerError, InputError, Problem


@contextmanager
def written(path: Path, field: str = "") -> Iterator[Path]:
    """Gives a temporary path beside `path`; what is written there takes its place at the end.

    field: the option that named the file, for the message. Raises InputError if it cannot be written; an old
    file then stays.
    """
    temporary: Path | None = None
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        if path.is_dir():
            raise InputError(Problem("is a folder; a file name is wanted", field=field, file=str(path)))
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
