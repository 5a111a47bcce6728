"""Answers kept in a file, to go on with another time."""

from __future__ import annotations

import os
import tempfile
from pathlib import Path

from trundle.cli.interview.draft import Draft
from trundle.cli.new_file import write_new
from trundle.errors import ComputerError, InputError, Problem

ENDING = ".answers.toml"
MOST_NUMBERED = 1_000


def place_of_answers(vehicle: Path) -> Path:
    """Beside the vehicle's file."""
    return vehicle.with_name(vehicle.name.removesuffix(".toml") + ENDING)


def keep(draft: Draft, target: Path, ours: bool) -> Path:
    """Write them. ours: the file is one of kept answers that are gone on with, and is replaced at once and whole; any
    other that is there stays, and the new one gets a number. Raises InputError or ComputerError."""
    text = "# Answers for a first design. To go on with the questions: trundle new --go-on FILE; or, as they are:\n"
    text += "# trundle new --from FILE\n\n" + draft.text()
    if ours:
        _replace(target, text)
        return target
    for place in _free(target):
        if not (place.exists() or place.is_symlink()):
            write_new(place, text)
            return place
    raise InputError(Problem("is there already, and so are a thousand like it", file=str(target)))


def _free(target: Path) -> list[Path]:
    stem = target.name.removesuffix(ENDING)
    return [target, *(target.with_name(f"{stem}-{n}{ENDING}") for n in range(2, MOST_NUMBERED))]


def _replace(target: Path, text: str) -> None:
    try:
        number, name = tempfile.mkstemp(prefix=f".{target.name}.", dir=target.parent)
        with os.fdopen(number, "wb") as f:
            f.write(text.encode())
        Path(name).replace(target)
    except OSError as e:
        raise ComputerError(Problem(f"cannot be written: {e.strerror or e}", file=str(target))) from None
