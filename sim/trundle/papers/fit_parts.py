"""The sheet's answer to whether every part can be made, bought and put together; wheels over the guide tooth."""

from __future__ import annotations

from trundle.making.fits import Remark, remarks, unchecked
from trundle.making.fits.case import cases
from trundle.making.fits.tooth import over_tooth
from trundle.papers.parts import Part, Table, merged, names, number
from trundle.spec.vehicle import Vehicle

TITLE = "Can it be made and put together"

CHECKED = (
    "Checked, each as far as the file says it: sleeves in their holes and on their bolts, arms between plates and "
    "wheels, welds, bolts with nuts and washers, holes from edges, arms and wheels through their swing from stop to "
    "stop, springs against arms and wheels, the guide tooth, sizes that are sold. Measures without a standard are "
    "common practice, no source."
)
"""What the answer covers."""


def fits_part(vehicle: Vehicle) -> Part:
    """Faults, worst first; what was not checked and which field would add it."""
    found, known = remarks(vehicle), any(True for _ in cases(vehicle))
    good = "Nothing that was checked keeps it from being made, put together and moved."
    if not known:
        good = "Nothing says how it is made: nothing was checked."
    open_ones = alike_named(unchecked(vehicle))
    if known and open_ones:
        good += f" {len(open_ones)} thing{'s were' if len(open_ones) > 1 else ' was'} not checked, see below."
    lines = [*([CHECKED] if known else []), *(f"Not checked: {line}" for line in open_ones)]
    return Part(TITLE, "" if found else good, lines=tuple(lines), loud=tuple(told(r) for r in found))


def told(remark: Remark) -> str:
    """A fault with its kind."""
    return f"{remark.kind[0].upper()}{remark.kind[1:]}: {remark}"


def alike_named(lines: tuple[str, ...]) -> list[str]:
    """Lines that say the same of several bogies as one: "front, rear: ..."."""
    groups: dict[str, list[str]] = {}
    for line in lines:
        name, colon, rest = line.partition(": ")
        whole = not colon or " " in name
        key = line if whole else rest.replace(f"bogie.{name}.", "bogie.*.").replace(f"[bogie.{name}.", "[bogie.*.")
        groups.setdefault(key, []).extend([] if whole else [name])
    return [f"{names(who)}: {rest}" if who else rest for rest, who in groups.items()]


def gaps(vehicle: Vehicle) -> Part | None:
    """Wheel pairs over the guide tooth; what is too near is among the faults above."""
    track = vehicle.track
    if track is None or track.tooth_mm <= 0.0:
        return None
    rows = []
    for case in cases(vehicle):
        if (over := over_tooth(case)) is None:
            continue
        rows.append(
            (
                case.bogie_name,
                number(over.wheels_apart_mm),
                number(over.tooth_width_mm) if over.tooth_width_mm is not None else "not given",
                number(over.beside_mm, 1) if over.beside_mm is not None else "–",
                f"{number(over.over_mm, 1)} under the {over.what}",
            )
        )
    untold = [
        n
        for n, b in vehicle.bogie.items()
        if vehicle.wheel[b.wheel].abreast == 2 and (b.build is None or b.build.axle is None)
    ]
    lines = (f"{names(untold)}: wheel spacing not given ([bogie.NAME.build.axle])",) if untold else ()
    if not rows and not lines:
        return None
    heads = ("bogie", "wheels apart, mm", "tooth wide, mm", "clear each side, mm", "tooth's tip clear, mm")
    tables = (Table(heads, merged(rows)),) if rows else ()
    return Part("Wheels over the guide tooth", f"The tooth is {track.tooth_mm:g} mm high.", tables, lines)
