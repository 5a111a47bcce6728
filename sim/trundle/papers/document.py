"""Puts a whole sheet together."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path

from trundle.engine.standing import Standing
from trundle.errors import plain
from trundle.handling.tip import tipping_of
from trundle.making.made import made
from trundle.making.part import Made
from trundle.papers import standing_parts as show
from trundle.papers import tipping_parts, turning_parts, turning_words
from trundle.papers.build_parts import build_parts
from trundle.papers.drive import drive_part
from trundle.papers.fit_parts import fits_part
from trundle.papers.ground import level, stand_level
from trundle.papers.loads import (
    FACTOR,
    WorstLoads,
    by_factor,
    check_factor,
    check_same_vehicle,
    from_run,
    run_angles,
    run_folder,
    run_margins,
)
from trundle.papers.notice import Notice, worst_first
from trundle.papers.parts import CARE, Document, Part
from trundle.papers.screen import as_text
from trundle.papers.standing import StandingSheet, standing_sheet
from trundle.papers.strength import strength
from trundle.papers.strikes import dent_notices, strikes
from trundle.papers.swing import swing_of
from trundle.papers.turned import ON_SHEET, turned
from trundle.papers.words import strength_warnings, warnings
from trundle.result.inputs import GivenVehicle, vehicle_input
from trundle.spec.vehicle import Vehicle
from trundle.strength.missing import missing


@dataclass(frozen=True, repr=False)
class Sheet:
    """The figures and the text made from them."""

    standing: StandingSheet
    at: Standing
    pieces: tuple[Made, ...]
    document: Document

    def __str__(self) -> str:
        """All of it, as `trundle sheet` prints it."""
        return as_text(self.document)

    def __repr__(self) -> str:
        loud = sum(len(part.loud) for part in self.document.parts)
        warned = f"{loud} loud warning{'s' if loud != 1 else ''}" if loud else "no loud warning"
        parts = ", ".join(part.title for part in self.document.parts)
        return f"{self.document.title}: {warned}\n{parts}\nprint() it for all; .standing has the figures"


def sheet(
    vehicle: GivenVehicle,
    *,
    run: str | Path | None = None,
    factor: float = FACTOR,
    sensitivity: bool = False,
) -> Sheet:
    """How a vehicle stands, what its steel bears, what to cut, drill and bend; `print` shows it.

    vehicle: a file, the name of a shipped one, or an object. run: folder of a run whose worst loads count; without one
    the standing loads times `factor` (1 to 50) do. sensitivity: also what each dimension does, ranked.
    Raises InputError for an argument or a file that is wrong, or if the vehicle cannot stand (StandingError).
    """
    check_factor(factor)
    ours = vehicle_input(vehicle)
    source = str(ours.path) if ours.path is not None else f"{ours.stem}.toml"
    with ours.blamed():
        return whole_sheet(ours.vehicle, source, None if run is None else Path(run), factor, sensitivity)


def whole_sheet(
    vehicle: Vehicle,
    source: str,
    run: Path | None = None,
    factor: float = FACTOR,
    with_sensitivity: bool = False,
    on_progress: Callable[[int, int], None] | None = None,
) -> Sheet:
    """Everything about a vehicle. source: its file, named in what to do next.

    run: folder of a run whose worst loads count; without one the standing loads times `factor` do.
    Raises InputError.
    """
    changed = check_same_vehicle(vehicle, run_folder(run)) if run is not None else ()
    ground = level()
    at = stand_level(vehicle, ground)
    angles = run_angles(run, at.assembly.joint) if run is not None else None
    sheet = standing_sheet(vehicle, ground=ground, at=at, run_angles_rad=angles)
    loads = from_run(sheet, run, changed) if run is not None else by_factor(sheet, factor)
    if run is not None:
        loads = replace(loads, margins=run_margins(run, at.assembly))
    checks = strength(at.assembly, loads)
    found = tuple(p for p in made(vehicle) if p.holes)
    timed = run if run is not None and loads.margins is not None else None
    turns, tips = turned(at, run=timed), tipping_of(at, lengthwise=False)
    weak = [*_other_run(loads), *strength_warnings(checks, loads.source), *dent_notices(at.assembly, loads.struck_N)]
    weak += [*turning_words.notices(turns), *tipping_parts.notices(tips)]
    said = worst_first([*warnings(sheet, vehicle, swing_of(vehicle, at)), *weak])
    parts = [
        show.warning_part(said),
        fits_part(vehicle),
        show.sitting(sheet),
        show.wheels(sheet),
        show.springs(sheet),
        show.adjusters(sheet),
        show.swinging(sheet),
        show.track(sheet),
        drive_part(vehicle, sheet.weight_N),
        strikes(at.assembly, loads.struck_N),
        show.strength_part(checks, missing(at.assembly), loads),
        turning_parts.sheet_part(turns, ON_SHEET),
        tipping_parts.sheet_part(tips),
        *build_parts(vehicle, sheet, found),
    ]
    if with_sensitivity:
        from trundle.papers.sensitivity import sensitivity, sensitivity_part

        parts.append(sensitivity_part(sensitivity(vehicle, sheet, on_progress)))
    parts.append(_next(plain(source), run is not None, bool(found), with_sensitivity))
    parts.append(Part("Take care", CARE))
    text = Document(f"{vehicle.name}: sheet", vehicle.note.strip(), tuple(p for p in parts if p is not None))
    return Sheet(sheet, at, found, text)


def _other_run(loads: WorstLoads) -> list[Notice]:
    """What the reader must know of a run that was made before something was changed."""
    if not loads.changed:
        return []
    more = f" and {len(loads.changed) - 3} more" if len(loads.changed) > 3 else ""
    told = "; ".join(loads.changed[:3])
    return [
        Notice(f"since that run was made the vehicle has changed ({told}{more}): roll it again for loads that hold")
    ]


def _next(source: str, has_run: bool, has_pieces: bool, has_sensitivity: bool) -> Part:
    lines = []
    if not has_run:
        lines.append(f"trundle run {source} kerb-100   rolls it over a kerb; then --run FOLDER here for real peaks")
    if not has_sensitivity:
        lines.append(f"trundle sheet {source} --sensitivity   shows what to change")
    lines.append(f"trundle sheet {source} --pdf sheet.pdf   for the workshop wall")
    lines.append(f"trundle buy {source}   bars and how to saw them, plate, bolts; what the arms weigh")
    lines.append(f"trundle draw {source}   draws it to scale with all of its dimensions")
    lines.append(f"trundle pack {source}   draws each part and assembly to build from, as a stack of prints")
    if has_pieces:
        lines.append(f"trundle sheet {source} --templates DIR   templates at 1:1 of what is drilled and bent")
    else:
        lines.append("say how the arms are made ([bogie.NAME.build]) to have strength and templates")
    return Part("What next", lines=tuple(lines))
