"""`python -m tests.fuzz [--inputs N] [--seed S] [--family NAME] [--only NUMBER]`: hostile inputs by the thousand.

Input K of seed S is the same each time it is made. Each runs in a folder and a process of its own and must end with
code 0 to 3 (130 after a Ctrl-C) within 60 s and 2 GB, without a traceback, a NaN, a load or pull below zero,
and without a
file written, changed or left half made where the command had nothing to do. The folder of each that does not is kept.
"""

from __future__ import annotations

import argparse
import contextlib
import os
import pickle
import shutil
import sys
import tempfile
import time
from collections import Counter
from pathlib import Path

from tests.fuzz import shelf
from tests.fuzz.inputs import FAMILIES, Outcome, tried
from tests.fuzz.runner import LIMIT_S, load_all

SEED = 1
"""Of the inputs that are run if none is named."""


def main() -> int:
    """The number of inputs that went wrong, 0 or 1, as an exit code."""
    asked = _arguments()
    base = Path(tempfile.mkdtemp(prefix="trundle-fuzz-"))
    os.environ["MPLCONFIGDIR"] = str(base / "matplotlib")  # or it writes into each input's HOME
    began = time.monotonic()
    load_all()
    shelf.make_stock(base / "stock")
    print(f"seed {asked.seed}, in {base}; ready in {time.monotonic() - began:.0f} s", flush=True)
    numbers = [asked.only] if asked.only is not None else list(range(asked.first, asked.first + asked.inputs))
    outcomes = run_all(asked.seed, numbers, base, asked.family, asked.workers, keep=asked.only is not None)
    print(table(outcomes))
    print(f"{len(outcomes)} inputs in {time.monotonic() - began:.0f} s")
    wrong = [o for o in outcomes if o.wrong]
    if wrong:
        family = f' --family "{asked.family}"' if asked.family else ""
        print(f"{len(wrong)} WRONG, kept in {base}. Each again:")
        print(f"python -m tests.fuzz --seed {asked.seed}{family} --only NUMBER")
    elif asked.only is not None:
        print(f"held; kept in {base / str(asked.only)}")
    else:
        shutil.rmtree(base, ignore_errors=True)
    return 1 if wrong else 0


def _arguments() -> argparse.Namespace:
    parser = argparse.ArgumentParser(
        prog="python -m tests.fuzz", description=__doc__, formatter_class=argparse.RawTextHelpFormatter
    )
    parser.add_argument("--inputs", type=int, default=10_000, help="how many [10000]")
    parser.add_argument("--seed", type=int, default=SEED, help=f"[{SEED}]")
    parser.add_argument("--family", choices=FAMILIES, default="", help="only inputs of this family")
    parser.add_argument("--only", type=int, metavar="NUMBER", help="one input, its folder kept")
    parser.add_argument("--first", type=int, default=0, metavar="NUMBER", help="where to begin [0]")
    parser.add_argument("--workers", type=int, default=os.cpu_count() or 1, help="at once [one per core]")
    return parser.parse_args()


def run_all(seed: int, numbers: list[int], base: Path, family: str, workers: int, keep: bool) -> list[Outcome]:
    """All of them, `workers` at once, each in a fork of this process; what goes wrong is printed as it does."""
    waiting = iter(numbers)
    going: dict[int, int] = {}
    outcomes: list[Outcome] = []
    while True:
        while len(going) < workers and (number := next(waiting, None)) is not None:
            going[_fork(seed, number, base, family, keep)] = number
        if not going:
            return sorted(outcomes, key=lambda o: o.number)
        child, status = os.wait()
        number = going.pop(child, None)
        if number is None:
            continue
        outcome = _outcome(base, number, status)
        outcomes.append(outcome)
        for what in outcome.wrong:
            args = " ".join(outcome.args)[:120]
            print(f"{outcome.number} {outcome.family} ({outcome.wall_s:.1f} s): {what!r}  {args!r}", flush=True)
        if len(outcomes) % 500 == 0:
            print(f"... {len(outcomes)} of {len(numbers)}, {sum(bool(o.wrong) for o in outcomes)} wrong", flush=True)


def _fork(seed: int, number: int, base: Path, family: str, keep: bool) -> int:
    sys.stdout.flush()
    child = os.fork()
    if child == 0:
        try:
            outcome = tried(seed, number, base, base / "stock", family, keep)
            _answer(base, number).write_bytes(pickle.dumps(outcome))
        except BaseException:
            import traceback

            _answer(base, number).write_bytes(pickle.dumps(traceback.format_exc()))
        os._exit(0)
    return child


def _answer(base: Path, number: int) -> Path:
    return base / f"{number}.answer"


def _outcome(base: Path, number: int, status: int) -> Outcome:
    answer: Outcome | str = f"the harness's own process ended with {status}"
    with contextlib.suppress(OSError):
        answer = pickle.loads(_answer(base, number).read_bytes())
        _answer(base, number).unlink()
    return answer if isinstance(answer, Outcome) else Outcome(number, "harness", (), 99, 0.0, 0.0, (answer,))


def table(outcomes: list[Outcome]) -> str:
    """Per family: inputs, codes, the longest and the largest."""
    lines = [f"{'family':<12} {'inputs':>6}  {'longest':>8} {'largest':>8} {'wrong':>5}  codes"]
    for family in dict.fromkeys(sorted(o.family for o in outcomes)):
        of = [o for o in outcomes if o.family == family]
        codes = ", ".join(f"{code}: {n}" for code, n in sorted(Counter(o.code for o in of).items()))
        slow, big = max(o.wall_s for o in of), max(o.memory_MB for o in of)
        lines.append(
            f"{family:<12} {len(of):>6}  {slow:>6.1f} s {big:>5.0f} MB {sum(bool(o.wrong) for o in of):>5}  {codes}"
        )
    return "\n".join([*lines, f"limit of time: {LIMIT_S:g} s"])


if __name__ == "__main__":
    sys.exit(main())
