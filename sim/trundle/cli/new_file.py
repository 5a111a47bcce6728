"""A new file of the user's own: whole or not at all, and never over one that is there."""

from __future__ import annotations

import os
from pathlib import Path

from trundle.errors import ComputerError, InputError, Problem


def place_for(name: str, out: Path | None) -> Path:
    """Where it goes: as asked for, or in the current folder, called after the vehicle. Raises InputError where that
    begins like an option."""
    if out is not None:
        return no_option(out, "--out")
    return no_option(Path("-".join(name.lower().split()).replace(os.sep, "-") + ".toml"), "name")


def no_option(target: Path, given_by: str) -> Path:
    """The same. Raises InputError where no command could be given it: it would be taken for an option."""
    if str(target).startswith("-"):
        raise InputError(
            Problem(f"{target} begins with -, like an option", field=given_by, allowed="another name, or --out ./FILE")
        )
    return target


def check_free(target: Path) -> None:
    """Raises InputError where something is there already, before work is done for it."""
    if target.exists() or target.is_symlink():
        raise _there(target)


def write_new(target: Path, text: str, option: str = "--out") -> None:
    """option: by which it was named. Raises InputError where it is there already, ComputerError where it cannot be
    written; nothing is left then."""
    try:
        with target.open("xb") as f:
            try:
                f.write(text.encode())
                f.flush()
            except OSError:
                target.unlink()
                raise
    except FileExistsError:
        raise _there(target, option) from None
    except OSError as e:
        raise ComputerError(Problem(f"cannot be written: {e.strerror or e}", file=str(target))) from None


def _there(target: Path, option: str = "--out") -> InputError:
    return InputError(Problem(f"is there already; name another with {option}", file=str(target)))
