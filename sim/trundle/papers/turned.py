"""What turning a vehicle comes to, for its own paper and for the standing sheet: figures, no words."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from trundle.engine.standing import Standing
from trundle.errors import InputError, Problem
from trundle.handling.grounds import ground, grounds
from trundle.handling.in_run import HardestTurn, hardest
from trundle.handling.stations import Stations, pushed_sideways, stations
from trundle.handling.turn import TurnOn, turn_on
from trundle.papers.loads import of_file, run_folder, run_timeline
from trundle.papers.strength import worst_of_alike
from trundle.record.store import TIMELINE
from trundle.strength.margin import PartMargin
from trundle.strength.margins import margins_pushed, margins_turned
from trundle.strength.missing import unknown

USUAL = "tarmac"
"""The ground that parts are held against where none is asked for: of those that a builder meets the hardest on them but
dry concrete."""

ON_SHEET = ("tarmac", "wet tarmac", "concrete", "grass")
"""Grounds that the standing sheet has rows for."""


@dataclass(frozen=True)
class Turned:
    """Figures of turning. on: on the ground that was asked for, everywhere: on all of them; parts: what each part has
    left on it as the vehicle stands, those made alike once; in_run: the same with the loads of a run, hardest: its
    hardest instant; None: no run was given. changed: what that run's vehicle had otherwise."""

    at: Stations
    on: TurnOn
    everywhere: tuple[TurnOn, ...]
    wider: tuple[TurnOn, ...]
    parts: tuple[PartMargin, ...]
    in_run: tuple[PartMargin, ...] | None
    hardest: HardestTurn | None
    run: str
    changed: tuple[str, ...]
    missing: tuple[str, ...]


def turned(
    at: Standing,
    radius_m: float = 0.0,
    on: str = USUAL,
    run: Path | None = None,
    changed: tuple[str, ...] = (),
) -> Turned:
    """The figures, of a vehicle that stands on level ground. Raises InputError, also for a folder without a run's
    timeline."""
    assembly, found = at.assembly, stations(at)
    asked = ground(on, found.rubber)
    here = turn_on(found, asked, radius_m)
    side = asked.side * here.share
    parts = worst_of_alike(assembly, margins_pushed(assembly, pushed_sideways(at, found, side)))
    in_run, worst = None, None
    if run is not None:
        if (timeline := run_timeline(run, assembly)) is None:
            told = f"no {TIMELINE} there: is it the folder of a run?"
            raise InputError(Problem(told, argument="run", file=str(run_folder(run))))
        with of_file(run_folder(run) / TIMELINE):
            in_run = tuple(worst_of_alike(assembly, margins_turned(assembly, timeline, side, found.leans)))
            worst = hardest(assembly, timeline)
    known = grounds(found.rubber)
    everywhere = [turn_on(found, one, radius_m) for one in known.values()]
    if asked.name not in known:
        everywhere.insert(0, here)
    radii = sorted({here.radius_m, *(r for r in (1.0, 2.0, 5.0, 10.0, 20.0) if r > here.radius_m)})
    return Turned(
        at=found,
        on=here,
        everywhere=tuple(everywhere),
        wider=tuple(turn_on(found, asked, r) for r in radii) if found.gauge_m is not None else (),
        parts=tuple(sorted(parts, key=lambda m: m.margin)),
        in_run=None if in_run is None else tuple(sorted(in_run, key=lambda m: m.margin)),
        hardest=worst,
        run=str(run_folder(run)) if run is not None else "",
        changed=changed,
        missing=tuple(f"{u.name}: {', '.join(u.parts)} ([{u.path}])" for u in unknown(assembly)),
    )
