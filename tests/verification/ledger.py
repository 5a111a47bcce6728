"""The energy ledger of every shipped vehicle over every shipped course: `python -m tests.verification.ledger`."""

from __future__ import annotations

from collections.abc import Iterator

import trundle
from tests.measured import Measurement, no_arguments, table
from trundle.spec.shipped import find, names


def tables() -> Iterator[str]:
    """What each run cannot account for at its worst moment, in % of motor work and change of height and motion in the
    whole run."""
    vehicles = names("vehicles")
    rows = []
    for course in names("courses"):
        ground = trundle.load_course(find("courses", course))
        runs = [trundle.run(trundle.load_vehicle(find("vehicles", v)), ground, near=1) for v in vehicles]
        shown = [
            f"{100.0 * float(r.summary['energy_error']):.2f}{'' if r.completed else ' (ended early)'}" for r in runs
        ]
        rows.append((course, *shown))
    yield table(("unaccounted for, % of motor work and change of height and motion", *vehicles), rows)


MEASUREMENT = Measurement("ledger", "Energy ledger at its worst moment, every shipped pair", tables)

if __name__ == "__main__":
    no_arguments(MEASUREMENT)
