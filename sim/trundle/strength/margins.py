"""The least margin of every part: of a run, by the forces on its wheels instant by instant, or at stated loads."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace
from itertools import groupby

import numpy as np

from trundle.errors import InputError, Problem
from trundle.model.arrays import Floats
from trundle.model.assembly import Assembly
from trundle.record.long import LongTimeline, Timeline, columns_of
from trundle.strength.arms import members
from trundle.strength.bolts import axle_bolts, pivot_bolts
from trundle.strength.brackets import plates
from trundle.strength.hull_bolts import hull_bolts
from trundle.strength.limbs import Instants, Limb, in_run, limbs, stated
from trundle.strength.margin import OnStone, PartMargin
from trundle.strength.springs import spring_margins
from trundle.strength.stress import Stressed
from trundle.strength.welds import sleeve_welds
from trundle.units import MPA

OF_LIMB: tuple[Callable[[Limb], Iterator[Stressed]], ...] = (axle_bolts, pivot_bolts, members, plates, sleeve_welds)
"""The kinds of parts that belong to one arm or beam. Hull bolts belong to all that one bracket carries, springs to
none."""

AGAIN = "this run was kept without the force vectors that strength is worked out from: run it again"


def margins_of(assembly: Assembly, timeline: Timeline) -> tuple[PartMargin, ...]:
    """What each part of a run has left in its hardest moment, in the vehicle's order, springs first.

    A part that the file does not give the sizes of is not among them: see `missing`. A long run is worked out some rows
    at a time. Raises InputError where a stated size cannot exist, and for a record without force vectors.
    """
    if assembly.wheel and f"wheel.{assembly.wheel[0]}.force_up_N" not in timeline:
        raise InputError(Problem(AGAIN))
    least, dt = _Least(), 0.0
    for columns, first, last in windows(timeline):
        # Once: the difference of later rows has other last bits.
        dt = dt or float(columns["time_s"][1] - columns["time_s"][0])
        at = in_run(assembly, columns, first, last, dt)
        least.springs(spring_margins(assembly, at))
        least.parts(assembly, at)
    return least.found


def margins_at(
    assembly: Assembly, standing_N: Mapping[str, float], worst_N: Mapping[str, float]
) -> tuple[PartMargin, ...]:
    """The same of all parts but springs at stated loads of one wheel of each station [N]: standing, and the worst, both
    upright and along each arm. Raises InputError where a stated size cannot exist."""
    least = _Least()
    least.parts(assembly, stated(assembly, standing_N, worst_N))
    return least.found


def margins_pushed(assembly: Assembly, at: Instants) -> tuple[PartMargin, ...]:
    """The same of all parts but springs at instants of one's own, as pushed sideways. Raises InputError where a stated
    size cannot exist."""
    least = _Least()
    least.parts(assembly, at)
    return least.found


def margins_turned(assembly: Assembly, timeline: Timeline, side: float, one_wheel: bool) -> tuple[PartMargin, ...]:
    """The same over a run, as if it turned on the spot in every instant: each wheel is also pushed sideways with `side`
    times its load at that instant. one_wheel: see Instants. Raises InputError as `margins_of`."""
    if assembly.wheel and f"wheel.{assembly.wheel[0]}.force_up_N" not in timeline:
        raise InputError(Problem(AGAIN))
    least, dt = _Least(), 0.0
    for columns, first, last in windows(timeline):
        dt = dt or float(columns["time_s"][1] - columns["time_s"][0])
        at = in_run(assembly, columns, first, last, dt)
        pushed = {n: side * load[first:last] for n, load in side_loads_N(assembly, columns).items()}
        least.parts(assembly, replace(at, side_N=pushed, one_wheel=one_wheel))
    return least.found


def side_loads_N(assembly: Assembly, columns: Mapping[str, Floats]) -> dict[str, Floats]:
    """What each station's wheels of one side carry together in some columns of a timeline, never below 0 [N]."""
    found = {}
    for name, kind in zip(assembly.wheel, assembly.wheel_kind, strict=True):
        up = columns[f"wheel.{name}.force_up_N"]
        found[name] = np.maximum(assembly.vehicle.wheel[kind].abreast * up, 0.0)
    return found


def stressed(assembly: Assembly, at: Instants) -> Iterator[Stressed]:
    """The stress of every part but springs, instant by instant."""
    for _, group in groupby(limbs(assembly, at), key=lambda limb: limb.member.name):
        alike = list(group)
        for limb in alike:
            for kind in OF_LIMB:
                yield from kind(limb)
        yield from hull_bolts(alike)


class _Least:
    """The hardest moment of each part over all windows of a run."""

    def __init__(self) -> None:
        self._springs: dict[str, PartMargin] = {}
        self._parts: dict[tuple[str, str], PartMargin] = {}
        self._standing_Pa: dict[tuple[str, str], float] = {}
        self._gives_s: dict[tuple[str, str], float] = {}
        self._on_stone: dict[tuple[str, str], OnStone] = {}

    @property
    def found(self) -> tuple[PartMargin, ...]:
        """In the order in which they came."""
        found = (*self._springs.values(), *self._parts.values())
        return tuple(
            replace(m, gives_s=self._gives_s.get((m.kind, m.name)), on_stone=self._on_stone.get((m.kind, m.name)))
            for m in found
        )

    def springs(self, margins: Iterator[PartMargin]) -> None:
        """Some springs in one window."""
        for one in margins:
            if one.gives_s is not None:
                self._gives_s.setdefault((one.kind, one.name), one.gives_s)
            if one.name not in self._springs or one.margin < self._springs[one.name].margin:
                self._springs[one.name] = one

    def parts(self, assembly: Assembly, at: Instants) -> None:
        """All other parts in one window; the first row of the first one is how the vehicle stood."""
        for part in stressed(assembly, at):
            key = part.kind, part.name
            if part.swings_Pa is not None:
                self._standing_Pa.setdefault(key, float(part.swings_Pa[0]))
            self._stone(key, part, at)
            row = int(np.argmax(part.stress_Pa))
            stress = float(part.stress_Pa[row])
            if stress > part.limit_Pa:
                self._gives_s.setdefault(key, float(at.time_s[np.argmax(part.stress_Pa > part.limit_Pa)]))
            margin = part.limit_Pa / stress if stress > 0.0 else math.inf
            if key in self._parts and self._parts[key].margin <= margin:
                continue
            where, notes = part.said(row)
            endurance = None
            if part.swings_Pa is not None and part.endures is not None:
                endurance = part.endures(self._standing_Pa[key], float(part.swings_Pa[row]))
            self._parts[key] = PartMargin(
                kind=part.kind,
                name=part.name,
                title=part.title,
                margin=margin,
                stress_MPa=stress / MPA,
                limit_MPa=part.limit_Pa / MPA,
                time_s=float(at.time_s[row]),
                at_m=float(part.at_m[row]),
                along_N=float(part.along_N[row]),
                across_N=float(part.across_N[row]),
                where=where,
                notes=notes,
                load_N=float(part.load_N[row]),
                endurance=endurance,
            )

    def _stone(self, key: tuple[str, str], part: Stressed, at: Instants) -> None:
        """Its hardest moment in the case that one wheel of the pair bears alone."""
        if part.stone_Pa is None or part.stone_said is None:
            return
        row = int(np.argmax(part.stone_Pa))
        stress = float(part.stone_Pa[row])
        if stress <= 0.0 or (key in self._on_stone and self._on_stone[key].stress_MPa >= stress / MPA):
            return
        self._on_stone[key] = OnStone(
            part.limit_Pa / stress, stress / MPA, float(at.time_s[row]), float(part.at_m[row]), part.stone_said(row)
        )


def windows(timeline: Timeline) -> Iterator[tuple[Mapping[str, Floats], int, int]]:
    """All rows, of a long run some at a time: columns, and which of their rows are to be looked at."""
    if not isinstance(timeline, LongTimeline):
        yield columns_of(timeline), 0, len(timeline)
        return
    before: dict[str, Floats] = {}
    seen = 0
    for piece in timeline.pieces():
        columns = {n: np.concatenate([before[n], v]) for n, v in piece.items()} if before else piece
        rows = len(columns["time_s"])
        # The last row has its acceleration from the next piece, so it is looked at with that.
        first = 1 if seen else 0
        ends = seen + len(piece["time_s"]) >= len(timeline)
        last = rows if ends else rows - 1
        if last > first:
            yield columns, first, last
        seen += len(piece["time_s"])
        before = {n: v[-2:].copy() for n, v in columns.items()}
