"""A kernel that compiles in no time, for what is asked of the keeping of kernels; `python small_kernel.py` calls it."""

from __future__ import annotations

import json
import sys
import time
from typing import Any

import numpy as np

from trundle.law.compile import kernel, tell_of_compiling

EXPECTED = [0.5, 2.5, 4.5]


def fresh() -> Any:
    """The kernel as a process has it that has just begun: neither loaded nor compiled."""

    @kernel
    def small(x, out):
        for i in range(len(out)):
            out[i] = x * i + 0.5

    return small


def call(function: Any) -> list[float]:
    """What it gives; EXPECTED if it is right."""
    out = np.zeros(3)
    function(2.0, out)
    return out.tolist()


class Heard:
    """What is told while it listens: how many compiled, and the kinds of news."""

    def __init__(self, hold_s: float = 0.0) -> None:
        self.compiled, self.news, self._hold_s = 0, [], hold_s

    def __enter__(self) -> Heard:
        tell_of_compiling(self._told, self._news)
        return self

    def __exit__(self, *_: object) -> None:
        tell_of_compiling(None)

    def _told(self, done: int, going: bool) -> None:
        self.compiled += going
        if going:
            print("compiling", flush=True)
            time.sleep(self._hold_s)

    def _news(self, what: str, where: str) -> None:
        self.news.append(what)
        print(what, flush=True)


if __name__ == "__main__":
    with Heard(float(sys.argv[1])) as heard:
        found = call(fresh())
    print(json.dumps({"found": found, "compiled": heard.compiled, "news": heard.news}))
