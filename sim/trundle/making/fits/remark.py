"""A fault that keeps a part from being made, bought or put together: what is wrong, and the field to change."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Literal

FaultKind = Literal["cannot be put together", "would foul", "would wear or give way", "is not sold"]

KINDS: tuple[FaultKind, ...] = ("cannot be put together", "would foul", "would wear or give way", "is not sold")
"""Worst first."""


@dataclass(frozen=True)
class Remark:
    """One fault. path: field of the file to change, of the first bogie that has it. wrong: what is wrong, in mm. mend:
    what would do. bogies: all that have it; empty: it is no bogie's. everywhere: all bogies of the vehicle have it."""

    kind: FaultKind
    path: str
    wrong: str
    mend: str
    bogies: tuple[str, ...] = ()
    everywhere: bool = False

    @property
    def where(self) -> str:
        """The field for all bogies that have the fault, as `--set` takes it where all have."""
        if len(self.bogies) < 2 or not self.path.startswith("bogie."):
            return self.path
        rest = self.path.removeprefix(f"bogie.{self.bogies[0]}.")
        named = "" if self.everywhere else f" ({', '.join(self.bogies)})"
        return f"bogie.*.{rest}{named}"

    def __str__(self) -> str:
        return f"{self.where}: {self.wrong}; {self.mend}"


def mm(value: float) -> str:
    """A length as it is told, to a tenth [mm]."""
    return f"{round(value, 1) + 0.0:g}"


def alike_once(found: Iterable[Remark], bogies: int) -> tuple[Remark, ...]:
    """What several bogies have in common as one, worst first, else in the order of the file. bogies: how many there
    are."""
    groups: dict[tuple[str, ...], Remark] = {}
    for r in found:
        rest = r.path.removeprefix(f"bogie.{r.bogies[0]}.") if r.bogies else r.path
        key = (r.kind, rest, r.wrong, r.mend, "bogie" if r.bogies else "")
        if key in groups:
            names = tuple(dict.fromkeys((*groups[key].bogies, *r.bogies)))
            groups[key] = replace(groups[key], bogies=names, everywhere=len(names) == bogies)
        else:
            groups[key] = r
    return tuple(sorted(groups.values(), key=lambda r: KINDS.index(r.kind)))
