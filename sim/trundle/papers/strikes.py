"""How hard the vehicle is where the ground may strike it: belly, sprocket, idler."""

from __future__ import annotations

from collections.abc import Mapping

from trundle.findings.words import forces
from trundle.model.assembly import Assembly
from trundle.model.give import RING_HZ, Give
from trundle.papers.notice import Notice
from trundle.papers.parts import Part, Table, number
from trundle.units import N_PER_MM


def strikes(assembly: Assembly, struck_N: Mapping[str, float]) -> Part:
    """Rates with their range, and what dents the belly plate. struck_N: a run's highest load on each part [N]."""
    hull = assembly.vehicle.hull
    rows = tuple(_row(give, struck_N.get(give.part)) for give in assembly.gives)
    lines = []
    if (dent := assembly.dent_N) is not None:
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
        (Table(("part", "rate, kN/mm", "may be", "worked out", "run's hardest"), rows),),
        tuple(lines),
    )


def _row(give: Give, struck_N: float | None) -> tuple[str, ...]:
    low, middle, high = (f"{r / N_PER_MM / 1e3:.2g}" for r in give.rates_N_per_m)
    at = f" at {give.load_N / 1e3:.2g} kN" if give.load_N else ""
    basis = f"{give.basis}{', an estimate' if give.estimated else ''}"
    hardest = "–" if not struck_N else forces(give.share[0] * struck_N, give.share[1] * struck_N)
    return give.part, middle + at, f"{low} to {high}", basis, hardest


def dent_notices(assembly: Assembly, struck_N: Mapping[str, float]) -> list[Notice]:
    """What a run's hardest blow does to the belly plate."""
    dent, struck = assembly.dent_N, struck_N.get("belly", 0.0)
    low, high = (share * struck for share in assembly.gives[0].share)
    if dent is None or high <= dent:
        return []
    does = "dents" if low > dent else "may dent"
    return [Notice(f"the run's hardest blow, {forces(low, high)}, {does} the belly plate for good", low > dent)]
