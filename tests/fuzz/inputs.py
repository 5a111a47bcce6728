"""From a seed and a number to an input, and what became of it."""

from __future__ import annotations

import shutil
from dataclasses import dataclass
from pathlib import Path
from random import Random

from tests.fuzz import baselines, courses, journals, judge, options, run_folders, runner, surveys, vehicles
from tests.fuzz.case import Case, Place

FAMILIES = {
    "vehicle": (vehicles.make, 34),
    "course": (courses.make, 20),
    "survey": (surveys.make, 14),
    "run folder": (run_folders.make, 13),
    "journal": (journals.make, 4),
    "baseline": (baselines.make, 3),
    "options": (options.make, 12),
}
"""What makes an input of each family, and how many of a hundred are of it."""


@dataclass(frozen=True)
class Outcome:
    """What became of one input."""

    number: int
    family: str
    args: tuple[str, ...]
    code: int
    wall_s: float
    memory_MB: float
    wrong: tuple[str, ...]


def made(seed: int, number: int, place: Place, only: str = "") -> tuple[str, Case]:
    """Input `number` of a seed, always the same, with its files written. only: of this family."""
    rng = Random(f"{seed} {number}")
    drawn = rng.choices(list(FAMILIES), [share for _, share in FAMILIES.values()])[0]
    family = only or drawn
    place.furnish()
    return family, FAMILIES[family][0](rng, place)


def tried(seed: int, number: int, base: Path, stock: Path, only: str = "", keep: bool = False) -> Outcome:
    """Makes, runs and judges one input. Its folder goes if all held, unless it is to be kept."""
    place = Place(base / str(number), stock)
    family, case = made(seed, number, place, only)
    before = judge.outside(place), judge.snapshot(place.work)
    ended = runner.run(case, place)
    wrong = judge.complaints(case, place, before, ended)
    if ended.wall_s > runner.LIMIT_S:
        wrong = [f"did not end within {runner.LIMIT_S:g} s"]
    if wrong:
        said = f"{case}\ncode {ended.code}\n--- stdout\n{ended.out}\n--- stderr\n{ended.err}\n"
        (place.root / "said.txt").write_text("\n".join([*wrong, said]), encoding="utf-8", errors="surrogateescape")
    elif not keep:
        shutil.rmtree(place.root, ignore_errors=True)
    return Outcome(number, family, case.args, ended.code, ended.wall_s, ended.memory_MB, tuple(wrong))
