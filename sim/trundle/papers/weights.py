"""What the parts weigh: each arm as made beside the file, and one side's running gear with its centre of mass."""

from __future__ import annotations

from collections.abc import Sequence

from trundle.making.weighing import Lump, RunningGear, Weighed, running_gear, weighed
from trundle.papers.parts import Part, Table, names, number
from trundle.spec.vehicle import Vehicle

MOST_LIGHTER, MOST_HEAVIER = 0.4, 0.1
"""How much lighter, or heavier, than its file says an arm may come out before it is told loudly. Its welds, lugs and
seats are on no list and add up to a third (common practice, no source)."""

LEAST_KG = 0.05
"""A smaller difference is nothing."""


def weights(vehicle: Vehicle) -> Part:
    """Arms as made beside the file, one side's running gear and its centre of mass.

    Raises InputError where a spring or stop cannot work.
    """
    found, gear = weighed(vehicle), running_gear(vehicle)
    tables, lines = [], []
    if found:
        heads = ("arm or beam", "as made, kg", "file, kg", "made - file", "made of")
        rows = tuple(
            (
                names(w.names), number(w.made.kg, 2), number(w.filed.kg, 2),
                f"{w.more_kg:+.2f} kg, {100.0 * w.share:+.0f} %",
                ", ".join(f"{what} {kg:.2f}" for what, kg in w.contents),
            )
            for w in found
        )  # fmt: skip
        tables.append(Table(heads, rows))
        lines.append(
            "As made: from the sizes above, without weld, lugs, spring seats and paint, which add a tenth to a third "
            "(common practice): weigh the first one and put it in the file."
        )
        lines += [f"{names(w.names)}, not counted: {m}" for w in found for m in _missing(w)]
    tables.append(Table(("one side, arms level", "kg", "forward of tail, mm", "above belly, mm"), _gear_rows(gear)))
    if gear.track_kg:
        lines.append(
            f"One track is {gear.track_kg:.1f} kg more; its middle hangs on how it runs and is not in this table."
        )
    if gear.moving is not None:
        lines.append(_beside(gear.moving, gear.moving_filed))
    return Part(
        "What it weighs",
        "Arms and beams with their sleeves and axle bolts (the arm under a beam with the plates and bolt of the beam's "
        "pivot) against the file; brackets and springs are carried by the hull and counted in hull.mass_kg.",
        tuple(tables),
        tuple(lines),
        tuple(_loud(found)),
    )


def _missing(w: Weighed) -> list[str]:
    """Fields that would add what is not counted, of several bogies with a star for their names."""
    if len(w.names) == 1:
        return list(w.missing)
    own = w.names[0].partition(".")[0]
    return [m.replace(f"bogie.{own}.", "bogie.*.") for m in w.missing]


def _beside(made: Lump, filed: Lump) -> str:
    more, off = made.kg - filed.kg, made.x_mm - filed.x_mm
    mass = "as much as" if abs(more) < LEAST_KG else f"{abs(more):.1f} kg {'more' if more > 0.0 else 'less'} than"
    where = "at the same place" if abs(off) < 1.0 else f"{abs(off):.0f} mm {'ahead' if off > 0.0 else 'behind'}"
    return f"Arms and wheels of one side, as made, weigh {mass} in the run, their centre of mass {where}."


def _loud(found: Sequence[Weighed]) -> list[str]:
    """Masses of the file that cannot be right."""
    loud = []
    for w in found:
        if abs(w.more_kg) < LEAST_KG:
            continue
        if w.share > MOST_HEAVIER or (w.share < -MOST_LIGHTER and not w.missing):
            word = "more" if w.more_kg > 0.0 else "less"
            loud.append(
                f"{names(w.names)}: as made it weighs {w.made.kg:.2f} kg, {abs(100.0 * w.share):.0f} % {word} than the "
                f"file's {w.filed.kg:g}: change {w.path}, or the sizes"
            )
    return loud


def _gear_rows(gear: RunningGear) -> tuple[tuple[str, ...], ...]:
    arms = "arms and beams with sleeves and axle bolts"
    rows: list[tuple[str, Lump | None]] = [
        (f"{arms}, as made", gear.made),
        (f"{arms}, as the file and the run have them", gear.filed),
        ("road wheels", gear.wheels),
        ("brackets with their bolts, pivot bolts", gear.brackets),
        ("springs, taken at their pivots", gear.springs),
        ("all of these, arms as made" if gear.made is not None else "all of these, arms by the file", gear.whole),
    ]
    return tuple((what, number(n.kg, 2), number(n.x_mm), number(n.y_mm)) for what, n in rows if n is not None)
