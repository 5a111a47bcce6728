"""How hard the vehicle is where the ground may strike it: belly, sprocket, idler."""

from __future__ import annotations

from trundle.model.assembly import Assembly
from trundle.model.give import RING_HZ, Give
from trundle.papers.parts import Part, Table, number
from trundle.units import N_PER_MM


def strikes(assembly: Assembly) -> Part:
    """Rates with their range, and what dents the belly plate."""
    hull = assembly.vehicle.hull
    rows = tuple(_row(give) for give in assembly.gives)
    lines = []
    dent = assembly.dent_N
    if dent is not None:
        lines.append(
            f"From about {number(dent / 1e3, 1)} kN on a blow dents the belly plate ({hull.belly_steel}) for good "
            "(plastic hinges in a plate clamped at its edges)."
        )
    rings = f"{hull.ring_Hz:g} Hz, as stated" if hull.ring_Hz else f"{RING_HZ:g} Hz, an estimate (hull.ring_Hz)"
    lines.append(
        f"The hull itself is taken to ring at {rings}: a blow of less than {1e3 * assembly.answers_s:.2g} ms is over "
        "before it has answered."
    )
    if any(give.estimated for give in assembly.gives):
        lines.append("Estimates are made from sizes that the file does not state: state them for a narrower range.")
    return Part(
        "Where the ground may strike it",
        "Rates that decide the peak of a blow, of sprocket and idler one side's. No builder has measured them before "
        "there is a vehicle: each has a range, and the peaks of blows have one with it.",
        (Table(("part", "rate, kN/mm", "may be", "worked out"), rows),),
        tuple(lines),
    )


def _row(give: Give) -> tuple[str, ...]:
    low, middle, high = (f"{r / N_PER_MM / 1e3:.2g}" for r in give.rates_N_per_m)
    at = f" at {give.load_N / 1e3:.2g} kN" if give.load_N else ""
    basis = f"{give.basis}{', an estimate' if give.estimated else ''}"
    return give.part, middle + at, f"{low} to {high}", basis
