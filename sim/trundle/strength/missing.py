"""What a file does not give the sizes of, so that nothing can be said of its strength."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from trundle.bogies.answers import Member
from trundle.model.assembly import Assembly

_MAY_HAVE = ("weld",)
"""What not every arm has: bolts may turn in a plain bush, a bracket be welded on."""

_WORDS: Mapping[str, str] = {"axle": "axle bolts", "pivot": "pivot bolts", "arm": "arms", "bracket": "brackets"}


@dataclass(frozen=True)
class Unknown:
    """Parts that an arm or beam must have and the file does not give the sizes of. name: of the bogie; path: the
    table of it or its arm; parts: what they are, several of each."""

    name: str
    path: str
    parts: tuple[str, ...]


def unknown(assembly: Assembly) -> tuple[Unknown, ...]:
    """Of every kind of arm and beam what its strength cannot be known without; none: all is given."""
    found = []
    for name, bogie in assembly.vehicle.bogie.items():
        for member in bogie.members(name):
            absent = [p for p in _must_have(member) if member.build is None or getattr(member.build, p) is None]
            if absent:
                words = (f"{member.what}s" if p == "arm" else _WORDS[p] for p in absent)
                found.append(Unknown(name, f"{member.path}.build", tuple(words)))
    return tuple(found)


def _must_have(member: Member) -> tuple[str, ...]:
    # The arm under a beam carries the beam's pivot, not an axle.
    return ("axle", "pivot", "arm", "bracket") if member.carries_axle else ("pivot", "arm", "bracket")


def missing(assembly: Assembly) -> tuple[str, ...]:
    """Which margins the file does not give the sizes for, and what to add, one line for each bogie."""
    lines = []
    for name, bogie in assembly.vehicle.bogie.items():
        for member in bogie.members(name):
            build = member.build
            if build is None:
                lines.append(
                    f"{member.name}: not given how it is made ([{member.path}.build]), so no {member.what}, bolt, "
                    "bracket or weld is checked"
                )
                continue
            absent = [p for p in (*_must_have(member), *_MAY_HAVE) if getattr(build, p) is None]
            if "weld" in absent and not member.carries_axle:
                absent.remove("weld")
            if build.bracket is not None and build.bracket.hull_thread is None and member.pivots_mm:
                absent.append("hull bolts (bracket.hull_thread)")
            if absent:
                lines.append(f"{member.name}: not given: {', '.join(absent)} ([{member.path}.build])")
    for place in assembly.parts.springs:
        made = place.spring.made_of()
        if made.steel is None:
            lines.append(f"{place.name}: no margin of its spring ({made.words})")
    return tuple(lines)
