"""The vehicle's file of a proposal: a comment on every line, guesses marked as such."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from trundle.design.first import Stood
from trundle.design.kerb import course_words
from trundle.design.proposal import Proposal
from trundle.errors import plain
from trundle.fields.commented import commented
from trundle.spec.short import LIKE
from trundle.spec.vehicle import Vehicle

_OF_ANSWER: Mapping[str, tuple[str, ...]] = {
    "all_up_kg": ("hull.all_up_kg",),
    "speed_m_s": ("drive.speed_m_s",),
    "wheels.diameter_mm": ("wheel.road.radius_mm",),
    "wheels.width_mm": ("wheel.road.width_mm",),
    "wheels.abreast": ("wheel.road.abreast",),
    "wheels.rubber_rate_N_per_mm": ("wheel.road.rubber_rate_N_per_mm",),
    "track.pitch_mm": ("track.pitch_mm",),
    "track.width_mm": ("track.width_mm",),
    "track.thickness_mm": ("track.thickness_mm",),
    "track.mass_kg_per_m": ("track.mass_kg_per_m",),
    "track.tooth_mm": ("track.tooth_mm",),
    "motor.torque_Nm": ("drive.torque_Nm",),
}
"""Fields of the file that an answer went into."""

_ALWAYS: Mapping[str, str] = {
    "hull.com_mm": "put where it stands level; weigh both ends of yours",
    "hull.height_mm": "0.3 of the length",
    "hull.seat_mm": "a little behind the middle",
    "hull.seat_kg": "a usual rider",
    "wheel.road.mass_kg": "1.35 kg for a litre of wheel",
    "track.link_steel_mm2": "0.7 of the width",
    "track.tension_limit_N": "twice the weight",
    "drive.brake_N": "0.6 of the weight",
    "drive.grip": "rubber on dry, hard ground",
}
"""What no question asks, and what it is taken from."""

_OF_BOGIE: Mapping[str, str] = {
    "arm_mass_kg": "the tube below, with its sleeves and bolts",
    "stops.pad_rate_N_per_mm": "a blow of five times its load presses it by a centimetre",
    "damper.bump_N_s_per_mm": "0.3 of critical",
}


def guesses(stood: Stood) -> dict[str, str]:
    """Path of each field of its file that nobody measured, and what it was taken from."""
    known, tables = stood.design.known, stood.tables
    found = {path: words for path, words in _ALWAYS.items() if _there(tables, path)}
    if known.load_kg is not None:
        found.pop("hull.seat_kg", None)
    for answer, paths in _OF_ANSWER.items():
        if answer in known.why:
            found |= {path: known.why[answer] for path in paths if _there(tables, path)}
    of_spring = known.stock.guesses()
    of_spring |= {p.removeprefix("stock."): words for p, words in known.why.items() if p.startswith("stock.")}
    first = f"bogie.{next(iter(tables['bogie']))}"
    below = {**_OF_BOGIE} | {f"spring.{field}": words for field, words in of_spring.items()}
    return found | {p: w for path, w in below.items() if _there(tables, p := f"{first}.{path}")}


def file_text(proposal: Proposal, file: str, today: str) -> str:
    """All of the file. today: as it is written in its head; file: its name, for the commands to type next."""
    stood = proposal.stood
    first, *others = stood.tables["bogie"].items()
    bogies = dict([first]) | {name: {LIKE: first[0], "at_mm": bogie["at_mm"]} for name, bogie in others}
    tables = {"name": stood.tables["name"], "note": _note(proposal), **stood.tables, "bogie": bogies}
    said = _marked(proposal)
    for name, _ in others:
        said |= {f"bogie.{name}.{LIKE}": "The same in all but its place", f"bogie.{name}.at_mm": "Its pivot"}
    body = commented(Vehicle, tables, guesses(stood), said)
    name, quoted = plain(stood.tables["name"]), plain(file)
    head = [
        f"# {name}: a first design, written by trundle new on {today}.",
        "# What nobody has measured is marked GUESS: search for it, measure, put your own number in its place.",
        f"#   trundle sheet {quoted}          how it stands, what its steel bears, what to cut and drill",
        f"#   trundle draw {quoted}           the same as a drawing with every dimension",
        f"#   trundle run {quoted} {course_words(stood.design.known.kerb_mm)}   roll it over its course",
        "#   trundle explain hull.com_mm     what a field is, and how to measure it",
    ]
    return "\n".join(head) + "\n\n" + body


def _note(proposal: Proposal) -> str:
    """In the file, for the sheet's head."""
    known = proposal.stood.design.known
    said = f"First design for {known.stock.words()}."
    if proposal.instead:
        said += f" That is not at hand: {proposal.instead}."
    if proposal.judged.faults:
        said += f" It does not do: {proposal.judged.faults[0]}."
        if proposal.judged.better:
            better = proposal.judged.better.words()
            said += f" {better[0].upper()}{better[1:]} would."
    return said


def _marked(proposal: Proposal) -> dict[str, str]:
    """Comments of springs that their stock does not do for."""
    faults = proposal.judged.faults
    if not faults and not proposal.instead:
        return {}
    words = [f"NOT AT HAND: {proposal.instead}"] if proposal.instead else []
    words += [f"DOES NOT DO: {'; '.join(faults)}"] if faults else []
    return {f"bogie.{next(iter(proposal.stood.tables['bogie']))}.spring.kind": "; ".join(words)}


def _there(tables: Mapping[str, Any], path: str) -> bool:
    node: object = tables
    for part in path.split("."):
        if not isinstance(node, Mapping) or part not in node:
            return False
        node = node[part]
    return True
