"""A study's journal full of runs that nobody made: what comes after the last run can be timed without the runs.

    python tests/study/finished_runs.py OUT 10000 [four]

makes one run of Teasel over a kerb, keeps it 10,000 variants over (four: each over two courses at two speeds) with
figures drawn at random (some refused, some short of the end, some not to be trusted), and prints the
`trundle compare` that finds them all finished.
"""

from __future__ import annotations

import sys
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import numpy as np

from trundle.study.case import Files, key_of, payload_of, run_case
from trundle.study.grid import Plan, make_plan
from trundle.study.journal import Journal
from trundle.study.pool import Outcome
from trundle.study.runs import JOURNAL
from trundle.study.worker import DONE, REFUSED

REFUSED_SHARE, SHORT_SHARE, DOUBTFUL_SHARE = 0.02, 0.05, 0.01
"""Of all runs: no vehicle, short of the course's end, with more energy than can be accounted for."""


def fill(out: Path, plan: Plan, like: Mapping[str, Any], seed: int = 1) -> None:
    """Writes a finished run for every case of the plan into the journal in `out`, in the shape of a summary."""
    rng = np.random.default_rng(seed)
    files = Files()
    with Journal(out / JOURNAL) as journal:
        journal._db.execute("BEGIN")  # a row each would be as many writes to the disk
        for case in plan:
            journal.write(outcome(key_of(case, {}, files), like, rng), case.columns())
        journal._db.execute("COMMIT")


def outcome(key: str, like: Mapping[str, Any], rng: np.random.Generator) -> Outcome:
    """One run's outcome, its figures drawn about those of a summary."""
    lot = float(rng.random())
    if lot < REFUSED_SHARE:
        return Outcome(key, REFUSED, None, f"hull.mass_kg: too heavy by {lot * 1000:.0f} kg", 0.01)
    value = _drawn(like, rng)
    if lot < REFUSED_SHARE + SHORT_SHARE:
        value |= {"completed": False, "ended_because": "stalled: no progress for 5 s"}
    elif lot < REFUSED_SHARE + SHORT_SHARE + DOUBTFUL_SHARE:
        value |= {"energy_error": 0.2}
    return Outcome(key, DONE, value, "", 0.5)


def _drawn(like: Mapping[str, Any], rng: np.random.Generator) -> dict[str, Any]:
    return {name: _changed(value, rng) for name, value in like.items() if name != "energy_error"} | {
        "energy_error": 1e-3 * float(rng.random())
    }


def _changed(value: Any, rng: np.random.Generator) -> Any:
    if isinstance(value, Mapping):
        return {name: _changed(v, rng) for name, v in value.items()}
    if isinstance(value, bool) or not isinstance(value, (int, float)):
        return value
    drawn = value * (0.5 + float(rng.random()))
    return round(drawn) if isinstance(value, int) else drawn


if __name__ == "__main__":
    folder, variants = Path(sys.argv[1]), int(sys.argv[2])
    four = sys.argv[3:] == ["four"]
    courses, speeds = (["kerb-100", "sleepers"], [0.8, 1.2]) if four else (["kerb-100"], [0.8])
    side = max(round(variants**0.5), 1)
    masses = f"hull.mass_kg=250:{250 + 0.5 * (side - 1):g}:0.5"
    leaves = f"bogie.*.spring.thickness_mm=5:{5 + 0.01 * (-(-variants // side) - 1):g}:0.01"
    asked = make_plan("teasel", courses, [masses, leaves], speeds_m_s=speeds)
    fill(folder, asked, run_case(payload_of(next(iter(asked)), {}, Files())))
    told = " ".join(["trundle compare teasel", *courses, "--vary", f"'{masses}'", "--vary", f"'{leaves}'"])
    print(f"{told} --speed {','.join(map(str, speeds))} --yes --out {folder}")
