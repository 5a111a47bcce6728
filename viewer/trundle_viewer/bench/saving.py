"""Saving what was made on the bench: a new file with the old one's comments, and pictures."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from trundle.errors import InputError, Problem
from trundle.record.files import write_bytes
from trundle.result.inputs import VehicleInput
from trundle.spec.shipped import folder as shipped
from trundle.spec.short import tables_of
from trundle.spec.vehicle import vehicle_from
from trundle_viewer.bench.design import plain
from trundle_viewer.export import save_png

if TYPE_CHECKING:
    from trundle_viewer.bench.app import Bench


def save(bench: Bench) -> None:
    """Write the vehicle as it is now to NAME-bench.toml: beside the file that it was opened from, of a shipped one in
    the bench's folder. Over nothing but what this bench has saved itself.

    Raises InputError if it cannot stand as it is, or the file cannot be written.
    """
    if not bench.settle():
        raise InputError(Problem("it is not worked out yet whether it stands; try again"))
    if bench.refused:
        raise InputError(Problem("it is not saved: it cannot be so (see the picture)"))
    target = bench.saved or _new_name(bench)
    text, kept = _text(bench)
    write_bytes(target, text.encode("utf-8"))
    bench.saved = target
    bench.say(f"saved {target}" + ("" if kept else " (without the old file's comments: they could not be kept)"))


def _text(bench: Bench) -> tuple[str, bool]:
    """What to write; and whether it is the old text with its comments."""
    opened = bench.opened
    given = VehicleInput(bench.vehicle, opened.path, plain(bench.design.now), opened.text)
    text = given.text_as_used()
    try:
        if vehicle_from(tables_of(text, "").data).model_dump() == bench.vehicle.model_dump():
            return text, all(comment in text for comment in _comments(opened.text))
    except InputError:
        pass  # a field of a table that the old text has in another form
    return VehicleInput(bench.vehicle).text_as_used(), False


def _comments(text: str) -> list[str]:
    return [line.partition("#")[2] for line in text.splitlines() if "#" in line]


def _new_name(bench: Bench) -> Path:
    """`teasel-bench.toml`, `teasel-bench-2.toml`: the first that is not there."""
    path = bench.opened.path
    own = path is not None and path.resolve().parent != shipped("vehicles").resolve()
    folder = path.parent if own and path is not None else bench.folder
    stem, k = f"{bench.opened.stem}-bench", 1
    while (target := folder / (f"{stem}.toml" if k == 1 else f"{stem}-{k}.toml")).exists():
        k += 1
    return target


def save_picture(bench: Bench) -> None:
    """What is seen, as `teasel-bench.png` or the next name that is not there. Raises InputError."""
    stem, k = f"{bench.opened.stem}-bench", 1
    while (target := bench.folder / (f"{stem}.png" if k == 1 else f"{stem}-{k}.png")).exists():
        k += 1
    save_png(bench.screen, target)
    bench.say(f"saved {target}")
