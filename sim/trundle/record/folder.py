"""A folder of files that is written whole or not at all."""

from __future__ import annotations

import shutil
import tempfile
from collections.abc import Callable, Mapping
from pathlib import Path

from trundle.errors import ComputerError, InputError, Problem


def check_folder(folder: Path, ours: Callable[[str], bool], field: str = "") -> None:
    """Raises InputError if a folder of that name cannot be written: there is something else of that name, or a file in
    it that is not `ours` by its name."""
    try:
        if not folder.exists() and not folder.is_symlink():
            return
        if not folder.is_dir():
            raise InputError(Problem("is a file; a folder is wanted", field, file=str(folder)))
        foreign = next((p.name for p in sorted(folder.iterdir()) if not (ours(p.name) and p.is_file())), None)
    except (OSError, ValueError) as e:  # ValueError: a name with a null in it
        why = getattr(e, "strerror", None) or e
        raise ComputerError(Problem(f"cannot be written: {why}", field, file=str(folder))) from None
    if foreign is not None:
        raise InputError(
            Problem(f'holds "{foreign}", which is not of ours', field, "a new folder, or an empty one", str(folder))
        )


def write_folder(folder: Path, files: Mapping[str, bytes], ours: Callable[[str], bool], field: str = "") -> None:
    """The folder with these files and no others: put together beside it, then given its name; what was of ours there
    before goes. ours: whether a file's name is one that may be replaced.

    Raises InputError as check_folder, ComputerError where the disk is full or the place cannot be written; an old
    folder then stays as it was.
    """
    check_folder(folder, ours, field)
    folder = folder.resolve() if folder.is_symlink() else folder
    stage: Path | None = None
    try:
        folder.parent.mkdir(parents=True, exist_ok=True)
        stage = Path(tempfile.mkdtemp(dir=folder.parent, prefix=f".{folder.name[:40]}-"))
        whole = stage / "new"
        whole.mkdir()
        for name, content in files.items():
            (whole / name).write_bytes(content)
        old = stage / "old"
        if folder.exists():
            folder.rename(old)
        try:
            whole.rename(folder)
        except OSError:
            if old.exists() and not folder.exists():
                old.rename(folder)
            raise
    except (OSError, ValueError) as e:
        why = getattr(e, "strerror", None) or e
        raise ComputerError(Problem(f"cannot be written: {why}", field, file=str(folder))) from None
    finally:
        if stage is not None:
            shutil.rmtree(stage, ignore_errors=True)
