"""Finds the vehicles and courses that come with Trundle, by name."""

from __future__ import annotations

from pathlib import Path
from typing import Literal

from trundle.errors import InputError, Problem, did_you_mean

Kind = Literal["vehicles", "courses"]


def folder(kind: Kind) -> Path:
    """Where they are: `scenarios/` of a checkout, else the copy inside the installed package."""
    package = Path(__file__).resolve().parents[1]
    checkout = package.parents[1] / "scenarios" / kind
    return checkout if checkout.is_dir() else package / "_scenarios" / kind


def names(kind: Kind) -> list[str]:
    """Names of the shipped ones, sorted."""
    return sorted(p.stem for p in folder(kind).glob("*.toml"))


def find(kind: Kind, name_or_path: str | Path) -> Path:
    """The file meant: a path that exists, or the name of a shipped one (`kerb-100`).

    Raises InputError with the nearest name and the list of shipped ones.
    """
    text = str(name_or_path)
    path = Path(text)
    known = names(kind)
    try:
        is_file, is_folder = path.is_file(), path.is_dir()
    except (OSError, ValueError):
        is_file = is_folder = False  # Too long or unprintable for a file name: it is not one.
    if is_file:
        return path
    if is_folder and text not in known:
        raise InputError(Problem("is a folder; a .toml file is wanted", file=text))
    stem = text.removesuffix(".toml")
    if stem in known:
        return folder(kind) / f"{stem}.toml"
    one = kind.removesuffix("s")
    shown = text if len(text) <= 80 else text[:77] + "..."
    raise InputError(
        Problem(
            f'no such {one} file, and no shipped {one} of that name: "{shown}"{did_you_mean(stem, known)}',
            field=one.upper(),
            allowed=f"a path to a .toml file, or one of: {', '.join(known)}",
        )
    )
