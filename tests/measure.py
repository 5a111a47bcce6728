"""Measures anew what results/measured and results/picture hold: `python -m tests.measure [NAME...]`, `--list`.

Without names all of them, about ten minutes. What is named in DEVELOPERS.md comes from these files.
"""

from __future__ import annotations

import sys
from importlib import import_module

from tests.measured import Measurement

WHERE = {
    "convergence": "tests.verification.convergence",
    "accuracy": "tests.verification.accuracy",
    "references": "tests.verification.references",
    "ledger": "tests.verification.ledger",
    "near": "tests.verification.near_odds",
    "second-solution": "tests.verification.second_table",
    "links": "tests.verification.link_model",
    "other-engine": "tests.verification.other_engine",
    "ratios": "tests.benchmarks.ratios",
    "movie": "tests.movie",
    "drawings": "tests.drawings",
    "platforms": "tests.platforms",
}
"""Module of each measurement; it holds it as `MEASUREMENT`."""

AGAINST = {
    "commands": "tests.benchmarks.commands_against",
    "hill": "tests.benchmarks.hill_against",
    "study": "tests.benchmarks.study_against",
}
"""Those that need another checkout to compare with: `python -m MODULE CHECKOUT`."""


def measurement(name: str) -> Measurement:
    """The one of a name, its module loaded."""
    found = import_module(WHERE[name]).MEASUREMENT
    assert isinstance(found, Measurement)
    return found


def main(arguments: list[str]) -> int:
    """Exit code: 2 for a name that is none."""
    if arguments == ["--list"]:
        for name in WHERE:
            print(f"{name:16} {measurement(name).title}")
        for name, module in AGAINST.items():
            print(f"{name:16} python -m {module} CHECKOUT")
        return 0
    unknown = [name for name in arguments if name not in WHERE]
    if unknown:
        print(f"no measurement {unknown[0]} (allowed: {', '.join(WHERE)})", file=sys.stderr)
        return 2
    for name in arguments or WHERE:
        measurement(name).make()
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
